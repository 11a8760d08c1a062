// The phone desk: a dial plan while somebody is on the line, with or without a person, and what was
// said, to be heard back; where a needle ends (web/src/model.ts: PhoneForm, PhoneAnswer, ReachAsk,
// ReachAnswer). Nothing is recorded.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

struct PhoneCall {
  std::optional<Id> person;
  shelf::Pen pen;
  shelf::Entry<shelf::Insulin> insulin;
  Units dose = Units::zero();
  Units left = Units::zero();
  std::int64_t days_in_use = 0;
  std::int64_t unopened = 0;
  std::size_t prime = 0;
  Units spent = Units::zero();
};

json::Value phone_form(const Clinic& clinic, const Caller& caller);
/// What a form sent. Errors: a field's form or range; a pen or insulin that is not on the shelf.
Result<PhoneCall> read_phone_call(const json::Value& request, const Clinic& clinic);
json::Value phone_answer(const PhoneCall& call, const Clinic& clinic, const Caller& caller,
                         const NewId& new_id);

json::Value phone_reach_form(const Clinic& clinic, const Caller& caller);
/// Reach without a person: nobody's record is read. Errors: those of a reach request.
Result<json::Value> phone_reach_answer(const json::Value& asked, const Caller& caller);

std::vector<Row> phone_rows();

}  // namespace penstock::pages
