// The journal of a person, newest first: what was recorded, what a correction made of it.
#include "edge/pages/journal/journal.hpp"

#include <algorithm>
#include <unordered_map>
#include <unordered_set>

#include "core/facts/facts.hpp"
#include "core/fields/fields.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;

enum class RowState : std::uint8_t { stands, corrected, voided, waiting };
constexpr std::array<std::string_view, 4> row_states{"stands", "corrected", "voided", "waiting"};

struct Written {
  const Fact* fact = nullptr;
  const Payload* payload = nullptr;
  When happened;
  RowState state = RowState::stands;
  const Fact* correction = nullptr;
};

std::vector<Written> rows_of(const Chart& person) {
  std::vector<Written> rows;
  for (const auto& effective : person.history.facts) {
    rows.push_back({effective.fact, effective.payload, effective.happened,
                    effective.correction == nullptr ? RowState::stands : RowState::corrected,
                    effective.correction});
  }
  for (const auto& voided : person.history.voided) {
    const auto* correction = std::get_if<Correction>(&voided.correction->payload);
    if (correction != nullptr && correction->wrong_person)
      continue;  // hidden from view, kept in the audit
    rows.push_back({voided.fact, &voided.fact->payload, person.clock.told(voided.fact->happened),
                    RowState::voided, voided.correction});
  }
  for (const auto* waiting : person.history.waiting) {
    rows.push_back({waiting, &waiting->payload, person.clock.told(waiting->happened),
                    RowState::waiting, nullptr});
  }
  std::ranges::stable_sort(rows, std::greater<>{}, [](const Written& row) {
    return std::tuple{row.happened.at, row.fact->sequence};
  });
  return rows;
}

// H29: which file an entry came with. A file's own entries say nothing of others, and what was
// erased counts.
using CameWith = std::unordered_map<Id, const std::string*, IdHash>;
CameWith came_with_of(const Chart& person) {
  CameWith out;
  std::vector<const Fact*> at;  // by position
  std::size_t next = 0;
  for (std::uint64_t position = 1; next < person.facts.size(); ++position) {
    const bool erased = std::ranges::binary_search(person.erased, position);
    at.push_back(erased ? nullptr : &person.facts[next++]);
  }
  for (auto one = at.size(); one > 0; --one) {
    const auto* fact = at[one - 1];
    const auto* note = fact == nullptr ? nullptr : std::get_if<Note>(&fact->payload);
    if (note == nullptr || note->entries <= 0 || out.contains(fact->id)) continue;
    const auto first =
        one - 1 - std::min<std::size_t>(one - 1, static_cast<std::size_t>(note->entries));
    for (auto with = first; with < one - 1; ++with)
      if (at[with] != nullptr) out.emplace(at[with]->id, &note->file);
  }
  return out;
}

constexpr std::string_view own_pages = "bench";

std::string by_text(const Words& words, const Fact& fact, const CameWith& came) {
  const auto& by = fact.told_by.empty() ? fact.author : fact.told_by;
  // What was entered on these pages needs no word for where it came in.
  auto out = fact.source == own_pages
                 ? by
                 : said(words, "journal.by", {arg_text("by", by), arg_text("source", fact.source)});
  if (const auto with = came.find(fact.id); with != came.end())
    out += said(words, "journal.came_with", {arg_text("file", *with->second)});
  return out;
}

std::string state_text(const Words& words, const Written& row) {
  switch (row.state) {
    case RowState::stands:
      return {};
    case RowState::waiting:
      return said(words, "journal.waiting");
    case RowState::corrected:
    case RowState::voided:
      break;
  }
  const auto* correction = std::get_if<Correction>(&row.correction->payload);
  const std::vector<Arg> args{arg_text("reason", correction == nullptr ? "" : correction->reason),
                              arg_text("by", row.correction->author)};
  return said(words, row.state == RowState::corrected ? "journal.corrected" : "journal.voided",
              args);
}

// What the correction form starts from: the kind's fields and when it happened, all times by the
// person's own clock (H18).
json::Value fact_of(const Chart& person, const Written& row) {
  auto fact = wire::payload_to_json(*row.payload);
  const auto& kind = facts::kind_of(*row.payload);
  for (const auto& field : kind.fields) {
    const auto* held = field.in(facts::body(*row.payload));
    if (field.type != fields::Type::when || (field.holder != nullptr && field.holder->many))
      continue;
    if (field.holder != nullptr && field.holder->size(held) == 0) continue;
    const auto* value = field.holder != nullptr ? field.holder->at(held, 0) : held;
    for (auto& member : fact.members) {
      if (member.key == field.name)
        member.value = json::string(person.clock.told(fields::as<When>(value)));
    }
  }
  json::add(fact, "happened", json::string(row.happened));
  return fact;
}

json::Value row_document(const Words& words, const Chart& person, const shelf::Shelf& shelf,
                         const CameWith& came, const Written& row) {
  return json::object({{"id", json::string(row.fact->id)},
                       {"when_text", text(format_iso(row.happened.minute()))},
                       {"day_text", text(words.day_long(row.happened.day()))},
                       {"what", text(words.name("fact/" + std::string(name_of(*row.payload))))},
                       {"sentence", rich(sentence_of(words, person, shelf, *row.payload))},
                       {"by_text", text(by_text(words, *row.fact, came))},
                       {"state", text(row_states[static_cast<std::size_t>(row.state)])},
                       {"state_text", text(state_text(words, row))},
                       {"fact", fact_of(person, row)},
                       {"can_correct", json::boolean(row.state == RowState::stands ||
                                                     row.state == RowState::corrected)}});
}

}  // namespace

json::Value journal_page(const Chart& person, const People& people, const Clinic& clinic,
                         const Caller& caller, int page) {
  const auto rows = rows_of(person);
  const auto here = cut(rows.size(), page);
  const auto came = came_with_of(person);
  std::vector<json::Value> out;
  for (auto i = here.from; i < here.to; ++i)
    out.push_back(row_document(caller.words, person, clinic.shelf, came, rows[i]));
  return json::object(
      {{"who", who_of(caller.words, person, people, clinic, now_at(person, caller))},
       {"version", json::count(static_cast<std::int64_t>(person.version))},
       {"page", json::count(here.page)},
       {"pages", json::count(here.pages)},
       {"count_text",
        text(said(caller.words, "journal.count",
                  {arg_count("facts", static_cast<std::int64_t>(person.facts.size()))}))},
       {"rows", list(std::move(out))},
       {"chain_text", text(said(caller.words, "journal.chain",
                                {arg_count("version", static_cast<std::int64_t>(person.version)),
                                 arg_text("head", to_text(person.head).substr(0, 16))}))}});
}

json::Value written_since(const Chart& person, const Clinic& clinic, const Caller& caller,
                          std::uint64_t version) {
  std::unordered_set<Id, IdHash> fresh;
  for (const auto& fact : chart::facts_after(person, version)) fresh.insert(fact.id);
  const auto is_new = [&](const Fact* fact) { return fresh.contains(fact->id); };
  const auto came = came_with_of(person);
  constexpr std::size_t rows_most = 20;  // more than these are read in the journal itself
  std::vector<json::Value> out;
  for (const auto& row : rows_of(person)) {
    if (out.size() == rows_most) break;
    if (is_new(row.fact) || (row.correction != nullptr && is_new(row.correction)))
      out.push_back(row_document(caller.words, person, clinic.shelf, came, row));
  }
  return list(std::move(out));
}

}  // namespace penstock::pages
