#include "edge/summary/people.hpp"

#include <algorithm>
#include <bit>
#include <set>
#include <utility>

#include "edge/summary/summary.hpp"

namespace penstock::summary {
namespace {

// One bit for a letter, several letters for a bit: two names that differ in few letters differ in
// few bits.
std::uint64_t letters_of(std::string_view name) {
  std::uint64_t letters = 0;
  for (const char c : name) letters |= std::uint64_t{1} << (static_cast<unsigned char>(c) & 63U);
  return letters;
}

}  // namespace

void People::Chunk::put(std::size_t at, RowPtr row) {
  letters[at] = letters_of(row->folded_name);
  length[at] = static_cast<std::uint32_t>(row->folded_name.size());
  rows[at] = std::move(row);
}

People::People(std::vector<Row> rows) {
  std::vector<RowPtr> all;
  all.reserve(rows.size());
  for (auto& row : rows) {
    if (!row.full_name.empty()) all.push_back(std::make_shared<const Row>(std::move(row)));
  }
  arrange(std::move(all));
}

void People::arrange(std::vector<RowPtr> rows) {
  std::ranges::sort(rows, [](const RowPtr& a, const RowPtr& b) {
    return std::tie(a->search_key, a->person) < std::tie(b->search_key, b->person);
  });
  auto chunks = std::make_shared<std::vector<ChunkPtr>>();
  auto places = std::make_shared<Places>();
  places->reserve(rows.size());
  for (std::size_t from = 0; from < rows.size(); from += chunk_rows) {
    auto chunk = std::make_shared<Chunk>();
    for (std::size_t i = from; i < std::min(rows.size(), from + chunk_rows); ++i) {
      places->emplace(rows[i]->person, i);
      chunk->put(i - from, std::move(rows[i]));
    }
    chunks->push_back(std::move(chunk));
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

std::vector<const Row*> People::alike(std::string_view folded_name, Id but) const {
  std::vector<const Row*> out;
  if (!chunks_) return out;
  const auto letters = letters_of(folded_name);
  const auto length = static_cast<std::int64_t>(folded_name.size());
  for (std::size_t i = 0; i < count_; ++i) {
    const auto& chunk = *(*chunks_)[i / chunk_rows];
    const auto at = i % chunk_rows;
    // A letter more, less or other changes at most two bits of the letters.
    if (std::abs(length - std::int64_t{chunk.length[at]}) > slips_max) continue;
    if (std::popcount(letters ^ chunk.letters[at]) > 2 * slips_max) continue;
    const auto& row = *chunk.rows[at];
    if (row.person != but && alike_folded(row.folded_name, folded_name)) out.push_back(&row);
  }
  return out;
}

People People::with(std::vector<Row> changed) const {
  if (changed.empty()) return *this;
  // By place: only those who are called as before, and none comes or goes.
  const auto stays = [this](const Row& row) {
    const auto* before = find(row.person);
    return before != nullptr && !row.full_name.empty() && before->search_key == row.search_key;
  };
  if (std::ranges::all_of(changed, stays)) {
    auto chunks = std::make_shared<std::vector<ChunkPtr>>(*chunks_);
    for (auto& row : changed) {
      const auto at = places_->at(row.person);
      auto chunk = std::make_shared<Chunk>(*(*chunks)[at / chunk_rows]);
      chunk->put(at % chunk_rows, std::make_shared<const Row>(std::move(row)));
      (*chunks)[at / chunk_rows] = std::move(chunk);
    }
    People out = *this;
    out.chunks_ = std::move(chunks);
    return out;
  }
  std::unordered_map<Id, RowPtr, IdHash> all;
  all.reserve(count_ + changed.size());
  for (std::size_t i = 0; i < count_; ++i) {
    const auto& row = (*chunks_)[i / chunk_rows]->rows[i % chunk_rows];
    all.emplace(row->person, row);
  }
  for (auto& row : changed) {
    if (row.full_name.empty()) {
      all.erase(row.person);
    } else {
      const auto person = row.person;
      all.insert_or_assign(person, std::make_shared<const Row>(std::move(row)));
    }
  }
  std::vector<RowPtr> rows;
  rows.reserve(all.size());
  for (auto& [person, row] : all) rows.push_back(std::move(row));
  People out;
  out.arrange(std::move(rows));
  return out;
}

}  // namespace penstock::summary
