#include "core/interlock/doubts/doubts.hpp"

#include <string>
#include <utility>

#include "core/units/units.hpp"

namespace penstock::interlock {
namespace {

Error said(std::string_view code, std::vector<Arg> args) {
  return {Kind::refused, std::string(code), std::move(args), ""};
}

}  // namespace

std::vector<Error> doubts_of(const ledger::Cartridge& cartridge) {
  std::vector<Error> out;
  if (cartridge.coldest)
    out.push_back(said(doubts::near_freezing, {arg_celsius("celsius", cartridge.coldest->celsius),
                                               arg_instant("when", cartridge.coldest->when)}));
  if (cartridge.is_since_unknown() && cartridge.last_day())
    out.push_back(said(doubts::since_unknown, {arg_date("loaded", cartridge.loaded_when.day()),
                                               arg_date("last", *cartridge.last_day()),
                                               arg_count("limit", cartridge.copy.in_use_days)}));
  if (!cartridge.uncounted.is_zero())
    out.push_back(said(doubts::left_uncertain, {arg_units("account", cartridge.left),
                                                arg_units("least", cartridge.at_least()),
                                                arg_count("doses", cartridge.doses_uncounted)}));
  return out;
}

}  // namespace penstock::interlock
