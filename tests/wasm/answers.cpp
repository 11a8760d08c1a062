#include "answers.hpp"

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::wasm {
namespace {

std::string said(const Error& error) { return "refused " + error.code; }

std::string units(std::string_view text) {
  const auto amount = parse_units(text);
  if (!amount) return said(amount.error());
  return std::to_string(amount->hundredths()) + " " + format(*amount);
}

std::string when(std::string_view text) {
  const auto moment = parse_when(text);
  if (!moment) return said(moment.error());
  return format_iso(*moment) + " " + format_iso(moment->day()) + " " + format_iso(moment->minute());
}

std::string id(std::string_view text) {
  const auto parsed = parse_id(text);
  return parsed ? to_text(*parsed) : "nothing";
}

struct Verb {
  std::string_view name;
  std::string (*answer)(std::string_view rest);
};
constexpr Verb verbs[] = {{"units", units}, {"when", when}, {"id", id}};

}  // namespace

std::string answer(std::string_view question) {
  const auto space = question.find(' ');
  const auto name = question.substr(0, space);
  const auto rest =
      space == std::string_view::npos ? std::string_view{} : question.substr(space + 1);
  for (const auto& verb : verbs) {
    if (verb.name == name) return verb.answer(rest);
  }
  return "there is no verb " + std::string(name);
}

}  // namespace penstock::wasm
