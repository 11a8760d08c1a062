// Which pen the plan is for, where more than one of the insulin is in the house.
#include <algorithm>
#include <array>

#include "core/units/lot.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {
namespace {

// A scale is read no better than that.
constexpr std::int64_t left_apart_hundredths = 1000;

const ledger::Cartridge* in_it(const Chart& person, const ledger::Pen& pen) {
  return pen.cartridge ? person.ledger.cartridge(*pen.cartridge) : nullptr;
}

// What tells the pens of one insulin apart, by the record.
struct Apart {
  bool name = false;
  bool lot = false;
  bool serial = false;
  bool left = false;
};

Apart apart_of(const Chart& person, const interlock::Dose& dose) {
  Apart apart;
  const auto& one = *dose.pen;
  const auto* own = in_it(person, one);
  for (const auto& other : dose.others) {
    const auto* in = in_it(person, *other.pen);
    apart.name = apart.name || other.pen->copy.name != one.copy.name;
    apart.serial = apart.serial || other.pen->serial != one.serial;
    if (own == nullptr || in == nullptr) continue;
    apart.lot = apart.lot || lot_key(own->lot) != lot_key(in->lot);
    apart.left = apart.left ||
                 std::abs(own->left.hundredths() - in->left.hundredths()) >= left_apart_hundredths;
  }
  return apart;
}

std::string pen_told(const Words& words, const Chart& person, const ledger::Pen& pen,
                     const Apart& apart) {
  const auto* cartridge = in_it(person, pen);
  auto out = apart.name ? pen.copy.name : said(words, "pen_told.pen");
  const auto add = [&](std::string_view key, Arg arg) {
    out = said(words, "pen_told." + std::string(key), {arg_text("pen", out), std::move(arg)});
  };
  if (cartridge == nullptr) return said(words, "pen_told.empty", {arg_text("pen", out)});
  const bool lot = apart.lot && !cartridge->lot.empty();
  const bool serial = apart.serial && !pen.serial.empty();
  if (lot) add("lot", arg_text("lot", cartridge->lot));
  if (serial) add("serial", arg_text("serial", pen.serial));
  if (lot || serial || apart.name) return out;
  if (apart.left) {
    add("left", arg_units("left", cartridge->left));
    return out;
  }
  return said(words, "pen_told.other");
}

bool are_alike(const Apart& apart) {
  return !apart.name && !apart.lot && !apart.serial && !apart.left;
}

}  // namespace

std::string pen_title(const Words& words, const Chart& person, const interlock::Dose& dose) {
  if (dose.pen == nullptr || dose.others.empty()) return {};
  const auto apart = apart_of(person, dose);
  const bool alike = are_alike(apart) && dose.pen->cartridge;
  return alike ? said(words, "step.pen_alike")
               : said(words, "step.pen",
                      {arg_text("pen", pen_told(words, person, *dose.pen, apart))});
}

std::string other_pens_text(const Words& words, const Chart& person, const interlock::Dose& dose) {
  if (dose.pen == nullptr || dose.others.empty()) return {};
  const auto apart = apart_of(person, dose);
  if (are_alike(apart) && dose.pen->cartridge) return said(words, "step.pen_alike.caption");
  std::string out;
  for (const auto& other : dose.others) {
    auto args = other.why.args;
    args.push_back(arg_text("pen", pen_told(words, person, *other.pen, apart)));
    out += (out.empty() ? "" : " ") + said(words, other.why.code, args);
  }
  return out;
}

}  // namespace penstock::pages
