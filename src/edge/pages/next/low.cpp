// "Low?", beside every dose.
#include "core/low/low.hpp"

#include "core/by_age/by_age.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {
namespace {

// Nobody asked how old they are, nor what they weigh (H63).
std::string anybodys_sugar(const Words& words) {
  constexpr int child = by_age::adult_years - 1, adult = by_age::adult_years;
  const auto grams = [](int age, TenthsKg weight) {
    return format_fixed(*low::sugar_grams(age, weight), 0);
  };
  return said(
      words, "low.grams_by_weight",
      {arg_text("grams", grams(adult, {})), arg_text("small_grams", grams(child, {})),
       arg_text("child_grams", grams(child, low::larger_child)),
       arg_text("small", format(low::small_child)), arg_text("child", format(low::larger_child))});
}

}  // namespace

json::Value low_box(const Words& words, const Chart* person, LocalDay on, const Clinic& clinic,
                    const interlock::Held* held) {
  const auto care = person != nullptr ? low::care_for(*person, on) : low::Care{};
  const auto unit = care.below.unit == GlucoseUnit::mmol_l ? "mmol/L" : "mg/dL";
  const auto sugar = person == nullptr ? anybodys_sugar(words)
                     : care.grams      ? said(words, "low.grams", {arg_count("grams", *care.grams)})
                                       : said(words, "low.by_plan");
  const std::vector<Arg> args{
      arg_text("limit", format(care.below) + " " + words.name(unit)), arg_text("sugar", sugar),
      arg_text("minutes", format_fixed(care.minutes, 0)),
      arg_text("emergency", clinic.names.emergency.empty() ? said(words, "low.no_number")
                                                           : clinic.names.emergency),
      arg_text("phone", clinic.names.phone)};
  const bool none_by_mouth = held != nullptr && held->today == interlock::Today::emergency;
  return json::object({{"title", text(said(words, "low.title"))},
                       {"text", say(words, none_by_mouth ? "low.emergency" : "low.text", args)}});
}

std::vector<Rich> last_values_text(const Words& words, const Chart& person, const When& now) {
  std::vector<Rich> out;
  if (const auto* last = low::last_low(person, now.at)) {
    std::vector<Arg> args{arg_text("when", words.moment(last->when))};
    const auto& seen = last->said;
    if (seen.value) args.push_back(arg_glucose("value", *seen.value));
    out.push_back(words.sentence(seen.value                             ? "next.last_low"
                                 : seen.meter == journal::MeterWord::lo ? "next.last_low_meter"
                                                                        : "next.last_low_felt",
                                 args));
  }
  if (const auto* told = low::low_told(person, now.at))
    out.push_back(words.sentence(
        told->said.drowsy == journal::YesNo::yes ? "next.low_told_drowsy" : "next.low_told",
        {arg_text("when", words.moment(told->when))}));
  if (const auto* high = low::last_very_high(person, now.at)) {
    std::vector<Arg> args{arg_text("when", words.moment(high->when))};
    if (high->said.value) args.push_back(arg_glucose("value", *high->said.value));
    out.push_back(words.sentence(
        high->said.value ? "next.last_very_high" : "next.last_very_high_meter", args));
  }
  return out;
}

}  // namespace penstock::pages
