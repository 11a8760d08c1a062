#include "edge/verbs/warmth/warmth.hpp"

#include <algorithm>

#include "core/fields/fields.hpp"
#include "core/shelf/shelf.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::verbs {
namespace {

using fields::Field;
using fields::Group;
using json::Value;
using warmth::Broken;
using warmth::Warmth;
namespace limits = warmth::limits;

constexpr std::string_view defer_code = "warmth.defer";
constexpr std::int64_t seconds_per_hundredth = 36;  // of an hour

std::string hours_text(std::chrono::seconds time) {
  return format_fixed(time.count() / seconds_per_hundredth, 2);
}
Value hours_json(std::chrono::seconds time) {
  return json::fixed(time.count() / seconds_per_hundredth, 2);
}

// ---- the request

Result<void> read_hours(const Value& value, std::string_view at, void* into) {
  constexpr std::int64_t beyond = 100'000'000;  // further than any limit
  const auto hundredths = json::fixed_within(value, 2, beyond, at);
  if (!hundredths) return hundredths.error();
  fields::as<std::chrono::seconds>(into) =
      std::chrono::seconds{*hundredths * seconds_per_hundredth};
  return {};
}
constexpr fields::Own hours{&read_hours, &json::own_number, 2};

constexpr Field spell_fields[] = {
    FIELD(warmth::Spell, celsius, "celsius").bound(limits::celsius_least, limits::celsius_most),
    OWN_FIELD(warmth::Spell, lasted, "hours", hours).above(0, limits::lasted_most.count() * 100)};
constexpr Group spell_list = fields::request<warmth::Spell>(spell_fields);

constexpr Field heat_fields[] = {
    FIELD(warmth::Request, in_use_days, "in_use_days")
        .bound(limits::in_use_days_least, limits::in_use_days_most)
        .about("by the label; it serves while its days are fewer"),
    FIELD(warmth::Request, spells, "spells", &spell_list)
        .bound(0, limits::spells_most)
        .about("so long at one temperature each; they do not overlap"),
    FIELD(warmth::Request, frozen, "frozen")
        .unless_said(false)
        .about("it was seen frozen, or lay against ice: final"),
    FIELD(warmth::Request, limit, "in_use_most_celsius")
        .bound(limits::limit_least, limits::limit_most)
        .unless_said(warmth::strictest_limit)
        .about("the label's limit for use; without it that of the insulin's name on the shelf, "
               "and without a name the strictest of the labels, which the answer says")};
constexpr Group heat_list = fields::request<warmth::Request>(heat_fields);

constexpr Field request_fields[] = {FIELD(WarmthRequest, request, "", &heat_list).spread(),
                                    FIELD(WarmthRequest, insulin, "insulin").about("generic name")};
constexpr Group request_list = fields::request<WarmthRequest>(request_fields);

// ---- the answer

/// What the sentences of one answer share: nothing here is the estimate.
std::vector<Arg> args_of(const WarmthRequest& asked, const Warmth& found) {
  std::vector<Arg> args{arg_celsius("limit", found.limit), arg_count("days", found.in_use_days),
                        arg_text("hours_out", hours_text(found.out_of_fridge)),
                        arg_text("hours_above", hours_text(found.above_limit)),
                        arg_celsius("fridge", warmth::fridge_most)};
  if (found.warmest) args.push_back(arg_celsius("warmest", *found.warmest));
  const auto& spells = asked.request.spells;
  const auto coldest = std::ranges::min_element(spells, {}, &warmth::Spell::celsius);
  if (coldest != spells.end()) args.push_back(arg_celsius("coldest", coldest->celsius));
  args.push_back(arg_celsius("least", warmth::fridge_least));
  return args;
}

/// No limit of use was broken, but below what labels store at it may have frozen unseen (H12).
bool is_in_doubt(const Warmth& found) {
  return !found.limit_broken &&
         std::ranges::find(found.cautions, warmth::warmth_cautions::near_freezing) !=
             found.cautions.end();
}

/// Whose limit it was: what the request said, what the shelf has for the name, the strictest.
enum class LimitFrom : std::uint8_t { request, shelf, strictest };
constexpr std::array<std::string_view, 3> limit_from_names{"request", "shelf", "strictest"};
constexpr std::array<std::string_view, 3> limit_endings{"", "_shelf", "_assumed"};

LimitFrom limit_from(const WarmthRequest& asked, const Warmth& found) {
  if (found.limit_assumed) return LimitFrom::strictest;
  const auto* named = shelf::of_the_program().named(asked.insulin);
  const bool same = named != nullptr && named->thing.in_use_most == found.limit;
  return same ? LimitFrom::shelf : LimitFrom::request;
}

std::string broken_key(Broken broken, LimitFrom from) {
  switch (broken) {
    case Broken::frozen:
      return "warmth.why.frozen";
    case Broken::too_warm:
      return "warmth.why.too_warm" + std::string(limit_endings[static_cast<std::size_t>(from)]);
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
  const auto found = warmth_of(*asked);
  if (!found) return found.error();
  return Answer{warmth_answer_json(*asked, *found, say), warmth_text(*asked, *found, say)};
}

}  // namespace

Result<WarmthRequest> parse_warmth_request(const Value& request) {
  WarmthRequest out;
  if (const auto read = json::ListReader().object(request, "", request_list, &out); !read) {
    return read.error();
  }
  return out;
}

Result<Warmth> warmth_of(const WarmthRequest& asked) {
  warmth::Label label;
  const auto& shelf = shelf::of_the_program();
  if (const auto* named = shelf.named(asked.insulin)) {
    label = {named->thing.in_use_most, named->thing.in_use_days};
    // Nobody says which strength: the longest period that one of them has.
    for (const auto& entry : shelf.insulins) {
      if (entry.thing.name == named->thing.name)
        label.days = std::max(*label.days, entry.thing.in_use_days);
    }
  }
  return warmth::warmth(asked.request, label);
}

Result<WarmthRequest> parse_warmth_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_warmth_request(*value);
}

std::string_view warmth_source() {
  return "Pingel M, Volund A. Diabetes 1972;21:805 (abstract, read): upper envelope over seven old "
         "preparations, 10% lost in 69 years at 5 C, 10 years at 15 C, 20 months at 25 C, 3 "
         "months "
         "at 35 C, 10 days at 45 C; first order, Arrhenius between. Above what a second "
         "publication "
         "lost (Storring 1975 Diabetologia 11:581, abstract, read) and above a field study that "
         "lost nothing in four weeks between 25 and 37 C (Kaufmann 2021 PLoS One 16:e0245372, "
         "second-hand)";
}

std::vector<Sentence> warmth_do_first(const WarmthRequest& asked, const Warmth& found) {
  const auto args = args_of(asked, found);
  if (is_in_doubt(found)) return {{"warmth.do.cold", args}, {"warmth.do.today", args}};
  if (!found.limit_broken) return {{"warmth.do.use", args}};
  return {{"warmth.do.replace", args}, {"warmth.do.today", args}};
}

std::vector<Sentence> warmth_why(const WarmthRequest& asked, const Warmth& found) {
  const auto args = args_of(asked, found);
  const auto from = limit_from(asked, found);
  std::vector<Sentence> out;
  for (const auto broken : found.broken) out.push_back({broken_key(broken, from), args});
  if (is_in_doubt(found)) {
    out.push_back({"warmth.why.cold", args});
  } else if (!found.limit_broken) {
    out.push_back(
        {"warmth.why.kept" + std::string(limit_endings[static_cast<std::size_t>(from)]), args});
  }
  return out;
}

std::vector<Sentence> warmth_for_person(const WarmthRequest& asked, const Warmth& found) {
  std::vector<Sentence> out;
  if (!asked.insulin.empty()) out.push_back({"warmth.of", {arg_text("insulin", asked.insulin)}});
  const auto first = warmth_do_first(asked, found);
  out.push_back(first.front());
  const auto why = warmth_why(asked, found);
  out.insert(out.end(), why.begin(), why.end());
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
  const std::vector<Arg> args{arg_celsius("limit", found.limit),
                              arg_count("days", found.in_use_days)};
  for (const auto code : found.cautions) {
    if (!is_for_nurse(code)) out.push_back({code, {std::string(code), args}});
  }
  return out;
}

json::Value warmth_answer_json(const WarmthRequest& asked, const Warmth& found, const Say& say) {
  const auto for_person = said(warmth_for_person(asked, found), say);
  auto out = json::object(
      {{"limit_broken", json::boolean(found.limit_broken)},
       {"do_first", json::string(said(warmth_do_first(asked, found), say))},
       {"broken", broken_json(found)},
       {"limit_celsius", json::number(found.limit)},
       {"limit_assumed", json::boolean(found.limit_assumed)},
       {"limit_from",
        json::string(limit_from_names[static_cast<std::size_t>(limit_from(asked, found))])}});
  json::add(out, "warmest_celsius", found.warmest ? json::number(*found.warmest) : json::null());
  json::add(out, "hours_above_limit", hours_json(found.above_limit));
  json::add(out, "hours_out_of_fridge", hours_json(found.out_of_fridge));
  json::add(out, "why", json::string(said(warmth_why(asked, found), say)));
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
  return example_of(R"({"in_use_days": 28, "spells": [{"celsius": 37, "hours": 240}]})");
}

json::Value warmth_schema() {
  auto schema = json::headed("warmth: what heat has done", json::ListSchema().object(request_list));
  json::add(schema, "anyOf", json::sets_of({{"spells"}, {"frozen"}}));
  return schema;
}

const Verb warmth_verb{"warmth", &warmth_example, &warmth_schema, &run_warmth, TextForm::prose};

}  // namespace penstock::verbs
