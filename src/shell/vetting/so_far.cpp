#include "shell/vetting/so_far.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <string>
#include <unordered_map>

#include "core/watch/watch.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/wire/fact_codec.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::vetting {

using namespace journal;

void put_behind(std::vector<Fact>& facts, std::span<const Fact> there) {
  using Moment = std::pair<Instant, std::string_view>;
  std::unordered_map<Id, Fact*, IdHash> by_id;
  std::map<Moment, std::uint32_t> behind;
  for (auto& fact : facts) {
    by_id.emplace(fact.id, &fact);
    behind.emplace(Moment{fact.happened.at, fact.source}, 0);
  }
  for (const auto& one : there) {
    if (const auto found = by_id.find(one.id); found != by_id.end()) {
      found->second->sequence = one.sequence;
      by_id.erase(found);
      continue;
    }
    const auto moment = behind.find({one.happened.at, one.source});
    if (moment != behind.end()) moment->second = std::max(moment->second, one.sequence + 1);
  }
  for (const auto& [moment, least] : behind) {
    const auto is_in = [&](const Fact& fact) {
      return by_id.contains(fact.id) && Moment{fact.happened.at, fact.source} == moment;
    };
    const bool too_early = std::ranges::any_of(
        facts, [&](const Fact& fact) { return is_in(fact) && fact.sequence < least; });
    for (auto& fact : facts)
      if (too_early && is_in(fact)) fact.sequence += least;
  }
}

Result<std::optional<Error>> clock_set_back(store::ReadTx& tx, std::span<const Fact> there,
                                            const ZoneRules& zone, Instant now) {
  const auto anybody = store::last_recorded(tx);
  if (!anybody) return anybody.error();
  const auto last = journal::recorded_later(there, *anybody, now);
  if (!last) return std::optional<Error>{};
  return std::optional(
      Error{Kind::refused,
            std::string(codes::ask_clock_back),
            {arg_instant("last", zone.when(*last)), arg_instant("now", zone.when(now))},
            ""});
}

Result<void> clock_said_right(store::WriteTx& tx, bool confirmed, Instant now) {
  return confirmed ? store::clock_is_right(tx, now) : Result<void>{};
}

json::Value ask_document(const words::Catalogue& words, const std::vector<Error>& questions) {
  std::string what, do_this;
  for (const auto& question : questions) {
    const auto said = words.say(question);
    what += (what.empty() ? "" : " ") + said.what;
    do_this += (do_this.empty() ? "" : " ") + said.do_this;
  }
  return json::object({{"ask", json::object({{"code", pages::text(questions.front().code)},
                                             {"what", pages::text(what)},
                                             {"do_this", pages::text(do_this)}})}});
}

Result<json::Value> ask_before(store::Store& store, std::vector<Error> questions,
                               std::span<const Fact> there, const ZoneRules& zone,
                               const Caller& caller) {
  const auto looked = store.read([&](store::ReadTx& tx) -> Result<void> {
    auto behind = clock_set_back(tx, there, zone, caller.now);
    if (!behind) return behind.error();
    if (*behind) questions.insert(questions.begin(), **std::move(behind));
    return {};
  });
  if (!looked) return looked.error();
  return ask_document(caller.words, questions);
}

Result<void> zone_serves(const charts::ZoneOf& zone, std::string_view name) {
  if (!stands_for_a_place(name))
    return Error{
        Kind::invalid_input, std::string(codes::zone_no_place), {arg_text("text", name)}, ""};
  const auto rules = zone(name);
  return rules ? Result<void>{} : Result<void>(rules.error());
}

std::optional<Error> zone_gone(const charts::ZoneOf& zone, std::span<const Fact> facts,
                               const Fact& fact) {
  const auto name = std::visit(
      []<class P>(const P& said) -> std::string_view {
        if constexpr (requires { std::string_view(said.zone); }) return said.zone;
        return {};
      },
      said_by(fact));
  if (name.empty()) return std::nullopt;
  const auto serves = zone_serves(zone, name);
  if (serves) return std::nullopt;
  const bool corrects = std::holds_alternative<Correction>(fact.payload);
  return located(serves.error(), "/facts/" + std::to_string(&fact - facts.data()) +
                                     (corrects ? "/replacement" : "") + "/zone");
}

Result<ChartPtr> SoFar::chart() {
  if (pending_.empty()) return chart_;
  auto all = chart_->facts;
  std::ranges::move(pending_, std::back_inserter(all));
  pending_.clear();
  auto fresh = charts::fold(zone_, chart_->journal, chart_->version, chart_->head,
                            {std::move(all), chart_->erased});
  if (!fresh) return fresh.error();
  chart_ = *std::move(fresh);
  return chart_;
}

Result<ChartPtr> chart_before(const charts::ZoneOf& zone, charts::Charts& charts, store::ReadTx& tx,
                              Id journal) {
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  if (info->has_value() && (*info)->version > 0) return charts.get(zone, tx, journal);
  return charts::fold(zone, journal, 0, {}, {});
}

namespace {

Fact opened(const Chart& asked, const Fact& cause, const NewId& new_id, const Caller& caller,
            QuestionOpened question) {
  const auto now = asked.zone.when(caller.now);
  Fact fact;
  fact.id = new_id();
  fact.journal = asked.journal;
  fact.recorded = now.at;
  fact.happened = now;
  fact.sequence = cause.sequence + 1;
  fact.author = cause.author;
  fact.told_by = cause.told_by;
  fact.source = cause.source;
  fact.payload = std::move(question);
  return fact;
}

std::string lows_question(const words::Catalogue& words, const Chart& person,
                          const watch::LowsAsk& ask) {
  std::vector<Arg> args{
      arg_text("name", person.person.full_name), arg_text("when", words.moment(ask.when)),
      arg_count("count", low::several_lows), arg_count("days", low::several_within.count()),
      arg_glucose("limit", low::level_2_limit)};
  if (ask.said.value) args.push_back(arg_glucose("value", *ask.said.value));
  switch (ask.why) {
    case low::Serious::helped:
      if (ask.is_told) return words.text("lows.question.told_drowsy", args);
      return words.text(ask.said.value ? "lows.question.helped" : "lows.question.helped_no_value",
                        args);
    case low::Serious::level_2:
      return words.text(
          ask.said.value ? "lows.question.level_two" : "lows.question.level_two_meter", args);
    case low::Serious::several:
      break;
  }
  return words.text("lows.question.several", args);
}

std::vector<Fact> questions_after_lows(const Chart& before, const Chart& after, const Fact& cause,
                                       const NewId& new_id, const Caller& caller) {
  std::vector<Fact> out;
  for (const auto& ask : watch::lows_asks(before, after, caller.now)) {
    auto fact = opened(after, cause, new_id, caller,
                       {.line = ask.line,
                        .reason = QuestionReason::lows,
                        .text = lows_question(caller.words, after, ask),
                        .answer_by = {}});
    fact.sequence += static_cast<std::uint32_t>(out.size());
    out.push_back(std::move(fact));
  }
  return out;
}

}  // namespace

Fact exposure_question(const Chart& asked, const Chart& owner, const ledger::Pen& pen,
                       const std::string& with, const Fact& cause, const NewId& new_id,
                       const Caller& caller) {
  return opened(asked, cause, new_id, caller,
                {.line = {},
                 .reason = QuestionReason::shared_pen,
                 .text = caller.words.text(
                     "pen.exposure_question",
                     {arg_text("name", owner.person.full_name), arg_text("insulin", pen.insulin),
                      arg_text("pen", pen.copy.name), arg_text("with", with)}),
                 .answer_by = {}});
}

Result<void> ask_after_lows(const charts::ZoneOf& zone, const ChartPtr& before,
                            std::vector<Fact>& entering, const NewId& new_id,
                            const Caller& caller) {
  SoFar so_far(zone, before);
  for (const auto& fact : entering) so_far.take(fact);
  const auto after = so_far.chart();
  if (!after) return after.error();
  auto asked = questions_after_lows(*before, **after, entering.back(), new_id, caller);
  std::ranges::move(asked, std::back_inserter(entering));
  return {};
}

std::vector<Fact> questions_opened_by(const Chart& before, const Chart& after, const Fact& cause,
                                      const NewId& new_id, const Caller& caller) {
  std::vector<Fact> out;
  const auto& words = caller.words;
  const auto add = [&](Fact fact) {
    fact.sequence = cause.sequence + 1 + static_cast<std::uint32_t>(out.size());
    out.push_back(std::move(fact));
  };
  const auto open = [&](QuestionOpened question) {
    add(opened(after, cause, new_id, caller, std::move(question)));
  };
  for (const auto& ask : watch::hardened_asks(before, after)) {
    open({.line = ask.line,
          .reason = QuestionReason::hardened_tissue,
          .text = words.text("site.hardened_question",
                             {arg_text("name", after.person.full_name),
                              arg_text("place", words.name(pages::word_of(ask.zone))),
                              arg_count("least", watch::hardened_cut_percent_least),
                              arg_count("most", watch::hardened_cut_percent_most),
                              arg_text("source", watch::hardened_cut_source)}),
          .answer_by = {}});
  }
  for (auto& fact : questions_after_lows(before, after, cause, new_id, caller))
    add(std::move(fact));
  for (const auto* pen : watch::exposures(before, after)) {
    // Of a pen of somebody else's its own page asks, and this one in its words.
    if (pen->is_given())
      add(exposure_question(after, after, *pen, pen->shared.back().with, cause, new_id, caller));
  }
  return out;
}

Result<bool> is_known(store::ReadTx& tx, const Fact& fact) {
  const auto place = tx.find(fact.id);
  if (!place) return place.error();
  return place->has_value();
}

store::NewFact packed(const Fact& fact) {
  store::NewFact out;
  out.fact = fact.id;
  out.type = type_of(fact.payload);
  out.type_version = version_of(fact.payload);
  out.recorded = fact.recorded;
  out.bytes = wire::encode(fact);
  return out;
}

}  // namespace penstock::vetting
