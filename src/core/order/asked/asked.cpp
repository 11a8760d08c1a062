#include "core/order/asked/asked.hpp"

#include <algorithm>
#include <variant>

#include "core/order/recording.hpp"

namespace penstock::order {

namespace {

// How early or late a dose may be where the order does not say. Ours.
constexpr std::chrono::hours unsaid{1};

/// The slot of its line, and of its name where it has one, that lies nearest to the dose and that
/// no injection answers.
std::optional<Due> nearest_open(const Order& order, const journal::Injected& dose,
                                const When& happened, const ZoneRules& zone) {
  if (!dose.line || dose.completes) return std::nullopt;
  std::optional<Due> nearest;
  for (int ahead = -1; ahead <= 1; ++ahead) {
    for (const auto& due : due_on(order, happened.day() + std::chrono::days{ahead}, zone)) {
      const bool other = due.line != *dose.line || (dose.slot && due.name != *dose.slot);
      if (other || !given_for(order, due).empty()) continue;
      if (!nearest || abs(due.at.at - happened.at) < abs(nearest->at.at - happened.at))
        nearest = due;
    }
  }
  return nearest;
}

}  // namespace

std::optional<Early> too_early(const Order& order, const journal::Injected& dose,
                               const When& happened, const ZoneRules& zone) {
  const auto nearest = nearest_open(order, dose, happened, zone);
  if (!nearest) return std::nullopt;
  const auto from = nearest->from.at < nearest->at.at ? nearest->from.at : nearest->at.at - unsaid;
  if (happened.at >= from) return std::nullopt;
  return Early{nearest->at, zone.when(from)};
}

std::optional<Late> too_late(const Order& order, const journal::Injected& dose,
                             const When& happened, const ZoneRules& zone) {
  const auto nearest = nearest_open(order, dose, happened, zone);
  if (!nearest) return std::nullopt;
  const auto to = nearest->to.at > nearest->at.at ? nearest->to.at : nearest->at.at + unsaid;
  if (happened.at <= to) return std::nullopt;
  return Late{nearest->at, zone.when(to)};
}

const Question* question_before(const Order& order, const journal::OrderLineSigned& copy,
                                LocalDay today) {
  Line line;
  line.recorded.at = line.written.at = Instant::max();
  line.paper_of = std::min(copy.signed_on, today);
  line.text = copy;
  const auto open = order.open_about(line);
  const auto about_a_line =
      std::ranges::find_if(open, [](const Question* one) { return one->line.has_value(); });
  return about_a_line == open.end() ? nullptr : *about_a_line;
}

namespace {

bool basal_after(const Order& order, LocalDay last_day, const Id& without) {
  const auto after = order.holding(last_day + std::chrono::days{1});
  return std::ranges::any_of(after,
                             [&](const Line* one) { return one->id != without && is_basal(*one); });
}

}  // namespace

bool ends_basal(const Order& order, const journal::OrderLineEnded& end) {
  const auto* line = order.line(end.line);
  return line != nullptr && is_basal(*line) && !basal_after(order, end.last_day, line->id);
}

bool ends_basal(const Order& order, const journal::OrderLineSigned& copy) {
  return copy.purpose == journal::Purpose::background && copy.until && copy.replaces &&
         !basal_after(order, *copy.until, *copy.replaces);
}

std::optional<Error> reads_otherwise(const Order& order, const journal::OrderLineChecked& check) {
  const auto* line = order.line(check.line);
  if (line == nullptr || check.reading.insulin.empty()) return std::nullopt;
  const auto same = same_as_copy(line->text, line->signed_when.day(), check);
  return same ? std::nullopt : std::optional(same.error());
}

const journal::Fact* read_otherwise_before(const Order& order, std::span<const journal::Fact> facts,
                                           const journal::OrderLineChecked& check) {
  if (reads_otherwise(order, check)) return nullptr;
  const journal::Fact* found = nullptr;
  for (const auto& one : facts) {
    const auto* correction = std::get_if<journal::Correction>(&one.payload);
    if (correction != nullptr && correction->target == check.line) found = nullptr;
    const auto* before = std::get_if<journal::OrderLineChecked>(&one.payload);
    if (before != nullptr && before->line == check.line && reads_otherwise(order, *before))
      found = &one;
  }
  return found;
}

}  // namespace penstock::order
