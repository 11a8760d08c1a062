// Month end: who runs out of what and by when to ask, for the whole clinic, and what their needs
// add up to (web/src/model.ts: MonthPage). From the summary rows: no journal is folded.
#include <algorithm>
#include <atomic>
#include <exception>
#include <map>
#include <thread>

#include "edge/json/json.hpp"
#include "shell/desk/internal/card_supply.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/stock_words.hpp"
#include "shell/desk/internal/supply_page.hpp"
#include "shell/desk/internal/who.hpp"

namespace penstock::desk {
namespace {

using std::chrono::days;

constexpr std::int32_t month_days_max = 120;
constexpr std::size_t people_shown_max = 400;  // what one page can print; the sums are over all

/// One supply of one person that has to be asked for in the time that is looked at.
struct Want {
  std::string what;  ///< the insulin's name; empty: needles
  std::optional<Strength> strength;
  Units each = Units::zero();  ///< what one cartridge holds
  std::optional<TenthsMm> length;
  LocalDay ask_by{};
  LocalDay short_on{};
  bool late = false;
  std::int32_t boxes = 0;   ///< that cover the days that are looked at
  std::int64_t pieces = 0;  ///< the same in cartridges or needles
};

struct Wants {
  std::vector<Want> all;
  bool unreadable = false;
};

void want(Wants& out, const cover::Lasts& lasts, Want one, LocalDay until, std::int32_t per_box) {
  const auto first = may_be_short_on(lasts);
  const bool due = first && lasts.ask_by && *lasts.ask_by <= until;
  if (!due && lasts.boxes == 0) return;
  // What has to be asked for in this time is at least one box, also where it would last longer.
  one.boxes = std::max(lasts.boxes, due ? 1 : 0);
  one.pieces = static_cast<std::int64_t>(one.boxes) * per_box;
  one.ask_by = due ? *lasts.ask_by : until;
  one.short_on = first.value_or(LocalDay::max());
  one.late = due && lasts.late;
  out.all.push_back(std::move(one));
}

/// Cover of one card, from the day of its last injection on, over the days that are looked at.
Wants wants_of(const Card& card, const supply::ClosedDays& closed, LocalDay today,
               std::int32_t days_ahead) {
  Wants out;
  if (card.supply.empty()) return out;
  const auto unpacked = unpack_supply(card.supply);
  if (!unpacked) {
    out.unreadable = true;
    return out;
  }
  supply::Supply supply;
  supply.rules = unpacked->rules;
  const auto until = today + days{days_ahead};
  for (const auto& house : unpacked->needed.houses) {
    auto request = supply::request_of(house, supply, closed);
    for_days_from(request, today, days_ahead);
    const auto answer = cover::cover(request);
    if (!answer) continue;
    Want one;
    one.what = house.kind.insulin;
    one.strength = house.kind.strength;
    one.each = house.line.cartridge;
    want(out, answer->lines.front(), one, until, supply.rules.cartridges_per_box);
  }
  if (auto request = supply::request_of(unpacked->needed, supply, closed)) {
    for_days_from(*request, today, days_ahead);
    const auto answer = cover::cover(*request);
    if (!answer || !answer->needles) return out;
    Want one;
    one.length = unpacked->needed.needles->length;
    want(out, *answer->needles, one, until, supply.rules.needles_per_box);
  }
  return out;
}

/// Everybody, on as many threads as the machine has: cards do not depend on each other.
std::vector<Wants> wants_of_all(const std::vector<Card>& cards, const supply::ClosedDays& closed,
                                LocalDay today, std::int32_t days_ahead, const OnPeople& progress) {
  std::vector<Wants> out(cards.size());
  std::atomic<std::size_t> next{0}, done{0};
  std::exception_ptr broken;
  std::mutex guard;
  const auto work = [&](bool says) {
    constexpr std::size_t at_once = 32;
    try {
      for (auto from = next.fetch_add(at_once); from < cards.size();
           from = next.fetch_add(at_once)) {
        const auto to = std::min(cards.size(), from + at_once);
        for (auto i = from; i < to; ++i) out[i] = wants_of(cards[i], closed, today, days_ahead);
        const auto so_far = done.fetch_add(to - from) + (to - from);
        if (says && progress) progress(so_far, cards.size());
      }
    } catch (...) {
      const std::lock_guard lock(guard);
      if (!broken) broken = std::current_exception();
    }
  };
  {
    std::vector<std::jthread> others;
    const auto threads = std::clamp(std::thread::hardware_concurrency(), 1U, 8U);
    for (unsigned i = 1; i < threads; ++i) others.emplace_back(work, false);
    work(true);
  }
  if (broken) std::rethrow_exception(broken);
  if (progress) progress(cards.size(), cards.size());
  return out;
}

std::string name_of(const Want& one) {
  if (!one.strength) {
    return one.length ? said("supply.needles_length", {arg_text("length", format(*one.length))})
                      : said("supply.needles_unknown");
  }
  return said("cover.insulin_strength",
              {arg_text("insulin", one.what), arg_strength("strength", *one.strength)});
}

/// Cartridges that hold differently much are ordered apart.
std::string sum_name(const Want& one) {
  if (!one.strength) return name_of(one);
  return said("supply.insulin_label",
              {arg_text("insulin", one.what), arg_strength("strength", *one.strength),
               arg_units("each", one.each)});
}

/// What the clinic itself has of it that still serves on the last day; nothing: the shelf has no
/// such item.
std::optional<std::int64_t> on_clinic_shelf(const Want& one, const ClinicState& clinic,
                                            LocalDay until) {
  std::optional<std::int64_t> pieces;
  for (const auto& code : stock_items(clinic.shelf)) {
    const auto* needle = clinic.shelf.needle(code);
    const auto* cartridge = clinic.shelf.cartridge(code);
    const auto kind = kind_of_item(clinic.shelf, code);
    const bool same = one.strength ? kind && *kind == supply::Kind{one.what, *one.strength} &&
                                         cartridge->thing.content == one.each
                                   : needle != nullptr && needle->thing.length == one.length;
    if (same) pieces = pieces.value_or(0) + stock::on_shelf(clinic.stock, code, until);
  }
  return pieces;
}

json::Value person_row(const Card& card, const std::vector<const Want*>& due, LocalDay today) {
  std::vector<json::Value> rows;
  bool late = false;
  for (const auto* one : due) {
    late = late || one->late || one->ask_by < today;
    rows.push_back(say(
        one->late ? "month.row_late" : "month.row",
        {arg_text("what", name_of(*one)), arg_text("ask", english().day_month(one->ask_by)),
         arg_text("short", english().day_month(one->short_on)), arg_count("boxes", one->boxes)}));
  }
  auto out = json::object({{"id", json::string(card.person)},
                           {"name", text(card.full_name)},
                           {"born_text", text(english().day_year(card.born))},
                           {"number", text(card.number)},
                           {"by_text", text(english().day_short(due.front()->ask_by))},
                           {"rows", list(std::move(rows))}});
  if (late) add_level(out, Level::caution);
  return out;
}

struct Month {
  std::vector<json::Value> people;
  std::size_t people_due = 0;
  std::size_t unreadable = 0;
  struct Sum {
    Want of;
    std::int64_t boxes = 0;
    std::int64_t pieces = 0;
  };
  std::map<std::string, Sum> sums;  // by what it is called
};

Month month_of(const std::vector<Card>& cards, const std::vector<Wants>& wants, LocalDay today,
               LocalDay until) {
  struct Due {
    const Card* card = nullptr;
    std::vector<const Want*> wants;
  };
  Month out;
  std::vector<Due> due;
  for (std::size_t i = 0; i < cards.size(); ++i) {
    if (wants[i].unreadable) ++out.unreadable;
    Due one{&cards[i], {}};
    for (const auto& want : wants[i].all) {
      auto& sum = out.sums[sum_name(want)];
      sum.of = want;
      sum.boxes += want.boxes;
      sum.pieces += want.pieces;
      if (want.ask_by < until) one.wants.push_back(&want);
    }
    if (one.wants.empty()) continue;
    std::ranges::stable_sort(one.wants, {}, [](const Want* want) { return want->ask_by; });
    due.push_back(std::move(one));
  }
  std::ranges::stable_sort(due, {}, [](const Due& one) {
    return std::pair{one.wants.front()->ask_by, one.card->full_name};
  });
  out.people_due = due.size();
  for (std::size_t i = 0; i < std::min(due.size(), people_shown_max); ++i)
    out.people.push_back(person_row(*due[i].card, due[i].wants, today));
  return out;
}

}  // namespace

Result<json::Value> Desk::month(std::int32_t days_ahead, const OnPeople& progress) {
  if (days_ahead < 1 || days_ahead > month_days_max) {
    return Error{
        Kind::invalid_input,
        std::string(codes::month_days),
        {arg_count("value", days_ahead), arg_count("least", 1), arg_count("most", month_days_max)},
        "?days"};
  }
  return in_->guarded(in_->clinic()->journal, [&]() -> Result<json::Value> {
    const auto cards = in_->cards();
    if (!cards) return cards.error();
    const auto clinic = in_->clinic();
    const auto now = in_->now_here();
    const auto until = now.day() + days{days_ahead};
    const auto wants = wants_of_all(**cards, clinic->closed, now.day(), days_ahead, progress);
    auto month = month_of(**cards, wants, now.day(), until);
    std::vector<json::Value> sums;
    for (const auto& [name, sum] : month.sums) {
      const auto shelf = on_clinic_shelf(sum.of, *clinic, until);
      const auto missing = std::max<std::int64_t>(0, sum.pieces - shelf.value_or(0));
      sums.push_back(json::object({{"name", text(name)},
                                   {"boxes", text(format_fixed(sum.boxes, 0))},
                                   {"pieces", text(format_fixed(sum.pieces, 0))},
                                   {"shelf", text(shelf ? format_fixed(*shelf, 0) : "")},
                                   {"order", text(shelf ? format_fixed(missing, 0) : "")}}));
    }
    const auto shown = std::ssize(month.people);
    const auto due = static_cast<std::int64_t>(month.people_due);
    return json::object(
        {{"title", text(said("month.title", {arg_text("from", english().day_month(now.day())),
                                             arg_text("until", english().day_year(until))}))},
         {"lead", say(due == 0 ? "month.lead_none" : "month.lead",
                      {arg_count("people", due), arg_count("all", std::ssize(**cards)),
                       arg_count("days", days_ahead)})},
         {"days", json::count(days_ahead)},
         {"people", list(std::move(month.people))},
         {"more", text(due > shown ? said("month.more", {arg_count("count", due - shown)}) : "")},
         {"sums", list(std::move(sums))},
         {"note", text(said("month.note", {arg_count("days", days_ahead)}))},
         {"unreadable",
          text(month.unreadable == 0
                   ? ""
                   : said("month.unreadable",
                          {arg_count("count", static_cast<std::int64_t>(month.unreadable))}))},
         {"printed_text", text(said("month.printed", {arg_text("when", english().moment(now))}))}});
  });
}

}  // namespace penstock::desk
