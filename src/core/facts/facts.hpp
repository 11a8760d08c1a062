// Every kind of fact, one list of fields each: what a field is called, what it may be, what is
// usual, how it is read. Packed bytes, JSON, schema, examples, limits and forms are engines that
// walk these lists.
//
//   person order pens skin supplies notes stock clinic .hpp    the structs, by subject
//   the same .cpp                                              their lists, and what only the whole
//   shows payload.hpp                                                the registry: one line a kind
//
// A kind's `type` number and `name` are for ever. A list grows by `since(n)`; such a field may be
// left out, and a fact that does not use it is written as before, so that its bytes and its digest
// stay. Nothing in a list is removed or given another type: keep the old field, add another. A
// group that stands in several kinds never grows.
#pragma once

#include <optional>
#include <string_view>

#include "base/base.hpp"
#include "core/facts/choices.hpp"
#include "core/facts/kind.hpp"
#include "core/facts/limits.hpp"
#include "core/facts/payload.hpp"

namespace penstock::facts {

// ---- what cannot be (H25)

// The limits themselves stand in limits.hpp.
namespace codes {
inline constexpr std::string_view value_range =
    "fact.value_range";  // args: field, value, least, most, why
inline constexpr std::string_view text_long = "fact.text_long";    // args: field, most (bytes)
inline constexpr std::string_view text_empty = "fact.text_empty";  // args: field
inline constexpr std::string_view text_form =
    "fact.text_form";  // control characters, not UTF-8; args: field
inline constexpr std::string_view time_range =
    "fact.time_range";  // before 1900 or more than a day after it was recorded; args: field, least,
                        // most (dates)
inline constexpr std::string_view identity_missing = "fact.identity_missing";  // args: field
inline constexpr std::string_view names_itself =
    "fact.names_itself";  // a line that replaces itself, a dose that completes itself; args: field
inline constexpr std::string_view correction_target =
    "fact.correction_target";  // a correction of itself, or one that puts a correction in its place
inline constexpr std::string_view repeated = "fact.repeated";  // twice in one list; args: field
inline constexpr std::string_view photo_consent =
    "fact.photo_consent";  // a picture without the person's consent; args: field
inline constexpr std::string_view service_reason =
    "fact.service_reason";  // less than the usual service without a name and a reason; args: field
inline constexpr std::string_view glucose_empty =
    "fact.glucose_empty";  // neither a value nor a low that was felt or helped with; args: field
inline constexpr std::string_view glucose_both =
    "fact.glucose_both";  // a value, and a word that a meter shows instead of one; args: field
inline constexpr std::string_view outcome_of_meeting =
    "fact.outcome_of_meeting";  // of a visit that nobody answered; args: field
inline constexpr std::string_view correction_both =
    "fact.correction_both";  // another person's fact cannot be replaced here, only voided
}  // namespace codes

/// Whether a fact is well formed: identities, limits, texts, times; the first that is wrong, in the
/// order of the fields. `at` is a JSON pointer into the fact as its JSON is written:
/// "/slots/0/units". A well-formed fact is always taken, however odd (plans refuse, records do
/// not). A broken shelf copy or entry is refused with the shelf's own code.
Result<Fact> checked(Fact fact);

// ---- what is odd (H25)

namespace codes {
inline constexpr std::string_view odd = "fact.odd";          // args: field, value, least, most, why
inline constexpr std::string_view odd_age = "fact.odd_age";  // args: born, years, most
inline constexpr std::string_view born_ahead = "fact.born_ahead";  // args: born, on
}  // namespace codes

/// The first value of a well-formed fact that is odd by itself, as a question to whoever records it
/// (kind: refused, until they say yes); nothing if there is none. A dose under an order line is not
/// asked about here: the order's own limits are nearer. What is odd against the rest of the journal
/// is the ledger's to mark.
std::optional<Error> oddity(const Fact& fact);

}  // namespace penstock::facts
