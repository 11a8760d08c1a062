// What the card's steps and its cautions both ask of it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages::card {

/// Whether something is recorded by it: of somebody on record who has a pen for it.
bool records(const CardInput& input);
/// The plan that was cleared; there must be one.
const interlock::Plan& planned(const CardInput& input);
/// A sentence of the catalogue, in the words of the pen that it is about.
std::string told(const CardInput& input, std::string_view key, std::vector<Arg> args = {});
/// How the needle goes in, on the day of the dose.
Way way_in(const CardInput& input);
/// Needles that fit this person and their pen and were taught back; where none was, the first few
/// of them: then the card says that a teach-back is due (H45).
std::vector<const shelf::Entry<shelf::Needle>*> needles_to_offer(const CardInput& input);
/// Of what is not planned with: a sealed one, not the one in the pen.
bool is_sealed(const Error& aside);

/// What stands beside the steps.
json::Value cautions_of(const CardInput& input);
/// The same beside a refusal.
json::Value cautions_of_held(const CardInput& input, const interlock::Held& held);
/// Where somebody is ill, as a call on record says, and no question is open: the press that asks
/// the prescriber how much is given (H53, H38). Whoever rings now is asked for at the phone desk.
std::vector<json::Value> ask_when_ill(const Words& words, const interlock::Dose& dose,
                                      const order::Order& order);

}  // namespace penstock::pages::card
