#include "core/order/second_check/second_check.hpp"

#include <algorithm>
#include <utility>

namespace penstock::order {

namespace {

using journal::OrderLineSigned;
using journal::Slot;

Error asked(std::string_view code, std::vector<Arg> args = {}) {
  return {Kind::refused, code, std::move(args)};
}

std::string_view word(journal::SlotName slot) {
  return names_of(slot)[static_cast<std::size_t>(slot)];
}

// An order that names no first day holds from the day on which somebody copies it.
Result<void> same_days(const OrderLineSigned& copy, LocalDay copied_on,
                       const journal::OrderLineChecked& check) {
  if (check.from && *check.from != copy.from)
    return asked(codes::check_from, {arg_date("read", *check.from)});
  if (!check.from && copy.from > copied_on) return asked(codes::check_no_from);
  if (check.until == copy.until) return {};
  return check.until ? asked(codes::check_until, {arg_date("read", *check.until)})
                     : asked(codes::check_no_until);
}

}  // namespace

bool holds_number(std::string_view words) {
  return std::ranges::any_of(words, [](char c) { return c >= '0' && c <= '9'; });
}

std::string times_of(const std::vector<Slot>& slots) {
  std::string out;
  for (const auto& slot : slots) out += (out.empty() ? "" : ", ") + std::string(word(slot.slot));
  return out;
}

bool has_read_days(const journal::OrderLineChecked& check) {
  return check.days_read || check.from || check.until;
}

Result<void> same_as_copy(const OrderLineSigned& copy, LocalDay copied_on,
                          const journal::OrderLineChecked& check) {
  const auto& reading = check.reading;
  if (reading.insulin.empty()) return asked(codes::check_blind);
  if (reading.insulin != copy.insulin) {
    return asked(codes::check_insulin, {arg_text("read", reading.insulin)});
  }
  if (reading.strength != copy.strength) {
    return asked(codes::check_strength, {arg_strength("read", reading.strength)});
  }
  auto copied = copy.slots, read = reading.slots;
  const auto by_time = [](const Slot& a, const Slot& b) {
    return a.slot != b.slot ? a.slot < b.slot : a.at < b.at;
  };
  std::ranges::sort(copied, by_time);
  std::ranges::sort(read, by_time);
  if (!std::ranges::equal(copied, read, {}, &Slot::slot, &Slot::slot)) {
    return asked(codes::check_times, {arg_text("read", times_of(read))});
  }
  for (std::size_t n = 0; n < copied.size(); ++n) {
    const auto slot = arg_code("slot", word(copied[n].slot));
    if (copied[n].units != read[n].units) {
      return asked(codes::check_dose, {slot, arg_units("read", read[n].units)});
    }
    if (copied[n].at != read[n].at) {
      return asked(codes::check_time, {slot, arg_text("read", format_iso(read[n].at))});
    }
  }
  return has_read_days(check) ? same_days(copy, copied_on, check) : Result<void>{};
}

}  // namespace penstock::order
