#include "edge/pages/kit/who.hpp"

#include "core/low/low.hpp"
#include "edge/json/json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;

// What changes how one speaks, prints or plans: shown beside the name.
std::vector<json::Value> flags_of(const Words& words, const Background& background) {
  std::vector<json::Value> flags;
  const auto add = [&](std::string_view key, const std::vector<Arg>& args = {}) {
    flags.push_back(say(words, key, args));
  };
  if (background.sight == Ability::reduced || background.sight == Ability::none) add("flag.sight");
  if (background.hearing == Ability::reduced || background.hearing == Ability::none)
    add("flag.hearing");
  if (background.hands == Ability::reduced || background.hands == Ability::none) add("flag.hands");
  if (background.memory == Ability::reduced || background.memory == Ability::none)
    add("flag.memory");
  if (background.pregnant == YesNo::yes) add("flag.pregnant");
  if (background.feels_lows == YesNo::no) add("flag.feels_no_lows");
  if (background.interpreter == YesNo::yes)
    add("flag.interpreter", {arg_text("language", background.speaks)});
  if (background.injector != Injector::unknown && background.injector != Injector::self) {
    add("flag.injector", {arg_code("who", "by/" + word_of(background.injector))});
  }
  return flags;
}

struct Rows {
  const Words& words;
  std::vector<json::Value> rows;

  void add(std::string_view field, const std::string& value) {
    const bool known = !value.empty() && value != "unknown";
    rows.push_back(
        json::object({{"label", text(words.name("form/background/" + std::string(field)))},
                      {"value", text(known ? value : said(words, "background.not_asked"))},
                      {"known", json::boolean(known)}}));
  }
  template <class E>
    requires std::is_enum_v<E>
  void add(std::string_view field, E value) {
    const auto word = word_of(value);
    const auto* of = journal::Background::list.find(field);
    INVARIANT(of != nullptr);
    add(field, word == "unknown" ? word : words.name(std::string(of->said_as) + word));
  }
};

}  // namespace

std::string hypos_text(const Words& words, const Chart& person, Instant now) {
  const auto of = low::of_year(person, now);
  if (of == low::OfYear{}) return said(words, "background.no_hypos");
  return said(words, "background.hypos",
              {arg_count("helped", of.helped), arg_count("level_two", of.level_2),
               arg_count("others", of.others), arg_glucose("limit", low::level_2_limit)});
}

json::Value background_rows(const Words& words, const Chart& person, Instant now) {
  const auto& b = person.person.background;
  Rows out{words, {}};
  out.add("zone", person.person.zone);
  out.add("diabetes", b.diabetes);
  std::string weight;
  if (b.weight) {
    weight = said(words, "background.weight_value",
                  {arg_text("mass", format(*b.weight)),
                   arg_text("day", b.weighed_on ? words.day_year(*b.weighed_on)
                                                : said(words, "background.no_day"))});
  }
  out.add("weight_kg", weight);
  out.add("pregnant", b.pregnant);
  out.add("kidneys", b.kidneys);
  out.add("other_glucose_medicines", b.other_glucose_medicines);
  out.add("severe_lows", b.severe_lows);
  out.add("hypos_on_record", hypos_text(words, person, now));
  out.add("feels_lows", b.feels_lows);
  out.add("lives_alone", b.lives_alone);
  out.add("drives", b.drives);
  out.add("injector", b.injector);
  out.add("sight", b.sight);
  out.add("hands", b.hands);
  out.add("hearing", b.hearing);
  out.add("memory", b.memory);
  out.add("speaks", b.speaks);
  out.add("reads", b.reads);
  out.add("interpreter", b.interpreter);
  return list(std::move(out.rows));
}

json::Value who_of(const Words& words, const Chart& person, const People& people,
                   const Clinic& clinic, const When& now) {
  const auto& who = person.person;
  std::vector<json::Value> twins;
  for (const auto* other : people.alike(person.journal)) {
    twins.push_back(json::object({{"id", json::string(other->person)},
                                  {"name", text(other->full_name)},
                                  {"born_text", text(words.day_year(other->born))},
                                  {"number", text(other->number)}}));
  }
  const auto others = static_cast<std::int64_t>(twins.size());
  auto flags = flags_of(words, who.background);
  for (const auto& allergy : person.contacts.allergies)
    flags.push_back(say(words,
                        allergy.severe == YesNo::yes ? "flag.allergy_severe" : "flag.allergy",
                        {arg_text("to", allergy.to)}));
  if (!who.zone.empty() && who.zone != clinic.names.zone)
    flags.push_back(say(words, "flag.clock",
                        {arg_text("zone", who.zone), arg_text("time", format_iso(now.minute()))}));
  return json::object(
      {{"name", text(who.full_name)},
       {"born_text", text(words.day_year(who.born))},
       {"age_text",
        text(said(words, "who.age", {arg_count("years", age_years(who.born, now.day()))}))},
       {"number", text(who.number)},
       {"phone", text(who.phone)},
       {"flags", list(std::move(flags))},
       {"alike", list(std::move(twins))},
       {"alike_text",
        text(others == 0 ? "" : said(words, "who.alike", {arg_count("others", others)}))}});
}

}  // namespace penstock::pages
