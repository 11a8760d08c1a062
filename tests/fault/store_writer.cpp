// A process that writes facts until somebody kills it. After each commit, and only then, it says so
// on standard output: eight bytes, the fact's number. Usage: store_writer FILE FIRST-NUMBER
#include <unistd.h>

#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "shell/disk/disk.hpp"
#include "support/store_kit.hpp"

namespace penstock::store {
namespace {

/// One visit: the person's fact, the clinic's fact, and the person's summary, in one transaction.
Result<void> visit(WriteTx& tx, std::uint64_t n) {
  if (auto done = tx.create_journal(kit::person(1), Subject::person); !done) return done;
  if (auto done = tx.create_journal(kit::person(2), Subject::clinic); !done) return done;
  auto appended = tx.append(kit::person(1), {{kit::fact(2 * n)}}, std::nullopt);
  if (!appended) return appended.error();
  auto noted = tx.append(kit::person(2), {{kit::fact(2 * n + 1)}}, std::nullopt);
  if (!noted) return noted.error();
  Summary summary;
  summary.journal = kit::person(1);
  summary.journal_version = appended->version;
  return tx.put_summary(summary);
}

int write_for_ever(const char* path, std::uint64_t n) {
  auto store = open_sqlite({.path = path});
  if (!store) {
    std::fprintf(stderr, "store_writer: %s\n", store.error().code.c_str());
    return 3;
  }
  for (;; ++n) {
    const auto written = (*store)->write([&](WriteTx& tx) { return visit(tx, n); });
    if (!written) {
      const auto& args = written.error().args;
      std::fprintf(stderr, "store_writer: %s (%lld)\n", written.error().code.c_str(),
                   args.empty() ? 0LL : static_cast<long long>(args.back().number));
      return 4;
    }
    if (::write(STDOUT_FILENO, &n, sizeof n) != sizeof n) return 5;
  }
}

}  // namespace
}  // namespace penstock::store

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  return penstock::store::write_for_ever(argv[1], std::strtoull(argv[2], nullptr, 10));
}
