// The forms of facts that people write by hand, from the lists of core/facts: which fields, in
// which order, what kind of control, what may stay empty. Words stand in the catalogue under the
// kind's name: "form/primed" is the title, "form/primed/units" a label.
#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"
#include "core/fields/fields.hpp"
#include "edge/diary/diary.hpp"
#include "edge/pages/facts/facts.hpp"
#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {
namespace {

using facts::Field;
using facts::KindInfo;
using fields::Names;
using fields::Type;

// Empty: the catalogue has no such name.
std::string known(const Words& words, const std::string& code) {
  auto name = words.name(code);
  return name == code ? std::string() : name;
}

// How it is typed; empty: it is not, and a correction carries it through as it was.
std::string_view control_of(const Field& field) {
  if (field.is_kept || field.is_digest || (field.holder != nullptr && field.holder->many))
    return {};
  if (field.names != Names::nothing) return "choice";
  switch (field.type) {
    case Type::flag:
      return "flag";
    case Type::units:
      return "units";
    case Type::count:
    case Type::strength:
    case Type::mm:
    case Type::cm:
    case Type::celsius:
    case Type::kg:
      return "number";
    case Type::day:
      return "date";
    case Type::when:
      return "time";
    case Type::choice:
      return "choice";
    case Type::glucose:
      return "glucose";
    case Type::hba1c:
      return "hba1c";
    case Type::text:
      return field.is_long ? "long" : "text";
    default:
      return {};
  }
}

bool is_needed(const Field& field) {
  if (field.holder != nullptr) return false;
  if (field.type == Type::choice || field.is_wanted) return true;
  return field.type == Type::text ? field.is_needed : !field.is_optional;
}

std::string_view unit_of(Type type) {
  switch (type) {
    case Type::strength:
      return "units/mL";
    case Type::mm:
      return "mm";
    case Type::cm:
      return "cm";
    case Type::celsius:
      return "celsius";
    case Type::kg:
      return "kg";
    default:
      return {};
  }
}

// What only the person's own page can offer.
std::string_view from_of(Names names) {
  switch (names) {
    case Names::nothing:
      return {};
    case Names::cartridge:
      return "cartridges";
    case Names::pen:
      return "pens";
    case Names::line:
      return "lines";
    case Names::needle:
      return "needles";
  }
  return {};
}

// The list's words in its order; what nobody knows comes last. A form may say a word otherwise than
// a sentence does.
json::Value offered(const Words& words, const Field& field) {
  std::vector<std::string_view> order(field.words.begin(), field.words.end());
  if (!field.offered.empty()) order.assign(field.offered.begin(), field.offered.end());
  std::ranges::stable_partition(order, [](std::string_view word) { return word != "unknown"; });
  std::vector<json::Value> out;
  for (const auto word : order) {
    const auto code = std::string(field.said_as) + std::string(word);
    const auto short_name = known(words, "choice/" + code);
    out.push_back(choice(word, short_name.empty() ? capital(words.name(code)) : short_name));
  }
  return list(std::move(out));
}

// What the field holds at first: nothing is chosen for a person that could be a mistake.
std::string start_of(const KindInfo& kind, const Field& field) {
  if (!field.start.empty() || field.holder != nullptr) return std::string(field.start);
  const auto* blank = field.in(kind.blank());
  if (field.type == Type::flag) return fields::as<bool>(blank) ? "true" : "";
  if (field.type == Type::choice && field.is_optional)
    return std::string(field.words[fields::as<std::uint8_t>(blank)]);
  return {};
}

std::vector<const Field*> on_form(const KindInfo& kind) {
  std::vector<const Field*> out;
  for (const auto& field : kind.fields) {
    if (!control_of(field).empty()) out.push_back(&field);
  }
  for (const auto& field : kind.fields) {
    if (field.behind.empty()) continue;
    const auto from = std::ranges::find(out, &field);
    const auto other = std::ranges::find(out, field.behind, &Field::name);
    if (from < other) std::rotate(from, from + 1, other + 1);
  }
  return out;
}

json::Value field_document(const Words& words, std::string_view of, std::string_view start,
                           const Field& field) {
  const auto code = std::string(of) + "/" + std::string(field.name);
  auto unit = known(words, "form-unit/" + code);
  if (unit.empty() && !unit_of(field.type).empty()) unit = words.name(unit_of(field.type));
  auto out = json::object({{"name", json::string(field.name)},
                           {"label", text(words.name("form/" + code))},
                           {"kind", json::string(control_of(field))},
                           {"needed", json::boolean(is_needed(field))},
                           {"unit", text(unit)},
                           {"hint", text(known(words, "form-hint/" + code))},
                           {"start", text(start)}});
  if (field.names != Names::nothing) json::add(out, "from", json::string(from_of(field.names)));
  if (field.type == Type::choice) json::add(out, "choices", offered(words, field));
  return out;
}

json::Value form_document(const Words& words, const KindInfo& kind) {
  const auto name = std::string(kind.name);
  std::vector<json::Value> out;
  for (const auto* field : on_form(kind))
    out.push_back(field_document(words, kind.name, start_of(kind, *field), *field));
  std::vector<json::Value> carried;
  for (const auto& field : kind.fields) {
    if (field.is_kept && (field.holder == nullptr || !field.holder->many))
      carried.push_back(json::string(field.name));
  }
  return json::object({{"address", json::string(kind.form.address)},
                       {"what", json::string(kind.name)},
                       {"title", text(words.name("form/" + name))},
                       {"lead", text(known(words, "form-lead/" + name))},
                       {"button", text(words.name("form-button/" + name))},
                       {"offered", json::boolean(kind.form.place > 0 && kind.form.page.empty())},
                       {"fields", list(std::move(out))},
                       {"carried", list(std::move(carried))}});
}

// What the educator has to know first, under its headings: a heading stands in the catalogue under
// the first field that it is about. What nobody has asked yet is not known.
json::Value background_document(const Words& words) {
  std::vector<std::pair<std::string, std::vector<json::Value>>> groups;
  for (const auto& field : facts::Background::list.fields) {
    auto heading = known(words, "form-group/background/" + std::string(field.name));
    if (!heading.empty() || groups.empty())
      groups.emplace_back(std::move(heading), std::vector<json::Value>{});
    groups.back().second.push_back(
        field_document(words, "background", field.type == Type::choice ? "unknown" : "", field));
  }
  std::vector<json::Value> out;
  for (auto& [title, fields] : groups)
    out.push_back(json::object({{"title", text(title)}, {"fields", list(std::move(fields))}}));
  return list(std::move(out));
}

json::Value page_document(const Words& words, const KindInfo& kind) {
  const auto name = std::string(kind.name);
  return json::object({{"address", json::string(kind.form.page)},
                       {"title", text(words.name("form-page/" + name))},
                       {"lead", text(words.name("form-page-lead/" + name))}});
}

}  // namespace

json::Value forms_page(const Caller& caller) {
  std::vector<const KindInfo*> kinds;
  for (const auto& kind : facts::kinds) kinds.push_back(&kind);
  std::ranges::stable_sort(kinds, {}, [](const KindInfo* kind) {
    return std::pair{kind->form.place == 0, kind->form.place};
  });
  std::vector<json::Value> forms, pages, diary;
  for (const auto word : diary::diary_words()) diary.push_back(text(word));
  for (const auto* kind : kinds) {
    if (!kind->form.address.empty()) forms.push_back(form_document(caller.words, *kind));
    if (!kind->form.page.empty()) pages.push_back(page_document(caller.words, *kind));
  }
  return json::object({{"forms", list(std::move(forms))},
                       {"pages", list(std::move(pages))},
                       {"background", background_document(caller.words)},
                       {"diary_words", list(std::move(diary))}});
}

}  // namespace penstock::pages
