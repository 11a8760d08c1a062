#include "edge/pages/supplies/cover.hpp"

#include <algorithm>

#include "edge/drawing/supplies/supplies.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using std::chrono::days;

// Five weeks fit the width of a page; further ahead nobody acts.
constexpr int days_drawn = 35;
constexpr int days_drawn_narrow = 28;

Rich& operator+=(Rich& text, const Rich& more) {
  if (more.empty()) return text;
  return text = text.empty() ? more : text + Rich{{" ", false}} + more;
}

std::string doses_text(const std::vector<Units>& doses) {
  std::string out;
  // Added up by whoever reads it: "6, 7, 8 units a day" is read as eight.
  for (const auto dose : doses) out += (out.empty() ? "" : " + ") + format(dose);
  return out.empty() ? format(Units::zero()) : out;
}

std::string day_text(const Words& words, LocalDay day) { return words.day_month(day); }

struct Writer {
  const Words& words;
  const Covered& covered;
  const Chart& person;
  const Clinic& clinic;
  const When& now;
  const NewId& new_id;

  const SupplyRulesSet& rules() const { return person.supply.rules; }
  std::string name(const supply::House& house) const {
    return insulin_name(words, covered, house.kind);
  }

  // ---- sentences

  Rich lead(const CoverOf& of) const {
    const std::vector<Arg> who{
        arg_text("insulin", capital(name(*of.house))),
        arg_text("doses", doses_text(cover::doses_on(of.house->line, now.day())))};
    if (of.error) return words.sentence("cover.refused", who) + refusal(*of.error);
    Rich out;
    const auto first = supply::may_be_short_on(*of.lasts);
    const auto likely = supply::short_on(*of.lasts);
    if (!first) {
      out = words.sentence("cover.beyond", who);
      return out += changes(*of.house);
    }
    auto args = who;
    args.push_back(arg_text("day", day_text(words, *first)));
    args.push_back(arg_text("last", day_text(words, likely.value_or(*first))));
    const bool closed = clinic.closed.is_closed(*first);
    const std::string spare = of.lasts->spare_counts ? ".spare" : "";
    if (of.without_spare && *first > now.day()) {
      args.push_back(arg_text("before", day_text(words, *of.without_spare)));
      out = words.sentence(
          *of.without_spare <= now.day() ? "cover.short_spare_now" : "cover.short_spare", args);
    } else if (likely && *likely != *first) {
      out = words.sentence("cover.may_be_short" + spare, args);
    } else {
      out = words.sentence(*first <= now.day() ? "cover.short_now"
                           : closed            ? "cover.short_closed" + spare
                                               : "cover.short" + spare,
                           args);
    }
    out += changes(*of.house);
    out += lapsed(*of.house);
    out += ask_sentence(*of.lasts, supply::awaited(person.supply, of.house->kind, now.day()));
    return out;
  }
  /// What the day that was said counts with besides today's dose.
  Rich changes(const supply::House& house) const {
    Rich out;
    for (const auto& change : house.line.changes) {
      if (change.from <= now.day()) continue;
      out += words.sentence(change.doses.empty() ? "cover.change_none" : "cover.change",
                            {arg_text("from", day_text(words, change.from)),
                             arg_text("doses", doses_text(change.doses))});
    }
    return out;
  }
  /// An order that was not renewed takes nothing; whoever is to go on needs it all the same (H38).
  Rich lapsed(const supply::House& house) const {
    const auto until = supply::ordered_until(person.order, house.kind);
    if (!until || *until >= now.day()) return {};
    return words.sentence("cover.order_over", {arg_text("last", day_text(words, *until))});
  }
  Rich refusal(const Error& error) const {
    const auto told = words.say(error);
    return Rich{{" " + told.what + " " + told.do_this, false}};
  }

  Rich ask_sentence(const cover::Lasts& lasts, const supply::Asked* asked) const {
    if (asked != nullptr) {
      return words.sentence(
          asked->said.expected ? "cover.asked_expected" : "cover.asked",
          {arg_text("day", day_text(words, asked->when.day())),
           arg_text("expected",
                    asked->said.expected ? day_text(words, *asked->said.expected) : "")});
    }
    if (!lasts.ask_by) return {};
    if (lasts.late || *lasts.ask_by < now.day()) return words.sentence("cover.ask_now");
    const auto lead_days =
        std::max(rules().lead_days, rules().late_percent > 0 ? rules().late_days : 0);
    const auto* key = *lasts.ask_by == now.day()              ? "cover.ask_today"
                      : clinic.closed == supply::ClosedDays{} ? "cover.ask"
                                                              : "cover.ask_open";
    return words.sentence(
        key, {arg_count("days", lead_days), arg_text("day", day_text(words, *lasts.ask_by))});
  }

  std::string stock_text(const supply::House& house) const {
    Units open = Units::zero();
    for (const auto& one : house.line.open) open = sum(open, one.left);
    const std::vector<Arg> args{arg_text("open", format(open)), arg_count("sealed", house.sealed),
                                arg_text("each", format(house.line.cartridge))};
    return said(words, house.line.open.empty() ? "cover.stock_sealed" : "cover.stock", args);
  }
  std::string needles_text() const {
    std::int64_t a_day = 0;
    const auto& needles = *covered.needed.needles;
    const auto day = std::max(now.day(), needles.on);
    for (const auto& of : covered.insulins) a_day += supply::injections_a_day(*of.house, day);
    return said(words, needles.length ? "cover.needles_length" : "cover.needles",
                {arg_count("count", needles.left), arg_count("day", a_day),
                 arg_text("length", needles.length ? format(*needles.length) : "")});
  }
  Rich needles_lead() const {
    const auto& lasts = *covered.needles;
    const auto first = supply::may_be_short_on(lasts);
    if (!first) return words.sentence("cover.needles_beyond");
    auto out = words.sentence("cover.needles_short", {arg_text("day", day_text(words, *first))});
    out += ask_sentence(lasts, supply::needles_awaited(person.supply, now.day()));
    if (!covered.needed.needles->length) out += words.sentence("cover.needles_choose");
    return out;
  }
  Rich sharps_lead() const {
    const auto full = supply::may_be_short_on(*covered.sharps);
    if (!full) return words.sentence("cover.sharps_beyond");
    return words.sentence(*full <= now.day() ? "cover.sharps_now" : "cover.sharps",
                          {arg_text("day", day_text(words, *full))});
  }

  // ---- the picture

  drawing::CoverRow row(std::string label, std::string stock, const cover::Lasts& lasts, bool asks,
                        const supply::Asked* asked, int days_shown) const {
    drawing::CoverRow out;
    out.label = std::move(label);
    out.stock = std::move(stock);
    double gone = 0;
    std::size_t next = 0;
    for (int i = 0; i < days_shown; ++i) {
      const auto day = now.day() + days{i};
      while (next < lasts.runs_out.size() && lasts.runs_out[next].day <= day)
        gone = lasts.runs_out[next++].chance;
      out.covered_thousandths.push_back(static_cast<int>((1.0 - gone) * 1000.0 + 0.5));
    }
    if (const auto first = supply::may_be_short_on(lasts); first && *first >= now.day())
      out.note = said(words, asks ? "cover.mark_short" : "cover.mark_full",
                      {arg_text("day", day_text(words, *first))});
    if (!asks || !lasts.ask_by || asked != nullptr) return out;
    const auto by = std::max(*lasts.ask_by, now.day());
    out.ask_day = static_cast<int>((by - now.day()).count());
    if (lasts.here_by) out.ready_day = static_cast<int>((*lasts.here_by - now.day()).count());
    out.ask_text = said(words, "cover.mark_ask", {arg_text("day", day_text(words, by))});
    return out;
  }

  std::string picture(int width_px, int days_shown) const {
    drawing::CoverPicture out;
    out.width_px = width_px;
    out.alt = said(words, "cover.alt");
    for (int i = 0; i < days_shown; ++i) {
      const auto day = now.day() + days{i};
      const bool monday = supply::weekday_of(day) == Weekday::monday;
      drawing::CoverDay one;
      one.number = format_fixed(
          static_cast<std::int64_t>(static_cast<unsigned>(std::chrono::year_month_day{day}.day())),
          0);
      one.week = i == 0   ? said(words, "cover.today", {arg_text("day", words.day_short(day))})
                 : monday ? words.day_month(day)
                          : std::string();
      one.week_begins = monday;
      one.closed = clinic.closed.is_closed(day);
      out.days.push_back(std::move(one));
    }
    for (const auto& of : covered.insulins) {
      if (!of.lasts) continue;
      out.rows.push_back(row(capital(name(*of.house)), stock_text(*of.house), *of.lasts, true,
                             supply::awaited(person.supply, of.house->kind, now.day()),
                             days_shown));
    }
    if (covered.needles) {
      out.rows.push_back(row(said(words, "cover.needles_name"), needles_text(), *covered.needles,
                             true, supply::needles_awaited(person.supply, now.day()), days_shown));
    }
    if (covered.sharps) {
      const auto* box = person.supply.box();
      out.rows.push_back(
          row(said(words, "cover.sharps_name"),
              said(words, "cover.sharps_stock",
                   {arg_count("count", box->needles), arg_count("line", box->line())}),
              *covered.sharps, false, nullptr, days_shown));
    }
    return out.rows.empty() ? std::string() : drawing::cover(out);
  }

  // ---- rows, notices, buttons

  std::vector<json::Value> rows() const {
    std::vector<json::Value> out;
    const auto add = [&](std::string_view row_name, std::string_view stock, const Rich& text_) {
      out.push_back(json::object(
          {{"name", text(row_name)}, {"stock_text", text(stock)}, {"text", rich(text_)}}));
    };
    for (const auto& of : covered.insulins)
      add(capital(name(*of.house)), stock_text(*of.house), lead(of));
    if (covered.needles) add(said(words, "cover.needles_name"), needles_text(), needles_lead());
    if (covered.sharps) {
      const auto* box = person.supply.box();
      add(said(words, "cover.sharps_name"),
          said(words, "cover.sharps_stock",
               {arg_count("count", box->needles), arg_count("line", box->line())}),
          sharps_lead());
    }
    return out;
  }

  void about_spares(const supply::House& house, std::vector<json::Value>& out) const {
    const std::vector<Arg> args{arg_text("insulin", name(house)),
                                arg_count("spare", rules().spare_cartridges),
                                arg_count("count", house.no_fit)};
    if (house.no_fit > 0)
      out.push_back(notice(words, Level::caution, words.sentence("cover.no_fit", args)));
    if (house.recalled)
      out.push_back(notice(words, Level::stop, words.sentence("cover.recalled", args)));
    if (house.expired)
      out.push_back(notice(words, Level::caution, words.sentence("cover.expired", args)));
    if (house.line.open.empty() && house.sealed == 0) {
      auto none = words.sentence(house.no_fit > 0 ? "cover.none_fits" : "cover.none", args);
      none += insulin_today(
          words, interlock::Today::get_more,
          house.purpose == Purpose::background || house.purpose == Purpose::premixed, clinic);
      out.push_back(notice(words, Level::stop, none));
    } else if (house.sealed == 0) {
      out.push_back(notice(words, Level::caution, words.sentence("cover.no_spare", args)));
    } else if (house.sealed <= rules().spare_cartridges && rules().spare_cartridges > 0) {
      out.push_back(notice(words, Level::note, words.sentence("cover.only_spare", args)));
    }
    if (!house.prefilled && house.pens < 1 + rules().spare_pens)
      out.push_back(notice(words, Level::note, words.sentence("cover.no_spare_pen", args)));
    if (house.window_unknown)
      out.push_back(notice(words, Level::caution, words.sentence("cover.window_unknown", args)));
    if (house.count && !house.count->agrees()) {
      out.push_back(notice(
          words, Level::note,
          words.sentence(
              "cover.count_differs",
              {arg_text("insulin", name(house)), arg_count("account", house.count->account_left),
               arg_count("counted", house.count->counted),
               arg_text("day", day_text(words, house.count->when.day()))})));
    }
  }

  // What cover says about insulin that is there and will not be used (H12).
  void about_what_is_lost(const supply::House& house, const cover::Lasts& lasts,
                          std::vector<json::Value>& out) const {
    using namespace cover::cover_cautions;
    for (const auto code : lasts.cautions) {
      if (code != period_over && code != expired && code != ends_unused && code != too_large)
        continue;
      out.push_back(notice(words,
                           code == period_over || code == expired ? Level::caution : Level::note,
                           words.sentence(code, {arg_text("insulin", capital(name(house)))})));
    }
  }

  std::vector<json::Value> notices() const {
    std::vector<json::Value> out;
    for (const auto& of : covered.insulins) {
      about_spares(*of.house, out);
      if (of.lasts) about_what_is_lost(*of.house, *of.lasts, out);
      const auto first = of.lasts ? supply::may_be_short_on(*of.lasts) : std::nullopt;
      if (of.lasts && of.lasts->late && first &&
          of.house->sealed + std::ssize(of.house->line.open) > 0)
        out.push_back(
            notice(words, Level::caution,
                   words.sentence("cover.late", {arg_text("insulin", name(*of.house)),
                                                 arg_text("phone", clinic.names.phone)})));
    }
    for (const auto& gap : covered.needed.gaps) {
      out.push_back(notice(words, Level::note,
                           words.sentence("cover.gap." + std::string(gap_word(gap.lack)),
                                          {arg_text("insulin", gap.kind.insulin)})));
    }
    if (rules().service_per_thousand < service_plain_least) {
      out.push_back(notice(
          words, Level::caution,
          words.sentence(
              "cover.service",
              {arg_text("percent", format_fixed(rules().service_per_thousand, 1)),
               arg_text("by", rules().service_by), arg_text("reason", rules().service_reason)})));
    }
    return out;
  }
  static std::string_view gap_word(supply::Lack lack) {
    return lack == supply::Lack::no_pen     ? "no_pen"
           : lack == supply::Lack::no_doses ? "no_doses"
                                            : "no_content";
  }

  std::vector<json::Value> asks() const {
    std::vector<json::Value> out;
    const auto add = [&](json::Value asked, std::string_view label, const std::vector<Arg>& args) {
      json::add(asked, "what", text(SuppliesAsked::name));
      out.push_back(record_action(words, label, {std::move(asked)},
                                  list({fill_field(words, "of_whom", "field.of_whom", "text")}), {},
                                  args));
    };
    const auto soon = now.day() + days{days_drawn};
    for (const auto& of : covered.insulins) {
      if (!of.lasts || !of.lasts->ask_by || *of.lasts->ask_by > soon || of.lasts->boxes == 0)
        continue;
      if (supply::awaited(person.supply, of.house->kind, now.day()) != nullptr) continue;
      auto asked = json::object(
          {{"insulin", text(of.house->kind.insulin)},
           {"strength_units_per_ml", json::count(of.house->kind.strength.units_per_ml)},
           {"boxes", json::count(of.lasts->boxes)}});
      add(std::move(asked), "act.asked",
          {arg_count("boxes", of.lasts->boxes), arg_text("insulin", name(*of.house))});
    }
    if (covered.needles && covered.needles->ask_by && *covered.needles->ask_by <= soon &&
        covered.needles->boxes > 0 &&
        supply::needles_awaited(person.supply, now.day()) == nullptr) {
      add(json::object({{"needle_boxes", json::count(covered.needles->boxes)}}),
          "act.asked_needles", {arg_count("boxes", covered.needles->boxes)});
    }
    return out;
  }

  Rich note() const {
    return words.sentence(clinic.closed == supply::ClosedDays{} ? "cover.note"
                                                                : "cover.note_closed");
  }
};

}  // namespace

CoverWork::CoverWork(const Chart& person, const Clinic& clinic, LocalDay today) {
  const auto days = person.supply.rules.for_days;
  covered.needed = supply::needed(person.order, person.ledger, person.supply,
                                  person.skin.rules ? person.skin.rules->needle : std::nullopt,
                                  clinic.shelf, clinic.stock, person.zone);
  std::erase_if(covered.needed.houses,
                [&](const supply::House& house) { return house.is_over(today); });
  for (auto& house : covered.needed.houses) {
    supply::leave_out_expired(house, today);
    CoverOf of;
    of.house = &house;
    auto request = supply::request_of(house, person.supply, clinic.closed);
    supply::for_days_from(request, today, days);
    auto answer = cover::cover(request);
    if (answer) {
      of.lasts = std::move(answer->lines.front());
    } else {
      of.error = answer.error();
    }
    const auto spare = person.supply.rules.spare_cartridges;
    if (of.lasts && house.sealed > 0 && house.sealed <= spare) {
      request.lines.front().sealed.clear();
      if (const auto alone = cover::cover(request))
        of.without_spare = supply::may_be_short_on(alone->lines.front());
    }
    covered.insulins.push_back(std::move(of));
  }
  if (auto request = supply::request_of(covered.needed, person.supply, clinic.closed)) {
    supply::for_days_from(*request, today, days);
    if (auto answer = cover::cover(*request)) {
      covered.needles = std::move(answer->needles);
      covered.sharps = std::move(answer->sharps);
    }
  }
}

std::string insulin_name(const Words& words, const Covered& covered, const supply::Kind& kind) {
  const auto same = std::ranges::count_if(covered.needed.houses, [&](const supply::House& house) {
    return house.kind.insulin == kind.insulin;
  });
  return same < 2
             ? kind.insulin
             : said(words, "cover.insulin_strength",
                    {arg_text("insulin", kind.insulin), arg_strength("strength", kind.strength)});
}

json::Value cover_section(const Words& words, const Covered& covered, const Chart& person,
                          const Clinic& clinic, const When& now, const NewId& new_id) {
  const Writer write{words, covered, person, clinic, now, new_id};
  std::vector<json::Value> leads;
  for (const auto& of : covered.insulins) leads.push_back(rich(write.lead(of)));
  auto out = json::object({{"note", rich(write.note())},
                           {"lead", list(std::move(leads))},
                           {"picture", svg(write.picture(1286, days_drawn))},
                           {"picture_narrow", svg(write.picture(420, days_drawn_narrow))},
                           {"rows", list(write.rows())},
                           {"notices", list(write.notices())},
                           {"asks", list(write.asks())},
                           {"defer", text(said(words, "cover.defer"))}});
  if (covered.insulins.empty()) {
    json::add(out, "empty",
              empty(words, "cover.empty_title", "cover.empty",
                    {arg_text("name", person.person.full_name)}, ""));
  }
  return out;
}

}  // namespace penstock::pages
