#include "core/ledger/recording.hpp"

#include <string>
#include <utility>
#include <vector>

namespace penstock::ledger {

std::optional<Error> beyond_the_pen(const Ledger& ledger, const journal::Injected& dose) {
  const auto* cartridge = ledger.cartridge(dose.cartridge);
  if (cartridge == nullptr || !cartridge->is_loaded()) return std::nullopt;
  const auto odd = [](std::string_view code, std::vector<Arg> args) {
    return Error{Kind::refused, std::string(code), std::move(args), "/units"};
  };
  if (dose.units > cartridge->content)
    return odd(codes::ask_more_than_holds,
               {arg_units("dose", dose.units), arg_units("content", cartridge->content)});
  const auto* pen = ledger.pen(cartridge->in_pen.value_or(cartridge->last_pen));
  if (pen != nullptr && !pen->copy.most.is_zero() && dose.units > pen->copy.most)
    return odd(codes::ask_more_than_pen,
               {arg_units("dose", dose.units), arg_units("most", pen->copy.most)});
  if (pen == nullptr || pen->copy.step.is_zero() || is_multiple(dose.units, pen->copy.step))
    return std::nullopt;
  return odd(codes::ask_not_in_steps,
             {arg_units("dose", dose.units), arg_units("step", pen->copy.step)});
}

}  // namespace penstock::ledger
