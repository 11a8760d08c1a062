#include "edge/pages/person/assessment.hpp"

#include <algorithm>
#include <ranges>

#include "core/contacts/contacts.hpp"
#include "edge/pages/sheets/sheets.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;

// Older ones are in the record.
constexpr std::size_t calls_shown_max = 10;

// ---- whom to phone

json::Value contact_of(const Words& words, const contacts::Contact& one) {
  std::vector<json::Value> phones{text(one.said.phone)};
  if (!one.said.other_phone.empty()) phones.push_back(text(one.said.other_phone));
  auto former = one.said;
  former.former = true;
  return json::object(
      {{"id", json::string(one.fact)},
       {"role", text(capital(words.name("contact/" + word_of(one.said.role))))},
       {"name", text(one.said.full_name)},
       {"phones", list(std::move(phones))},
       {"text", text(one.said.text)},
       {"since_text",
        text(said(words, "known.since", {arg_text("day", words.day_year(one.noted.day()))}))},
       {"fact", wire::payload_to_json(one.said)},
       {"drop",
        record_action(words, "act.contact_former", {wire::payload_to_json(former)}, json::null(),
                      "act.contact_former_confirm", {arg_text("name", one.said.full_name)})}});
}

// Of those whom every person has; a carer, a school and a nurse who comes are not everybody's.
std::string nobody_text(const Words& words, const Chart& person) {
  std::string out;
  for (const auto role :
       {ContactRole::prescriber, ContactRole::pharmacy, ContactRole::out_of_hours}) {
    const auto is_one = [&](const contacts::Contact& one) { return one.said.role == role; };
    if (std::ranges::any_of(person.contacts.people, is_one)) continue;
    out += (out.empty() ? "" : ", ") + words.name("contact/" + word_of(role));
  }
  return out.empty() ? out : said(words, "known.nobody", {arg_text("roles", out)});
}

// ---- what is known

struct Known {
  std::string_view label;
  std::string value;  ///< empty: nobody asked, or nobody knew
  std::optional<Level> level;
};

Known allergies_of(const Words& words, const Chart& person) {
  Known out{"known/allergies", "", std::nullopt};
  for (const auto& one : person.contacts.allergies) {
    if (!out.value.empty()) out.value += "; ";
    out.value += one.to;
    if (!one.reaction.empty()) out.value += " (" + one.reaction + ")";
    if (one.severe != YesNo::yes) continue;
    out.value += ", " + said(words, "known.severe");
    out.level = Level::caution;
  }
  if (person.contacts.no_allergies) out.value = said(words, "known.no_allergies");
  return out;
}

Known glucagon_of(const Words& words, const Chart& person, LocalDay today) {
  Known out{"form/rescue noted/glucagon", "", std::nullopt};
  const auto& rescue = person.contacts.rescue;
  if (!rescue || rescue->glucagon == YesNo::unknown) return out;
  out.value = capital(words.name("yes/" + word_of(rescue->glucagon)));
  if (rescue->glucagon != YesNo::yes) return out;
  const auto expires = rescue->glucagon_expires;
  const bool over = expires && *expires < today;
  if (over) out.level = Level::caution;
  out.value += ", " + (expires ? said(words, over ? "known.expired" : "known.expires",
                                      {arg_text("day", words.day_year(*expires))})
                               : said(words, "known.expiry_unknown"));
  return out;
}

Known taught_of(const Chart& person) {
  const auto& rescue = person.contacts.rescue;
  return {"form/rescue noted/taught", rescue ? rescue->taught : "", std::nullopt};
}

Known ketones_of(const Words& words, const Chart& person) {
  const auto& rescue = person.contacts.rescue;
  if (!rescue || rescue->ketone_testing == YesNo::unknown)
    return {"form/rescue noted/ketone_testing", "", {}};
  return {"form/rescue noted/ketone_testing",
          capital(words.name("yes/" + word_of(rescue->ketone_testing))),
          {}};
}

// The newest, and the one before it: where it goes.
Known hba1c_of(const Words& words, const Chart& person) {
  Known out{"form/hba1c noted/value", "", std::nullopt};
  for (const auto& one : person.contacts.hba1c | std::views::reverse | std::views::take(2)) {
    if (!out.value.empty()) out.value += "; ";
    out.value += format_both(one.said.value) + ", " + words.day_year(one.said.sampled_on) +
                 (one.said.where_from.empty() ? std::string() : ", " + one.said.where_from);
  }
  return out;
}

json::Value known_of(const Words& words, const Known& one) {
  auto out = json::object({{"label", text(words.name(one.label))},
                           {"value", text(one.value)},
                           {"known", json::boolean(!one.value.empty())}});
  if (one.level) add_level(words, out, *one.level);
  return out;
}

// ---- calls and visits

json::Value call_of(const Words& words, const contacts::Made& one) {
  std::vector<Arg> args{
      arg_text("meeting", capital(words.name("meeting/" + word_of(one.said.meeting)))),
      arg_code("outcome", "outcome-of-contact/" + word_of(one.said.outcome)),
      arg_text("spoke_to", one.said.spoke_to)};
  auto more = one.said.said;
  if (!one.said.advised.empty()) more += (more.empty() ? "" : " ") + one.said.advised;
  return json::object(
      {{"when_text", text(words.moment(one.when))},
       {"what", say(words, one.said.spoke_to.empty() ? "known.call" : "known.call_with", args)},
       {"text", text(more)}});
}

json::Value agreed_of(const Words& words, const contacts::Appointment& one) {
  const auto with = one.said.with.empty() ? "known.agreed" : "known.agreed_with";
  return json::object(
      {{"when_text", text(words.moment(one.said.at))},
       {"what",
        say(words, with,
            {arg_text("meeting", capital(words.name("meeting/" + word_of(one.said.meeting)))),
             arg_code("why", "meeting-why/" + word_of(one.said.why)),
             arg_text("with", one.said.with)})},
       {"text", text(one.said.text)}});
}

// What is agreed and still waits, then what took place or did not, newest first.
std::vector<json::Value> calls_of(const Words& words, const Chart& person) {
  std::vector<json::Value> out;
  for (const auto* one : person.contacts.waiting()) out.push_back(agreed_of(words, *one));
  for (const auto& one :
       person.contacts.made | std::views::reverse | std::views::take(calls_shown_max))
    out.push_back(call_of(words, one));
  return out;
}

// Of now, and of each version that is to come: whoever goes home today takes tomorrow's with them.
std::vector<json::Value> cards_of(const Words& words, const Chart& person, LocalDay today) {
  const auto address = href_of(person.journal, "/dial-card");
  std::vector<json::Value> out;
  out.push_back(
      json::object({{"label", text(said(words, "assess.dial_card"))}, {"href", text(address)}}));
  for (const auto day : card_days(person, today))
    out.push_back(json::object({{"label", text(said(words, "assess.dial_card_from",
                                                    {arg_text("day", words.day_month(day))}))},
                                {"href", text(address + "?from=" + format_iso(day))}}));
  return out;
}

}  // namespace

json::Value assessment_page(const Chart& person, const Caller& caller) {
  const auto& words = caller.words;
  const auto today = now_at(person, caller).day();
  std::vector<json::Value> people, known;
  for (const auto& one : person.contacts.people) people.push_back(contact_of(words, one));
  for (const auto& one : {allergies_of(words, person), glucagon_of(words, person, today),
                          taught_of(person), ketones_of(words, person), hba1c_of(words, person)})
    known.push_back(known_of(words, one));
  const auto& rescue = person.contacts.rescue;
  return json::object({{"version", json::count(static_cast<std::int64_t>(person.version))},
                       {"contacts", list(std::move(people))},
                       {"nobody_text", text(nobody_text(words, person))},
                       {"known", list(std::move(known))},
                       {"rescue_fact", rescue ? wire::payload_to_json(*rescue) : json::object()},
                       {"calls", list(calls_of(words, person))},
                       {"cards", list(cards_of(words, person, today))}});
}

}  // namespace penstock::pages
