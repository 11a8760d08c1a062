#include <algorithm>
#include <cstdlib>

#include "core/reconcile/from_journal/from_journal.hpp"
#include "core/reconcile/reconcile.hpp"
#include "core/watch/internal/parts.hpp"
#include "core/watch/watch.hpp"

namespace penstock::watch {
namespace {

using std::chrono::days;

// Said a working day or two ahead, so that it can be done together with other things.
constexpr days ask_notice{2};
// Close enough that nothing that is asked for today comes by itself.
constexpr days short_notice{4};
// What was talked over is given time to be done otherwise.
constexpr days talk_holds{30};
// A box is closed and brought back; that takes a way.
constexpr days sharps_notice{3};

class Supplies {
 public:
  Supplies(const chart::Chart& person, const chart::Clinic& clinic, std::vector<Watch>& out)
      : person_(person), clinic_(clinic), out_(out) {}

  void run() {
    const auto needed =
        supply::needed(person_.order, person_.ledger, person_.supply,
                       person_.skin.rules ? person_.skin.rules->needle : std::nullopt,
                       clinic_.shelf, clinic_.stock, person_.zone);
    for (const auto& gap : needed.gaps) look_at(gap);
    for (const auto& house : needed.houses) {
      const auto before = static_cast<std::ptrdiff_t>(out_.size());
      look_at(house);
      look_at_accounts(house);
      if (house.last_day) end(out_.begin() + before, from(*house.last_day + days{1}));
    }
    if (const auto request = supply::request_of(needed, person_.supply, clinic_.closed))
      look_at_needles(*needed.needles, *request);
    look_at_counts();
  }

 private:
  When from(LocalDay day) const { return midnight(person_, day); }

  // Of an insulin that is ordered no longer nothing is missing.
  void end(std::vector<Watch>::iterator begin, const When& over) {
    for (auto watch = begin; watch != out_.end(); ++watch) {
      if (!watch->until || over.at < watch->until->at) watch->until = over;
    }
  }

  Watch about_house(const supply::House& house, What what, When shows, When due) const {
    const auto* line = person_.order.line(house.lines.front());
    auto watch = about(*line, clinic_.shelf, what, shows, due);
    watch.purpose = house.purpose;
    return watch;
  }
  // Said from then on, and no earlier than what was asked for should have come.
  When said_from(const supply::Asked* asked, When shows) const {
    if (asked == nullptr) return shows;
    const auto over = from(supply::last_expected(*asked, person_.supply.rules) + days{1});
    return over.at > shows.at ? over : shows;
  }

  void look_at(const supply::House& house) {
    const auto on = from(house.counted_from);
    const auto* line = person_.order.line(house.lines.front());
    const auto next = next_slot(person_, *line, on);
    const auto* asked = supply::awaited(person_.supply, house.kind, house.counted_from);
    if (house.line.open.empty() && house.sealed == 0) {
      if (is_said(house)) return;  // and what to do about it
      auto none = about_house(house, What::none_loaded, on, next);
      none.holds = true;
      const auto why = house.recalled  ? NoneGood::recalled
                       : house.expired ? NoneGood::expired
                                       : NoneGood::none;
      none.figures = Lacking{why};
      out_.push_back(std::move(none));
      if (line->text.from == house.counted_from) starts_without(*line, why);
      return;
    }
    if (house.sealed == 0 && person_.supply.rules.spare_cartridges > 0) {
      // Said today, not tonight: the next cartridge that breaks has none behind it (H51).
      const auto shows = said_from(asked, last_loaded(house).value_or(on));
      out_.push_back(about_house(house, What::nothing_sealed, shows, shows));
    }
    const auto answer = cover::cover(supply::request_of(house, person_.supply, clinic_.closed));
    if (!answer) return;  // the next injection's card says what is wrong with this dose
    const auto& lasts = answer->lines.front();
    const auto missing = supply::may_be_short_on(lasts);
    if (!missing) return;
    auto runs_short =
        about_house(house, What::runs_short, from(*missing - short_notice), from(*missing));
    runs_short.basis += "/" + std::to_string(missing->time_since_epoch().count());
    if (lasts.ask_by) ask(house, lasts, *missing, runs_short, asked);
    out_.push_back(std::move(runs_short));
  }

  void look_at(const supply::Gap& gap) {
    if (gap.lack == supply::Lack::no_doses) return;
    const auto line = std::ranges::find_if(person_.order.lines, [&](const order::Line& one) {
      return supply::Kind{one.text.insulin, one.text.strength} == gap.kind && !one.replaced_by &&
             !one.ended;
    });
    if (line == person_.order.lines.end()) return;
    if (gap.lack == supply::Lack::no_content) return begins_without(*line, NoneGood::none);
    const auto* at_home = sealed(gap.kind, line->text.from);
    if (at_home == nullptr) return begins_without(*line, NoneGood::nothing);
    if (!is_own_pen(*at_home)) begins_without(*line, NoneGood::no_pen);
  }

  // Good ones of it, that nobody opened yet.
  const ledger::Stock* sealed(const supply::Kind& kind, LocalDay on) const {
    for (const auto& stock : person_.ledger.stock) {
      if (supply::Kind{stock.insulin, stock.strength} == kind &&
          supply::sealed_at_home(stock, clinic_.shelf, clinic_.stock, on).count > 0)
        return &stock;
    }
    return nullptr;
  }
  bool is_own_pen(const ledger::Stock& stock) const {
    const auto* insulin = clinic_.shelf.insulin(stock.insulin, stock.strength);
    return insulin != nullptr &&
           std::ranges::any_of(clinic_.shelf.cartridges, [&](const auto& entry) {
             return entry.thing.insulin == insulin->code && entry.thing.content == stock.each &&
                    entry.thing.presentation == shelf::Presentation::prefilled_pen;
           });
  }

  // From its day on it is said as of any other: doses of the insulin before it that nobody spoke of
  // hide that this one has no number (H57, H38).
  void begins_without(const order::Line& line, NoneGood why) {
    const auto begins = from(line.text.from);
    if (!line.checked || line.checked->when.at >= begins.at) return;
    starts_without(line, why);
    auto none =
        about(line, clinic_.shelf, What::none_loaded, begins, next_slot(person_, line, begins));
    none.holds = true;
    none.figures = Lacking{why};
    out_.push_back(std::move(none));
  }

  // Of an insulin that begins on a later day: said from the second check on, while there is time to
  // get it (H38).
  void starts_without(const order::Line& line, NoneGood why) {
    const auto begins = from(line.text.from);
    if (!line.checked || line.checked->when.at >= begins.at) return;
    auto watch = about(line, clinic_.shelf, What::starts_without, line.checked->when, begins);
    watch.until = begins;
    watch.figures = Lacking{why};
    out_.push_back(std::move(watch));
  }

  void ask(const supply::House& house, const cover::Lasts& lasts, LocalDay missing,
           const Watch& runs_short, const supply::Asked* asked) {
    const auto by = *lasts.ask_by;
    const auto what = asked != nullptr ? What::not_come : What::ask_for_more;
    auto watch = about_house(house, what, said_from(asked, from(by - ask_notice)), from(by));
    if (asked != nullptr) watch.due = watch.shows_from;
    watch.figures =
        Shortage{missing, asked != nullptr ? asked->when.day() : LocalDay{}, lasts.spare_counts};
    watch.until = runs_short.shows_from;
    if (watch.until->at <= watch.shows_from.at) return;
    watch.basis = runs_short.basis;
    out_.push_back(std::move(watch));
  }

  // Of the one in the pen it is said that its days are over, or that it was recalled.
  bool is_said(const supply::House& house) const {
    return std::ranges::any_of(person_.ledger.cartridges, [&](const ledger::Cartridge& one) {
      return one.in_pen && supply::Kind{one.copy.name, one.copy.strength} == house.kind &&
             (one.fitness(house.counted_from) == ledger::Fitness::past_expiry ||
              one.fitness(house.counted_from) == ledger::Fitness::past_in_use ||
              stock::is_recalled(clinic_.stock, clinic_.shelf, one.copy.name, one.copy.strength,
                                 one.lot));
    });
  }

  // When the last sealed one went into a pen.
  std::optional<When> last_loaded(const supply::House& house) const {
    std::optional<When> last;
    for (const auto& cartridge : person_.ledger.cartridges) {
      const supply::Kind kind{cartridge.copy.name, cartridge.copy.strength};
      if (cartridge.is_loaded() && kind == house.kind) last = cartridge.loaded_when;
    }
    return last;
  }

  void look_at_needles(const supply::Needles& needles, const cover::Request& request) {
    const auto answer = cover::cover(request);
    if (!answer) return;
    if (answer->needles) {
      const auto missing = supply::may_be_short_on(*answer->needles);
      const auto* asked = supply::needles_awaited(person_.supply, needles.on);
      if (missing && answer->needles->ask_by) {
        Watch watch;
        watch.what = What::needles_short;
        watch.shows_from = said_from(asked, from(*answer->needles->ask_by - ask_notice));
        watch.due = from(*answer->needles->ask_by);
        // Needles are asked for in the length that was chosen for this person, and no other.
        watch.figures = NeedlesLeft{*missing, needles.left, needles.length.value_or(TenthsMm{})};
        watch.basis = "needles/" + std::to_string(missing->time_since_epoch().count());
        out_.push_back(std::move(watch));
      }
    }
    if (answer->sharps) look_at_box(*answer->sharps);
  }

  void look_at_box(const cover::Lasts& lasts) {
    const auto* box = person_.supply.box();
    const auto full = supply::may_be_short_on(lasts);
    if (box == nullptr || !full) return;
    Watch watch;
    watch.what = What::sharps_full;
    watch.shows_from = from(*full - sharps_notice);
    watch.due = from(*full);
    watch.figures = BoxFills{box->needles, box->line()};
    watch.basis = to_text(box->box);
    out_.push_back(std::move(watch));
  }

  void look_at_counts() {
    const auto differs = [&](const ledger::StockCount& count, std::string_view insulin) {
      Watch watch;
      watch.what = What::supplies_differ;
      watch.shows_from = watch.due = count.when;
      watch.insulin = insulin;
      watch.figures = Counted{count.account_left, count.counted};
      watch.basis = to_text(count.fact) + std::string(insulin);
      out_.push_back(std::move(watch));
    };
    for (const auto& stock : person_.ledger.stock) {
      if (stock.count && !stock.count->agrees()) differs(*stock.count, stock.insulin);
    }
    const auto& needles = person_.ledger.needles;
    if (needles.count && !needles.count->agrees()) differs(*needles.count, {});
  }

  // Two months up to the last fact; quiet for a month after it was talked over.
  void look_at_accounts(const supply::House& house) {
    if (person_.history.facts.empty()) return;
    const auto& last = person_.history.facts.back().happened;
    const auto until = last.day();
    for (const auto& talk : person_.supply.talks) {
      const supply::Kind about{talk.said.insulin, talk.said.strength};
      if (about == house.kind && talk.when.day() + talk_holds > until) return;
    }
    const auto accounts = reconcile::reconcile(
        reconcile::request_of(person_.history, person_.ledger, person_.order, house.kind.insulin,
                              house.kind.strength, until - days{accounts_days}, until));
    if (!accounts || !accounts->differs) return;
    auto watch = about_house(house, What::accounts_differ, last, last);
    watch.figures = Difference{std::abs(accounts->left_claimed.hundredths) / 100};
    // The same difference is not said anew with every injection.
    watch.basis += "/" + format_iso(until).substr(0, 7);
    out_.push_back(std::move(watch));
  }

  const chart::Chart& person_;
  const chart::Clinic& clinic_;
  std::vector<Watch>& out_;
};

}  // namespace

void watch_supplies(const chart::Chart& person, const chart::Clinic& clinic,
                    std::vector<Watch>& out) {
  Supplies(person, clinic, out).run();
}

}  // namespace penstock::watch
