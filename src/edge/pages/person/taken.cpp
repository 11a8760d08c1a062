// "Did I take it already?": of each insulin that is ordered the last dose on record, and what its
// cartridge should still hold. The scale of the pen in the hand answers it.
#include <algorithm>

#include "core/order/recording.hpp"
#include "edge/pages/person/internal/pens.hpp"

namespace penstock::pages {
namespace {

const ledger::Cartridge* in_use(const Chart& person, const journal::OrderLineSigned& text) {
  for (const auto& pen : person.ledger.pens) {
    const auto* cartridge = pen.cartridge ? person.ledger.cartridge(*pen.cartridge) : nullptr;
    if (cartridge != nullptr && pen.insulin == text.insulin && pen.strength == text.strength)
      return cartridge;
  }
  return nullptr;
}

}  // namespace

std::vector<json::Value> taken_of(const Words& words, const Chart& person, const When& now) {
  std::vector<json::Value> out;
  std::vector<std::string_view> said_of;
  for (const auto& line : person.order.lines) {
    const auto state = person.order.state(line, now.day());
    const auto& text = line.text;
    if (state == order::State::replaced || state == order::State::ended ||
        std::ranges::find(said_of, text.insulin) != said_of.end())
      continue;
    said_of.push_back(text.insulin);
    const std::vector<Arg> of{arg_text("insulin", text.insulin),
                              arg_strength("strength", text.strength)};
    const auto [given, any, told] = last_given(person, text.insulin);
    auto sentence =
        told
            ? words.sentence("taken.last_told",
                             {of[0], of[1], arg_text("day", words.day_near(told->day(), now.day())),
                              arg_text("time", format_iso(told->minute()))})
        : given == nullptr
            ? words.sentence("taken.none", of)
            : words.sentence("taken.last",
                             {of[0], of[1], order::arg_amount("units", *given),
                              arg_text("day", words.day_near(given->when.day(), now.day())),
                              arg_text("time", format_iso(given->when.minute()))});
    if (any != nullptr)
      sentence = std::move(sentence) + Rich{{" ", false}} +
                 words.sentence("taken.any_since",
                                {order::arg_amount("units", *any),
                                 arg_text("day", words.day_near(any->when.day(), now.day())),
                                 arg_text("time", format_iso(any->when.minute()))});
    if (const auto* cartridge = in_use(person, text); cartridge != nullptr)
      sentence = std::move(sentence) + Rich{{" ", false}} +
                 words.sentence(cartridge->uncounted.is_zero() ? "taken.left" : "taken.left_unsure",
                                {arg_units("left", cartridge->left),
                                 arg_units("least", cartridge->at_least())});
    out.push_back(rich(sentence));
  }
  return out;
}

}  // namespace penstock::pages
