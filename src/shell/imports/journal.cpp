// A journal that another bench exported. Nothing enters before its preview was accepted (H22), with
// both names side by side (H19), and with what it would change of entries that are here, as they
// are and as they would be; what enters meets what every fact meets. Second checks, answers and
// tests do not enter: they let a number go, and whoever made the file may have been anybody (S3).
// They wait to be made here, by hand.
//
// Records of what happened are taken as told, as everywhere, and what would be asked about them is
// listed. What gives leave for more is vetted in the file's order; into a record that is here
// nothing of it enters that would be refused at the desk. A record that is new here is somebody
// else's word as a whole, and is taken so.
#include "edge/pages/journal/journal.hpp"

#include <algorithm>
#include <type_traits>
#include <unordered_map>
#include <unordered_set>

#include "core/contacts/contacts.hpp"
#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"
#include "edge/wire/journal_file.hpp"
#include "shell/claims/claims.hpp"
#include "shell/imports/imports.hpp"
#include "shell/names/names.hpp"
#include "shell/rows/rows.hpp"
#include "shell/signers/signers.hpp"
#include "shell/vetting/products/products.hpp"
#include "shell/vetting/so_far.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::imports {
namespace {

using namespace journal;
using pages::list;
using pages::text;
using vetting::chart_before;
using vetting::clock_slack;
using vetting::looks_at_journal;
using vetting::object_to;
using vetting::Objection;
using vetting::odd_of;
using vetting::said_by;
using vetting::SoFar;
using watch::Level;

// What a preview lists of each sort; more are counted.
constexpr std::size_t listed_max = 8;
constexpr std::size_t asked_listed_max = 100;
// Each injection is held against the journal with all before it, which is read anew for it: the
// last ones are, which the next number rests on.
constexpr std::size_t doses_vetted_max = 50;

Error refusal(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::refused, std::string(code), std::move(args), std::string(at)};
}

// What can be said of the file alone.
Result<void> fit_to_enter(const wire::JournalFile& file, const Chart& theirs, Instant now) {
  for (std::size_t i = 0; i < file.facts.size(); ++i) {
    const auto& fact = file.facts[i];
    const auto at = json::pointer("/facts", i);
    if (is_of_clinic(type_of(fact.payload)))
      return refusal(codes::not_a_person, {arg_code("kind", name_of(fact.payload))}, at);
    if (fact.recorded > now + clock_slack)
      return refusal(codes::import_future, {arg_instant("when", theirs.zone.when(fact.recorded))},
                     at);
  }
  // S17: without it the entries would stand where nobody finds them.
  if (!theirs.person.registered || !names::is_seen(theirs.person.full_name))
    return refusal(codes::import_nobody, {}, "/facts");
  // H18: their hours would be those of whatever machine this is.
  if (!stands_for_a_place(theirs.person.zone))
    return refusal(vetting::codes::zone_no_place, {arg_text("text", theirs.person.zone)}, "/facts");
  return {};
}

bool same_name(const Person& a, const Person& b) {
  return names::folded(a.full_name) == names::folded(b.full_name);
}

// H19: another name and another birth date is another person.
bool is_somebody_else(const Person& theirs, const Person& here) {
  return !same_name(theirs, here) && theirs.born != here.born;
}

// What happened is taken as told; what is odd about it is said.
std::vector<Objection> object_to_record(const Fact& fact, const Chart& whose, const Clinic& clinic,
                                        Instant now) {
  std::vector<Objection> out;
  for (auto& differs : products::differences(said_by(fact), clinic.shelf))
    out.push_back({std::move(differs), true});
  if (fact.happened.at > now + clock_slack)
    out.push_back({{Kind::refused,
                    vetting::codes::ask_future,
                    {arg_instant("when", whose.clock.told(fact.happened))}},
                   true});
  if (auto odd = odd_of(fact, whose)) out.push_back({*std::move(odd), true});
  return out;
}

bool gives_leave(const Payload& payload) {
  return std::visit(
      []<class P>(const P&) {
        return std::is_same_v<P, OrderLineSigned> || std::is_same_v<P, OrderSignatureSeen> ||
               std::is_same_v<P, OrderLineEnded> || std::is_same_v<P, QuestionOpened> ||
               std::is_same_v<P, QuestionAnswered> || std::is_same_v<P, PenGiven> ||
               std::is_same_v<P, PersonRegistered> || std::is_same_v<P, DetailsChanged> ||
               std::is_same_v<P, ReminderDismissed> || std::is_same_v<P, Correction>;
      },
      payload);
}

// What waits to be made here, by hand: where a number would go on somebody's word that they
// checked, asked or tested (H40, H37, H01), and what ends a line that was checked here (H38).
enum class ByHand : std::uint8_t { check, test, answer, end, erased };

bool is_checked_here(const Chart& here, Id line) {
  const auto* one = here.order.line(line);
  return one != nullptr && one->checked.has_value();
}

std::optional<ByHand> made_by_hand(const Payload& payload, const Chart& here, LocalDay today) {
  if (std::holds_alternative<OrderLineChecked>(payload)) return ByHand::check;
  if (std::holds_alternative<WindowTested>(payload)) return ByHand::test;
  if (std::holds_alternative<QuestionAnswered>(payload) ||
      std::holds_alternative<DoseAnswered>(payload))
    return ByHand::answer;
  if (const auto* end = std::get_if<OrderLineEnded>(&payload);
      end != nullptr && is_checked_here(here, end->line))
    return ByHand::end;
  // One that replaces another waits for its check; one that is over already would end it.
  if (const auto* line = std::get_if<OrderLineSigned>(&payload);
      line != nullptr && line->replaces && is_checked_here(here, *line->replaces) && line->until &&
      *line->until <= today)
    return ByHand::end;
  return std::nullopt;
}

// Of an entry that is here: what a correction of it would take away, or give back.
std::optional<ByHand> made_by_hand(Id target, const Payload& payload, const Chart& here) {
  if (std::holds_alternative<QuestionOpened>(payload)) return ByHand::answer;
  if (std::holds_alternative<WindowTested>(payload)) return ByHand::test;
  if (std::holds_alternative<OrderLineEnded>(payload)) return ByHand::end;
  if (std::holds_alternative<OrderLineSigned>(payload) && is_checked_here(here, target))
    return ByHand::end;
  return std::nullopt;
}

// The same by a correction, whatever it puts in the place of its target: a note in the place of a
// question is no question.
std::optional<ByHand> made_by_hand(const Correction& correction, const Chart& here,
                                   LocalDay today) {
  for (const auto& one : here.history.facts) {
    if (one.fact->id != correction.target) continue;
    for (const auto* payload : {one.payload, &one.fact->payload})
      if (const auto kind = made_by_hand(correction.target, *payload, here)) return kind;
  }
  if (correction.replacement) return made_by_hand(correction.replacement->payload, here, today);
  return std::nullopt;
}

void put_off(Looked& out, ByHand kind, const Fact& fact) {
  switch (kind) {
    case ByHand::check:
      ++out.checks;
      return;
    case ByHand::test:
      out.tests.push_back(fact);
      return;
    case ByHand::erased:
      ++out.erased;
      return;
    case ByHand::answer:
      out.answers.push_back(fact);
      return;
    case ByHand::end:
      out.ends.push_back(fact);
      return;
  }
}

// What enters, and what waits to be made here. A correction of what waits waits with it.
void sort_out(Looked& out, std::vector<Fact> unknown, Instant now) {
  const auto today = out.before->zone.when(now).day();
  const auto is_there = [&](Id fact) {
    return std::ranges::find(out.before->facts, fact, &Fact::id) != out.before->facts.end() ||
           std::ranges::find(out.theirs->facts, fact, &Fact::id) != out.theirs->facts.end();
  };
  const auto news = std::ssize(unknown);
  std::unordered_set<Id, IdHash> waiting;
  for (const auto& fact : unknown) {
    const auto* correction = std::get_if<Correction>(&fact.payload);
    auto kind = correction != nullptr ? made_by_hand(*correction, *out.before, today)
                                      : made_by_hand(fact.payload, *out.before, today);
    if (const auto* erased = std::get_if<PayloadErased>(&said_by(fact));
        erased != nullptr && is_there(erased->fact))
      kind = ByHand::erased;
    if (!kind) continue;
    put_off(out, *kind, fact);
    waiting.insert(fact.id);
  }
  for (auto& fact : unknown) {
    const auto* correction = std::get_if<Correction>(&fact.payload);
    const bool waits = waiting.contains(fact.id) ||
                       (correction != nullptr && waiting.contains(correction->target));
    if (waits) continue;
    if (std::holds_alternative<OrderLineSigned>(fact.payload)) ++out.lines;
    out.fresh.push_back(std::move(fact));
  }
  out.waiting = news - std::ssize(out.fresh);
}

// What of a file is not on record. An identity alone makes nothing known: what the file says under
// it would be lost in silence (H22). Who recorded it, and when, may differ: one diary came to two
// clinics. An entry that was erased here says nothing any more, and stays so.
Result<std::vector<Fact>> not_here(store::ReadTx& tx, Looked& out, const std::vector<Fact>& facts) {
  std::unordered_map<Id, const Fact*, IdHash> here;
  for (const auto& fact : out.before->facts) here.emplace(fact.id, &fact);
  std::vector<Fact> unknown;
  for (const auto& fact : facts) {
    const auto place = tx.find(fact.id);
    if (!place) return place.error();
    if (!place->has_value()) {
      unknown.push_back(fact);
      continue;
    }
    const auto found = here.find(fact.id);
    if ((*place)->journal != fact.journal) out.twins.push_back({fact, nullptr});
    const bool differs = found != here.end() && (found->second->happened != fact.happened ||
                                                 found->second->payload != fact.payload);
    if (differs) out.twins.push_back({fact, found->second});
  }
  return unknown;
}

bool is_looked_at(const Fact& fact) {
  return looks_at_journal(fact.payload) && !gives_leave(fact.payload);
}

// What held a dose here may be struck out, changed or answered by the file (H12, H13, H59, H61).
Result<void> what_comes_back(const charts::ZoneOf& zone, Looked& out, SoFar& so_far,
                             const Clinic& clinic, Instant now) {
  if (!out.is_here() || out.fresh.empty()) return {};
  const auto after = so_far.chart();
  if (!after) return after.error();
  out.after = *after;
  auto back = vetting::gives_back(*out.before, **after, clinic, now);
  if (!back) return {};
  const auto lifts = lifting(zone, out.before, out.fresh, clinic, now);
  if (!lifts) return lifts.error();
  const auto& fact = out.fresh[*lifts];
  if (!std::holds_alternative<Correction>(fact.payload)) back->code = codes::ask_brings_number;
  out.asked.push_back({fact, *std::move(back)});
  return {};
}

// What the other of two entries says, each in the words of its kind.
struct Otherwise {
  contacts::Clash what;
  const Chart& person;
  const When& when;

  Error error(std::string_view code, std::vector<Arg> args) const {
    return {Kind::refused, std::string(code), std::move(args), ""};
  }
  Error operator()(const GlucoseNoted& other) const {
    return error(codes::ask_two_values,
                 {other.value ? arg_glucose("other", *other.value)
                              : arg_code("other", "meter-word/" + pages::word_of(other.meter)),
                  arg_instant("when", when)});
  }
  Error operator()(const Hba1cNoted& other) const {
    return error(codes::ask_two_results,
                 {arg_text("other", format_both(other.value)), arg_date("day", other.sampled_on)});
  }
  Error operator()(const AllergyNoted& other) const {
    if (what == contacts::Clash::no_allergy || other.to.empty())
      return error(codes::ask_allergy_on_record, {arg_text("to", other.to)});
    return error(
        codes::ask_two_severities,
        {arg_text("to", other.to), arg_code("other", "yes/" + pages::word_of(other.severe))});
  }
  Error operator()(const ContactNoted& other) const {
    return error(codes::ask_two_numbers,
                 {arg_text("name", other.full_name), arg_text("other", other.phone)});
  }
  Error operator()(const AppointmentMade& other) const {
    return error(codes::ask_two_hours, {arg_instant("other", person.clock.told(other.at))});
  }
  Error operator()(const ContactMade& other) const {
    return error(codes::ask_two_outcomes,
                 {arg_instant("when", when),
                  arg_code("outcome", "outcome-of-contact/" + pages::word_of(other.outcome))});
  }
  Error operator()(const auto&) const { promise_broken("no two of these contradict each other"); }
};

// What of visits, calls, values and allergies nobody would have let in unasked: what cannot be, and
// what another entry, here or in the file, says otherwise (H22, H25, H53, H61).
void ask_about_contacts(Looked& out, const Chart& together) {
  std::unordered_map<Id, const Fact*, IdHash> fresh;
  for (const auto& fact : out.fresh) fresh.emplace(fact.id, &fact);
  const auto came = [&](const Effective& one) -> const Fact* {
    const auto* said_by_it = one.correction != nullptr ? one.correction : one.fact;
    const auto found = fresh.find(said_by_it->id);
    return found == fresh.end() ? nullptr : found->second;
  };
  for (const auto& one : together.history.facts) {
    const auto* fact = came(one);
    if (fact == nullptr || gives_leave(*one.payload)) continue;
    Fact as_it_stands = *one.fact;
    as_it_stands.happened = one.happened;
    as_it_stands.payload = *one.payload;
    for (auto& objection : vetting::about_contact(as_it_stands, together))
      out.asked.push_back({*fact, std::move(objection.error)});
  }
  const auto told = [&](const When& sent) { return together.clock.told(sent); };
  for (const auto& [what, one, other] : contacts::contradictions(together.history, told)) {
    const auto* first = came(*one);
    const auto* second = came(*other);
    // A number that a file has changed since is no contradiction in it.
    if (what == contacts::Clash::contact && first != nullptr && second != nullptr &&
        one->happened.day() != other->happened.day())
      continue;
    if (first == nullptr && second == nullptr) continue;
    const auto& stands = second != nullptr ? *one : *other;
    out.asked.push_back({second != nullptr ? *second : *first,
                         std::visit(Otherwise{what, together, stands.happened}, *stands.payload)});
  }
}

Result<void> vet(const charts::ZoneOf& zone, Looked& out, const Clinic& clinic, Instant now) {
  SoFar so_far(zone, out.before);
  auto doses = static_cast<std::size_t>(std::ranges::count_if(out.fresh, is_looked_at));
  if (doses > doses_vetted_max)
    out.doses_unseen = static_cast<std::int64_t>(doses - doses_vetted_max);
  for (const auto& fact : out.fresh) {
    const bool is_dose = is_looked_at(fact);
    std::vector<Objection> objections;
    if (gives_leave(fact.payload) || (is_dose && doses <= doses_vetted_max)) {
      const auto chart = so_far.chart();
      if (!chart) return chart.error();
      objections = object_to(fact, **chart, clinic, now);
    } else {
      objections = object_to_record(fact, out.is_here() ? *out.before : *out.theirs, clinic, now);
    }
    doses -= is_dose ? 1 : 0;
    for (auto& objection : objections) {
      // Another program's name for a reminder does nothing here: it keeps no file out.
      if (objection.error.code == vetting::codes::reminder_unknown) continue;
      // What is on record elsewhere comes in, whoever is said to have signed it.
      if (objection.is_question || signers::is_of_nobody(objection.error.code)) {
        out.asked.push_back({fact, std::move(objection.error)});
      } else {
        out.refused.push_back(std::move(objection.error));
      }
    }
    so_far.take(fact);
  }
  const auto together = so_far.chart();
  if (!together) return together.error();
  ask_about_contacts(out, **together);
  return what_comes_back(zone, out, so_far, clinic, now);
}

json::Value person_of(const Words& words, const Person& person) {
  return json::object({{"name", text(person.full_name)},
                       {"born_text", text(words.day_year(person.born))},
                       {"number", text(person.number)}});
}

std::vector<json::Value> said_each(const Words& words, const std::vector<Error>& errors) {
  std::vector<json::Value> out;
  std::vector<std::string> before;
  for (const auto& error : errors) {
    if (out.size() == listed_max) break;
    const auto told = words.say(error);
    if (std::ranges::find(before, told.what) != before.end()) continue;
    before.push_back(told.what);
    out.push_back(json::object({{"what", text(told.what)}, {"do_this", text(told.do_this)}}));
  }
  return out;
}

// ---- what it would change here, and what would be asked

struct Telling {
  const Words& words;
  const Chart& person;
  const shelf::Shelf& shelf;

  std::string entry(const When& when, const Payload& payload) const {
    return words.text(
        "import.entry",
        {arg_text("when", words.moment(person.clock.told(when))),
         arg_text("entry", words::plain(pages::sentence_of(words, person, shelf, payload)))});
  }
};

// A field's value as somebody reads it.
std::string value_text(const Words& words, const json::Value* value) {
  if (value == nullptr || value->type == json::Type::null) return words.text("import.no_value");
  return value->type == json::Type::string ? value->text : json::to_text(*value);
}

// What one line does not say: each field that differs, with both values (H29, H01).
void add_differing(const Words& words, const json::Value* before, const json::Value* after,
                   std::string name, std::vector<std::string>& out) {
  const auto has_members = [](const json::Value* value) {
    return value != nullptr &&
           (value->type == json::Type::object || value->type == json::Type::array);
  };
  if (has_members(before) && has_members(after) && before->type == after->type &&
      (before->type == json::Type::object || before->members.size() == after->members.size())) {
    const bool named = before->type == json::Type::object;
    for (std::size_t i = 0; i < before->members.size(); ++i) {
      const auto& member = before->members[i];
      const auto* other = named ? after->find(member.key) : &after->members[i].value;
      add_differing(words, &member.value, other, named ? member.key : name, out);
    }
    for (const auto& member : after->members)
      if (named && before->find(member.key) == nullptr)
        add_differing(words, nullptr, &member.value, member.key, out);
    return;
  }
  if (before != nullptr && after != nullptr && *before == *after) return;
  std::ranges::replace(name, '_', ' ');
  out.push_back(words.text("import.field",
                           {arg_text("field", name), arg_text("before", value_text(words, before)),
                            arg_text("after", value_text(words, after))}));
}

std::string fields_text(const Words& words, const Payload& before, const Payload& after) {
  const auto one = wire::payload_to_json(before);
  const auto other = wire::payload_to_json(after);
  std::vector<std::string> all;
  add_differing(words, &one, &other, {}, all);
  std::string out;
  for (const auto& field : all) out += (out.empty() ? "" : "; ") + field;
  return out;
}

// Of an entry that is here and stands: as it is, and as it would be.
std::optional<json::Value> change_of(const Telling& tell, const Fact& fact) {
  const auto* correction = std::get_if<Correction>(&fact.payload);
  if (correction == nullptr) return std::nullopt;
  const auto& stands = tell.person.history.facts;
  const auto target = std::ranges::find_if(
      stands, [&](const auto& one) { return one.fact->id == correction->target; });
  if (target == stands.end()) return std::nullopt;
  const auto& instead = correction->replacement;
  auto after = instead
                   ? tell.entry(instead->happened, instead->payload)
                   : tell.words.text("import.struck_out", {arg_text("reason", correction->reason)});
  if (const auto fields =
          instead ? fields_text(tell.words, *target->payload, instead->payload) : std::string();
      !fields.empty())
    after = tell.words.text("import.with_fields",
                            {arg_text("after", after), arg_text("fields", fields)});
  return json::object(
      {{"before", text(tell.entry(target->happened, *target->payload))}, {"after", text(after)}});
}

// Of these the last one holds, as a whole: what a later one leaves out is gone.
constexpr auto whole_types = std::to_array<std::uint16_t>(
    {BackgroundNoted::type, DetailsChanged::type, BodyMeasured::type, PlaceRulesSet::type,
     PlacePlanGiven::type, SupplyRulesSet::type, RescueNoted::type});

const Effective* last_of(const Chart& person, std::uint16_t type) {
  const Effective* last = nullptr;
  for (const auto& one : person.history.facts)
    if (type_of(*one.payload) == type) last = &one;
  return last;
}

// What stands here of such a kind; a registration says the first of two of them.
std::optional<Payload> standing(const Chart& here, std::uint16_t type) {
  const auto& person = here.person;
  if (type == BackgroundNoted::type) return BackgroundNoted{person.background};
  if (type == DetailsChanged::type)
    return DetailsChanged{person.full_name, person.born, person.number, person.phone, person.zone};
  const auto* last = last_of(here, type);
  return last == nullptr ? std::nullopt : std::optional(*last->payload);
}

// What a new entry of the file takes the place of, field by field (H22, H46, H63).
std::optional<json::Value> replaced(const Telling& tell, const Looked& looked, std::uint16_t type) {
  const auto* now = looked.after ? last_of(*looked.after, type) : nullptr;
  if (now == nullptr) return std::nullopt;
  if (std::ranges::find(looked.fresh, now->fact->id, &Fact::id) == looked.fresh.end())
    return std::nullopt;
  const auto was = standing(*looked.before, type);
  const auto then = standing(*looked.after, type);
  if (was == then) return std::nullopt;
  const auto& words = tell.words;
  const auto* last = last_of(*looked.before, type);
  if (last == nullptr && was) last = last_of(*looked.before, PersonRegistered::type);
  auto after = tell.entry(now->happened, *now->payload);
  if (was) {
    const auto fields = fields_text(words, *was, *then);
    after =
        words.text("import.with_fields", {arg_text("after", after), arg_text("fields", fields)});
  }
  const auto before =
      last == nullptr ? words.text("import.none_yet") : tell.entry(last->happened, *last->payload);
  return json::object({{"before", text(before)}, {"after", text(after)}});
}

json::Value twin_of(const Telling& tell, const Twin& twin) {
  const auto& words = tell.words;
  const auto told = words.say(twin.error());
  auto theirs = tell.entry(twin.theirs.happened, twin.theirs.payload);
  const auto* here = twin.here;
  if (here != nullptr && type_of(here->payload) == type_of(twin.theirs.payload)) {
    const auto fields = fields_text(words, here->payload, twin.theirs.payload);
    if (!fields.empty())
      theirs =
          words.text("import.with_fields", {arg_text("after", theirs), arg_text("fields", fields)});
  }
  const auto both =
      here == nullptr
          ? words.text("import.twin_elsewhere", {arg_text("theirs", theirs)})
          : words.text("import.twin", {arg_text("here", tell.entry(here->happened, here->payload)),
                                       arg_text("theirs", theirs)});
  return json::object({{"what", text(told.what + " " + both)}, {"do_this", text(told.do_this)}});
}

// What keeps the file out.
std::vector<json::Value> bad_of(const Telling& tell, const Looked& looked) {
  std::vector<json::Value> out;
  for (const auto& twin : looked.twins) {
    if (out.size() == listed_max) break;
    out.push_back(twin_of(tell, twin));
  }
  std::ranges::move(said_each(tell.words, looked.refused), std::back_inserter(out));
  return out;
}

// What a file says of the last day counts as given from then on (H38).
constexpr std::chrono::hours lately{24};

// The latest first.
std::vector<Fact> given_lately(const Looked& looked, Instant now) {
  std::vector<Fact> out;
  for (auto fact : looked.fresh) {
    if (const auto* correction = std::get_if<Correction>(&fact.payload);
        correction != nullptr && correction->replacement) {
      const auto instead = correction->replacement;
      fact.happened = instead->happened;
      fact.payload = instead->payload;
    }
    if (std::holds_alternative<Injected>(fact.payload) && fact.happened.at > now - lately)
      out.push_back(std::move(fact));
  }
  std::ranges::sort(out, std::ranges::greater{}, [](const Fact& fact) { return fact.happened.at; });
  return out;
}

// Each in words, because what is not read cannot be agreed to.
std::vector<json::Value> named_each(const Telling& tell, Level level, std::string_view key,
                                    const std::vector<Fact>& facts) {
  std::vector<json::Value> out;
  for (const auto& fact : facts) {
    if (out.size() == listed_max) {
      out.push_back(pages::notice(
          tell.words, level,
          tell.words.sentence(
              "import.and_more",
              {arg_count("count", static_cast<std::int64_t>(facts.size() - listed_max))})));
      break;
    }
    auto entry = tell.entry(fact.happened, fact.payload);
    if (const auto change = change_of(tell, fact))
      entry =
          tell.words.text("import.entry_changed", {arg_text("before", change->find("before")->text),
                                                   arg_text("after", change->find("after")->text)});
    out.push_back(
        pages::notice(tell.words, level, tell.words.sentence(key, {arg_text("entry", entry)})));
  }
  return out;
}

std::vector<json::Value> notices_of(const Telling& tell, const Looked& looked, Instant now,
                                    const std::vector<Error>& alike) {
  const auto& words = tell.words;
  std::vector<json::Value> out;
  const auto add = [&](Level level, std::string_view key, std::vector<Arg> args) {
    out.push_back(pages::notice(words, level, words.sentence(key, std::move(args))));
  };
  const auto& theirs = looked.theirs->person;
  const auto& here = looked.before->person;
  if (looked.is_here() && (!same_name(theirs, here) || theirs.born != here.born)) {
    add(Level::stop, "import.differs",
        {arg_text("theirs", theirs.full_name), arg_date("theirs_born", theirs.born),
         arg_text("here", here.full_name), arg_date("here_born", here.born)});
  }
  for (const auto& one : alike) {
    const bool by_name = one.code == rows::codes::ask_alike;
    add(Level::caution, by_name ? "import.alike" : "import.number_alike", one.args);
  }
  if (looked.lines > 0) add(Level::caution, "import.lines", {arg_count("lines", looked.lines)});
  const auto wait = [&](std::string_view key, std::int64_t count) {
    if (count > 0) add(Level::note, key, {arg_count("count", count)});
  };
  wait("import.checks", looked.checks);
  wait("import.answers", static_cast<std::int64_t>(looked.answers.size()));
  wait("import.tests", static_cast<std::int64_t>(looked.tests.size()));
  wait("import.erased", looked.erased);
  const auto name = [&](Level level, std::string_view key, const std::vector<Fact>& facts) {
    std::ranges::move(named_each(tell, level, key, facts), std::back_inserter(out));
  };
  name(Level::caution, "import.given", given_lately(looked, now));
  name(Level::caution, "import.answer", looked.tests);
  name(Level::caution, "import.answer", looked.answers);
  name(Level::caution, "import.end", looked.ends);
  for (const auto& question : looked.things) {
    if (out.size() > listed_max) break;
    out.push_back(pages::notice(words, Level::caution, {{words.say(question).what, false}}));
  }
  if (looked.doses_unseen > 0)
    add(Level::caution, "import.doses_unseen",
        {arg_count("most", static_cast<std::int64_t>(doses_vetted_max)),
         arg_count("count", looked.doses_unseen)});
  return out;
}

// All of them: what is not read cannot be agreed to.
std::vector<json::Value> changes_of(const Telling& tell, const Looked& looked) {
  std::vector<json::Value> out;
  for (const auto& fact : looked.fresh)
    if (auto change = change_of(tell, fact)) out.push_back(*std::move(change));
  for (const auto type : whole_types)
    if (auto change = replaced(tell, looked, type)) out.push_back(*std::move(change));
  return out;
}

std::vector<json::Value> asked_of(const Telling& tell, const Looked& looked) {
  std::vector<json::Value> out;
  for (const auto& [fact, error] : looked.asked) {
    if (out.size() == asked_listed_max) break;
    out.push_back(json::object({{"entry", text(tell.entry(fact.happened, fact.payload))},
                                {"why", text(tell.words.say(error).what)}}));
  }
  return out;
}

}  // namespace

Result<std::size_t> lifting(const charts::ZoneOf& zone, const ChartPtr& before,
                            std::span<const Fact> facts, const Clinic& clinic, Instant now) {
  std::size_t held = 0;
  auto lifted = facts.size();
  while (lifted - held > 1) {
    const auto middle = held + (lifted - held) / 2;
    SoFar so_far(zone, before);
    for (const auto& fact : facts.first(middle)) so_far.take(fact);
    const auto chart = so_far.chart();
    if (!chart) return chart.error();
    (vetting::gives_back(*before, **chart, clinic, now) ? lifted : held) = middle;
  }
  return lifted - 1;
}

Error Twin::error() const {
  return refusal(here == nullptr ? codes::import_id_elsewhere : codes::import_id_differs, {},
                 "/facts");
}

Result<Looked> look(const charts::ZoneOf& zone, charts::Charts& charts, store::ReadTx& tx,
                    const wire::JournalFile& file, const Clinic& clinic, Instant now) {
  Looked out;
  auto theirs = charts::fold(zone, file.journal, 0, {}, {file.facts, {}});
  if (!theirs) return theirs.error();
  out.theirs = *std::move(theirs);
  if (const auto fits = fit_to_enter(file, *out.theirs, now); !fits) return fits.error();
  auto before = chart_before(zone, charts, tx, file.journal);
  if (!before) return before.error();
  out.before = *std::move(before);
  if (out.is_here() && is_somebody_else(out.theirs->person, out.before->person)) {
    return refusal(codes::import_other_person,
                   {arg_text("theirs", out.theirs->person.full_name),
                    arg_text("here", out.before->person.full_name)},
                   "/facts");
  }
  auto unknown = not_here(tx, out, file.facts);
  if (!unknown) return unknown.error();
  sort_out(out, *std::move(unknown), now);
  if (!out.is_here()) {
    const auto number = rows::key_of(out.theirs->person.number);
    const auto free = rows::number_is_free(tx, number, file.journal);
    if (!free) return free.error();
  }
  if (const auto vetted = vet(zone, out, clinic, now); !vetted) return vetted.error();
  auto things = claims::questions(tx, file.journal, out.fresh);
  if (!things) return things.error();
  out.things = *std::move(things);
  for (const auto& fact : out.fresh) {
    const auto free = claims::serial_is_free(tx, vetting::as_recorded(fact));
    if (!free && free.error().code != claims::codes::serial_of_another) return free.error();
    if (!free) out.things.push_back(free.error());
  }
  return out;
}

std::string seal_of(const Looked& looked, std::string_view file_digest) {
  std::string all(file_digest);
  all += to_text(looked.before->head);
  const auto add = [&](const Error& error) {
    all += "\n" + error.code;
    for (const auto& arg : error.args) all += "\t" + std::to_string(arg.number) + arg.text;
  };
  for (const auto& error : looked.refused) add(error);
  for (const auto& error : looked.things) add(error);
  for (const auto& one : looked.asked) add(one.error);
  return to_text(store::sha256({reinterpret_cast<const std::uint8_t*>(all.data()), all.size()}));
}

json::Value preview_of(const Words& words, const Looked& looked, const shelf::Shelf& shelf,
                       const std::vector<Error>& alike, bool accepted, Instant now) {
  const Telling tell{words, looked.is_here() ? *looked.before : *looked.theirs, shelf};
  auto changes = looked.is_here() ? changes_of(tell, looked) : std::vector<json::Value>{};
  const auto said = [&](std::string_view key, std::size_t count) {
    return text(
        count == 0 ? "" : words.text(key, {arg_count("count", static_cast<std::int64_t>(count))}));
  };
  const auto& theirs = looked.theirs->person;
  const auto& whose = looked.is_here() ? looked.before->person : theirs;  // H19: this record
  const auto fresh = static_cast<std::int64_t>(looked.fresh.size());
  const auto refused = static_cast<std::int64_t>(looked.twins.size() + looked.refused.size());
  const auto facts = static_cast<std::int64_t>(looked.theirs->facts.size());
  const std::vector<Arg> args{arg_count("facts", facts), arg_count("fresh", fresh),
                              arg_text("name", whose.full_name), arg_count("refused", refused),
                              arg_count("waiting", looked.waiting)};
  const auto* key = !looked.may_enter()  ? "import.refused"
                    : fresh > 0          ? accepted ? "import.accepted" : "import.would_enter"
                    : looked.waiting > 0 ? "import.nothing_enters"
                                         : "import.nothing_new";
  return json::object(
      {{"id", json::string(looked.theirs->journal)},
       {"name", text(whose.full_name)},
       {"facts", json::count(facts)},
       {"fresh", json::count(fresh)},
       {"accepted", json::boolean(accepted)},
       {"can_accept", json::boolean(!accepted && fresh > 0 && looked.may_enter())},
       {"summary", pages::say(words, key, args)},
       {"theirs", person_of(words, theirs)},
       {"here", looked.is_here() ? person_of(words, looked.before->person) : json::null()},
       {"notices", list(notices_of(tell, looked, now, alike))},
       {"changes_text", said("import.changes", changes.size())},
       {"changes", list(std::move(changes))},
       {"asked_text", said("import.asked", looked.asked.size())},
       {"asked", list(asked_of(tell, looked))},
       {"bad", list(bad_of(tell, looked))}});
}

}  // namespace penstock::imports
