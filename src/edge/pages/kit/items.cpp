#include "edge/pages/kit/items.hpp"

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

std::string item_name(const Words& words, const shelf::Shelf& shelf, std::string_view item) {
  if (const auto* needle = shelf.needle(item))
    return said(words, "stock.needle", {arg_text("name", needle->thing.name)});
  const auto* cartridge = shelf.cartridge(item);
  const auto kind = kind_of_item(shelf, item);
  if (!kind) return std::string(item);
  return said(words, "stock.item",
              {arg_text("insulin", kind->insulin), arg_strength("strength", kind->strength),
               arg_text("piece", cartridge->thing.name)});
}

std::optional<supply::Kind> kind_of_item(const shelf::Shelf& shelf, std::string_view item) {
  const auto* cartridge = shelf.cartridge(item);
  const auto* insulin = cartridge != nullptr ? shelf.insulin(cartridge->thing.insulin) : nullptr;
  if (insulin == nullptr) return std::nullopt;
  return supply::Kind{insulin->thing.name, insulin->thing.strength};
}

std::vector<std::string> stock_items(const shelf::Shelf& shelf) {
  std::vector<std::string> out;
  for (const auto& cartridge : shelf.cartridges) out.push_back(cartridge.code);
  for (const auto& needle : shelf.needles) out.push_back(needle.code);
  return out;
}

std::string lot_name(const Words& words, std::string_view lot) {
  return lot.empty() ? said(words, "stock.lot_none")
                     : said(words, "stock.lot", {arg_text("lot", lot)});
}

}  // namespace penstock::pages
