#include "edge/pages/sheets/internal/on_paper.hpp"

#include <algorithm>
#include <set>

#include "core/contacts/contacts.hpp"

namespace penstock::pages::internal {
namespace {

using std::chrono::days;

// A card that nobody asked about for half a year is printed anew (ours, no source).
constexpr days card_days{182};

}  // namespace

std::vector<const order::Line*> lines_of(const Chart& person, LocalDay today) {
  std::vector<const order::Line*> out;
  for (const auto& line : person.order.lines) {
    const auto state = person.order.state(line, today);
    if (state != order::State::ended && state != order::State::replaced) out.push_back(&line);
  }
  std::ranges::stable_sort(out, {}, [](const order::Line* line) {
    return line->text.slots.empty() ? MinuteOfDay{} : line->text.slots.front().at;
  });
  return out;
}

LocalDay last_day(const Chart& person, std::span<const order::Line* const> lines, LocalDay today) {
  auto out = today + card_days;
  for (const auto* line : lines) {
    if (const auto last = line->last_day()) out = std::min(out, *last);
    if (line->text.from > today) out = std::min(out, line->text.from - days{1});
  }
  for (const auto& trip : person.supply.trips) {
    const bool elsewhere = !trip.said.zone.empty() && trip.said.zone != person.person.zone;
    if (elsewhere && trip.said.leaves > today) out = std::min(out, trip.said.leaves - days{1});
  }
  return out;
}

std::string order_text(const Words& words, std::span<const order::Line* const> lines,
                       LocalDay today) {
  const auto* newest = *std::ranges::max_element(lines, {}, [&](const order::Line* line) {
    return std::pair{line->text.from <= today, line->text.order_version};
  });
  auto out = version_text(words, *newest);
  std::set<std::string> unread;
  for (const auto* line : lines) {
    if (line->text.order_version == newest->text.order_version)
      unread.insert(days_unread_text(words, *line));
  }
  for (const auto& one : unread)
    if (!one.empty()) out += " " + one;
  return out;
}

std::string printed_text(const Words& words, const When& now) {
  return said(words, "sheet.printed", {arg_text("moment", words.moment(now))});
}

std::vector<json::Value> phones_of(const Words& words, const Chart& person, const Clinic& clinic) {
  std::vector<json::Value> out;
  const auto add = [&](const std::string& who, const std::string& phone) {
    if (!phone.empty()) out.push_back(json::object({{"who", text(who)}, {"phone", text(phone)}}));
  };
  add(clinic.names.clinic, clinic.names.phone);
  for (const auto& one : person.contacts.people) {
    using enum journal::ContactRole;
    const auto role = one.said.role;
    if (role == prescriber || role == out_of_hours || role == pharmacy)
      add(contact_label(words, one.said), one.said.phone);
  }
  add(said(words, "card.emergency"), clinic.names.emergency);
  return out;
}

}  // namespace penstock::pages::internal
