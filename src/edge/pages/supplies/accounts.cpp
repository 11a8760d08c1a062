#include "edge/pages/supplies/internal/accounts.hpp"

#include <algorithm>
#include <cmath>

#include "core/reconcile/from_journal/from_journal.hpp"
#include "core/reconcile/reconcile.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/drawing/supplies/supplies.hpp"
#include "edge/json/json.hpp"

namespace penstock::pages {
namespace {

using reconcile::Accounts;
using reconcile::Mechanism;
using reconcile::Verdict;
using std::chrono::days;

// A mechanism that is less likely than this is not worth a line (ours).
constexpr double shown_least = 0.05;
constexpr std::size_t shown_most = 5;

std::string whole(double value) { return format_fixed(std::llround(value), 0); }
/// Units to the whole unit: nobody reads a cartridge finer.
std::int64_t whole_units(std::int64_t hundredths) {
  return quotient(std::abs(hundredths), 100, Rounding::nearest);
}
std::string units_text(std::int64_t hundredths) { return format_fixed(whole_units(hundredths), 0); }

struct AccountsWriter {
  const Words& words;
  const Chart& person;
  const supply::House& house;
  std::string name;
  LocalDay from{};
  LocalDay until{};

  json::Value row(std::string_view label, const std::string& value) const {
    return json::object({{"label", text(said(words, label))}, {"value", text(value)}});
  }
  std::string units(Units amount) const { return said(words, "dose", {arg_units("dose", amount)}); }

  json::Value rows(const Accounts& accounts) const {
    std::vector<json::Value> out;
    if (accounts.dispensed.known) {
      const auto& d = accounts.dispensed;
      out.push_back(row("accounts.dispensed", format_fixed(d.used, 0)));
      out.push_back(row("accounts.opened", format_fixed(d.opened, 0)));
    }
    const auto& left = accounts.left;
    const auto& claimed = accounts.claimed;
    if (left.cartridges > 0) {
      out.push_back(row("accounts.held", units(left.held)));
      if (!left.rest_read.is_zero())
        out.push_back(row("accounts.rest_read", units(left.rest_read)));
      if (!left.rest_assumed.is_zero())
        out.push_back(row("accounts.rest_assumed", units(left.rest_assumed)));
      out.push_back(row("accounts.left", units(left.left)));
      out.push_back(row("accounts.injected", units(claimed.injected)));
      out.push_back(
          row("accounts.primed", units(sum(claimed.primed_recorded, claimed.primed_by_rule))));
      out.push_back(row("accounts.claimed", units(claimed.claimed)));
    }
    if (claimed.gaps > 0) out.push_back(row("accounts.gaps", format_fixed(claimed.gaps, 0)));
    if (claimed.alike > 0) out.push_back(row("accounts.alike", format_fixed(claimed.alike, 0)));
    if (claimed.twice > 0) out.push_back(row("accounts.twice", format_fixed(claimed.twice, 0)));
    return list(std::move(out));
  }

  Rich lead(const Accounts& accounts) const {
    std::vector<Arg> args{arg_text("insulin", capital(name)),
                          arg_text("units", units_text(accounts.left_claimed.hundredths)),
                          arg_text("low", whole(accounts.left_claimed.units.low)),
                          arg_text("high", whole(accounts.left_claimed.units.high)),
                          arg_count("missing", std::abs(accounts.dispensed.missing))};
    if (accounts.verdict == Verdict::not_known)
      return words.sentence("accounts.lead_unknown", args);
    if (accounts.verdict == Verdict::agree) return words.sentence("accounts.lead_agree", args);
    if (!accounts.left_claimed.known || accounts.left_claimed.hundredths == 0) {
      return words.sentence(
          accounts.dispensed.missing != 0 ? "accounts.lead_sealed" : "accounts.lead_diary", args);
    }
    return words.sentence(accounts.left_claimed.hundredths > 0 ? "accounts.lead_more_left"
                                                               : "accounts.lead_more_claimed",
                          args);
  }

  std::string picture(const Accounts& accounts) const {
    const auto& left = accounts.left;
    const auto& claimed = accounts.claimed;
    if (left.cartridges == 0) return {};
    const std::vector<drawing::AccountBar> bars{
        {said(words, "accounts.held"), left.left, Units::zero(),
         sum(left.rest_read, left.rest_assumed), units(left.held)},
        {said(words, "accounts.left"), left.left, Units::zero(), Units::zero(), units(left.left)},
        {said(words, "accounts.claimed"), claimed.injected,
         sum(claimed.primed_recorded, claimed.primed_by_rule), Units::zero(),
         units(claimed.claimed)}};
    const auto& difference = accounts.left_claimed;
    return drawing::accounts(bars,
                             difference.known
                                 ? said(words, "accounts.mark",
                                        {arg_count("units", whole_units(difference.hundredths)),
                                         arg_text("low", whole(difference.units.low)),
                                         arg_text("high", whole(difference.units.high))})
                                 : std::string(),
                             {});
  }

  json::Value mechanisms(const Accounts& accounts) const {
    std::vector<json::Value> out;
    if (accounts.verdict != Verdict::differ) return list();
    for (const auto& found : accounts.found) {
      if (!found.possible || found.probability < shown_least || out.size() == shown_most) continue;
      const auto word = names_of(found.which)[static_cast<std::size_t>(found.which)];
      const bool counted =
          found.which != Mechanism::diary_later && found.which != Mechanism::unknown;
      out.push_back(json::object(
          {{"text", text(capital(words.name("mechanism/" + std::string(word))))},
           {"chance_text", text(said(words, "accounts.chance",
                                     {arg_text("percent", whole(found.probability * 100.0))}))},
           {"range_text", text(counted ? said(words, "accounts.range",
                                              {arg_text("low", whole(found.count.low)),
                                               arg_text("high", whole(found.count.high)),
                                               arg_text("low_units", whole(found.units.low)),
                                               arg_text("high_units", whole(found.units.high))})
                                       : std::string())}}));
    }
    return list(std::move(out));
  }

  json::Value unknown(const Accounts& accounts) const {
    std::vector<json::Value> out;
    for (const auto code : accounts.not_known) out.push_back(say(words, code));
    return list(std::move(out));
  }

  json::Value record() const {
    auto talked =
        json::object({{"what", text(journal::DifferenceTalked::name)},
                      {"from", json::string(from)},
                      {"until", json::string(until)},
                      {"insulin", text(house.kind.insulin)},
                      {"strength_units_per_ml", json::count(house.kind.strength.units_per_ml)}});
    auto because = fill_choice(words, "because", "field.because", names_of(journal::Explained{}));
    for (auto& member : because.members) {
      if (member.key == "choices")
        member.value = choices_of<journal::Explained>(words, "explained/");
    }
    return record_action(
        words, "act.talked", {std::move(talked)},
        list({std::move(because), fill_field(words, "text", "field.talk", "text")}));
  }

  /// The last talk about this insulin, where one was.
  Rich talked() const {
    const supply::Talk* last = nullptr;
    for (const auto& talk : person.supply.talks) {
      if (supply::Kind{talk.said.insulin, talk.said.strength} == house.kind) last = &talk;
    }
    if (last == nullptr) return {};
    return words.sentence("accounts.talked",
                          {arg_text("day", words.day_year(last->when.day())),
                           arg_code("because", "explained/" + word_of(last->said.because))});
  }
};

json::Value part(const AccountsWriter& write, const Clinic& clinic) {
  const auto& house = write.house;
  auto out = json::object(
      {{"insulin", text(capital(write.name))},
       {"mark", svg(drawing::insulin_mark(mark_of(clinic.shelf, house.kind.insulin,
                                                  house.kind.strength, house.purpose)))},
       {"period_text", text(said(write.words, "accounts.period",
                                 {arg_text("from", write.words.day_month(write.from)),
                                  arg_text("until", write.words.day_month(write.until))}))}});
  const auto request =
      reconcile::request_of(write.person.history, write.person.ledger, write.person.order,
                            house.kind.insulin, house.kind.strength, write.from, write.until);
  const auto accounts = reconcile::reconcile(request);
  if (!accounts) {
    const auto told = write.words.say(accounts.error());
    json::add(out, "lead", rich({{told.what + " " + told.do_this, false}}));
    for (const auto* key : {"rows", "mechanisms", "unknown", "question"})
      json::add(out, key, list());
    json::add(out, "picture", svg(""));
    json::add(out, "caution", text(""));
    return out;
  }
  json::add(out, "lead", rich(write.lead(*accounts)));
  if (accounts->differs || accounts->diary_later) add_level(write.words, out, Level::note);
  json::add(out, "picture", svg(write.picture(*accounts)));
  json::add(out, "rows", write.rows(*accounts));
  json::add(out, "mechanisms", write.mechanisms(*accounts));
  const bool asks = accounts->differs || accounts->diary_later;
  json::add(out, "question",
            asks ? say(write.words, accounts->question.code, accounts->question.args) : list());
  auto unknown = write.unknown(*accounts);
  if (const auto talk = write.talked(); !talk.empty()) json::add(unknown, rich(talk));
  json::add(out, "unknown", std::move(unknown));
  json::add(out, "caution", text(said(write.words, "accounts.caution")));
  if (asks) json::add(out, "record", write.record());
  return out;
}

}  // namespace

json::Value accounts_of(const Words& words, const Covered& covered, const Chart& person,
                        const Clinic& clinic, const When& now) {
  std::vector<json::Value> out;
  for (const auto& house : covered.needed.houses) {
    const AccountsWriter write{words,
                               person,
                               house,
                               insulin_name(words, covered, house.kind),
                               now.day() - days{watch::accounts_days},
                               now.day()};
    out.push_back(part(write, clinic));
  }
  return list(std::move(out));
}

}  // namespace penstock::pages
