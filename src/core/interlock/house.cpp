// What a dose could come from, and the request that the dial plan is asked with.
#include <algorithm>

#include "core/draw/draw.hpp"
#include "core/interlock/internal/case.hpp"
#include "core/interlock/primed/primed.hpp"
#include "core/supply/supply.hpp"

namespace penstock::interlock::internal {
namespace {

using std::chrono::days;

// How far ahead a next dose is looked for: a weekly line comes round once.
constexpr int look_ahead_days = 8;

Error recalled(std::string_view insulin, std::string_view lot) {
  return refused(codes::recalled, {arg_text("insulin", insulin), arg_text("lot", lot)});
}

Error unfit(const ledger::Cartridge& cartridge, LocalDay on) {
  return refused(codes::unfit, {arg_code("reason", ledger::code_of(cartridge.fitness(on))),
                                arg_text("insulin", cartridge.copy.name)});
}

/// What a plan counts on where the account says more: what is not in there gives no dose (H02,
/// H41). A reading is only so exact: within that it decides at the end of a cartridge alone.
Units left_in(const House& house, const ledger::Cartridge& cartridge, Units enough) {
  const auto left = cartridge.left;
  const auto least = house.without == codes::left_uncertain
                         ? sum(cartridge.at_least(), cartridge.uncounted)
                         : cartridge.at_least();
  const auto less = checked_sub(left, least);
  if (!less) return left;
  const bool decides = left >= enough && least < enough;
  return decides || less->hundredths() > scale_slack_hundredths ? least : left;
}

dial::Cartridge for_dial(const House& house, const ledger::Cartridge& cartridge, Units enough,
                         LocalDay on) {
  return {to_text(cartridge.id), left_in(house, cartridge, enough),
          cartridge.days_in_use(on).value_or(0), cartridge.copy.in_use_days, cartridge.is_new()};
}

void add_open_one(const House& house, const ledger::Pen& pen, const ledger::Ledger& ledger,
                  Units enough, LocalDay on, AtHome& home) {
  const auto* cartridge = pen.cartridge ? ledger.cartridge(*pen.cartridge) : nullptr;
  if (cartridge == nullptr || cartridge->thrown) return;
  if (is_recalled(house, cartridge->copy.name, cartridge->copy.strength, cartridge->lot)) {
    home.set_aside.push_back({codes::recalled, recalled(cartridge->copy.name, cartridge->lot)});
    if (cartridge->fitness(on) != ledger::Fitness::serves)
      home.set_aside.push_back({codes::unfit, unfit(*cartridge, on)});
    return;
  }
  const auto fitness = cartridge->fitness(on);
  // Past its period it goes into the request: the plan itself leaves it out and says why.
  if (fitness != ledger::Fitness::serves && fitness != ledger::Fitness::past_in_use &&
      house.without != codes::unfit) {
    home.set_aside.push_back({codes::unfit, unfit(*cartridge, on)});
    return;
  }
  if (cartridge->fits != pen.copy.fits && house.without != codes::no_fit) {
    home.set_aside.push_back(
        {codes::no_fit, refused(codes::no_fit, {arg_text("insulin", cartridge->copy.name),
                                                arg_text("pen", pen.copy.name)})});
    return;
  }
  home.cartridges.push_back(for_dial(house, *cartridge, enough, on));
  home.sources.push_back({cartridge->id, cartridge->copy, cartridge->content, "", cartridge->fits});
}

/// What was taken out for another one and not thrown away goes in again, where it gives the dose:
/// its days run, and nothing else at home is missed while it lies there (H02, H38).
void add_taken_out(const chart::Chart& person, const House& house, const ledger::Pen& pen,
                   Units enough, LocalDay on, AtHome& home) {
  const auto* entry = house.shelf.insulin(pen.insulin, pen.strength);
  if (entry == nullptr) return;
  for (const auto& cartridge : person.ledger.cartridges) {
    const bool is_mine = cartridge.is_taken_out() && cartridge.copy.name == pen.insulin &&
                         cartridge.copy.strength == pen.strength && !cartridge.left.is_zero();
    if (!is_mine) continue;
    if (is_recalled(house, cartridge.copy.name, cartridge.copy.strength, cartridge.lot)) {
      auto error = recalled(cartridge.copy.name, cartridge.lot);
      error.args.push_back(arg_code("where", "taken_out"));
      home.set_aside.push_back({codes::recalled, std::move(error)});
      continue;
    }
    if (cartridge.fitness(on) != ledger::Fitness::serves || cartridge.fits != pen.copy.fits ||
        cartridge.at_least() < enough || home.cartridges.size() >= draw::cartridges_max)
      continue;
    home.cartridges.push_back(for_dial(house, cartridge, enough, on));
    home.sources.push_back({cartridge.id, cartridge.copy, cartridge.content, entry->code,
                            cartridge.fits, cartridge.lot, true});
  }
}

/// Sealed ones of one kind that may be opened, by their lots, those that expire first before the
/// others: of lots that were recalled or are past their printed day none, where nobody knows which
/// lot is left the fewer, and no lot is named (H12, H61).
std::vector<std::string> good_ones(const House& house, const ledger::Stock& stock, LocalDay on,
                                   AtHome& home) {
  auto sealed = supply::sealed_at_home(stock, house.shelf, house.stock, on);
  std::int64_t all = 0;
  for (const auto* lots : {&sealed.good, &sealed.recalled, &sealed.expired})
    for (const auto& lot : *lots) all += lot.pieces;
  const auto leave_out = [&](std::string_view code, const auto& lots, const auto& error_of) {
    for (const auto& lot : lots) {
      if (house.without == code) {
        sealed.good.push_back(lot);
      } else {
        home.set_aside.push_back({code, error_of(lot)});
      }
    }
  };
  leave_out(codes::recalled, sealed.recalled, [&](const supply::SealedLot& lot) {
    auto error = recalled(stock.insulin, lot.lot);
    error.args.push_back(arg_code("where", "sealed"));
    return error;
  });
  leave_out(codes::expired, sealed.expired, [&](const supply::SealedLot& lot) {
    return refused(codes::expired, {arg_text("insulin", stock.insulin), arg_text("lot", lot.lot),
                                    arg_date("last", *lot.expires)});
  });
  std::vector<std::string> out;
  for (const auto& lot : sealed.good)
    out.insert(out.end(), static_cast<std::size_t>(lot.pieces), lot.lot);
  if (all != stock.left) std::ranges::fill(out, std::string());
  // Of account and count the smaller: what was not found gives no dose (H41, H38).
  out.resize(std::min(out.size(), static_cast<std::size_t>(stock.at_least())));
  return out;
}

void add_sealed_ones(const chart::Chart& person, const House& house, const ledger::Pen& pen,
                     const order::Line& line, LocalDay on, AtHome& home) {
  const auto* insulin = house.shelf.insulin(line.text.insulin, line.text.strength);
  if (insulin == nullptr) return;
  for (const auto& stock : person.ledger.stock) {
    if (stock.insulin != line.text.insulin || stock.strength != line.text.strength ||
        stock.at_least() <= 0)
      continue;
    // H42: the shelf says which containers were made for the pen.
    const auto* container = shelf::made_for(house.shelf, pen.copy, insulin->code, stock.each);
    if (container == nullptr) {
      home.set_aside.push_back(
          {codes::no_fit, refused(codes::no_fit, {arg_text("insulin", stock.insulin),
                                                  arg_text("pen", pen.copy.name)})});
      continue;
    }
    const auto good = good_ones(house, stock, on, home);
    for (const auto& lot : good) {
      if (home.cartridges.size() >= draw::cartridges_max) break;
      dial::Cartridge one;
      one.id = "sealed " + std::to_string(home.cartridges.size() + 1);
      one.left = stock.each;
      one.in_use_days = insulin->thing.in_use_days;
      one.is_new = true;
      home.cartridges.push_back(std::move(one));
      home.sources.push_back(
          {Id{}, insulin->thing, stock.each, insulin->code, container->thing.fits, lot});
    }
  }
}

// What was pressed out of one past its days primed no other one (H12, H44).
bool may_serve(const dial::Cartridge& one) {
  return !one.left.is_zero() && one.days_in_use.value_or(0) < one.in_use_days;
}

// Two cartridges for one dose only where the order allows it, it was taught back, and the insulin
// is clear.
draw::Split split_of(const chart::Chart& person, const order::Line& line,
                     const shelf::Insulin& insulin) {
  const bool may = line.text.may_split && person.person.taught(journal::Skill::split_dose) &&
                   !insulin.suspension;
  return may ? draw::Split::if_short : draw::Split::never;
}

std::optional<Units> dose_after(const chart::Chart& person, const order::Due& due) {
  for (int ahead = 0; ahead <= look_ahead_days; ++ahead) {
    for (const auto& next : order::due_on(person.order, due.day + days{ahead}, person.zone)) {
      if (next.line == due.line && next.at.at > due.at.at) return next.units;
    }
  }
  return std::nullopt;
}

}  // namespace

Units owed(const Dose& dose) {
  return dose.pending != nullptr ? dose.pending->rest : dose.due.units;
}

std::vector<Arg> about(const order::Line& line) {
  return {arg_text("insulin", line.text.insulin), arg_strength("strength", line.text.strength),
          arg_code("purpose", journal::names_of(
                                  line.text.purpose)[static_cast<std::size_t>(line.text.purpose)])};
}

Error refused(std::string_view code, std::vector<Arg> args) {
  return {Kind::refused, std::string(code), std::move(args), ""};
}

AtHome at_home(const chart::Chart& person, const House& house, const Dose& dose, LocalDay on) {
  AtHome home;
  const auto& pen = *dose.pen;
  const auto& line = *dose.line;
  const auto enough = sum(owed(dose), pen.copy.prime);
  add_open_one(house, pen, person.ledger, enough, on, home);
  add_taken_out(person, house, pen, enough, on, home);
  add_sealed_ones(person, house, pen, line, on, home);
  return home;
}

dial::DialRequest request_of(const chart::Chart& person, const House& house, const Dose& dose,
                             const AtHome& home, Instant now, bool on_paper) {
  dial::DialRequest request;
  const auto& line = *dose.line;
  const auto* entry = house.shelf.insulin(line.text.insulin, line.text.strength);
  const auto insulin = !home.sources.empty() ? home.sources.front().copy
                       : entry != nullptr    ? entry->thing
                                             : shelf::Insulin{};
  request.dose = owed(dose);
  if (dose.pending != nullptr) request.part_of = dose.pending->meant;
  request.insulin = {line.text.insulin, line.text.strength, insulin.suspension,
                     insulin.least_left_to_mix};
  request.pen = {dose.pen->copy.step, dose.pen->copy.most, known_window(*dose.pen, house.shelf),
                 dose.pen->copy.hold_seconds};
  const bool open_serves = !home.sources.empty() && !home.sources.front().goes_in() &&
                           may_serve(home.cartridges.front());
  request.prime =
      prime_of(*dose.pen, open_serves, is_prime_stale(person, *dose.pen, dose.due, now, on_paper));
  request.cartridges = home.cartridges;
  request.keep_in_pen = open_serves;
  request.split = split_of(person, line, insulin);
  // A next dose that this pen cannot dial is that dose's matter: it holds back none that it can.
  if (const auto next = dose_after(person, dose.due);
      next && next->hundredths() % dose.pen->copy.step.hundredths() == 0)
    request.next_doses = std::vector{*next};
  return request;
}

// Over the telephone nobody reads its size (H02).
const shelf::Cartridge* container_for(const shelf::Shelf& shelf, const shelf::Pen& pen,
                                      std::string_view insulin) {
  const shelf::Cartridge* smallest = nullptr;
  for (const auto& entry : shelf.cartridges) {
    if (entry.thing.insulin != insulin || !shelf::fits(pen, entry.thing)) continue;
    if (smallest == nullptr || entry.thing.content < smallest->content) smallest = &entry.thing;
  }
  return smallest;
}

void fill(Case& one, const Call& call) {
  const auto& insulin = call.insulin.thing;
  const auto* container = container_for(one.house.shelf, call.pen, call.insulin.code);
  if (container == nullptr) {
    one.at_home.set_aside.push_back(
        {codes::no_fit, refused(codes::no_fit, {arg_text("insulin", insulin.name),
                                                arg_text("pen", call.pen.name)})});
    return;
  }
  dial::DialRequest request;
  request.dose = call.dose;
  request.insulin = {insulin.name, insulin.strength, insulin.suspension, insulin.least_left_to_mix};
  request.pen = {call.pen.step, call.pen.most, call.pen.window, call.pen.hold_seconds};
  request.prime.units = call.pen.prime;
  request.prime.new_cartridge = call.pen.prime_new_cartridge;
  // Of a prime that nobody says was made nothing is spent, whatever a field still says (H64, H01).
  const bool primed = call.primed != Call::Primed::not_yet;
  request.prime.spent = primed ? call.spent.value_or(Units::zero()) : Units::zero();
  request.prime.flow_seen = call.primed == Call::Primed::seen;
  // Two needles stayed dry, or as many primes as two would take: another one makes no flow (H64).
  const auto dry = call.dry_primes.value_or(0);
  const bool two_dry = call.dry_needles > 1 || dry >= 2 * dial::dry_primes_for_new_needle;
  request.prime.dry_primes = std::max(dry, two_dry ? 1 : 0);
  request.prime.needle_changed = call.needle_changed || call.dry_needles > 0 || two_dry;
  const auto add = [&](std::string id, Units left, std::optional<std::int32_t> days, bool is_new) {
    request.cartridges.push_back({std::move(id), left, days, insulin.in_use_days, is_new});
    one.at_home.sources.push_back({Id{}, insulin, left, call.insulin.code, call.pen.fits});
  };
  const bool in_pen = !call.left.is_zero() && (call.days_in_use || call.unopened == 0);
  if (in_pen) {
    add(std::string(in_pen_id), call.left, call.days_in_use.value_or(0), false);
  } else if (call.unopened > 0) {
    add(std::string(in_pen_id), Units::zero(), 0, false);  // it is in the pen, and comes out first
    if (!call.left.is_zero())
      one.at_home.set_aside.push_back(
          {codes::days_unknown, refused(codes::days_unknown, {arg_text("insulin", insulin.name)})});
  }
  for (std::int64_t i = 1; i <= call.unopened; ++i)
    add(std::string(unopened_id) + std::to_string(i), container->content, std::nullopt, true);
  if (!in_pen || !may_serve(request.cartridges.front())) {
    request.prime.spent = Units::zero();
    request.prime.flow_seen = false;
  }
  request.keep_in_pen = in_pen;
  request.split = draw::Split::never;  // over the telephone nobody is taught to split a dose
  one.request = std::move(request);
}

}  // namespace penstock::interlock::internal
