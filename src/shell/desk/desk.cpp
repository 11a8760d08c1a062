#include "shell/desk/desk.hpp"

#include <algorithm>

#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"
#include "core/fields/fields.hpp"
#include "edge/diary/diary.hpp"
#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/names/names.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

void take_out_what_is_never_seen(const fields::Group& list, void* owner);

void take_out_what_is_never_seen(const fields::Field& field, void* value) {
  if (field.type == fields::Type::group) {
    take_out_what_is_never_seen(*field.group, value);
  } else if (field.type == fields::Type::fact) {
    auto& replacement = *static_cast<std::shared_ptr<const Replacement>*>(value);
    if (!replacement) return;
    auto instead = *replacement;
    take_out_what_is_never_seen(facts::kind_of(instead.payload), facts::body(instead.payload));
    replacement = std::make_shared<const Replacement>(std::move(instead));
  } else if (field.type == fields::Type::text) {
    auto& text = *static_cast<std::string*>(value);
    text = names::is_seen(text) ? names::visible(text) : std::string();
  }
}

// What is never seen in a name or a lot would part two that look the same (H19, H61), and nobody
// could find it to take it out: it goes before anything is recorded, out of every text. A name of
// nothing else is empty, and refused as such. Everything else stays as it was typed.
void take_out_what_is_never_seen(const fields::Group& list, void* owner) {
  for (const auto& field : list.fields) {
    auto* value = field.in(owner);
    if (field.holder == nullptr) {
      take_out_what_is_never_seen(field, value);
      continue;
    }
    for (std::size_t n = 0; n < field.holder->size(value); ++n)
      take_out_what_is_never_seen(field, const_cast<void*>(field.holder->at(value, n)));
  }
}

// Nil: the store is empty. Journals without one of the clinic's: somebody changed the list.
Result<Id> find_clinic(store::ReadTx& tx) {
  const auto journals = tx.journals();
  if (!journals) return journals.error();
  for (const auto& info : *journals) {
    if (info.subject == store::Subject::clinic) return info.journal;
  }
  if (!journals->empty()) return Error{Kind::unavailable, std::string(codes::clinic_gone), {}, ""};
  return Id{};
}

// What a sender may leave out: as it is now, or, of a fact that is there, as it was.
Fact left_out(Id id, const Into& into, const Caller& caller) {
  Fact fact;
  fact.id = id;
  fact.journal = into.journal;
  fact.recorded = caller.now;
  const auto was = std::ranges::find(into.there, id, &Fact::id);
  if (was != into.there.end()) {
    fact.happened = was->happened;
    fact.sequence = was->sequence;
    fact.author = was->author;
    fact.source = was->source;
  } else {
    fact.happened = into.zone.when(caller.now);
    fact.author = caller.author;
    fact.source = "bench";
  }
  return fact;
}

// One fact of a request: what the sender left out is filled in here, and nothing that is ours to
// say is taken from it.
Result<Fact> read_fact(json::Value value, std::string_view at, const Into& into, const Ports& ports,
                       const Caller& caller) {
  const auto local = wire::take_local_time(value, into.zone, caller.now, at);
  if (!local) return local.error();
  auto draft = wire::draft_from_json(value, &into.clinic.shelf, at);
  if (!draft) return draft.error();
  // L4: meant for somebody else, it is not recorded here.
  if (draft->journal && *draft->journal != into.journal) {
    return Error{Kind::refused,
                 std::string(codes::other_journal),
                 {arg_text("journal", to_text(*draft->journal))},
                 json::pointer(at, "journal")};
  }
  Fact fact = left_out(draft->id.value_or(ports.new_id()), into, caller);
  if (*local || draft->happened) fact.happened = *local ? **local : *draft->happened;
  if (draft->sequence != 0) fact.sequence = draft->sequence;
  if (names::is_seen(draft->told_by)) fact.told_by = names::visible(draft->told_by);
  if (names::is_seen(draft->source)) fact.source = names::visible(draft->source);
  fact.payload = std::move(draft->payload);
  take_out_what_is_never_seen(facts::kind_of(fact.payload), facts::body(fact.payload));
  // At first start whoever names themselves is the author of that.
  const auto* named = std::get_if<ClinicNamed>(&fact.payload);
  if (fact.author.empty() && named != nullptr) fact.author = named->user;
  auto checked = journal::checked(std::move(fact));
  if (!checked)
    return located(checked.error(),
                   checked.error().at.empty() ? at : std::string(at) + checked.error().at);
  return *std::move(checked);
}

}  // namespace

Result<Incoming> read_request(const json::Value& request, const Into& into, const Ports& ports,
                              const Caller& caller) {
  Incoming incoming;
  std::optional<std::int64_t> seen;
  std::optional<Id> person;
  json::Reader reader(request);
  reader.may("id", person);
  reader.may("seen_version", seen);
  reader.may("confirmed", incoming.confirmed);
  if (const auto* facts = reader.need_raw("facts")) {
    if (facts->type == json::Type::array && facts->members.size() > facts_in_request_max) {
      return Error{Kind::invalid_input,
                   std::string(codes::facts_many),
                   {arg_count("most", facts_in_request_max)},
                   "/facts"};
    }
    std::uint32_t order = 0;
    reader.each("facts", *facts, [&](const json::Value& item, std::string_view at) -> Result<void> {
      auto fact = read_fact(item, at, into, ports, caller);
      if (!fact) return fact.error();
      // Facts of one request that share a second keep the order in which they were sent.
      if (fact->sequence == 0) fact->sequence = order++;
      incoming.facts.push_back(*std::move(fact));
      return {};
    });
  }
  if (const auto done = reader.done(); !done) return done.error();
  if (incoming.facts.empty())
    return Error{Kind::invalid_input, std::string(codes::no_facts), {}, "/facts"};
  if (seen) incoming.seen = static_cast<std::uint64_t>(std::max<std::int64_t>(0, *seen));
  return incoming;
}

json::Value questions_of(const std::vector<Fact>& opened) {
  std::vector<json::Value> out;
  for (const auto& fact : opened) out.push_back(text(std::get<QuestionOpened>(fact.payload).text));
  return list(std::move(out));
}

json::Value recorded_document(const store::Appended& appended, const std::vector<Fact>& opened) {
  std::vector<json::Value> recorded, known;
  for (const auto& receipt : appended.receipts) {
    (receipt.already_recorded ? known : recorded).push_back(json::string(receipt.fact));
  }
  return json::object({{"recorded", list(std::move(recorded))},
                       {"known", list(std::move(known))},
                       {"version", json::count(static_cast<std::int64_t>(appended.version))},
                       {"questions", questions_of(opened)}});
}

// ---- inside

Result<void> Desk::Inside::reload_clinic(store::ReadTx& tx) {
  const auto journal = find_clinic(tx);
  if (!journal) return journal.error();
  return about(*journal, [&] { return reload_clinic(tx, *journal); });
}

Result<void> Desk::Inside::reload_clinic(store::ReadTx& tx, Id journal) {
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  const auto version = info->has_value() ? (*info)->version : 0;
  const std::lock_guard reading(facts_mutex);
  if (const auto read = read_clinic_facts(tx, journal); !read) return read.error();
  const auto state = std::make_shared<Clinic>(chart::fold_clinic(
      journal, version, journal::read(clinic_facts.facts), shelf::of_the_program()));
  if (!state->names.zone.empty()) {
    auto zone = ports.zone(state->names.zone);
    if (!zone) return zone.error();
    state->zone = *std::move(zone);
  }
  const auto last = store::last_recorded(tx);
  if (!last) return last.error();
  state->last_recorded = *last;
  const std::lock_guard lock(clinic_mutex);
  clinic_state = state;
  return {};
}

Result<void> Desk::Inside::read_clinic_facts(store::ReadTx& tx, Id journal) {
  const auto info = tx.journal(journal);
  if (!info) return info.error();
  const auto version = info->has_value() ? (*info)->version : 0;
  auto& known = clinic_facts;
  if (known.version > 0) {
    // After a restore the same version may be another history: the chain says whether it is ours.
    const bool shorter = version < known.version || known.journal != journal;
    const auto entries = shorter ? Result<std::vector<store::Entry>>{std::vector<store::Entry>{}}
                                 : tx.entries(journal, known.version);
    if (!entries) return entries.error();
    if (entries->empty() || entries->front().hash != known.head) known = {};
  }
  known.journal = journal;
  if (version == known.version) return {};
  const auto stored = tx.load(journal, known.version + 1);
  if (!stored) return stored.error();
  auto read = charts::unpack(journal, stored->all());
  if (!read) return read.error();
  std::ranges::move(read->facts, std::back_inserter(known.facts));
  known.version = version;
  known.head = (*info)->head;
  return {};
}

Result<std::shared_ptr<const Clinic>> Desk::Inside::named_clinic() {
  auto state = clinic();
  if (!state->named) return Error{Kind::refused, std::string(codes::clinic_unnamed), {}, ""};
  return state;
}

Result<ChartPtr> Desk::Inside::person(Id person, Closed closed) {
  ChartPtr folded;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    auto got = cache.get(ports.zone, tx, person);
    if (!got) return got.error();
    const auto info = tx.journal(person);
    if (!info) return info.error();
    const auto mark = info->has_value() ? (*info)->read_only_because : std::string();
    if (closed == Closed::refused && !mark.empty())
      return incidents.closed(tx, person, mark, clinic().get());
    folded = *std::move(got);
    return {};
  });
  if (!read) return not_found(read.error());
  if (!folded->person.registered) {
    return Error{
        Kind::not_found, std::string(codes::no_person), {arg_text("text", to_text(person))}, ""};
  }
  return folded;
}

Error Desk::Inside::not_found(Error error) {
  if (error.code != codes::no_person) return error;
  std::uint64_t missing = 0;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    const auto counted = tx.journals_missing();
    if (!counted) return counted.error();
    missing = *counted;
    return {};
  });
  if (!read) return read.error();
  if (missing == 0) return error;
  error.code = codes::person_missing;
  error.args.push_back(arg_count("records", static_cast<std::int64_t>(missing)));
  return error;
}

Result<rows::Everybody> Desk::Inside::everybody(const Waiting& waiting) {
  if (const auto fresh = refresh_clinic(); !fresh) return fresh.error();
  return rows.all(waiting);
}

Result<void> Desk::Inside::refresh_clinic(store::ReadTx& tx) {
  const auto known = clinic();
  const auto info = tx.journal(known->journal);
  if (!info) return info.error();
  const auto last = store::last_recorded(tx);
  if (!last) return last.error();
  // Where neither is ahead of the clock it is all one which entry was the last (H61).
  const bool as_known = *last == known->last_recorded ||
                        std::max(*last, known->last_recorded) <= std::optional(ports.now());
  if (as_known && info->has_value() && (*info)->version == known->version) return {};
  return reload_clinic(tx);
}

Result<void> Desk::Inside::refresh_clinic() {
  return ports.store->read([&](store::ReadTx& tx) { return refresh_clinic(tx); });
}

Result<Caller> Desk::Inside::comes() {
  if (const auto fresh = refresh_clinic(); !fresh) return fresh.error();
  return caller();
}

namespace {

bool corrects(const Fact& fact) { return std::holds_alternative<Correction>(fact.payload); }

}  // namespace

Result<json::Value> Desk::Inside::append_to_clinic(std::vector<Fact> facts,
                                                   std::optional<std::uint64_t> seen,
                                                   bool confirmed, const Caller& caller) {
  json::Value answer;
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    answer = json::null();
    // As it stands in this transaction: somebody else may have taken the last one.
    if (const auto fresh = refresh_clinic(tx); !fresh) return fresh.error();
    const auto now = clinic();
    std::vector<store::NewFact> packed_facts;
    std::vector<Error> questions;
    std::vector<Fact> entries;
    {
      const std::lock_guard reading(facts_mutex);
      put_behind(facts, clinic_facts.facts);
      if (std::ranges::any_of(facts, corrects)) entries = clinic_facts.facts;
      auto back = clock_set_back(tx, clinic_facts.facts, now->zone, caller.now);
      if (!back) return back.error();
      if (*back) questions.push_back(**std::move(back));
    }
    for (const auto& fact : facts) {
      packed_facts.push_back(packed(fact));
      const auto known = is_known(tx, fact);
      if (!known) return known.error();
      if (*known) continue;
      if (auto gone = vetting::zone_gone(ports.zone, facts, fact)) return *std::move(gone);
      auto found = about(now->journal,
                         [&] { return objections_of_clinic(fact, *now, entries, caller.now); });
      entries.push_back(fact);
      for (auto& objection : found) {
        if (!objection.is_question) return objection.error;
        questions.push_back(std::move(objection.error));
      }
    }
    if (!questions.empty() && !confirmed) {
      answer = ask_document(caller.words, questions);
      return questions.front();  // rolls back: nothing enters before the yes
    }
    const auto appended = tx.append(now->journal, packed_facts, seen);
    if (!appended) return appended.error();
    if (const auto right = clock_said_right(tx, confirmed, caller.now); !right) return right;
    const std::lock_guard reading(facts_mutex);
    for (const auto& fact : facts) {
      const auto taken = take_back_at_home(ports, tx, fact, clinic_facts.facts, *now);
      if (!taken) return taken.error();
    }
    answer = recorded_document(*appended, {});
    return {};
  });
  if (!written && answer.type == json::Type::object && answer.find("ask") != nullptr) return answer;
  if (!written) return written.error();
  return answer;
}

// ---- the entries

Result<void> Desk::Inside::start() {
  bool has_clinic = false;
  const auto looked = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    const auto clinic = find_clinic(tx);
    if (!clinic) return clinic.error();
    has_clinic = !clinic->is_nil();
    return {};
  });
  if (!looked) return looked.error();
  if (!has_clinic) {
    const auto made = ports.new_id();
    const auto written = ports.store->write(
        [&](store::WriteTx& tx) { return tx.create_journal(made, store::Subject::clinic); });
    if (!written) return written.error();
  }
  // No journal but the clinic's own stops a start: the others are read when somebody asks for them.
  return ports.store->read([&](store::ReadTx& tx) { return reload_clinic(tx); });
}

Result<json::Value> Desk::Inside::record(Id person, const json::Value& request,
                                         const Caller& caller) {
  const auto clinic = named_clinic();
  if (!clinic) return clinic.error();
  const auto folded = this->person(person);
  if (!folded) return folded.error();
  auto incoming =
      read_request(request, {person, **clinic, (*folded)->zone, (*folded)->facts}, ports, caller);
  if (!incoming) return incoming.error();
  for (const auto& fact : incoming->facts) {
    const auto known = rows::brought_by(as_recorded(fact).payload, **folded);
    if (incoming->confirmed || (known.name.empty() && known.number.empty())) continue;
    const auto everybody = this->everybody({});
    if (!everybody) return everybody.error();
    const auto asked = rows::who_is_alike(*everybody->people, known, person);
    if (!asked.empty())
      return ask_before(*ports.store, asked, (*folded)->facts, (*folded)->zone, caller);
  }
  auto rows = diary::taken_back_with(incoming->facts, (*folded)->history, store::sha256);
  if (!rows.empty() && !incoming->confirmed) {
    return ask_before(*ports.store,
                      {{Kind::refused,
                        codes::ask_take_back,
                        {arg_count("rows", static_cast<std::int64_t>(rows.size()))}}},
                      (*folded)->facts, (*folded)->zone, caller);
  }
  std::ranges::move(rows, std::back_inserter(incoming->facts));
  return append(person, std::move(incoming->facts), incoming->seen, incoming->confirmed, false,
                caller);
}

Result<Incoming> Desk::Inside::read_for_clinic(const json::Value& request, const Clinic& clinic,
                                               const ZoneRules& zone, const Caller& caller) {
  const std::lock_guard reading(facts_mutex);
  return read_request(request, {clinic.journal, clinic, zone, clinic_facts.facts}, ports, caller);
}

Result<json::Value> Desk::Inside::record_clinic(const json::Value& request, const Caller& caller) {
  const auto clinic = this->clinic();
  auto incoming = read_for_clinic(request, *clinic, clinic->zone, caller);
  if (!incoming) return incoming.error();
  for (const auto& fact : incoming->facts) {
    const auto type = type_of(fact.payload);
    if (!is_of_clinic(type) && type != Correction::type) {
      return Error{Kind::refused,
                   std::string(codes::not_a_person),
                   {arg_code("kind", name_of(fact.payload))},
                   "/facts"};
    }
  }
  auto answer =
      append_to_clinic(std::move(incoming->facts), incoming->seen, incoming->confirmed, caller);
  if (!answer) return answer;
  const auto loaded = ports.store->read([&](store::ReadTx& tx) { return reload_clinic(tx); });
  if (!loaded) return loaded.error();
  return answer;
}

Result<json::Value> Desk::Inside::register_person(const json::Value& request,
                                                  const Caller& caller) {
  const auto clinic = named_clinic();
  if (!clinic) return clinic.error();
  Id person = ports.new_id();
  if (const auto* id = request.find("id")) {
    const auto read = json::id_of(*id, "/id");
    if (!read) return read.error();
    person = *read;
  }
  // Sent again, it is the same registration.
  const auto was = this->person(person);
  const std::span<const Fact> there =
      was ? std::span<const Fact>((*was)->facts) : std::span<const Fact>();
  auto incoming = read_request(request, {person, **clinic, (*clinic)->zone, there}, ports, caller);
  if (!incoming) return incoming.error();
  const auto* registered = std::get_if<PersonRegistered>(&incoming->facts.front().payload);
  if (registered == nullptr)
    return Error{Kind::invalid_input,
                 std::string(codes::not_a_person),
                 {arg_code("kind", name_of(incoming->facts.front().payload))},
                 "/facts/0"};
  if (const auto zone = ports.zone(registered->zone); !zone)
    return located(zone.error(), "/facts/0/zone");
  // Before the number is looked up: only rows of this making are found by it.
  const auto everybody = this->everybody({});
  if (!everybody) return everybody.error();
  // Looked at once more where it is written; here so that nobody is asked in vain.
  const auto free = ports.store->read([&](store::ReadTx& tx) {
    return rows::number_is_free(tx, rows::key_of(registered->number), person);
  });
  if (!free) return located(free.error(), "/facts/0/number");
  if (!incoming->confirmed) {
    auto asked = rows::who_is_alike(*everybody->people,
                                    rows::known_by(incoming->facts.front().payload), person);
    if (everybody->missing.records > 0) {
      asked.push_back(
          {Kind::refused,
           std::string(codes::ask_record_missing),
           {arg_count("records", static_cast<std::int64_t>(everybody->missing.records))},
           ""});
    }
    if (!asked.empty()) return ask_before(*ports.store, asked, there, (*clinic)->zone, caller);
  }
  auto answer =
      append(person, std::move(incoming->facts), std::nullopt, incoming->confirmed, true, caller);
  if (answer && answer->find("ask") == nullptr) json::add(*answer, "id", json::string(person));
  return answer;
}

Result<json::Value> Desk::Inside::name_clinic(const json::Value& request, const Caller& caller) {
  auto facts = json::object({{"what", text(ClinicNamed::name)}});
  for (const auto& member : request.members) json::add(facts, member.key, member.value);
  if (const auto* zone = request.find("zone")) {
    const auto serves = vetting::zone_serves(ports.zone, zone->text);
    if (!serves) return located(serves.error(), "/zone");
  }
  return record_clinic(json::object({{"facts", list({std::move(facts)})}}), caller);
}

Result<Id> Desk::Inside::find_person(std::string_view wanted, const Caller& caller,
                                     whom::Finding finding) {
  if (const auto id = parse_id(wanted)) {
    const auto folded = person(*id);
    if (!folded) return folded.error();
    return *id;
  }
  const auto everybody = this->everybody({});
  if (!everybody) return everybody.error();
  auto found = whom::meant(*everybody->people, wanted, finding, caller.words);
  if (!found) return not_found(found.error());
  return found;
}

Result<json::Value> Desk::Inside::whose(Id person, const Caller& caller) {
  const auto chart = this->person(person);
  if (!chart) return chart.error();
  const auto everybody = this->everybody({});
  if (!everybody) return everybody.error();
  return whom::whose(**chart, *everybody->people, caller.words);
}

}  // namespace penstock::desk
