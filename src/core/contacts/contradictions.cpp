// Entries about one thing that cannot both be so: where they come from two benches nobody saw them
// side by side (H22).
#include <algorithm>
#include <cctype>
#include <string>
#include <tuple>
#include <unordered_map>
#include <variant>

#include "core/contacts/contacts.hpp"

namespace penstock::contacts {
namespace {

using journal::Effective;
using journal::YesNo;

/// What an entry says of something: `about` names the thing, the rest what is said of it.
struct Claim {
  Clash what = Clash::glucose;
  std::string about;
  std::int64_t value = 0;   ///< in the unit `unit`
  std::int64_t common = 0;  ///< in the unit that all are compared in
  std::int32_t unit = 0;
  std::string text;

  bool agrees_with(const Claim& other) const {
    return text == other.text &&
           (unit == other.unit ? value == other.value : common == other.common);
  }
};

std::string minute_of(const When& when) {
  const auto minute = std::chrono::floor<std::chrono::minutes>(when.at);
  return std::to_string(minute.time_since_epoch().count());
}
std::string day_of(LocalDay day) { return std::to_string(day.time_since_epoch().count()); }
template <class E>
std::string word_of(E value) {
  return std::string(names_of(value)[static_cast<std::size_t>(value)]);
}

// Capitals and spaces make no other name.
std::string plain(std::string_view name) {
  std::string out;
  for (const unsigned char c : name) {
    if (std::isspace(c) == 0) out += static_cast<char>(std::tolower(c));
  }
  return out;
}
std::string digits(std::string_view phone) {
  std::string out;
  for (const unsigned char c : phone) {
    if (std::isdigit(c) != 0 || c == '+') out += static_cast<char>(c);
  }
  return out;
}

// Rounded to the tenth of a mmol/L that a meter in the other unit would have shown.
std::int64_t tenths_of_mmol(const Glucose& value) {
  const auto tenth = comparable({GlucoseUnit::mmol_l, 1});
  return (comparable(value) + tenth / 2) / tenth;
}

struct Claims {
  const Effective& now;
  const Told& told;

  std::optional<Claim> operator()(const journal::GlucoseNoted& said) const {
    const bool is_word = said.meter != journal::MeterWord::none;
    if (is_word)
      return Claim{Clash::glucose, minute_of(now.happened), 0, 0, 0, word_of(said.meter)};
    if (!said.value) return std::nullopt;
    return Claim{Clash::glucose,
                 minute_of(now.happened),
                 said.value->value,
                 tenths_of_mmol(*said.value),
                 static_cast<std::int32_t>(said.value->unit),
                 {}};
  }
  std::optional<Claim> operator()(const journal::Hba1cNoted& said) const {
    const auto common =
        said.value.unit == Hba1cUnit::ifcc_mmol_mol ? said.value : converted(said.value);
    return Claim{Clash::hba1c,
                 day_of(said.sampled_on),
                 said.value.value,
                 common.value,
                 static_cast<std::int32_t>(said.value.unit),
                 {}};
  }
  std::optional<Claim> operator()(const journal::AllergyNoted& said) const {
    if (said.to.empty() || said.severe == YesNo::unknown) return std::nullopt;
    return Claim{Clash::allergy, plain(said.to), 0, 0, 0, word_of(said.severe)};
  }
  std::optional<Claim> operator()(const journal::ContactNoted& said) const {
    if (said.former) return std::nullopt;
    return Claim{Clash::contact,    word_of(said.role) + "/" + plain(said.full_name), 0, 0, 0,
                 digits(said.phone)};
  }
  std::optional<Claim> operator()(const journal::AppointmentMade& said) const {
    const auto at = told(said.at);
    return Claim{Clash::appointment,
                 word_of(said.meeting) + "/" + word_of(said.why) + "/" + day_of(at.day()),
                 0,
                 0,
                 0,
                 minute_of(at)};
  }
  std::optional<Claim> operator()(const journal::ContactMade& said) const {
    return Claim{Clash::outcome,
                 word_of(said.meeting) + "/" + minute_of(now.happened),
                 0,
                 0,
                 0,
                 word_of(said.outcome) + word_of(said.low) + word_of(said.not_eating) +
                     word_of(said.drowsy) + word_of(said.ketones)};
  }
  std::optional<Claim> operator()(const auto&) const { return std::nullopt; }
};

}  // namespace

std::vector<Contradiction> contradictions(const journal::History& history, const Told& told) {
  std::vector<Contradiction> out;
  std::unordered_map<std::string, std::pair<Claim, const Effective*>> last;
  const Effective* allergic = nullptr;
  for (const auto& one : history.facts) {
    if (const auto* allergy = std::get_if<journal::AllergyNoted>(one.payload)) {
      if (!allergy->to.empty()) {
        allergic = &one;
      } else if (allergic != nullptr) {
        out.push_back({Clash::no_allergy, allergic, &one});
      }
    }
    auto claim = std::visit(Claims{one, told}, *one.payload);
    if (!claim) continue;
    auto key = std::to_string(static_cast<int>(claim->what)) + "/" + claim->about;
    const auto [before, is_first] = last.try_emplace(std::move(key), *claim, &one);
    if (is_first) continue;
    if (!before->second.first.agrees_with(*claim))
      out.push_back({claim->what, before->second.second, &one});
    before->second = {*std::move(claim), &one};
  }
  return out;
}

}  // namespace penstock::contacts
