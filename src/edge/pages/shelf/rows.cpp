#include "edge/pages/kit/lines.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/shelf/shelf.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string shelf_text(const json::Value& shelf, const Words&) {
  std::string out;
  for (const auto& group : at(shelf, "groups").members) {
    out += "\n" + line(text_at(group.value, "title"), "");
    for (const auto& entry : at(group.value, "entries").members) {
      out += line(joined({text_at(entry.value, "code"), text_at(entry.value, "name")}));
      out += line(rich_at(entry.value, "line"), "    ");
    }
  }
  return out;
}

Result<json::Value> shelf_document(const Asked& asked) {
  return shelf_page(asked.clinic, asked.caller);
}

}  // namespace

std::vector<Row> shelf_rows() {
  return {{.method = "GET",
           .pattern = "/api/shelf",
           .summary = "Lists products: insulins, cartridges, pens, needles, what fits what.",
           .gives = "Shelf.",
           .example = "/api/shelf",
           .screens = {"/shelf"},
           .needs = Needs::clinic,
           .document = shelf_document,
           .command = Command{.name = "shelf",
                              .says = "Lists products: insulins, cartridges, pens, needles"},
           .text = shelf_text}};
}

}  // namespace penstock::pages
