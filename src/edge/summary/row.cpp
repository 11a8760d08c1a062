// The row's codec.
#include <algorithm>
#include <type_traits>
#include <variant>

#include "edge/json/json.hpp"
#include "edge/summary/summary.hpp"

namespace penstock::summary {
namespace {

using watch::Watch;

// A member of a watch's figures, by its type.
template <class T>
json::Value written(const T& member) {
  if constexpr (std::is_same_v<T, bool>) {
    return json::boolean(member);
  } else if constexpr (std::is_integral_v<T>) {
    return json::count(member);
  } else if constexpr (std::is_enum_v<T>) {
    return json::string(names_of(member)[static_cast<std::size_t>(member)]);
  } else if constexpr (requires { json::number(member); }) {
    return json::number(member);
  } else {
    return json::string(member);
  }
}

json::Value write(const Watch& watch) {
  auto out = json::object({{"kind", json::string(word_of(watch.what))},
                           {"from", json::string(watch.shows_from)},
                           {"due", json::string(watch.due)}});
  if (watch.until) json::add(out, "until", json::string(*watch.until));
  json::add(out, "holds", json::boolean(watch.holds));
  json::add(out, "insulin", json::string(watch.insulin));
  json::add(out, "strength", json::count(watch.strength.units_per_ml));
  if (watch.action)
    json::add(out, "action",
              json::string(shelf::action_names[static_cast<std::size_t>(*watch.action)]));
  json::add(out, "purpose",
            json::string(names_of(watch.purpose)[static_cast<std::size_t>(watch.purpose)]));
  std::visit(
      [&out](const auto& figures) {
        figures.members(figures, [&out](std::string_view name, const auto& member) {
          json::add(out, name, written(member));
        });
      },
      watch.figures);
  json::add(out, "basis", json::string(watch.basis));
  return out;
}

Result<void> read(const json::Value& value, std::string_view at, Watch& watch) {
  json::Reader reader(value, at);
  reader.need("kind", watch.what);
  reader.need("from", watch.shows_from);
  reader.need("due", watch.due);
  reader.may("until", watch.until);
  reader.need("holds", watch.holds);
  reader.need("insulin", watch.insulin);
  reader.need("strength", watch.strength.units_per_ml);
  reader.may("action", watch.action);
  reader.need("purpose", watch.purpose);
  watch.figures = watch::figures_of(watch.what);
  std::visit(
      [&reader](auto& figures) {
        figures.members(
            figures, [&reader](std::string_view name, auto& member) { reader.need(name, member); });
      },
      watch.figures);
  reader.need("basis", watch.basis);
  return reader.done();
}

json::Value write(const watch::DoseTime& time) {
  std::vector<json::Value> answered;
  for (const auto day : time.answered) answered.push_back(json::string(day));
  auto out = json::object({{"insulin", json::string(time.insulin)},
                           {"at", json::count(time.at.minutes)},
                           {"after", json::count(time.minutes_after)},
                           {"from", json::string(time.from)},
                           {"answered", json::array(std::move(answered))}});
  if (time.until) json::add(out, "until", json::string(*time.until));
  return out;
}

Result<void> read(const json::Value& value, std::string_view at, watch::DoseTime& time) {
  json::Reader reader(value, at);
  reader.need("insulin", time.insulin);
  std::int32_t minutes = 0;
  reader.need("at", minutes);
  time.at.minutes = static_cast<std::int16_t>(minutes);
  reader.need("after", time.minutes_after);
  reader.need("from", time.from);
  reader.may("until", time.until);
  if (const auto* answered = reader.need_raw("answered")) {
    for (const auto& item : answered->members) {
      const auto day = parse_day(item.value.text);
      if (!day) return day.error();
      time.answered.push_back(*day);
    }
  }
  return reader.done();
}

json::Value write(const Reached& reached) {
  auto out = json::object({{"unanswered", json::count(reached.unanswered)},
                           {"whose", json::string(reached.whose)},
                           {"role", written(reached.role)},
                           {"instead", json::string(reached.instead)},
                           {"instead_phone", json::string(reached.instead_phone)}});
  if (reached.last) {
    json::add(out, "when", json::string(reached.last->when));
    json::add(out, "meeting", written(reached.last->meeting));
    json::add(out, "outcome", written(reached.last->outcome));
  }
  return out;
}

Result<void> read(const json::Value& value, std::string_view at, Reached& reached) {
  json::Reader reader(value, at);
  reader.need("unanswered", reached.unanswered);
  reader.need("whose", reached.whose);
  reader.need("role", reached.role);
  reader.need("instead", reached.instead);
  reader.need("instead_phone", reached.instead_phone);
  std::optional<When> when;
  reader.may("when", when);
  if (when) {
    Reached::Last last{.when = *when};
    reader.need("meeting", last.meeting);
    reader.need("outcome", last.outcome);
    reached.last = last;
  }
  return reader.done();
}

Reached reached_of(const contacts::Contacts& contacts) {
  Reached out;
  if (!contacts.made.empty()) {
    const auto& last = contacts.made.back();
    out.last = {last.when, last.said.meeting, last.said.outcome};
  }
  out.unanswered = contacts.unanswered();
  out.whose = contacts.whose();
  if (const auto* instead = contacts.instead()) {
    out.role = instead->said.role;
    out.instead = instead->said.full_name;
    out.instead_phone = instead->said.phone;
  }
  return out;
}

}  // namespace

std::string search_key_of(const Row& row) {
  return row.name_key.folded + " " + row.number_key.folded + " " + format_iso(row.born);
}

void put_keys(Row& row, const Keys& keys) {
  row.name_key = key_of(row.full_name, keys);
  row.number_key = key_of(row.number, keys);
  row.search_key = search_key_of(row);
  std::ranges::move(tags_of_number(row.number_key), std::back_inserter(row.tags));
  for (const auto& serial : row.serials)
    std::ranges::move(tags_of_serial(key_of(serial, keys)), std::back_inserter(row.tags));
}

Row row_of(const chart::Chart& person, const chart::Clinic& clinic) {
  Row row;
  row.person = person.journal;
  row.full_name = person.person.full_name;
  row.born = person.person.born;
  row.number = person.person.number;
  row.zone.name = person.person.zone;
  if (!person.history.facts.empty())
    row.offset_minutes = person.zone.offset_at(person.history.facts.back().happened.at);
  if (!person.facts.empty()) row.recorded = person.facts.back().recorded;
  row.version = person.version;
  for (const auto& line : person.order.lines) {
    if (line.replaced_by || line.ended) continue;
    if (std::ranges::find(row.insulins, line.text.insulin) == row.insulins.end())
      row.insulins.push_back(line.text.insulin);
  }
  row.watches = watch::watches(person, clinic);
  row.phone = person.person.phone;
  row.doses = watch::dose_times(person);
  row.reached = reached_of(person.contacts);
  row.supply = pack_supply(supply_of(person, clinic));
  const auto lots = supply::lots_of(person.history, person.ledger);
  row.lots = pack_lots(lots);
  row.tags = tags_of(lots);
  for (const auto& pen : person.ledger.pens) row.serials.push_back(pen.serial);
  for (const auto& dismissal : person.person.dismissals)
    row.dismissed.emplace_back(dismissal.reminder, dismissal.basis);
  return row;
}

Row row_left_out(Id journal, std::uint64_t version, const Row& known, std::string_view because) {
  Row row;
  row.person = journal;
  row.version = version;
  row.left_out = because;
  row.full_name = known.full_name.empty() ? to_text(journal) : known.full_name;
  row.born = known.born;
  row.number = known.number;
  row.zone.name = known.zone.name;
  row.phone = known.phone;
  return row;
}

Row row_among(const People& people, const chart::Chart& person, const chart::Clinic& clinic) {
  const auto* kept = people.find(person.journal);
  const bool current = kept != nullptr && kept->version == person.version && kept->left_out.empty();
  return current ? *kept : row_of(person, clinic);
}

namespace {

// FNV-1a, behind the row's bytes: a letter that the disk changed makes it a row of no program,
// which is made anew. Whoever writes into the file is found by verify.
constexpr std::size_t sum_size = 8;
std::uint64_t sum_of(std::span<const std::uint8_t> bytes) {
  std::uint64_t sum = 0xCBF29CE484222325ULL;
  for (const auto byte : bytes) sum = (sum ^ byte) * 0x100000001B3ULL;
  return sum;
}

}  // namespace

Packed pack(const Row& row) {
  auto out = json::object({{"person", json::string(row.person)},
                           {"version", json::count(static_cast<std::int64_t>(row.version))},
                           {"name", json::string(row.full_name)},
                           {"born", json::string(row.born)},
                           {"number", json::string(row.number)},
                           {"name_folded", json::string(row.name_key.folded)},
                           {"name_look", json::string(row.name_key.look)},
                           {"number_folded", json::string(row.number_key.folded)},
                           {"number_look", json::string(row.number_key.look)},
                           {"zone", json::string(row.zone.name)},
                           {"offset", json::count(row.offset_minutes)},
                           {"recorded", json::count(row.recorded.time_since_epoch().count())}});
  std::vector<json::Value> insulins, watching, dismissed;
  for (const auto& insulin : row.insulins) insulins.push_back(json::string(insulin));
  for (const auto& watch : row.watches) watching.push_back(write(watch));
  for (const auto& [reminder, basis] : row.dismissed)
    dismissed.push_back(json::array({json::string(reminder), json::string(basis)}));
  json::add(out, "insulins", json::array(std::move(insulins)));
  json::add(out, "watches", json::array(std::move(watching)));
  json::add(out, "dismissed", json::array(std::move(dismissed)));
  json::add(out, "phone", json::string(row.phone));
  std::vector<json::Value> doses;
  for (const auto& time : row.doses) doses.push_back(write(time));
  json::add(out, "doses", json::array(std::move(doses)));
  json::add(out, "reached", write(row.reached));
  json::add(out, "supply", json::string(row.supply));
  json::add(out, "lots", json::string(row.lots));
  json::add(out, "left_out", json::string(row.left_out));

  Packed packed;
  packed.search_key = row.search_key;
  for (const auto& watch : row.watches) {
    if (!packed.next_change || watch.shows_from.at < *packed.next_change)
      packed.next_change = watch.shows_from.at;
  }
  const auto bytes = json::to_text(out);
  packed.bytes.assign(bytes.begin(), bytes.end());
  const auto sum = sum_of(packed.bytes);
  for (std::size_t i = 0; i < sum_size; ++i)
    packed.bytes.push_back(static_cast<std::uint8_t>(sum >> (8 * i)));
  return packed;
}

namespace {

Error other_form() { return {Kind::invalid_input, std::string(codes::form), {}, ""}; }

Result<json::Value> said_in(std::span<const std::uint8_t> bytes) {
  if (bytes.size() < sum_size) return other_form();
  const auto said = bytes.first(bytes.size() - sum_size);
  std::uint64_t sum = 0;
  for (std::size_t i = sum_size; i > 0; --i) sum = (sum << 8) | bytes[said.size() + i - 1];
  if (sum != sum_of(said)) return other_form();
  return json::parse({reinterpret_cast<const char*>(said.data()), said.size()});
}

std::optional<MadeOf> read_made_of(json::Reader& reader) {
  std::optional<Id> person;
  std::optional<std::int64_t> version;
  reader.may("person", person);
  reader.may("version", version);
  if (!person || !version) return std::nullopt;
  return MadeOf{*person, static_cast<std::uint64_t>(*version)};
}

}  // namespace

std::optional<MadeOf> made_of(std::span<const std::uint8_t> bytes) {
  const auto value = said_in(bytes);
  if (!value) return std::nullopt;
  json::Reader reader(*value);
  return read_made_of(reader);
}

Result<Row> unpack(Id person, std::uint64_t version, std::span<const std::uint8_t> bytes) {
  const auto value = said_in(bytes);
  if (!value) return value.error();
  Row row;
  row.person = person;
  row.version = version;
  json::Reader reader(*value);
  const auto made = read_made_of(reader);
  if (made && made->person != person) return other_form();
  reader.need("name", row.full_name);
  reader.need("born", row.born);
  reader.need("number", row.number);
  reader.need("name_folded", row.name_key.folded);
  reader.need("name_look", row.name_key.look);
  reader.need("number_folded", row.number_key.folded);
  reader.need("number_look", row.number_key.look);
  reader.need("zone", row.zone.name);
  std::int32_t offset = 0;
  reader.need("offset", offset);
  row.offset_minutes = static_cast<std::int16_t>(offset);
  std::int64_t recorded = 0;
  reader.need("recorded", recorded);
  row.recorded = Instant{Instant::duration{recorded}};
  reader.need("phone", row.phone);
  reader.need("supply", row.supply);
  reader.need("lots", row.lots);
  reader.need("left_out", row.left_out);
  if (const auto* insulins = reader.need_raw("insulins")) {
    for (const auto& item : insulins->members) row.insulins.push_back(item.value.text);
  }
  if (const auto* watching = reader.need_raw("watches")) {
    reader.each("watches", *watching, [&row](const json::Value& item, std::string_view at) {
      Watch watch;
      const auto done = read(item, at, watch);
      if (done) row.watches.push_back(std::move(watch));
      return done;
    });
  }
  if (const auto* doses = reader.need_raw("doses")) {
    reader.each("doses", *doses, [&row](const json::Value& item, std::string_view at) {
      watch::DoseTime time;
      const auto done = read(item, at, time);
      if (done) row.doses.push_back(std::move(time));
      return done;
    });
  }
  if (const auto* reached = reader.need_raw("reached")) {
    if (const auto done = read(*reached, "reached", row.reached); !done) return done.error();
  }
  if (const auto* dismissed = reader.need_raw("dismissed")) {
    for (const auto& item : dismissed->members) {
      if (item.value.members.size() == 2)
        row.dismissed.emplace_back(item.value.members[0].value.text,
                                   item.value.members[1].value.text);
    }
  }
  if (const auto done = reader.done(); !done) return done.error();
  row.search_key = search_key_of(row);
  return row;
}

std::vector<const Watch*> ringing(const Row& row, Instant now) {
  return watch::ringing(row.watches, row.dismissed, now);
}

}  // namespace penstock::summary
