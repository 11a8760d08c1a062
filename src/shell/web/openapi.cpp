// The calls as an OpenAPI 3.1 document, out of the same table: whoever has a viewer or a generator
// for that needs nothing of ours.
#include "core/journal/journal.hpp"
#include "edge/json/json.hpp"
#include "edge/json/lists/lists.hpp"
#include "edge/verbs/all/all.hpp"
#include "edge/wire/fact_json.hpp"
#include "shell/web/internal/site.hpp"

namespace penstock::web {
namespace {

using json::Value;

Value text(std::string_view words) { return json::string(words); }
Value reference_to(const std::string& schema) {
  return json::object({{"$ref", text("#/components/schemas/" + schema)}});
}
Value content(std::string_view type, Value schema) {
  return json::object({{std::string(type), json::object({{"schema", std::move(schema)}})}});
}

// "pen given" -> "fact-pen-given": names of components have no blanks.
std::string component(std::string_view begin, std::string_view name) {
  std::string out(begin);
  for (const char c : name) out += c == ' ' ? '-' : c;
  return out;
}

Value schema_of(const pages::Parameter& parameter) {
  using pages::Form;
  switch (parameter.form) {
    case Form::id:
    case Form::person:
      return json::identity();
    case Form::day:
      return json::object({{"type", text("string")}, {"format", text("date")}});
    case Form::count:
      return json::object({{"type", text("integer")},
                           {"minimum", json::count(parameter.least)},
                           {"maximum", json::count(parameter.most)}});
    case Form::text:
      return json::object({{"type", text("string")}});
  }
  promise_broken("a parameter has no form");
}

Value parameters_of(const pages::Row& row) {
  auto out = json::array();
  for (const auto& parameter : row.parameters) {
    const bool in_path = pages::is_in_path(row, parameter);
    auto one = json::object({{"name", text(parameter.name)},
                             {"in", text(in_path ? "path" : "query")},
                             {"required", json::boolean(in_path)},
                             {"schema", schema_of(parameter)}});
    if (!parameter.says.empty()) json::add(one, "description", text(parameter.says));
    json::add(out, std::move(one));
  }
  return out;
}

// A fact as it is sent: its time may be one on the person's own clock.
Value sent(Value fact_schema) {
  for (auto& member : fact_schema.members) {
    if (member.key == "properties")
      json::add(member.value, "happened_local", json::object({{"type", text("string")}}));
  }
  return fact_schema;
}

Value facts_body() {
  auto any = json::array();
  for (const auto& kind : journal::kinds)
    json::add(any, reference_to(component("fact-", kind.name)));
  return json::object(
      {{"type", text("object")},
       {"properties",
        json::object(
            {{"id", json::identity()},
             {"seen_version", json::object({{"type", text("integer")}})},
             {"confirmed", json::object({{"type", text("boolean")}})},
             {"facts", json::object({{"type", text("array")},
                                     {"maxItems", json::count(desk::facts_in_request_max)},
                                     {"items", json::object({{"anyOf", std::move(any)}})}})}})},
       {"required", json::array({text("facts")})},
       {"additionalProperties", json::boolean(false)}});
}

Value body_of(const pages::Row& row) {
  using pages::Body;
  auto types = json::object();
  const auto bytes = json::object({{"type", text("string")}});
  if (row.body == Body::json || row.body == Body::facts) {
    auto media = json::object(
        {{"schema",
          row.body == Body::facts ? facts_body() : json::object({{"type", text("object")}})}});
    if (const auto example = json::parse(row.example_body)) json::add(media, "example", *example);
    json::add(types, "application/json", std::move(media));
  } else if (row.body == Body::file) {
    for (const auto* type : {"text/csv", "application/json"}) {
      json::add(types, type, json::object({{"schema", bytes}}));
    }
  } else {
    for (const auto* type : {"image/jpeg", "image/png"}) {
      json::add(types, type, json::object({{"schema", json::object()}}));
    }
  }
  return json::object({{"required", json::boolean(true)},
                       {"description", text(row.takes.empty() ? row.summary : row.takes)},
                       {"content", std::move(types)}});
}

Value responses_of(const pages::Row& row) {
  std::string refusals = "Refused";
  for (const auto code : row.codes) {
    refusals += (refusals == "Refused" ? "; of its own: " : ", ") + std::string(code);
  }
  return json::object(
      {{"200", json::object({{"description", text(row.gives)},
                             {"content", content("application/json", json::object())}})},
       {"422",
        json::object({{"description", text("Asked, or refused: well formed, but not done")},
                      {"content", content("application/json", reference_to("asked-or-refused"))}})},
       {"default",
        json::object({{"description", text(refusals + ".")},
                      {"content", content("application/json", reference_to("refused"))}})}});
}

Value operation(const pages::Row& row) {
  auto out = json::object({{"summary", text(row.summary)},
                           {"parameters", parameters_of(row)},
                           {"responses", responses_of(row)}});
  if (row.body != pages::Body::none) json::add(out, "requestBody", body_of(row));
  return out;
}

std::string lower(std::string_view method) {
  std::string out;
  for (const char c : method) out += static_cast<char>(c - 'A' + 'a');
  return out;
}

// One calculation at its own path, with the schema of its request.
Value verb_path(const verbs::Verb& verb) {
  const std::string name(verb.name);
  const auto answer = json::object(
      {{"200", json::object({{"description", text("The result of " + name + ".")},
                             {"content", content("application/json", json::object())}})},
       {"default",
        json::object({{"description", text("Refused.")},
                      {"content", content("application/json", reference_to("refused"))}})}});
  auto media = json::object({{"schema", reference_to(component("verb-", name))}});
  json::add(media, "example", verb.example());
  return json::object(
      {{"post",
        json::object(
            {{"summary", text("The calculation " + name + ".")},
             {"requestBody",
              json::object({{"required", json::boolean(true)},
                            {"content", json::object({{"application/json", std::move(media)}})}})},
             {"responses", answer}})}});
}

Value refused_schema() {
  auto words = json::object();
  for (const auto* name : {"code", "what", "do_this", "at"}) {
    json::add(words, name, json::object({{"type", text("string")}}));
  }
  return json::object({{"type", text("object")}, {"properties", std::move(words)}});
}

Value named(std::string_view member, Value schema) {
  return json::object({{"type", text("object")},
                       {"required", json::array({text(member)})},
                       {"properties", json::object({{std::string(member), std::move(schema)}})}});
}

// An embedded schema's own references begin at itself: it has a name of its own.
Value with_name(const std::string& name, Value schema) {
  auto out = json::object({{"$id", text("urn:penstock:" + name)}});
  for (auto& member : schema.members) json::add(out, member.key, std::move(member.value));
  return out;
}

Value schemas() {
  auto out = json::object(
      {{"refused", named("refused", refused_schema())},
       {"asked-or-refused", json::object({{"anyOf", json::array({named("ask", refused_schema()),
                                                                 reference_to("refused")})}})}});
  for (const auto& verb : verbs::all()) {
    const auto name = component("verb-", verb.name);
    json::add(out, name, with_name(name, verb.schema()));
  }
  for (const auto& kind : journal::kinds) {
    const auto name = component("fact-", kind.name);
    if (auto schema = wire::kind_schema(kind.name)) {
      json::add(out, name, with_name(name, sent(*std::move(schema))));
    }
  }
  return out;
}

}  // namespace

json::Value openapi_document() {
  auto paths = json::object();
  for (std::size_t i = 0; i < routes().size();) {
    const auto pattern = routes()[i].row.pattern;
    auto path = json::object();
    for (; i < routes().size() && routes()[i].row.pattern == pattern; ++i) {
      json::add(path, lower(routes()[i].row.method), operation(routes()[i].row));
    }
    json::add(paths, pattern, std::move(path));
  }
  for (const auto& verb : verbs::all()) {
    json::add(paths, "/api/" + std::string(verb.name), verb_path(verb));
  }
  return json::object({{"openapi", text("3.1.0")},
                       {"info", json::object({{"title", text("Penstock")},
                                              {"version", text(PENSTOCK_VERSION)},
                                              {"description", text("On this machine only.")}})},
                       {"paths", std::move(paths)},
                       {"components", json::object({{"schemas", schemas()}})}});
}

}  // namespace penstock::web
