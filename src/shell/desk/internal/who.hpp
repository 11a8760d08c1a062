// Who a page is about: name, birth date and number, on every page of a person (H19).
#pragma once

#include "edge/json/json.hpp"
#include "shell/desk/internal/folded.hpp"
#include "shell/desk/internal/watches.hpp"

namespace penstock::desk {

json::Value who_of(const Folded& person, const std::vector<Card>& cards, const When& now);
/// The background as rows: label, value, whether it is known.
json::Value background_rows(const journal::Background& background);

}  // namespace penstock::desk
