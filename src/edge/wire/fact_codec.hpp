// Facts as packed bytes, for the store. The same fact gives the same bytes on every machine, for
// ever; other bytes are another fact.
//
//   1 byte    layout of the envelope (1)
//   varint    type, type version
//   16 + 16   id, journal                     big-endian
//             happened, sequence, author, told_by, source
//             the kind's fields in the order of its list
//
// The type version is the oldest version of the kind's list that can say the fact: what an older
// program wrote keeps its bytes and its digest, and a version higher than the content needs is no
// fact of ours.
//
// Whole numbers are varints (zigzag where they may be negative), texts have their length before
// them, an optional has a byte 0 or 1 before it, a choice is its place in the list of names.
// `recorded` is not among the bytes: the receiving side stamps it, and a retry must stay the same
// fact.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"

namespace penstock::wire {

namespace codes {
/// The bytes end too early, go on too long, or say what no fact says. Args: byte (offset).
inline constexpr std::string_view bytes_form = "codec.bytes_form";
/// A kind or version that this program does not know: a newer one wrote it. Args: type, version.
inline constexpr std::string_view kind_newer = "codec.kind_newer";
}  // namespace codes

inline constexpr std::uint8_t envelope_layout = 1;

/// Identity and content.
std::vector<std::uint8_t> encode(const journal::Fact& fact);
/// The same into a buffer that is cleared first: a writer of many keeps one.
void encode(const journal::Fact& fact, std::vector<std::uint8_t>& into);

/// Reads what `encode` wrote, and nothing else: it trusts no length and no number. An error says at
/// which byte.
Result<journal::Fact> decode(std::span<const std::uint8_t> bytes, Instant recorded);

/// Digest of a fact's identity and content.
Digest digest_of(const journal::Fact& fact, DigestFunction digest);

}  // namespace penstock::wire
