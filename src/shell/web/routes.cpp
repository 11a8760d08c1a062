// The table of calls: the pages' rows and the acts.
#include <algorithm>

#include "edge/pages/all/all.hpp"
#include "shell/web/internal/site.hpp"

namespace penstock::web {
namespace {

Response page(const Call& call) {
  std::vector<Id> proposed;
  auto response =
      answer(call, call.desk.page(call.row, call.given, call.caller, {.stop = call.stop},
                                  [&proposed](Id id) { proposed.push_back(id); }));
  response.proposed = std::move(proposed);
  return response;
}

}  // namespace

const std::vector<Route>& routes() {
  static const std::vector<Route> all = [] {
    auto table = acts();
    for (const auto& row : pages::all()) table.push_back({row, page});
    // By path, as somebody looks it up: {verb}, which is any word, comes behind the words.
    std::ranges::sort(table, {}, [](const Route& route) {
      return std::pair{route.row.pattern, route.row.method != "GET"};
    });
    return table;
  }();
  return all;
}

}  // namespace penstock::web
