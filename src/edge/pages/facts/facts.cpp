#include "edge/pages/facts/facts.hpp"

#include "core/journal/journal.hpp"
#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

Result<json::Value> kinds_document(const Asked&) {
  auto kinds = json::array();
  for (const auto& kind : journal::kinds) json::add(kinds, json::string(kind.name));
  return json::object({{"facts", std::move(kinds)}});
}

Result<json::Value> kind_document(const Asked& asked) {
  const auto name = asked.given.text("what");
  auto schema = wire::kind_schema(name);
  auto example = wire::kind_example(name);
  if (!schema || !example) {
    std::string allowed;
    for (const auto& kind : journal::kinds) {
      allowed += (allowed.empty() ? "" : ", ") + std::string(kind.name);
    }
    return Error{Kind::not_found,
                 std::string(wire::codes::kind_unknown),
                 {arg_text("text", name), arg_text("allowed", allowed)},
                 ""};
  }
  return json::object({{"what", json::string(name)},
                       {"schema", *std::move(schema)},
                       {"example", *std::move(example)}});
}

Result<json::Value> forms_document(const Asked& asked) { return forms_page(asked.caller); }

}  // namespace

std::vector<Row> fact_rows() {
  return {{.method = "GET",
           .pattern = "/api/facts",
           .summary = "Kinds of facts that can be recorded.",
           .gives = "facts: names.",
           .example = "/api/facts",
           .document = kinds_document},
          {.method = "GET",
           .pattern = "/api/facts/{what}",
           .summary = "One kind of fact.",
           .parameters = {{.name = "what", .says = "an entry type, \"pen given\""}},
           .gives = "what, schema (JSON Schema), example.",
           .codes = {wire::codes::kind_unknown},
           .example = "/api/facts/scale%20counted",
           .document = kind_document},
          {.method = "GET",
           .pattern = "/api/forms",
           .summary = "The forms of facts that people write or correct by hand.",
           .gives = "forms: of each kind its address, words and fields; pages: what is recorded on "
                    "a page of its own; background: what to know first, under its headings.",
           .example = "/api/forms",
           .document = forms_document}};
}

}  // namespace penstock::pages
