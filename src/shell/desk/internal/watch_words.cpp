// How a watch is said, drawn and acted on.
#include <algorithm>

#include "shell/desk/internal/watches.hpp"

namespace penstock::desk {
namespace {

using std::chrono::days;

// More than a fortnight's needles are no news.
constexpr int needles_drawn_max = 40;

LocalDay day_of(std::int64_t since_epoch) { return LocalDay{days{static_cast<int>(since_epoch)}}; }
Units units_of(std::int64_t hundredths) {
  return Units::from_hundredths(hundredths).value_or(Units::zero());
}
int day_count(LocalDay from, LocalDay to) { return static_cast<int>((to - from).count()); }

std::vector<Arg> args_of(const Watch& watch, std::string_view name, const When& now) {
  std::vector<Arg> args{
      arg_text("name", name),
      arg_text("insulin", watch.insulin),
      arg_strength("strength", watch.strength),
      arg_code("purpose", "dose/" + std::string(names_of(
                                        watch.purpose)[static_cast<std::size_t>(watch.purpose)])),
      arg_code("word", watch.word),
      arg_text("text", watch.word),
      arg_instant("due", watch.due),
      arg_text("due_day", english().day_month(watch.due.day())),
      arg_text("since_day", english().day_month(watch.shows_from.day()))};
  switch (watch.kind) {
    case WatchKind::past_in_use:
    case WatchKind::in_use_ends:
      args.push_back(arg_count("limit", watch.first));
      args.push_back(arg_count("days", day_count(day_of(watch.second), now.day())));
      args.push_back(arg_text("last", english().day_month(day_of(watch.third))));
      break;
    case WatchKind::cartridge_unfit:
      args.push_back(arg_celsius("reached", {static_cast<std::int32_t>(watch.first)}));
      args.push_back(arg_celsius("most", {static_cast<std::int32_t>(watch.second)}));
      break;
    case WatchKind::scale_disagrees:
      args.push_back(arg_units("ledger", units_of(watch.first)));
      args.push_back(arg_units("counted", units_of(watch.second)));
      break;
    case WatchKind::part_owed:
    case WatchKind::outcome_unknown:
      args.push_back(arg_units("rest", units_of(watch.first)));
      args.push_back(arg_units("meant", units_of(watch.second)));
      break;
    case WatchKind::order_ends:
    case WatchKind::order_ended:
      args.push_back(arg_text("last", english().day_month(day_of(watch.first))));
      break;
    case WatchKind::leaving_hardened:
      args.push_back(arg_count("day", watch.first));
      args.push_back(arg_count("days", watch.second));
      args.push_back(arg_code("place", watch.word));
      break;
    case WatchKind::ask_for_more:
    case WatchKind::not_come:
    case WatchKind::needles_short:
      args.push_back(arg_text("short_day", english().day_month(day_of(watch.first))));
      args.push_back(arg_text("asked_day", english().day_month(day_of(watch.second))));
      args.push_back(arg_count("left", watch.second));
      args.push_back(arg_text("length", format(TenthsMm{static_cast<std::int32_t>(watch.third)})));
      break;
    case WatchKind::accounts_differ:
      args.push_back(arg_text("units", format_fixed(watch.first, 0)));
      break;
    case WatchKind::sharps_full:
    case WatchKind::supplies_differ:
      args.push_back(arg_count("account", watch.first));
      args.push_back(arg_count("counted", watch.second));
      break;
    default:
      break;
  }
  return args;
}

std::string key_of(const Watch& watch) {
  auto key = "watch." + word_of(watch.kind);
  if (watch.kind == WatchKind::cartridge_unfit) key += watch.word.substr(watch.word.find('.'));
  if (watch.kind == WatchKind::question_open && watch.first == 1) key += ".all";
  if (watch.kind == WatchKind::needles_short && watch.third > 0) key += ".length";
  if (watch.kind == WatchKind::supplies_differ && watch.insulin.empty()) key += ".needles";
  return key;
}

}  // namespace

Rich sentence_of(const Watch& watch, std::string_view name, const When& now) {
  return english().sentence(key_of(watch), args_of(watch, name, now));
}

std::string picture_of(const Watch& watch, const When& now) {
  const auto alt = std::string_view{};  // the sentence stands beside it
  switch (watch.kind) {
    case WatchKind::past_in_use:
    case WatchKind::in_use_ends:
      return drawing::days_open(std::max(0, day_count(day_of(watch.second), now.day())),
                                static_cast<int>(watch.first), alt);
    case WatchKind::cartridge_unfit:
      if (watch.word == "fitness.too_hot") {
        return drawing::warmth({static_cast<std::int32_t>(watch.third)},
                               {static_cast<std::int32_t>(watch.second)},
                               {static_cast<std::int32_t>(watch.first)}, alt);
      }
      return drawing::days_open(0, 1, alt);
    case WatchKind::question_open:
    case WatchKind::outcome_unknown:
      return drawing::question_open(watch.mark,
                                    std::max(0, day_count(watch.shows_from.day(), now.day())), alt);
    case WatchKind::part_owed: {
      const auto whole = std::max<std::int64_t>(1, watch.second);
      return drawing::ticks(static_cast<int>((whole - watch.first) * 10 / whole), 10, alt);
    }
    case WatchKind::second_check:
    case WatchKind::signature_owed:
      return drawing::second_check_missing(alt);
    case WatchKind::runs_short:
      return drawing::stock(std::max(0, day_count(now.day(), watch.due.day())), 14, std::nullopt,
                            alt);
    case WatchKind::ask_for_more:
      return drawing::stock(std::max(0, day_count(now.day(), day_of(watch.first))), 14,
                            std::max(0, day_count(now.day(), watch.due.day())), alt);
    case WatchKind::not_come:
      return drawing::stock(std::max(0, day_count(now.day(), day_of(watch.first))), 14,
                            std::nullopt, alt);
    case WatchKind::needles_short:
      return drawing::needles(
          static_cast<int>(std::min<std::int64_t>(watch.second, needles_drawn_max)),
          needles_drawn_max, alt);
    case WatchKind::nothing_sealed:
    case WatchKind::accounts_differ:
      return drawing::ticks(0, 1, alt);
    case WatchKind::sharps_full:
      return drawing::ticks(static_cast<int>(std::min<std::int64_t>(
                                10, watch.first * 10 / std::max<std::int64_t>(1, watch.second))),
                            10, alt);
    case WatchKind::supplies_differ:
      return drawing::ticks(
          static_cast<int>(std::min(watch.first, watch.second)),
          static_cast<int>(std::max<std::int64_t>(1, std::max(watch.first, watch.second))), alt);
    case WatchKind::none_loaded:
      return drawing::stock(0, 7, 0, alt);
    case WatchKind::order_ends:
    case WatchKind::order_ended:
      return drawing::order_ending(day_count(now.day(), day_of(watch.first)), alt);
    case WatchKind::scale_disagrees:
      return drawing::scale_disagrees(units_of(std::max<std::int64_t>(watch.third, 100)),
                                      units_of(watch.first), units_of(watch.second), alt);
    case WatchKind::leaving_hardened:
      return drawing::ticks(static_cast<int>(watch.first), static_cast<int>(watch.second), alt);
    case WatchKind::window_unknown:
    case WatchKind::needle_left_on:
      return drawing::ticks(0, 1, alt);
  }
  return {};
}

WatchAction action_of(const Watch& watch, Id person, std::string_view name) {
  const auto label =
      said("watch_act." + word_of(watch.kind), {arg_text("name", name.substr(0, name.find(' ')))});
  switch (watch.kind) {
    case WatchKind::question_open:
      return {label, href_of(person, "#ask")};
    case WatchKind::second_check:
    case WatchKind::signature_owed:
    case WatchKind::order_ends:
    case WatchKind::order_ended:
      return {label, href_of(person, "#order")};
    case WatchKind::part_owed:
    case WatchKind::outcome_unknown:
      return {label, href_of(person)};
    case WatchKind::leaving_hardened:
      return {label, href_of(person, "/skin")};
    case WatchKind::runs_short:
    case WatchKind::nothing_sealed:
    case WatchKind::ask_for_more:
    case WatchKind::not_come:
    case WatchKind::needles_short:
    case WatchKind::sharps_full:
    case WatchKind::supplies_differ:
      return {label, href_of(person, "/supplies")};
    case WatchKind::accounts_differ:
      return {label, href_of(person, "/supplies#accounts")};
    default:
      return {label, href_of(person, "#pens")};
  }
}

}  // namespace penstock::desk
