// What can be printed of a store and held against it later (H29): a seal over the heads of all its
// chains, and a journal as it stood at a version. A chain without a key proves nothing against
// whoever can write the file and works it out anew; what stands on paper does.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "shell/store/store.hpp"

namespace penstock::seals {

/// S9: what a printed seal says of the store.
enum class SealAnswer : std::uint8_t {
  holds,    ///< the heads that it was made over are all there
  broken,   ///< they are not: a chain was cut or built anew, or a journal is gone
  unknown,  ///< this store does not know it: of another store, or from before an older copy
};

/// A digest over journal, version and head of each, in the order of their identities.
std::string seal_over(std::vector<store::JournalInfo> heads);
/// Keeps what a seal is over, so that it can be looked at when the chains have gone on.
Result<void> keep(store::WriteTx& tx, const std::string& seal,
                  const std::vector<store::JournalInfo>& journals);
/// A seal as it was printed, in capitals or with blanks if need be.
Result<SealAnswer> look_at(store::ReadTx& tx, std::string_view seal);
/// The same for the last one that was kept; where there is none it holds.
Result<SealAnswer> look_at_last(store::ReadTx& tx);
/// A journal as it stood at a version; nothing where it was never so long.
Result<std::optional<store::JournalInfo>> at_version(store::ReadTx& tx, store::JournalInfo info,
                                                     std::uint64_t version);

}  // namespace penstock::seals
