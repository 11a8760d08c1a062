// A whole journal as one JSON file. Read elsewhere it gives the same state, because state is a fold
// over the set of facts; nothing enters before every fact has been checked.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "edge/json/json.hpp"

namespace penstock::wire {

enum class JournalSubject : std::uint8_t { person, clinic };
inline constexpr auto journal_subject_names = std::to_array<std::string_view>({"person", "clinic"});
constexpr std::span<const std::string_view> names_of(JournalSubject) {
  return journal_subject_names;
}

inline constexpr std::string_view journal_format = "penstock journal";
inline constexpr std::int64_t journal_format_version = 1;
/// 200'000 facts: thirty years of a person's at eighteen a day, each some 600 bytes and 16 values.
inline constexpr json::Limits journal_file_limits{134'217'728, 3'200'000, 16};

namespace codes {
inline constexpr std::string_view file_format = "journal_file.format";    // text, expected
inline constexpr std::string_view file_version = "journal_file.version";  // version, newest
inline constexpr std::string_view file_other_journal = "journal_file.other_journal";
inline constexpr std::string_view file_identity = "journal_file.identity_twice";  // id
inline constexpr std::string_view file_count = "journal_file.count";              // stated, found
inline constexpr std::string_view file_digest = "journal_file.digest";
}  // namespace codes

struct JournalFile {
  Id journal;
  JournalSubject subject = JournalSubject::person;
  std::vector<journal::Fact> facts;
  /// The exporting store's chain when it was written, to be compared with what was sealed or
  /// printed. Elsewhere the chain is another one.
  std::uint64_t chain_version = 0;
  std::string chain_head;  ///< hexadecimal
};

std::string write_journal_file(const JournalFile& file, DigestFunction digest);

/// Checks everything: shape, each fact (journal::checked), identities, the count and the digest
/// over all facts, which show a file that was cut or edited by hand. `at` is a JSON pointer.
Result<JournalFile> read_journal_file(std::string_view bytes, DigestFunction digest);

}  // namespace penstock::wire
