#include "edge/summary/people.hpp"

#include <algorithm>
#include <array>
#include <tuple>
#include <unordered_set>
#include <utility>

#include "edge/summary/summary.hpp"

namespace penstock::summary {
namespace {

bool comes_before(const RowPtr& a, const RowPtr& b) {
  return std::tie(a->search_key, a->person) < std::tie(b->search_key, b->person);
}

bool continues(char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U; }

// Two bits for each class of letters: whether one occurs, and whether another does. A letter's
// class is that of its last byte, which differs most within a script.
std::uint64_t letters_in(std::string_view text) {
  std::uint64_t letters = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (i + 1 < text.size() && continues(text[i + 1])) continue;
    const auto once = std::uint64_t{1} << (2 * (static_cast<unsigned char>(text[i]) & 31U));
    letters |= (letters & once) == 0 ? once : once << 1;
  }
  return letters;
}

// A letter more or less changes at most one bit, another letter two, and two that changed places
// none. Bits are taken away one by one: quicker than to count them all.
bool may_be_alike(std::uint64_t a, std::uint64_t b) {
  auto differ = a ^ b;
  for (int i = 0; i < 2 * slips_max; ++i) differ &= differ - 1;
  return differ == 0;
}

}  // namespace

void People::ChunkRows::put(std::size_t at, RowPtr it) {
  rings_from[at] = Instant::max();
  for (const auto& watch : it->watches)
    rings_from[at] = std::min(rings_from[at], watch.shows_from.at);
  row[at] = std::move(it);
}

void People::Names::add(std::size_t at, const Row& row) {
  INVARIANT(row.search_key.starts_with(row.name_key.folded));
  folded[at] = letters_in(row.name_key.folded);
  look[at] = letters_in(row.name_key.look);
  born[at] = row.born;
  name_bytes[at] = static_cast<std::uint32_t>(row.name_key.folded.size());
  keys += row.search_key;
  ends[at + 1] = static_cast<std::uint32_t>(keys.size());
}

std::string_view People::search_key(std::size_t i) const {
  const auto& all = *chunk(i).names;
  const auto at = i % chunk_rows;
  return std::string_view(all.keys).substr(all.ends[at], all.ends[at + 1] - all.ends[at]);
}

std::string_view People::folded_name(std::size_t i) const {
  return search_key(i).substr(0, chunk(i).names->name_bytes[i % chunk_rows]);
}

People::People(std::vector<Row> rows) {
  std::vector<RowPtr> all;
  all.reserve(rows.size());
  for (auto& row : rows) {
    if (!row.full_name.empty()) all.push_back(std::make_shared<const Row>(std::move(row)));
  }
  std::ranges::sort(all, comes_before);
  lay_out(std::move(all));
}

void People::lay_out(std::vector<RowPtr> rows) {
  auto chunks = std::make_shared<std::vector<Chunk>>();
  auto places = std::make_shared<Places>();
  places->reserve(rows.size());
  for (std::size_t from = 0; from < rows.size(); from += chunk_rows) {
    auto here = std::make_shared<ChunkRows>();
    auto names = std::make_shared<Names>();
    for (std::size_t i = from; i < std::min(rows.size(), from + chunk_rows); ++i) {
      places->emplace(rows[i]->person, i);
      names->add(i - from, *rows[i]);
      here->put(i - from, std::move(rows[i]));
    }
    names->keys.shrink_to_fit();
    chunks->push_back({std::move(here), std::move(names)});
  }
  count_ = rows.size();
  chunks_ = std::move(chunks);
  places_ = std::move(places);
}

std::optional<std::size_t> People::place_of(Id person) const {
  if (!places_) return std::nullopt;
  const auto found = places_->find(person);
  return found == places_->end() ? std::nullopt : std::optional(found->second);
}

const Row* People::find(Id person) const {
  const auto place = place_of(person);
  return place ? &(*this)[*place] : nullptr;
}

RowPtr People::share(Id person) const {
  const auto place = place_of(person);
  return place ? chunk(*place).rows->row[*place % chunk_rows] : nullptr;
}

std::vector<const Row*> People::alike(Id person) const {
  const auto* row = find(person);
  return row == nullptr ? std::vector<const Row*>{} : alike(row->name_key, row->born, person);
}

std::vector<const Row*> People::alike(const Key& name, std::optional<LocalDay> born, Id but) const {
  std::vector<const Row*> out;
  if (!chunks_) return out;
  const auto folded = letters_in(name.folded);
  const auto look = letters_in(name.look);
  for (std::size_t from = 0; from < count_; from += chunk_rows) {
    const auto& [rows, names] = chunk(from);
    for (std::size_t at = 0; at < std::min(chunk_rows, count_ - from); ++at) {
      const bool same_day = born == names->born[at];
      const bool may = same_day || may_be_alike(folded, names->folded[at]) ||
                       may_be_alike(look, names->look[at]);
      if (!may) continue;
      const auto& row = *rows->row[at];
      const bool are_alike =
          summary::alike(row.name_key, name) || (same_day && in_part_the_same(row.name_key, name));
      if (row.person != but && are_alike) out.push_back(&row);
    }
  }
  return out;
}

People People::with(std::vector<Row> changed) const {
  if (changed.empty()) return *this;
  // By place: only those who are called as before, and none comes or goes.
  const auto stays = [this](const Row& row) {
    const auto* before = find(row.person);
    return before != nullptr && !row.full_name.empty() && before->search_key == row.search_key &&
           before->name_key == row.name_key;
  };
  if (std::ranges::all_of(changed, stays)) {
    auto chunks = std::make_shared<std::vector<Chunk>>(*chunks_);
    for (auto& row : changed) {
      const auto at = places_->at(row.person);
      auto& kept = (*chunks)[at / chunk_rows].rows;
      auto rows = std::make_shared<ChunkRows>(*kept);
      rows->put(at % chunk_rows, std::make_shared<const Row>(std::move(row)));
      kept = std::move(rows);
    }
    People out = *this;
    out.chunks_ = std::move(chunks);
    return out;
  }
  // Everybody else stays in order, and the new ones are merged in.
  std::unordered_set<Id, IdHash> anew;
  for (const auto& row : changed) anew.insert(row.person);
  std::vector<RowPtr> rows;
  rows.reserve(count_ + changed.size());
  for (std::size_t i = 0; i < count_; ++i) {
    const auto& row = chunk(i).rows->row[i % chunk_rows];
    if (!anew.contains(row->person)) rows.push_back(row);
  }
  const auto before = static_cast<std::ptrdiff_t>(rows.size());
  for (auto& row : changed) {
    if (!row.full_name.empty()) rows.push_back(std::make_shared<const Row>(std::move(row)));
  }
  std::sort(rows.begin() + before, rows.end(), comes_before);
  std::inplace_merge(rows.begin(), rows.begin() + before, rows.end(), comes_before);
  People out;
  out.lay_out(std::move(rows));
  return out;
}

}  // namespace penstock::summary
