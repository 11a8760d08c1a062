// The journal of a person, newest first: what was recorded, what a correction made of it.
#include "edge/pages/journal/journal.hpp"

#include <algorithm>
#include <unordered_set>

#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;

std::string insulin_of(const Words& words, const Chart& person, Id cartridge) {
  const auto* found = person.ledger.cartridge(cartridge);
  return found == nullptr || found->copy.name.empty() ? said(words, "journal.unknown_cartridge")
                                                      : found->copy.name;
}
std::string pen_of(const Words& words, const Chart& person, Id pen) {
  const auto* found = person.ledger.pen(pen);
  return found == nullptr || !found->is_given() ? said(words, "journal.unknown_pen")
                                                : found->copy.name;
}
std::string line_of(const Words& words, const Chart& person, Id line) {
  const auto* found = person.order.line(line);
  return found == nullptr ? said(words, "journal.unknown_line") : found->text.insulin;
}

std::string zone_name(const Words& words, Zone zone) { return words.name(word_of(zone)); }
std::string zone_list(const Words& words, const std::vector<Zone>& zones) {
  std::string out;
  for (const auto zone : zones) out += (out.empty() ? "" : "; ") + zone_name(words, zone);
  return out;
}

// The arguments of a fact's sentence, "fact.<kind>" in the catalogue.
struct Arguments {
  const Words& words;
  const Chart& person;
  const shelf::Shelf& shelf;
  std::vector<Arg> args;

  void operator()(const PersonRegistered& f) {
    args = {arg_text("name", f.full_name), arg_text("number", f.number)};
  }
  void operator()(const OrderLineSigned& f) {
    std::string doses;
    for (const auto& slot : f.slots) {
      doses += (doses.empty() ? "" : ", ") +
               said(words, "order.slot",
                    {arg_units("dose", slot.units), arg_code("when", "with/" + word_of(slot.slot)),
                     arg_text("time", format_iso(slot.at))});
    }
    args = {arg_text("insulin", f.insulin), arg_strength("strength", f.strength),
            arg_text("doses", doses), arg_text("prescriber", f.prescriber),
            arg_count("version", f.order_version)};
  }
  void operator()(const OrderLineChecked& f) {
    args = {arg_text("insulin", line_of(words, person, f.line)), arg_text("by", f.checked_by)};
  }
  void operator()(const OrderSignatureSeen& f) {
    args = {arg_text("insulin", line_of(words, person, f.line))};
  }
  void operator()(const OrderLineEnded& f) {
    args = {arg_text("insulin", line_of(words, person, f.line)),
            arg_text("last", words.day_year(f.last_day)), arg_text("reason", f.reason)};
  }
  void operator()(const QuestionOpened& f) {
    args = {
        arg_text("reason", f.text.empty() ? words.name("reason/" + word_of(f.reason)) : f.text)};
  }
  void operator()(const QuestionAnswered& f) {
    args = {arg_code("answer", "answer/" + word_of(f.answer)), arg_text("by", f.by),
            arg_text("text", f.text)};
  }
  void operator()(const PenGiven& f) {
    args = {arg_text("pen", f.copy.name), arg_text("insulin", f.insulin),
            arg_strength("strength", f.strength)};
  }
  void operator()(const SuppliesGiven& f) {
    args = {arg_count("cartridges", f.cartridges), arg_text("insulin", f.insulin),
            arg_count("needles", f.needles)};
  }
  void operator()(const CartridgeLoaded& f) {
    args = {arg_text("insulin", f.copy.name), arg_strength("strength", f.copy.strength),
            arg_units("units", f.units), arg_text("lot", f.lot)};
  }
  void operator()(const LeftFridge& f) {
    args = {arg_text("insulin", insulin_of(words, person, f.cartridge))};
  }
  void operator()(const WindowTested& f) {
    args = {arg_text("pen", pen_of(words, person, f.pen)), arg_units("dialled", f.dialled),
            arg_text("shown", format(f.shown_after))};
  }
  void operator()(const Primed& f) {
    args = {arg_units("units", f.units),
            arg_text("insulin", insulin_of(words, person, f.cartridge)),
            arg_code("flow", "flow/" + word_of(f.flow))};
  }
  void operator()(const Injected& f) {
    args = {arg_units("units", f.units),
            arg_text("insulin", insulin_of(words, person, f.cartridge)),
            arg_units("meant", f.meant.value_or(f.units)),
            arg_text("zone", f.zone ? ", " + words.name(word_of(*f.zone)) : "")};
  }
  void operator()(const NeedleOn& f) {
    const auto* needle = shelf.needle(f.needle);
    args = {arg_text("pen", pen_of(words, person, f.pen)),
            arg_text("needle", needle == nullptr ? f.needle : needle->thing.name)};
  }
  void operator()(const NeedleOff& f) { args = {arg_text("pen", pen_of(words, person, f.pen))}; }
  void operator()(const ScaleCounted& f) {
    args = {arg_units("units", f.units),
            arg_text("insulin", insulin_of(words, person, f.cartridge))};
  }
  void operator()(const ThrownAway& f) {
    args = {arg_text("insulin", insulin_of(words, person, f.cartridge)),
            arg_code("reason", "throw/" + word_of(f.reason))};
  }
  void operator()(const TemperatureSpell& f) {
    args = {arg_celsius("celsius", f.celsius), arg_count("minutes", f.minutes),
            arg_text("text", f.text)};
  }
  void operator()(const PenShared& f) {
    args = {arg_text("pen", pen_of(words, person, f.pen)), arg_text("with", f.with)};
  }
  void operator()(const BodyMeasured& f) {
    std::string said_of;
    const auto add = [&](std::string_view key, std::string value) {
      said_of += (said_of.empty() ? "" : ", ") + said(words, key, {arg_text("value", value)});
    };
    if (f.height) add("fact-part.height", format(*f.height));
    if (f.waist) add("fact-part.waist", format(*f.waist));
    if (f.due) add("fact-part.due", words.day_year(*f.due));
    if (f.sex != Sex::unknown) add("fact-part.sex", words.name("sex/" + word_of(f.sex)));
    args = {arg_text("body", said_of.empty() ? words.name("nothing") : said_of)};
  }
  void operator()(const DepthMeasured& f) {
    args = {arg_text("zone", zone_name(words, f.zone)), arg_text("depth", format(f.depth)),
            arg_text("sd", format(f.sd)), arg_text("text", f.text)};
  }
  void operator()(const SkinExamined& f) {
    std::string found;
    for (const auto& one : f.findings) {
      found +=
          " " + said(words, "fact-part.finding",
                     {arg_code("tissue", "tissue/" + word_of(one.tissue)),
                      arg_text("zone", zone_name(words, one.zone)),
                      arg_text("length", format(one.length)), arg_text("width", format(one.width)),
                      arg_code("verdict", "verdict/" + word_of(one.verdict))});
    }
    args = {arg_text("zones", zone_list(words, f.zones)), arg_text("found", found),
            arg_text("text", f.text)};
  }
  void operator()(const AreaBlocked& f) {
    args = {arg_code("tissue", "tissue/" + word_of(f.tissue)),
            arg_text("zone", zone_name(words, f.zone)),
            arg_text("across", format(TenthsMm{f.radius.tenths * 2})), arg_text("text", f.text)};
  }
  void operator()(const PlaceNoted& f) { args = {arg_text("zone", zone_name(words, f.zone))}; }
  void operator()(const PlaceRulesSet& f) {
    args = {arg_text("zones", zone_list(words, f.zones)), arg_count("days", f.rest_days),
            arg_text("spacing", format(f.spacing)), arg_count("angle", f.angle_deg)};
  }
  void operator()(const PlacePlanGiven& f) {
    const auto by_day = [](const PromisedPlace& a, const PromisedPlace& b) {
      return a.day < b.day;
    };
    const auto [first, last] = std::ranges::minmax_element(f.places, by_day);
    args = {arg_count("places", static_cast<std::int64_t>(f.places.size()))};
    if (f.places.empty()) return;
    args.push_back(arg_text("first", words.day_year(first->day)));
    args.push_back(arg_text("last", words.day_year(last->day)));
  }
  void operator()(const SuppliesCounted& f) {
    std::string counted;
    if (f.cartridges) {
      counted = said(words, "fact-part.counted_cartridges",
                     {arg_count("count", *f.cartridges), arg_text("insulin", f.insulin)});
    }
    if (f.needles) {
      counted += (counted.empty() ? "" : ", ") +
                 said(words, "fact-part.counted_needles", {arg_count("count", *f.needles)});
    }
    args = {arg_text("counted", counted)};
  }
  void operator()(const NeedlesGiven& f) {
    const auto* needle = shelf.needle(f.needle);
    args = {
        arg_count("count", f.needles),
        arg_text("needle", needle == nullptr ? f.needle : needle->thing.name),
        arg_text("lot", f.lot.empty() ? std::string()
                                      : said(words, "fact-part.lot", {arg_text("lot", f.lot)}))};
  }
  void operator()(const SupplyRulesSet& f) {
    const auto why =
        f.service_per_thousand < service_plain_least
            ? said(words, "fact-part.service",
                   {arg_text("by", f.service_by), arg_text("reason", f.service_reason)})
            : std::string();
    args = {arg_count("lead", f.lead_days), arg_count("days", f.for_days),
            arg_count("spare", f.spare_cartridges), arg_text("why", why)};
  }
  void operator()(const SuppliesAsked& f) {
    std::string asked;
    if (f.boxes > 0) {
      asked = said(words, "fact-part.asked_boxes",
                   {arg_count("count", f.boxes), arg_text("insulin", f.insulin)});
    }
    if (f.needle_boxes > 0) {
      asked += (asked.empty() ? "" : ", ") +
               said(words, "fact-part.asked_needles", {arg_count("count", f.needle_boxes)});
    }
    args = {arg_text("asked", asked),
            arg_text("of_whom", f.of_whom.empty() ? std::string()
                                                  : said(words, "fact-part.of_whom",
                                                         {arg_text("of_whom", f.of_whom)}))};
  }
  void operator()(const SharpsBoxGiven& f) { args = {arg_count("count", f.holds_needles)}; }
  void operator()(const SharpsBoxClosed& f) { args = {arg_text("brought_to", f.brought_to)}; }
  void operator()(const TripPlanned& f) {
    args = {arg_text("leaves", words.day_year(f.leaves)),
            arg_text("returns", words.day_year(f.returns)), arg_text("text", f.text)};
  }
  void operator()(const PenTested& f) {
    args = {arg_text("pen", pen_of(words, person, f.pen)), arg_units("dialled", f.dialled),
            arg_count("count", std::ssize(f.delivered)),
            arg_code("by", "measured/" + word_of(f.by))};
  }
  void operator()(const DifferenceTalked& f) {
    args = {arg_text("insulin", f.insulin), arg_text("from", words.day_year(f.from)),
            arg_text("until", words.day_year(f.until)),
            arg_code("because", "explained/" + word_of(f.because)), arg_text("text", f.text)};
  }
  void operator()(const TaughtBack& f) {
    args = {arg_code("skill", "skill/" + word_of(f.skill)), arg_text("needle", f.needle)};
  }
  void operator()(const Note& f) { args = {arg_text("text", f.text)}; }
  void operator()(const ReminderDismissed& f) { args = {arg_text("reason", f.reason)}; }
  void operator()(const PhoneAdvice& f) { args = {arg_text("text", f.said)}; }
  void operator()(const DiaryImported& f) {
    args = {arg_text("file", f.file), arg_count("rows", f.facts_new)};
  }
  void operator()(const Correction& f) { args = {arg_text("reason", f.reason)}; }
  template <class Other>
  void operator()(const Other&) {}
};

std::string key_of(const Payload& payload) {
  auto key = "fact." + std::string(name_of(payload));
  if (const auto* examined = std::get_if<SkinExamined>(&payload)) {
    if (examined->findings.empty()) key += ".nothing";
  }
  if (const auto* dose = std::get_if<Injected>(&payload)) {
    if (dose->outcome == Outcome::part) key += ".part";
    if (dose->outcome == Outcome::unknown) key += ".unknown";
  }
  return key;
}

Rich sentence_of(const Words& words, const Chart& person, const shelf::Shelf& shelf,
                 const Payload& payload) {
  Arguments arguments{words, person, shelf, {}};
  std::visit(arguments, payload);
  return words.sentence(key_of(payload), arguments.args);
}

enum class RowState : std::uint8_t { stands, corrected, voided, waiting };
constexpr std::array<std::string_view, 4> row_states{"stands", "corrected", "voided", "waiting"};

struct Written {
  const Fact* fact = nullptr;
  const Payload* payload = nullptr;
  When happened;
  RowState state = RowState::stands;
  const Fact* correction = nullptr;
};

std::vector<Written> rows_of(const Chart& person) {
  std::vector<Written> rows;
  for (const auto& effective : person.history.facts) {
    rows.push_back({effective.fact, effective.payload, effective.happened,
                    effective.correction == nullptr ? RowState::stands : RowState::corrected,
                    effective.correction});
  }
  for (const auto& voided : person.history.voided) {
    const auto* correction = std::get_if<Correction>(&voided.correction->payload);
    if (correction != nullptr && correction->wrong_person)
      continue;  // hidden from view, kept in the audit
    rows.push_back({voided.fact, &voided.fact->payload, voided.fact->happened, RowState::voided,
                    voided.correction});
  }
  for (const auto* waiting : person.history.waiting) {
    rows.push_back({waiting, &waiting->payload, waiting->happened, RowState::waiting, nullptr});
  }
  std::ranges::stable_sort(rows, std::greater<>{}, [](const Written& row) {
    return std::tuple{row.happened.at, row.fact->sequence};
  });
  return rows;
}

std::string state_text(const Words& words, const Written& row) {
  switch (row.state) {
    case RowState::stands:
      return {};
    case RowState::waiting:
      return said(words, "journal.waiting");
    case RowState::corrected:
    case RowState::voided:
      break;
  }
  const auto* correction = std::get_if<Correction>(&row.correction->payload);
  const std::vector<Arg> args{arg_text("reason", correction == nullptr ? "" : correction->reason),
                              arg_text("by", row.correction->author)};
  return said(words, row.state == RowState::corrected ? "journal.corrected" : "journal.voided",
              args);
}

// What the correction form starts from: the kind's fields and when it happened.
json::Value fact_of(const Written& row) {
  auto fact = wire::payload_to_json(*row.payload);
  json::add(fact, "happened", json::string(row.happened));
  return fact;
}

json::Value row_document(const Words& words, const Chart& person, const shelf::Shelf& shelf,
                         const Written& row) {
  const auto& by = row.fact->told_by.empty() ? row.fact->author : row.fact->told_by;
  return json::object(
      {{"id", json::string(row.fact->id)},
       {"when_text", text(format_iso(row.happened.minute()))},
       {"day_text", text(words.day_long(row.happened.day()))},
       {"what", text(words.name("fact/" + std::string(name_of(*row.payload))))},
       {"sentence", rich(sentence_of(words, person, shelf, *row.payload))},
       {"by_text", text(said(words, "journal.by",
                             {arg_text("by", by), arg_text("source", row.fact->source)}))},
       {"state", text(row_states[static_cast<std::size_t>(row.state)])},
       {"state_text", text(state_text(words, row))},
       {"fact", fact_of(row)},
       {"can_correct",
        json::boolean(row.state == RowState::stands || row.state == RowState::corrected)}});
}

}  // namespace

json::Value journal_page(const Chart& person, const People& people, const Clinic& clinic,
                         const Caller& caller, int page) {
  const auto rows = rows_of(person);
  const auto here = cut(rows.size(), page);
  std::vector<json::Value> out;
  for (auto i = here.from; i < here.to; ++i)
    out.push_back(row_document(caller.words, person, clinic.shelf, rows[i]));
  return json::object(
      {{"who", who_of(caller.words, person, people, now_at(person, caller))},
       {"version", json::count(static_cast<std::int64_t>(person.version))},
       {"page", json::count(here.page)},
       {"pages", json::count(here.pages)},
       {"count_text",
        text(said(caller.words, "journal.count",
                  {arg_count("facts", static_cast<std::int64_t>(person.facts.size()))}))},
       {"rows", list(std::move(out))},
       {"chain_text", text(said(caller.words, "journal.chain",
                                {arg_count("version", static_cast<std::int64_t>(person.version)),
                                 arg_text("head", to_text(person.head).substr(0, 16))}))}});
}

json::Value written_since(const Chart& person, const Clinic& clinic, const Caller& caller,
                          std::uint64_t version) {
  std::unordered_set<Id, IdHash> fresh;
  for (const auto& fact : chart::facts_after(person, version)) fresh.insert(fact.id);
  const auto is_new = [&](const Fact* fact) { return fresh.contains(fact->id); };
  constexpr std::size_t rows_most = 20;  // more than these are read in the journal itself
  std::vector<json::Value> out;
  for (const auto& row : rows_of(person)) {
    if (out.size() == rows_most) break;
    if (is_new(row.fact) || (row.correction != nullptr && is_new(row.correction)))
      out.push_back(row_document(caller.words, person, clinic.shelf, row));
  }
  return list(std::move(out));
}

}  // namespace penstock::pages
