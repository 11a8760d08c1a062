// A person as a list needs them: the summary row, search, and who is alike (H19). A row is worked
// out from the chart alone, holds no verdict that the clock can falsify, and can be thrown away and
// made anew. What is kept for the whole clinic's cover and for recalls is one line of whole numbers
// and names each, so that no journal is folded for them.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/contacts/contacts.hpp"
#include "core/journal/journal.hpp"
#include "core/supply/supply.hpp"
#include "core/units/units.hpp"
#include "core/watch/watch.hpp"
#include "edge/summary/people.hpp"

namespace penstock::summary {

/// How somebody is reached, and who has taken them on.
struct Reached {
  struct Last {
    When when;
    journal::Meeting meeting = journal::Meeting::call;
    journal::ContactOutcome outcome = journal::ContactOutcome::reached;
  };
  std::optional<Last> last;     ///< visit or call, whatever became of it
  std::int32_t unanswered = 0;  ///< calls in a row
  std::string whose;            ///< of the clinic; empty: nobody's
  journal::ContactRole role{};  ///< of whom to phone instead
  std::string instead;          ///< their name; empty: there is nobody
  std::string instead_phone;
};

struct Row {
  Id person;
  std::string full_name;
  Key name_key;            ///< to see who is alike
  std::string search_key;  ///< search_key_of; lists are in its order
  LocalDay born{};
  std::string number;
  Key number_key;
  ZoneRules zone;  ///< by name only; the shell has the rules
  /// What the zone's clocks were ahead of UTC at the last entry.
  std::int16_t offset_minutes = 0;
  Instant recorded{};  ///< the last entry: a clock before it was set back (H18)
  std::vector<std::string> insulins;
  std::vector<watch::Watch> watches;
  std::vector<watch::Dismissed> dismissed;
  std::string phone;
  std::vector<watch::DoseTime> doses;
  Reached reached;
  std::string supply;  ///< packed (unpack_supply): only the clinic's month reads it
  std::string lots;    ///< packed (unpack_lots): only a recall reads it
  /// By what a recall finds this person (tags_of); written with the row, not read back.
  std::vector<std::string> tags;
  std::vector<std::string> serials;  ///< of their pens; the same, as tags_of_serial
  std::uint64_t version = 0;
  /// Not empty: the journal could not be worked out, and nothing but who it is about stands here.
  /// The number of the incident, or the code of the error.
  std::string left_out;
};
/// Name, number and birth date, folded.
std::string search_key_of(const Row& row);
/// Writes the keys of name and number, and what follows from them: the search key, and
/// tags_of_number and tags_of_serial among the tags.
void put_keys(Row& row, const Keys& keys);

/// Raise it when what a row holds changes: older rows are made anew before a list is read.
inline constexpr std::uint32_t row_version = 31;

/// Without its keys: put_keys makes them where the row is written.
Row row_of(const chart::Chart& person, const chart::Clinic& clinic);
/// For a journal that could not be worked out, so that it is found and named all the same; without
/// its keys. `known`: who it is about, as far as that is known; without a name the journal's
/// identity stands for it.
Row row_left_out(Id journal, std::uint64_t version, const Row& known, std::string_view because);
/// The same as row_of, taken from the kept ones where it is of this version: covers and accounts
/// are in it, and a page is looked at more often than a journal is written.
Row row_among(const People& people, const chart::Chart& person, const chart::Clinic& clinic);

/// A row as it is stored.
struct Packed {
  std::string search_key;              ///< folded to lower case; sorted by bytes
  std::optional<Instant> next_change;  ///< when a watch begins to show next
  std::vector<std::uint8_t> bytes;
};
Packed pack(const Row& row);
/// Of which journal a row was made, and after how many of its entries.
struct MadeOf {
  Id person;
  std::uint64_t version = 0;
};
/// As the row itself says: what stands around it is not covered by anything. Nothing: an older
/// program's, or no row.
std::optional<MadeOf> made_of(std::span<const std::uint8_t> bytes);
/// What `pack` wrote of this journal; anything else: an error. An older program's row does not say
/// what it was made of.
Result<Row> unpack(Id person, std::uint64_t version, std::span<const std::uint8_t> bytes);

/// The loudest first, as they ring now.
std::vector<const watch::Watch*> ringing(const Row& row, Instant now);

// ---- names

Key key_of(std::string_view text, const Keys& keys);
/// H19: whether two names are alike enough to be taken for each other: a slip or two, or the same
/// words in another order, folded or by their looks.
bool alike(const Key& a, const Key& b);
/// Whether one name has all words of the other, titles and initials aside: "Halvorsen" and "Mrs
/// Noor A. Halvorsen-Lund". Of two people born on one day it may be the same one (H19).
bool in_part_the_same(const Key& a, const Key& b);
/// At most so many letters differ, in a full name.
inline constexpr int slips_max = 2;
/// Whether two numbers are the same to whoever reads them.
bool same_number(const Key& a, const Key& b);
/// Whether two numbers have the same digits, zeros in front, signs and letters aside: "HS 03987"
/// and "3987".
bool same_digits(const Key& a, const Key& b);
/// By what the people are found who may have the same number; of an empty one: none. A tag is
/// cut to what the store keeps, so same_number has the last word.
std::vector<std::string> tags_of_number(const Key& number);
/// By what the people are found who may have a pen of this serial number, whatever blanks and
/// hyphens stand in it (H13). Of an empty one: none. Cut, too.
std::vector<std::string> tags_of_serial(const Key& serial);

// ---- supplies and lots, packed

struct Supply {
  supply::Needed needed;          ///< without gaps
  journal::SupplyRulesSet rules;  ///< without its texts
};

Supply supply_of(const chart::Chart& person, const chart::Clinic& clinic);
std::string pack_supply(const Supply& supply);
/// What pack_supply wrote; anything else: codes::form.
Result<Supply> unpack_supply(std::string_view text);

/// The same for what somebody has of each lot.
std::string pack_lots(const std::vector<supply::LotAtHome>& lots);
Result<std::vector<supply::LotAtHome>> unpack_lots(std::string_view text);

/// By what a recall finds somebody: every lot that ever reached them, and every insulin of which
/// they have some that nobody wrote the lot of.
std::vector<std::string> tags_of(const std::vector<supply::LotAtHome>& lots);
std::string tag_of_lot(std::string_view key);
std::string tag_of_unknown_lot(const supply::Kind& kind);

namespace codes {
inline constexpr std::string_view form =
    "desk.summary_form";  // a summary row that this program did not write
}  // namespace codes

}  // namespace penstock::summary
