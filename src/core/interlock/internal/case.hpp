// What the rules are asked about: one dose of a person, or one call of somebody who is not on
// record, with what is in the house for it. Worked out once, before the first rule.
#pragma once

#include "core/interlock/interlock.hpp"
#include "core/interlock/lately/lately.hpp"
#include "core/interlock/scale/scale.hpp"

namespace penstock::interlock::internal {

/// Something in the house that is not planned with, and why.
struct SetAside {
  std::string_view code;
  Error error;
};

/// What the dose could come from.
struct AtHome {
  std::vector<Source> sources;
  std::vector<dial::Cartridge> cartridges;
  std::vector<SetAside> set_aside;  ///< in the order in which they are looked at
};

struct Case {
  const House& house;
  const SaidOfDose& said;
  // a person's
  const chart::Chart* person = nullptr;
  const Dose* dose = nullptr;
  When now;   ///< on the person's clock
  When when;  ///< at which it would be given: the slot's hour, or now if that is past
  std::optional<Error> by_order;  ///< of order::may_dial
  // a caller's
  const Call* call = nullptr;

  /// Of the pen that this is about; nothing: no pen.
  std::optional<shelf::Presentation> takes() const {
    if (call != nullptr) return call->pen.takes;
    if (dose == nullptr || dose->pen == nullptr) return std::nullopt;
    return dose->pen->copy.takes;
  }

  AtHome at_home;
  std::optional<dial::DialRequest> request;
  std::optional<dial::DialPlan> plan;
  std::optional<Error> by_dial;
};

/// Insulin, strength and purpose: what every refusal of a line says.
std::vector<Arg> about(const order::Line& line);
Error refused(std::string_view code, std::vector<Arg> args);

/// The pens that the dose may be from, the best first: the one that gave the first part of a rest,
/// then one that serves as it is, then one in which something does not, then an empty one.
std::vector<const ledger::Pen*> pens_for(const chart::Chart& person, const House& house,
                                         const order::Line& line, const ledger::Pending* rest,
                                         LocalDay on);
/// The others of its insulin beside `dose.pen`, once its verdict stands.
std::vector<OtherPen> others_of(const chart::Chart& person, const House& house, const Dose& dose,
                                LocalDay on);

/// The last test of what the pen delivers, where its mean lies outside the limits: no pen to dial
/// with (H61). nullptr: none, or it does not.
const supply::Test* test_outside(const chart::Chart& person, const ledger::Pen& pen);

/// What is still to be given of it: of a part-dose the rest.
Units owed(const Dose& dose);
/// `dose` has its pen.
AtHome at_home(const chart::Chart& person, const House& house, const Dose& dose, LocalDay on);
dial::DialRequest request_of(const chart::Chart& person, const House& house, const Dose& dose,
                             const AtHome& at_home, Instant now, bool on_paper);
/// The smallest container of the insulin that was made for the pen; nullptr: none (H42).
const shelf::Cartridge* container_for(const shelf::Shelf& shelf, const shelf::Pen& pen,
                                      std::string_view insulin);
void fill(Case& one, const Call& call);

/// The reading that is asked about before it is given: of the cartridge in its pen or, read since
/// the slot before it was over, of another.
std::optional<OpenScale> scale_of(const chart::Chart& person, const Dose& dose);

/// Whether a dose waits for what is said of a slot that nobody accounts for: its own line's; or, of
/// basal insulin, one of a line that held before it (H57).
bool waits_for(const chart::Chart& person, const order::Unrecorded& missed, const order::Due& due);

/// The first rule that applies; nothing: the plan stands.
std::optional<Verdict> first_that_holds(const Case& one);

class Gate {
 public:
  static Cleared<Plan> open(Case one);
  static Cleared<Units> number(Units window) { return Cleared<Units>(window); }
};

}  // namespace penstock::interlock::internal
