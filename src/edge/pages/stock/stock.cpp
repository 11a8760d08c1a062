// The clinic's own stock: what of each lot stands on the shelf, what expires, what was recalled,
// and where it went (web/src/model.ts: StockPage).
#include "edge/pages/stock/stock.hpp"

#include <algorithm>

#include "edge/json/json.hpp"
#include "edge/pages/kit/items.hpp"
#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {
namespace {

using journal::StockWay;

constexpr std::size_t moves_shown_max = 20;

struct StockWriter {
  const Words& words;
  const Clinic& clinic;
  const People& people;
  LocalDay today;

  std::string name(std::string_view item) const { return item_name(words, clinic.shelf, item); }
  std::vector<Arg> args(const stock::Lot& lot) const {
    std::vector<Arg> out{arg_text("name", name(lot.item)),
                         arg_text("lot", lot_name(words, lot.lot)),
                         arg_count("left", lot.left),
                         arg_count("held", lot.held),
                         arg_count("there", lot.left + lot.held),
                         arg_count("unexplained", lot.unexplained)};
    if (lot.expires) out.push_back(arg_text("day", words.day_year(*lot.expires)));
    if (lot.count) {
      out.push_back(arg_count("counted", lot.count->counted));
      out.push_back(arg_count("account", lot.count->account_left));
      out.push_back(arg_text("when", words.day_month(lot.count->when.day())));
    }
    return out;
  }
};

/// What is to be said about a lot that still stands there; the gravest first. What was recalled is
/// kept for whoever fetches it: of its day and of what came back nothing else is said (H58).
struct Remark {
  Level level = Level::note;
  std::string_view row;     ///< in the row of the lot
  std::string_view notice;  ///< over the list
};
std::vector<Remark> remarks(const stock::Lot& lot, LocalDay today) {
  std::vector<Remark> out;
  const bool there = lot.left > 0 || lot.held > 0;
  if (lot.recalled)
    out.push_back({there ? Level::stop : Level::note, "stock.row_recalled",
                   there ? "stock.notice_recalled" : ""});
  if (!lot.recalled && there && !lot.serves(today))
    out.push_back({Level::stop, "stock.row_expired", "stock.notice_expired"});
  if (!lot.recalled && lot.held > 0)
    out.push_back({Level::caution, "stock.row_held", "stock.notice_held"});
  if (lot.count && !lot.count->agrees())
    out.push_back({Level::caution, "stock.row_count", "stock.notice_count"});
  if (lot.unexplained > 0)
    out.push_back({Level::caution, "stock.row_unexplained", "stock.notice_unexplained"});
  if (lot.expiry_differs)
    out.push_back({Level::caution, "stock.row_expiry_differs", "stock.notice_expiry_differs"});
  if (!lot.recalled && lot.left > 0 && lot.expires && lot.serves(today) &&
      *lot.expires < today + std::chrono::days{stock::soon_days})
    out.push_back({Level::note, "stock.row_soon", "stock.notice_soon"});
  return out;
}

json::Value lot_row(const StockWriter& write, const stock::Lot& lot, bool is_first) {
  auto out = json::object(
      {{"lot", text(lot.lot)},
       {"lot_text", text(lot.lot.empty() ? said(write.words, "stock.lot_none") : lot.lot)},
       {"expires_text",
        text(lot.expires ? write.words.day_year(*lot.expires) : said(write.words, "stock.no_day"))},
       {"left_text", text(format_fixed(lot.left, 0))},
       {"held_text", text(lot.held == 0 ? "" : format_fixed(lot.held, 0))},
       {"count_text", text(lot.count ? said(write.words, "stock.count", write.args(lot)) : "")}});
  std::string state;
  const auto found = remarks(lot, write.today);
  for (const auto& remark : found)
    state += (state.empty() ? "" : ", ") + said(write.words, remark.row, write.args(lot));
  if (is_first) state += (state.empty() ? "" : ", ") + said(write.words, "stock.row_first");
  json::add(out, "state", text(state));
  if (!found.empty())
    add_level(write.words, out, std::ranges::max(found, {}, &Remark::level).level);
  return out;
}

/// Lots of which nothing is there and nothing is to be said stand in the record only.
bool is_shown(const stock::Lot& lot, LocalDay today) {
  return lot.left > 0 || lot.held > 0 || !remarks(lot, today).empty();
}

json::Value items(const StockWriter& write) {
  std::vector<json::Value> out, lots;
  const auto& all = write.clinic.stock.lots;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto& lot = all[i];
    const auto* first = stock::first_out(write.clinic.stock, lot.item, write.today);
    if (is_shown(lot, write.today)) lots.push_back(lot_row(write, lot, first == &lot));
    if (i + 1 < all.size() && all[i + 1].item == lot.item) continue;
    if (lots.empty()) continue;
    out.push_back(json::object(
        {{"item", text(lot.item)},
         {"name", text(capital(write.name(lot.item)))},
         {"total",
          say(write.words, "stock.total",
              {arg_count("pieces", stock::on_shelf(write.clinic.stock, lot.item, write.today))})},
         {"lots", list(std::move(lots))}}));
    lots = {};
  }
  return list(std::move(out));
}

json::Value notices(const StockWriter& write) {
  std::vector<std::pair<Level, json::Value>> found;
  for (const auto& lot : write.clinic.stock.lots) {
    for (const auto& remark : remarks(lot, write.today)) {
      if (remark.notice.empty()) continue;
      found.emplace_back(
          remark.level,
          notice(write.words, remark.level, write.words.sentence(remark.notice, write.args(lot))));
    }
  }
  std::ranges::stable_sort(found, std::ranges::greater{},
                           [](const auto& one) { return one.first; });
  std::vector<json::Value> out;
  for (auto& [level, value] : found) out.push_back(std::move(value));
  return list(std::move(out));
}

json::Value moves(const StockWriter& write) {
  constexpr std::array<std::string_view, 4> keys{"stock.move_out", "stock.move_back",
                                                 "stock.move_destroyed", "stock.move_lost"};
  std::vector<json::Value> out;
  const auto& all = write.clinic.stock.moves;
  for (auto move = all.rbegin(); move != all.rend() && out.size() < moves_shown_max; ++move) {
    const auto& lot = write.clinic.stock.lots[move->lot];
    auto row = json::object(
        {{"when_text", text(write.words.day_year(move->when.day()))},
         {"text", say(write.words,
                      move->way ? keys[static_cast<std::size_t>(*move->way)] : "stock.move_came",
                      {arg_count("pieces", move->pieces), arg_text("name", write.name(lot.item)),
                       arg_text("lot", lot_name(write.words, lot.lot))})}});
    if (move->person) {
      const auto* who = write.people.find(*move->person);
      if (who != nullptr)
        json::add(
            row, "person",
            json::object({{"id", json::string(who->person)}, {"name", text(who->full_name)}}));
    }
    json::add(
        row, "take_back",
        record_action(write.words, move->person ? "act.take_back_both" : "act.take_back",
                      {json::object({{"what", text(journal::Correction::name)},
                                     {"target", json::string(move->fact)}})},
                      list({fill_field(write.words, "reason", "field.why_taken_back", "text")})));
    out.push_back(std::move(row));
  }
  return list(std::move(out));
}

json::Value recalls(const StockWriter& write) {
  std::vector<json::Value> out;
  const auto& all = write.clinic.stock.recalls;
  for (auto recall = all.rbegin(); recall != all.rend(); ++recall) {
    std::vector<Id> replaced;
    for (const auto& call : recall->calls) {
      const auto* last = recall->call_to(call.said.person);
      if (last->said.outcome == journal::CallOutcome::replaced &&
          std::ranges::find(replaced, call.said.person) == replaced.end())
        replaced.push_back(call.said.person);
    }
    out.push_back(json::object(
        {{"lot", text(recall->said.lot)},
         {"href", text("/recall/" + recall->key)},
         {"title", text(capital(lot_name(write.words, recall->said.lot)))},
         {"text",
          say(write.words, recall->said.from_whom.empty() ? "stock.recall" : "stock.recall_from",
              {arg_text("day", write.words.day_year(recall->when.day())),
               arg_text("from", recall->said.from_whom),
               arg_text("item", recall->said.item.empty() ? said(write.words, "stock.any_item")
                                                          : write.name(recall->said.item)),
               arg_count("people", std::ssize(replaced))})}}));
  }
  return list(std::move(out));
}

json::Value closed(const Words& words, const supply::ClosedDays& days) {
  std::string weekdays, dates;
  for (const auto day : days.weekdays)
    weekdays += (weekdays.empty() ? "" : ", ") + words.name("weekday/" + word_of(day));
  for (const auto day : days.dates) dates += (dates.empty() ? "" : ", ") + words.day_year(day);
  if (weekdays.empty() && dates.empty()) return say(words, "stock.closed_none");
  if (dates.empty()) return say(words, "stock.closed_weekdays", {arg_text("weekdays", weekdays)});
  if (weekdays.empty()) return say(words, "stock.closed_dates", {arg_text("dates", dates)});
  return say(words, "stock.closed_both",
             {arg_text("weekdays", weekdays), arg_text("dates", dates)});
}

json::Value forms(const StockWriter& write) {
  std::vector<json::Value> items, weekdays, dates;
  for (const auto& code : stock_items(write.clinic.shelf))
    items.push_back(choice(code, capital(write.name(code))));
  for (const auto day : write.clinic.closed.weekdays) weekdays.push_back(text(word_of(day)));
  for (const auto day : write.clinic.closed.dates) dates.push_back(json::string(day));
  return json::object({{"items", list(std::move(items))},
                       {"weekdays", choices_of<journal::Weekday>(write.words, "weekday/")},
                       {"closed", json::object({{"weekdays", list(std::move(weekdays))},
                                                {"dates", list(std::move(dates))}})},
                       {"zone", text(write.clinic.zone.name)}});
}

}  // namespace

json::Value stock_page(const People& people, const Clinic& clinic, const Caller& caller) {
  const auto now = now_at(clinic, caller);
  const StockWriter write{caller.words, clinic, people, now.day()};
  auto out = json::object(
      {{"version", json::count(static_cast<std::int64_t>(clinic.version))},
       {"lead", say(caller.words, clinic.stock.lots.empty() ? "stock.lead_none" : "stock.lead")},
       {"notices", notices(write)},
       {"items", items(write)},
       {"moves", moves(write)},
       {"recalls", recalls(write)},
       {"closed", closed(caller.words, clinic.closed)},
       {"forms", forms(write)},
       {"printed_text",
        text(said(caller.words, "stock.printed", {arg_text("when", caller.words.moment(now))}))}});
  if (clinic.stock.lots.empty()) {
    json::add(out, "empty",
              empty(caller.words, "stock.empty", "stock.empty_text", {}, "", "stock.empty_action",
                    "/stock/delivery"));
  }
  return out;
}

}  // namespace penstock::pages
