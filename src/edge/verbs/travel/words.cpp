// The sentences of a trip.
#include <cstdlib>

#include "edge/verbs/travel/travel.hpp"

namespace penstock::verbs {
namespace {

using travel::Says;

std::string hours_text(std::int32_t minutes) {
  // Quarter hours: two decimals are exact.
  return format_fixed(std::int64_t{std::abs(minutes)} * 100 / 60, 2);
}

}  // namespace

Sentence travel_lead(const travel::Request& request, const travel::Travel& found) {
  return {"travel.lead",
          {arg_date("leaves", request.leaves), arg_date("returns", request.returns),
           arg_count("days", found.days)}};
}

Sentence travel_carry_said(const travel::Carry& carry) {
  return {"travel.carry",
          {arg_text("insulin", carry.insulin), arg_units("units", carry.for_days),
           arg_count("needed", carry.cartridges_for_days),
           arg_count("cartridges", carry.cartridges), arg_count("each", carry.in_each_bag)}};
}

Sentence travel_needles_said(const travel::Needles& needles) {
  return {"travel.needles",
          {arg_count("needed", needles.for_days), arg_count("needles", needles.carried),
           arg_count("each", needles.in_each_bag)}};
}

std::vector<Sentence> travel_bag_said(const travel::Travel& found, std::int32_t bag) {
  std::vector<Sentence> out;
  for (const auto& carry : found.carry) {
    out.push_back(
        {bag == 0 ? "travel.bag.first" : "travel.bag.second",
         {arg_text("insulin", carry.insulin), arg_count("cartridges", carry.in_each_bag)}});
  }
  if (found.needles.in_each_bag > 0) {
    out.push_back({"travel.bag.needles", {arg_count("needles", found.needles.in_each_bag)}});
  }
  out.push_back({"travel.bag.low", {}});
  out.push_back({bag == 0 ? "travel.bag.papers" : "travel.bag.copies", {}});
  if (found.cooling) out.push_back({"travel.bag.cool", {}});
  return out;
}

Sentence travel_question_said(const travel::Request& request, const travel::Question& question) {
  const auto& line = request.lines[question.line];
  std::string key = "travel.question.";
  key += travel::way_names[static_cast<std::size_t>(question.way)];
  key += question.direction == travel::Direction::west ? "_west" : "_east";
  return {key,
          {arg_text("insulin", line.insulin), arg_units("dose", line.a_day),
           arg_text("hours", hours_text(question.shift_minutes)),
           arg_date("day", question.way == travel::Way::out ? request.leaves : request.returns)}};
}

Sentence travel_option_said(const travel::Option& option) {
  std::vector<Arg> args{arg_text("source", option.source),
                        arg_code("known", "known/" + std::string(option.known))};
  const auto amount = [&](std::string_view name, std::size_t place) {
    args.push_back(arg_text(name, format_fixed(option.units[place].millionths / 10'000, 2)));
    if (!option.in_steps.empty())
      args.push_back(arg_units(std::string(name) + "_steps", option.in_steps[place]));
  };
  const std::string small = option.in_steps.empty() ? "_small" : "";
  switch (option.says) {
    case Says::once_reduced:
      amount("first", 0);
      return {"travel.option.once_reduced" + small, args};
    case Says::two_halves:
      amount("first", 0);
      amount("second", 1);
      return {"travel.option.two_halves" + small, args};
    case Says::no_change:
      return {"travel.option.no_change", args};
    case Says::change:
      return {"travel.option.change", args};
    case Says::nothing:
      break;
  }
  return {"travel.option.nothing", args};
}

std::vector<Caution> travel_cautions_said(const travel::Travel& found) {
  std::vector<Caution> out;
  const std::vector<Arg> args{arg_celsius("limit", travel::strictest_limit),
                              arg_text("out", hours_text(found.shift_minutes)),
                              arg_text("back", hours_text(found.back_shift_minutes)),
                              arg_text("hours", hours_text(std::abs(found.shift_minutes)))};
  for (const auto code : found.cautions) out.push_back({code, {std::string(code), args}});
  return out;
}

std::string_view travel_source() {
  return "Dose times: Pinsker et al. 2013 J Diabetes Metab Disord 12:59 and patient guidance based "
         "on it (read); travel leaflets (read second-hand). Twice what is needed, in two bags in "
         "the cabin: common practice, no source";
}

}  // namespace penstock::verbs
