// Parts of the site that are neither a call nor a file as it was built.
#pragma once

#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "shell/web/web.hpp"

namespace penstock::web {

/// The calls that are no page.
std::vector<Route> acts();

/// 200, or 422 where something is asked.
Response answer(const json::Value& document);
Response answer(const Call& call, const Result<json::Value>& result);

/// What somebody gets who came without the start token.
Response closed_door(bool is_call);

/// The description of all calls: as JSON, and as a page for people.
json::Value api_document();
json::Value openapi_document();
std::string api_page();

}  // namespace penstock::web
