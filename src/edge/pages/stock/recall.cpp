#include "edge/pages/stock/recall.hpp"

#include <algorithm>

#include "edge/pages/kit/items.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/stock/internal/shown.hpp"
#include "edge/summary/summary.hpp"

namespace penstock::pages {
namespace {

using journal::CallOutcome;

/// A recall that names an item is about one insulin, or about needles. Of several with the same
/// number any one is enough.
bool is_about(const supply::LotAtHome& lot, const Clinic& clinic) {
  const auto names = [&](const stock::Recall& recall) {
    if (recall.said.item.empty()) return true;
    const auto kind = kind_of_item(clinic.shelf, recall.said.item);
    return kind ? lot.kind == *kind : lot.needle == recall.said.item;
  };
  bool recalled = false;
  for (const auto& recall : clinic.stock.recalls) {
    if (!lot_may_be(lot.lot, recall.key)) continue;
    if (names(recall)) return true;
    recalled = true;
  }
  return !recalled;
}

void note_call(Reached& one, const stock::Recall* recall) {
  const auto* call = recall == nullptr ? nullptr : recall->call_to(one.row->person);
  one.called = call != nullptr;
  if (call != nullptr) one.outcome = call->said.outcome;
}

struct RecallWriter {
  const Words& words;
  const Clinic& clinic;
  const stock::Recall* recall;
  std::string_view written;  ///< the lot, as it was typed
  std::string_view key;      ///< as compared

  json::Value row(const supply::LotAtHome& lot) const {
    if (lot.kind.insulin.empty()) {
      const auto name = lot.needle.empty() ? said(words, "supply.needles_unknown")
                                           : item_name(words, clinic.shelf, lot.needle);
      return say(words, "recall.needles", {arg_text("name", name), arg_count("given", lot.given)});
    }
    std::vector<Arg> args{
        arg_text("insulin", lot.kind.insulin), arg_strength("strength", lot.kind.strength),
        arg_count("given", lot.given),         arg_count("sealed", lot.sealed),
        arg_count("open", lot.open),           arg_units("left", lot.left_in_open),
        arg_count("used", lot.used),           arg_units("injected", lot.injected)};
    auto out = words.sentence(!lot.is_at_hand()    ? "recall.has_none"
                              : lot.sealed_at_most ? "recall.has_at_most"
                                                   : "recall.has",
                              args);
    if (lot.last_injected) {
      args.push_back(arg_text("from", words.day_year(*lot.first_injected)));
      args.push_back(arg_text("to", words.day_year(*lot.last_injected)));
      const auto more = words.sentence("recall.injected", args);
      out.insert(out.end(), more.begin(), more.end());
    }
    if (!key.empty() && lot.key != key && !lot.key.empty()) {
      const auto more = words.sentence("recall.perhaps", {arg_text("lot", lot.lot)});
      out.insert(out.end(), more.begin(), more.end());
    }
    return rich(out);
  }

  json::Value call_action(Id person, CallOutcome outcome, std::string_view label) const {
    return record_action(words, label,
                         {json::object({{"what", text(journal::RecallCalled::name)},
                                        {"recall", json::string(recall->said.recall)},
                                        {"person", json::string(person)},
                                        {"outcome", text(word_of(outcome))}})},
                         list({fill_field(words, "text", "field.in_words", "text")}));
  }

  json::Value person(const Reached& one) const {
    std::vector<json::Value> rows, calls, actions;
    for (const auto& lot : one.lots) rows.push_back(row(lot));
    if (recall != nullptr) {
      for (const auto& call : recall->calls) {
        if (call.said.person != one.row->person) continue;
        const auto what = words.name("call/" + word_of(call.said.outcome));
        calls.push_back(json::object(
            {{"when_text", text(words.moment(call.when))},
             {"text", text(call.said.text.empty() ? what : what + ": " + call.said.text)}}));
      }
      actions = {call_action(one.row->person, CallOutcome::not_reached, "act.call_not_reached"),
                 call_action(one.row->person, CallOutcome::reached, "act.call_reached"),
                 call_action(one.row->person, CallOutcome::replaced, "act.call_replaced")};
    }
    auto out = json::object({{"id", json::string(one.row->person)},
                             {"name", text(one.row->full_name)},
                             {"born_text", text(words.day_year(one.row->born))},
                             {"number", text(one.row->number)},
                             {"phone", text(one.row->phone)},
                             {"phone_text", text(phone_text(words, one.row->phone))},
                             {"rows", list(std::move(rows))},
                             {"state", text(one.called ? words.name("call/" + word_of(one.outcome))
                                                       : said(words, "recall.not_called"))},
                             {"calls", list(std::move(calls))},
                             {"actions", list(std::move(actions))}});
    if (one.outcome != CallOutcome::replaced)
      add_level(words, out, one.at_hand ? Level::stop : Level::note);
    return out;
  }

  json::Value people(const std::vector<Reached>& all) const {
    std::vector<json::Value> out;
    for (std::size_t i = 0; i < std::min(all.size(), people_shown_max); ++i)
      out.push_back(person(all[i]));
    return list(std::move(out));
  }

  std::string more(const std::vector<Reached>& all) const {
    if (all.size() <= people_shown_max) return "";
    return said(
        words, "month.more",
        {arg_count("count", std::ssize(all) - static_cast<std::ptrdiff_t>(people_shown_max))});
  }

  json::Value shelf(std::string_view key) const {
    std::vector<json::Value> out;
    for (const auto& one : clinic.stock.lots) {
      if (!lot_may_be(one.lot, key) || (one.left == 0 && one.held == 0)) continue;
      out.push_back(say(words, "recall.on_shelf",
                        {arg_text("name", item_name(words, clinic.shelf, one.item)),
                         arg_count("left", one.left), arg_count("held", one.held)}));
    }
    return list(std::move(out));
  }

  void add_recall(json::Value& out, const NewId& new_id) const {
    if (recall == nullptr) {
      json::add(out, "open",
                record_action(words, "act.recall_open",
                              {json::object({{"what", text(journal::RecallOpened::name)},
                                             {"recall", json::string(new_id())},
                                             {"lot", text(written)}})},
                              list({fill_field(words, "from_whom", "field.recall_from", "text")})));
      return;
    }
    const auto& said = recall->said;
    json::add(
        out, "opened",
        json::object(
            {{"id", json::string(said.recall)},
             {"text", say(words, said.from_whom.empty() ? "recall.opened" : "recall.opened_from",
                          {arg_text("day", words.day_year(recall->when.day())),
                           arg_text("from", said.from_whom)})}}));
  }
};

json::Value lead_of(const Words& words, const RecallFound& found) {
  const auto have = std::ranges::count_if(found.people, &Reached::at_hand);
  const auto done = std::ranges::count_if(
      found.people, [](const Reached& one) { return one.outcome == CallOutcome::replaced; });
  return say(words,
             !found.people.empty() ? "recall.lead"
             : found.incomplete    ? "recall.lead_incomplete"
                                   : "recall.lead_none",
             {arg_count("people", std::ssize(found.people)), arg_count("have", have),
              arg_count("replaced", done)});
}

json::Value what_to_say(const Words& words, const Clinic& clinic) {
  std::vector<json::Value> out;
  for (const auto key : {"recall.say_who", "recall.say_go_on", "recall.say_replacement",
                         "recall.say_then", "recall.say_unwell", "recall.say_keep"}) {
    out.push_back(say(
        words, key,
        {arg_text("phone", clinic.names.phone), arg_text("emergency", clinic.names.emergency)}));
  }
  return list(std::move(out));
}

json::Value cautions_of(const Words& words, const RecallFound& found) {
  std::vector<json::Value> out;
  for (const auto& lot : found.meant) {
    out.push_back(
        notice(words, Level::caution, words.sentence("recall.meant", {arg_text("lot", lot)})));
  }
  out.push_back(notice(words, Level::caution, words.sentence("recall.caution_record")));
  if (found.unreadable > 0) {
    out.push_back(
        notice(words, Level::stop,
               words.sentence("month.unreadable",
                              {arg_count("count", static_cast<std::int64_t>(found.unreadable))})));
  }
  out.push_back(notice(words, Level::note, words.sentence("recall.caution_notice")));
  return list(std::move(out));
}

Result<RecallFound> reached_by(const Clinic& clinic, std::string_view key,
                               const stock::Recall* recall, std::span<const summary::RowPtr> rows) {
  RecallFound out;
  for (const auto& row : rows) {
    const auto lots = summary::unpack_lots(row->lots);
    if (!lots) return lots.error();
    Reached one{row, {}, false, CallOutcome::not_reached, false};
    for (const auto& lot : *lots) {
      if (!lot_may_be(lot.lot, key) || !is_about(lot, clinic)) continue;
      one.at_hand = one.at_hand || lot.is_at_hand();
      if (!lot.kind.insulin.empty())
        out.kinds.emplace(lot.kind.insulin, lot.kind.strength.units_per_ml);
      one.lots.push_back(lot);
    }
    if (one.lots.empty()) continue;
    note_call(one, recall);
    out.people.push_back(std::move(one));
  }
  // Where the lot stood on the clinic's shelf, its insulin is known though nobody wrote whom it
  // reached.
  const auto add = [&](std::string_view item) {
    if (const auto kind = kind_of_item(clinic.shelf, item))
      out.kinds.emplace(kind->insulin, kind->strength.units_per_ml);
  };
  for (const auto& lot : clinic.stock.lots) {
    if (lot_may_be(lot.lot, key)) add(lot.item);
  }
  if (recall != nullptr) add(recall->said.item);
  std::ranges::sort(out.people, {}, [](const Reached& one) {
    return std::tuple{one.outcome == CallOutcome::replaced, !one.at_hand,
                      std::string_view{one.row->name_key.folded}};
  });
  return out;
}

Result<void> add_unknown(RecallFound& found, const supply::Kind& kind, const stock::Recall* recall,
                         std::span<const summary::RowPtr> rows) {
  for (const auto& row : rows) {
    const auto lots = summary::unpack_lots(row->lots);
    if (!lots) return lots.error();
    Reached one{row, {}, true, CallOutcome::not_reached, false};
    for (const auto& lot : *lots) {
      if (lot.key.empty() && lot.kind == kind) one.lots.push_back(lot);
    }
    note_call(one, recall);
    if (!one.lots.empty()) found.unknown.push_back(std::move(one));
  }
  std::ranges::sort(found.unknown, {},
                    [](const Reached& one) { return std::string_view{one.row->name_key.folded}; });
  return {};
}

// Reached by a recall, and still without a replacement.
std::int64_t waiting_of(const RecallFound& found) {
  return std::ranges::count_if(found.people, [](const Reached& one) {
    return one.at_hand && one.outcome != CallOutcome::replaced;
  });
}

}  // namespace

Result<RecallFound> find_recalled(const Clinic& clinic, std::string_view key,
                                  const stock::Recall* recall, const TaggedRows& tagged) {
  const auto rows = tagged(summary::tag_of_lot(key));
  if (!rows) return rows.error();
  auto found = reached_by(clinic, key, recall, rows->rows);
  if (!found) return found.error();
  found->unreadable = rows->unreadable;
  for (const auto& [insulin, strength] : found->kinds) {
    const supply::Kind kind{insulin, {strength}};
    const auto others = tagged(summary::tag_of_unknown_lot(kind));
    if (!others) return others.error();
    const auto added = add_unknown(*found, kind, recall, others->rows);
    if (!added) return added.error();
    found->unreadable += others->unreadable;
  }
  return found;
}

Result<std::vector<std::string>> lots_suggested(const Clinic& clinic, std::string_view key,
                                                const TaggedRows& tagged) {
  std::vector<std::string> out;
  for (const auto& meant : stock::lots_meant(key)) {
    const auto on_shelf = std::ranges::find(clinic.stock.lots, meant, &stock::Lot::key);
    if (on_shelf != clinic.stock.lots.end()) {
      out.push_back(on_shelf->lot);
      continue;
    }
    const auto recalled = std::ranges::find(clinic.stock.recalls, meant, &stock::Recall::key);
    if (recalled != clinic.stock.recalls.end()) {
      out.push_back(recalled->said.lot);
      continue;
    }
    const auto rows = tagged(summary::tag_of_lot(meant));
    if (!rows) return rows.error();
    for (const auto& row : rows->rows) {
      const auto lots = summary::unpack_lots(row->lots);
      if (!lots) return lots.error();
      const auto lot = std::ranges::find(*lots, meant, &supply::LotAtHome::key);
      if (lot == lots->end()) continue;
      out.push_back(lot->lot);
      break;
    }
  }
  return out;
}

Result<std::vector<OpenRecall>> recalls_open(const Clinic& clinic, const TaggedRows& tagged) {
  std::vector<OpenRecall> out;
  std::set<std::string> seen;
  for (const auto& recall : clinic.stock.recalls) {
    if (!seen.insert(recall.key).second) continue;
    const auto* latest = clinic.stock.recall(recall.said.lot, "");
    const auto found = find_recalled(clinic, recall.key, latest, tagged);
    if (!found) return found.error();
    const auto waiting = waiting_of(*found);
    if (waiting > 0) out.push_back({recall.said.lot, recall.key, waiting});
  }
  return out;
}

namespace {

// As the carton or the record spells it, however it was typed here.
std::string spelt(const RecallFound& found, const Clinic& clinic, std::string_view key,
                  std::string_view typed) {
  const auto lot = std::ranges::find(clinic.stock.lots, key, &stock::Lot::key);
  if (lot != clinic.stock.lots.end()) return lot->lot;
  for (const auto& one : found.people) {
    const auto same = std::ranges::find(one.lots, key, &supply::LotAtHome::key);
    if (same != one.lots.end()) return same->lot;
  }
  return std::string(typed);
}

}  // namespace

json::Value recall_page(const RecallFound& found, std::string_view lot, const Clinic& clinic,
                        const Caller& caller, const NewId& new_id) {
  const auto now = now_at(clinic, caller);
  const auto* recall = clinic.stock.recall(lot, "");
  const auto key = recall != nullptr ? recall->key : lot_key(lot);
  const auto written = recall != nullptr ? recall->said.lot : spelt(found, clinic, key, lot);
  const RecallWriter write{caller.words, clinic, recall, written, key};
  auto out = json::object(
      {{"version", json::count(static_cast<std::int64_t>(clinic.version))},
       {"title", text(said(caller.words, "recall.title", {arg_text("lot", written)}))},
       {"lot", text(written)},
       {"printed_text",
        text(said(caller.words, "recall.printed", {arg_text("when", caller.words.moment(now))}))},
       {"first", say(caller.words, "recall.first")},
       {"lead", lead_of(caller.words, found)}});
  write.add_recall(out, new_id);
  json::add(out, "say", what_to_say(caller.words, clinic));
  json::add(out, "people", write.people(found.people));
  json::add(out, "more", text(write.more(found.people)));
  json::add(
      out, "unknown",
      json::object({{"lead", say(caller.words,
                                 found.unknown.empty() ? "recall.unknown_none" : "recall.unknown",
                                 {arg_count("people", std::ssize(found.unknown))})},
                    {"people", write.people(found.unknown)},
                    {"more", text(write.more(found.unknown))}}));
  json::add(out, "shelf", write.shelf(key));
  json::add(out, "cautions", cautions_of(caller.words, found));
  return out;
}

}  // namespace penstock::pages
