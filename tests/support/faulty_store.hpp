// A store for tests that fails at a chosen call, once or from then on: every call of a transaction,
// its beginning and its end count. What it does meanwhile is the memory store's.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "shell/store/store.hpp"

namespace penstock::tests {

enum class Fault : std::uint8_t { error, broken_promise, exception };
enum class Lasts : std::uint8_t { once, for_ever };

/// When and how to fail. Calls are counted from 1; 0: never.
struct Faults {
  std::uint64_t at = 0;
  Fault fault = Fault::error;
  Lasts lasts = Lasts::once;
  std::uint64_t calls = 0;

  static constexpr std::string_view code = "test.fault";
  void fail_at(std::uint64_t call, Fault how, Lasts lasts_how) {
    at = call;
    fault = how;
    lasts = lasts_how;
    calls = 0;
  }
  void end() { at = 0; }
  std::optional<Error> strike() {
    ++calls;
    const bool struck = at != 0 && (lasts == Lasts::once ? calls == at : calls >= at);
    if (!struck) return std::nullopt;
    if (fault == Fault::broken_promise) throw BrokenPromise{"a store's", "here"};
    if (fault == Fault::exception) throw std::runtime_error("a library's");
    return Error{Kind::unavailable, std::string(code), {}, ""};
  }
};

class FaultyTx final : public store::WriteTx {
 public:
  /// `write`: nothing in a reading transaction.
  FaultyTx(Faults& faults, store::ReadTx& read, store::WriteTx* write)
      : faults_(faults), read_(read), write_(write) {}

  Result<std::optional<store::JournalInfo>> journal(Id journal) override {
    return pass([&] { return read_.journal(journal); });
  }
  Result<std::vector<store::JournalInfo>> journals() override {
    return pass([&] { return read_.journals(); });
  }
  Result<std::uint64_t> journals_missing() override {
    return pass([&] { return read_.journals_missing(); });
  }
  Result<store::Facts> load(Id journal, std::uint64_t from_position) override {
    return pass([&] { return read_.load(journal, from_position); });
  }
  Result<std::vector<store::Entry>> entries(Id journal, std::uint64_t from_position) override {
    return pass([&] { return read_.entries(journal, from_position); });
  }
  Result<std::optional<store::FactPlace>> find(Id fact) override {
    return pass([&] { return read_.find(fact); });
  }
  std::uint64_t changed_by_others() override { return read_.changed_by_others(); }
  Result<std::optional<store::Summary>> summary(Id journal) override {
    return pass([&] { return read_.summary(journal); });
  }
  Result<std::vector<store::Summary>> summaries(const store::SummaryQuery& query) override {
    return pass([&] { return read_.summaries(query); });
  }
  Result<store::SummaryChanges> changed_since(const store::Stamp& seen) override {
    return pass([&] { return read_.changed_since(seen); });
  }
  Result<std::vector<std::string>> tags(Id journal) override {
    return pass([&] { return read_.tags(journal); });
  }
  Result<std::vector<Id>> tagged(std::string_view tag) override {
    return pass([&] { return read_.tagged(tag); });
  }
  Result<std::optional<store::Blob>> blob(Id journal, const Digest& digest) override {
    return pass([&] { return read_.blob(journal, digest); });
  }
  Result<std::vector<store::BlobInfo>> blobs(Id journal) override {
    return pass([&] { return read_.blobs(journal); });
  }
  Result<std::optional<store::Block>> block(Id journal, store::BlockKey key) override {
    return pass([&] { return read_.block(journal, key); });
  }
  Result<std::vector<store::Block>> blocks(Id journal, std::uint16_t kind, LocalDay from,
                                           LocalDay to) override {
    return pass([&] { return read_.blocks(journal, kind, from, to); });
  }
  Result<std::optional<std::string>> setting(std::string_view name) override {
    return pass([&] { return read_.setting(name); });
  }
  Result<std::vector<std::string>> settings(std::string_view beginning) override {
    return pass([&] { return read_.settings(beginning); });
  }

  Result<void> create_journal(Id journal, store::Subject subject) override {
    return pass([&] { return write_->create_journal(journal, subject); });
  }
  Result<store::Appended> append(Id journal, std::span<const store::NewFact> facts,
                                 std::optional<std::uint64_t> seen_version) override {
    return pass([&] { return write_->append(journal, facts, seen_version); });
  }
  Result<void> erase_payload(Id fact) override {
    return pass([&] { return write_->erase_payload(fact); });
  }
  Result<void> make_read_only(Id journal, std::string_view because) override {
    return pass([&] { return write_->make_read_only(journal, because); });
  }
  Result<void> make_writable(Id journal) override {
    return pass([&] { return write_->make_writable(journal); });
  }
  Result<void> put_summary(const store::Summary& summary) override {
    return pass([&] { return write_->put_summary(summary); });
  }
  Result<void> put_tags(Id journal, std::span<const std::string> tags) override {
    return pass([&] { return write_->put_tags(journal, tags); });
  }
  Result<void> drop_summaries() override {
    return pass([&] { return write_->drop_summaries(); });
  }
  Result<Digest> put_blob(Id journal, std::string_view media,
                          std::span<const std::uint8_t> bytes) override {
    return pass([&] { return write_->put_blob(journal, media, bytes); });
  }
  Result<void> erase_blob(Id journal, const Digest& digest) override {
    return pass([&] { return write_->erase_blob(journal, digest); });
  }
  Result<std::uint64_t> put_block(Id journal, store::BlockKey key,
                                  std::span<const std::uint8_t> bytes,
                                  std::optional<std::uint64_t> seen_version) override {
    return pass([&] { return write_->put_block(journal, key, bytes, seen_version); });
  }
  Result<void> erase_block(Id journal, store::BlockKey key) override {
    return pass([&] { return write_->erase_block(journal, key); });
  }
  Result<void> put_setting(std::string_view name, std::string_view value) override {
    return pass([&] { return write_->put_setting(name, value); });
  }
  Result<void> drop_setting(std::string_view name) override {
    return pass([&] { return write_->drop_setting(name); });
  }

 private:
  template <class Call>
  auto pass(Call&& call) -> decltype(call()) {
    if (auto struck = faults_.strike()) return *std::move(struck);
    return call();
  }

  Faults& faults_;
  store::ReadTx& read_;
  store::WriteTx* write_;
};

class FaultyStore final : public store::Store {
 public:
  explicit FaultyStore(store::Store& inner) : inner_(inner) {}
  Faults faults;

  Result<void> read(const std::function<Result<void>(store::ReadTx&)>& body) override {
    if (auto struck = faults.strike()) return *std::move(struck);
    return inner_.read([&](store::ReadTx& tx) {
      FaultyTx faulty(faults, tx, nullptr);
      return body(faulty);
    });
  }
  Result<void> write(const std::function<Result<void>(store::WriteTx&)>& body) override {
    if (auto struck = faults.strike()) return *std::move(struck);
    return inner_.write([&](store::WriteTx& tx) -> Result<void> {
      FaultyTx faulty(faults, tx, &tx);
      if (auto done = body(faulty); !done) return done;
      if (auto struck = faults.strike()) return *std::move(struck);  // its end: nothing is kept
      return {};
    });
  }
  Result<store::VerifyReport> verify(store::Marks marks,
                                     const store::OnProgress& progress) override {
    if (auto struck = faults.strike()) return *std::move(struck);
    return inner_.verify(marks, progress);
  }
  Result<store::VerifyReport> check_heads(store::Marks marks) override {
    if (auto struck = faults.strike()) return *std::move(struck);
    return inner_.check_heads(marks);
  }

 private:
  store::Store& inner_;
};

}  // namespace penstock::tests
