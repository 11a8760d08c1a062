// The `travel` call: what to carry, in two bags, and the question about dose times that goes to the
// prescriber. It answers with no dose to take (H18, H38).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/travel/travel.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// Reads a request: `leaves`, `returns`, `shift_minutes`, `warmest_celsius`, `pharmacy`, `lines`
/// (`insulin`, `purpose`, `units_a_day`, `prime_units_a_day`, `new_cartridge_prime_units`,
/// `cartridge_units`, `in_use_days`, `doses_a_day`, `step_units`, `in_use_most_celsius`),
/// `needles_a_day`.
Result<travel::Request> parse_travel_request(const json::Value& request);
Result<travel::Request> parse_travel_request(std::string_view text);

/// The result: `days`, `clock_shift_minutes`, `date_line`, `carry`, `needles`, `bags`, `cooling`,
/// `questions` (each with its options, their amounts as published and in the pen's steps),
/// `cautions`, `text`, `source`, `defer`.
json::Value travel_answer_json(const travel::Request& request, const travel::Travel& found,
                               const Say& say);
json::Value travel_example();
json::Value travel_schema();

std::string travel_text(const travel::Request& request, const travel::Travel& found,
                        const Say& say);

/// "Away from … to …, so many days"; then one sentence a line of what to carry, and the needles.
Sentence travel_lead(const travel::Request& request, const travel::Travel& found);
Sentence travel_carry_said(const travel::Carry& carry);
Sentence travel_needles_said(const travel::Needles& needles);
/// What one bag holds, one sentence a thing.
std::vector<Sentence> travel_bag_said(const travel::Travel& found, std::int32_t bag);
/// The question to the prescriber, and what each source says: amounts to ask about, never to take.
Sentence travel_question_said(const travel::Request& request, const travel::Question& question);
Sentence travel_option_said(const travel::Option& option);
std::vector<Caution> travel_cautions_said(const travel::Travel& found);
std::string_view travel_source();

extern const Verb travel_verb;

}  // namespace penstock::verbs
