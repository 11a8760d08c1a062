// A shelf of one insulin in two strengths, one cartridge, and one pen that it fits.
#pragma once

#include "core/shelf/shelf.hpp"

namespace penstock::tests {

inline shelf::Shelf small_shelf() {
  using namespace literals;
  shelf::Shelf shelf;
  shelf::Insulin glargine;
  glargine.name = "insulin glargine";
  glargine.strength = {100};
  glargine.in_use_days = 28;
  glargine.in_use_most = {300};
  shelf.insulins.push_back({"glargine-100", glargine, {}});
  auto strong = glargine;
  strong.strength = {300};
  shelf.insulins.push_back({"glargine-300", strong, {}});
  shelf::Cartridge cartridge;
  cartridge.name = "3 mL cartridge";
  cartridge.insulin = "glargine-100";
  cartridge.content = 300_units;
  cartridge.fits = "A";
  shelf.cartridges.push_back({"c", cartridge, {}});
  shelf::Pen pen;
  pen.name = "reusable pen";
  pen.step = 1_units;
  pen.most = 60_units;
  pen.window = shelf::Window::returns_to_zero;
  pen.prime = 2_units;
  pen.prime_new_cartridge = 4_units;
  pen.fits = "A";
  shelf.pens.push_back({"p", pen, {}});
  return shelf;
}

}  // namespace penstock::tests
