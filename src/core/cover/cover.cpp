#include "core/cover/cover.hpp"

#include <algorithm>

#include "core/cover/internal/asking.hpp"
#include "core/cover/internal/checks.hpp"
#include "core/cover/internal/counts.hpp"
#include "core/cover/internal/house.hpp"
#include "core/cover/internal/law.hpp"
#include "core/cover/internal/written.hpp"

namespace penstock::cover {
namespace {

using namespace internal;

void set_full_days(Lasts& lasts, LocalDay on, std::int32_t short_on) {
  lasts.beyond_horizon = short_on >= horizon_days_max;
  lasts.full_days = std::min(short_on, horizon_days_max);
  if (lasts.full_days > 0) lasts.last_full_day = on + std::chrono::days{lasts.full_days - 1};
}

// ---- an insulin

struct Cartridges {
  const Request& request;
  const Line& line;
  const OpenDays& days;
  const Stopped& stopped;
  House house;
  Marks marks;
  Written written;

  Cartridges(const Request& r, const Line& l, const OpenDays& open_days, const Stopped& stop)
      : request(r),
        line(l),
        days(open_days),
        stopped(stop),
        house(l, r.on),
        written(l, house, r.on) {
    marks.all = marks.ask = house.size();
    if (!request.ask) return;
    marks.ask = house.usable(request.ask->spare_cartridges, 0);
    marks.boxes_by_day = request.ask->for_days;
  }

  std::size_t usable_with(std::int32_t boxes) const {
    const Ask& ask = *request.ask;
    return house.usable(ask.spare_cartridges, std::int64_t{boxes} * ask.cartridges_per_box);
  }

  Lasts lasts() {
    Lasts out;
    // Of the fixed doses every count of boxes is read off this one walk; varying ones have theirs.
    const bool varies = !line.dose_sd.is_zero();
    const std::int32_t least_days = varies ? 0 : marks.boxes_by_day;
    while (written.days() < horizon_days_max &&
           (written.short_on(marks.all) == no_end || written.days() < least_days))
      written.next_day();
    set_full_days(out, request.on, written.short_on(marks.all));
    out.spare_counts = written.short_on(marks.ask) < written.short_on(marks.all);
    out.thrown_away = written.thrown_away(marks.all);
    const bool too_large = varies ? set_varying(out) : set_fixed(out);
    set_cautions(out, too_large);
    return out;
  }

  bool set_fixed(Lasts& out) {
    set_run_out(out, request.on, Course::step(written.short_on(marks.all)));
    if (!request.ask) return false;
    set_asking(out, *request.ask, days, request.on, Course::step(written.short_on(marks.ask)));
    const auto enough = [&](std::int32_t boxes) {
      return written.short_on(usable_with(boxes)) >= request.ask->for_days;
    };
    while (!enough(out.boxes)) ++out.boxes;
    return false;
  }

  bool set_varying(Lasts& out) {
    RunOut law = run_out(line, house, request.on, marks, stopped);
    if (is_stopped(stopped)) return false;
    set_run_out(out, request.on, Course{std::move(law.all)});
    if (!request.ask) return false;
    const Ask& ask = *request.ask;
    set_asking(out, ask, days, request.on, Course{std::move(law.ask)});
    // What no number of cartridges could give is left out of the service that boxes can reach.
    const double most = 1 - law.too_large;
    const double wanted = most >= ask.service ? ask.service : ask.service * most;
    const auto missed = [&](std::int32_t boxes) {
      const auto places = usable_with(boxes);
      return places < law.places.size() ? law.places[places] : 0.0;
    };
    while (most - missed(out.boxes) < wanted - service_slack) ++out.boxes;
    return most < ask.service - service_slack;
  }

  void set_cautions(Lasts& out, bool too_large) const {
    const auto say = [&](std::string_view code, bool when) {
      if (when) out.cautions.push_back(code);
    };
    std::int64_t sealed = 0;
    for (std::size_t i = house.open(); i < house.size(); ++i)
      sealed += house.at(i).last_day >= 0 ? 1 : 0;
    const bool over = std::ranges::any_of(
        line.open, [&](const Open& one) { return one.days_in_use >= line.in_use_days; });
    say(cover_cautions::out_now, out.full_days == 0);
    say(cover_cautions::late, out.late);
    say(cover_cautions::none_sealed, sealed == 0);
    say(cover_cautions::spare_short,
        request.ask && sealed > 0 && sealed < request.ask->spare_cartridges);
    say(cover_cautions::period_over, over);
    say(cover_cautions::expired, written.expired(marks.all));
    say(cover_cautions::ends_unused, written.ends_unused(marks.all));
    say(cover_cautions::too_large, too_large);
    say(cover_cautions::beyond_horizon, out.beyond_horizon);
  }
};

// ---- needles, and the room of the sharps box

struct Counted {
  std::int64_t left = 0;
  double fails = 0;
  std::int64_t as_written = 0;  // that are expected to be good ones
  std::vector<double> missing;  // by injections
  Course course;
  std::int32_t short_on = no_end;

  Counted(std::int64_t count, double share)
      : left(count), fails(share), missing(not_enough(count, share)) {
    constexpr double slack = 1e-9;  // 100 needles of which 2 % fail are 98
    as_written = static_cast<std::int64_t>(static_cast<double>(count) * (1 - share) + slack);
  }
  void look(const Injections& injections) {
    const auto day = injections.days() - 1;
    if (short_on == no_end && injections.as_written() > as_written) short_on = day;
    if (!course.ended()) course.gone.push_back(not_enough(missing, injections.so_far()));
  }
  bool done() const { return course.ended() && short_on != no_end; }
  Lasts lasts(const Request& request, const OpenDays& days) const {
    Lasts out;
    set_full_days(out, request.on, short_on);
    set_run_out(out, request.on, course);
    if (request.ask) set_asking(out, *request.ask, days, request.on, course);
    if (out.full_days == 0) out.cautions.push_back(cover_cautions::out_now);
    if (out.late) out.cautions.push_back(cover_cautions::late);
    if (out.beyond_horizon) out.cautions.push_back(cover_cautions::beyond_horizon);
    return out;
  }
};

std::int32_t needle_boxes(const Ask& ask, const Counted& needles, const CountLaw& injections) {
  // No fewer than the injections that are certain.
  const auto lacking = std::max<std::int64_t>(0, injections.least - needles.left);
  auto boxes = static_cast<std::int32_t>(quotient(lacking, ask.needles_per_box, Rounding::up));
  while (true) {
    const auto count = needles.left + std::int64_t{boxes} * ask.needles_per_box;
    const double missed = not_enough(not_enough(count, needles.fails), injections);
    if (1 - missed >= ask.service - service_slack) return boxes;
    ++boxes;
  }
}

void set_counted(Answer& answer, const Request& request, const OpenDays& days) {
  std::optional<Counted> needles, sharps;
  if (request.needles_left) needles.emplace(*request.needles_left, request.needle_fails);
  if (request.sharps_room) sharps.emplace(*request.sharps_room, request.needle_fails);
  if (!needles && !sharps) return;
  Injections injections(request);
  std::int32_t boxes = 0;
  const auto done = [&] {
    if (request.ask && needles && injections.days() < request.ask->for_days) return false;
    return (!needles || needles->done()) && (!sharps || sharps->done());
  };
  while (injections.days() < horizon_days_max && !done()) {
    injections.next_day();
    if (needles) needles->look(injections);
    if (sharps) sharps->look(injections);
    if (needles && request.ask && injections.days() == request.ask->for_days) {
      boxes = needle_boxes(*request.ask, *needles, injections.so_far());
    }
  }
  if (needles) answer.needles = needles->lasts(request, days);
  if (needles) answer.needles->boxes = boxes;
  if (sharps) answer.sharps = sharps->lasts(request, days);
}

void set_earliest(Answer& answer) {
  const auto look = [&](const std::optional<LocalDay>& day) {
    if (day && (!answer.ask_by || *day < *answer.ask_by)) answer.ask_by = day;
  };
  for (const Lasts& line : answer.lines) look(line.ask_by);
  if (answer.needles) look(answer.needles->ask_by);
  if (answer.sharps) look(answer.sharps->ask_by);
}

}  // namespace

Result<Answer> cover(const Request& request, const Stopped& stopped) {
  if (auto wrong = wrong_in(request)) return *std::move(wrong);
  const OpenDays days(request.ask ? request.ask->closed : std::vector<LocalDay>{}, request.on);
  Answer answer;
  for (const Line& line : request.lines) {
    answer.lines.push_back(Cartridges(request, line, days, stopped).lasts());
    if (is_stopped(stopped))
      return Error{Kind::unavailable, std::string(penstock::codes::stopped), {}, ""};
  }
  set_counted(answer, request, days);
  set_earliest(answer);
  return answer;
}

}  // namespace penstock::cover
