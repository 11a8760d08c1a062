// A person as a list needs them: the summary row, search, and who is alike (H19).
#include <algorithm>
#include <array>

#include "edge/json/json.hpp"
#include "shell/desk/internal/card_supply.hpp"
#include "shell/desk/internal/watches.hpp"

namespace penstock::desk {
namespace {

// Base letters of U+00C0 to U+017F, one a code point ('*': two letters, see below). Names of most
// of Europe; other scripts stay as they are.
constexpr std::string_view latin_base =
    "aaaaaa*ceeeeiiiidnooooo ouuuuy**aaaaaa*ceeeeiiiidnooooo ouuuuy*y"
    "aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiii**jjkkkllllllllllnnnnnn*nnoooooo**"
    "rrrrrrssssssssttttttuuuuuuuuuuuuwwyyyzzzzzzs";

std::string_view two_letters(unsigned code) {
  switch (code) {
    case 0xC6:
    case 0xE6:
      return "ae";
    case 0xDE:
    case 0xFE:
      return "th";
    case 0xDF:
      return "ss";
    case 0x132:
    case 0x133:
      return "ij";
    case 0x149:
      return "n";
    case 0x152:
    case 0x153:
      return "oe";
    default:
      return "";
  }
}

// Edits (a letter more, less, other, or two swapped) between two short texts, counted up to `most`.
int edits(std::string_view a, std::string_view b, int most) {
  std::vector<int> two_back(b.size() + 1), before(b.size() + 1), now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) before[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = static_cast<int>(i);
    int least = now[0];
    for (std::size_t j = 1; j <= b.size(); ++j) {
      now[j] =
          std::min({before[j] + 1, now[j - 1] + 1, before[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        now[j] = std::min(now[j], two_back[j - 2] + 1);
      least = std::min(least, now[j]);
    }
    if (least > most) return most + 1;
    std::swap(two_back, before);
    std::swap(before, now);
  }
  return before[b.size()];
}

json::Value number_of(std::int64_t n) { return json::count(n); }

json::Value write(const Watch& watch) {
  auto out = json::object({{"kind", text(word_of(watch.kind))},
                           {"from", json::string(watch.shows_from)},
                           {"due", json::string(watch.due)}});
  if (watch.until) json::add(out, "until", json::string(*watch.until));
  json::add(out, "holds", json::boolean(watch.holds));
  json::add(out, "insulin", text(watch.insulin));
  json::add(out, "strength", number_of(watch.strength.units_per_ml));
  json::add(out, "mark", number_of(static_cast<std::int64_t>(watch.mark)));
  json::add(out, "purpose", text(word_of(watch.purpose)));
  json::add(out, "first", number_of(watch.first));
  json::add(out, "second", number_of(watch.second));
  json::add(out, "third", number_of(watch.third));
  json::add(out, "word", text(watch.word));
  json::add(out, "basis", text(watch.basis));
  return out;
}

Result<void> read(const json::Value& value, std::string_view at, Watch& watch) {
  json::Reader reader(value, at);
  std::int32_t mark = 0;
  reader.need("kind", watch.kind);
  reader.need("from", watch.shows_from);
  reader.need("due", watch.due);
  reader.may("until", watch.until);
  reader.need("holds", watch.holds);
  reader.need("insulin", watch.insulin);
  reader.need("strength", watch.strength.units_per_ml);
  reader.need("mark", mark);
  reader.need("purpose", watch.purpose);
  reader.need("first", watch.first);
  reader.need("second", watch.second);
  reader.need("third", watch.third);
  reader.need("word", watch.word);
  reader.need("basis", watch.basis);
  watch.mark = static_cast<drawing::Action>(mark);
  return reader.done();
}

}  // namespace

std::string folded_for_search(std::string_view utf8) {
  std::string out;
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    const auto byte = static_cast<unsigned char>(utf8[i]);
    if (byte < 0x80) {
      out += static_cast<char>(byte >= 'A' && byte <= 'Z' ? byte - 'A' + 'a' : byte);
    } else if (byte >= 0xC3 && byte <= 0xC5 && i + 1 < utf8.size()) {
      const unsigned code = ((byte & 0x1FU) << 6) | (static_cast<unsigned char>(utf8[++i]) & 0x3FU);
      const char base = latin_base[code - 0xC0];
      if (base == '*') {
        out += two_letters(code);
      } else {
        out += base;
      }
    } else {
      out += utf8[i];
    }
  }
  return out;
}

bool alike(std::string_view a, std::string_view b) {
  return alike_folded(folded_for_search(a), folded_for_search(b));
}

bool alike_folded(std::string_view left, std::string_view right) {
  if (left == right) return true;
  const auto longer = std::max(left.size(), right.size());
  const auto apart = longer - std::min(left.size(), right.size());
  // Two slips in a full name, one in a short one.
  const int most = longer >= 10 ? 2 : 1;
  if (apart > static_cast<std::size_t>(most)) return false;
  return edits(left, right, most) <= most;
}

Result<void> put_card(const Ports& ports, store::WriteTx& tx, const Card& card) {
  if (const auto put = tx.put_summary(pack(card)); !put) return put.error();
  if (const auto put = tx.put_tags(card.person, card.tags); !put) return put.error();
  return tx.put_setting(cards_mark, to_text(ports.new_id()));
}

Card card_of(const Folded& person, const ClinicState& clinic) {
  Card card;
  card.person = person.journal;
  card.full_name = person.person.full_name;
  card.folded_name = folded_for_search(card.full_name);
  card.born = person.person.born;
  card.number = person.person.number;
  card.zone.name = person.person.zone;
  card.version = person.version;
  for (const auto& line : person.order.lines) {
    if (line.replaced_by || line.ended) continue;
    if (std::ranges::find(card.insulins, line.text.insulin) == card.insulins.end())
      card.insulins.push_back(line.text.insulin);
  }
  card.watches = watches(person, clinic);
  card.phone = person.person.phone;
  card.supply = pack_supply(supply_of(person, clinic));
  const auto lots = supply::lots_of(person.history, person.ledger);
  card.lots = pack_lots(lots);
  card.tags = tags_of(lots);
  for (const auto& dismissal : person.person.dismissals)
    card.dismissed.emplace_back(dismissal.reminder, dismissal.basis);
  return card;
}

Card card_among(const std::vector<Card>& cards, const Folded& person, const ClinicState& clinic) {
  const auto kept = std::ranges::find(cards, person.journal, &Card::person);
  const bool current = kept != cards.end() && kept->version == person.version;
  return current ? *kept : card_of(person, clinic);
}

store::Summary pack(const Card& card) {
  auto out = json::object({{"name", text(card.full_name)},
                           {"born", json::string(card.born)},
                           {"number", text(card.number)},
                           {"zone", text(card.zone.name)}});
  std::vector<json::Value> insulins, watching, dismissed;
  for (const auto& insulin : card.insulins) insulins.push_back(text(insulin));
  for (const auto& watch : card.watches) watching.push_back(write(watch));
  for (const auto& [reminder, basis] : card.dismissed)
    dismissed.push_back(list({text(reminder), text(basis)}));
  json::add(out, "insulins", list(std::move(insulins)));
  json::add(out, "watches", list(std::move(watching)));
  json::add(out, "dismissed", list(std::move(dismissed)));
  json::add(out, "phone", text(card.phone));
  json::add(out, "supply", text(card.supply));
  json::add(out, "lots", text(card.lots));

  store::Summary row;
  row.journal = card.person;
  row.journal_version = card.version;
  row.fold_version = card_version;
  row.search_key =
      card.folded_name + " " + folded_for_search(card.number) + " " + format_iso(card.born);
  for (const auto& watch : card.watches) {
    if (!row.next_change || watch.shows_from.at < *row.next_change)
      row.next_change = watch.shows_from.at;
  }
  const auto bytes = json::to_text(out);
  row.bytes.assign(bytes.begin(), bytes.end());
  return row;
}

Result<Card> unpack(const store::Summary& row) {
  const auto value =
      json::parse({reinterpret_cast<const char*>(row.bytes.data()), row.bytes.size()});
  if (!value) return value.error();
  Card card;
  card.person = row.journal;
  card.version = row.journal_version;
  json::Reader reader(*value);
  reader.need("name", card.full_name);
  reader.need("born", card.born);
  reader.need("number", card.number);
  reader.need("zone", card.zone.name);
  reader.need("phone", card.phone);
  reader.need("supply", card.supply);
  reader.need("lots", card.lots);
  if (const auto* insulins = reader.need_raw("insulins")) {
    for (const auto& item : insulins->members) card.insulins.push_back(item.value.text);
  }
  if (const auto* watching = reader.need_raw("watches")) {
    reader.each("watches", *watching, [&card](const json::Value& item, std::string_view at) {
      Watch watch;
      const auto done = read(item, at, watch);
      if (done) card.watches.push_back(std::move(watch));
      return done;
    });
  }
  if (const auto* dismissed = reader.need_raw("dismissed")) {
    for (const auto& item : dismissed->members) {
      if (item.value.members.size() == 2)
        card.dismissed.emplace_back(item.value.members[0].value.text,
                                    item.value.members[1].value.text);
    }
  }
  if (const auto done = reader.done(); !done) return done.error();
  card.folded_name = folded_for_search(card.full_name);
  return card;
}

}  // namespace penstock::desk
