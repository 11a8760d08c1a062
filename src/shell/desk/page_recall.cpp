// A lot was called back: whom it reached, what they have of it and what was injected from it, and
// what to say to them (web/src/model.ts: RecallPage). By the tags and the summary rows: no journal
// is folded.
#include <algorithm>
#include <set>

#include "edge/json/json.hpp"
#include "shell/desk/internal/card_supply.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/stock_words.hpp"

namespace penstock::desk {
namespace {

using journal::CallOutcome;

constexpr std::size_t people_shown_max = 400;  // what one page can print; the counts are of all

struct Reached {
  Card card;
  std::vector<supply::LotAtHome> lots;  ///< of the lot that is looked for
  bool at_hand = false;
  CallOutcome outcome = CallOutcome::not_reached;
  bool called = false;
};

struct Found {
  std::vector<Reached> people;   ///< whoever has some of it first, then by name
  std::vector<Reached> unknown;  ///< have the insulin, and nobody wrote its lot
  std::set<std::pair<std::string, std::int32_t>> kinds;  ///< insulins that bear this number
  std::size_t unreadable = 0;
};

/// A recall that names an item is about one insulin, or about needles. Of several with the same
/// number any one is enough.
bool is_about(const supply::LotAtHome& lot, const ClinicState& clinic) {
  const auto names = [&](const stock::Recall& recall) {
    if (recall.said.item.empty()) return true;
    const auto kind = kind_of_item(clinic.shelf, recall.said.item);
    return kind ? lot.kind == *kind : lot.needle == recall.said.item;
  };
  bool recalled = false;
  for (const auto& recall : clinic.stock.recalls) {
    if (recall.key != lot.key) continue;
    if (names(recall)) return true;
    recalled = true;
  }
  return !recalled;
}

class Finder {
 public:
  Finder(store::ReadTx& tx, const ClinicState& clinic, std::string_view key,
         const stock::Recall* recall)
      : tx_(tx), clinic_(clinic), key_(key), recall_(recall) {}

  Result<Found> find() {
    Found out;
    const auto reached = with_tag(tag_of_lot(key_), out.unreadable);
    if (!reached) return reached.error();
    for (const auto& card : *reached) {
      const auto lots = unpack_lots(card.lots);
      if (!lots) return lots.error();
      Reached one{card, {}, false, CallOutcome::not_reached, false};
      for (const auto& lot : *lots) {
        if (lot.key != key_ || !is_about(lot, clinic_)) continue;
        one.at_hand = one.at_hand || lot.is_at_hand();
        if (!lot.kind.insulin.empty())
          out.kinds.emplace(lot.kind.insulin, lot.kind.strength.units_per_ml);
        one.lots.push_back(lot);
      }
      if (one.lots.empty()) continue;
      note_call(one);
      out.people.push_back(std::move(one));
    }
    add_kinds_of_stock(out);
    if (const auto found = find_unknown(out); !found) return found.error();
    std::ranges::sort(out.people, {}, [](const Reached& one) {
      return std::tuple{one.outcome == CallOutcome::replaced, !one.at_hand,
                        std::string_view{one.card.folded_name}};
    });
    std::ranges::sort(out.unknown, {},
                      [](const Reached& one) { return std::string_view{one.card.folded_name}; });
    return out;
  }

 private:
  Result<std::vector<Card>> with_tag(const std::string& tag, std::size_t& unreadable) {
    const auto journals = tx_.tagged(tag);
    if (!journals) return journals.error();
    std::vector<Card> out;
    for (const auto& journal : *journals) {
      const auto row = tx_.summary(journal);
      if (!row) return row.error();
      auto card = row->has_value() ? unpack(**row) : Result<Card>{Card{}};
      if (!card) {
        ++unreadable;
      } else if (!card->full_name.empty()) {
        out.push_back(*std::move(card));
      }
    }
    return out;
  }

  /// Where the lot stood on the clinic's shelf, its insulin is known though nobody wrote whom it
  /// reached.
  void add_kinds_of_stock(Found& out) {
    const auto add = [&](std::string_view item) {
      if (const auto kind = kind_of_item(clinic_.shelf, item))
        out.kinds.emplace(kind->insulin, kind->strength.units_per_ml);
    };
    for (const auto& lot : clinic_.stock.lots) {
      if (lot.key == key_) add(lot.item);
    }
    if (recall_ != nullptr) add(recall_->said.item);
  }

  Result<void> find_unknown(Found& out) {
    for (const auto& [insulin, strength] : out.kinds) {
      const supply::Kind kind{insulin, {strength}};
      const auto cards = with_tag(tag_of_unknown_lot(kind), out.unreadable);
      if (!cards) return cards.error();
      for (const auto& card : *cards) {
        const auto lots = unpack_lots(card.lots);
        if (!lots) return lots.error();
        Reached one{card, {}, true, CallOutcome::not_reached, false};
        for (const auto& lot : *lots) {
          if (lot.key.empty() && lot.kind == kind) one.lots.push_back(lot);
        }
        note_call(one);
        if (!one.lots.empty()) out.unknown.push_back(std::move(one));
      }
    }
    return {};
  }

  void note_call(Reached& one) const {
    const auto* call = recall_ == nullptr ? nullptr : recall_->call_to(one.card.person);
    one.called = call != nullptr;
    if (call != nullptr) one.outcome = call->said.outcome;
  }

  store::ReadTx& tx_;
  const ClinicState& clinic_;
  std::string_view key_;
  const stock::Recall* recall_;
};

struct RecallWriter {
  const ClinicState& clinic;
  const stock::Recall* recall;
  std::string_view written;  ///< the lot, as it was typed

  json::Value row(const supply::LotAtHome& lot) const {
    if (lot.kind.insulin.empty()) {
      const auto name =
          lot.needle.empty() ? said("supply.needles_unknown") : item_name(clinic.shelf, lot.needle);
      return say("recall.needles", {arg_text("name", name), arg_count("given", lot.given)});
    }
    std::vector<Arg> args{
        arg_text("insulin", lot.kind.insulin), arg_strength("strength", lot.kind.strength),
        arg_count("given", lot.given),         arg_count("sealed", lot.sealed),
        arg_count("open", lot.open),           arg_units("left", lot.left_in_open),
        arg_count("used", lot.used),           arg_units("injected", lot.injected)};
    auto out = english().sentence(!lot.is_at_hand()    ? "recall.has_none"
                                  : lot.sealed_at_most ? "recall.has_at_most"
                                                       : "recall.has",
                                  args);
    if (lot.last_injected) {
      args.push_back(arg_text("from", english().day_year(*lot.first_injected)));
      args.push_back(arg_text("to", english().day_year(*lot.last_injected)));
      const auto more = english().sentence("recall.injected", args);
      out.insert(out.end(), more.begin(), more.end());
    }
    return rich(out);
  }

  json::Value call_action(Id person, CallOutcome outcome, std::string_view label) const {
    return record_action(label,
                         {json::object({{"what", text(journal::RecallCalled::name)},
                                        {"recall", json::string(recall->said.recall)},
                                        {"person", json::string(person)},
                                        {"outcome", text(word_of(outcome))}})},
                         list({fill_field("text", "field.in_words", "text")}));
  }

  json::Value person(const Reached& one) const {
    std::vector<json::Value> rows, calls, actions;
    for (const auto& lot : one.lots) rows.push_back(row(lot));
    if (recall != nullptr) {
      for (const auto& call : recall->calls) {
        if (call.said.person != one.card.person) continue;
        const auto what = english().name("call/" + word_of(call.said.outcome));
        calls.push_back(json::object(
            {{"when_text", text(english().moment(call.when))},
             {"text", text(call.said.text.empty() ? what : what + ": " + call.said.text)}}));
      }
      actions = {call_action(one.card.person, CallOutcome::not_reached, "act.call_not_reached"),
                 call_action(one.card.person, CallOutcome::reached, "act.call_reached"),
                 call_action(one.card.person, CallOutcome::replaced, "act.call_replaced")};
    }
    auto out =
        json::object({{"id", json::string(one.card.person)},
                      {"name", text(one.card.full_name)},
                      {"born_text", text(english().day_year(one.card.born))},
                      {"number", text(one.card.number)},
                      {"phone", text(one.card.phone)},
                      {"rows", list(std::move(rows))},
                      {"state", text(one.called ? english().name("call/" + word_of(one.outcome))
                                                : said("recall.not_called"))},
                      {"calls", list(std::move(calls))},
                      {"actions", list(std::move(actions))}});
    if (one.outcome != CallOutcome::replaced)
      add_level(out, one.at_hand ? Level::stop : Level::note);
    return out;
  }

  json::Value people(const std::vector<Reached>& all) const {
    std::vector<json::Value> out;
    for (std::size_t i = 0; i < std::min(all.size(), people_shown_max); ++i)
      out.push_back(person(all[i]));
    return list(std::move(out));
  }

  static std::string more(const std::vector<Reached>& all) {
    if (all.size() <= people_shown_max) return "";
    return said(
        "month.more",
        {arg_count("count", std::ssize(all) - static_cast<std::ptrdiff_t>(people_shown_max))});
  }

  json::Value shelf(std::string_view key) const {
    std::vector<json::Value> out;
    for (const auto& one : clinic.stock.lots) {
      if (one.key != key || (one.left == 0 && one.held == 0)) continue;
      out.push_back(
          say("recall.on_shelf", {arg_text("name", item_name(clinic.shelf, one.item)),
                                  arg_count("left", one.left), arg_count("held", one.held)}));
    }
    return list(std::move(out));
  }

  void add_recall(json::Value& out, const std::function<Id()>& new_id) const {
    if (recall == nullptr) {
      json::add(out, "open",
                record_action("act.recall_open",
                              {json::object({{"what", text(journal::RecallOpened::name)},
                                             {"recall", json::string(new_id())},
                                             {"lot", text(written)}})},
                              list({fill_field("from_whom", "field.recall_from", "text")})));
      return;
    }
    const auto& said = recall->said;
    json::add(
        out, "opened",
        json::object({{"id", json::string(said.recall)},
                      {"text", say(said.from_whom.empty() ? "recall.opened" : "recall.opened_from",
                                   {arg_text("day", english().day_year(recall->when.day())),
                                    arg_text("from", said.from_whom)})}}));
  }
};

json::Value lead_of(const Found& found) {
  const auto have = std::ranges::count_if(found.people, &Reached::at_hand);
  const auto done = std::ranges::count_if(
      found.people, [](const Reached& one) { return one.outcome == CallOutcome::replaced; });
  return say(found.people.empty() ? "recall.lead_none" : "recall.lead",
             {arg_count("people", std::ssize(found.people)), arg_count("have", have),
              arg_count("replaced", done)});
}

json::Value what_to_say(const ClinicState& clinic) {
  std::vector<json::Value> out;
  for (const auto key : {"recall.say_who", "recall.say_go_on", "recall.say_replacement",
                         "recall.say_then", "recall.say_unwell", "recall.say_keep"}) {
    out.push_back(say(key, {arg_text("phone", clinic.names.phone),
                            arg_text("emergency", clinic.names.emergency)}));
  }
  return list(std::move(out));
}

json::Value cautions_of(const Found& found) {
  std::vector<json::Value> out;
  out.push_back(notice(Level::caution, english().sentence("recall.caution_record")));
  if (found.unreadable > 0) {
    out.push_back(notice(
        Level::stop,
        english().sentence("month.unreadable",
                           {arg_count("count", static_cast<std::int64_t>(found.unreadable))})));
  }
  out.push_back(notice(Level::note, english().sentence("recall.caution_notice")));
  return list(std::move(out));
}

/// Reached by a recall, and still without a replacement.
std::int64_t waiting_of(const Found& found) {
  return std::ranges::count_if(found.people, [](const Reached& one) {
    return one.at_hand && one.outcome != CallOutcome::replaced;
  });
}

}  // namespace

Result<std::vector<json::Value>> Desk::Inside::recalls_open() {
  const auto state = clinic();
  std::vector<json::Value> out;
  std::set<std::string> seen;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    out.clear();
    seen.clear();
    for (const auto& recall : state->stock.recalls) {
      if (!seen.insert(recall.key).second) continue;
      const auto* latest = state->stock.recall(recall.said.lot, "");
      const auto found = Finder(tx, *state, recall.key, latest).find();
      if (!found) return found.error();
      const auto waiting = waiting_of(*found);
      if (waiting == 0) continue;
      auto need = json::object();
      add_level(need, Level::stop);
      json::add(need, "by", text(""));
      json::add(
          need, "sentence",
          say("today.recall", {arg_text("lot", recall.said.lot), arg_count("people", waiting)}));
      json::add(need, "also", list());
      json::add(need, "picture", svg(""));
      json::add(need, "action",
                json::object({{"label", text(said("today.recall_action"))},
                              {"href", text("/recall/" + recall.key)},
                              {"first", json::boolean(out.empty())}}));
      out.push_back(std::move(need));
    }
    return {};
  });
  if (!read) return read.error();
  return out;
}

Result<json::Value> Desk::recall(std::string_view lot) {
  const auto key = stock::lot_key(lot);
  if (key.empty()) {
    return Error{
        Kind::invalid_input, std::string(codes::lot_unread), {arg_text("text", lot)}, "/lot"};
  }
  return in_->guarded(in_->clinic()->journal, [&]() -> Result<json::Value> {
    if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
    const auto clinic = in_->clinic();
    const auto now = in_->now_here();
    const auto* recall = clinic->stock.recall(lot, "");
    Found found;
    const auto read = in_->ports.store->read([&](store::ReadTx& tx) -> Result<void> {
      auto got = Finder(tx, *clinic, key, recall).find();
      if (!got) return got.error();
      found = *std::move(got);
      return {};
    });
    if (!read) return read.error();
    const auto written = recall != nullptr ? recall->said.lot : std::string(lot);
    const RecallWriter write{*clinic, recall, written};
    auto out = json::object(
        {{"version", json::count(static_cast<std::int64_t>(clinic->version))},
         {"title", text(said("recall.title", {arg_text("lot", written)}))},
         {"lot", text(written)},
         {"printed_text", text(said("recall.printed", {arg_text("when", english().moment(now))}))},
         {"first", say("recall.first")},
         {"lead", lead_of(found)}});
    write.add_recall(out, in_->ports.new_id);
    json::add(out, "say", what_to_say(*clinic));
    json::add(out, "people", write.people(found.people));
    json::add(out, "more", text(RecallWriter::more(found.people)));
    json::add(
        out, "unknown",
        json::object({{"lead", say(found.unknown.empty() ? "recall.unknown_none" : "recall.unknown",
                                   {arg_count("people", std::ssize(found.unknown))})},
                      {"people", write.people(found.unknown)},
                      {"more", text(RecallWriter::more(found.unknown))}}));
    json::add(out, "shelf", write.shelf(key));
    json::add(out, "cautions", cautions_of(found));
    return out;
  });
}

}  // namespace penstock::desk
