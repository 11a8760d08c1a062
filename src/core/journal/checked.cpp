// What cannot be is refused, by name (H25); whatever can have happened is taken. The limits stand
// in facts.hpp, each with its reason.
#include <algorithm>
#include <functional>
#include <utility>

#include "core/journal/facts.hpp"
#include "core/units/units.hpp"

namespace penstock::journal {
namespace {

using std::chrono::days;

// ---- rules by field

struct CountRule {
  std::string_view field;
  std::int32_t least;
  std::int32_t most;
  std::string_view why;
};
constexpr CountRule count_rules[] = {
    {"order_version", 1, order_version_max, "limit.order_version"},
    {"minutes_before", 0, window_minutes_max, "limit.window"},
    {"minutes_after", 0, window_minutes_max, "limit.window"},
    {"minutes", 0, spell_minutes_max, "limit.spell"},
    {"cartridges", 0, supplies_max, "limit.supplies"},
    {"needles", 0, supplies_max, "limit.supplies"},
    {"rows", 0, import_rows_max, "limit.import_rows"},
    {"facts_new", 0, import_rows_max, "limit.import_rows"},
    {"journals", 0, journals_max, "limit.journals"},
    {"rest_days", 1, rest_days_max, "limit.rest"},
    {"angle_deg", angle_deg_least, angle_deg_max, "limit.angle"},
    {"lead_days", 0, lead_days_max, "limit.lead"},
    {"late_days", 0, lead_days_max, "limit.lead"},
    {"late_percent", 0, 99, "limit.percent"},
    {"service_per_thousand", service_least, service_max, "limit.service"},
    {"spare_cartridges", 0, spare_max, "limit.spare"},
    {"spare_pens", 0, spare_max, "limit.spare"},
    {"for_days", 1, due_days_max, "limit.for_days"},
    {"cartridges_per_box", 1, box_max, "limit.box"},
    {"needles_per_box", 1, box_max, "limit.box"},
    {"failed_needles_percent", 0, 50, "limit.percent"},
    {"boxes", 0, boxes_max, "limit.boxes"},
    {"needle_boxes", 0, boxes_max, "limit.boxes"},
    {"holds_needles", 4, supplies_max, "limit.supplies"},
    {"pieces", 0, pieces_max, "limit.pieces"},
};

constexpr CountRule length_rules[] = {
    {"x_mm", -spot_tenths_mm_max, spot_tenths_mm_max, "limit.spot"},
    {"y_mm", -spot_tenths_mm_max, spot_tenths_mm_max, "limit.spot"},
    // Zero: nobody said. A finding's own length is another's: see `look`.
    {"length_mm", 0, needle_tenths_mm_max, "limit.needle_mm"},
    {"needle_mm", 1, needle_tenths_mm_max, "limit.needle_mm"},
    {"radius_mm", 1, area_tenths_mm_max / 2, "limit.area"},
    {"depth_mm", 1, depth_tenths_mm_max, "limit.depth"},
    {"sd_mm", 1, depth_tenths_mm_max, "limit.depth"},
    {"spacing_mm", spacing_tenths_mm_least, spacing_tenths_mm_max, "limit.spacing"},
    {"navel_clear_mm", 0, navel_tenths_mm_max, "limit.navel"},
};

// What people write in sentences; every other text is one line of a form.
constexpr std::string_view long_texts[] = {
    "text",     "remark", "reason",  "service_reason",
    "sick_day", "said",   "kidneys", "other_glucose_medicines"};
// Days that lie behind whoever records them.
constexpr std::string_view past_days[] = {"born", "weighed_on", "signed_on"};
// Identities of other facts; a pen or cartridge may bear the identity of the fact that made it.
constexpr std::string_view fact_references[] = {"replaces", "line", "question", "completes"};

bool among(std::span<const std::string_view> names, std::string_view name) {
  return std::ranges::find(names, name) != names.end();
}

// Texts without which a fact says nothing.
template <class T>
constexpr std::array<std::string_view, 0> needed{};
template <>
constexpr auto needed<Fact> = std::to_array<std::string_view>({"author", "source"});
// H19: name, birth date and number together; H18: the zone in which the schedule lives.
template <>
constexpr auto needed<PersonRegistered> =
    std::to_array<std::string_view>({"full_name", "number", "zone"});
template <>
constexpr auto needed<OrderLineSigned> =
    std::to_array<std::string_view>({"insulin", "prescriber", "copied_by"});
template <>
constexpr auto needed<OrderLineChecked> = std::to_array<std::string_view>({"checked_by"});
template <>
constexpr auto needed<OrderLineEnded> = std::to_array<std::string_view>({"prescriber"});
template <>
constexpr auto needed<QuestionAnswered> = std::to_array<std::string_view>({"by"});
template <>
constexpr auto needed<PenGiven> = std::to_array<std::string_view>({"insulin"});
template <>
constexpr auto needed<Note> = std::to_array<std::string_view>({"text"});
// H32: dismissing needs a reason; the name is the author's.
template <>
constexpr auto needed<ReminderDismissed> =
    std::to_array<std::string_view>({"reminder", "basis", "reason"});
template <>
constexpr auto needed<PhoneAdvice> = std::to_array<std::string_view>({"said"});
template <>
constexpr auto needed<DiaryImported> = std::to_array<std::string_view>({"digest"});
template <>
constexpr auto needed<HeadsSealed> = std::to_array<std::string_view>({"digest"});
// What is not named cannot be found again when its lot is recalled.
template <>
constexpr auto needed<NeedlesGiven> = std::to_array<std::string_view>({"needle"});
template <>
constexpr auto needed<DifferenceTalked> = std::to_array<std::string_view>({"insulin"});
template <>
constexpr auto needed<StockCame> = std::to_array<std::string_view>({"item", "lot"});
template <>
constexpr auto needed<StockMoved> = std::to_array<std::string_view>({"item", "lot"});
template <>
constexpr auto needed<StockCounted> = std::to_array<std::string_view>({"item", "lot"});
template <>
constexpr auto needed<ProductLearnt> = std::to_array<std::string_view>({"gtin", "item"});
template <>
constexpr auto needed<RecallOpened> = std::to_array<std::string_view>({"lot"});
template <>
constexpr auto needed<ClinicNamed> = std::to_array<std::string_view>({"clinic", "user", "zone"});

bool is_digest(std::string_view text) {
  return text.size() == 64 && std::ranges::all_of(text, [](char c) {
           return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
         });
}

Arg number(std::string_view name, ArgType type, std::int64_t value) {
  return {std::string(name), type, value, {}};
}

/// Walks the fields of a fact and keeps the first thing that is wrong.
class Checks {
 public:
  explicit Checks(const Fact& fact) : fact_(fact) {}

  std::optional<Error> run() {
    // Everything else is compared with the instant at which it was recorded.
    const auto first = Instant{first_day.time_since_epoch()};
    const auto last = Instant{(first_day + days{days_ahead_max} * 3).time_since_epoch()};
    if (fact_.recorded < first || fact_.recorded > last) {
      time_wrong("recorded", "/recorded", first, last);
      return std::move(found_);
    }
    walk(fact_, needed<Fact>);
    if (found_) return std::move(found_);
    on_ = fact_.happened.day();
    payload(fact_.payload);
    return std::move(found_);
  }

  template <class T>
  void operator()(std::string_view field, const T& value) {
    if (found_) return;
    const auto length = path_.size();
    path_.append("/").append(field);
    field_ = field;
    look(value);
    path_.resize(length);
  }

 private:
  static constexpr std::int32_t days_ahead_max = years_ahead_max * 366;

  template <class T>
  void walk(const T& value, std::span<const std::string_view> needed_texts) {
    const auto outer = std::exchange(needed_, needed_texts);
    fields(*this, value);
    needed_ = outer;
  }
  void payload(const Payload& what) {
    std::visit(
        [this]<class T>(const T& kind) {
          if (found_) return;
          // Needles alone have no insulin, and so no strength.
          if constexpr (std::is_same_v<T, SuppliesGiven>) no_strength_ = kind.cartridges == 0;
          if constexpr (std::is_same_v<T, SuppliesCounted> || std::is_same_v<T, SuppliesAsked>)
            no_strength_ = is_blank(kind.insulin);
          walk(kind, needed<T>);
          if (!found_) whole(kind);
        },
        what);
  }

  // A citation is longer than the name of the way in, which is a "source", too.
  bool is_shelf_source() const { return field_ == "source" && path_ != "/source"; }

  // ---- errors
  void fail(std::string_view code, std::vector<Arg> args = {}) {
    args.insert(args.begin(), arg_code("field", field_));
    found_ = {Kind::invalid_input, std::string(code), std::move(args), path_};
  }
  void range(std::int64_t value, std::int64_t least, std::int64_t most, ArgType type,
             std::string_view why) {
    if (value >= least && value <= most) return;
    fail(codes::value_range, {number("value", type, value), number("least", type, least),
                              number("most", type, most), arg_code("why", why)});
  }
  void time_wrong(std::string_view field, std::string_view at, Instant least, Instant most) {
    const auto day = [](Instant instant) {
      return LocalDay{std::chrono::floor<days>(instant).time_since_epoch()};
    };
    found_ = {
        Kind::invalid_input,
        std::string(codes::time_range),
        {arg_code("field", field), arg_date("least", day(least)), arg_date("most", day(most))},
        std::string(at)};
  }
  /// The same question about a field that was walked before, once its neighbours are known.
  template <class Ask>
  void at(std::string_view field, const Ask& ask) {
    if (found_) return;
    const auto length = path_.size();
    path_.append("/").append(field);
    field_ = field.substr(field.rfind('/') + 1);
    ask();
    path_.resize(length);
  }

  // ---- one value
  void look(const Id& id) {
    if (id.is_nil()) return fail(codes::identity_missing);
    if (among(fact_references, field_) && id == fact_.id) fail(codes::names_itself);
  }
  void look(const std::string& text) {
    const bool long_text = among(long_texts, field_) || is_shelf_source();
    const auto most = long_text ? text_bytes_max : name_bytes_max;
    if (is_blank(text) && among(needed_, field_)) return fail(codes::text_empty);
    if (std::ssize(text) > most) {
      return fail(codes::text_long, {arg_count("most", most)});
    }
    const bool form = is_plain_text(text, long_text ? Lines::many : Lines::one);
    const bool digest = field_ == "digest" || (field_ == "photo" && !text.empty());
    if (!form || (digest && !is_digest(text))) fail(codes::text_form);
  }
  void look(Units units) {
    range(units.hundredths(), 0, record_hundredths_max, ArgType::units, "limit.record_units");
  }
  void look(Strength strength) {
    if (no_strength_ && strength.units_per_ml == 0) return;
    range(strength.units_per_ml, shelf::limits::strength_units_per_ml.least,
          shelf::limits::strength_units_per_ml.most, ArgType::strength, "limit.strength");
  }
  void look(std::int32_t count) {
    const auto rule = std::ranges::find(count_rules, field_, &CountRule::field);
    INVARIANT(rule != std::end(count_rules));  // a new field needs its limit
    range(count, rule->least, rule->most, ArgType::count, rule->why);
  }
  void look(TenthsKg weight) {
    range(weight.tenths, weight_tenths_kg_least, weight_tenths_kg_max, ArgType::tenths,
          "limit.weight");
  }
  void look(TenthsCelsius celsius) {
    range(celsius.tenths, celsius_tenths_least, celsius_tenths_max, ArgType::celsius,
          "limit.celsius");
  }
  void look(TenthsMm length) {
    if (finding_ != nullptr && (field_ == "length_mm" || field_ == "width_mm")) {
      // Of what may be used again nothing may be left.
      const auto least = finding_->verdict == AreaVerdict::may_be_used ? 0 : 1;
      return range(length.tenths, least, area_tenths_mm_max, ArgType::tenths, "limit.area");
    }
    const auto rule = std::ranges::find(length_rules, field_, &CountRule::field);
    INVARIANT(rule != std::end(length_rules));  // a new field needs its limit
    range(length.tenths, rule->least, rule->most, ArgType::tenths, rule->why);
  }
  void look(TenthsCm length) {
    if (field_ == "waist_cm") {
      return range(length.tenths, waist_tenths_cm_least, waist_tenths_cm_max, ArgType::tenths,
                   "limit.waist");
    }
    range(length.tenths, height_tenths_cm_least, height_tenths_cm_max, ArgType::tenths,
          "limit.height");
  }
  void look(Glucose glucose) {
    look_choice(static_cast<std::int64_t>(glucose.unit), 2);
    if (found_) return;
    const bool mmol = glucose.unit == GlucoseUnit::mmol_l;
    range(glucose.value, mmol ? low_limit_mmol_tenths_least : low_limit_mg_least,
          mmol ? low_limit_mmol_tenths_max : low_limit_mg_max,
          mmol ? ArgType::tenths : ArgType::count, "limit.low_limit");
  }
  void look(MinuteOfDay minute) {
    range(minute.minutes, 0, 24 * 60 - 1, ArgType::count, "limit.minute_of_day");
  }
  void look(LocalDay day) {
    const auto today = std::chrono::floor<days>(fact_.recorded).time_since_epoch();
    const bool past = among(past_days, field_);
    // One day of grace: east of Greenwich it is tomorrow already.
    const auto most = today + days{past ? 1 : days_ahead_max};
    range(day.time_since_epoch().count(), first_day.time_since_epoch().count(), most.count(),
          ArgType::date, past ? "limit.date_past" : "limit.date_ahead");
  }
  void look(const When& when) {
    const auto first = Instant{first_day.time_since_epoch()};
    const auto last = fact_.recorded + days{field_ == "happened" ? 1 : days_ahead_max};
    if (when.at < first || when.at > last) return time_wrong(field_, path_, first, last);
    range(when.offset_minutes, -offset_minutes_max, offset_minutes_max, ArgType::count,
          "limit.offset");
  }
  void look(Instant) {}        // recorded: asked first of all
  void look(std::uint32_t) {}  // sequence: any
  void look(bool) {}
  void look_choice(std::int64_t value, std::int64_t choices) {
    range(value, 0, choices - 1, ArgType::count, "limit.choice");
  }
  template <class T>
    requires std::is_enum_v<T>
  void look(T choice) {
    look_choice(static_cast<std::int64_t>(choice), std::ssize(names_of(choice)));
  }
  template <class T>
  void look(const std::optional<T>& value) {
    if (value) look(*value);
  }
  void look(const std::vector<Slot>& slots) { each(slots, 0, slots_max, "limit.slots"); }
  void look(const std::vector<Zone>& zones) {
    each(zones, 0, std::ssize(zone_names), "limit.zones");
    no_two_alike(zones, "", [](Zone zone) { return zone; });
  }
  void look(const std::vector<SlotPart>& parts) {
    each(parts, 0, slots_max, "limit.slots");
    no_two_alike(parts, "/slot", &SlotPart::slot);
  }
  void look(const std::vector<SkinFinding>& findings) {
    each(findings, 0, findings_max, "limit.findings");
    no_two_alike(findings, "/area", &SkinFinding::area);
  }
  void look(const std::vector<Units>& measured) {
    each(measured, 2, measured_doses_max, "limit.measured");
  }
  void look(const std::vector<Weekday>& weekdays) {
    // A place that never opens hands nothing out.
    each(weekdays, 0, std::ssize(Weekday_names) - 1, "limit.closed");
    no_two_alike(weekdays, "", [](Weekday day) { return day; });
  }
  void look(const std::vector<LocalDay>& dates) {
    each(dates, 0, closed_dates_max, "limit.closed");
    no_two_alike(dates, "", [](LocalDay day) { return day; });
  }
  void look(const std::vector<PromisedPlace>& places) {
    each(places, 1, places_max, "limit.places");
  }
  template <class T>
  void each(const std::vector<T>& values, std::int64_t least, std::int64_t most,
            std::string_view why) {
    range(std::ssize(values), least, most, ArgType::count, why);
    for (std::size_t n = 0; n < values.size(); ++n) (*this)(std::to_string(n), values[n]);
  }
  // What is said twice in one list could be said in two ways. Lists that come here are short.
  template <class T, class Key>
  void no_two_alike(const std::vector<T>& values, std::string_view where, Key key) {
    const auto list = path_.substr(path_.rfind('/') + 1);
    for (auto here = values.begin(); !found_ && here != values.end(); ++here) {
      const auto before = std::ranges::find(values.begin(), here, std::invoke(key, *here), key);
      if (before == here) continue;
      at(std::to_string(here - values.begin()) + std::string(where), [&] {
        field_ = list;
        fail(codes::repeated);
      });
    }
  }
  void look(const std::shared_ptr<const Replacement>& replacement) {
    if (!replacement) return;
    if (std::holds_alternative<Correction>(replacement->payload)) {
      return fail(codes::correction_target);
    }
    (*this)("happened", replacement->happened);
    on_ = replacement->happened.day();
    payload(replacement->payload);
  }
  // A struct in a struct: its texts have their own names, and none of them is needed.
  void look(const Background& background) { walk(background, {}); }
  void look(const Slot& slot) { walk(slot, {}); }
  void look(const Spot& spot) { walk(spot, {}); }
  void look(const SlotPart& part) { walk(part, {}); }
  void look(const PromisedPlace& place) { walk(place, {}); }
  void look(const SkinFinding& finding) {
    finding_ = &finding;
    walk(finding, {});
    finding_ = nullptr;
  }

  // ---- what the shelf knows better
  template <class Thing>
  void shelf_says(const Thing& thing) {
    if (const auto good = shelf::checked(thing); !good) {
      found_ = located(good.error(), path_ + "/" + good.error().at);
    }
  }
  void look(const shelf::Pen& pen) { shelf_says(pen); }
  void look(const shelf::Insulin& insulin) { shelf_says(insulin); }
  void look(const shelf::Cartridge& cartridge) { shelf_says(cartridge); }
  void look(const shelf::Needle& needle) { shelf_says(needle); }
  template <class Thing>
  void look(const shelf::Entry<Thing>& entry) {
    if (const auto code = shelf::checked_code(entry.code); !code) {
      found_ = located(code.error(), path_ + "/code");
      return;
    }
    (*this)("thing", entry.thing);
    at("sources", [&] {
      range(std::ssize(entry.sources), 0, shelf_sources_max, ArgType::count, "limit.sources");
    });
    for (std::size_t n = 0; n < entry.sources.size(); ++n) {
      at("sources/" + std::to_string(n), [&] { walk(entry.sources[n], {}); });
    }
  }

  // ---- what only the whole payload shows
  template <class T>
  void whole(const T&) {}
  void whole(const Correction& correction) {
    at("target", [&] {
      if (correction.target == fact_.id) fail(codes::correction_target);
    });
    at("wrong_person", [&] {
      if (correction.wrong_person && correction.replacement) fail(codes::correction_both);
    });
  }
  void whole(const OrderLineSigned& line) {
    const auto least = line.least_units.hundredths();
    const auto most = line.most_units.hundredths();
    // A line that allows nothing is a field that was left out.
    at("most_units", [&] {
      range(most, std::max<std::int64_t>(least, 1), record_hundredths_max, ArgType::units,
            "limit.least_most");
    });
    for (std::size_t n = 0; n < line.slots.size(); ++n) {
      at("slots/" + std::to_string(n) + "/units", [&] {
        range(line.slots[n].units.hundredths(), least, most, ArgType::units, "limit.slot_in_range");
      });
    }
    at("until", [&] {
      if (!line.until || *line.until >= line.from) return;
      const auto day = [](LocalDay date) { return date.time_since_epoch().count(); };
      const auto last = std::chrono::floor<days>(fact_.recorded).time_since_epoch();
      range(day(*line.until), day(line.from), last.count() + days_ahead_max, ArgType::date,
            "limit.from_until");
    });
  }
  void whole(const CartridgeLoaded& loaded) {
    at("content_units", [&] {
      range(loaded.content.hundredths(), 1, record_hundredths_max, ArgType::units, "limit.content");
    });
    at("units", [&] {
      range(loaded.units.hundredths(), 0, loaded.content.hundredths(), ArgType::units,
            "limit.not_fuller");
    });
  }

  void whole(const BodyMeasured& body) {
    at("due", [&] {
      if (!body.due) return;
      const auto count = [](LocalDay date) { return date.time_since_epoch().count(); };
      range(count(*body.due), count(on_) - due_days_max, count(on_) + due_days_max, ArgType::date,
            "limit.due");
    });
  }
  void whole(const DepthMeasured& measured) {
    at("sd_mm",
       [&] { range(measured.sd.tenths, 1, measured.depth.tenths, ArgType::tenths, "limit.sd"); });
  }
  void whole(const SkinExamined& examined) {
    at("zones", [&] {
      if (examined.findings.empty()) some_zone(examined.zones);
    });
    at("photo", [&] {
      if (!examined.photo.empty() && !examined.photo_consent) fail(codes::photo_consent);
    });
  }
  void whole(const PlaceRulesSet& rules) {
    at("zones", [&] { some_zone(rules.zones); });
  }
  void some_zone(const std::vector<Zone>& zones) {
    range(std::ssize(zones), 1, std::ssize(zone_names), ArgType::count, "limit.zones");
  }

  void whole(const SuppliesGiven& given) {
    if (given.cartridges > 0) of_insulin(given.insulin, given.each);
  }

  // How much of an insulin: its name, and what one cartridge of it holds.
  void of_insulin(const std::string& insulin, Units each) {
    at("insulin", [&] {
      if (is_blank(insulin)) fail(codes::text_empty);
    });
    at("each_units", [&] {
      range(each.hundredths(), 1, record_hundredths_max, ArgType::units, "limit.content");
    });
  }
  void whole(const SuppliesCounted& counted) {
    if (counted.cartridges) return of_insulin(counted.insulin, counted.each);
    at("needles", [&] {
      if (!counted.needles) range(0, 1, supplies_max, ArgType::count, "limit.supplies");
    });
  }
  void whole(const NeedlesGiven& given) { some("needles", given.needles, supplies_max); }
  // At least one piece, or the fact says nothing.
  void some(std::string_view field, std::int32_t pieces, std::int32_t most,
            std::string_view why = "limit.supplies") {
    at(field, [&] { range(pieces, 1, most, ArgType::count, why); });
  }
  void whole(const SupplyRulesSet& rules) {
    // Less than the usual certainty is somebody's decision, and has a reason.
    if (rules.service_per_thousand < service_plain_least) {
      at("service_reason", [&] {
        if (is_blank(rules.service_reason)) fail(codes::service_reason);
      });
      at("service_by", [&] {
        if (is_blank(rules.service_by)) fail(codes::service_reason);
      });
    }
    at("late_days", [&] {
      if (rules.late_percent > 0)
        range(rules.late_days, rules.lead_days, lead_days_max, ArgType::count, "limit.lead");
    });
  }
  void whole(const SuppliesAsked& asked) {
    if (asked.boxes > 0) {
      return at("insulin", [&] {
        if (is_blank(asked.insulin)) fail(codes::text_empty);
      });
    }
    some("needle_boxes", asked.needle_boxes, boxes_max, "limit.boxes");
  }
  void whole(const TripPlanned& trip) {
    ascend("returns", trip.leaves, trip.returns, "limit.trip");
  }
  void whole(const DifferenceTalked& talked) {
    ascend("until", talked.from, talked.until, "limit.period");
  }
  void ascend(std::string_view field, LocalDay from, LocalDay until, std::string_view why) {
    const auto count = [](LocalDay date) { return date.time_since_epoch().count(); };
    at(field,
       [&] { range(count(until), count(from), count(from) + due_days_max, ArgType::date, why); });
  }
  void whole(const PenTested& tested) {
    at("dialled_units", [&] {
      range(tested.dialled.hundredths(), 1, record_hundredths_max, ArgType::units,
            "limit.record_units");
    });
  }
  void whole(const StockCame& came) { some("pieces", came.pieces, pieces_max, "limit.pieces"); }
  void whole(const StockMoved& moved) { some("pieces", moved.pieces, pieces_max, "limit.pieces"); }
  void whole(const ProductLearnt& learnt) {
    some("pieces", learnt.pieces, pieces_max, "limit.pieces");
  }

  const Fact& fact_;
  std::optional<Error> found_;
  std::string path_;
  std::string_view field_;
  std::span<const std::string_view> needed_;
  LocalDay on_;  ///< on which what is walked happened
  bool no_strength_ = false;
  const SkinFinding* finding_ = nullptr;  ///< whose fields are walked
};

}  // namespace

Result<Fact> checked(Fact fact) {
  if (auto error = Checks(fact).run()) return std::move(*error);
  return fact;
}

}  // namespace penstock::journal
