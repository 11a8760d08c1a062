#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

/// The words of a choice as this field says them: what is on file stays as it is.
constexpr Field said_by(Field field, std::string_view names) {
  field.said_as = names;
  return field;
}

constexpr Field background_fields[] = {
    FIELD(Background, diabetes, "diabetes"),
    FIELD(Background, weight, "weight_kg")
        .within(weight_tenths_kg_least, weight_tenths_kg_max, "limit.weight")
        .usual(usual_weight_tenths_kg_least, usual_weight_tenths_kg_most, "usual.weight"),
    FIELD(Background, weighed_on, "weighed_on").past(),
    FIELD(Background, pregnant, "pregnant").offering(yes_first),
    FIELD(Background, kidneys, "kidneys").long_text(),
    FIELD(Background, other_glucose_medicines, "other_glucose_medicines").long_text(),
    FIELD(Background, severe_lows, "severe_lows").offering(yes_first),
    said_by(FIELD(Background, feels_lows, "feels_lows").offering(yes_first), "awareness/"),
    FIELD(Background, lives_alone, "lives_alone").offering(yes_first),
    FIELD(Background, drives, "drives").offering(yes_first),
    FIELD(Background, injector, "injector"),
    said_by(FIELD(Background, sight, "sight"), "ability/"),
    said_by(FIELD(Background, hands, "hands"), "ability/"),
    said_by(FIELD(Background, hearing, "hearing"), "ability/"),
    said_by(FIELD(Background, memory, "memory"), "ability/"),
    FIELD(Background, speaks, "speaks"),
    FIELD(Background, reads, "reads"),
    FIELD(Background, interpreter, "interpreter").offering(yes_first)};
constexpr Field person_registered_fields[] = {
    FIELD(PersonRegistered, full_name, "full_name").needed().like(R"("Mary Miller")"),
    FIELD(PersonRegistered, born, "born")
        .usual(0, usual_age_years_most, "usual.age")
        .past()
        .like(R"("1958-06-04")"),
    FIELD(PersonRegistered, number, "number").needed().like(R"("HS-0117")"),
    FIELD(PersonRegistered, zone, "zone").needed().like(R"("Europe/Berlin")"),
    FIELD(PersonRegistered, phone, "phone").like(R"("030 555 0117")"),
    FIELD(PersonRegistered, background, "background")
        .optional()
        .like(R"({"diabetes": "type 2", "weight_kg": 72.4, "weighed_on": "2026-03-02",)"
              R"( "injector": "self", "sight": "reduced"})")};
constexpr Field background_noted_fields[] = {
    FIELD(BackgroundNoted, background, "background")
        .optional()
        .like(R"({"diabetes": "type 2", "lives_alone": "yes", "speaks": "German"})")};

constexpr Field details_changed_fields[] = {
    FIELD(DetailsChanged, full_name, "full_name").needed().like(R"("Mary Miller-Jones")"),
    FIELD(DetailsChanged, born, "born")
        .usual(0, usual_age_years_most, "usual.age")
        .past()
        .like(R"("1958-06-04")"),
    FIELD(DetailsChanged, number, "number").needed().like(R"("HS-0117")"),
    FIELD(DetailsChanged, phone, "phone").like(R"("030 555 0117")"),
    FIELD(DetailsChanged, zone, "zone").since(2).like(R"("Europe/Lisbon")")};

}  // namespace

constexpr Group Background::list = fields::group<Background>(background_fields);
constexpr KindInfo PersonRegistered::kind = listed<PersonRegistered>(person_registered_fields);
constexpr KindInfo BackgroundNoted::kind = listed<BackgroundNoted>(background_noted_fields);
constexpr KindInfo DetailsChanged::kind =
    listed<DetailsChanged>(details_changed_fields, {.form = {"details"}});

int age_years(LocalDay born, LocalDay on) {
  const auto date = [](LocalDay day) {
    return std::chrono::year_month_day{std::chrono::sys_days{day.time_since_epoch()}};
  };
  const auto from = date(born);
  const auto to = date(on);
  const int years = static_cast<int>(to.year()) - static_cast<int>(from.year());
  // Somebody born on 29 February turns a year older on 1 March where there is no 29th.
  const bool had_birthday = std::chrono::month_day{to.month(), to.day()} >=
                            std::chrono::month_day{from.month(), from.day()};
  return had_birthday ? years : years - 1;
}

}  // namespace penstock::facts
