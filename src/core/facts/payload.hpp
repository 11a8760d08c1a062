// What a fact says: one of all kinds. Copying, moving, destroying and comparing stand in
// payload.cpp, so that a file which keeps a vector of facts does not compile them again for every
// kind. Part of the room's door; included by facts.hpp.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>

#include "base/base.hpp"
#include "core/facts/clinic.hpp"
#include "core/facts/contacts.hpp"
#include "core/facts/kind.hpp"
#include "core/facts/notes.hpp"
#include "core/facts/order.hpp"
#include "core/facts/pens.hpp"
#include "core/facts/person.hpp"
#include "core/facts/skin.hpp"
#include "core/facts/stock.hpp"
#include "core/facts/supplies.hpp"
#include "core/units/units.hpp"

namespace penstock::facts {

struct Replacement;

/// Names an original fact and voids it (no replacement) or wholly replaces what it says and when.
struct Correction {
  static constexpr std::uint16_t type = 60;
  static constexpr std::string_view name = "correction";
  static const KindInfo kind;
  Id target;
  std::string reason;
  bool wrong_person = false;  ///< voided here and recorded in the right person's journal: hidden
                              ///< from view, kept in the audit
  std::shared_ptr<const Replacement> replacement;
};

/// Every kind, once: this is the registry. The order is that of every list of kinds that people
/// see.
using AnyKind = std::variant<
    PersonRegistered, BackgroundNoted, DetailsChanged, OrderLineSigned, OrderLineChecked,
    OrderSignatureSeen, OrderLineEnded, QuestionOpened, QuestionAnswered, DoseAnswered, PenGiven,
    SuppliesGiven, CartridgeLoaded, LeftFridge, WindowTested, Primed, Injected, NeedleOn, NeedleOff,
    ScaleCounted, ThrownAway, TemperatureSpell, PenShared, PenEnded, BodyMeasured, DepthMeasured,
    SkinExamined, AreaBlocked, PlaceNoted, PlaceRulesSet, PlacePlanGiven, SuppliesCounted,
    NeedlesGiven, SupplyRulesSet, SuppliesAsked, SharpsBoxGiven, SharpsBoxClosed, TripPlanned,
    PenTested, DifferenceTalked, TaughtBack, TechniqueWatched, StepJudged, ContactNoted,
    AppointmentMade, ContactMade, FollowUpTaken, GlucoseNoted, Hba1cNoted, VisitClosed,
    AllergyNoted, RescueNoted, Needlestick, Note, ReminderDismissed, PhoneAdvice, DiaryImported,
    PayloadErased, ClinicNamed, ShelfInsulinAdded, ShelfCartridgeAdded, ShelfPenAdded,
    ShelfNeedleAdded, HeadsSealed, StockCame, StockMoved, StockCounted, ProductLearnt, RecallOpened,
    RecallCalled, ClosedDaysSet, Correction>;

class Payload : public AnyKind {
 public:
  Payload();
  Payload(const Payload& other);
  Payload(Payload&& other) noexcept;
  Payload& operator=(const Payload& other);
  Payload& operator=(Payload&& other) noexcept;
  ~Payload();
  template <HasKind Of>
  Payload(Of what) : Payload(place_of<Of>(static_cast<const AnyKind*>(nullptr)), &what) {}

  friend bool operator==(const Payload& a, const Payload& b);

 private:
  Payload(std::size_t index, void* moved_from);
  template <class Of, class... Kinds>
  static constexpr std::size_t place_of(const std::variant<Kinds...>* /*any*/) {
    std::size_t place = 0;
    static_cast<void>(((std::is_same_v<Of, Kinds> || (++place, false)) || ...));
    return place;
  }
};

struct Replacement {
  When happened;
  std::uint32_t sequence = 0;
  Payload payload;  ///< never itself a Correction
  friend bool operator==(const Replacement& a, const Replacement& b) = default;
};

/// One fact: its identity and content are the sender's; the store adds an entry, never changes it.
struct Fact {
  static const fields::Group list;  ///< of the envelope; the payload follows, under its kind's name
  Id id;
  Id journal;  ///< the person's, or the clinic's
  When happened;
  std::uint32_t sequence = 0;  ///< orders facts of one source that share a second
  Instant recorded{};
  std::string author;   ///< who recorded it
  std::string told_by;  ///< who said so, if not the author
  std::string source;   ///< where it came in: "bench", "diary", "phone desk", "cli"
  Payload payload;
  friend bool operator==(const Fact& a, const Fact& b);
};

/// Every kind, in the order of the registry.
class Kinds {
 public:
  class Step {
   public:
    explicit Step(const KindInfo* const* at) : at_(at) {}
    const KindInfo& operator*() const { return **at_; }
    Step& operator++() {
      ++at_;
      return *this;
    }
    friend bool operator==(Step, Step) = default;

   private:
    const KindInfo* const* at_;
  };
  static Step begin();
  static Step end();
  static constexpr std::size_t size() { return std::variant_size_v<AnyKind>; }
  const KindInfo& operator[](std::size_t index) const;
};
inline constexpr Kinds kinds{};

/// nullptr: no such kind.
const KindInfo* kind_of_type(std::uint16_t type);
const KindInfo* kind_of_name(std::string_view name);

// The only visits of all kinds: engines go from here by the kind's list.
const KindInfo& kind_of(const Payload& payload);
const void* body(const Payload& payload);
void* body(Payload& payload);
/// Makes it a blank one of that kind.
void make(Payload& payload, const KindInfo& kind);

inline std::uint16_t type_of(const Payload& payload) { return kind_of(payload).type; }
inline std::string_view name_of(const Payload& payload) { return kind_of(payload).name; }
/// The oldest version of its kind's list that can say it: what an older program wrote keeps its
/// bytes and its digest.
std::uint16_t version_of(const Payload& payload);
/// Kinds of the clinic's journal; corrections belong to both.
bool is_of_clinic(std::uint16_t type);

}  // namespace penstock::facts
