#include "edge/demo/demo.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <variant>

#include "edge/demo/internal/chance.hpp"
#include "edge/demo/internal/crowd.hpp"
#include "edge/demo/internal/people.hpp"
#include "edge/demo/internal/skin.hpp"
#include "edge/demo/internal/stock.hpp"

namespace penstock::demo {
namespace {

using namespace journal;
using std::chrono::days;
using std::chrono::minutes;
using std::chrono::seconds;

constexpr std::string_view traveller = "HS 04712";
constexpr std::string_view colleague = "Jonas Abara";
constexpr std::string_view prescriber = "Dr Tomasz Adeyemi";

// Who is written, and since when they have been coming.
struct Subject {
  const Persona& persona;
  std::size_t index;
  int days = history_days;
  int visit = days_between_visits / 2;
};

Units units(std::int64_t hundredths) { return Units::from_hundredths(hundredths).value(); }

/// One pen with its insulin, as the days go by.
struct Kit {
  const Line* line = nullptr;
  Id order;
  Id pen;
  Id cartridge;
  std::int64_t left = 0;  ///< hundredths
  LocalDay opened{};
  bool is_new = false;
  bool loaded = false;
  std::int64_t sealed = 0;
  std::vector<std::pair<std::string, LocalDay>> lots;  ///< of the sealed ones, oldest first
  Id last_injection;
};

/// Of numbers that nobody has: "HS 04172" is phoned under 030 555 0172. Where it ends in 7 there is
/// none on record.
std::string phone_of(std::string_view number) {
  return number.ends_with('7') ? std::string()
                               : "030 555 01" + std::string(number.substr(number.size() - 2));
}

class Writer {
 public:
  Writer(const Setting& setting, const Subject& subject, std::uint64_t seed)
      : setting_(setting),
        persona_(subject.persona),
        subject_(subject),
        chance_(seed),
        supply_chance_(seed + 500'009),
        zone_(setting.zone(persona_.zone)),
        now_(zone_.when(setting.now)) {
    journal_.id = chance_.id();
  }

  Journal write() {
    const auto first = now_.day() - days{persona_.story == Story::new_here ? 0 : subject_.days};
    start_ = persona_.story == Story::new_here ? When{now_.at - minutes{40}, now_.offset_minutes}
                                               : zone_.resolve(LocalTime{first} + minutes{10 * 60});
    enrol();
    for (auto day = first; day <= now_.day(); day += days{1}) live(day);
    tell_story();
    std::ranges::stable_sort(journal_.facts, {}, [](const Fact& fact) { return fact.happened.at; });
    return std::move(journal_);
  }

 private:
  Fact& add(Payload payload, const When& when, std::string_view source = "bench") {
    Fact fact;
    fact.id = chance_.id();
    fact.journal = journal_.id;
    fact.happened = when;
    fact.sequence = ++sequence_;
    // A diary comes home within days; what happens at the desk is written at once.
    fact.recorded =
        source == "diary"
            ? std::min(setting_.now, when.at + days{1 + static_cast<int>(sequence_ % 6)})
            : when.at + seconds{30};
    fact.author = nurse;
    fact.source = source;
    if (source == "diary") fact.told_by = persona_.name;
    fact.payload = std::move(payload);
    journal_.facts.push_back(std::move(fact));
    return journal_.facts.back();
  }
  // Identities of their own: what else is told about somebody does not depend on their supplies.
  void add_supply(Payload payload, const When& when) {
    Fact fact;
    fact.id = supply_chance_.id();
    fact.journal = journal_.id;
    fact.happened = when;
    fact.sequence = sequence_;
    fact.recorded = when.at + seconds{30};
    fact.author = nurse;
    fact.source = "bench";
    fact.payload = std::move(payload);
    journal_.facts.push_back(std::move(fact));
  }
  When later(int after_minutes) const {
    return {start_.at + minutes{after_minutes},
            zone_.offset_at(start_.at + minutes{after_minutes})};
  }
  When before_now(int minutes_before) const {
    const auto at = now_.at - minutes{minutes_before};
    return {at, zone_.offset_at(at)};
  }

  void write_contacts() {
    add_supply(ContactNoted{ContactRole::prescriber, std::string(prescriber), "030 555 0120", "",
                            "Mornings only.", false},
               later(2));
    add_supply(ContactNoted{ContactRole::pharmacy, "Quay Pharmacy", "030 555 0163", "", "", false},
               later(3));
    AllergyNoted allergy;
    if (persona_.number.ends_with('2'))
      allergy = {"penicillin", "a rash within an hour", YesNo::yes};
    add_supply(allergy, later(4));
  }

  void enrol() {
    PersonRegistered person;
    person.full_name = persona_.name;
    person.born = parse_day(persona_.born).value();
    person.number = persona_.number;
    person.phone = phone_of(persona_.number);
    person.zone = persona_.zone;
    person.background = persona_.background;
    if (person.background.weight) person.background.weighed_on = start_.day();
    add(person, start_);
    if (persona_.story == Story::new_here) return;
    write_contacts();
    int minute = 5;
    kits_.reserve(persona_.lines.size());  // facts keep no pointer, but the loops below do
    for (const auto& line : persona_.lines) {
      Kit kit;
      kit.line = &line;
      kit.order = write_order(line, later(minute), 1);
      check(kit.order, later(minute + 3));
      give_pen(kit, later(minute + 8));
      if (!fetches_one_by_one()) resupply(kit, later(minute + 9), 5);
      kits_.push_back(kit);
      minute += 15;
    }
    TaughtBack taught;
    taught.skill = Skill::injection;
    taught.unprompted = true;
    add(taught, later(minute));
    taught.skill = Skill::needle;
    taught.needle = persona_.needle;
    add(taught, later(minute + 1));
    give_needles(later(minute + 2));
    measure(later(minute + 4));
    SupplyRulesSet rules;
    rules.lead_days = 5;
    // Hers are corrected by hand within the order's range.
    if (persona_.story == Story::question_after_lows) rules.spread = DoseSpread::order_range;
    add_supply(rules, later(minute + 20));
    if (persona_.number == traveller) plan_trip();
    if (persona_.story == Story::window_unknown) return;
    // A box a month: this one came four weeks ago.
    SharpsBoxGiven box;
    box.box = supply_chance_.id();
    box.holds_needles = 200;
    add_supply(box, zone_.resolve(LocalTime{now_.day() - days{28}} + minutes{11 * 60}));
  }

  // A fortnight in the west, and a pen that was weighed before it goes along.
  void plan_trip() {
    const auto when = zone_.resolve(LocalTime{now_.day() - days{2}} + minutes{10 * 60 + 20});
    TripPlanned trip;
    trip.leaves = now_.day() + days{12};
    trip.returns = trip.leaves + days{14};
    trip.zone = "America/New_York";
    trip.warmest = TenthsCelsius{340};
    trip.pharmacy = YesNo::no;
    trip.text = "to her sister’s";
    add_supply(trip, when);
    PenTested test;
    test.pen = kits_.front().pen;
    test.dialled = units(1000);
    for (const int hundredths : {984, 991, 1002, 988, 996, 1005, 979, 993, 998, 990, 1001, 986})
      test.delivered.push_back(units(hundredths));
    add_supply(test, {when.at + minutes{15}, when.offset_minutes});
  }

  // What they have used since, and some weeks more.
  void give_needles(const When& when) {
    std::int32_t a_day = 0;
    for (const auto& line : persona_.lines) a_day += static_cast<std::int32_t>(line.doses.size());
    NeedlesGiven needles;
    needles.needle = persona_.needle;
    needles.length = setting_.shelf->needle(persona_.needle)->thing.length;
    const auto more =
        persona_.story == Story::question_after_lows ? 55 : 60 + supply_chance_.below(120);
    needles.needles = a_day * subject_.days + more;
    needles.lot = "N" + std::to_string(2200 + supply_chance_.below(40));
    needles.expires = when.day() + days{900};
    add(needles, when);
  }

  // ---- body and skin

  static constexpr int days_since_felt = 7;

  void measure(const When& when) {
    frame_ = frame_of(persona_.like.empty() ? persona_.number : persona_.like);
    if (frame_ == nullptr) return;
    BodyMeasured body;
    body.sex = frame_->sex;
    body.height = TenthsCm{frame_->height_tenths_cm};
    if (frame_->waist_tenths_cm > 0) body.waist = TenthsCm{frame_->waist_tenths_cm};
    if (persona_.background.pregnant == YesNo::yes) body.due = now_.day() + days{70};
    add(body, when);
    walk_.emplace(places::Body{*body.height, body.waist, TenthsMm{500}}, setting_.lattices);
    PlaceRulesSet rules;
    rules.zones = {Zone::abdomen_left_upper,  Zone::abdomen_left_lower, Zone::abdomen_right_upper,
                   Zone::abdomen_right_lower, Zone::thigh_left,         Zone::thigh_right};
    rules.needle = setting_.shelf->needle(persona_.needle)->thing.length;
    rules.fold = rules.can_fold = YesNo::no;
    if (persona_.background.hands == Ability::full) rules.can_fold = YesNo::yes;
    examine(when, std::nullopt);
    add(rules, {when.at + minutes{8}, when.offset_minutes});
  }

  Fact& examine(const When& when, std::optional<SkinFinding> finding) {
    SkinExamined looked;
    looked.light = Light::lamp_from_the_side;
    looked.posture = Posture::lying;
    looked.zones = {Zone::abdomen_left_upper,  Zone::abdomen_left_lower, Zone::abdomen_right_upper,
                    Zone::abdomen_right_lower, Zone::thigh_left,         Zone::thigh_right};
    if (finding) looked.findings.push_back(*finding);
    return add(looked, when);
  }

  bool has_favourite(const When& when) const {
    if (frame_ == nullptr || frame_->habit != Habit::one_favourite) return false;
    return persona_.story == Story::hardened_today ||
           when.day() < now_.day() - days{days_since_felt};
  }

  // Two of three go into the favourite place; the others, and everybody else's, are walked.
  void place(Injected& given, const Line& line, const When& when) {
    given.zone = zone_for(line);
    if (frame_ == nullptr || frame_->habit == Habit::zones_only) return;
    if (has_favourite(when) && !chance_.one_in(3)) {
      const auto off = [&] {
        return chance_.below(favourite_reach_tenths) + chance_.below(favourite_reach_tenths) -
               favourite_reach_tenths;
      };
      given.zone = favourite_zone;
      given.spot = Spot{{favourite_spot.x.tenths + off() / 10 * 10},
                        {favourite_spot.y.tenths + off() / 10 * 10}};
      return;
    }
    given.spot = walk_->next(*given.zone);
    // Once it was felt, that place is kept off.
    while (frame_->habit == Habit::one_favourite && given.spot &&
           places::same_plane(*given.zone, favourite_zone) &&
           places::distance(*given.spot, favourite_spot).tenths <= favourite_reach_tenths) {
      given.spot = walk_->next(*given.zone);
    }
  }

  SkinFinding hardened() {
    SkinFinding finding;
    finding.area = chance_.id();
    finding.tissue = Tissue::hardened;
    finding.zone = favourite_zone;
    finding.centre = favourite_spot;
    finding.length = TenthsMm{520};
    finding.width = TenthsMm{380};
    finding.seen = finding.felt = true;
    return finding;
  }

  void feel_hardened_today() {
    examine(before_now(55), hardened());
    QuestionOpened question;
    question.line = kits_.front().order;
    question.reason = QuestionReason::hardened_tissue;
    question.text = "Hardened tissue, left belly. Lower the dose on leaving it, and for how long?";
    add(question, before_now(54));
  }

  // Felt a week ago and answered the same day: the watch goes on (H36).
  void felt_hardened_before() {
    const auto then =
        zone_.resolve(LocalTime{now_.day() - days{days_since_felt}} + minutes{10 * 60});
    examine(then, hardened());
    QuestionOpened question;
    question.reason = QuestionReason::hardened_tissue;
    question.text = "Hardened tissue, left belly. Lower the doses on leaving it, and for how long?";
    const auto asked = add(question, {then.at + minutes{5}, then.offset_minutes}).id;
    QuestionAnswered answer;
    answer.question = asked;
    answer.answer = AnswerKind::keep_dose;
    answer.by = prescriber;
    answer.text =
        "Keep the doses for now; measure before meals, at bedtime and at three in the "
        "morning; phone after a second low.";
    answer.read_back = true;
    add(answer, {then.at + minutes{50}, then.offset_minutes});
  }

  Id write_order(const Line& line, const When& when, std::int32_t version,
                 std::optional<Id> replaces = std::nullopt) {
    const auto& insulin = setting_.shelf->insulin(line.insulin)->thing;
    OrderLineSigned order;
    order.order_version = version;
    order.replaces = replaces;
    order.insulin = insulin.name;
    order.strength = insulin.strength;
    order.purpose = line.purpose;
    std::int64_t least = line.doses.front().hundredths, most = 0;
    for (const auto& dose : line.doses) {
      order.slots.push_back({dose.slot, {dose.minute}, 60, 120, units(dose.hundredths)});
      least = std::min<std::int64_t>(least, dose.hundredths);
      most = std::max<std::int64_t>(most, dose.hundredths);
    }
    const auto step = setting_.shelf->pen(line.pen)->thing.step.hundredths();
    order.least_units = units(std::max(step, least / 2 / step * step));
    order.most_units = units(most * 3 / 2 / step * step);
    order.from = when.day();
    if (persona_.story == Story::order_ends) order.until = now_.day() + days{4};
    order.prescriber = prescriber;
    order.signed_on = when.day();
    order.copied_from =
        persona_.story == Story::signature_owed ? CopiedFrom::telephone : CopiedFrom::paper;
    order.copied_by = nurse;
    order.read_back = true;
    order.signature_owed = persona_.story == Story::signature_owed;
    order.low_limit = Glucose{GlucoseUnit::mmol_l, 39};
    order.sick_day = "Phone the clinic before you leave any insulin out.";
    read_ = {.line = {},
             .checked_by = std::string(colleague),
             .reading = {order.insulin, order.strength, order.slots},
             .days_read = true,
             .from = order.from,
             .until = order.until};
    return add(order, when).id;
  }

  // A colleague read the order itself (H60): the one that was copied last.
  void check(Id line, const When& when) {
    read_.line = line;
    add(read_, when);
  }

  // Nothing sealed is ever at home: that is how somebody runs out on a Saturday.
  bool fetches_one_by_one() const { return persona_.story == Story::runs_out_saturday; }

  void give_pen(Kit& kit, const When& when) {
    const auto& insulin = setting_.shelf->insulin(kit.line->insulin)->thing;
    kit.pen = chance_.id();
    add(PenGiven{kit.pen, setting_.shelf->pen(kit.line->pen)->thing, insulin.name, insulin.strength,
                 ""},
        when);
  }

  void resupply(Kit& kit, const When& when, std::int32_t count) {
    const auto& insulin = setting_.shelf->insulin(kit.line->insulin)->thing;
    SuppliesGiven supplies;
    supplies.insulin = insulin.name;
    supplies.strength = insulin.strength;
    supplies.each = setting_.shelf->cartridge(kit.line->cartridge)->thing.content;
    supplies.cartridges = count;
    // Out of the clinic's own stock.
    const auto stock = stock_lot(setting_, kit.line->cartridge, when.day(), subject_.index);
    supplies.lot = stock.lot;
    supplies.expires = stock.expires;
    add(supplies, when);
    for (int i = 0; i < count; ++i) kit.lots.emplace_back(supplies.lot, *supplies.expires);
    kit.sealed += count;
  }

  std::string lot() {
    std::string text = "H";
    for (int i = 0; i < 5; ++i) text += static_cast<char>('0' + chance_.below(10));
    return text;
  }

  void load(Kit& kit, const When& when, std::optional<std::int64_t> part_full = std::nullopt) {
    const auto& container = setting_.shelf->cartridge(kit.line->cartridge)->thing;
    if (fetches_one_by_one() && !part_full)
      resupply(kit, {when.at - minutes{30}, when.offset_minutes}, 1);
    kit.cartridge = chance_.id();
    CartridgeLoaded loaded;
    loaded.cartridge = kit.cartridge;
    loaded.pen = kit.pen;
    loaded.copy = setting_.shelf->insulin(kit.line->insulin)->thing;
    loaded.content = container.content;
    kit.left = part_full.value_or(container.content.hundredths());
    loaded.units = units(kit.left);
    loaded.fits = container.fits;
    loaded.new_cartridge = !part_full.has_value();
    loaded.lot = lot();
    loaded.expires = when.day() + days{300 + chance_.below(200)};
    if (!kit.lots.empty() && !part_full) {  // the carton that has lain there longest
      std::tie(loaded.lot, *loaded.expires) = kit.lots.front();
      kit.lots.erase(kit.lots.begin());
    }
    add(loaded, when, "diary");
    kit.opened = when.day();
    kit.is_new = !part_full.has_value();
    kit.loaded = true;
    if (!part_full) kit.sealed = std::max<std::int64_t>(0, kit.sealed - 1);
  }

  void throw_away(Kit& kit, const When& when, ThrowReason reason) {
    add(ThrownAway{kit.cartridge, reason, ""}, when, "diary");
    kit.loaded = false;
  }

  std::int64_t prime_of(const Kit& kit) const {
    const auto& pen = setting_.shelf->pen(kit.line->pen)->thing;
    return (kit.is_new ? pen.prime_new_cartridge : pen.prime).hundredths();
  }

  // A cartridge that can give the dose is in the pen: the rest of the old one is thrown away, and
  // so is one past its days.
  void make_ready(Kit& kit, const When& when, std::int64_t dose) {
    const auto& insulin = setting_.shelf->insulin(kit.line->insulin)->thing;
    const bool keeps_too_long =
        persona_.story == Story::past_in_use && when.day() >= now_.day() - days{38};
    const bool over =
        kit.loaded && (when.day() - kit.opened).count() >= insulin.in_use_days && !keeps_too_long;
    const auto least = insulin.suspension && insulin.least_left_to_mix
                           ? insulin.least_left_to_mix->hundredths()
                           : 0;
    const bool short_of = kit.loaded && (kit.left < prime_of(kit) + dose || kit.left < least);
    const bool fresh_for_story = persona_.story == Story::past_in_use &&
                                 when.day() == now_.day() - days{38} && kit.opened != when.day();
    if (kit.loaded && (over || short_of || fresh_for_story)) {
      throw_away(kit, {when.at - minutes{6}, when.offset_minutes},
                 over || fresh_for_story ? ThrowReason::past_in_use
                 : kit.left == 0         ? ThrowReason::empty
                                         : ThrowReason::rest_too_small);
    }
    if (!kit.loaded) load(kit, {when.at - minutes{5}, when.offset_minutes});
  }

  Zone zone_for(const Line& line) {
    constexpr std::array belly{Zone::abdomen_left_upper, Zone::abdomen_right_upper,
                               Zone::abdomen_left_lower, Zone::abdomen_right_lower};
    constexpr std::array thigh{Zone::thigh_left, Zone::thigh_right};
    const auto turn = static_cast<std::size_t>(turn_++);
    return line.purpose == Purpose::background ? thigh[turn % thigh.size()]
                                               : belly[turn % belly.size()];
  }

  Injector injector_for(const Dose& dose) const {
    const auto who = persona_.background.injector;
    if (who != Injector::school_nurse) return who;
    return dose.slot == SlotName::lunch ? Injector::school_nurse : Injector::carer;
  }

  void inject(Kit& kit, const Dose& dose, const When& when) {
    make_ready(kit, when, dose.hundredths);
    const auto minute = [&](int m) { return When{when.at + minutes{m}, when.offset_minutes}; };
    const bool reuses =
        persona_.story == Story::needle_reused && when.day() >= now_.day() - days{6};
    if (!reuses || !needle_stays_) {
      add(NeedleOn{kit.pen, std::string(persona_.needle),
                   setting_.shelf->needle(persona_.needle)->thing.length, true},
          minute(0), "diary");
      needle_stays_ = reuses;
    }
    const bool left_out = chance_.one_in(25) && !reuses;  // priming is forgotten now and then
    if (!left_out) {
      const auto prime = prime_of(kit);
      add(Primed{kit.cartridge, units(prime), Flow::seen}, minute(1), "diary");
      kit.left -= prime;
    }
    Injected given;
    given.cartridge = kit.cartridge;
    given.units = units(dose.hundredths);
    given.line = kit.order;
    given.slot = dose.slot;
    place(given, *kit.line, when);
    given.given_by = injector_for(dose);
    kit.last_injection = add(given, minute(2), "diary").id;
    kit.left -= dose.hundredths;
    kit.is_new = false;
    if (!reuses) add(NeedleOff{kit.pen, Disposal::sharps_container}, minute(3), "diary");
  }

  bool leaves_to_story(const Kit& kit, const When& when) const {
    // The part dose is tonight's; the part-full cartridge of the one who runs out is written by the
    // story.
    const bool last_hours = when.at > now_.at - minutes{90};
    return last_hours ||
           (persona_.story == Story::runs_out_saturday && when.day() > now_.day() - days{8}) ||
           (persona_.story == Story::part_dose && when.day() == now_.day()) ||
           kit.line->doses.empty();
  }

  void live(LocalDay day) {
    if (persona_.story == Story::window_unknown) return;  // the pen came this week
    for (auto& kit : kits_) {
      const bool visit = (now_.day() - day).count() % days_between_visits == subject_.visit;
      if (visit && kit.sealed < 3 && !fetches_one_by_one())
        resupply(kit, zone_.resolve(LocalTime{day} + minutes{11 * 60}), 5);
      if (visit && frame_ != nullptr && &kit == &kits_.front() && frame_->habit == Habit::rotates)
        examine(zone_.resolve(LocalTime{day} + minutes{11 * 60 + 10}), std::nullopt);
      for (const auto& dose : kit.line->doses) {
        const auto when =
            zone_.resolve(LocalTime{day} + minutes{dose.minute + chance_.below(31) - 12});
        if (when.at < start_.at + minutes{90} || leaves_to_story(kit, when)) continue;
        const bool missed = chance_.one_in(60) && persona_.story != Story::runs_out_saturday;
        if (!missed) inject(kit, dose, when);
      }
    }
  }

  // ---- the stories' last pages

  void tell_story() {
    switch (persona_.story) {
      case Story::plain:
      case Story::new_here:
      case Story::past_in_use:
      case Story::order_ends:
      case Story::needle_reused:
      case Story::signature_owed:
        return;
      case Story::question_after_lows:
        felt_hardened_before();
        last_visit();
        return ask_about_lows();
      case Story::hardened_today:
        return feel_hardened_today();
      case Story::runs_out_saturday:
        return run_out();
      case Story::pen_in_the_sun:
        return lie_in_the_sun();
      case Story::corrected_entry:
        return correct();
      case Story::part_dose:
        return give_a_part();
      case Story::second_check:
        return change_order();
      case Story::window_unknown:
        return bring_new_pen();
      case Story::scale_disagrees:
        return count_scale();
      case Story::rest_too_small:
        return use_almost_up();
    }
  }

  // A week ago somebody watched her inject, and closed the visit.
  void last_visit() {
    const auto began =
        zone_.resolve(LocalTime{now_.day() - days{days_since_felt}} + minutes{9 * 60 + 50});
    const auto later = [&](int more) {
      return When{began.at + minutes{more}, began.offset_minutes};
    };
    const auto judged = [&](int more, HandStep of, std::string step, Judged how) {
      StepJudged one;
      one.of = of;
      one.step = std::move(step);
      one.how = how;
      add(one, later(more));
    };
    judged(12, HandStep::prime, "Prime 2 units", Judged::alone);
    judged(13, HandStep::dial, "Dial 6 units", Judged::alone);
    judged(14, HandStep::inject, "Needle in", Judged::not_done);
    judged(15, HandStep::hold, "Press to zero", Judged::after_a_hint);
    GlucoseNoted low;
    low.value = Glucose{GlucoseUnit::mmol_l, 30};
    low.felt = YesNo::yes;
    add(low, {began.at + days{3} - minutes{6 * 60}, began.offset_minutes});
    GlucoseNoted after;
    after.value = Glucose{GlucoseUnit::mmol_l, 58};
    add(after, {began.at + days{3} - minutes{6 * 60 - 20}, began.offset_minutes});
    VisitClosed closed;
    closed.began = began;
    closed.text = "Wants to learn the steps again with her daughter.";
    add(closed, later(40));
  }

  void ask_about_lows() {
    QuestionOpened question;
    question.line = kits_.back().order;
    question.reason = QuestionReason::lows;
    question.text = "below 3.9 mmol/L on four of the last seven nights";
    question.answer_by = zone_.resolve(LocalTime{now_.day()} + minutes{22 * 60});
    add(question, before_now(45));
  }

  void run_out() {
    auto& kit = kits_.front();
    const auto& dose = kit.line->doses.front();
    // So much is in the cartridge that Friday's dose is the last: from the day it is loaded to that
    // Friday, each with its prime.
    const auto today = now_.day();
    const auto from = today - days{7};
    auto saturday = today + days{1};
    while (std::chrono::weekday{saturday} != std::chrono::Saturday) saturday += days{1};
    const auto doses = (saturday - from).count();
    const auto content = setting_.shelf->cartridge(kit.line->cartridge)->thing.content.hundredths();
    const auto needed =
        doses * (setting_.shelf->pen(kit.line->pen)->thing.prime.hundredths() + dose.hundredths);
    if (kit.loaded)
      throw_away(kit, zone_.resolve(LocalTime{from} + minutes{20 * 60}), ThrowReason::lost);
    load(kit, zone_.resolve(LocalTime{from} + minutes{20 * 60 + 5}), std::min(content, needed));
    for (auto day = from; day <= today; day += days{1}) {
      const auto when = zone_.resolve(LocalTime{day} + minutes{dose.minute});
      if (when.at < now_.at - minutes{90}) inject(kit, dose, when);
    }
  }

  void lie_in_the_sun() {
    auto& kit = kits_.front();
    const auto noon = zone_.resolve(LocalTime{now_.day() - days{1}} + minutes{14 * 60 + 30});
    add(TemperatureSpell{kit.cartridge, TenthsCelsius{450}, 240, false, "left in a parked car"},
        noon);
  }

  void correct() {
    auto& kit = kits_.front();
    const auto found = std::ranges::find(journal_.facts, kit.last_injection, &Fact::id);
    INVARIANT(found != journal_.facts.end());
    auto right = std::get<Injected>(found->payload);
    std::get<Injected>(found->payload).units = sum(right.units, units(1000));
    Correction correction;
    correction.target = found->id;
    correction.reason = "written as ten more than was dialled";
    correction.replacement =
        std::make_shared<const Replacement>(Replacement{found->happened, found->sequence, right});
    add(correction, before_now(30));
  }

  void give_a_part() {
    auto& kit = kits_.front();
    const auto& dose = kit.line->doses.front();
    const auto when = before_now(50);
    make_ready(kit, when, dose.hundredths);
    add(NeedleOn{kit.pen, std::string(persona_.needle),
                 setting_.shelf->needle(persona_.needle)->thing.length, true},
        before_now(49));
    add(Primed{kit.cartridge, units(prime_of(kit)), Flow::seen}, before_now(48));
    Injected part;
    part.cartridge = kit.cartridge;
    part.units = units(1000);
    part.meant = units(dose.hundredths);
    part.outcome = Outcome::part;
    part.line = kit.order;
    part.slot = dose.slot;
    place(part, *kit.line, when);
    part.given_by = Injector::self;
    add(part, before_now(47));
    add(NeedleOff{kit.pen, Disposal::sharps_container}, before_now(46));
  }

  void change_order() {
    auto changed = *kits_.front().line;
    for (auto& dose : changed.doses) dose.hundredths += 200;
    write_order(changed, before_now(25), 2, kits_.front().order);
  }

  void bring_new_pen() {
    auto& kit = kits_.front();
    load(kit, before_now(60 * 20));
  }

  void count_scale() {
    auto& kit = kits_.front();
    const auto read = std::max<std::int64_t>(0, kit.left - 2400);
    add(ScaleCounted{kit.cartridge, units(read)}, before_now(35));
  }

  void use_almost_up() {
    auto& kit = kits_.front();
    const auto& dose = kit.line->doses.front();
    if (kit.loaded) throw_away(kit, before_now(60 * 30), ThrowReason::rest_too_small);
    load(kit, before_now(60 * 30 - 5), dose.hundredths * 2 / 3);
  }

  const Setting& setting_;
  const Persona& persona_;
  OrderLineChecked read_;  // of the order that was copied last
  Subject subject_;
  Chance chance_;
  Chance supply_chance_;
  ZoneRules zone_;
  When now_;
  When start_;
  Journal journal_;
  std::vector<Kit> kits_;
  std::uint32_t sequence_ = 0;
  int turn_ = 0;
  const Frame* frame_ = nullptr;
  std::optional<Walk> walk_;
  bool needle_stays_ = false;
};

std::uint64_t seed_of(const Setting& setting, std::size_t index) {
  return setting.seed + (index + 1) * 1'000'003;
}

// Who works here, and when it is closed.
void name(Journal& journal, const Setting& setting) {
  Chance chance(setting.seed);
  Fact fact;
  fact.id = chance.id();
  fact.journal = setting.clinic;
  fact.happened =
      setting.zone("Europe/Berlin").when(setting.now - days{days_before_today(setting)});
  fact.recorded = fact.happened.at;
  fact.author = nurse;
  fact.source = "bench";
  fact.payload =
      ClinicNamed{"Harbour Street Clinic", std::string(nurse), "Europe/Berlin", "555 0142", "112"};
  auto closed = fact;
  closed.id = chance.id();
  closed.sequence = 1;
  closed.payload = ClosedDaysSet{{Weekday::saturday, Weekday::sunday}, {}};
  journal.facts.push_back(std::move(fact));
  journal.facts.push_back(std::move(closed));
}

Journal with_stock(const Setting& setting, StockWriter stock) {
  Journal journal;
  journal.id = setting.clinic;
  journal.is_clinic = true;
  name(journal, setting);
  std::ranges::move(stock.finish(), std::back_inserter(journal.facts));
  // A crowd's hand-outs in the order in which they were made, as a clinic writes them.
  if (setting.people > people_count)
    std::ranges::stable_sort(journal.facts, {}, [](const Fact& fact) { return fact.happened.at; });
  return journal;
}

}  // namespace

Journal person(const Setting& setting, std::size_t index) {
  INVARIANT(index < setting.people);
  const auto seed = seed_of(setting, index);
  if (index < people_count)
    return Writer(setting, {.persona = people()[index], .index = index}, seed).write();
  Somebody somebody;
  invent(somebody, index, seed);
  return Writer(setting, {somebody.persona, index, somebody.days, somebody.visit}, seed).write();
}

Journal own_journal(const Setting& setting, const std::function<void(std::size_t)>& seen) {
  StockWriter stock(setting);
  for (std::size_t i = 0; i < setting.people; ++i) {
    if (seen) seen(i);
    stock.see(person(setting, i));
  }
  return with_stock(setting, std::move(stock));
}

std::vector<Journal> clinic(const Setting& setting) {
  INVARIANT(setting.people >= people_count && setting.people <= people_max);
  std::vector<Journal> out(1);
  StockWriter stock(setting);
  for (std::size_t i = 0; i < setting.people; ++i) {
    out.push_back(person(setting, i));
    stock.see(out.back());
  }
  out.front() = with_stock(setting, std::move(stock));
  return out;
}

}  // namespace penstock::demo
