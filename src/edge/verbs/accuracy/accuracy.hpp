// The `accuracy` call: whether a pen delivers what its window says; request, result, schema,
// example, and the answer as sentences.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/accuracy/accuracy.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs {

/// Reads a request. Amounts have at most two decimals; `mean_units` and `sd_units`, which are no
/// amounts, at most six; `content` and `confidence` four, and when missing they are the standard's.
/// What the numbers may be is checked by accuracy::accuracy.
Result<accuracy::Request> parse_accuracy_request(const json::Value& request);
Result<accuracy::Request> parse_accuracy_request(std::string_view text);

/// The result: `k`, `mean_units`, `sd_units`, `low_units`, `high_units`, `limit_low_units`,
/// `limit_high_units`, `within`, and `n`, `content`, `confidence`, `fails`, `mean_outside`,
/// `outside`, `least_n`, `more_needed`, `drift`, `cautions`, `text`, `source`, `defer`. Four
/// decimals, the slope of the drift six; an end outside its limit never prints as the limit.
json::Value accuracy_answer_json(const accuracy::Request& request, const accuracy::Accuracy& found,
                                 const Say& say);
json::Value accuracy_example();
json::Value accuracy_schema();

/// The answer as lines: verdict, numbers, drift, cautions, source.
std::string accuracy_text(const accuracy::Request& request, const accuracy::Accuracy& found,
                          const Say& say);

/// The verdict with what to do, for a card; and the numbers behind it.
Sentence accuracy_verdict(const accuracy::Request& request, const accuracy::Accuracy& found);
std::vector<Sentence> accuracy_details(const accuracy::Request& request,
                                       const accuracy::Accuracy& found);
std::vector<Caution> accuracy_cautions_said(const accuracy::Request& request,
                                            const accuracy::Accuracy& found);
/// Publications behind limits, rule and factor, with how each is known.
std::string_view accuracy_source();

extern const Verb accuracy_verb;

}  // namespace penstock::verbs
