// H18: an hour that the clocks skip is no hour, and one that comes twice is asked about.
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

}  // namespace penstock::wire
