// What somebody takes home from a visit: what was done, what is new, where the dose stands, when
// the next contact is, whom to phone. No dose stands on it: that is the dial card's alone (H48,
// H55).
#include <algorithm>
#include <set>
#include <variant>

#include "core/visit/visit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/sheets/internal/no_sheet.hpp"
#include "edge/pages/sheets/internal/on_paper.hpp"
#include "edge/pages/sheets/sheets.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using namespace internal;

std::string key_of(std::string_view what) { return "visit_sheet." + std::string(what); }

// One line a thing that concerns the person; what is only for the record is not among them. Of an
// injection the hour alone: the units would be read as what to dial.
struct Done {
  const Words& words;
  const Chart& person;
  const visit::Met& met;
  const Effective* entry = nullptr;
  std::vector<json::Value> rows{};
  std::set<std::string> known{};

  void add(std::string_view what, const std::vector<Arg>& args = {}) {
    if (known.insert(said(words, key_of(what), args)).second)
      rows.push_back(say(words, key_of(what), args));
  }
  std::vector<Arg> insulin(std::string_view name, Strength strength) const {
    return {arg_text("insulin", name), arg_strength("strength", strength)};
  }

  void operator()(const SkinExamined&) { add("felt"); }
  void operator()(const BodyMeasured&) { add("measured"); }
  void operator()(const GlucoseNoted&) { add("glucose"); }
  void operator()(const ScaleCounted&) { add("scale"); }
  void operator()(const SuppliesCounted&) { add("counted"); }
  void operator()(const WindowTested&) { add("window"); }
  void operator()(const PenTested&) { add("pen_tested"); }
  void operator()(const TaughtBack& f) {
    add("taught", {arg_code("skill", "skill/" + word_of(f.skill))});
  }
  // Which one it was: given before its hour, it must not be taken at its hour again (H07).
  void operator()(const Injected& f) {
    const auto& when = entry->happened;
    if (when.day() != met.ended.day()) return;
    std::vector<Arg> args{arg_text("time", format_iso(when.minute()))};
    const auto* line = f.line ? person.order.line(*f.line) : nullptr;
    const auto slot = line != nullptr && f.slot
                          ? std::ranges::find(line->text.slots, *f.slot, &Slot::slot)
                          : std::vector<Slot>::const_iterator{};
    if (line == nullptr || !f.slot || slot == line->text.slots.end()) return add("injected", args);
    args.push_back(arg_text("insulin", line->text.insulin));
    args.push_back(arg_text("due", format_iso(slot->at)));
    add("injected_for", args);
  }
  void operator()(const CartridgeLoaded& f) {
    add("loaded", insulin(f.copy.name, f.copy.strength));
  }
  void operator()(const PenGiven& f) { add("pen", insulin(f.insulin, f.strength)); }
  void operator()(const SuppliesGiven& f) {
    if (!f.insulin.empty()) add("insulin", insulin(f.insulin, f.strength));
    if (f.needles > 0) add("needles", {arg_count("needles", f.needles)});
  }
  void operator()(const NeedlesGiven& f) { add("needles", {arg_count("needles", f.needles)}); }
  void operator()(const SharpsBoxGiven&) { add("sharps"); }
  void operator()(const PlacePlanGiven&) { add("places"); }
  void operator()(const SuppliesAsked&) { add("asked"); }
  void operator()(const QuestionOpened&) { add("question"); }
  template <class Other>
  void operator()(const Other&) {}
};

// By how they were done: the steps by their own names, since a title may have had the dose in it.
void add_steps(Done& done, const visit::NoteLine& line) {
  for (const auto how : {Judged::alone, Judged::after_a_hint, Judged::not_done}) {
    std::string steps;
    for (const auto* entry : line.entries) {
      const auto* step = std::get_if<StepJudged>(entry->payload);
      if (step == nullptr || step->how != how || step->of == HandStep::other) continue;
      steps += (steps.empty() ? "" : "; ") + done.words.name("hand-step/" + word_of(step->of));
    }
    if (steps.empty()) continue;
    done.add(how == Judged::alone          ? "steps_alone"
             : how == Judged::after_a_hint ? "steps_hint"
                                           : "steps_not_done",
             {arg_text("steps", steps)});
  }
}

std::vector<json::Value> done_rows(const Words& words, const Chart& person, const visit::Met& met) {
  Done done{words, person, met};
  for (const auto& line : met.note) {
    if (line.topic == visit::Topic::watched) add_steps(done, line);
    for (const auto* entry : line.entries) {
      done.entry = entry;
      std::visit(done, static_cast<const AnyKind&>(*entry->payload));
    }
  }
  if (done.rows.empty()) done.add("talked");
  return std::move(done.rows);
}

// The first day of a version, where it is still to come: until then the card of now counts (H08).
std::optional<LocalDay> begins(const Chart& person, std::int64_t version, LocalDay today) {
  std::optional<LocalDay> first;
  for (const auto& line : person.order.lines) {
    if (line.text.order_version == version && (!first || line.text.from < *first))
      first = line.text.from;
  }
  return first && *first > today ? first : std::nullopt;
}

std::vector<json::Value> new_rows(const Words& words, const Chart& person, const visit::Met& met,
                                  LocalDay today) {
  std::vector<json::Value> out;
  if (const auto& version = met.since.version_now) {
    std::vector<Arg> args{arg_count("version", *version)};
    const bool is_new = met.since.version_then != version;
    const auto from = begins(person, *version, today);
    if (from) args.push_back(arg_text("day", words.day_long(*from)));
    out.push_back(say(words,
                      key_of(!is_new ? "order_same"
                             : from  ? "order_coming"
                                     : "order_new"),
                      args));
  }
  std::set<std::string> places;
  for (const auto& area : person.skin.areas) {
    if (area.kept_off)
      places.insert(words.name(zone_names[static_cast<std::size_t>(area.last().zone)]));
  }
  std::string named;
  for (const auto& place : places) named += (named.empty() ? "" : "; ") + place;
  if (!named.empty()) out.push_back(say(words, key_of("keep_off"), {arg_text("places", named)}));
  return out;
}

std::vector<json::Value> next_rows(const Words& words, const Chart& person, const When& now) {
  std::vector<json::Value> out;
  for (const auto* one : person.contacts.waiting()) {
    const auto& agreed = one->said;
    if (agreed.at.at < now.at) continue;
    out.push_back(
        say(words, key_of("next_" + word_of(agreed.meeting)) + (agreed.with.empty() ? "" : "_with"),
            {arg_text("day", words.day_long(agreed.at.day())),
             arg_text("time", format_iso(agreed.at.minute())), arg_text("with", agreed.with)}));
  }
  if (out.empty()) out.push_back(say(words, key_of("next_none")));
  return out;
}

// What was said at a visit is old news after so long (ours, no source).
constexpr std::chrono::days sheet_days{28};

// Until the next contact, and never longer than the order itself.
LocalDay valid_until(const Chart& person, std::span<const order::Line* const> lines,
                     const When& now) {
  auto out = std::min(last_day(person, lines, now.day()), now.day() + sheet_days);
  for (const auto* one : person.contacts.waiting()) {
    if (one->said.at.at >= now.at) out = std::min(out, one->said.at.day());
  }
  return out;
}

}  // namespace

Result<json::Value> visit_sheet(const Chart& person, const Clinic& clinic, const Caller& caller) {
  const auto& words = caller.words;
  const auto now = now_at(person, caller);
  if (const auto unfit = no_sheet(person, clinic, now)) return *unfit;
  const auto met = visit::last_met(person, now);
  if (!met) return Error{Kind::not_found, std::string(codes::no_visit), {}, ""};
  const auto lines = lines_of(person, now.day());
  // What gives no card says here to phone first (H37, H40).
  const bool is_one = card_days(person, now.day()).empty();
  const bool has_card = dial_card_sheet(person, clinic, caller, {}).has_value();
  return json::object(
      {{"who", who_of(words, person, {}, clinic, now)},
       {"clinic", text(clinic.names.clinic)},
       {"title",
        text(said(words, key_of("title"), {arg_text("day", words.day_long(met->ended.day()))}))},
       {"order_text", text(lines.empty() ? said(words, key_of("no_order"))
                                         : order_text(words, lines, now.day()))},
       {"printed_text", text(printed_text(words, now))},
       {"valid_text", say(words, key_of("valid"),
                          {arg_text("day", words.day_year(valid_until(person, lines, now)))})},
       {"done", list(done_rows(words, person, *met))},
       {"news", list(new_rows(words, person, *met, now.day()))},
       {"dose", say(words,
                    key_of(!has_card ? "no_card"
                           : is_one  ? "card"
                                     : "cards"),
                    {arg_text("phone", clinic.names.phone)})},
       {"ask_first", json::boolean(!has_card)},
       {"next", list(next_rows(words, person, now))},
       {"forgot", json::object({{"title", text(said(words, "card.forgot_title"))},
                                {"text", say(words, "card.forgot")}})},
       {"low", low_box(words, &person, now.day(), clinic)},
       {"phones", list(phones_of(words, person, clinic))}});
}

}  // namespace penstock::pages
