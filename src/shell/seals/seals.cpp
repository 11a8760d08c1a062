#include "shell/seals/seals.hpp"

#include <algorithm>
#include <span>
#include <sstream>

namespace penstock::seals {
namespace {

// How many seals can be checked in the store itself: one a day for three months. Older ones are
// checked in the copy that they were printed with.
constexpr std::size_t seals_kept = 92;
constexpr std::string_view seals_name = "seals";
constexpr std::size_t digest_size = 64;

std::string name_of_seal(std::string_view seal) { return "seal/" + std::string(seal); }

}  // namespace

std::string seal_over(std::vector<store::JournalInfo> heads) {
  std::ranges::sort(heads, {}, &store::JournalInfo::journal);
  std::string all;
  for (const auto& info : heads) {
    all += to_text(info.journal) + " " + std::to_string(info.version) + " " + to_text(info.head) +
           "\n";
  }
  return to_text(store::sha256({reinterpret_cast<const std::uint8_t*>(all.data()), all.size()}));
}

// The versions that a seal is over, in the order in which the journals were created: nothing that
// has to be trusted, because the heads at these versions must give the seal again.
Result<void> keep(store::WriteTx& tx, const std::string& seal,
                  const std::vector<store::JournalInfo>& journals) {
  std::string versions;
  for (const auto& info : journals) versions += std::to_string(info.version) + " ";
  if (const auto kept = tx.put_setting(name_of_seal(seal), versions); !kept) return kept;
  const auto before = tx.setting(seals_name);
  if (!before) return before.error();
  auto all = before->value_or("") + seal;
  while (all.size() > seals_kept * digest_size) {
    if (const auto dropped = tx.drop_setting(name_of_seal(all.substr(0, digest_size))); !dropped)
      return dropped;
    all.erase(0, digest_size);
  }
  return tx.put_setting(seals_name, all);
}

Result<std::optional<store::JournalInfo>> at_version(store::ReadTx& tx, store::JournalInfo info,
                                                     std::uint64_t version) {
  if (version == info.version) return std::optional(info);
  if (version > info.version) return std::optional<store::JournalInfo>{};
  info.version = version;
  info.head = {};
  if (version == 0) return std::optional(info);
  const auto entries = tx.entries(info.journal, version);
  if (!entries) return entries.error();
  if (entries->empty()) return std::optional<store::JournalInfo>{};
  info.head = entries->front().hash;
  return std::optional(info);
}

namespace {

Result<SealAnswer> look_at_folded(store::ReadTx& tx, const std::string& seal) {
  auto journals = tx.journals();
  if (!journals) return journals.error();
  if (seal_over(*journals) == seal) return SealAnswer::holds;
  const auto kept = tx.setting(name_of_seal(seal));
  if (!kept) return kept.error();
  if (!kept->has_value()) return SealAnswer::unknown;
  std::istringstream versions(**kept);
  std::vector<store::JournalInfo> then;
  std::uint64_t version = 0;
  for (auto info = journals->begin(); versions >> version; ++info) {
    if (info == journals->end()) return SealAnswer::broken;
    auto head = at_version(tx, *info, version);
    if (!head) return head.error();
    if (!*head) return SealAnswer::broken;
    then.push_back(**head);
  }
  return seal_over(std::move(then)) == seal ? SealAnswer::holds : SealAnswer::broken;
}

}  // namespace

Result<SealAnswer> look_at(store::ReadTx& tx, std::string_view seal) {
  std::string folded;
  for (const char c : seal) {
    if (c != ' ' && c != '-') folded += static_cast<char>(c >= 'A' && c <= 'F' ? c - 'A' + 'a' : c);
  }
  return look_at_folded(tx, folded);
}

Result<SealAnswer> look_at_last(store::ReadTx& tx) {
  const auto seals = tx.setting(seals_name);
  if (!seals) return seals.error();
  const auto all = seals->value_or("");
  if (all.size() < digest_size) return SealAnswer::holds;
  return look_at_folded(tx, all.substr(all.size() - digest_size));
}

}  // namespace penstock::seals
