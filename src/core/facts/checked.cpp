// What cannot be is refused, by name (H25); whatever can have happened is taken. The limits stand
// in the lists.
#include <algorithm>
#include <string>
#include <utility>

#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

using fields::as;
using fields::Range;
using fields::Type;
using std::chrono::days;
using ReplacementPointer = std::shared_ptr<const Replacement>;

constexpr std::int32_t days_ahead_max = years_ahead_max * 366;

bool is_digest(std::string_view text) {
  return text.size() == 64 && std::ranges::all_of(text, [](char c) {
           return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
         });
}

Arg number(std::string_view name, ArgType type, std::int64_t value) {
  return {std::string(name), type, value, {}};
}

/// Walks the lists of a fact and keeps the first thing that is wrong.
class Checks final : public Whole {
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
    walk(Fact::list, &fact_);
    if (found_) return std::move(found_);
    on_ = fact_.happened.day();
    payload(fact_.payload);
    return std::move(found_);
  }

  // ---- for what only the whole shows
  void range(std::string_view field, std::int64_t value, std::int64_t least, std::int64_t most,
             ArgType type, std::string_view why) override {
    at(field, [&] { range(value, {least, most, why}, type); });
  }
  void refuse(std::string_view field, std::string_view code) override {
    at(field, [&] { fail(code); });
  }
  LocalDay on() const override { return on_; }
  LocalDay last_day() const override { return LocalDay{today() + days{days_ahead_max}}; }
  const Id& id() const override { return fact_.id; }

 private:
  void payload(const Payload& what) {
    const auto& kind = kind_of(what);
    walk(kind, body(what));
    if (!found_ && kind.sound != nullptr) kind.sound(body(what), *this);
  }
  void walk(const Group& list, const void* owner) {
    for (const auto& field : list.fields) {
      at(field.name, [&] { held(field, owner); });
    }
  }
  /// Does something at a path inside what is walked, unless something was wrong before.
  template <class Do>
  void at(std::string_view field, const Do& look) {
    if (found_) return;
    const auto length = path_.size();
    path_.append("/").append(field);
    field_ = field.substr(field.rfind('/') + 1);
    look();
    path_.resize(length);
  }

  // ---- errors
  void fail(std::string_view code, std::vector<Arg> args = {}) {
    args.insert(args.begin(), arg_code("field", field_));
    found_ = {penstock::Kind::invalid_input, std::string(code), std::move(args), path_};
  }
  void range(std::int64_t value, const Range& limits, ArgType type) {
    if (value >= limits.least && value <= limits.most) return;
    fail(codes::value_range, {number("value", type, value), number("least", type, limits.least),
                              number("most", type, limits.most), arg_code("why", limits.why)});
  }
  void time_wrong(std::string_view field, std::string_view at, Instant least, Instant most) {
    const auto day = [](Instant instant) {
      return LocalDay{std::chrono::floor<days>(instant).time_since_epoch()};
    };
    found_ = {
        penstock::Kind::invalid_input,
        std::string(codes::time_range),
        {arg_code("field", field), arg_date("least", day(least)), arg_date("most", day(most))},
        std::string(at)};
  }
  days today() const { return std::chrono::floor<days>(fact_.recorded).time_since_epoch(); }

  // ---- none, one or many
  void held(const Field& field, const void* owner) {
    const auto* value = field.in(owner);
    if (field.holder == nullptr) return one(field, value, owner, limits_of(field));
    const auto size = field.holder->size(value);
    if (!field.holder->many) {
      if (size > 0) one(field, field.holder->at(value, 0), owner, limits_of(field));
      return;
    }
    range(static_cast<std::int64_t>(size), field.hard, ArgType::count);
    for (std::size_t n = 0; n < size && !found_; ++n) {
      at(std::to_string(n),
         [&] { one(field, field.holder->at(value, n), owner, limits_of_item(field)); });
    }
    if (field.is_distinct) no_two_alike(field, value);
  }
  // What is said twice in one list could be said in two ways. Lists that come here are short.
  void no_two_alike(const Field& field, const void* list) {
    const auto* key = field.key.empty() ? nullptr : field.group->find(field.key);
    const Group by{{key == nullptr ? &field : key, 1}, nullptr};
    const auto same_key = [&](const void* a, const void* b) {
      return key == nullptr ? number_in(field.type, a) == number_in(field.type, b) : same(by, a, b);
    };
    const auto size = field.holder->size(list);
    for (std::size_t here = 1; here < size && !found_; ++here) {
      for (std::size_t before = 0; before < here && !found_; ++before) {
        if (!same_key(field.holder->at(list, before), field.holder->at(list, here))) continue;
        auto where = std::to_string(here);
        if (key != nullptr) where.append("/").append(key->name);
        at(where, [&] {
          field_ = field.name;
          fail(codes::repeated);
        });
      }
    }
  }

  // ---- one value
  void one(const Field& field, const void* value, const void* owner, Range limits) {
    switch (field.type) {
      case Type::flag:
      case Type::sequence:
      case Type::instant:  // recorded: asked first of all
        return;
      case Type::text:
        return text(field, as<std::string>(value));
      case Type::id:
        if (as<Id>(value).is_nil()) return fail(codes::identity_missing);
        if (field.is_another && as<Id>(value) == fact_.id) fail(codes::names_itself);
        return;
      case Type::glucose:
        return glucose(field, as<Glucose>(value));
      case Type::hba1c:
        return hba1c(as<Hba1c>(value));
      case Type::day:
        return day(field, as<LocalDay>(value));
      case Type::when:
        return when(field, as<When>(value));
      case Type::group:
        return group(*field.group, value);
      case Type::fact:
        return replaced(as<ReplacementPointer>(value));
      default: {
        const auto number = number_in(field.type, value);
        if (field.least != nullptr) limits.least = field.least(owner, number);
        return range(number, limits, arg_type_of(field.type));
      }
    }
  }
  void text(const Field& field, const std::string& text) {
    if (field.judge != nullptr) return judged(field.judge(&text));
    const auto most = field.is_long ? text_bytes_max : name_bytes_max;
    if (field.is_needed && is_blank(text)) return fail(codes::text_empty);
    if (std::ssize(text) > most) return fail(codes::text_long, {arg_count("most", most)});
    const bool form = is_plain_text(text, field.is_long ? Lines::many : Lines::one);
    const bool digest = field.is_digest && !text.empty();
    if (!form || (digest && !is_digest(text))) fail(codes::text_form);
  }
  /// A reading where its list says so, else the limit below which only a low is treated.
  void glucose(const Field& field, const Glucose& glucose) {
    range(static_cast<std::int64_t>(glucose.unit), {0, 1, "limit.choice"}, ArgType::count);
    if (found_) return;
    const bool is_mmol = glucose.unit == GlucoseUnit::mmol_l;
    const Range low =
        is_mmol ? Range{low_limit_mmol_tenths_least, low_limit_mmol_tenths_max, "limit.low_limit"}
                : Range{low_limit_mg_least, low_limit_mg_max, "limit.low_limit"};
    const Range reading =
        is_mmol ? Range{glucose_mmol_tenths_least, glucose_mmol_tenths_max, "limit.glucose"}
                : Range{glucose_mg_least, glucose_mg_max, "limit.glucose"};
    range(glucose.value, field.hard.why.empty() ? low : reading,
          is_mmol ? ArgType::tenths : ArgType::count);
  }
  void hba1c(const Hba1c& value) {
    range(static_cast<std::int64_t>(value.unit), {0, 1, "limit.choice"}, ArgType::count);
    if (found_) return;
    const bool is_percent = value.unit == Hba1cUnit::ngsp_percent;
    const Range limits =
        is_percent ? Range{hba1c_percent_tenths_least, hba1c_percent_tenths_max, "limit.hba1c"}
                   : Range{hba1c_mmol_mol_least, hba1c_mmol_mol_max, "limit.hba1c"};
    range(value.value, limits, is_percent ? ArgType::tenths : ArgType::count);
  }
  void day(const Field& field, LocalDay day) {
    // One day of grace: east of Greenwich it is tomorrow already.
    const auto most = today() + days{field.is_past ? 1 : days_ahead_max};
    range(number_in(Type::day, &day),
          {first_day.time_since_epoch().count(), most.count(),
           field.is_past ? "limit.date_past" : "limit.date_ahead"},
          ArgType::date);
  }
  void when(const Field& field, const When& when) {
    const auto first = Instant{first_day.time_since_epoch()};
    const auto last = fact_.recorded + days{field.is_past ? 1 : days_ahead_max};
    if (when.at < first || when.at > last) return time_wrong(field_, path_, first, last);
    range(when.offset_minutes, {-offset_minutes_max, offset_minutes_max, "limit.offset"},
          ArgType::count);
  }
  void group(const Group& list, const void* value) {
    if (list.judge != nullptr) return judged(list.judge(value));
    walk(list, value);
  }
  // What the shelf knows better, in its own words.
  void judged(std::optional<Error> error) {
    if (!error) return;
    auto where = error->at.empty() ? path_ : path_ + "/" + error->at;
    found_ = located(*std::move(error), where);
  }
  void replaced(const ReplacementPointer& replacement) {
    if (!replacement) return;
    if (std::holds_alternative<Correction>(replacement->payload)) {
      return fail(codes::correction_target);
    }
    constexpr Field happened{.name = "happened", .type = Type::when, .is_past = true};
    at("happened", [&] { when(happened, replacement->happened); });
    on_ = replacement->happened.day();
    payload(replacement->payload);
  }

  const Fact& fact_;
  std::optional<Error> found_;
  std::string path_;
  std::string_view field_;
  LocalDay on_;  ///< on which what is walked happened
};

}  // namespace

Result<Fact> checked(Fact fact) {
  if (auto error = Checks(fact).run()) return std::move(*error);
  return fact;
}

}  // namespace penstock::facts
