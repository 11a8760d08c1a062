// What the tests of the store share: a folder of their own, invented facts, short ways to write and
// look.
#pragma once

#include <gtest/gtest.h>
#include <stdlib.h>
#include <unistd.h>

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "shell/store/store.hpp"

namespace penstock::store::kit {

/// Where a test's files lie. In memory where the test itself plays the disk: there a real sync says
/// nothing and takes its time.
enum class Place : std::uint8_t { disk, memory };

/// A folder that is gone again at the end.
class Folder {
 public:
  explicit Folder(Place place = Place::disk) {
    const std::filesystem::path memory = "/dev/shm";
    const bool in_memory = place == Place::memory && ::access(memory.c_str(), W_OK) == 0;
    const auto parent = in_memory ? memory : std::filesystem::temp_directory_path();
    std::string name = (parent / "store-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) std::abort();
    path_ = name;
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  std::filesystem::path operator/(std::string_view name) const { return path_ / name; }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

inline Id person(std::uint64_t n) { return {0x9E3779B97F4A7C15ULL, n}; }
inline Id fact_id(std::uint64_t n) { return {0xF00D, n}; }

/// An invented fact; `n` decides its identity and, unless given, its bytes.
inline NewFact fact(std::uint64_t n, std::string_view content = "") {
  std::string text = content.empty() ? "primed 2 units, flow seen, number " + std::to_string(n)
                                     : std::string(content);
  return {.fact = fact_id(n),
          .type = static_cast<std::uint16_t>(n % 7),
          .type_version = 1,
          .recorded = Instant{std::chrono::seconds{1'800'000'000 + static_cast<std::int64_t>(n)}},
          .bytes = {text.begin(), text.end()}};
}
inline std::vector<NewFact> facts(std::uint64_t from, std::uint64_t count) {
  std::vector<NewFact> out;
  for (std::uint64_t n = from; n < from + count; ++n) out.push_back(fact(n));
  return out;
}

/// Invented bytes that are about as long as is asked.
inline std::vector<std::uint8_t> picture(std::uint64_t n, std::size_t size = 64) {
  const auto text = "picture " + std::to_string(n) + " ";
  std::vector<std::uint8_t> out(text.begin(), text.end());
  while (out.size() < size) out.push_back(static_cast<std::uint8_t>(out.size() * 7 + n));
  return out;
}

inline Result<void> create(Store& store, Id journal, Subject subject = Subject::person) {
  return store.write([&](WriteTx& tx) { return tx.create_journal(journal, subject); });
}

inline Result<Appended> append(Store& store, Id journal, std::vector<NewFact> list,
                               std::optional<std::uint64_t> seen = std::nullopt) {
  Appended out;
  auto done = store.write([&](WriteTx& tx) -> Result<void> {
    auto appended = tx.append(journal, list, seen);
    if (!appended) return appended.error();
    out = std::move(*appended);
    return {};
  });
  if (!done) return done.error();
  return out;
}

/// Runs a reading body that gives something back.
template <class Body>
auto look(Store& store, Body body) -> decltype(body(std::declval<ReadTx&>())) {
  using Answer = decltype(body(std::declval<ReadTx&>()));
  std::optional<Answer> answer;
  auto done = store.read([&](ReadTx& tx) -> Result<void> {
    answer.emplace(body(tx));
    return {};
  });
  if (!done) return done.error();
  return std::move(*answer);
}

inline Result<Facts> load(Store& store, Id journal, std::uint64_t from = 1) {
  return look(store, [&](ReadTx& tx) { return tx.load(journal, from); });
}
inline Result<std::vector<JournalInfo>> journals(Store& store) {
  return look(store, [](ReadTx& tx) { return tx.journals(); });
}
/// Of a journal that must be there.
inline JournalInfo info(Store& store, Id journal) {
  auto found = look(store, [&](ReadTx& tx) { return tx.journal(journal); });
  if (!found || !*found) {
    ADD_FAILURE() << "no journal " << to_text(journal);
    return {};
  }
  return **found;
}

/// Everything that can be seen of a store, as text: two states are the same when their texts are.
inline std::string everything(Store& store) {
  std::string out;
  auto done = store.read([&](ReadTx& tx) -> Result<void> {
    out.clear();
    auto list = tx.journals();
    if (!list) return list.error();
    for (const auto& journal : *list) {
      out += to_text(journal.journal) + " " + std::to_string(static_cast<int>(journal.subject)) +
             " v" + std::to_string(journal.version) + " " + to_text(journal.head) + " " +
             journal.read_only_because + "\n";
      auto loaded = tx.load(journal.journal);
      if (!loaded) return loaded.error();
      for (const auto& f : *loaded) {
        out += "  " + std::to_string(f.position) + " " + to_text(f.fact) + " " +
               std::to_string(f.type) + "." + std::to_string(f.type_version) + " " +
               std::to_string(f.recorded.time_since_epoch().count()) + " " + to_text(f.digest) +
               (f.erased ? " erased" : " " + std::string(f.bytes.begin(), f.bytes.end())) + "\n";
      }
      const auto blobs = tx.blobs(journal.journal);
      if (!blobs) return blobs.error();
      for (const auto& blob : *blobs) {
        out += "  blob " + to_text(blob.digest) + " " + blob.media + " " +
               std::to_string(blob.size) + (blob.erased ? " erased\n" : "\n");
      }
    }
    for (const auto order : {SummaryOrder::by_key, SummaryOrder::by_change}) {
      auto summaries = tx.summaries({.order = order});
      if (!summaries) return summaries.error();
      for (const auto& s : *summaries) {
        out += "summary " + to_text(s.journal) + " " + std::to_string(s.journal_version) + " " +
               s.search_key + "\n";
      }
    }
    return {};
  });
  if (!done) ADD_FAILURE() << "cannot read the store: " << done.error().code;
  return out;
}

inline std::string fault_list(const VerifyReport& report) {
  std::string out;
  for (const auto& fault : report.faults) {
    out += to_text(fault.journal) + " at " + std::to_string(fault.position) + ": " + fault.code +
           " " + fault.detail + "\n";
  }
  return out;
}

#define EXPECT_VERIFIES(store_)                                     \
  do {                                                              \
    const auto verified_ = (store_).verify(Marks::leave, {});       \
    ASSERT_TRUE(verified_.has_value()) << verified_.error().code;   \
    EXPECT_TRUE(verified_->clean()) << kit::fault_list(*verified_); \
  } while (false)

#define ASSERT_OK(result_)                                      \
  do {                                                          \
    const auto& checked_ = (result_);                           \
    ASSERT_TRUE(checked_.has_value()) << checked_.error().code; \
  } while (false)

#define EXPECT_REFUSED(result_, kind_, code_) \
  do {                                        \
    const auto& checked_ = (result_);         \
    ASSERT_FALSE(checked_.has_value());       \
    EXPECT_EQ(checked_.error().kind, kind_);  \
    EXPECT_EQ(checked_.error().code, code_);  \
  } while (false)

}  // namespace penstock::store::kit
