// H18: an hour that the clocks skip is no hour, and one that comes twice is asked about.
#include <algorithm>
#include <string>

#include "edge/wire/fact_json.hpp"

namespace penstock::wire {

Result<When> local_time(const json::Value& value, const ZoneRules& zone, Instant now,
                        std::string_view at) {
  const auto read = json::text_of(value, at);
  if (!read) return read.error();
  std::string_view text = *read;
  const auto ends = [&text](std::string_view word) {
    if (!text.ends_with(word)) return false;
    text.remove_suffix(word.size());
    return true;
  };
  const bool first = ends(" first");
  const bool second = !first && ends(" second");
  const auto time = parse_time(text);
  if (!time) return located(time.error(), at);
  const auto refused = [&](std::string_view code) {
    auto shown = std::string(text);
    if (const auto t = shown.find('T'); t != std::string::npos) shown.erase(0, t + 1);
    return Error{Kind::invalid_input,
                 std::string(code),
                 {arg_text("time", shown), arg_text("zone", zone.name)},
                 std::string(at)};
  };
  const auto fit = zone.fit(time->local);
  if (fit == ZoneRules::Fit::missing) return refused(codes::hour_missing);
  const auto later = zone.resolve(time->local, ZoneRules::Pick::later);
  const bool is_open = fit == ZoneRules::Fit::ambiguous && !first && !second && later.at <= now;
  if (is_open) return refused(codes::hour_twice);
  return second ? later : zone.resolve(time->local);
}

Result<std::optional<When>> take_local_time(json::Value& request, const ZoneRules& zone,
                                            Instant now, std::string_view at) {
  const auto member = std::ranges::find(request.members, "happened_local", &json::Member::key);
  if (member == request.members.end()) return std::optional<When>{};
  const auto path = json::pointer(at, "happened_local");
  const auto local = local_time(member->value, zone, now, path);
  if (!local) return local.error();
  request.members.erase(member);
  const auto* happened = request.find("happened");
  if (happened == nullptr) return std::optional(*local);
  const auto sent = json::text_of(*happened, json::pointer(at, "happened"));
  if (!sent) return sent.error();
  const auto when = parse_when(*sent);
  if (!when) return located(when.error(), json::pointer(at, "happened"));
  const auto told = zone.when(when->at);
  if (told.day() == local->day() && told.minute() == local->minute()) return std::optional<When>{};
  return Error{Kind::invalid_input,
               std::string(codes::happened_twice),
               {arg_instant("happened", told), arg_instant("local", *local)},
               path};
}

}  // namespace penstock::wire
