#include "edge/summary/people.hpp"

#include <algorithm>
#include <bit>
#include <set>
#include <utility>

#include "edge/summary/summary.hpp"

namespace penstock::summary {
namespace {

bool continues(char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U; }

}  // namespace

// One bit for a letter, several letters for a bit: two names that differ in few letters differ in
// few bits. A letter's bit is that of its last byte, which differs most within a script.
People::Shape People::Shape::of(std::string_view text) {
  Shape shape;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (i + 1 < text.size() && continues(text[i + 1])) continue;
    shape.letters |= std::uint64_t{1} << (static_cast<unsigned char>(text[i]) & 63U);
    ++shape.length;
  }
  return shape;
}

bool People::Shape::may_be_alike(const Shape& other) const {
  if (std::abs(std::int64_t{length} - std::int64_t{other.length}) > slips_max) return false;
  // A letter more, less or other changes at most two bits of the letters.
  return std::popcount(letters ^ other.letters) <= 2 * slips_max;
}

void People::Chunk::put(std::size_t at, RowPtr row) {
  folded[at] = Shape::of(row->name_key.folded);
  look[at] = Shape::of(row->name_key.look);
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

std::vector<const Row*> People::alike(Id person) const {
  const auto* row = find(person);
  return row == nullptr ? std::vector<const Row*>{} : alike(row->name_key, person);
}

std::vector<const Row*> People::alike(const Key& name, Id but) const {
  std::vector<const Row*> out;
  if (!chunks_) return out;
  const auto folded = Shape::of(name.folded);
  const auto look = Shape::of(name.look);
  for (std::size_t i = 0; i < count_; ++i) {
    const auto& chunk = *(*chunks_)[i / chunk_rows];
    const auto at = i % chunk_rows;
    if (!folded.may_be_alike(chunk.folded[at]) && !look.may_be_alike(chunk.look[at])) continue;
    const auto& row = *chunk.rows[at];
    if (row.person != but && summary::alike(row.name_key, name)) out.push_back(&row);
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
