// Every kind of fact, each with ONE list of its fields. JSON, the packed bytes, the schema and the
// tests are made from these lists.
//
// A kind's `type` number and `name` are for ever; a change of its fields is a new `version`, and
// the codec reads the old ones.
#pragma once

#include <array>
#include <concepts>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "base/base.hpp"
#include "core/journal/choices.hpp"
#include "core/journal/limits.hpp"
#include "core/journal/skin_facts.hpp"
#include "core/journal/supply_facts.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::journal {

template <class S, class T>
concept Like = std::same_as<std::remove_const_t<S>, T>;

// ---- persons

/// What the educator has to know first.
struct Background {
  DiabetesKind diabetes = DiabetesKind::unknown;
  std::optional<TenthsKg> weight;  ///< with its date
  std::optional<LocalDay> weighed_on;
  YesNo pregnant = YesNo::unknown;
  std::string kidneys;
  std::string other_glucose_medicines;
  YesNo severe_lows = YesNo::unknown;
  YesNo feels_lows = YesNo::unknown;
  YesNo lives_alone = YesNo::unknown;
  YesNo drives = YesNo::unknown;
  Injector injector = Injector::unknown;
  Ability sight = Ability::unknown;
  Ability hands = Ability::unknown;
  Ability hearing = Ability::unknown;
  Ability memory = Ability::unknown;
  std::string speaks;
  std::string reads;
  YesNo interpreter = YesNo::unknown;
  friend bool operator==(const Background&, const Background&) = default;
};
template <class V, Like<Background> S>
constexpr void fields(V& visit, S& s) {
  visit("diabetes", s.diabetes);
  visit("weight_kg", s.weight);
  visit("weighed_on", s.weighed_on);
  visit("pregnant", s.pregnant);
  visit("kidneys", s.kidneys);
  visit("other_glucose_medicines", s.other_glucose_medicines);
  visit("severe_lows", s.severe_lows);
  visit("feels_lows", s.feels_lows);
  visit("lives_alone", s.lives_alone);
  visit("drives", s.drives);
  visit("injector", s.injector);
  visit("sight", s.sight);
  visit("hands", s.hands);
  visit("hearing", s.hearing);
  visit("memory", s.memory);
  visit("speaks", s.speaks);
  visit("reads", s.reads);
  visit("interpreter", s.interpreter);
}

/// A person is known by name, birth date and number together (H19).
struct PersonRegistered {
  static constexpr std::uint16_t type = 1, version = 1;
  static constexpr std::string_view name = "person registered";
  std::string full_name;
  LocalDay born{};
  std::string number;  ///< the clinic's
  std::string zone;    ///< time zone by its database name: "Europe/Berlin"
  std::string phone;
  Background background;
  friend bool operator==(const PersonRegistered&, const PersonRegistered&) = default;
};
template <class V, Like<PersonRegistered> S>
constexpr void fields(V& visit, S& s) {
  visit("full_name", s.full_name);
  visit("born", s.born);
  visit("number", s.number);
  visit("zone", s.zone);
  visit("phone", s.phone);
  visit("background", s.background);
}

/// The background as it is from now on, whole.
struct BackgroundNoted {
  static constexpr std::uint16_t type = 2, version = 1;
  static constexpr std::string_view name = "background noted";
  Background background;
  friend bool operator==(const BackgroundNoted&, const BackgroundNoted&) = default;
};
template <class V, Like<BackgroundNoted> S>
constexpr void fields(V& visit, S& s) {
  visit("background", s.background);
}

// ---- the order

struct Slot {
  SlotName slot = SlotName::bedtime;
  MinuteOfDay at;                   ///< local time in the person's zone
  std::int32_t minutes_before = 0;  ///< how much earlier it may be given
  std::int32_t minutes_after = 0;
  Units units = Units::zero();
  friend bool operator==(const Slot&, const Slot&) = default;
};
template <class V, Like<Slot> S>
constexpr void fields(V& visit, S& s) {
  visit("slot", s.slot);
  visit("at", s.at);
  visit("minutes_before", s.minutes_before);
  visit("minutes_after", s.minutes_after);
  visit("units", s.units);
}

/// One line of a prescriber's order as it was copied; its identity is the line's. It cannot be
/// dialled before somebody else has checked it (H40).
struct OrderLineSigned {
  static constexpr std::uint16_t type = 10, version = 1;
  static constexpr std::string_view name = "order line signed";
  std::int32_t order_version = 1;
  std::optional<Id> replaces;  ///< the line that this one takes the place of
  std::string insulin;         ///< generic name
  Strength strength;
  Purpose purpose = Purpose::background;
  std::vector<Slot> slots;
  Units least_units = Units::zero();  ///< a dose outside least..most is never planned (H04)
  Units most_units = Units::zero();
  LocalDay from{};
  std::optional<LocalDay> until;  ///< last day that it holds
  std::string prescriber;
  LocalDay signed_on{};
  bool signature_owed = false;
  CopiedFrom copied_from = CopiedFrom::paper;
  std::string copied_by;
  bool read_back = false;
  std::optional<Glucose> low_limit;  ///< below it only the low is treated (H10)
  bool may_split = false;            ///< the order allows one dose in two parts
  std::string sick_day;              ///< the order's own words for a sick day (H47)
  std::string remark;
  friend bool operator==(const OrderLineSigned&, const OrderLineSigned&) = default;
};
template <class V, Like<OrderLineSigned> S>
constexpr void fields(V& visit, S& s) {
  visit("order_version", s.order_version);
  visit("replaces", s.replaces);
  visit("insulin", s.insulin);
  visit("strength_units_per_ml", s.strength);
  visit("purpose", s.purpose);
  visit("slots", s.slots);
  visit("least_units", s.least_units);
  visit("most_units", s.most_units);
  visit("from", s.from);
  visit("until", s.until);
  visit("prescriber", s.prescriber);
  visit("signed_on", s.signed_on);
  visit("signature_owed", s.signature_owed);
  visit("copied_from", s.copied_from);
  visit("copied_by", s.copied_by);
  visit("read_back", s.read_back);
  visit("low_limit", s.low_limit);
  visit("may_split", s.may_split);
  visit("sick_day", s.sick_day);
  visit("remark", s.remark);
}

/// A second person compared the copy with the original (H40).
struct OrderLineChecked {
  static constexpr std::uint16_t type = 11, version = 1;
  static constexpr std::string_view name = "order line checked";
  Id line;
  std::string checked_by;
  friend bool operator==(const OrderLineChecked&, const OrderLineChecked&) = default;
};
template <class V, Like<OrderLineChecked> S>
constexpr void fields(V& visit, S& s) {
  visit("line", s.line);
  visit("checked_by", s.checked_by);
}

struct OrderSignatureSeen {
  static constexpr std::uint16_t type = 12, version = 1;
  static constexpr std::string_view name = "order signature seen";
  Id line;
  friend bool operator==(const OrderSignatureSeen&, const OrderSignatureSeen&) = default;
};
template <class V, Like<OrderSignatureSeen> S>
constexpr void fields(V& visit, S& s) {
  visit("line", s.line);
}

struct OrderLineEnded {
  static constexpr std::uint16_t type = 13, version = 1;
  static constexpr std::string_view name = "order line ended";
  Id line;
  LocalDay last_day{};  ///< the last day on which it holds
  std::string prescriber;
  std::string reason;
  friend bool operator==(const OrderLineEnded&, const OrderLineEnded&) = default;
};
template <class V, Like<OrderLineEnded> S>
constexpr void fields(V& visit, S& s) {
  visit("line", s.line);
  visit("last_day", s.last_day);
  visit("prescriber", s.prescriber);
  visit("reason", s.reason);
}

/// While it is open, the line has no number, on screen or paper: "ask first" (H37).
struct QuestionOpened {
  static constexpr std::uint16_t type = 14, version = 1;
  static constexpr std::string_view name = "question opened";
  std::optional<Id> line;  ///< nothing: every line
  QuestionReason reason = QuestionReason::other;
  std::string text;
  std::optional<When> answer_by;
  friend bool operator==(const QuestionOpened&, const QuestionOpened&) = default;
};
template <class V, Like<QuestionOpened> S>
constexpr void fields(V& visit, S& s) {
  visit("line", s.line);
  visit("reason", s.reason);
  visit("text", s.text);
  visit("answer_by", s.answer_by);
}

struct QuestionAnswered {
  static constexpr std::uint16_t type = 15, version = 1;
  static constexpr std::string_view name = "question answered";
  Id question;
  AnswerKind answer = AnswerKind::other;
  std::string by;  ///< the prescriber
  std::string text;
  bool read_back = false;
  friend bool operator==(const QuestionAnswered&, const QuestionAnswered&) = default;
};
template <class V, Like<QuestionAnswered> S>
constexpr void fields(V& visit, S& s) {
  visit("question", s.question);
  visit("answer", s.answer);
  visit("by", s.by);
  visit("text", s.text);
  visit("read_back", s.read_back);
}

// ---- pens, cartridges, needles

/// The pen's identity is `pen`, made by the sender; one pen, one insulin, one person, for ever
/// (H04, H13).
struct PenGiven {
  static constexpr std::uint16_t type = 20, version = 1;
  static constexpr std::string_view name = "pen given";
  Id pen;
  shelf::Pen copy;      ///< the shelf's values on that day
  std::string insulin;  ///< the one insulin that it is for
  Strength strength;
  std::string serial;
  friend bool operator==(const PenGiven&, const PenGiven&) = default;
};
template <class V, Like<PenGiven> S>
constexpr void fields(V& visit, S& s) {
  visit("pen", s.pen);
  visit("copy", s.copy);
  visit("insulin", s.insulin);
  visit("strength_units_per_ml", s.strength);
  visit("serial", s.serial);
}

/// Sealed stock that went home: cartridges or prefilled pens of one insulin, or needles.
struct SuppliesGiven {
  static constexpr std::uint16_t type = 21, version = 1;
  static constexpr std::string_view name = "supplies given";
  std::string insulin;  ///< empty: no cartridges
  Strength strength;
  Units each = Units::zero();  ///< content of one
  std::int32_t cartridges = 0;
  std::int32_t needles = 0;
  std::string lot;
  std::optional<LocalDay> expires;
  friend bool operator==(const SuppliesGiven&, const SuppliesGiven&) = default;
};
template <class V, Like<SuppliesGiven> S>
constexpr void fields(V& visit, S& s) {
  visit("insulin", s.insulin);
  visit("strength_units_per_ml", s.strength);
  visit("each_units", s.each);
  visit("cartridges", s.cartridges);
  visit("needles", s.needles);
  visit("lot", s.lot);
  visit("expires", s.expires);
}

/// A cartridge was put into a pen, or a prefilled pen opened. The cartridge's identity is
/// `cartridge`, made by the sender.
struct CartridgeLoaded {
  static constexpr std::uint16_t type = 22, version = 1;
  static constexpr std::string_view name = "cartridge loaded";
  Id cartridge;
  Id pen;
  shelf::Insulin copy;            ///< the shelf's values on that day
  Units units = Units::zero();    ///< what is in it when it goes in
  Units content = Units::zero();  ///< what it holds when full
  std::string fits;               ///< the cartridge's fits code (H42)
  bool new_cartridge = true;      ///< nobody has taken from it yet
  std::string lot;
  std::optional<LocalDay> expires;
  friend bool operator==(const CartridgeLoaded&, const CartridgeLoaded&) = default;
};
template <class V, Like<CartridgeLoaded> S>
constexpr void fields(V& visit, S& s) {
  visit("cartridge", s.cartridge);
  visit("pen", s.pen);
  visit("copy", s.copy);
  visit("units", s.units);
  visit("content_units", s.content);
  visit("fits", s.fits);
  visit("new_cartridge", s.new_cartridge);
  visit("lot", s.lot);
  visit("expires", s.expires);
}

struct LeftFridge {
  static constexpr std::uint16_t type = 23, version = 1;
  static constexpr std::string_view name = "left the fridge";
  Id cartridge;
  friend bool operator==(const LeftFridge&, const LeftFridge&) = default;
};
template <class V, Like<LeftFridge> S>
constexpr void fields(V& visit, S& s) {
  visit("cartridge", s.cartridge);
}

/// The two-unit test: dial 2, press, read the window. This pen proves how its window behaves (H01).
struct WindowTested {
  static constexpr std::uint16_t type = 24, version = 1;
  static constexpr std::string_view name = "window tested";
  Id pen;
  Units dialled = Units::zero();
  Units shown_after = Units::zero();
  std::optional<Id> cartridge;  ///< the units came out of this one
  friend bool operator==(const WindowTested&, const WindowTested&) = default;
};
template <class V, Like<WindowTested> S>
constexpr void fields(V& visit, S& s) {
  visit("pen", s.pen);
  visit("dialled_units", s.dialled);
  visit("shown_after_units", s.shown_after);
  visit("cartridge", s.cartridge);
}

struct Primed {
  static constexpr std::uint16_t type = 25, version = 1;
  static constexpr std::string_view name = "primed";
  Id cartridge;
  Units units = Units::zero();
  Flow flow = Flow::unknown;
  friend bool operator==(const Primed&, const Primed&) = default;
};
template <class V, Like<Primed> S>
constexpr void fields(V& visit, S& s) {
  visit("cartridge", s.cartridge);
  visit("units", s.units);
  visit("flow", s.flow);
}

/// Insulin given, or part of it, or nobody knows how much. `units` left the cartridge; `meant` was
/// to be given.
struct Injected {
  static constexpr std::uint16_t type = 26, version = 1;
  static constexpr std::string_view name = "injected";
  Id cartridge;
  Units units = Units::zero();
  std::optional<Units> meant;  ///< more than `units`: a part, and the rest is owed (H39)
  Outcome outcome = Outcome::whole;
  std::optional<Id> line;  ///< the order line
  std::optional<SlotName> slot;
  std::optional<Id> completes;  ///< the part-dose whose rest this is
  std::optional<Zone> zone;
  std::optional<Spot> spot;
  Injector given_by = Injector::unknown;  ///< who gave it (H46)
  std::string given_by_name;
  friend bool operator==(const Injected&, const Injected&) = default;
};
template <class V, Like<Injected> S>
constexpr void fields(V& visit, S& s) {
  visit("cartridge", s.cartridge);
  visit("units", s.units);
  visit("meant_units", s.meant);
  visit("outcome", s.outcome);
  visit("line", s.line);
  visit("slot", s.slot);
  visit("completes", s.completes);
  visit("zone", s.zone);
  visit("spot", s.spot);
  visit("given_by", s.given_by);
  visit("given_by_name", s.given_by_name);
}

struct NeedleOn {
  static constexpr std::uint16_t type = 27, version = 1;
  static constexpr std::string_view name = "needle on";
  Id pen;
  std::string needle;  ///< the shelf's code, or the name as told
  TenthsMm length;
  bool both_shields_off = true;  ///< H45
  friend bool operator==(const NeedleOn&, const NeedleOn&) = default;
};
template <class V, Like<NeedleOn> S>
constexpr void fields(V& visit, S& s) {
  visit("pen", s.pen);
  visit("needle", s.needle);
  visit("length_mm", s.length);
  visit("both_shields_off", s.both_shields_off);
}

struct NeedleOff {
  static constexpr std::uint16_t type = 28, version = 1;
  static constexpr std::string_view name = "needle off";
  Id pen;
  Disposal disposal = Disposal::unknown;
  friend bool operator==(const NeedleOff&, const NeedleOff&) = default;
};
template <class V, Like<NeedleOff> S>
constexpr void fields(V& visit, S& s) {
  visit("pen", s.pen);
  visit("disposal", s.disposal);
}

/// Somebody read the cartridge's own scale. Neither it nor the ledger overwrites the other (H41).
struct ScaleCounted {
  static constexpr std::uint16_t type = 29, version = 1;
  static constexpr std::string_view name = "scale counted";
  Id cartridge;
  Units units = Units::zero();
  friend bool operator==(const ScaleCounted&, const ScaleCounted&) = default;
};
template <class V, Like<ScaleCounted> S>
constexpr void fields(V& visit, S& s) {
  visit("cartridge", s.cartridge);
  visit("units", s.units);
}

/// Whatever the cartridge still held goes with it.
struct ThrownAway {
  static constexpr std::uint16_t type = 30, version = 1;
  static constexpr std::string_view name = "thrown away";
  Id cartridge;
  ThrowReason reason = ThrowReason::other;
  std::string text;
  friend bool operator==(const ThrownAway&, const ThrownAway&) = default;
};
template <class V, Like<ThrownAway> S>
constexpr void fields(V& visit, S& s) {
  visit("cartridge", s.cartridge);
  visit("reason", s.reason);
  visit("text", s.text);
}

/// A time that a cartridge, or all of a person's insulin, spent at a temperature.
struct TemperatureSpell {
  static constexpr std::uint16_t type = 31, version = 1;
  static constexpr std::string_view name = "temperature spell";
  std::optional<Id> cartridge;  ///< nothing: all that was in use then
  TenthsCelsius celsius;
  std::int32_t minutes = 0;
  bool frozen = false;
  std::string text;
  friend bool operator==(const TemperatureSpell&, const TemperatureSpell&) = default;
};
template <class V, Like<TemperatureSpell> S>
constexpr void fields(V& visit, S& s) {
  visit("cartridge", s.cartridge);
  visit("celsius", s.celsius);
  visit("minutes", s.minutes);
  visit("frozen", s.frozen);
  visit("text", s.text);
}

/// A pen of this person's was used for somebody else, or the other way round (H13).
struct PenShared {
  static constexpr std::uint16_t type = 32, version = 1;
  static constexpr std::string_view name = "pen shared";
  Id pen;
  std::string with;
  std::string text;
  friend bool operator==(const PenShared&, const PenShared&) = default;
};
template <class V, Like<PenShared> S>
constexpr void fields(V& visit, S& s) {
  visit("pen", s.pen);
  visit("with", s.with);
  visit("text", s.text);
}

// ---- teaching, notes, reminders

struct TaughtBack {
  static constexpr std::uint16_t type = 40, version = 1;
  static constexpr std::string_view name = "taught back";
  Skill skill = Skill::injection;
  std::string needle;  ///< the needle type that it was taught with (H45)
  bool unprompted = false;
  std::string text;
  friend bool operator==(const TaughtBack&, const TaughtBack&) = default;
};
template <class V, Like<TaughtBack> S>
constexpr void fields(V& visit, S& s) {
  visit("skill", s.skill);
  visit("needle", s.needle);
  visit("unprompted", s.unprompted);
  visit("text", s.text);
}

struct Note {
  static constexpr std::uint16_t type = 41, version = 1;
  static constexpr std::string_view name = "note";
  std::string text;
  friend bool operator==(const Note&, const Note&) = default;
};
template <class V, Like<Note> S>
constexpr void fields(V& visit, S& s) {
  visit("text", s.text);
}

/// Ends when the facts that made the reminder change: `basis` is their fingerprint (H32).
struct ReminderDismissed {
  static constexpr std::uint16_t type = 42, version = 1;
  static constexpr std::string_view name = "reminder dismissed";
  std::string reminder;  ///< its code
  std::string basis;
  std::string reason;
  friend bool operator==(const ReminderDismissed&, const ReminderDismissed&) = default;
};
template <class V, Like<ReminderDismissed> S>
constexpr void fields(V& visit, S& s) {
  visit("reminder", s.reminder);
  visit("basis", s.basis);
  visit("reason", s.reason);
}

/// What was said on the telephone, and heard back.
struct PhoneAdvice {
  static constexpr std::uint16_t type = 43, version = 1;
  static constexpr std::string_view name = "phone advice";
  std::string said;
  bool read_back = false;
  std::string text;
  friend bool operator==(const PhoneAdvice&, const PhoneAdvice&) = default;
};
template <class V, Like<PhoneAdvice> S>
constexpr void fields(V& visit, S& s) {
  visit("said", s.said);
  visit("read_back", s.read_back);
  visit("text", s.text);
}

/// A diary came in: what the import was, beside the facts that it brought.
struct DiaryImported {
  static constexpr std::uint16_t type = 44, version = 1;
  static constexpr std::string_view name = "diary imported";
  std::string file;
  std::string digest;  ///< of the file's bytes, hexadecimal
  std::int32_t rows = 0;
  std::int32_t facts_new = 0;
  friend bool operator==(const DiaryImported&, const DiaryImported&) = default;
};
template <class V, Like<DiaryImported> S>
constexpr void fields(V& visit, S& s) {
  visit("file", s.file);
  visit("digest", s.digest);
  visit("rows", s.rows);
  visit("facts_new", s.facts_new);
}

// ---- the clinic

struct ClinicNamed {
  static constexpr std::uint16_t type = 50, version = 1;
  static constexpr std::string_view name = "clinic named";
  std::string clinic;
  std::string user;  ///< the one local user, author of every fact for now
  std::string zone;
  std::string phone;      ///< whom to phone (H38)
  std::string emergency;  ///< the emergency number of the place
  friend bool operator==(const ClinicNamed&, const ClinicNamed&) = default;
};
template <class V, Like<ClinicNamed> S>
constexpr void fields(V& visit, S& s) {
  visit("clinic", s.clinic);
  visit("user", s.user);
  visit("zone", s.zone);
  visit("phone", s.phone);
  visit("emergency", s.emergency);
}

struct ShelfInsulinAdded {
  static constexpr std::uint16_t type = 51, version = 1;
  static constexpr std::string_view name = "shelf insulin added";
  shelf::Entry<shelf::Insulin> entry;
  friend bool operator==(const ShelfInsulinAdded&, const ShelfInsulinAdded&) = default;
};
struct ShelfCartridgeAdded {
  static constexpr std::uint16_t type = 52, version = 1;
  static constexpr std::string_view name = "shelf cartridge added";
  shelf::Entry<shelf::Cartridge> entry;
  friend bool operator==(const ShelfCartridgeAdded&, const ShelfCartridgeAdded&) = default;
};
struct ShelfPenAdded {
  static constexpr std::uint16_t type = 53, version = 1;
  static constexpr std::string_view name = "shelf pen added";
  shelf::Entry<shelf::Pen> entry;
  friend bool operator==(const ShelfPenAdded&, const ShelfPenAdded&) = default;
};
struct ShelfNeedleAdded {
  static constexpr std::uint16_t type = 54, version = 1;
  static constexpr std::string_view name = "shelf needle added";
  shelf::Entry<shelf::Needle> entry;
  friend bool operator==(const ShelfNeedleAdded&, const ShelfNeedleAdded&) = default;
};
template <class V, class S>
  requires Like<S, ShelfInsulinAdded> || Like<S, ShelfCartridgeAdded> || Like<S, ShelfPenAdded> ||
           Like<S, ShelfNeedleAdded>
constexpr void fields(V& visit, S& s) {
  visit("entry", s.entry);
}

/// The heads of all chains at one moment, sealed in the clinic's journal, so that a cut or rebuilt
/// chain shows.
struct HeadsSealed {
  static constexpr std::uint16_t type = 55, version = 1;
  static constexpr std::string_view name = "heads sealed";
  std::string digest;  ///< over all heads, hexadecimal
  std::int32_t journals = 0;
  friend bool operator==(const HeadsSealed&, const HeadsSealed&) = default;
};
template <class V, Like<HeadsSealed> S>
constexpr void fields(V& visit, S& s) {
  visit("digest", s.digest);
  visit("journals", s.journals);
}

// ---- corrections

struct Replacement;

/// Names an original fact and voids it (no replacement) or wholly replaces what it says and when.
struct Correction {
  static constexpr std::uint16_t type = 60, version = 1;
  static constexpr std::string_view name = "correction";
  Id target;
  std::string reason;
  bool wrong_person = false;  ///< voided here and recorded in the right person's journal: hidden
                              ///< from view, kept in the audit
  std::shared_ptr<const Replacement> replacement;
  friend bool operator==(const Correction& a, const Correction& b);
};
// The codec writes `replacement` by hand: it holds a whole payload.
template <class V, Like<Correction> S>
constexpr void fields(V& visit, S& s) {
  visit("target", s.target);
  visit("reason", s.reason);
  visit("wrong_person", s.wrong_person);
  visit("replacement", s.replacement);
}

using Payload = std::variant<
    PersonRegistered, BackgroundNoted, OrderLineSigned, OrderLineChecked, OrderSignatureSeen,
    OrderLineEnded, QuestionOpened, QuestionAnswered, PenGiven, SuppliesGiven, CartridgeLoaded,
    LeftFridge, WindowTested, Primed, Injected, NeedleOn, NeedleOff, ScaleCounted, ThrownAway,
    TemperatureSpell, PenShared, BodyMeasured, DepthMeasured, SkinExamined, AreaBlocked, PlaceNoted,
    PlaceRulesSet, PlacePlanGiven, SuppliesCounted, NeedlesGiven, SupplyRulesSet, SuppliesAsked,
    SharpsBoxGiven, SharpsBoxClosed, TripPlanned, PenTested, DifferenceTalked, TaughtBack, Note,
    ReminderDismissed, PhoneAdvice, DiaryImported, ClinicNamed, ShelfInsulinAdded,
    ShelfCartridgeAdded, ShelfPenAdded, ShelfNeedleAdded, HeadsSealed, StockCame, StockMoved,
    StockCounted, ProductLearnt, RecallOpened, RecallCalled, ClosedDaysSet, Correction>;

struct Replacement {
  When happened;
  std::uint32_t sequence = 0;
  Payload payload;  ///< never itself a Correction
  friend bool operator==(const Replacement&, const Replacement&) = default;
};
inline bool operator==(const Correction& a, const Correction& b) {
  return a.target == b.target && a.reason == b.reason && a.wrong_person == b.wrong_person &&
         (a.replacement == b.replacement ||
          (a.replacement && b.replacement && *a.replacement == *b.replacement));
}

/// One fact: its identity and content are the sender's; the store adds an entry, never changes it.
struct Fact {
  Id id;
  Id journal;  ///< the person's, or the clinic's
  When happened;
  std::uint32_t sequence = 0;  ///< orders facts of one source that share a second
  Instant recorded{};
  std::string author;   ///< who recorded it
  std::string told_by;  ///< who said so, if not the author
  std::string source;   ///< where it came in: "bench", "diary", "phone desk", "cli"
  Payload payload;
  friend bool operator==(const Fact&, const Fact&) = default;
};
// The envelope's fields; the payload follows, under its kind's name.
template <class V, Like<Fact> S>
constexpr void fields(V& visit, S& s) {
  visit("id", s.id);
  visit("journal", s.journal);
  visit("happened", s.happened);
  visit("sequence", s.sequence);
  visit("recorded", s.recorded);
  visit("author", s.author);
  visit("told_by", s.told_by);
  visit("source", s.source);
}

std::uint16_t type_of(const Payload& payload);
std::string_view name_of(const Payload& payload);

/// One kind of fact: what codec, command line and docs look up. `index` is its place in Payload.
struct KindInfo {
  std::uint16_t type = 0;
  std::uint16_t version = 0;
  std::string_view name;
  std::size_t index = 0;
};
/// Kinds of the clinic's journal; corrections belong to both.
constexpr bool is_of_clinic(std::uint16_t type) {
  return (type >= ClinicNamed::type && type <= HeadsSealed::type) ||
         (type >= StockCame::type && type <= ClosedDaysSet::type);
}
/// Every kind, in the order of Payload.
inline constexpr auto kinds = []<std::size_t... I>(std::index_sequence<I...>) {
  return std::array<KindInfo, sizeof...(I)>{KindInfo{
      std::variant_alternative_t<I, Payload>::type, std::variant_alternative_t<I, Payload>::version,
      std::variant_alternative_t<I, Payload>::name, I}...};
}(std::make_index_sequence<std::variant_size_v<Payload>>{});

constexpr const KindInfo* kind_of_type(std::uint16_t type) {
  for (const auto& kind : kinds) {
    if (kind.type == type) return &kind;
  }
  return nullptr;
}
constexpr const KindInfo* kind_of_name(std::string_view name) {
  for (const auto& kind : kinds) {
    if (kind.name == name) return &kind;
  }
  return nullptr;
}
static_assert(
    [] {
      for (const auto& kind : kinds) {
        if (kind_of_type(kind.type) != &kind || kind_of_name(kind.name) != &kind) return false;
        if (kind.type == 0 || kind.version == 0 || kind.name.empty()) return false;
      }
      return true;
    }(),
    "two kinds of fact share a type number or a name");

// ---- what cannot be (H25)

// The limits themselves stand in limits.hpp.
namespace codes {
inline constexpr std::string_view value_range =
    "fact.value_range";  // args: field, value, least, most, why
inline constexpr std::string_view text_long = "fact.text_long";    // args: field, most (bytes)
inline constexpr std::string_view text_empty = "fact.text_empty";  // args: field
inline constexpr std::string_view text_form =
    "fact.text_form";  // control characters, not UTF-8; args: field
inline constexpr std::string_view time_range =
    "fact.time_range";  // before 1900 or more than a day after it was recorded; args: field, least,
                        // most (dates)
inline constexpr std::string_view identity_missing = "fact.identity_missing";  // args: field
inline constexpr std::string_view names_itself =
    "fact.names_itself";  // a line that replaces itself, a dose that completes itself; args: field
inline constexpr std::string_view correction_target =
    "fact.correction_target";  // a correction of itself, or one that puts a correction in its place
inline constexpr std::string_view repeated = "fact.repeated";  // twice in one list; args: field
inline constexpr std::string_view photo_consent =
    "fact.photo_consent";  // a picture without the person's consent; args: field
inline constexpr std::string_view service_reason =
    "fact.service_reason";  // less than the usual service without a name and a reason; args: field
inline constexpr std::string_view correction_both =
    "fact.correction_both";  // another person's fact cannot be replaced here, only voided
}  // namespace codes

/// Whether a fact is well formed: identities, limits, texts, times; the first that is wrong, in the
/// order of the fields. `at` is a JSON pointer into the fact as its JSON is written:
/// "/slots/0/units". A well-formed fact is always taken, however odd (plans refuse, records do
/// not). A broken shelf copy or entry is refused with the shelf's own code.
Result<Fact> checked(Fact fact);

// ---- what is odd (H25)

namespace codes {
inline constexpr std::string_view odd = "fact.odd";  // args: field, value, least, most, why
}  // namespace codes

/// The first value of a well-formed fact that is odd by itself, as a question to whoever records it
/// (kind: refused, until they say yes); nothing if there is none. A dose under an order line is not
/// asked about here: the order's own limits are nearer. What is odd against the rest of the journal
/// is the ledger's to mark.
std::optional<Error> oddity(const Fact& fact);

}  // namespace penstock::journal
