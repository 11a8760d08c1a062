// The calls that record, and those whose answer is a file or about this interface: rows like the
// pages', with what the desk does for each.
#include "core/journal/journal.hpp"
#include "core/stock/stock.hpp"
#include "edge/diary/diary.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/pages.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/wire/fact_json.hpp"
#include "edge/wire/journal_file.hpp"
#include "edge/words/words.hpp"
#include "shell/store/store.hpp"
#include "shell/web/internal/site.hpp"

namespace penstock::web {
namespace {
using desk::Desk;
using pages::Body;
using pages::Form;
using pages::person_parameter;

Response download(const Call& call, const Result<std::string>& bytes, std::string_view type,
                  const std::string& name) {
  if (!bytes) return refusal(bytes.error(), call.caller.words);
  Response response;
  response.content_type = std::string(type);
  response.headers.emplace_back("Content-Disposition", "attachment; filename=\"" + name + "\"");
  response.body = *bytes;
  return response;
}

Id person_of(const Call& call) { return call.given.id("id").value_or(Id{}); }

// An act of the clinic, and one of a person, on the request's body.
template <auto act>
Response of_clinic(const Call& call) {
  const auto body = pages::body_of(call.given);
  if (!body) return refusal(body.error(), call.caller.words);
  return answer(call, (call.desk.*act)(*body, call.caller));
}
template <auto act>
Response of_person(const Call& call) {
  const auto body = pages::body_of(call.given);
  if (!body) return refusal(body.error(), call.caller.words);
  return answer(call, (call.desk.*act)(person_of(call), *body, call.caller));
}

Response health(const Call&) { return {200, {}, "{\"ok\":true}", {}, {}}; }
Response describe(const Call&) { return answer(api_document()); }
Response openapi(const Call&) { return answer(openapi_document()); }

// The other side of a conflict: what was written since the version that the sender saw (H20).
Response conflict(const Call& call, const Error& error) {
  const auto said = call.caller.words.say(error);
  auto refused = verbs::refusal(error, said.what, said.do_this);
  const auto seen = std::ranges::find(error.args, "seen", &Arg::name);
  if (seen != error.args.end()) {
    const auto version = static_cast<std::uint64_t>(seen->number);
    const auto changed = call.desk.written_since(person_of(call), version);
    if (changed) json::add(refused, "changed", *changed);
  }
  auto response = answer(refused);
  response.status = status_of(error.kind);
  return response;
}

Response person_facts(const Call& call) {
  const auto body = pages::body_of(call.given);
  if (!body) return refusal(body.error(), call.caller.words);
  const auto recorded = call.desk.record(person_of(call), *body, call.caller);
  const bool late = !recorded && recorded.error().code == store::codes::version_conflict;
  return late ? conflict(call, recorded.error()) : answer(call, recorded);
}

Response diary(const Call& call) {
  const auto& given = call.given;
  const diary::DiaryAnswers said{diary::asked_rows(given.text("near")),
                                 diary::asked_rows(given.text("odd"))};
  return answer(call, call.desk.diary(person_of(call), given.text("file"), given.body,
                                      given.text("accept"), call.caller, said));
}
Response diary_file(const Call& call) {
  return download(call, call.desk.export_diary(person_of(call)), "text/csv; charset=utf-8",
                  "penstock-diary-" + to_text(person_of(call)) + ".csv");
}
Response export_journal(const Call& call) {
  return download(call, call.desk.export_journal(person_of(call)),
                  "application/json; charset=utf-8",
                  "penstock-journal-" + to_text(person_of(call)) + ".json");
}
Response import_journal(const Call& call) {
  const auto& given = call.given;
  return answer(call, call.desk.import_journal(given.body, given.text("file"), given.text("accept"),
                                               call.caller));
}

Response put_photo(const Call& call) {
  const auto consent =
      call.given.text("consent") == "yes" ? Desk::Consent::given : Desk::Consent::not_given;
  return answer(call, call.desk.put_photo(person_of(call), call.given.body, consent));
}
Response photo(const Call& call) {
  auto found = call.desk.photo(person_of(call), call.given.text("photo"));
  if (!found) return refusal(found.error(), call.caller.words);
  Response response;
  response.content_type = std::move(found->media);
  response.headers.emplace_back("Cache-Control", "private, no-store");
  response.body = std::move(found->bytes);
  return response;
}
Response erase_photo(const Call& call) {
  return answer(call, call.desk.erase_photo(person_of(call), call.given.text("photo"),
                                            call.given.text("reason"), call.caller));
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
    R"({"seen_version": 2, "confirmed": true, "facts": [{"id": "0000000000000000000000000000a1e3",
  "what": "stock moved", "item": "glargine-100-cartridge", "lot": "AB12", "pieces": 5, "way": "handed out"}]})";
constexpr std::string_view example_move =
    R"({"fact": "0000000000000000000000000000a102", "to": "1043", "reason": "the wrong page was open", "seen_version": 3})";
constexpr std::string_view example_diary =
    "time,what,units,cartridge,zone,spot,note\n2027-03-01T21:30,note,,,,,Felt well\n";
// The smallest picture there is: one grey point.
constexpr std::string_view example_photo =
    "89504e470d0a1a0a0000000d49484452000000010000000108000000003a7e9b550000000a49444154789c63680000"
    "0082008177cd72b60000000049454e44ae426082";

constexpr std::string_view facts_take =
    "seen_version: the version that the sender looked at; confirmed: yes to what was asked; facts: "
    "up to 200, each with what, its own fields, and where wanted id, happened (ISO 8601 with "
    "offset) or happened_local, told_by.";

std::vector<Route> own_calls() {
  return {
      {{.method = "GET",
        .pattern = "/api",
        .summary = "This description.",
        .gives = "calls, verbs, facts.",
        .example = "/api"},
       describe},
      {{.method = "GET",
        .pattern = "/api/openapi.json",
        .summary =
            "The same as an OpenAPI 3.1 document, with the schemas of calculations and facts.",
        .gives = "An OpenAPI document.",
        .example = "/api/openapi.json"},
       openapi},
      {{.method = "GET",
        .pattern = "/api/health",
        .summary = "Whether the program answers.",
        .gives = "ok: true.",
        .example = "/api/health"},
       health},
  };
}

std::vector<Route> clinic_acts() {
  return {
      {{.method = "POST",
        .pattern = "/api/clinic",
        .summary = "Names the clinic and the person who works here.",
        .takes = "clinic, user, zone (name of the time zone database), phone, emergency.",
        .body = Body::json,
        .gives = "Recorded.",
        .codes = {desk::codes::zone_unknown, desk::codes::zone_no_place},
        .example = "/api/clinic",
        .example_body = example_clinic},
       of_clinic<&Desk::name_clinic>},
      {{.method = "POST",
        .pattern = "/api/clinic/facts",
        .summary = "Records facts of the clinic: entries of its shelf.",
        .takes = facts_take,
        .body = Body::facts,
        .gives = "Recorded, or ask.",
        .codes = {desk::codes::not_a_person, store::codes::version_conflict},
        .example = "/api/clinic/facts",
        .example_body = example_needle},
       of_clinic<&Desk::record_clinic>},
      {{.method = "POST",
        .pattern = "/api/people",
        .summary = "Registers a person.",
        .takes = "id: the person's, made by the sender; confirmed; facts: person registered, then "
                 "others.",
        .body = Body::facts,
        .gives = "Recorded, with the person's id; or ask.",
        .codes = {desk::codes::clinic_unnamed, desk::codes::not_a_person, desk::codes::number_taken,
                  desk::codes::ask_alike, desk::codes::ask_number_alike,
                  desk::codes::ask_record_missing, desk::codes::zone_unknown,
                  desk::codes::zone_no_place},
        .example = "/api/people",
        .example_body = example_person},
       of_clinic<&Desk::register_person>},
  };
}

std::vector<Route> person_acts() {
  return {
      {{.method = "POST",
        .pattern = "/api/people/{id}/facts",
        .summary = "Records facts of a person.",
        .parameters = {person_parameter},
        .takes = facts_take,
        .body = Body::facts,
        .gives = "Recorded, or ask.",
        .codes = {desk::codes::clinic_unnamed, desk::codes::no_facts, desk::codes::facts_many,
                  wire::codes::kind_unknown, wire::codes::happened_twice,
                  store::codes::version_conflict, store::codes::identity_reused,
                  store::codes::journal_read_only},
        .example = "/api/people/000000000000000000000000000000a1/facts",
        .example_body = example_note},
       person_facts},
      {{.method = "POST",
        .pattern = "/api/people/{id}/move",
        .summary = "A fact that belongs to somebody else: struck out here, recorded there.",
        .parameters = {person_parameter},
        .takes =
            "fact: its id; to: the right person's id or full clinic number; reason; seen_version; "
            "confirmed.",
        .body = Body::json,
        .gives =
            "Recorded and whose: id, name, born_text and number of the right person, or an ask.",
        .codes = {desk::codes::no_person, desk::codes::correction_target,
                  desk::codes::person_in_full, desk::codes::several_people},
        .example = "/api/people/000000000000000000000000000000a1/move",
        .example_body = example_move},
       of_person<&Desk::move_fact>},
      {{.method = "POST",
        .pattern = "/api/people/{id}/hand-outs",
        .summary = "Hands out of the clinic's stock: one fact in its journal, one in the person's, "
                   "or neither.",
        .parameters = {person_parameter},
        .takes = "As facts; facts: one stock moved, handed out.",
        .body = Body::facts,
        .gives = "Recorded, or ask.",
        .codes = {penstock::stock::codes::lot_expired, penstock::stock::codes::lot_recalled,
                  penstock::stock::codes::ask_not_first, desk::codes::ask_not_ordered,
                  desk::codes::hand_out_form, desk::codes::item_unknown},
        .example = "/api/people/000000000000000000000000000000a1/hand-outs",
        .example_body = example_hand_out},
       of_person<&Desk::hand_out>},
  };
}

std::vector<Route> file_calls() {
  return {
      {{.method = "POST",
        .pattern = "/api/people/{id}/diary",
        .summary = "Looks at a diary that came home, or lets it enter.",
        .parameters = {person_parameter,
                       {.name = "file", .says = "its name"},
                       {.name = "accept", .says = "the digest of the preview"},
                       {.name = "near",
                        .says = "rows that are nearly on record: \"leave out\" or \"bring in\""},
                       {.name = "odd", .says = "unusual rows: \"leave out\" or \"bring in\""}},
        .takes = "The file, text/csv: time,what,units,cartridge,zone,spot,note.",
        .body = Body::file,
        .gives = "DiaryPreview.",
        .codes = {desk::codes::preview_other, diary::codes::diary_person, diary::codes::diary_odd,
                  diary::codes::diary_near},
        .example = "/api/people/000000000000000000000000000000a1/diary?file=march.csv",
        .example_body = example_diary,
        .pace = pages::Pace::slow},
       diary},
      {{.method = "GET",
        .pattern = "/api/people/{id}/diary.csv",
        .summary = "The person's injections as such a file.",
        .parameters = {person_parameter},
        .gives = "text/csv.",
        .codes = {desk::codes::no_person},
        .example = "/api/people/000000000000000000000000000000a1/diary.csv"},
       diary_file},
      {{.method = "GET",
        .pattern = "/api/people/{id}/export",
        .summary = "The whole journal as one file.",
        .parameters = {person_parameter},
        .gives = "A journal file.",
        .codes = {desk::codes::no_person},
        .example = "/api/people/000000000000000000000000000000a1/export"},
       export_journal},
      {{.method = "POST",
        .pattern = "/api/import",
        .summary = "Looks at a journal file, or lets what is new in it enter.",
        .parameters = {{.name = "file", .says = "its name"},
                       {.name = "accept", .says = "the digest of the preview"}},
        .takes = "A file that export wrote, application/json.",
        .body = Body::file,
        .gives = "JournalPreview.",
        .codes = {wire::codes::file_format, wire::codes::file_digest, desk::codes::preview_other,
                  desk::codes::import_nobody, desk::codes::import_other_person,
                  desk::codes::import_future, desk::codes::import_id_differs,
                  desk::codes::import_id_elsewhere, desk::codes::number_taken,
                  store::codes::version_conflict},
        .example = "/api/import",
        .pace = pages::Pace::slow},
       import_journal},
  };
}

std::vector<Route> photo_calls() {
  return {
      {{.method = "POST",
        .pattern = "/api/people/{id}/photos",
        .summary = "Keeps a picture of skin; an examination then names it by its digest.",
        .parameters = {person_parameter,
                       {.name = "consent", .says = "yes, when the person agreed"}},
        .takes = "The picture, image/jpeg or image/png, at most two megabytes and fifty million "
                 "pixels, none of its sides beyond twenty thousand.",
        .body = Body::picture,
        .gives = "photo: its digest.",
        .codes = {desk::codes::no_person, desk::codes::photo_consent, desk::codes::photo_form,
                  desk::codes::photo_pixels, store::codes::blob_too_large,
                  store::codes::journal_read_only},
        .example = "/api/people/000000000000000000000000000000a1/photos?consent=yes",
        .example_hex = example_photo},
       put_photo},
      {{.method = "GET",
        .pattern = "/api/people/{id}/photos/{photo}",
        .summary = "A picture.",
        .parameters = {person_parameter, {.name = "photo", .says = "its digest"}},
        .gives = "image/jpeg or image/png.",
        .codes = {desk::codes::no_person, desk::codes::no_photo, desk::codes::photo_erased,
                  store::codes::blob_damaged},
        .example = "/api/people/000000000000000000000000000000a1/photos/"
                   "a1abfd410973b0111c215baa879b9edcd739e601659ba44168269767cc2e9108"},
       photo},
      {{.method = "DELETE",
        .pattern = "/api/people/{id}/photos/{photo}",
        .summary = "Erases a picture for good, when the consent is withdrawn; a note in the "
                   "journal says so.",
        .parameters = {person_parameter,
                       {.name = "photo", .says = "its digest"},
                       {.name = "reason", .says = "why"}},
        .gives = "photo, erased.",
        .codes = {desk::codes::no_person, desk::codes::no_photo, desk::codes::reason_missing,
                  store::codes::journal_read_only},
        .example = "/api/people/000000000000000000000000000000a1/photos/"
                   "a1abfd410973b0111c215baa879b9edcd739e601659ba44168269767cc2e9108"
                   "?reason=consent%20withdrawn"},
       erase_photo},
  };
}

}  // namespace

std::vector<Route> acts() {
  std::vector<Route> table;
  for (auto* part : {own_calls, clinic_acts, person_acts, file_calls, photo_calls}) {
    std::ranges::move(part(), std::back_inserter(table));
  }
  return table;
}

}  // namespace penstock::web
