// How a watch is said, drawn and acted on.
#include "edge/pages/kit/watches.hpp"

#include <algorithm>

#include "edge/drawing/kit/kit.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/drawing/supplies/supplies.hpp"
namespace penstock::pages {
namespace {

using std::chrono::days;

// More than a fortnight's needles are no news.
constexpr int needles_drawn_max = 40;

LocalDay day_of(std::int64_t since_epoch) { return LocalDay{days{static_cast<int>(since_epoch)}}; }
Units units_of(std::int64_t hundredths) {
  return Units::from_hundredths(hundredths).value_or(Units::zero());
}
int day_count(LocalDay from, LocalDay to) { return static_cast<int>((to - from).count()); }

std::vector<Arg> args_of(const Words& words, const watch::Watch& watch, std::string_view name,
                         const When& now) {
  std::vector<Arg> args{
      arg_text("name", name),
      arg_text("insulin", watch.insulin),
      arg_strength("strength", watch.strength),
      arg_code("purpose", "dose/" + std::string(names_of(
                                        watch.purpose)[static_cast<std::size_t>(watch.purpose)])),
      arg_code("word", watch.word),
      arg_text("text", watch.word),
      arg_instant("due", watch.due),
      arg_text("due_day", words.day_month(watch.due.day())),
      arg_text("since_day", words.day_month(watch.shows_from.day()))};
  switch (watch.what) {
    case watch::What::past_in_use:
    case watch::What::in_use_ends:
      args.push_back(arg_count("limit", watch.first));
      args.push_back(arg_count("days", day_count(day_of(watch.second), now.day())));
      args.push_back(arg_text("last", words.day_month(day_of(watch.third))));
      break;
    case watch::What::cartridge_unfit:
      args.push_back(arg_celsius("reached", {static_cast<std::int32_t>(watch.first)}));
      args.push_back(arg_celsius("most", {static_cast<std::int32_t>(watch.second)}));
      break;
    case watch::What::scale_disagrees:
      args.push_back(arg_units("ledger", units_of(watch.first)));
      args.push_back(arg_units("counted", units_of(watch.second)));
      break;
    case watch::What::part_owed:
    case watch::What::outcome_unknown:
      args.push_back(arg_units("rest", units_of(watch.first)));
      args.push_back(arg_units("meant", units_of(watch.second)));
      break;
    case watch::What::order_ends:
    case watch::What::order_ended:
      args.push_back(arg_text("last", words.day_month(day_of(watch.first))));
      break;
    case watch::What::leaving_hardened:
      args.push_back(arg_count("day", watch.first));
      args.push_back(arg_count("days", watch.second));
      args.push_back(arg_code("place", watch.word));
      break;
    case watch::What::ask_for_more:
    case watch::What::not_come:
    case watch::What::needles_short:
      args.push_back(arg_text("short_day", words.day_month(day_of(watch.first))));
      args.push_back(arg_text("asked_day", words.day_month(day_of(watch.second))));
      args.push_back(arg_count("left", watch.second));
      args.push_back(arg_text("length", format(TenthsMm{static_cast<std::int32_t>(watch.third)})));
      break;
    case watch::What::accounts_differ:
      args.push_back(arg_text("units", format_fixed(watch.first, 0)));
      break;
    case watch::What::sharps_full:
    case watch::What::supplies_differ:
      args.push_back(arg_count("account", watch.first));
      args.push_back(arg_count("counted", watch.second));
      break;
    default:
      break;
  }
  return args;
}

std::string key_of(const watch::Watch& watch) {
  auto key = "watch." + word_of(watch.what);
  if (watch.what == watch::What::cartridge_unfit) key += watch.word.substr(watch.word.find('.'));
  if (watch.what == watch::What::question_open && watch.first == 1) key += ".all";
  if (watch.what == watch::What::needles_short && watch.third > 0) key += ".length";
  if (watch.what == watch::What::supplies_differ && watch.insulin.empty()) key += ".needles";
  return key;
}

}  // namespace

Rich sentence_of(const Words& words, const watch::Watch& watch, std::string_view name,
                 const When& now) {
  return words.sentence(key_of(watch), args_of(words, watch, name, now));
}

std::string picture_of(const watch::Watch& watch, const When& now) {
  const auto alt = std::string_view{};  // the sentence stands beside it
  switch (watch.what) {
    case watch::What::past_in_use:
    case watch::What::in_use_ends:
      return drawing::days_open(std::max(0, day_count(day_of(watch.second), now.day())),
                                static_cast<int>(watch.first), alt);
    case watch::What::cartridge_unfit:
      if (watch.word == "fitness.too_hot") {
        return drawing::warmth({static_cast<std::int32_t>(watch.third)},
                               {static_cast<std::int32_t>(watch.second)},
                               {static_cast<std::int32_t>(watch.first)}, alt);
      }
      return drawing::days_open(0, 1, alt);
    case watch::What::question_open:
    case watch::What::outcome_unknown:
      return drawing::question_open(mark_of(watch),
                                    std::max(0, day_count(watch.shows_from.day(), now.day())), alt);
    case watch::What::part_owed: {
      const auto whole = std::max<std::int64_t>(1, watch.second);
      return drawing::ticks(static_cast<int>((whole - watch.first) * 10 / whole), 10, alt);
    }
    case watch::What::second_check:
    case watch::What::signature_owed:
      return drawing::second_check_missing(alt);
    case watch::What::runs_short:
      return drawing::stock(std::max(0, day_count(now.day(), watch.due.day())), 14, std::nullopt,
                            alt);
    case watch::What::ask_for_more:
      return drawing::stock(std::max(0, day_count(now.day(), day_of(watch.first))), 14,
                            std::max(0, day_count(now.day(), watch.due.day())), alt);
    case watch::What::not_come:
      return drawing::stock(std::max(0, day_count(now.day(), day_of(watch.first))), 14,
                            std::nullopt, alt);
    case watch::What::needles_short:
      return drawing::needles(
          static_cast<int>(std::min<std::int64_t>(watch.second, needles_drawn_max)),
          needles_drawn_max, alt);
    case watch::What::nothing_sealed:
    case watch::What::accounts_differ:
      return drawing::ticks(0, 1, alt);
    case watch::What::sharps_full:
      return drawing::ticks(static_cast<int>(std::min<std::int64_t>(
                                10, watch.first * 10 / std::max<std::int64_t>(1, watch.second))),
                            10, alt);
    case watch::What::supplies_differ:
      return drawing::ticks(
          static_cast<int>(std::min(watch.first, watch.second)),
          static_cast<int>(std::max<std::int64_t>(1, std::max(watch.first, watch.second))), alt);
    case watch::What::none_loaded:
      return drawing::stock(0, 7, 0, alt);
    case watch::What::order_ends:
    case watch::What::order_ended:
      return drawing::order_ending(day_count(now.day(), day_of(watch.first)), alt);
    case watch::What::scale_disagrees:
      return drawing::scale_disagrees(units_of(std::max<std::int64_t>(watch.third, 100)),
                                      units_of(watch.first), units_of(watch.second), alt);
    case watch::What::leaving_hardened:
      return drawing::ticks(static_cast<int>(watch.first), static_cast<int>(watch.second), alt);
    case watch::What::window_unknown:
    case watch::What::needle_left_on:
      return drawing::ticks(0, 1, alt);
  }
  return {};
}

WatchAction action_of(const Words& words, const watch::Watch& watch, Id person,
                      std::string_view name) {
  const auto label = said(words, "watch_act." + word_of(watch.what),
                          {arg_text("name", name.substr(0, name.find(' ')))});
  switch (watch.what) {
    case watch::What::question_open:
      return {label, href_of(person, "#ask")};
    case watch::What::second_check:
    case watch::What::signature_owed:
    case watch::What::order_ends:
    case watch::What::order_ended:
      return {label, href_of(person, "#order")};
    case watch::What::part_owed:
    case watch::What::outcome_unknown:
      return {label, href_of(person)};
    case watch::What::leaving_hardened:
      return {label, href_of(person, "/skin")};
    case watch::What::runs_short:
    case watch::What::nothing_sealed:
    case watch::What::ask_for_more:
    case watch::What::not_come:
    case watch::What::needles_short:
    case watch::What::sharps_full:
    case watch::What::supplies_differ:
      return {label, href_of(person, "/supplies")};
    case watch::What::accounts_differ:
      return {label, href_of(person, "/supplies#accounts")};
    default:
      return {label, href_of(person, "#pens")};
  }
}

}  // namespace penstock::pages
