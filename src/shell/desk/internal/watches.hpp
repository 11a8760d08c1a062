// What somebody may have to be told about a person, and from when. Worked out once from the
// journal, without a clock, and kept in the summary row; Today only compares instants. So a list of
// thousands is not folded to be ranked, and no kept verdict can go stale.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/units/units.hpp"
#include "shell/desk/internal/folded.hpp"
#include "shell/desk/internal/page.hpp"

namespace penstock::desk {

/// Closed list, in the order in which Today ranks what is due at the same time.
enum class WatchKind : std::uint8_t {
  cartridge_unfit,  ///< frozen, too hot, shared or past expiry, and still in a pen (H12, H13)
  past_in_use,      ///< in a pen for longer than its in-use days (H12)
  question_open,    ///< H37
  outcome_unknown,  ///< H44
  part_owed,        ///< H39
  second_check,     ///< H40
  window_unknown,   ///< H01
  none_loaded,      ///< a line holds, and nothing that it could come from is in the house (H38)
  order_ended,      ///< H08
  runs_short,       ///< before the next refill
  order_ends,
  in_use_ends,
  scale_disagrees,  ///< H41
  signature_owed,
  needle_left_on,    ///< H15
  leaving_hardened,  ///< the daily look after hardened tissue was left (H36)
  nothing_sealed,    ///< no sealed spare of an insulin is in the house (H51)
  ask_for_more,      ///< the day by which to ask comes
  not_come,          ///< what was asked for should be here
  needles_short,     ///< the same for needles, in the chosen length
  sharps_full,       ///< three quarters (H34)
  supplies_differ,   ///< a count at home and the account (H41)
  accounts_differ,   ///< dispensed, left the cartridges, claimed by the diary
};
inline constexpr auto watch_codes = std::to_array<std::string_view>(
    {"cartridge_unfit",  "past_in_use",     "question_open",   "outcome_unknown", "part_owed",
     "second_check",     "window_unknown",  "none_loaded",     "order_ended",     "runs_short",
     "order_ends",       "in_use_ends",     "scale_disagrees", "signature_owed",  "needle_left_on",
     "leaving_hardened", "nothing_sealed",  "ask_for_more",    "not_come",        "needles_short",
     "sharps_full",      "supplies_differ", "accounts_differ"});
constexpr std::span<const std::string_view> names_of(WatchKind) { return watch_codes; }

struct Watch {
  WatchKind kind = WatchKind::runs_short;
  When shows_from;            ///< before it the watch is silent
  When due;                   ///< by when something should be done
  std::optional<When> until;  ///< from here on it is silent again: another watch takes over
  bool holds = false;         ///< a dose cannot be planned before it is put right
  std::string insulin;
  Strength strength;
  drawing::Action mark = drawing::Action::long_acting;
  journal::Purpose purpose = journal::Purpose::background;
  std::int64_t first = 0;  ///< kind's own figure: days limit, hundredths of a unit …
  std::int64_t second = 0;
  std::int64_t third = 0;
  std::string word;  ///< kind's own code or name
  std::string
      basis;  ///< fingerprint of the facts behind it: a dismissal ends when it changes (H32)

  friend bool operator==(const Watch&, const Watch&) = default;
};

/// Everything to watch for in one journal. Pure.
std::vector<Watch> watches(const Folded& person, const ClinicState& clinic);

/// A person as a list needs them.
struct Card {
  Id person;
  std::string full_name;
  std::string folded_name;  ///< for search, and to see who is alike
  LocalDay born{};
  std::string number;
  ZoneRules zone;  ///< by name only; the shell has the rules
  std::vector<std::string> insulins;
  std::vector<Watch> watches;
  std::vector<std::pair<std::string, std::string>> dismissed;  ///< reminder, basis
  std::string phone;
  std::string supply;  ///< packed (card_supply.hpp): only the clinic's month reads it
  std::string lots;    ///< packed: only a recall reads it
  /// By what a recall finds this person (lots.hpp); written with the row, not read back.
  std::vector<std::string> tags;
  std::uint64_t version = 0;
};

/// Raise it when what a card holds changes: a store with older rows has them made anew when it is
/// opened.
inline constexpr std::uint32_t card_version = 4;
inline constexpr std::string_view cards_version_name = "cards/version";
Card card_of(const Folded& person, const ClinicState& clinic);
/// The same, taken from the kept ones where it is of this version: covers and accounts are in it,
/// and a page is looked at more often than a journal is written.
Card card_among(const std::vector<Card>& cards, const Folded& person, const ClinicState& clinic);
store::Summary pack(const Card& card);
Result<Card> unpack(const store::Summary& row);

/// Lower case and without accents, so that "Zdzislawa" finds "Zdzisława".
std::string folded_for_search(std::string_view text);
/// H19: whether two names are alike enough to be taken for each other.
bool alike(std::string_view a, std::string_view b);
/// The same for names that are folded already: a list of thousands is compared on every page.
bool alike_folded(std::string_view left, std::string_view right);
/// Writes a summary row, and the mark by which every desk sees that the list of people changed.
Result<void> put_card(const Ports& ports, store::WriteTx& tx, const Card& card);
inline constexpr std::string_view cards_mark = "cards";

/// A watch's state at an instant: silent, or how loud.
struct Ring {
  Level level = Level::note;
  bool before_next = false;  ///< belongs to "before the next injection"
};
std::optional<Ring> ring(const Watch& watch, Instant now);

/// Its sentence, its word-sized drawing and its action.
Rich sentence_of(const Watch& watch, std::string_view name, const When& now);
std::string picture_of(const Watch& watch, const When& now);
struct WatchAction {
  std::string label;
  std::string href;
};
WatchAction action_of(const Watch& watch, Id person, std::string_view name);

/// The latest watches, loudest first, as they ring now.
std::vector<const Watch*> ringing(const Card& card, Instant now);

}  // namespace penstock::desk
