#include "edge/verbs/cover/internal/words.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace penstock::verbs {
namespace {

using cover::Lasts;

enum class Supply : std::uint8_t { insulin, needles, sharps };

/// A chance of more than this is worth a date of its own.
constexpr double early_chance = 1 - cover::service_usual;

/// The first day by which it is at least this likely.
std::optional<LocalDay> likely_by(const Lasts& lasts, double chance) {
  const auto found = std::ranges::find_if(
      lasts.runs_out, [&](const cover::DayChance& one) { return one.chance >= chance; });
  return found == lasts.runs_out.end() ? std::nullopt : std::optional(found->day);
}

std::string short_said(const std::string& name, const Lasts& lasts, Supply supply, const Say& say) {
  std::vector<Arg> args{arg_text("insulin", name)};
  if (lasts.beyond_horizon) {
    args.push_back(arg_count("days", cover::horizon_days_max));
    return say("cover.text.beyond", args);
  }
  if (!lasts.last_full_day) {
    return say(supply == Supply::sharps ? "cover.text.sharps_now" : "cover.text.now", args);
  }
  args.push_back(arg_date("day", *lasts.last_full_day + std::chrono::days{1}));
  if (supply == Supply::sharps) return say("cover.text.sharps", args);
  const auto early = likely_by(lasts, early_chance);
  const auto middle = likely_by(lasts, 0.5);
  const std::string spare = lasts.spare_counts ? ".spare" : "";
  if (lasts.runs_out.size() <= 1 || !early || !middle) return say("cover.text.short" + spare, args);
  args.push_back(arg_date("early", *early));
  args.push_back(arg_date("middle", *middle));
  args.push_back(arg_text("percent", percent_text(early_chance)));
  return say("cover.text.short_varies" + spare, args);
}

std::string ask_said(const CoverRequest& asked, const Lasts& lasts, Supply supply, const Say& say) {
  const auto& ask = asked.request.ask;
  if (!ask || !lasts.ask_by) return {};
  const std::vector<Arg> args{arg_date("ask", *lasts.ask_by), arg_date("here", *lasts.here_by),
                              arg_text("percent", percent_text(ask->service)),
                              arg_count("boxes", lasts.boxes), arg_count("days", ask->for_days)};
  std::string text = " " + say(lasts.late ? "cover.text.ask_late" : "cover.text.ask", args);
  if (supply == Supply::sharps) return text;
  return text + " " + say(lasts.boxes == 0 ? "cover.text.no_boxes" : "cover.text.boxes", args);
}

std::string supply_said(const CoverRequest& asked, const std::string& name, const Lasts& lasts,
                        Supply supply, const Say& say) {
  std::string text = short_said(name, lasts, supply, say) + ask_said(asked, lasts, supply, say);
  if (supply == Supply::insulin && !lasts.thrown_away.is_zero()) {
    text += " " + say("cover.text.thrown", std::vector<Arg>{arg_units("units", lasts.thrown_away)});
  }
  return text;
}

struct Named {
  std::string name;
  const Lasts* lasts = nullptr;
  Supply supply = Supply::insulin;
};
std::vector<Named> supplies(const CoverRequest& asked, const cover::Answer& answer,
                            const Say& say) {
  std::vector<Named> all;
  for (std::size_t i = 0; i < answer.lines.size(); ++i) {
    all.push_back({asked.request.lines[i].insulin, &answer.lines[i], Supply::insulin});
  }
  if (answer.needles) {
    all.push_back({say("cover.text.needles_name", {}), &*answer.needles, Supply::needles});
  }
  if (answer.sharps) {
    all.push_back({say("cover.text.sharps_name", {}), &*answer.sharps, Supply::sharps});
  }
  return all;
}

/// The sentence of a code: needles and sharps box have their own where it says what to do today.
std::string caution_key(std::string_view code, Supply supply) {
  std::string key(code);
  if (code != cover::cover_cautions::out_now) return key;
  if (supply == Supply::needles) key += "_needles";
  if (supply == Supply::sharps) key += "_sharps";
  return key;
}

}  // namespace

std::string percent_text(double share) { return format_fixed(std::llround(share * 1'000'000), 4); }

std::vector<std::string> cover_supplies_said(const CoverRequest& asked, const cover::Answer& answer,
                                             const Say& say) {
  std::vector<std::string> out;
  const auto all = supplies(asked, answer, say);
  for (const auto& one : all) {
    out.push_back(supply_said(asked, one.name, *one.lasts, one.supply, say));
  }
  const auto first = std::ranges::find_if(
      all, [&](const Named& one) { return one.lasts->ask_by == answer.ask_by; });
  if (!answer.ask_by || all.size() < 2 || first == all.end()) return out;
  const std::vector<Arg> args{arg_text("insulin", first->name), arg_date("ask", *answer.ask_by)};
  out.insert(out.begin(), say("cover.text.first", args));
  return out;
}

std::vector<CoverCaution> cover_cautions_said(const CoverRequest& asked,
                                              const cover::Answer& answer, const Say& say) {
  std::vector<CoverCaution> out;
  const auto& ask = asked.request.ask;
  const auto add = [&](std::string_view code, const std::string& key, std::vector<Arg> args) {
    args.push_back(arg_count("spare", ask ? ask->spare_cartridges : 0));
    args.push_back(arg_count("days", cover::horizon_days_max));
    out.push_back({std::string(code), say(key, args)});
  };
  for (const auto& one : supplies(asked, answer, say)) {
    for (const auto code : one.lasts->cautions) {
      add(code, caution_key(code, one.supply), {arg_text("insulin", one.name)});
    }
  }
  for (const auto& insulin : asked.window_assumed) {
    add("cover.caution.window_assumed", "cover.caution.window_assumed",
        {arg_text("insulin", insulin)});
  }
  if (ask && ask->service < cover::service_usual) {
    add("cover.caution.service", "cover.caution.service",
        {arg_text("percent", percent_text(ask->service)), arg_text("by", asked.service_by),
         arg_text("reason", asked.service_reason)});
  }
  return out;
}

std::string cover_spare_said(const CoverRequest& asked, const Say& say) {
  const auto& ask = asked.request.ask;
  if (!ask || ask->spare_cartridges == 0) return {};
  return say("cover.text.spare", std::vector<Arg>{arg_count("spare", ask->spare_cartridges)});
}

}  // namespace penstock::verbs
