// Facts as JSON: the envelope, then "what" with the kind's name, then the kind's own fields, all in
// one object. Made from the lists of core/facts; schema, examples and list of kinds too.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/journal/journal.hpp"
#include "edge/json/json.hpp"

namespace penstock::wire {

namespace codes {
inline constexpr std::string_view kind_unknown = "fact.kind_unknown";  // text, allowed
/// A correction inside a correction.
inline constexpr std::string_view correction_nested = "fact.correction_nested";
/// A shelf code that is not on the shelf.
inline constexpr std::string_view shelf_code_unknown = "fact.shelf_code_unknown";  // text
/// The clocks went forward past it.
inline constexpr std::string_view hour_missing = "fact.hour_missing";  // time, zone
/// The clocks went back over it, and it is not said which of the two is meant.
inline constexpr std::string_view hour_twice = "fact.hour_twice";  // time, zone
/// Two hours of one entry.
inline constexpr std::string_view happened_twice = "fact.happened_twice";  // happened, local
}  // namespace codes

/// What has no value is left out: empty texts, empty lists, optionals without one.
json::Value to_json(const journal::Fact& fact);
/// Only "what" and the kind's own fields.
json::Value payload_to_json(const journal::Payload& payload);

/// A whole fact, as in an exported journal: every field of the envelope that `to_json` writes must
/// be there. Shape only; journal::checked comes after.
Result<journal::Fact> fact_from_json(const json::Value& value, std::string_view at = "");

/// A fact on its way in: what the sender may leave out is empty, and the desk fills it. Author,
/// recorded and version are the desk's to say, so a request that names them is refused.
struct Draft {
  std::optional<Id> id;  ///< left out: the desk makes one, and a retry is a second fact
  std::optional<Id> journal;
  std::optional<When> happened;
  std::uint32_t sequence = 0;
  std::string told_by;
  std::string source;
  journal::Payload payload;
};
/// `shelf`: where "copy" may be a shelf code ("copy": "glargine-100") instead of all its values.
/// nullptr: values only.
Result<Draft> draft_from_json(const json::Value& value, const shelf::Shelf* shelf = nullptr,
                              std::string_view at = "");

/// When something happened, on the person's own clock: "2027-10-31T02:35", and of an hour that
/// comes twice " first" or " second" behind it (H18). What has not come by `now` is not meant.
/// Errors: codes::hour_missing, codes::hour_twice; of its form, as parse_time.
Result<When> local_time(const json::Value& value, const ZoneRules& zone, Instant now,
                        std::string_view at);

/// Takes "happened_local" out of a request to record one (local_time). Nothing: it has none, or
/// "happened", which is the same hour with its offset, says it without doubt. Error beside those of
/// local_time: codes::happened_twice.
Result<std::optional<When>> take_local_time(json::Value& request, const ZoneRules& zone,
                                            Instant now, std::string_view at);

/// JSON Schema (2020-12) of a request to record one. Nothing: no such kind. The list of kinds is
/// journal::kinds.
std::optional<json::Value> kind_schema(std::string_view kind);
/// Any kind.
json::Value fact_schema();
/// A request to record one that works, for `--example`. Nothing: no such kind.
std::optional<json::Value> kind_example(std::string_view kind);

}  // namespace penstock::wire
