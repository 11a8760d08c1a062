#include "edge/verbs/reconcile/reconcile.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

#include "core/fields/fields.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::verbs {
namespace {

using fields::Field;
using fields::Group;
using json::Value;
using reconcile::Accounts;
using reconcile::Interval;
using reconcile::Mechanism;
namespace limits = reconcile::limits;

// ---- the request

constexpr Units units_most = *Units::from_hundredths(limits::cartridge_hundredths_most);

constexpr Field ordered_fields[] = {FIELD(reconcile::Ordered, from, "from"),
                                    FIELD(reconcile::Ordered, doses, "doses_units")
                                        .bound(0, limits::doses_most)
                                        .items_bound(0, units_most)
                                        .stated(),
                                    FIELD(reconcile::Ordered, varies, "varies")
                                        .unless_said(false)
                                        .about("the order leaves the amount open")};
constexpr Group ordered_list = fields::request<reconcile::Ordered>(ordered_fields);

/// A time and a count of cartridges: what was dispensed, what is sealed.
template <class Counted>
constexpr Field counted_fields[] = {
    FIELD(Counted, when, "when").about("with its offset"),
    FIELD(Counted, cartridges, "cartridges").bound(0, limits::pieces_most)};
template <class Counted>
constexpr Group counted_list = fields::request<Counted>(counted_fields<Counted>);

constexpr Field reading_fields[] = {
    FIELD(reconcile::Reading, when, "when").about("with its offset"),
    FIELD(reconcile::Reading, left, "left_units").bound(0, units_most)};
constexpr Group reading_list = fields::request<reconcile::Reading>(reading_fields);

constexpr Field use_fields[] = {
    FIELD(reconcile::CartridgeUse, opened, "opened").about("with its offset"),
    FIELD(reconcile::CartridgeUse, held, "units").bound(0, units_most),
    FIELD(reconcile::CartridgeUse, was_new, "new").unless_said(true).about("from the sealed stock"),
    FIELD(reconcile::CartridgeUse, ended, "ended").about("with its offset"),
    FIELD(reconcile::CartridgeUse, end, "end").unless_said(reconcile::End::not_said),
    FIELD(reconcile::CartridgeUse, rest, "rest_units")
        .bound(0, units_most)
        .about("read when it ended"),
    FIELD(reconcile::CartridgeUse, readings, "readings", &reading_list)
        .bound(0, limits::readings_most)};
constexpr Group use_list = fields::request<reconcile::CartridgeUse>(use_fields);

struct Cartridge {
  std::string id;
  reconcile::CartridgeUse use;
};
constexpr Field cartridge_fields[] = {FIELD(Cartridge, id, "id").stated(),
                                      FIELD(Cartridge, use, "", &use_list).spread()};
constexpr Group cartridge_list = fields::request<Cartridge>(cartridge_fields);

struct Entry {
  When when;
  Units units = Units::zero();
  std::optional<Units> primed;
  std::string slot;
  std::optional<std::string> cartridge;
  std::optional<Instant> recorded;
};
constexpr Field entry_fields[] = {
    FIELD(Entry, when, "when").about("with its offset"),
    FIELD(Entry, units, "units").bound(0, units_most).about("0: priming alone"),
    FIELD(Entry, primed, "primed_units")
        .bound(0, units_most)
        .about("missing: nobody wrote it down"),
    FIELD(Entry, slot, "slot").bound(0, limits::slot_bytes_most),
    FIELD(Entry, cartridge, "cartridge").about("its id; missing: by the time"),
    FIELD(Entry, recorded, "recorded").about("when it was written down, where that is known")};
constexpr Group entry_list = fields::request<Entry>(entry_fields);

struct Asked {
  LocalDay from{};
  LocalDay until{};
  std::string insulin;
  Strength strength{100};
  Units cartridge = Units::zero();
  std::int32_t in_use_days = reconcile::Request{}.in_use_days;
  Units prime = Units::zero();
  std::optional<Units> new_cartridge_prime;
  std::vector<reconcile::Ordered> ordered;
  std::optional<std::int32_t> sealed_before;
  std::vector<reconcile::Dispensed> dispensed;
  std::vector<reconcile::SealedCount> sealed_counts;
  std::vector<Cartridge> cartridges;
  std::vector<Entry> diary;
};
constexpr Field asked_fields[] = {
    FIELD(Asked, from, "from"),
    FIELD(Asked, until, "until").about("last day; up to 731 days"),
    FIELD(Asked, insulin, "insulin"),
    FIELD(Asked, strength, "strength_units_per_ml").bound(10, 500).unless_said(100),
    FIELD(Asked, cartridge, "cartridge_units").bound(0, units_most).about("content of a full one"),
    FIELD(Asked, in_use_days, "in_use_days").bound(1, limits::in_use_days_most).unless_said(28),
    FIELD(Asked, prime, "prime_units")
        .bound(0, units_most)
        .about("the rule, before each injection"),
    FIELD(Asked, new_cartridge_prime, "new_cartridge_prime_units")
        .bound(0, units_most)
        .never_null()
        .about("default: as prime_units"),
    FIELD(Asked, ordered, "ordered", &ordered_list)
        .bound(0, limits::orders_most)
        .about("what the order says from a day on; ascending"),
    FIELD(Asked, sealed_before, "sealed_before")
        .bound(0, limits::pieces_most)
        .about("at home before the first dispensing of the list; missing: nobody knows"),
    FIELD(Asked, dispensed, "dispensed", &counted_list<reconcile::Dispensed>)
        .bound(0, limits::supplies_most),
    FIELD(Asked, sealed_counts, "sealed_counts", &counted_list<reconcile::SealedCount>)
        .bound(0, limits::supplies_most),
    FIELD(Asked, cartridges, "cartridges", &cartridge_list).bound(0, limits::cartridges_most),
    FIELD(Asked, diary, "diary", &entry_list).bound(0, limits::entries_most)};
constexpr Group asked_list = fields::request<Asked>(asked_fields);

using Places = std::map<std::string, std::size_t, std::less<>>;

Result<Places> put_cartridges(std::vector<Cartridge>& asked, reconcile::Request& into) {
  Places places;
  for (auto& one : asked) {
    const auto place = into.cartridges.size();
    if (!places.emplace(one.id, place).second) {
      return Error{Kind::invalid_input,
                   std::string(codes::reconcile_id_twice),
                   {arg_text("text", one.id)},
                   json::pointer(json::pointer("/cartridges", place), "id")};
    }
    into.cartridges.push_back(std::move(one.use));
  }
  return places;
}

/// Entries name their cartridge by its id.
Result<void> put_diary(std::vector<Entry>& asked, const Places& places, reconcile::Request& into) {
  for (auto& one : asked) {
    std::optional<std::size_t> cartridge;
    if (one.cartridge) {
      const auto found = places.find(*one.cartridge);
      if (found == places.end()) {
        return Error{Kind::invalid_input,
                     std::string(reconcile::codes::which),
                     {},
                     json::pointer(json::pointer("/diary", into.diary.size()), "cartridge")};
      }
      cartridge = found->second;
    }
    into.diary.push_back(
        {one.when, one.units, one.primed, std::move(one.slot), cartridge, one.recorded});
  }
  return {};
}

// ---- numbers

std::int64_t rounded(double value, int decimals) {
  return std::llround(value * std::pow(10.0, decimals));
}
Value chance_json(double chance) { return json::fixed(rounded(chance, 4), 4); }
Value interval_json(const Interval& interval) {
  return json::array(
      {json::fixed(rounded(interval.low, 1), 1), json::fixed(rounded(interval.high, 1), 1)});
}
std::string whole(double value) { return format_fixed(rounded(value, 0), 0); }

/// Whole per cent; what is nearly nothing or nearly certain is not said to be so.
std::string percent(double chance) {
  return format_fixed(std::clamp<std::int64_t>(rounded(chance, 2), 1, 99), 0);
}

template <class E>
std::string_view name_of(E one) {
  return names_of(one)[static_cast<std::size_t>(one)];
}
std::string id_of(std::size_t place) { return std::to_string(place + 1); }

// ---- the answer

Value dispensed_json(const reconcile::DispensedAccount& account) {
  if (!account.known) return json::null();
  return json::object({{"from", json::string(account.from)},
                       {"until", json::string(account.until)},
                       {"sealed_before", json::count(account.before)},
                       {"given", json::count(account.given)},
                       {"sealed_after", json::count(account.after)},
                       {"used", json::count(account.used)},
                       {"opened", json::count(account.opened)},
                       {"missing", json::count(account.missing)}});
}
Value left_json(const reconcile::LeftAccount& account) {
  if (account.cartridges == 0) return json::null();
  return json::object({{"cartridges", json::count(account.cartridges)},
                       {"held_units", json::number(account.held)},
                       {"rest_read_units", json::number(account.rest_read)},
                       {"rest_assumed_units", json::number(account.rest_assumed)},
                       {"left_units", json::number(account.left)}});
}
Value claimed_json(const reconcile::ClaimedAccount& account) {
  return json::object({{"injections", json::count(account.injections)},
                       {"injected_units", json::number(account.injected)},
                       {"primed_recorded_units", json::number(account.primed_recorded)},
                       {"primed_by_rule_units", json::number(account.primed_by_rule)},
                       {"claimed_units", json::number(account.claimed)},
                       {"not_compared", json::count(account.not_compared)},
                       {"twice", json::count(account.twice)},
                       {"gaps", json::count(account.gaps)},
                       {"alike", json::count(account.alike)}});
}
Value difference_json(const reconcile::Difference& difference) {
  if (!difference.known) return json::null();
  return json::object({{"units", json::fixed(difference.hundredths, 2)},
                       {"interval_units", interval_json(difference.units)}});
}

Value rows_json(const Accounts& found, const Say& say) {
  std::vector<Value> items;
  for (const auto& row : found.rows) {
    auto item = json::object();
    json::add(item, "id", row.by_supply ? json::null() : json::string(id_of(row.cartridge)));
    json::add(item, "opened", json::string(row.opened));
    json::add(item, "until", json::string(row.until));
    if (!row.why_not.empty()) {
      json::add(item, "not_compared", json::string(say(row.why_not, {})));
      items.push_back(std::move(item));
      continue;
    }
    json::add(item, "held_units", json::number(row.held));
    json::add(item, "rest_units", json::number(row.rest));
    json::add(item, "rest_read", json::boolean(row.rest_read));
    json::add(item, "left_units", json::number(row.left));
    json::add(item, "claimed_units", json::number(row.claimed));
    json::add(item, "difference_units", json::fixed(row.difference_hundredths, 2));
    json::add(item, "interval_units", interval_json(row.units));
    items.push_back(std::move(item));
  }
  return json::array(std::move(items));
}

Value mechanisms_json(const Accounts& found) {
  std::vector<Value> items;
  for (const auto& one : found.found) {
    auto item = json::object({{"mechanism", json::string(name_of(one.which))},
                              {"possible", json::boolean(one.possible)}});
    if (one.possible) {
      json::add(item, "prior", chance_json(one.prior));
      json::add(item, "probability", chance_json(one.probability));
      const bool diary = one.which == Mechanism::diary_later;
      const bool counted = !diary && one.which != Mechanism::unknown;
      json::add(item, "alone_units", diary ? json::null() : interval_json(one.units));
      json::add(item, "alone_count", counted ? interval_json(one.count) : json::null());
    }
    items.push_back(std::move(item));
  }
  return json::array(std::move(items));
}

Value signs_json(const Accounts& found) {
  std::vector<Value> items;
  for (const auto& sign : found.signs) {
    if (sign.entries == 0) continue;
    items.push_back(json::object({{"sign", json::string(name_of(sign.which))},
                                  {"entries", json::count(sign.entries)},
                                  {"value", json::fixed(rounded(sign.value, 3), 3)},
                                  {"ratio", json::fixed(rounded(sign.ratio, 3), 3)}}));
  }
  return json::array(std::move(items));
}

// ---- in words

std::string dispensed_said(const reconcile::DispensedAccount& account, const Say& say) {
  return say("reconcile.dispensed", std::vector<Arg>{arg_count("used", account.used),
                                                     arg_count("opened", account.opened)});
}
std::string left_said(const reconcile::LeftAccount& account, const Say& say) {
  return say("reconcile.left", std::vector<Arg>{arg_units("left", account.left),
                                                arg_count("cartridges", account.cartridges),
                                                arg_units("read", account.rest_read),
                                                arg_units("assumed", account.rest_assumed)});
}
std::string claimed_said(const reconcile::ClaimedAccount& account, const Say& say) {
  return say("reconcile.claimed", std::vector<Arg>{arg_units("claimed", account.claimed),
                                                   arg_count("count", account.injections),
                                                   arg_units("injected", account.injected),
                                                   arg_units("recorded", account.primed_recorded),
                                                   arg_units("rule", account.primed_by_rule)});
}
std::string difference_said(const reconcile::Difference& difference, const Say& say) {
  const auto size = difference.hundredths < 0 ? -difference.hundredths : difference.hundredths;
  const auto* key = size == 0                   ? "reconcile.as_much"
                    : difference.hundredths > 0 ? "reconcile.more_left"
                                                : "reconcile.less_left";
  return say(key, std::vector<Arg>{arg_units("units", *Units::from_hundredths(size)),
                                   arg_text("low", whole(difference.units.low)),
                                   arg_text("high", whole(difference.units.high))});
}

std::string alone_said(const reconcile::Found& one, const Say& say) {
  static constexpr std::array keys{"missed_doses",
                                   "double_doses",
                                   "primes_left_out",
                                   "extra_priming",
                                   "cartridge_thrown_early",
                                   "cartridge_lost",
                                   "change_not_recorded",
                                   "not_written",
                                   "entered_twice",
                                   "scale_misread",
                                   "",
                                   "unknown"};
  static_assert(keys.size() == reconcile::mechanism_count);
  const std::string key = keys[static_cast<std::size_t>(one.which)];
  if (key.empty()) return {};
  return say("reconcile.alone." + key,
             std::vector<Arg>{arg_text("low", whole(one.count.low)),
                              arg_text("high", whole(one.count.high)),
                              arg_text("low_units", whole(one.units.low)),
                              arg_text("high_units", whole(one.units.high))});
}
std::string found_said(const reconcile::Found& one, const Say& say) {
  const auto name = "mechanism/" + std::string(name_of(one.which));
  auto line = say("reconcile.found", std::vector<Arg>{arg_code("mechanism", name),
                                                      arg_text("percent", percent(one.probability)),
                                                      arg_text("prior", percent(one.prior))});
  const auto alone = alone_said(one, say);
  return alone.empty() ? line : line + " " + alone;
}

/// What the nurse reads: the accounts, their differences, and what may be behind them.
std::vector<std::string> lines_of(const reconcile::Request& request, const Accounts& found,
                                  const Say& say) {
  std::vector<std::string> lines{
      say("reconcile.head",
          std::vector<Arg>{arg_text("insulin", request.insulin), arg_date("from", request.from),
                           arg_date("until", request.until)})};
  if (found.dispensed.known) lines.push_back(dispensed_said(found.dispensed, say));
  if (found.left.cartridges > 0) lines.push_back(left_said(found.left, say));
  if (found.left.cartridges > 0) lines.push_back(claimed_said(found.claimed, say));
  if (found.left_claimed.known) lines.push_back(difference_said(found.left_claimed, say));
  const std::vector<Arg> chance{arg_text("percent", percent(found.probability))};
  if (found.verdict != reconcile::Verdict::not_known)
    lines.push_back(say(found.differs ? "reconcile.differs" : "reconcile.differs_not", chance));
  if (found.diary_later) {
    const auto later =
        std::ranges::find(found.found, Mechanism::diary_later, &reconcile::Found::which);
    const double probability = later == found.found.end() ? 1 : later->probability;
    lines.push_back(
        say("reconcile.diary_later", std::vector<Arg>{arg_text("percent", percent(probability))}));
  }
  return lines;
}

constexpr double worth_a_line = 0.05;

Result<Answer> run_reconcile(const Value& value, const Say& say, const Stopped& stopped) {
  const auto request = parse_reconcile_request(value);
  if (!request) return request.error();
  const auto found = reconcile::reconcile(*request, stopped);
  if (!found) return found.error();
  return Answer{reconcile_answer_json(*request, *found, say),
                reconcile_text(*request, *found, say)};
}

template <class Counted>
Value counted_json(const std::vector<Counted>& all) {
  std::vector<Value> items;
  for (const auto& one : all) {
    items.push_back(json::object(
        {{"when", json::string(one.when)}, {"cartridges", json::count(one.cartridges)}}));
  }
  return json::array(std::move(items));
}

Value cartridges_json(const reconcile::Request& request) {
  std::vector<Value> items;
  for (std::size_t i = 0; i < request.cartridges.size(); ++i) {
    const auto& use = request.cartridges[i];
    auto item = json::object({{"id", json::string(id_of(i))},
                              {"opened", json::string(use.opened)},
                              {"units", json::number(use.held)}});
    if (!use.was_new) json::add(item, "new", json::boolean(false));
    if (use.ended) json::add(item, "ended", json::string(*use.ended));
    if (use.end != reconcile::End::not_said) json::add(item, "end", json::string(name_of(use.end)));
    if (use.rest) json::add(item, "rest_units", json::number(*use.rest));
    std::vector<Value> readings;
    for (const auto& reading : use.readings) {
      readings.push_back(json::object(
          {{"when", json::string(reading.when)}, {"left_units", json::number(reading.left)}}));
    }
    if (!readings.empty()) json::add(item, "readings", json::array(std::move(readings)));
    items.push_back(std::move(item));
  }
  return json::array(std::move(items));
}

Value diary_json(const reconcile::Request& request) {
  std::vector<Value> items;
  for (const auto& entry : request.diary) {
    auto item =
        json::object({{"when", json::string(entry.when)}, {"units", json::number(entry.units)}});
    if (entry.primed) json::add(item, "primed_units", json::number(*entry.primed));
    if (!entry.slot.empty()) json::add(item, "slot", json::string(entry.slot));
    if (entry.cartridge) json::add(item, "cartridge", json::string(id_of(*entry.cartridge)));
    if (entry.recorded) json::add(item, "recorded", json::string(*entry.recorded));
    items.push_back(std::move(item));
  }
  return json::array(std::move(items));
}

}  // namespace

Result<reconcile::Request> parse_reconcile_request(const Value& request) {
  Asked asked;
  if (const auto read = json::ListReader().object(request, "", asked_list, &asked); !read) {
    return read.error();
  }
  reconcile::Request out;
  out.from = asked.from;
  out.until = asked.until;
  out.insulin = std::move(asked.insulin);
  out.strength = asked.strength;
  out.cartridge = asked.cartridge;
  out.in_use_days = asked.in_use_days;
  out.prime = asked.prime;
  out.new_cartridge_prime = asked.new_cartridge_prime.value_or(asked.prime);
  out.ordered = std::move(asked.ordered);
  out.sealed_before = asked.sealed_before;
  out.dispensed = std::move(asked.dispensed);
  out.sealed_counts = std::move(asked.sealed_counts);
  const auto places = put_cartridges(asked.cartridges, out);
  if (!places) return places.error();
  if (const auto put = put_diary(asked.diary, *places, out); !put) return put.error();
  return out;
}

Result<reconcile::Request> parse_reconcile_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_reconcile_request(*value);
}

json::Value reconcile_request_json(const reconcile::Request& request) {
  std::vector<Value> ordered;
  for (const auto& one : request.ordered) {
    std::vector<Value> doses;
    for (const auto dose : one.doses) doses.push_back(json::number(dose));
    auto item = json::object(
        {{"from", json::string(one.from)}, {"doses_units", json::array(std::move(doses))}});
    if (one.varies) json::add(item, "varies", json::boolean(true));
    ordered.push_back(std::move(item));
  }
  auto out = json::object({{"from", json::string(request.from)},
                           {"until", json::string(request.until)},
                           {"insulin", json::string(request.insulin)},
                           {"strength_units_per_ml", json::count(request.strength.units_per_ml)},
                           {"cartridge_units", json::number(request.cartridge)},
                           {"in_use_days", json::count(request.in_use_days)},
                           {"prime_units", json::number(request.prime)},
                           {"new_cartridge_prime_units", json::number(request.new_cartridge_prime)},
                           {"ordered", json::array(std::move(ordered))}});
  if (request.sealed_before) json::add(out, "sealed_before", json::count(*request.sealed_before));
  json::add(out, "dispensed", counted_json(request.dispensed));
  json::add(out, "sealed_counts", counted_json(request.sealed_counts));
  json::add(out, "cartridges", cartridges_json(request));
  json::add(out, "diary", diary_json(request));
  return out;
}

json::Value reconcile_answer_json(const reconcile::Request& request, const Accounts& found,
                                  const Say& say) {
  auto out =
      json::object({{"verdict", json::string(name_of(found.verdict))},
                    {"differs", json::boolean(found.differs)},
                    {"diary_later", json::boolean(found.diary_later)},
                    {"probability", chance_json(found.probability)},
                    {"looks", json::count(reconcile::looks)},
                    {"accounts", json::object({{"dispensed", dispensed_json(found.dispensed)},
                                               {"left", left_json(found.left)},
                                               {"claimed", claimed_json(found.claimed)}})},
                    {"left_less_claimed", difference_json(found.left_claimed)},
                    {"dispensed_less_opened", difference_json(found.dispensed_left)},
                    {"cartridges", rows_json(found, say)},
                    {"mechanisms", mechanisms_json(found)},
                    {"diary_signs", signs_json(found)}});
  json::add(out, "question",
            json::object({{"code", json::string(found.question.code)},
                          {"text", json::string(say(found.question.code, found.question.args))}}));
  std::vector<Value> unknown;
  for (const auto code : found.not_known) {
    unknown.push_back(
        json::object({{"code", json::string(code)}, {"text", json::string(say(code, {}))}}));
  }
  json::add(out, "not_known", json::array(std::move(unknown)));
  std::string text;
  for (const auto& line : lines_of(request, found, say)) text += (text.empty() ? "" : " ") + line;
  json::add(out, "text", json::string(text));
  json::add(out, "model", json::string(say("reconcile.model", {})));
  json::add(out, "defer", json::string(say("reconcile.defer", {})));
  return out;
}

std::string reconcile_text(const reconcile::Request& request, const Accounts& found,
                           const Say& say) {
  std::string text = say(found.question.code, found.question.args) + "\n\n";
  for (const auto& line : lines_of(request, found, say)) text += line + "\n";
  if (found.differs || found.diary_later) {
    for (const auto& one : found.found) {
      if (one.possible && one.probability >= worth_a_line)
        text += "- " + found_said(one, say) + "\n";
    }
  }
  if (!found.not_known.empty()) text += "\n";
  for (const auto code : found.not_known) text += "- " + say(code, {}) + "\n";
  return text + "\n" + say("reconcile.model", {}) + "\n" + say("reconcile.defer", {}) + "\n";
}

json::Value reconcile_example() { return reconcile_request_json(reconcile::example()); }

json::Value reconcile_schema() {
  return json::headed("reconcile: three accounts of the same insulin",
                      json::ListSchema().object(asked_list));
}

const Verb reconcile_verb{"reconcile",    &reconcile_example, &reconcile_schema,
                          &run_reconcile, TextForm::prose,    Work::heavy};

}  // namespace penstock::verbs
