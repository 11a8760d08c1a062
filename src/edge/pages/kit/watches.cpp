// How a watch is said, drawn and acted on.
#include "edge/pages/kit/watches.hpp"

#include <algorithm>
#include <variant>

#include "core/contacts/contacts.hpp"
#include "edge/drawing/kit/kit.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/drawing/supplies/supplies.hpp"
namespace penstock::pages {
namespace {

using std::chrono::days;

// More than a fortnight's needles are no news.
constexpr int needles_drawn_max = 40;

int day_count(LocalDay from, LocalDay to) { return static_cast<int>((to - from).count()); }

// What each kind of figures adds to a sentence.
struct FigureArgs {
  const Words& words;
  const When& now;
  std::vector<Arg>& args;

  void operator()(const watch::NothingMore&) const {}
  void operator()(const watch::OutOfUse& figures) const {
    args.push_back(arg_celsius("reached", figures.reached));
    args.push_back(arg_celsius("most", figures.most));
    args.push_back(arg_text("lot", figures.lot));
  }
  void operator()(const watch::Lacking&) const {}
  void operator()(const watch::HeldBy&) const {}
  void operator()(const watch::InUse& figures) const {
    args.push_back(arg_count("limit", figures.limit_days));
    args.push_back(arg_count("days", day_count(figures.since, now.day())));
    args.push_back(arg_text("last", words.day_month(figures.last)));
  }
  void operator()(const watch::ScaleRead& figures) const {
    args.push_back(arg_units("ledger", figures.account));
    args.push_back(arg_units("counted", figures.counted));
  }
  void operator()(const watch::Owed& figures) const {
    args.push_back(arg_units("rest", figures.rest));
    args.push_back(arg_units("meant", figures.meant));
  }
  void operator()(const watch::LastDay& figures) const {
    args.push_back(arg_text("last", words.day_month(figures.day)));
  }
  void operator()(const watch::Answered& figures) const {
    args.push_back(arg_units("rest", figures.rest));
    args.push_back(arg_units("meant", figures.meant));
  }
  void operator()(const watch::Reason& figures) const {
    const auto word = names_of(figures.reason)[static_cast<std::size_t>(figures.reason)];
    args.push_back(arg_code("word", std::string(said_as(figures.reason)) + std::string(word)));
  }
  void operator()(const watch::Copied& figures) const {
    args.push_back(arg_text("text", figures.by));
  }
  void operator()(const watch::Shortage& figures) const {
    args.push_back(arg_text("short_day", words.day_month(figures.missing_from)));
    args.push_back(arg_text("asked_day", words.day_month(figures.asked_on)));
  }
  void operator()(const watch::NeedlesLeft& figures) const {
    args.push_back(arg_text("short_day", words.day_month(figures.missing_from)));
    args.push_back(arg_count("left", figures.left));
    args.push_back(arg_text("length", format(figures.length)));
  }
  void operator()(const watch::BoxFills&) const {}
  void operator()(const watch::Counted& figures) const {
    args.push_back(arg_count("account", figures.account));
    args.push_back(arg_count("counted", figures.counted));
  }
  void operator()(const watch::Difference& figures) const {
    args.push_back(arg_text("units", format_fixed(figures.whole_units, 0)));
  }
  void operator()(const watch::Contacting& figures) const {
    const auto code = [](std::string_view said, std::string_view word) {
      return std::string(said) + std::string(word);
    };
    args.push_back(arg_code(
        "meeting",
        code("meeting/", names_of(figures.meeting)[static_cast<std::size_t>(figures.meeting)])));
    args.push_back(arg_code(
        "why", code("meeting-why/", names_of(figures.why)[static_cast<std::size_t>(figures.why)])));
    args.push_back(arg_count("tries", figures.tries));
    args.push_back(arg_text("with", figures.with));
  }
  void operator()(const watch::Pricking& figures) const {
    args.push_back(arg_code("who", "pricked/" + word_of(figures.who)));
    args.push_back(arg_text("with", figures.with));
  }
  void operator()(const watch::WentIn& figures) const {
    args.push_back(arg_units("given", figures.given));
    args.push_back(arg_units("most", figures.most));
    if (!figures.of.empty())
      *std::ranges::find(args, "insulin", &Arg::name) = arg_code("insulin", figures.of);
  }
  void operator()(const watch::DayOfLeaving& figures) const {
    args.push_back(arg_count("day", figures.day));
    args.push_back(arg_count("days", figures.days));
    args.push_back(arg_code("place", zone_names[static_cast<std::size_t>(figures.zone)]));
  }
};

std::vector<Arg> args_of(const Words& words, const watch::Watch& watch, std::string_view name,
                         const When& now) {
  std::vector<Arg> args{
      arg_text("name", name),
      arg_text("insulin", watch.insulin),
      arg_strength("strength", watch.strength),
      arg_code("purpose", "dose/" + std::string(names_of(
                                        watch.purpose)[static_cast<std::size_t>(watch.purpose)])),
      arg_instant("due", watch.due),
      arg_text("due_day", words.day_month(watch.due.day())),
      arg_text("since_day", words.day_month(watch.shows_from.day()))};
  std::visit(FigureArgs{words, now, args}, watch.figures);
  return args;
}

// Of one kind several sentences: what the figures are decides.
struct KeyEnd {
  const watch::Watch& watch;
  const When& now;
  std::string operator()(const watch::OutOfUse& figures) const {
    return "." + std::string(names_of(figures.why)[static_cast<std::size_t>(figures.why)]);
  }
  std::string operator()(const watch::Lacking& figures) const {
    if (figures.why == watch::NoneGood::none) return {};
    return "." + std::string(names_of(figures.why)[static_cast<std::size_t>(figures.why)]);
  }
  std::string operator()(const watch::HeldBy& figures) const {
    if (figures.why == watch::NoNumber::other) return {};
    return "." + std::string(names_of(figures.why)[static_cast<std::size_t>(figures.why)]);
  }
  std::string operator()(const watch::Reason& figures) const {
    return !watch.holds ? ".exposure" : figures.every_dose ? ".all" : "";
  }
  std::string operator()(const watch::Shortage& figures) const {
    return figures.with_spare ? ".spare" : "";
  }
  std::string operator()(const watch::NeedlesLeft& figures) const {
    return figures.length.tenths > 0 ? ".length" : "";
  }
  std::string operator()(const watch::Counted&) const {
    return watch.insulin.empty() ? ".needles" : "";
  }
  std::string operator()(const watch::Contacting& figures) const {
    const bool others = figures.tries >= contacts::tries_before_others;
    return others && watch.what != watch::What::not_reached ? ".others" : "";
  }
  // The clinic's own people have occupational health; a needle of one's own is an exposure only
  // where somebody else used it.
  std::string operator()(const watch::Pricking& figures) const {
    if (!figures.with.empty()) return ".with";
    return figures.who == journal::Pricked::staff    ? ".staff"
           : figures.who == journal::Pricked::person ? ".own"
                                                     : "";
  }
  std::string operator()(const watch::WentIn&) const {
    return watch.shows_from.at > watch.due.at ? ".unanswered" : "";
  }
  std::string operator()(const watch::Answered& figures) const {
    if (!figures.rest.is_zero()) return ".rest";
    return figures.was == journal::DoseWas::not_taken ? ".missed" : ".not_known";
  }
  // "Will run out" of a day that is here or over is no sentence.
  std::string operator()(const watch::NothingMore&) const {
    if (watch.what != watch::What::runs_short || watch.due.day() > now.day()) return {};
    return watch.due.day() == now.day() ? ".today" : ".past";
  }
  template <class Other>
  std::string operator()(const Other&) const {
    return {};
  }
};

}  // namespace

Rich sentence_of(const Words& words, const watch::Watch& watch, std::string_view name,
                 const When& now) {
  return words.sentence(
      "watch." + word_of(watch.what) + std::visit(KeyEnd{watch, now}, watch.figures),
      args_of(words, watch, name, now));
}

Rich short_of(const Words& words, const watch::Watch& watch, const When& now) {
  const auto kind = "watch_short." + word_of(watch.what);
  const auto exact = kind + std::visit(KeyEnd{watch, now}, watch.figures);
  return words.sentence(words.has_sentence(exact) ? exact : kind, args_of(words, watch, {}, now));
}

namespace {

// The sentence stands beside each picture: it needs no text of its own.
struct Pictured {
  const watch::Watch& watch;
  const When& now;
  static constexpr std::string_view alt{};

  std::string operator()(const watch::OutOfUse& figures) const {
    if (figures.why != watch::Unfit::too_hot) return drawing::days_open(0, 1, alt);
    return drawing::warmth(figures.least, figures.most, figures.reached, alt);
  }
  std::string operator()(const watch::InUse& figures) const {
    return drawing::days_open(std::max(0, day_count(figures.since, now.day())), figures.limit_days,
                              alt);
  }
  std::string operator()(const watch::ScaleRead& figures) const {
    return drawing::scale_disagrees(larger(figures.content, *Units::from_hundredths(100)),
                                    figures.account, figures.counted, alt);
  }
  std::string operator()(const watch::Owed& figures) const {
    if (watch.what == watch::What::outcome_unknown) return waits();
    const auto whole = std::max<std::int64_t>(1, figures.meant.hundredths());
    return drawing::ticks(static_cast<int>((whole - figures.rest.hundredths()) * 10 / whole), 10,
                          alt);
  }
  std::string operator()(const watch::LastDay& figures) const {
    return drawing::order_ending(day_count(now.day(), figures.day), alt);
  }
  std::string operator()(const watch::Reason&) const { return waits(); }
  std::string operator()(const watch::Answered&) const { return waits(); }
  std::string operator()(const watch::Copied&) const {
    return watch.what == watch::What::left_open ? waits() : drawing::second_check_missing(alt);
  }
  std::string operator()(const watch::Pricking&) const { return waits(); }
  std::string operator()(const watch::WentIn&) const { return waits(); }
  std::string operator()(const watch::Shortage& figures) const {
    const auto ask_in = watch.what == watch::What::ask_for_more
                            ? std::optional(std::max(0, day_count(now.day(), watch.due.day())))
                            : std::nullopt;
    return drawing::stock(std::max(0, day_count(now.day(), figures.missing_from)), 14, ask_in, alt);
  }
  std::string operator()(const watch::NeedlesLeft& figures) const {
    return drawing::needles(
        static_cast<int>(std::min<std::int64_t>(figures.left, needles_drawn_max)),
        needles_drawn_max, alt);
  }
  std::string operator()(const watch::BoxFills& figures) const {
    const auto line = std::max<std::int64_t>(1, figures.line);
    return drawing::ticks(static_cast<int>(std::min<std::int64_t>(10, figures.needles * 10 / line)),
                          10, alt);
  }
  std::string operator()(const watch::Counted& figures) const {
    const auto most = std::max({std::int64_t{1}, figures.account, figures.counted});
    return drawing::ticks(static_cast<int>(std::min(figures.account, figures.counted)),
                          static_cast<int>(most), alt);
  }
  std::string operator()(const watch::Difference&) const { return drawing::ticks(0, 1, alt); }
  std::string operator()(const watch::HeldBy&) const { return waits(); }
  std::string operator()(const watch::Contacting& figures) const {
    return drawing::ticks(figures.tries, contacts::tries_before_others, alt);
  }
  std::string operator()(const watch::Lacking&) const { return drawing::stock(0, 7, 0, alt); }
  std::string operator()(const watch::DayOfLeaving& figures) const {
    return drawing::ticks(figures.day, figures.days, alt);
  }
  std::string operator()(const watch::NothingMore&) const {
    switch (watch.what) {
      case watch::What::signature_owed:
        return drawing::second_check_missing(alt);
      case watch::What::runs_short:
        return drawing::stock(std::max(0, day_count(now.day(), watch.due.day())), 14, std::nullopt,
                              alt);
      default:
        return drawing::ticks(0, 1, alt);
    }
  }

 private:
  std::string waits() const {
    return drawing::question_open(mark_of(watch),
                                  std::max(0, day_count(watch.shows_from.day(), now.day())), alt);
  }
};

}  // namespace

std::string picture_of(const watch::Watch& watch, const When& now) {
  return std::visit(Pictured{watch, now}, watch.figures);
}

namespace {

// What is known already comes with the address, so that the outcome closes what was agreed.
std::string call_href(const watch::Watch& watch, Id person) {
  const auto* figures = std::get_if<watch::Contacting>(&watch.figures);
  const auto meeting = figures == nullptr ? journal::Meeting::call : figures->meeting;
  const auto of = watch.what == watch::What::contact_due ? "&appointment=" + watch.basis : "";
  return href_of(person, "/record/call?meeting=" + word_of(meeting) + of);
}

}  // namespace

std::string by_text(const Words& words, const ByWhen& when, const When& now) {
  const auto day = [&](LocalDay on) { return arg_text("day", words.day_near(on, now.day())); };
  if (when.day < now.day()) return said(words, "today.since", {day(when.day)});
  if (when.late) return said(words, "today.now");
  if (when.by) {
    const auto time = arg_text("time", format_iso(when.by->minute()));
    if (when.by->day() == now.day()) return said(words, "today.by", {time});
    return said(words, "today.by_day", {day(when.by->day()), time});
  }
  return when.day == now.day() ? said(words, "today.this_day")
                               : words.day_near(when.day, now.day());
}

std::string due_text(const Words& words, const watch::Watch& watch, const When& now) {
  const auto& due = watch.due;
  const auto how = watch::alarm(watch, now.at);
  ByWhen when{due.day(), std::nullopt, due.at < now.at};
  if (when.late && how && how->before_next) when.day = now.day();
  if (!when.late && when.day == now.day()) when.by = due;
  return by_text(words, when, now);
}

WatchAction action_of(const Words& words, const watch::Watch& watch, Id person,
                      std::string_view name) {
  const auto label = said(words, "watch_act." + word_of(watch.what),
                          {arg_text("name", name.substr(0, name.find(' ')))});
  switch (watch.what) {
    case watch::What::question_open:
      return {label, href_of(person, "#ask")};
    case watch::What::second_check:
      return {label, href_of(person, "/order/check?line=" + watch.basis)};
    case watch::What::signature_owed:
    case watch::What::order_ends:
    case watch::What::order_ended:
    case watch::What::basal_ended:
      return {label, href_of(person, "/order")};
    case watch::What::dose_held:
    case watch::What::swapped:
    case watch::What::given_perhaps:
    case watch::What::tell_prescriber:
    case watch::What::part_owed:
    case watch::What::dose_unrecorded:
    case watch::What::answer_waits:
    case watch::What::outcome_unknown:
      return {label, href_of(person)};
    case watch::What::leaving_hardened:
      return {label, href_of(person, "/skin#lows")};
    case watch::What::runs_short:
    case watch::What::starts_without:
    case watch::What::nothing_sealed:
    case watch::What::ask_for_more:
    case watch::What::not_come:
    case watch::What::needles_short:
    case watch::What::sharps_full:
    case watch::What::supplies_differ:
      return {label, href_of(person, "/supplies")};
    case watch::What::contact_due:
    case watch::What::ring_back:
    case watch::What::not_rung_back:
    case watch::What::call_due:
    case watch::What::did_not_come:
    case watch::What::not_reached:
    case watch::What::left_open:
      return {label, call_href(watch, person), true};
    case watch::What::glucagon_expired:
      return {label, href_of(person, "/record/rescue")};
    case watch::What::needlestick:
      return {label, href_of(person, "/journal")};
    case watch::What::too_much:
      return {label, href_of(person, "/record/question")};
    case watch::What::accounts_differ:
      return {label, href_of(person, "/supplies#accounts")};
    default:
      return {label, href_of(person, "/pens")};
  }
}

}  // namespace penstock::pages
