#include "spec/backends.hpp"

#include <algorithm>
#include <memory>
#include <stdexcept>

#include "edge/wire/fact_codec.hpp"
#include "shell/disk/disk.hpp"
#include "shell/store/store.hpp"
#include "support/store_kit.hpp"

namespace penstock::spec {
namespace {

using journal::Fact;
using Facts = std::vector<Fact>;

template <class T>
T must(Result<T> result) {
  if (!result) throw std::runtime_error("the store answers " + result.error().code);
  return std::move(*result);
}
void must_do(const Result<void>& result) {
  if (!result) throw std::runtime_error("the store answers " + result.error().code);
}

/// One transaction a fact, the way they are recorded at a desk.
void append(store::Store& store, const Facts& facts) {
  if (facts.empty()) return;
  const Id journal = facts.front().journal;
  must_do(store::kit::create(store, journal));
  for (const Fact& fact : facts) {
    const auto type = journal::type_of(fact.payload);
    const auto version = journal::version_of(fact.payload);
    must(store::kit::append(store, journal,
                            {{fact.id, type, version, fact.recorded, wire::encode(fact)}}));
  }
}

Facts load(store::Store& store, Id journal) {
  Facts facts;
  const auto stored = must(store::kit::load(store, journal));
  for (const auto& fact : stored) {
    facts.push_back(must(wire::decode(fact.bytes, fact.recorded)));
  }
  return facts;
}

Facts in_memory(const Facts& facts) {
  const auto store = store::make_memory_store();
  append(*store, facts);
  return facts.empty() ? Facts{} : load(*store, facts.front().journal);
}

/// Closed and opened again in between: what is read was on disk.
Facts in_sqlite(const Facts& facts) {
  const store::kit::Folder folder;
  store::SqliteOptions options;
  options.path = folder / "spec.db";
  append(*must(store::open_sqlite(options)), facts);
  return facts.empty() ? Facts{} : load(*must(store::open_sqlite(options)), facts.front().journal);
}

Facts backwards_and_twice(const Facts& facts) {
  Facts out(facts.rbegin(), facts.rend());
  out.insert(out.end(), facts.begin(), facts.end());
  return out;
}

}  // namespace

std::vector<Backend> backends() {
  return {{"AsTold", [](const Facts& facts) { return facts; }},
          {"BackwardsAndTwice", backwards_and_twice},
          {"Memory", in_memory},
          {"Sqlite", in_sqlite}};
}

}  // namespace penstock::spec
