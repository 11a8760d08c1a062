// Month end: who runs out of what and by when to ask, for the whole clinic, and what their needs
// add up to (web/src/model.ts: MonthPage). From the summary rows: no journal is folded.
#include "edge/pages/stock/month.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <tuple>
#include <utility>

#include "edge/pages/kit/items.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/stock/internal/shown.hpp"
#include "edge/summary/summary.hpp"

namespace penstock::pages {
namespace {

using std::chrono::days;

void want(Wants& out, const cover::Lasts& lasts, Want one, LocalDay until, std::int32_t per_box) {
  const auto first = supply::may_be_short_on(lasts);
  const bool due = first && lasts.ask_by && *lasts.ask_by <= until;
  if (!due && lasts.boxes == 0) return;
  // What has to be asked for in this time is at least one box, also where it would last longer.
  one.boxes = std::max(lasts.boxes, due ? 1 : 0);
  one.pieces = static_cast<std::int64_t>(one.boxes) * per_box;
  one.per_box = std::max(1, per_box);
  one.due = due;
  if (due) one.ask_by = *lasts.ask_by;
  one.short_on = first.value_or(LocalDay::max());
  one.late = due && lasts.late;
  out.all.push_back(std::move(one));
}

std::string name_of(const Words& words, const Want& one) {
  if (!one.strength) {
    return one.length
               ? said(words, "supply.needles_length", {arg_text("length", format(*one.length))})
               : said(words, "supply.needles_unknown");
  }
  return said(words, "cover.insulin_strength",
              {arg_text("insulin", one.what), arg_strength("strength", *one.strength)});
}

/// Cartridges that hold differently much are ordered apart.
std::string sum_name(const Words& words, const Want& one) {
  if (!one.strength) return name_of(words, one);
  return said(words, "supply.insulin_label",
              {arg_text("insulin", one.what), arg_strength("strength", *one.strength),
               arg_units("each", one.each)});
}

/// What the clinic itself has of it that still serves on the last day; nothing: the shelf has no
/// such item.
std::optional<std::int64_t> on_clinic_shelf(const Want& one, const Clinic& clinic, LocalDay until) {
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

json::Value person_row(const Words& words, const summary::Row& listed, const std::vector<Want>& due,
                       LocalDay today) {
  std::vector<json::Value> rows;
  bool late = false;
  for (const auto& one : due) {
    late = late || one.late || one.ask_by < today;
    rows.push_back(
        say(words, one.late ? "month.row_late" : "month.row",
            {arg_text("what", name_of(words, one)), arg_text("ask", words.day_month(one.ask_by)),
             arg_text("short", words.day_month(one.short_on)), arg_count("boxes", one.boxes)}));
  }
  auto out = json::object({{"id", json::string(listed.person)},
                           {"name", text(listed.full_name)},
                           {"born_text", text(words.day_year(listed.born))},
                           {"number", text(listed.number)},
                           {"phone_text", text(phone_text(words, listed.phone))},
                           {"by_text", text(words.day_near(due.front().ask_by, today))},
                           {"rows", list(std::move(rows))}});
  if (late) add_level(words, out, Level::caution);
  return out;
}

Wants wanted(const summary::Row& listed, const supply::ClosedDays& closed, LocalDay today,
             std::int32_t days_ahead) {
  Wants out;
  if (listed.supply.empty()) return out;
  const auto unpacked = summary::unpack_supply(listed.supply);
  if (!unpacked) {
    out.unreadable = true;
    return out;
  }
  supply::Supply supply;
  supply.rules = unpacked->rules;
  const auto until = today + days{days_ahead};
  for (const auto& house : unpacked->needed.houses) {
    if (house.is_over(today)) continue;
    auto request = supply::request_of(house, supply, closed);
    supply::for_days_from(request, today, days_ahead);
    const auto answer = cover::cover(request);
    if (!answer) continue;
    Want one;
    one.what = house.kind.insulin;
    one.strength = house.kind.strength;
    one.each = house.line.cartridge;
    want(out, answer->lines.front(), one, until, supply.rules.cartridges_per_box);
  }
  if (auto request = supply::request_of(unpacked->needed, supply, closed)) {
    supply::for_days_from(*request, today, days_ahead);
    const auto answer = cover::cover(*request);
    if (!answer || !answer->needles) return out;
    Want one;
    one.length = unpacked->needed.needles->length;
    want(out, *answer->needles, one, until, supply.rules.needles_per_box);
  }
  return out;
}

// What is added up together.
auto kind_of(const Want& want) {
  return std::tuple(std::string_view(want.what), want.strength, want.each, want.length);
}

}  // namespace

MonthNeeds month_of(const People& people, std::span<const std::shared_ptr<const Wants>> wants) {
  MonthNeeds out;
  std::map<decltype(kind_of(Want{})), MonthSum> sums;
  std::vector<std::pair<LocalDay, std::size_t>> due;
  for (std::size_t i = 0; i < people.size(); ++i) {
    if (wants[i] == nullptr) continue;
    if (wants[i]->unreadable) ++out.unreadable;
    std::optional<LocalDay> first;
    for (const auto& want : wants[i]->all) {
      auto& sum = sums[kind_of(want)];
      sum.of = want;
      sum.boxes += want.boxes;
      sum.pieces += want.pieces;
      if (want.due) first = first ? std::min(*first, want.ask_by) : want.ask_by;
    }
    if (first) due.emplace_back(*first, i);
  }
  for (auto& [kind, sum] : sums) out.sums.push_back(std::move(sum));
  out.people_due = due.size();
  const auto shown = std::min(due.size(), people_shown_max);
  std::partial_sort(due.begin(), due.begin() + static_cast<std::ptrdiff_t>(shown), due.end(),
                    [&people](const auto& a, const auto& b) {
                      if (a.first != b.first) return a.first < b.first;
                      const auto by_name =
                          people[a.second].full_name <=> people[b.second].full_name;
                      return by_name == 0 ? a.second < b.second : by_name < 0;
                    });
  for (std::size_t i = 0; i < shown; ++i) {
    MonthNeeds::Due one{due[i].second, {}};
    std::ranges::copy_if(wants[one.place]->all, std::back_inserter(one.wants), &Want::due);
    std::ranges::stable_sort(one.wants, {}, &Want::ask_by);
    out.due.push_back(std::move(one));
  }
  return out;
}

std::shared_ptr<const Wants> wants_of(const summary::Row& listed, const supply::ClosedDays& closed,
                                      LocalDay today, std::int32_t days_ahead) {
  auto out = wanted(listed, closed, today, days_ahead);
  if (out.all.empty() && !out.unreadable) return nullptr;
  return std::make_shared<const Wants>(std::move(out));
}

json::Value month_page(const People& people, const MonthNeeds& needs, const Clinic& clinic,
                       const Caller& caller, std::int32_t days_ahead) {
  const auto now = now_at(clinic, caller);
  const auto until = now.day() + days{days_ahead};
  std::map<std::string, const MonthSum*> by_name;
  for (const auto& sum : needs.sums) by_name.emplace(sum_name(caller.words, sum.of), &sum);
  std::vector<json::Value> rows;
  for (const auto& due : needs.due)
    rows.push_back(person_row(caller.words, people[due.place], due.wants, now.day()));
  std::vector<json::Value> sums;
  for (const auto& [name, sum] : by_name) {
    const auto shelf = on_clinic_shelf(sum->of, clinic, until);
    // Nobody sells three of a box of five.
    const auto missing = std::max<std::int64_t>(0, sum->pieces - shelf.value_or(0));
    const auto order =
        quotient(missing, std::int64_t{sum->of.per_box}, Rounding::up) * sum->of.per_box;
    sums.push_back(json::object({{"name", text(name)},
                                 {"boxes", text(format_fixed(sum->boxes, 0))},
                                 {"pieces", text(format_fixed(sum->pieces, 0))},
                                 {"shelf", text(shelf ? format_fixed(*shelf, 0) : "")},
                                 {"order", text(shelf ? format_fixed(order, 0) : "")}}));
  }
  const auto shown = std::ssize(rows);
  const auto due = static_cast<std::int64_t>(needs.people_due);
  return json::object(
      {{"title", text(said(caller.words, "month.title",
                           {arg_text("from", caller.words.day_month(now.day())),
                            arg_text("until", caller.words.day_year(until))}))},
       {"lead", say(caller.words, due == 0 ? "month.lead_none" : "month.lead",
                    {arg_count("people", due), arg_count("all", std::ssize(people)),
                     arg_count("days", days_ahead)})},
       {"days", json::count(days_ahead)},
       {"people", list(std::move(rows))},
       {"more",
        text(due > shown ? said(caller.words, "month.more", {arg_count("count", due - shown)})
                         : "")},
       {"sums", list(std::move(sums))},
       {"note", text(said(caller.words, "month.note", {arg_count("days", days_ahead)}))},
       {"unreadable",
        text(needs.unreadable == 0
                 ? ""
                 : said(caller.words, "month.unreadable",
                        {arg_count("count", static_cast<std::int64_t>(needs.unreadable))}))},
       {"printed_text",
        text(said(caller.words, "month.printed", {arg_text("when", caller.words.moment(now))}))}});
}

}  // namespace penstock::pages
