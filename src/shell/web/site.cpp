// Which answer a path gets: a call, a file of the front end, one of its pages, or neither.
#include "shell/web/internal/site.hpp"

#include <algorithm>
#include <array>
#include <ranges>

#include "edge/verbs/all/all.hpp"
#include "edge/verbs/verbs.hpp"
#include "embedded/front_end.hpp"
#include "embedded/web_pages.hpp"

namespace penstock::web {
namespace {

std::string_view type_of(std::string_view path) {
  constexpr std::array<std::pair<std::string_view, std::string_view>, 11> types{{
      {".html", "text/html; charset=utf-8"},
      {".css", "text/css; charset=utf-8"},
      {".js", "text/javascript; charset=utf-8"},
      {".json", "application/json; charset=utf-8"},
      {".svg", "image/svg+xml"},
      {".png", "image/png"},
      {".ico", "image/x-icon"},
      {".woff2", "font/woff2"},
      {".wasm", "application/wasm"},
      {".txt", "text/plain; charset=utf-8"},
      {".webmanifest", "application/manifest+json"},
  }};
  for (const auto& [ending, type] : types) {
    if (path.ends_with(ending)) return type;
  }
  return "application/octet-stream";
}

const EmbeddedFile* find(std::span<const EmbeddedFile> files, std::string_view path) {
  const auto found = std::ranges::find(files, path, &EmbeddedFile::path);
  return found == files.end() ? nullptr : &*found;
}

// The build leaves a compressed copy beside each file that gains by it.
constexpr std::string_view compressed = ".gz";

bool takes_gzip(std::string_view accepted) {
  for (const auto part : std::views::split(accepted, ',')) {
    std::string_view coding(part.begin(), part.end());
    coding.remove_prefix(std::min(coding.find_first_not_of(' '), coding.size()));
    // "gzip;q=0" is a no; what else stands there is a preference between codings.
    if (coding == "gzip" || (coding.starts_with("gzip;") && !coding.ends_with("q=0"))) return true;
  }
  return false;
}

bool names(std::string_view if_none_match, std::string_view tag) {
  return if_none_match.find(tag) != std::string_view::npos;
}

Response file(const EmbeddedFile& plain, std::span<const EmbeddedFile> beside,
              const Request& request) {
  const auto* small = find(beside, std::string(plain.path) + std::string(compressed));
  const auto& found = small != nullptr && takes_gzip(request.accept_encoding) ? *small : plain;
  Response answer;
  answer.content_type = std::string(type_of(plain.path));
  const auto tag = "\"" + std::string(found.sha256.substr(0, 32)) + "\"";
  // The build puts a digest into the names below assets/: such a file never changes.
  const bool for_ever = plain.path.starts_with("assets/");
  answer.headers = {
      {"ETag", tag},
      {"Cache-Control", for_ever ? "public, max-age=31536000, immutable" : "no-cache"}};
  if (small != nullptr) answer.headers.emplace_back("Vary", "Accept-Encoding");
  if (names(request.if_none_match, tag)) {
    answer.status = 304;
    return answer;
  }
  if (&found != &plain) answer.headers.emplace_back("Content-Encoding", "gzip");
  answer.fixed = found.data;
  if (found.data.empty()) answer.body.clear();
  return answer;
}

// The front end's own paths: those that a page's row names, and all below a name that ends in /.
// What is below says itself when it is no page.
bool is_page(std::string_view path) {
  if (path.size() > 1 && path.ends_with('/')) path.remove_suffix(1);
  return std::ranges::any_of(routes(), [&](const Route& route) {
    return std::ranges::any_of(route.row.screens, [&](auto screen) {
      const bool has_below = screen.size() > 1 && screen.ends_with('/');
      return has_below ? path.starts_with(screen) : path == screen;
    });
  });
}

bool is_call(std::string_view path) { return path == "/api" || path.starts_with("/api/"); }

Response missing_page() {
  const auto* page = find(embedded::web_pages(), "missing.html");
  INVARIANT(page != nullptr);
  return {404, "text/html; charset=utf-8", std::string(page->data), {}, {}};
}

Response missing_call(std::string_view path, const words::Catalogue& words) {
  return refusal({Kind::not_found, std::string(codes::no_such_path), {arg_text("path", path)}, ""},
                 words);
}

Response wrong_method(const Request& request, const std::string& allowed,
                      const words::Catalogue& words) {
  auto answer = refusal({Kind::invalid_input,
                         std::string(codes::method),
                         {arg_text("method", request.method), arg_text("path", request.path),
                          arg_text("allowed", allowed)},
                         ""},
                        words);
  answer.status = 405;
  answer.headers.emplace_back("Allow", allowed);
  return answer;
}

// Bodies of these types a browser sends across origins only after asking, and we never say yes.
std::span<const std::string_view> types_of(pages::Body body) {
  static constexpr std::array<std::string_view, 2> file{"text/csv", "application/json"};
  static constexpr std::array<std::string_view, 2> picture{"image/jpeg", "image/png"};
  if (body == pages::Body::picture) return picture;
  if (body == pages::Body::file) return file;
  return std::span(file).last(1);
}

std::optional<Response> wrong_type(const Request& request, pages::Body body,
                                   const words::Catalogue& words) {
  std::string type = request.content_type.substr(0, request.content_type.find(';'));
  while (type.ends_with(' ')) type.pop_back();
  std::ranges::transform(type, type.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  std::string expected;
  for (const auto each : types_of(body)) {
    if (type == each) return std::nullopt;
    expected += (expected.empty() ? "" : ", ") + std::string(each);
  }
  auto answer = refusal({Kind::invalid_input,
                         std::string(codes::media_type),
                         {arg_text("type", type), arg_text("expected", expected)},
                         ""},
                        words);
  answer.status = 415;
  return answer;
}

// A page asks for its document every minute. The tag is made from the document itself: whatever the
// clock, a write or another program has changed in it, it is another tag. Identities that it
// proposes are left out: whoever has the document has others, which nobody has used, or a write
// would have changed it. Weak, because of that, and because the same document may be written with
// other blanks one day.
void give_tag(Response& answer, const Request& request) {
  auto tagged = answer.body;
  for (const auto id : answer.proposed) {
    const auto written = to_text(id);
    for (auto at = tagged.find(written); at != std::string::npos; at = tagged.find(written, at))
      tagged.erase(at, written.size());
  }
  const auto digest =
      store::sha256({reinterpret_cast<const std::uint8_t*>(tagged.data()), tagged.size()});
  const auto tag = "\"" + to_text(digest).substr(0, 32) + "\"";
  answer.headers.emplace_back("ETag", "W/" + tag);
  if (!names(request.if_none_match, tag)) return;
  answer.status = 304;
  answer.body.clear();
}

// What is written into a record that somebody looked at before.
bool names_a_version(std::string_view pattern) {
  constexpr std::array<std::string_view, 3> writes{
      "/api/people/{id}/facts", "/api/people/{id}/move", "/api/people/{id}/hand-outs"};
  return std::ranges::find(writes, pattern) != writes.end();
}

std::optional<Error> unseen(const pages::Given& given) {
  const auto body = pages::body_of(given);
  if (!body || body->type != json::Type::object)
    return std::nullopt;  // what is no request is refused with its own words
  const auto* seen = body->find("seen_version");
  if (seen != nullptr && seen->type != json::Type::null) return std::nullopt;
  return Error{Kind::invalid_input,
               std::string(json::codes::field_missing),
               {arg_text("field", "seen_version")},
               "/seen_version"};
}

struct Door {
  desk::Desk& desk;
  Blind blind;
};

Response run(const Route& route, const Door& door, const Request& request, const Caller& caller,
             Texts texts) {
  if (request.method == "POST") {
    if (auto wrong = wrong_type(request, route.row.body, caller.words)) return *std::move(wrong);
  }
  texts.insert(request.query.begin(), request.query.end());
  const auto given = pages::read(route.row, texts, request.body);
  if (!given) return refusal(given.error(), caller.words);
  if (door.blind == Blind::refused && names_a_version(route.row.pattern)) {
    if (const auto blind = unseen(*given)) return refusal(*blind, caller.words);
  }
  auto answer = route.run({door.desk, route.row, *given, caller, request.stop});
  if (request.method == "GET" && answer.status == 200) give_tag(answer, request);
  return answer;
}

Response call(const Door& door, const Request& request, const Caller& caller) {
  std::string allowed;
  bool is_own_path = false;
  for (const auto& route : routes()) {
    auto in_path = pages::match(route.row.pattern, request.path);
    if (!in_path) continue;
    // A verb is any word that is no path of its own.
    const bool is_verb = route.row.pattern == "/api/{verb}";
    if (is_verb && is_own_path) break;
    is_own_path = !is_verb;
    if (route.row.method == request.method)
      return run(route, door, request, caller, *std::move(in_path));
    allowed += (allowed.empty() ? "" : ", ") + std::string(route.row.method);
    if (route.row.method == "GET") allowed += ", HEAD";
  }
  return allowed.empty() ? missing_call(request.path, caller.words)
                         : wrong_method(request, allowed, caller.words);
}

Response page(const Request& request) {
  if (request.method != "GET") return wrong_method(request, "GET, HEAD", words::english());
  if (request.path == "/api.html") {
    return {200, "text/html; charset=utf-8", api_page(), {}, {}};
  }
  const auto name = std::string_view(request.path).substr(1);
  if (name.ends_with(compressed)) return missing_page();
  const bool is_answer = name == "missing.html" || name == "closed.html";
  if (const auto* found = find(embedded::web_pages(), name); found && !is_answer) {
    return file(*found, embedded::web_pages(), request);
  }
  if (const auto* found = find(embedded::front_end(), name)) {
    return file(*found, embedded::front_end(), request);
  }
  if (is_page(request.path)) {
    const auto* index = find(embedded::front_end(), "index.html");
    INVARIANT(index != nullptr);
    return file(*index, embedded::front_end(), request);
  }
  return missing_page();
}

}  // namespace

Response closed_door(bool is_call) {
  if (is_call) {
    auto answer = refusal({Kind::refused, std::string(codes::no_token), {}, ""}, words::english());
    answer.status = 403;
    return answer;
  }
  const auto* page = find(embedded::web_pages(), "closed.html");
  INVARIANT(page != nullptr);
  return {403, "text/html; charset=utf-8", std::string(page->data), {}, {}};
}

std::size_t upload_most(std::string_view path) {
  // A picture that is somewhat too large is refused with its own words; whole films are not read.
  constexpr std::size_t picture_most = 4 * store::blob_bytes_max;
  const bool picture = std::ranges::any_of(routes(), [&](const Route& route) {
    return route.row.body == pages::Body::picture &&
           pages::match(route.row.pattern, path).has_value();
  });
  return picture ? picture_most : SIZE_MAX;
}

bool takes_upload(std::string_view path) {
  return std::ranges::any_of(routes(), [&](const Route& route) {
    const auto body = route.row.body;
    return (body == pages::Body::file || body == pages::Body::picture) &&
           pages::match(route.row.pattern, path).has_value();
  });
}

Lane lane_of(const Request& request) {
  if (!is_call(request.path) || request.path == "/api/health") return Lane::at_once;
  const auto is_heavy = [&](const verbs::Verb& verb) {
    return verb.work == verbs::Work::heavy && request.path == "/api/" + std::string(verb.name);
  };
  const bool is_slow = std::ranges::any_of(verbs::all(), is_heavy) ||
                       std::ranges::any_of(routes(), [&](const Route& route) {
                         return route.row.pace == pages::Pace::slow &&
                                pages::match(route.row.pattern, request.path).has_value();
                       });
  return is_slow ? Lane::slow : Lane::records;
}

Handler site(desk::Desk& desk, Blind blind) {
  return [&desk, blind](const Request& request) {
    try {
      if (!is_call(request.path)) return page(request);
      // What is answered at once never waits for the disk.
      if (lane_of(request) == Lane::at_once)
        return call({desk, blind}, request, {{}, Role::nurse, words::english(), desk.now()});
      const auto comes = desk.comes();
      // Nothing is signed with a name that may be yesterday's; what is only read says itself what
      // cannot be read.
      if (!comes && request.method != "GET") return refusal(comes.error(), words::english());
      return call({desk, blind}, request, comes ? *comes : desk.caller());
    } catch (...) {
      return refusal(desk.incident(), words::english());  // while the answer was written down
    }
  };
}

}  // namespace penstock::web
