#include "answers.hpp"

#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"
#include "edge/drawing/drawing.hpp"
#include "edge/exchange/exchange.hpp"
#include "edge/words/words.hpp"

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

/// A plan, or a refusal with its sentences, as the command line would print it for programs.
std::string dial(std::string_view request) {
  const exchange::Say say = [](std::string_view code, std::span<const Arg> args) {
    return words::english().text(code, {args.begin(), args.end()});
  };
  const auto plan = exchange::run_verb(exchange::dial_verb, request, say);
  if (plan) return exchange::json::to_text(*plan);
  const auto sentences = words::english().say(plan.error());
  return exchange::json::to_text(
      exchange::refusal(plan.error(), sentences.what, sentences.do_this));
}

/// Content, then the units of each injection; the priming of each is 2 units. Nothing where more is
/// used than was there.
std::string barrel(std::string_view text) {
  std::vector<Units> amounts;
  while (!text.empty()) {
    const auto space = text.find(' ');
    const auto amount = parse_units(text.substr(0, space));
    if (!amount) return said(amount.error());
    amounts.push_back(*amount);
    text = space == std::string_view::npos ? std::string_view{} : text.substr(space + 1);
  }
  if (amounts.empty()) return "nothing";
  drawing::Barrel picture;
  picture.content = picture.loaded = amounts.front();
  Units left = amounts.front();
  for (std::size_t i = 1; i < amounts.size(); ++i) {
    drawing::Cell cell;
    cell.primed = *Units::from_hundredths(200);
    cell.injected = amounts[i];
    const auto rest = checked_sub(left, sum(cell.primed, cell.injected));
    if (!rest) return "nothing";
    left = *rest;
    picture.cells.push_back(cell);
  }
  picture.left = left;
  return drawing::barrel(picture);
}

struct Verb {
  std::string_view name;
  std::string (*answer)(std::string_view rest);
};
constexpr Verb verbs[] = {
    {"units", units}, {"when", when}, {"id", id}, {"dial", dial}, {"barrel", barrel}};

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
