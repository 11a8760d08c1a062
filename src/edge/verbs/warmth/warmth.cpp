#include "edge/verbs/warmth/warmth.hpp"

#include <algorithm>

namespace penstock::verbs {
namespace {

using json::Reader;
using json::Value;
using warmth::Broken;
using warmth::Warmth;

constexpr std::string_view defer_code = "warmth.defer";
constexpr std::int64_t seconds_per_hundredth = 36;  // of an hour

std::string hours_text(std::chrono::seconds time) {
  return format_fixed(time.count() / seconds_per_hundredth, 2);
}
Value hours_json(std::chrono::seconds time) {
  return json::fixed(time.count() / seconds_per_hundredth, 2);
}

Result<void> read_spell(const Value& item, std::string_view at, WarmthRequest& out) {
  Reader read(item, at);
  warmth::Spell spell;
  read.need("celsius", spell.celsius);
  if (const auto* raw = read.need_raw("hours")) {
    const auto hundredths = json::fixed_of(*raw, 2, read.at("hours"));
    constexpr std::int64_t beyond = 100'000'000;  // further than any limit
    if (!hundredths) {
      read.fail(hundredths.error());
    } else if (*hundredths < -beyond || *hundredths > beyond) {
      read.fail(
          {Kind::invalid_input, std::string(units_codes::number_range), {}, read.at("hours")});
    } else {
      spell.lasted = std::chrono::seconds{*hundredths * seconds_per_hundredth};
    }
  }
  out.request.spells.push_back(spell);
  return read.done();
}

/// What the sentences of one answer share: nothing here is the estimate.
std::vector<Arg> args_of(const WarmthRequest& asked, const Warmth& found) {
  std::vector<Arg> args{arg_celsius("limit", found.limit),
                        arg_count("days", asked.request.in_use_days),
                        arg_text("hours_out", hours_text(found.out_of_fridge)),
                        arg_text("hours_above", hours_text(found.above_limit)),
                        arg_celsius("fridge", warmth::fridge_most)};
  if (found.warmest) args.push_back(arg_celsius("warmest", *found.warmest));
  return args;
}

std::string_view broken_key(Broken broken, bool limit_assumed) {
  switch (broken) {
    case Broken::frozen:
      return "warmth.why.frozen";
    case Broken::too_warm:
      return limit_assumed ? "warmth.why.too_warm_assumed" : "warmth.why.too_warm";
    case Broken::period_over:
      break;
  }
  return "warmth.why.period_over";
}

Value broken_json(const Warmth& found) {
  std::vector<Value> items;
  for (const auto one : found.broken) {
    items.push_back(json::string(warmth::broken_names[static_cast<std::size_t>(one)]));
  }
  return json::array(std::move(items));
}

bool is_for_nurse(std::string_view code) {
  return code == warmth::warmth_cautions::old_preparations ||
         code == warmth::warmth_cautions::extrapolated;
}

Result<Answer> run_warmth(const Value& value, const Say& say, const Stopped& /*stopped*/) {
  const auto asked = parse_warmth_request(value);
  if (!asked) return asked.error();
  const auto found = warmth::warmth(asked->request);
  if (!found) return found.error();
  return Answer{warmth_answer_json(*asked, *found, say), warmth_text(*asked, *found, say)};
}

// Limits as in core/warmth; a test compares them.
constexpr std::string_view schema_text = R"({
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "title": "warmth: what heat has done",
  "type": "object",
  "additionalProperties": false,
  "required": ["in_use_days"],
  "properties": {
    "in_use_days": {"type": "integer", "minimum": 1, "maximum": 400, "description": "by the label; it serves while its days are fewer"},
    "spells": {"type": "array", "maxItems": 1000, "items": {
      "type": "object", "additionalProperties": false, "required": ["celsius", "hours"],
      "properties": {
        "celsius": {"type": "number", "minimum": -90, "maximum": 100, "multipleOf": 0.1},
        "hours": {"type": "number", "exclusiveMinimum": 0, "maximum": 8784, "multipleOf": 0.01}}},
      "description": "so long at one temperature each; they do not overlap"},
    "frozen": {"type": "boolean", "default": false, "description": "it was seen frozen, or lay against ice: final"},
    "in_use_most_celsius": {"type": "number", "minimum": 15, "maximum": 45, "multipleOf": 0.1, "default": 25, "description": "the label's limit for use; without it the strictest of the labels, which the answer says"},
    "insulin": {"type": "string", "description": "generic name"}
  },
  "anyOf": [{"required": ["spells"]}, {"required": ["frozen"]}]
})";

Value parsed(std::string_view text) {
  auto value = json::parse(text);
  INVARIANT(value.has_value());
  return *std::move(value);
}

}  // namespace

Result<WarmthRequest> parse_warmth_request(const Value& request) {
  WarmthRequest out;
  Reader read(request);
  read.need("in_use_days", out.request.in_use_days);
  if (const auto* spells = read.may_raw("spells")) {
    read.each("spells", *spells,
              [&](const Value& item, std::string_view at) { return read_spell(item, at, out); });
  }
  read.may("frozen", out.request.frozen);
  read.may("in_use_most_celsius", out.request.limit);
  read.may("insulin", out.insulin);
  if (const auto done = read.done(); !done) return done.error();
  return out;
}

Result<WarmthRequest> parse_warmth_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_warmth_request(*value);
}

std::string_view warmth_source() {
  return "Pingel M, Volund A. Diabetes 1972;21:805 (abstract, read): upper envelope over seven old "
         "preparations, 10 % lost in 69 years at 5 C, 10 years at 15 C, 20 months at 25 C, 3 "
         "months "
         "at 35 C, 10 days at 45 C; first order, Arrhenius between. Above what a second "
         "publication "
         "lost (Storring 1975 Diabetologia 11:581, abstract, read) and above a field study that "
         "lost nothing in four weeks between 25 and 37 C (Kaufmann 2021 PLoS One 16:e0245372, "
         "second-hand)";
}

std::vector<Sentence> warmth_do_first(const WarmthRequest& asked, const Warmth& found) {
  const auto args = args_of(asked, found);
  if (!found.limit_broken) return {{"warmth.do.use", args}};
  return {{"warmth.do.replace", args}, {"warmth.do.today", args}};
}

std::vector<Sentence> warmth_for_person(const WarmthRequest& asked, const Warmth& found) {
  const auto args = args_of(asked, found);
  std::vector<Sentence> out;
  if (!asked.insulin.empty()) out.push_back({"warmth.of", {arg_text("insulin", asked.insulin)}});
  const auto first = warmth_do_first(asked, found);
  out.push_back(first.front());
  for (const auto broken : found.broken) {
    out.push_back({std::string(broken_key(broken, found.limit_assumed)), args});
  }
  if (!found.limit_broken) {
    out.push_back({found.limit_assumed ? "warmth.why.kept_assumed" : "warmth.why.kept", args});
  }
  out.insert(out.end(), first.begin() + 1, first.end());
  return out;
}

std::vector<Sentence> warmth_for_nurse(const Warmth& found) {
  if (!found.lost) {
    const bool frozen = found.no_number == warmth::NoNumber::frozen;
    return {{frozen ? "warmth.nurse.frozen" : "warmth.nurse.above", {}}};
  }
  std::vector<Sentence> out{
      {"warmth.nurse.lost", {arg_text("percent", format_fixed(found.lost->tenths, 1))}}};
  for (const auto code : found.cautions) {
    if (is_for_nurse(code)) out.push_back({std::string(code), {}});
  }
  return out;
}

std::vector<Caution> warmth_cautions_said(const Warmth& found) {
  std::vector<Caution> out;
  const std::vector<Arg> args{arg_celsius("limit", found.limit)};
  for (const auto code : found.cautions) {
    if (!is_for_nurse(code)) out.push_back({code, {std::string(code), args}});
  }
  return out;
}

json::Value warmth_answer_json(const WarmthRequest& asked, const Warmth& found, const Say& say) {
  const auto for_person = said(warmth_for_person(asked, found), say);
  auto out = json::object({{"limit_broken", json::boolean(found.limit_broken)},
                           {"do_first", json::string(said(warmth_do_first(asked, found), say))},
                           {"broken", broken_json(found)},
                           {"limit_celsius", json::number(found.limit)},
                           {"limit_assumed", json::boolean(found.limit_assumed)}});
  json::add(out, "warmest_celsius", found.warmest ? json::number(*found.warmest) : json::null());
  json::add(out, "hours_above_limit", hours_json(found.above_limit));
  json::add(out, "hours_out_of_fridge", hours_json(found.out_of_fridge));
  json::add(out, "for_person", json::string(for_person));
  json::add(out, "text", json::string(for_person));
  json::add(out, "cautions", cautions_of(warmth_cautions_said(found), say));
  json::add(out, "defer", json::string(say(defer_code, {})));
  json::add(out, "lost_percent", found.lost ? json::fixed(found.lost->tenths, 1) : json::null());
  json::add(out, "no_number",
            found.no_number
                ? json::string(warmth::no_number_names[static_cast<std::size_t>(*found.no_number)])
                : json::null());
  json::add(out, "for_nurse", json::string(said(warmth_for_nurse(found), say)));
  json::add(out, "source", json::string(warmth_source()));
  return out;
}

std::string warmth_text(const WarmthRequest& asked, const Warmth& found, const Say& say) {
  std::string text;
  for (const auto& sentence : warmth_for_person(asked, found)) text += said(sentence, say) + "\n";
  text += "\n";
  for (const auto& caution : warmth_cautions_said(found)) {
    text += "- " + said(caution.sentence, say) + "\n";
  }
  text += say(defer_code, {}) + "\n\n" + say("warmth.nurse.head", {}) + "\n";
  for (const auto& sentence : warmth_for_nurse(found)) text += said(sentence, say) + "\n";
  if (found.lost) text += std::string(warmth_source()) + ".\n";
  return text;
}

json::Value warmth_example() {
  return parsed(R"({"in_use_days": 28, "spells": [{"celsius": 37, "hours": 240}]})");
}

json::Value warmth_schema() { return parsed(schema_text); }

const Verb warmth_verb{"warmth", &warmth_example, &warmth_schema, &run_warmth, TextForm::prose};

}  // namespace penstock::verbs
