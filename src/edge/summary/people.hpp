// Everybody, as lists need them: a snapshot that is cheap to pass around, and cheap to make anew
// when somebody's row changes, because all other rows are shared with the one before.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::summary {

/// How a text is folded, and what it looks like: functions that the shell hands in, because they
/// stand on a library that knows the scripts.
struct Keys {
  std::string (*folded)(std::string_view utf8) = nullptr;
  std::string (*look)(std::string_view utf8) = nullptr;
};
/// A name or a number as it is compared; made once, where its row is written.
struct Key {
  std::string folded;
  std::string look;
  friend bool operator==(const Key&, const Key&) = default;
};

struct Row;
using RowPtr = std::shared_ptr<const Row>;

class People {
 public:
  People() = default;
  explicit People(std::vector<Row> rows);

  std::size_t size() const { return count_; }
  bool empty() const { return count_ == 0; }
  const Row& operator[](std::size_t i) const { return *chunk(i).rows->row[i % chunk_rows]; }
  /// The row itself, to be kept longer than the snapshot. Nothing: nobody has this identity.
  RowPtr share(Id person) const;
  /// Of the row at this place, as it stands there: whoever looks through everybody reads these,
  /// which lie together, and only the rows that he wants.
  std::string_view search_key(std::size_t i) const;
  std::string_view folded_name(std::size_t i) const;
  LocalDay born(std::size_t i) const { return chunk(i).names->born[i % chunk_rows]; }
  /// Before it no watch of the row rings; none at all: the end of time.
  Instant rings_from(std::size_t i) const { return chunk(i).rows->rings_from[i % chunk_rows]; }

  class Iterator {
   public:
    using value_type = Row;
    using difference_type = std::ptrdiff_t;
    using reference = const Row&;
    using pointer = const Row*;
    using iterator_category = std::forward_iterator_tag;

    Iterator() = default;
    Iterator(const People* people, std::size_t at) : people_(people), at_(at) {}
    reference operator*() const { return (*people_)[at_]; }
    pointer operator->() const { return &(*people_)[at_]; }
    Iterator& operator++() {
      ++at_;
      return *this;
    }
    Iterator operator++(int) {
      auto before = *this;
      ++at_;
      return before;
    }
    friend bool operator==(const Iterator& a, const Iterator& b) { return a.at_ == b.at_; }

   private:
    const People* people_ = nullptr;
    std::size_t at_ = 0;
  };
  /// By search key, then by identity.
  Iterator begin() const { return {this, 0}; }
  Iterator end() const { return {this, count_}; }

  /// Nothing: nobody has this identity.
  const Row* find(Id person) const;
  std::optional<std::size_t> place_of(Id person) const;
  /// H19: everybody else whose name may be taken for this one, in the order of the list. Of those
  /// born on the same day, nothing where that is not known, also whose name is in part this one.
  std::vector<const Row*> alike(const Key& name, std::optional<LocalDay> born, Id but) const;
  /// The same for somebody of the list; nobody where the list does not have them.
  std::vector<const Row*> alike(Id person) const;

  /// The snapshot in which these rows stand in the place of the same people's, or are new; a row
  /// without a name goes. Costs what changed, and a pointer for each few hundred people; where
  /// somebody is new or is called otherwise, all names are laid out anew.
  People with(std::vector<Row> changed) const;

 private:
  static constexpr std::size_t chunk_rows = 256;
  using Letters = std::uint64_t;
  /// Of a chunk's rows what is looked through, row by row and together. Most writes leave it as it
  /// is, and it is shared.
  struct Names {
    std::array<Letters, chunk_rows> folded{}, look{};  ///< of the names
    std::array<LocalDay, chunk_rows> born{};
    std::array<std::uint32_t, chunk_rows> name_bytes{};  ///< the folded name begins the search key
    std::array<std::uint32_t, chunk_rows + 1> ends{};    ///< of the search keys, from the second on
    std::string keys;                                    ///< all search keys
    void add(std::size_t at, const Row& row);
  };
  struct ChunkRows {
    std::array<RowPtr, chunk_rows> row;
    std::array<Instant, chunk_rows> rings_from{};
    void put(std::size_t at, RowPtr it);
  };
  struct Chunk {
    std::shared_ptr<const ChunkRows> rows;
    std::shared_ptr<const Names> names;
  };
  using Places = std::unordered_map<Id, std::size_t, IdHash>;

  void lay_out(std::vector<RowPtr> rows);  // in their order
  const Chunk& chunk(std::size_t i) const { return (*chunks_)[i / chunk_rows]; }

  std::shared_ptr<const std::vector<Chunk>> chunks_;
  std::shared_ptr<const Places> places_;
  std::size_t count_ = 0;
};

}  // namespace penstock::summary
