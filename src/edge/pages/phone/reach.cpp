// Reach at the phone desk: without a person, nothing is recorded (web/src/model.ts: ReachAsk,
// ReachAnswer).
#include "edge/pages/sites/reach.hpp"

#include <algorithm>

#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/phone/phone.hpp"
#include "edge/pages/sites/sites.hpp"
#include "edge/verbs/reach/reach.hpp"

namespace penstock::pages {
namespace {

// What a form sends is text; what is empty was not said.
json::Value as_request(const json::Value& asked) {
  auto out = json::object();
  for (const auto& member : asked.members) {
    if (member.value.type == json::Type::string && member.value.text.empty()) continue;
    const bool number = member.key.ends_with("_mm") || member.key.ends_with("_deg") ||
                        member.key.ends_with("_years") || member.key.ends_with("_week") ||
                        member.key.ends_with("_m2");
    auto value = member.value;
    if (number && value.type == json::Type::string && parse_fixed(value.text, 1))
      value.type = json::Type::number;
    json::add(out, member.key, std::move(value));
  }
  return out;
}

std::vector<std::string_view> needs_of(reach::People people) {
  if (people == reach::People::children) return {"age_years"};
  if (people == reach::People::pregnant_women) return {"pregnancy_week"};
  return {};
}

}  // namespace

json::Value phone_reach_form(const Clinic& clinic, const Caller& caller) {
  std::vector<json::Value> needles, people;
  std::vector<TenthsMm> lengths;
  for (const auto& entry : clinic.shelf.needles) lengths.push_back(entry.thing.length);
  std::ranges::sort(lengths);
  const auto repeated = std::ranges::unique(lengths);
  lengths.erase(repeated.begin(), repeated.end());
  for (const auto length : lengths)
    needles.push_back(choice(
        format(length), said(caller.words, "site.needle", {arg_text("needle", format(length))})));
  for (std::size_t i = 0; i < reach::people_names.size(); ++i) {
    auto one = choice(reach::people_names[i],
                      capital(caller.words.name("people/" + std::string(reach::people_names[i]))));
    std::vector<json::Value> needs;
    for (const auto need : needs_of(static_cast<reach::People>(i))) needs.push_back(text(need));
    json::add(one, "needs", list(std::move(needs)));
    people.push_back(std::move(one));
  }
  return json::object({{"parts", choices_of<BodyPart>(caller.words, "part/")},
                       {"needles", list(std::move(needles))},
                       {"people", list(std::move(people))},
                       {"sexes", choices_of<reach::Sex>(caller.words, "sex/")}});
}

Result<json::Value> phone_reach_answer(const json::Value& asked, const Caller& caller) {
  const auto request = verbs::parse_reach_request(as_request(asked));
  if (!request) return request.error();
  const auto found = reach::reach(*request);
  const std::vector<ReachRow> rows{ReachRow{request->zone, found}};
  return json::object({{"reach", reach_section(caller.words, *request, found, rows)}});
}

}  // namespace penstock::pages
