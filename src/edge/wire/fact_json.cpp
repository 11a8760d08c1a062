#include "edge/wire/fact_json.hpp"

#include <utility>

#include "core/facts/list.hpp"
#include "core/units/utf8.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::wire {
namespace {

using facts::Fact;
using facts::Field;
using facts::Group;
using facts::Payload;
using facts::Replacement;
using fields::as;
using fields::Type;
using json::Reader;
using json::Value;
using ReplacementPointer = std::shared_ptr<const Replacement>;

// ---- values to JSON

void payload_out(Value& object, const Payload& payload);
void list_out(Value& object, const Group& list, const void* owner, const void* blank = nullptr);

Value glucose_out(const Glucose& glucose) {
  const bool mmol = glucose.unit == GlucoseUnit::mmol_l;
  return json::object({{"value", json::fixed(glucose.value, mmol ? 1 : 0)},
                       {"unit", json::string(mmol ? "mmol/L" : "mg/dL")}});
}
Value hba1c_out(const Hba1c& hba1c) {
  const bool percent = hba1c.unit == Hba1cUnit::ngsp_percent;
  return json::object({{"value", json::fixed(hba1c.value, percent ? 1 : 0)},
                       {"unit", json::string(percent ? "%" : "mmol/mol")}});
}
Value group_out(const Group& list, const void* value) {
  auto object = json::object();
  list_out(object, list, value);
  return object;
}
Value replacement_out(const Replacement& replacement) {
  auto object = json::object({{"happened", json::string(replacement.happened)},
                              {"sequence", json::count(replacement.sequence)}});
  payload_out(object, replacement.payload);
  return object;
}

Value one_out(const Field& field, const void* value) {
  switch (field.type) {
    case Type::flag:
      return json::boolean(as<bool>(value));
    case Type::count:
    case Type::strength:
      return json::count(facts::number_in(field.type, value));
    case Type::sequence:
      return json::count(as<std::uint32_t>(value));
    case Type::units:
      return json::number(as<Units>(value));
    case Type::mm:
      return json::number(as<TenthsMm>(value));
    case Type::cm:
      return json::number(as<TenthsCm>(value));
    case Type::celsius:
      return json::number(as<TenthsCelsius>(value));
    case Type::kg:
      return json::number(as<TenthsKg>(value));
    case Type::day:
      return json::string(as<LocalDay>(value));
    case Type::minute:
      return json::string(as<MinuteOfDay>(value));
    case Type::choice:
      return json::string(field.words[as<std::uint8_t>(value)]);
    case Type::text:
      return json::string(as<std::string>(value));
    case Type::id:
      return json::string(as<Id>(value));
    case Type::glucose:
      return glucose_out(as<Glucose>(value));
    case Type::hba1c:
      return hba1c_out(as<Hba1c>(value));
    case Type::when:
      return json::string(as<When>(value));
    case Type::instant:
      return json::string(as<Instant>(value));
    case Type::group:
      return group_out(*field.group, value);
    case Type::fact:
      return replacement_out(*as<ReplacementPointer>(value));
    case Type::own:
      break;
  }
  promise_broken("a type without JSON");
}

bool is_empty(const Field& field, const void* value) {
  if (field.holder != nullptr) return field.holder->size(value) == 0;
  if (field.type == Type::text) return as<std::string>(value).empty();
  return field.type == Type::fact && as<ReplacementPointer>(value) == nullptr;
}

// `blank`: a fact that says nothing in what later versions brought is written as its first version.
void list_out(Value& object, const Group& list, const void* owner, const void* blank) {
  for (const auto& field : list.fields) {
    const auto* value = field.in(owner);
    if (is_empty(field, value)) continue;
    if (blank != nullptr && field.version > 1 && facts::same({{&field, 1}}, owner, blank)) continue;
    if (field.holder == nullptr) {
      json::add(object, field.name, one_out(field, value));
    } else if (!field.holder->many) {
      json::add(object, field.name, one_out(field, field.holder->at(value, 0)));
    } else {
      auto items = json::array();
      const auto size = field.holder->size(value);
      for (std::size_t n = 0; n < size; ++n)
        json::add(items, one_out(field, field.holder->at(value, n)));
      json::add(object, field.name, std::move(items));
    }
  }
}

void payload_out(Value& object, const Payload& payload) {
  json::add(object, "what", json::string(facts::name_of(payload)));
  const auto& kind = facts::kind_of(payload);
  list_out(object, kind, facts::body(payload), kind.blank());
}

// ---- JSON to values

Error invalid(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}

enum class Nesting : std::uint8_t { outermost, replacement };

Result<void> finished(Reader& reader, bool all_asked) {
  return all_asked ? reader.done() : reader.done_so_far();
}

class FactReader final : public json::ListReader {
 public:
  explicit FactReader(const shelf::Shelf* shelf) : shelf_(shelf) {}

  // "what", then the kind's own fields out of the same object. Without a kind those have no names,
  // and "unknown field" would say nothing: false.
  bool payload(Reader& reader, Nesting nesting, Payload& into) const {
    std::string what;
    reader.need("what", what);
    const auto* kind = facts::kind_of_name(what);
    if (reader.failed() && kind == nullptr) return false;
    if (kind == nullptr) {
      std::string allowed;
      for (const auto& one : facts::kinds) {
        allowed += (allowed.empty() ? "" : ", ") + std::string(one.name);
      }
      reader.fail(invalid(codes::kind_unknown,
                          {arg_text("text", shortened(what)), arg_text("allowed", allowed)},
                          reader.at("what")));
      return false;
    }
    if (nesting == Nesting::replacement && kind->type == facts::Correction::type) {
      reader.fail(invalid(codes::correction_nested, {}, reader.at("what")));
      return false;
    }
    facts::make(into, *kind);
    list(reader, *kind, facts::body(into));
    return true;
  }

 private:
  // A copy of the shelf's values may be named by its code.
  Result<void> group(const Group& list, const Value& value, std::string_view at,
                     void* into) const override {
    if (shelf_ != nullptr && value.type == json::Type::string) {
      if (&list == &shelf::Pen::list)
        return from_entry(shelf_->pen(value.text), value.text, at, as<shelf::Pen>(into));
      if (&list == &shelf::Insulin::list)
        return from_entry(shelf_->insulin(value.text), value.text, at, as<shelf::Insulin>(into));
    }
    return object(value, at, list, into);
  }
  template <class Thing>
  static Result<void> from_entry(const shelf::Entry<Thing>* entry, std::string_view code,
                                 std::string_view at, Thing& into) {
    if (entry == nullptr) {
      return invalid(codes::shelf_code_unknown, {arg_text("text", shortened(code))}, at);
    }
    into = entry->thing;
    return {};
  }
  Result<void> fact(const Value& value, std::string_view at, void* put) const override {
    auto& into = as<ReplacementPointer>(put);
    into.reset();
    if (value.type == json::Type::null) return {};
    auto replacement = std::make_shared<Replacement>();
    Reader reader(value, at);
    reader.need("happened", replacement->happened);
    reader.may("sequence", replacement->sequence);
    const bool all = payload(reader, Nesting::replacement, replacement->payload);
    if (auto done = finished(reader, all); !done) return done;
    into = std::move(replacement);
    return {};
  }

  const shelf::Shelf* shelf_;
};

}  // namespace

json::Value to_json(const Fact& fact) {
  auto object = json::object();
  list_out(object, Fact::list, &fact);
  payload_out(object, fact.payload);
  return object;
}

json::Value payload_to_json(const Payload& payload) {
  auto object = json::object();
  payload_out(object, payload);
  return object;
}

Result<Fact> fact_from_json(const Value& value, std::string_view at) {
  Fact fact;
  Reader reader(value, at);
  const FactReader in(nullptr);
  in.list(reader, Fact::list, &fact);
  const bool all = in.payload(reader, Nesting::outermost, fact.payload);
  if (auto done = finished(reader, all); !done) return done.error();
  return fact;
}

Result<Draft> draft_from_json(const Value& value, const shelf::Shelf* shelf, std::string_view at) {
  Draft draft;
  Reader reader(value, at);
  reader.may("id", draft.id);
  reader.may("journal", draft.journal);
  reader.may("happened", draft.happened);
  reader.may("sequence", draft.sequence);
  reader.may("told_by", draft.told_by);
  reader.may("source", draft.source);
  const bool all = FactReader(shelf).payload(reader, Nesting::outermost, draft.payload);
  if (auto done = finished(reader, all); !done) return done.error();
  return draft;
}

}  // namespace penstock::wire
