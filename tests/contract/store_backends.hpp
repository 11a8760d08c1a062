// What the files of the contract share: the backends, and a store of the one that is tried.
#pragma once

#include <gmock/gmock.h>

#include <memory>
#include <string>
#include <string_view>

#include "shell/disk/disk.hpp"
#include "support/store_kit.hpp"

namespace penstock::store {

struct Backend {
  const char* name;
  std::unique_ptr<Store> (*make)(const kit::Folder& folder);
};

inline std::unique_ptr<Store> make_memory(const kit::Folder&) { return make_memory_store(); }
inline std::unique_ptr<Store> make_sqlite(const kit::Folder& folder) {
  auto store = open_sqlite({.path = folder / "clinic.penstock"});
  if (!store) ADD_FAILURE() << store.error().code;
  return store ? std::move(*store) : nullptr;
}
inline constexpr Backend backends[] = {{"memory", make_memory}, {"sqlite", make_sqlite}};

class StoreContract : public ::testing::TestWithParam<Backend> {
 protected:
  void SetUp() override {
    store_ = GetParam().make(folder_);
    ASSERT_NE(store_, nullptr);
  }
  Store& store() { return *store_; }

  kit::Folder folder_;
  std::unique_ptr<Store> store_;
};

inline Result<Digest> put(Store& store, Id journal, const std::vector<std::uint8_t>& bytes,
                          std::string_view media = "image/png") {
  Digest digest{};
  const auto done = store.write([&](WriteTx& tx) -> Result<void> {
    const auto kept = tx.put_blob(journal, media, bytes);
    if (!kept) return kept.error();
    digest = *kept;
    return {};
  });
  if (!done) return done.error();
  return digest;
}

inline std::int64_t count_arg(const Error& error, std::string_view name) {
  for (const auto& arg : error.args) {
    if (arg.name == name) return arg.number;
  }
  ADD_FAILURE() << "no argument " << name;
  return -1;
}

}  // namespace penstock::store
