// The lists of what stands on the shelf. What a thing may be is for `checked` to say, in the
// shelf's own codes; the limits stand here for the schema.
#include "core/fields/fields.hpp"
#include "core/shelf/shelf.hpp"

namespace penstock::shelf {
namespace {

using fields::Field;

template <class Thing>
std::optional<Error> judge(const void* thing) {
  auto good = checked(fields::as<Thing>(thing));
  if (good) return std::nullopt;
  return std::move(good.error());
}
std::optional<Error> judge_code(const void* code) {
  auto good = checked_code(fields::as<std::string>(code));
  if (good) return std::nullopt;
  return located(std::move(good.error()), "");
}

consteval Field within(const Field& field, const Limit& limit) {
  return field.within(limit.least, limit.most, limit.why);
}

constexpr Field insulin_fields[] = {
    FIELD(Insulin, name, "name"),
    within(FIELD(Insulin, strength, "strength_units_per_ml"), limits::strength_units_per_ml),
    FIELD(Insulin, action, "action"),
    FIELD(Insulin, suspension, "suspension"),
    within(FIELD(Insulin, in_use_days, "in_use_days"), limits::in_use_days),
    FIELD(Insulin, counts_from_fridge, "counts_from_fridge"),
    within(FIELD(Insulin, in_use_most, "in_use_most_celsius"), limits::in_use_most_tenths),
    within(FIELD(Insulin, store_least, "store_least_celsius"), limits::store_least_tenths),
    within(FIELD(Insulin, store_most, "store_most_celsius"), limits::store_most_tenths),
    within(FIELD(Insulin, least_left_to_mix, "least_left_to_mix_units"),
           limits::content_hundredths)};
constexpr Field cartridge_fields[] = {
    FIELD(Cartridge, name, "name"),
    FIELD(Cartridge, insulin, "insulin"),
    FIELD(Cartridge, presentation, "presentation"),
    within(FIELD(Cartridge, tenths_ml, "tenths_ml"), limits::cartridge_tenths_ml),
    within(FIELD(Cartridge, content, "content_units"), limits::content_hundredths),
    FIELD(Cartridge, fits, "fits"),
    FIELD(Cartridge, pen, "pen")};
constexpr Field pen_fields[] = {
    FIELD(Pen, name, "name"),
    within(FIELD(Pen, step, "step_units"), limits::step_hundredths),
    within(FIELD(Pen, most, "most_units"), limits::pen_most_hundredths),
    FIELD(Pen, window, "window"),
    FIELD(Pen, takes, "takes"),
    within(FIELD(Pen, prime, "prime_units"), limits::prime_hundredths),
    within(FIELD(Pen, prime_new_cartridge, "new_cartridge_prime_units"), limits::prime_hundredths),
    within(FIELD(Pen, hold_seconds, "hold_seconds"), limits::hold_seconds),
    FIELD(Pen, turns_back, "turns_back"),
    FIELD(Pen, when_short, "when_short"),
    FIELD(Pen, fits, "fits"),
    FIELD(Pen, needle_fits, "needle_fits")};
constexpr Field needle_fields[] = {
    FIELD(Needle, name, "name"),
    within(FIELD(Needle, length, "length_mm"), limits::needle_tenths_mm),
    within(FIELD(Needle, gauge, "gauge"), limits::needle_gauge), FIELD(Needle, fits, "fits"),
    FIELD(Needle, safety, "safety")};

// A citation is longer than a name.
constexpr Field source_fields[] = {FIELD(FigureSource, field, "field"),
                                   FIELD(FigureSource, source, "source").long_text(),
                                   FIELD(FigureSource, known, "known")};

template <class Thing>
constexpr Field entry_fields[] = {FIELD(Entry<Thing>, code, "code").judged(judge_code),
                                  FIELD(Entry<Thing>, thing, "thing"),
                                  within(FIELD(Entry<Thing>, sources, "sources"), limits::sources)};

}  // namespace

constexpr fields::Group Insulin::list = fields::group<Insulin>(insulin_fields, judge<Insulin>);
constexpr fields::Group Cartridge::list =
    fields::group<Cartridge>(cartridge_fields, judge<Cartridge>);
constexpr fields::Group Pen::list = fields::group<Pen>(pen_fields, judge<Pen>);
constexpr fields::Group Needle::list = fields::group<Needle>(needle_fields, judge<Needle>);
constexpr fields::Group FigureSource::list = fields::group<FigureSource>(source_fields);
template <>
constexpr fields::Group Entry<Insulin>::list = fields::group<Entry<Insulin>>(entry_fields<Insulin>);
template <>
constexpr fields::Group Entry<Cartridge>::list =
    fields::group<Entry<Cartridge>>(entry_fields<Cartridge>);
template <>
constexpr fields::Group Entry<Pen>::list = fields::group<Entry<Pen>>(entry_fields<Pen>);
template <>
constexpr fields::Group Entry<Needle>::list = fields::group<Entry<Needle>>(entry_fields<Needle>);

}  // namespace penstock::shelf
