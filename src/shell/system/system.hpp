// What only the machine knows: the time, chance, the rules of the world's time zones, files. The
// rooms below are handed these as values or functions.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::shell {

namespace codes {
inline constexpr std::string_view zone_unknown = "zone.unknown";        // [text]
inline constexpr std::string_view file_missing = "file.missing";        // [file]
inline constexpr std::string_view file_unreadable = "file.unreadable";  // [file]
inline constexpr std::string_view file_large = "file.large";            // [file, most (bytes)]
inline constexpr std::string_view file_exists = "file.exists";          // [file]
inline constexpr std::string_view file_unwritten = "file.unwritten";    // [file]
}  // namespace codes

Instant now();

/// 128 random bits from the system.
Id new_id();

/// The years for which a zone's changes are listed. Before the first the offset of its start holds,
/// after the last the offset of its end: nobody's injections lie there.
inline constexpr int zone_year_first = 1900;
inline constexpr int zone_year_last = 2100;

/// A time zone's rules from the system's database, by name ("Europe/Berlin", "UTC"). Offsets are
/// whole minutes; the local mean times of a century ago are rounded to them. Read once, then kept;
/// may be called from several threads. Error: codes::zone_unknown.
Result<ZoneRules> zone(std::string_view name);

/// Names to choose from: areas and cities, and UTC; sorted.
std::vector<std::string> zone_names();

/// A whole file; `-` is standard input. Errors (Kind::not_found, invalid_input, unavailable):
/// file_missing, file_large, file_unreadable.
Result<std::string> read_file(const std::string& path, std::size_t bytes_most);

/// Writes a new file: under another name first, synced, then moved into place, so that a file under
/// its own name is always whole. One that is there already: refused.
Result<void> write_new_file(const std::filesystem::path& path, std::string_view bytes);

}  // namespace penstock::shell
