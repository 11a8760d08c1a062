// The table of calls.
#include <algorithm>
#include <array>
#include <limits>

#include "core/journal/journal.hpp"
#include "core/skin/skin.hpp"
#include "core/stock/stock.hpp"
#include "edge/diary/diary.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/sheets/sheets.hpp"
#include "edge/verbs/all/all.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/wire/fact_json.hpp"
#include "edge/wire/journal_file.hpp"
#include "edge/words/words.hpp"
#include "shell/store/store.hpp"
#include "shell/web/internal/site.hpp"

namespace penstock::web {
namespace {
using desk::Desk;

Response document(const json::Value& value) {
  Response answer;
  answer.body = json::to_text(value);
  return answer;
}

Response answer(const Result<json::Value>& result) {
  if (!result) return refusal(result.error());
  auto response = document(*result);
  if (result->find("ask") != nullptr) response.status = status_of(Kind::refused);
  return response;
}

Response download(const Result<std::string>& bytes, std::string_view type,
                  const std::string& name) {
  if (!bytes) return refusal(bytes.error());
  Response response;
  response.content_type = std::string(type);
  response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + name + "\"");
  response.body = *bytes;
  return response;
}

std::string text(const Request& request, std::string_view name) {
  const auto found = request.query.find(name);
  return found == request.query.end() ? std::string() : found->second;
}

constexpr std::int64_t page_most = 1'000'000;  // more pages than rows that anybody has
Result<int> page_of(const Request& request) {
  const auto given = text(request, "page");
  if (given.empty()) return 1;
  json::Value value;
  value.type = json::Type::number;
  value.text = given;
  const auto page = json::count_of(value, 1, page_most, "?page");
  if (!page) return page.error();
  return static_cast<int>(*page);
}

Result<Id> person_in(const Texts& in_path) {
  return json::id_of(json::string(in_path.at("id")), "/id");
}

// Runs a use case with the person of the path.
template <class Use>
Response with_person(const Texts& in_path, Use use) {
  const auto person = person_in(in_path);
  if (!person) return refusal(person.error());
  return use(*person);
}

// Runs a use case with the request's body.
template <class Use>
Response with_body(const Request& request, Use use) {
  const auto body = json::parse(request.body);
  if (!body) return refusal(body.error());
  return answer(use(*body));
}

Result<pages::SheetQuery> sheet_query(const Request& request) {
  pages::SheetQuery query;
  query.slot = text(request, "slot");
  if (const auto line = text(request, "line"); !line.empty()) {
    const auto id = json::id_of(json::string(line), "?line");
    if (!id) return id.error();
    query.line = *id;
  }
  if (const auto day = text(request, "day"); !day.empty()) {
    const auto read = json::day_of(json::string(day), "?day");
    if (!read) return read.error();
    query.day = *read;
  }
  return query;
}

std::string say(std::string_view code, std::span<const Arg> args) {
  return words::english().text(code, {args.begin(), args.end()});
}

Error verb_unknown(std::string_view name) {
  std::string allowed;
  for (const auto& verb : verbs::all()) {
    allowed += (allowed.empty() ? "" : ", ") + std::string(verb.name);
  }
  return {Kind::not_found,
          std::string(verbs::codes::verb_unknown),
          {arg_text("text", name), arg_text("allowed", allowed)},
          ""};
}

// ---- the calls, in the order of the table

Response health(Desk&, const Request&, const Texts&) { return {200, {}, "{\"ok\":true}", {}, {}}; }
Response describe(Desk&, const Request&, const Texts&) { return document(api_document()); }
Response clinic(Desk& desk, const Request&, const Texts&) { return answer(desk.clinic()); }
Response name_clinic(Desk& desk, const Request& request, const Texts&) {
  return with_body(request, [&](const json::Value& body) { return desk.name_clinic(body); });
}
Response clinic_facts(Desk& desk, const Request& request, const Texts&) {
  return with_body(request, [&](const json::Value& body) { return desk.record_clinic(body); });
}
Response today(Desk& desk, const Request&, const Texts&) { return answer(desk.today()); }
Response people(Desk& desk, const Request& request, const Texts&) {
  const auto page = page_of(request);
  if (!page) return refusal(page.error());
  return answer(desk.people(text(request, "q"), *page));
}
Response register_person(Desk& desk, const Request& request, const Texts&) {
  return with_body(request, [&](const json::Value& body) { return desk.register_person(body); });
}
Response person(Desk& desk, const Request&, const Texts& in_path) {
  return with_person(in_path, [&](Id id) { return answer(desk.person(id)); });
}
// The other side of a conflict: what was written since the version that the sender saw (H20).
Response conflict(Desk& desk, Id person, const Error& error) {
  const auto said = words::english().say(error);
  auto refused = verbs::refusal(error, said.what, said.do_this);
  const auto seen = std::ranges::find(error.args, "seen", &Arg::name);
  if (seen != error.args.end()) {
    const auto changed = desk.written_since(person, static_cast<std::uint64_t>(seen->number));
    if (changed) json::add(refused, "changed", *changed);
  }
  auto response = document(refused);
  response.status = status_of(error.kind);
  return response;
}
Response person_facts(Desk& desk, const Request& request, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    const auto body = json::parse(request.body);
    if (!body) return refusal(body.error());
    const auto recorded = desk.record(id, *body);
    const bool late = !recorded && recorded.error().code == store::codes::version_conflict;
    return late ? conflict(desk, id, recorded.error()) : answer(recorded);
  });
}
Response move_fact(Desk& desk, const Request& request, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    return with_body(request, [&](const json::Value& body) { return desk.move_fact(id, body); });
  });
}
Response journal(Desk& desk, const Request& request, const Texts& in_path) {
  const auto page = page_of(request);
  if (!page) return refusal(page.error());
  return with_person(in_path, [&](Id id) { return answer(desk.journal(id, *page)); });
}
Response steps(Desk& desk, const Request& request, const Texts& in_path) {
  const auto query = sheet_query(request);
  if (!query) return refusal(query.error());
  return with_person(in_path, [&](Id id) { return answer(desk.steps(id, *query)); });
}
Response places(Desk& desk, const Request&, const Texts& in_path) {
  return with_person(in_path, [&](Id id) { return answer(desk.places(id)); });
}
Response supplies(Desk& desk, const Request&, const Texts& in_path) {
  return with_person(in_path, [&](Id id) { return answer(desk.supplies(id)); });
}
// Runs a use case with the person and the fact of the path.
template <class Use>
Response with_fact(const Texts& in_path, Use use) {
  const auto fact = json::id_of(json::string(in_path.at("fact")), "/fact");
  if (!fact) return refusal(fact.error());
  return with_person(in_path, [&](Id person) { return answer(use(person, *fact)); });
}
Response trip(Desk& desk, const Request&, const Texts& in_path) {
  return with_fact(in_path, [&](Id person, Id fact) { return desk.trip(person, fact); });
}
Response pen_test(Desk& desk, const Request&, const Texts& in_path) {
  return with_fact(in_path, [&](Id person, Id fact) { return desk.pen_test(person, fact); });
}
constexpr std::int32_t month_days = 30;
Response month(Desk& desk, const Request& request, const Texts&) {
  auto ahead = month_days;
  if (const auto given = text(request, "days"); !given.empty()) {
    json::Value value;
    value.type = json::Type::number;
    value.text = given;
    const auto read = json::count_of(value, std::numeric_limits<std::int16_t>::min(),
                                     std::numeric_limits<std::int16_t>::max(), "?days");
    if (!read) return refusal(read.error());
    ahead = static_cast<std::int32_t>(*read);
  }
  return answer(desk.month(ahead, {}));
}
Response stock(Desk& desk, const Request&, const Texts&) { return answer(desk.stock()); }
Response recall(Desk& desk, const Request&, const Texts& in_path) {
  return answer(desk.recall(in_path.at("lot")));
}
Response scan(Desk& desk, const Request& request, const Texts&) {
  return with_body(request, [&](const json::Value& body) { return desk.scan(body); });
}
Response hand_out(Desk& desk, const Request& request, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    return with_body(request, [&](const json::Value& body) { return desk.hand_out(id, body); });
  });
}
Response place_plan(Desk& desk, const Request& request, const Texts& in_path) {
  std::optional<LocalDay> from;
  if (const auto day = text(request, "from"); !day.empty()) {
    const auto read = json::day_of(json::string(day), "?from");
    if (!read) return refusal(read.error());
    from = *read;
  }
  return with_person(in_path, [&](Id id) { return answer(desk.place_plan(id, from)); });
}
Response diary(Desk& desk, const Request& request, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    return answer(desk.diary(id, text(request, "file"), request.body, text(request, "accept")));
  });
}
Response diary_file(Desk& desk, const Request&, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    return download(desk.export_diary(id), "text/csv; charset=utf-8",
                    "penstock-diary-" + to_text(id) + ".csv");
  });
}
Response export_journal(Desk& desk, const Request&, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    return download(desk.export_journal(id), "application/json; charset=utf-8",
                    "penstock-journal-" + to_text(id) + ".json");
  });
}
Response import_journal(Desk& desk, const Request& request, const Texts&) {
  return answer(desk.import_journal(request.body));
}
Response put_photo(Desk& desk, const Request& request, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    const auto consent =
        text(request, "consent") == "yes" ? Desk::Consent::given : Desk::Consent::not_given;
    return answer(desk.put_photo(id, request.body, consent));
  });
}
Response photo(Desk& desk, const Request&, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    auto found = desk.photo(id, in_path.at("photo"));
    if (!found) return refusal(found.error());
    Response response;
    response.content_type = std::move(found->media);
    response.headers.emplace_back("Cache-Control", "private, no-store");
    response.body = std::move(found->bytes);
    return response;
  });
}
Response erase_photo(Desk& desk, const Request& request, const Texts& in_path) {
  return with_person(in_path, [&](Id id) {
    return answer(desk.erase_photo(id, in_path.at("photo"), text(request, "reason")));
  });
}
Response shelf(Desk& desk, const Request&, const Texts&) { return answer(desk.shelf()); }
Response phone_form(Desk& desk, const Request&, const Texts&) { return answer(desk.phone_form()); }
Response phone(Desk& desk, const Request& request, const Texts&) {
  return with_body(request, [&](const json::Value& body) { return desk.phone(body); });
}
Response reach_form(Desk& desk, const Request&, const Texts&) {
  return answer(desk.phone_reach_form());
}
Response phone_reach(Desk& desk, const Request& request, const Texts&) {
  return with_body(request, [&](const json::Value& body) { return desk.phone_reach(body); });
}
Response facts(Desk&, const Request&, const Texts&) {
  auto kinds = json::array();
  for (const auto& kind : journal::kinds) json::add(kinds, json::string(kind.name));
  return document(json::object({{"facts", std::move(kinds)}}));
}
Response fact(Desk&, const Request&, const Texts& in_path) {
  const auto& name = in_path.at("what");
  auto schema = wire::kind_schema(name);
  auto example = wire::kind_example(name);
  if (!schema || !example) {
    std::string allowed;
    for (const auto& kind : journal::kinds) {
      allowed += (allowed.empty() ? "" : ", ") + std::string(kind.name);
    }
    return refusal({Kind::not_found,
                    std::string(wire::codes::kind_unknown),
                    {arg_text("text", name), arg_text("allowed", allowed)},
                    ""});
  }
  return document(json::object(
      {{"what", json::string(name)}, {"schema", *std::move(schema)}, {"example", *example}}));
}
Response verb_description(Desk&, const Request&, const Texts& in_path) {
  const auto* verb = verbs::find_verb(verbs::all(), in_path.at("verb"));
  if (verb == nullptr) return refusal(verb_unknown(in_path.at("verb")));
  return document(json::object({{"verb", json::string(verb->name)},
                                {"schema", verb->schema()},
                                {"example", verb->example()}}));
}
Response run_verb(Desk&, const Request& request, const Texts& in_path) {
  const auto* verb = verbs::find_verb(verbs::all(), in_path.at("verb"));
  if (verb == nullptr) return refusal(verb_unknown(in_path.at("verb")));
  return answer(verbs::run_verb(*verb, request.body, say));
}

// The examples make one small history, each on what those before it left; the tests replay them.
constexpr std::string_view example_clinic =
    R"({"clinic": "Harbour Street Clinic", "user": "Maren Holt", "zone": "Europe/Berlin",
 "phone": "555 0100", "emergency": "112"})";
constexpr std::string_view example_needle =
    R"({"facts": [{"id": "0000000000000000000000000000a001", "what": "shelf needle added",
  "entry": {"code": "needle-own-4",
            "thing": {"name": "4 mm, 32 gauge", "length_mm": 4, "gauge": 32, "fits": "screw"}}}]})";
constexpr std::string_view example_person =
    R"({"id": "000000000000000000000000000000a1", "facts": [
  {"id": "0000000000000000000000000000a101", "what": "person registered",
   "full_name": "Noor Haddad", "born": "1958-06-04", "number": "1042", "zone": "Europe/Berlin"}]})";
constexpr std::string_view example_note =
    R"({"seen_version": 1, "facts": [{"id": "0000000000000000000000000000a102", "what": "note",
  "text": "Wants the large print."}]})";
constexpr std::string_view example_hand_out =
    R"({"confirmed": true, "facts": [{"id": "0000000000000000000000000000a1e3",
  "what": "stock moved", "item": "glargine-100-cartridge", "lot": "AB12", "pieces": 5, "way": "handed out"}]})";
constexpr std::string_view example_scan = R"({"text": "(01)02012345678903(17)280531(10)AB12"})";
constexpr std::string_view example_move =
    R"({"fact": "0000000000000000000000000000a102", "to": "1043", "reason": "the wrong page was open"})";
constexpr std::string_view example_diary =
    "time,what,units,cartridge,zone,spot,note\n2027-03-01T21:30,note,,,,,Felt well\n";
// The smallest picture there is: one grey point.
constexpr std::string_view example_photo =
    "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b550000000a49444154789c63680000"
    "0082008177cd72b60000000049454e44ae426082";
constexpr std::string_view example_phone =
    R"({"pen": "reusable-whole-60", "insulin": "insulin glargine", "strength_units_per_ml": 100,
 "dose_units": "18", "left_units": "247", "days_in_use": "6", "unopened": "1",
 "prime": "seen", "spent_units": "3"})";
constexpr std::string_view example_reach =
    R"({"zone": "thigh", "needle_mm": "6", "angle_deg": "90", "fold": false, "people": "adults"})";
constexpr std::string_view example_dial =
    R"({"dose_units": 18,
 "insulin": {"name": "insulin glargine", "strength_units_per_ml": 100, "suspension": false},
 "pen": {"step_units": 1, "most_units": 60, "window": "counts on"},
 "prime": {"units": 2, "new_cartridge_units": 4, "spent_units": 3, "flow_seen": true},
 "cartridges": [{"id": "A", "left_units": 247, "days_in_use": 6, "in_use_days": 28}],
 "prefer": "fewest needles"})";

constexpr std::string_view facts_take =
    "seen_version: the version that the sender looked at; confirmed: yes to what was asked; facts: "
    "up to 200, each with what, its own fields, and where wanted id, happened (ISO 8601 with "
    "offset) or happened_local, told_by.";

std::vector<std::string_view> act_codes() {
  return {desk::codes::clinic_unnamed,    desk::codes::no_facts,
          desk::codes::facts_many,        wire::codes::kind_unknown,
          store::codes::version_conflict, store::codes::identity_reused,
          store::codes::journal_read_only};
}

std::vector<Route> clinic_routes() {
  return {
      {"GET",
       "/api",
       "This description.",
       "Nothing.",
       "calls, verbs, facts.",
       {},
       "/api",
       "",
       describe},
      {"GET",
       "/api/health",
       "Whether the program answers.",
       "Nothing.",
       "ok: true.",
       {},
       "/api/health",
       "",
       health},
      {"GET",
       "/api/clinic",
       "Clinic, user, clock and what every page shares.",
       "Nothing.",
       "Clinic.",
       {},
       "/api/clinic",
       "",
       clinic},
      {"POST",
       "/api/clinic",
       "Names the clinic and the person who works here.",
       "clinic, user, zone (name of the time zone database), phone, emergency.",
       "Recorded.",
       {desk::codes::zone_unknown},
       "/api/clinic",
       example_clinic,
       name_clinic},
      {"POST",
       "/api/clinic/facts",
       "Records facts of the clinic: entries of its shelf.",
       facts_take,
       "Recorded, or ask.",
       {desk::codes::not_a_person, store::codes::version_conflict},
       "/api/clinic/facts",
       example_needle,
       clinic_facts},
  };
}

std::vector<Route> shelf_routes() {
  return {
      {"GET",
       "/api/shelf",
       "What there is: insulins, cartridges, pens, needles, what fits what.",
       "Nothing.",
       "Shelf.",
       {},
       "/api/shelf",
       "",
       shelf},
      {"GET",
       "/api/facts",
       "Kinds of facts that can be recorded.",
       "Nothing.",
       "facts: names.",
       {},
       "/api/facts",
       "",
       facts},
      {"GET",
       "/api/facts/{what}",
       "One kind of fact.",
       "Nothing.",
       "what, schema (JSON Schema), example.",
       {wire::codes::kind_unknown},
       "/api/facts/scale%20counted",
       "",
       fact},
  };
}

std::vector<Route> people_routes() {
  return {
      {"GET",
       "/api/today",
       "Who needs something, and why.",
       "Nothing.",
       "Today.",
       {desk::codes::clinic_unnamed},
       "/api/today",
       "",
       today},
      {"GET",
       "/api/people",
       "People, by name.",
       "q: parts of name, birth date or number; page: from 1.",
       "People.",
       {desk::codes::clinic_unnamed},
       "/api/people?q=noor&page=1",
       "",
       people},
      {"POST",
       "/api/people",
       "Registers a person.",
       "id: the person's, made by the sender; confirmed; facts: person registered, then others.",
       "Recorded and id, or ask.",
       {desk::codes::clinic_unnamed, desk::codes::not_a_person, desk::codes::number_taken,
        desk::codes::ask_alike, desk::codes::zone_unknown},
       "/api/people",
       example_person,
       register_person},
  };
}

std::vector<Route> supply_routes() {
  return {
      {"GET",
       "/api/people/{id}/supplies",
       "Supplies: how long they last, when to ask, what is at home, the sharps box, the accounts.",
       "Nothing.",
       "SuppliesPage.",
       {desk::codes::no_person},
       "/api/people/000000000000000000000000000000a1/supplies",
       "",
       supplies},
      {"GET",
       "/api/people/{id}/trips/{fact}",
       "What to carry on a trip, and the question about the dose times, for paper.",
       "Nothing.",
       "TripSheet.",
       {desk::codes::no_person, pages::codes::no_trip},
       "/api/people/000000000000000000000000000000a1/trips/"
       "0000000000000000000000000000a1e1",
       "",
       trip},
      {"GET",
       "/api/people/{id}/pen-tests/{fact}",
       "One test of what a pen delivers, for paper.",
       "Nothing.",
       "PenTestSheet.",
       {desk::codes::no_person, pages::codes::no_pen_test},
       "/api/people/000000000000000000000000000000a1/pen-tests/"
       "0000000000000000000000000000a1e2",
       "",
       pen_test},
      {"GET",
       "/api/month",
       "Who needs which supplies in the next days (30, or as asked: 1 to 120), and what they add "
       "up "
       "to.",
       "Nothing.",
       "MonthPage.",
       {pages::codes::month_days},
       "/api/month",
       "",
       month},
  };
}

std::vector<Route> stock_routes() {
  return {
      {"GET",
       "/api/stock",
       "The clinic's own stock by lot, what went where, recalls, closed days.",
       "Nothing.",
       "StockPage.",
       {},
       "/api/stock",
       "",
       stock},
      {"POST",
       "/api/stock/scan",
       "The text of a carton's code, judged against shelf and stock, and with a person against the "
       "order. Nothing is recorded.",
       "text: as the scanner typed it; person: whom it is for.",
       "Scanned.",
       {desk::codes::no_person},
       "/api/stock/scan",
       example_scan,
       scan},
      {"POST",
       "/api/people/{id}/hand-outs",
       "Hands out of the clinic's stock: one fact in its journal, one in the person's, or neither.",
       "As facts; facts: one stock moved, handed out.",
       "Recorded, or ask.",
       {penstock::stock::codes::lot_expired, penstock::stock::codes::lot_recalled,
        penstock::stock::codes::ask_not_first, desk::codes::ask_not_ordered,
        desk::codes::hand_out_form, desk::codes::item_unknown},
       "/api/people/000000000000000000000000000000a1/hand-outs",
       example_hand_out,
       hand_out},
      {"GET",
       "/api/recalls/{lot}",
       "Whom a lot reached, what they have of it, and what to say to them.",
       "Nothing.",
       "RecallPage.",
       {pages::codes::lot_unread},
       "/api/recalls/AB12",
       "",
       recall},
  };
}

std::vector<Route> person_routes() {
  return {
      {"GET",
       "/api/people/{id}",
       "A person's page: next injection, order, pens.",
       "Nothing.",
       "Person.",
       {desk::codes::no_person},
       "/api/people/000000000000000000000000000000a1",
       "",
       person},
      {"POST", "/api/people/{id}/facts", "Records facts of a person.", facts_take,
       "Recorded, or ask.", act_codes(), "/api/people/000000000000000000000000000000a1/facts",
       example_note, person_facts},
      {"POST",
       "/api/people/{id}/move",
       "A fact that belongs to somebody else: struck out here, recorded there.",
       "fact: its id; to: the right person's id or clinic number; reason; seen_version.",
       "Recorded.",
       {desk::codes::no_person, desk::codes::correction_target, desk::codes::several_people},
       "/api/people/000000000000000000000000000000a1/move",
       example_move,
       move_fact},
      {"GET",
       "/api/people/{id}/journal",
       "Everything recorded, newest first.",
       "page: from 1.",
       "Journal.",
       {desk::codes::no_person},
       "/api/people/000000000000000000000000000000a1/journal?page=1",
       "",
       journal},
      {"GET",
       "/api/people/{id}/steps",
       "The large-print sheet for one injection on one day.",
       "line: the order line's id; slot; day: YYYY-MM-DD. Left out: the next injection.",
       "Sheet.",
       {desk::codes::no_person},
       "/api/people/000000000000000000000000000000a1/steps",
       "",
       steps},
      {"GET",
       "/api/people/{id}/places",
       "Skin and places: where injections went and go, what is kept off, how deep the needle goes.",
       "Nothing.",
       "PlacesPage.",
       {desk::codes::no_person},
       "/api/people/000000000000000000000000000000a1/places",
       "",
       places},
      {"GET",
       "/api/people/{id}/place-plan",
       "Four weeks of places on paper.",
       "from: YYYY-MM-DD, tomorrow to four weeks ahead. Left out: tomorrow.",
       "PlacePlanSheet.",
       {desk::codes::no_person, pages::codes::plan_question_open, pages::codes::plan_from,
        skin::skin_codes::no_height, skin::skin_codes::no_rules},
       "/api/people/000000000000000000000000000000a1/place-plan",
       "",
       place_plan},
  };
}

std::vector<Route> file_routes() {
  return {
      {"POST",
       "/api/people/{id}/diary",
       "Looks at a diary that came home, or lets it enter.",
       "The file, text/csv: time,what,units,cartridge,zone,spot,note. file: its name; accept: the "
       "digest of the preview.",
       "DiaryPreview.",
       {desk::codes::preview_other, diary::codes::diary_person},
       "/api/people/000000000000000000000000000000a1/diary?file=march.csv",
       example_diary,
       diary},
      {"GET",
       "/api/people/{id}/diary.csv",
       "The person's injections as such a file.",
       "Nothing.",
       "text/csv.",
       {desk::codes::no_person},
       "/api/people/000000000000000000000000000000a1/diary.csv",
       "",
       diary_file},
      {"GET",
       "/api/people/{id}/export",
       "The whole journal as one file.",
       "Nothing.",
       "A journal file.",
       {desk::codes::no_person},
       "/api/people/000000000000000000000000000000a1/export",
       "",
       export_journal},
      {"POST",
       "/api/import",
       "Takes in a journal file; only new facts enter.",
       "A file that export wrote, application/json.",
       "id, name, facts, fresh, version.",
       {wire::codes::file_format, wire::codes::file_digest},
       "/api/import",
       "",
       import_journal},
  };
}

std::vector<Route> photo_routes() {
  return {
      {"POST",
       "/api/people/{id}/photos",
       "Keeps a picture of skin; an examination then names it by its digest.",
       "The picture, image/jpeg or image/png, at most two megabytes. consent: yes, when the person "
       "agreed.",
       "photo: its digest.",
       {desk::codes::no_person, desk::codes::photo_consent, desk::codes::photo_form,
        store::codes::blob_too_large, store::codes::journal_read_only},
       "/api/people/000000000000000000000000000000a1/photos?consent=yes",
       "",
       put_photo,
       example_photo},
      {"GET",
       "/api/people/{id}/photos/{photo}",
       "A picture.",
       "Nothing.",
       "image/jpeg or image/png.",
       {desk::codes::no_person, desk::codes::no_photo, desk::codes::photo_erased,
        store::codes::blob_damaged},
       "/api/people/000000000000000000000000000000a1/photos/"
       "a1abfd410973b0111c215baa879b9edcd739e601659ba44168269767cc2e9108",
       "",
       photo},
      {"DELETE",
       "/api/people/{id}/photos/{photo}",
       "Erases a picture for good, when the consent is withdrawn; a note in the journal says so.",
       "reason: why.",
       "photo, erased.",
       {desk::codes::no_person, desk::codes::no_photo, desk::codes::reason_missing,
        store::codes::journal_read_only},
       "/api/people/000000000000000000000000000000a1/photos/"
       "a1abfd410973b0111c215baa879b9edcd739e601659ba44168269767cc2e9108"
       "?reason=consent%20withdrawn",
       "",
       erase_photo},
  };
}

std::vector<Route> desk_routes() {
  return {
      {"GET",
       "/api/phone",
       "What the phone desk's form offers.",
       "Nothing.",
       "PhoneForm.",
       {},
       "/api/phone",
       "",
       phone_form},
      {"POST",
       "/api/phone",
       "This much is left and the dose is that: what to do.",
       "PhoneAsk.",
       "PhoneAnswer.",
       {},
       "/api/phone",
       example_phone,
       phone},
      {"GET",
       "/api/phone/reach",
       "What the phone desk asks about a needle.",
       "Nothing.",
       "ReachForm.",
       {},
       "/api/phone/reach",
       "",
       reach_form},
      {"POST",
       "/api/phone/reach",
       "Where a needle ends, without a person: nobody's record is read or written.",
       "ReachAsk.",
       "ReachAnswer.",
       {},
       "/api/phone/reach",
       example_reach,
       phone_reach},
      {"GET",
       "/api/{verb}",
       "A calculation's request.",
       "Nothing.",
       "verb, schema (JSON Schema), example.",
       {verbs::codes::verb_unknown},
       "/api/dial",
       "",
       verb_description},
      {"POST",
       "/api/{verb}",
       "A calculation: the same as the command of this name.",
       "The request that GET describes.",
       "The verb's result.",
       {verbs::codes::verb_unknown},
       "/api/dial",
       example_dial,
       run_verb},
  };
}

}  // namespace

const std::vector<Route>& routes() {
  static const std::vector<Route> all = [] {
    auto table = clinic_routes();
    for (auto more : {shelf_routes(), people_routes(), person_routes(), supply_routes(),
                      stock_routes(), photo_routes(), file_routes(), desk_routes()}) {
      table.insert(table.end(), more.begin(), more.end());
    }
    return table;
  }();
  return all;
}

}  // namespace penstock::web
