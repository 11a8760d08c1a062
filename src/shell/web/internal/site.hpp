// Parts of the site that are neither a call nor a file as it was built.
#pragma once

#include <optional>
#include <string_view>

#include "edge/json/json.hpp"
#include "shell/web/web.hpp"

namespace penstock::web {

/// The pattern's named segments, where the path fits: "/api/people/{id}" against
/// "/api/people/07b1".
std::optional<Texts> match(std::string_view pattern, std::string_view path);

/// The description of all calls: as JSON, and as a page for people.
json::Value api_document();
std::string api_page();

}  // namespace penstock::web
