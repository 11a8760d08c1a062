// Which answer a path gets: a call, a file of the front end, one of its pages, or neither.
#include "shell/web/internal/site.hpp"

#include <algorithm>
#include <array>
#include <ranges>

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

// The front end's own paths; app.tsx has the list. Below people, stock and recalls each is
// a page or says itself that it is none.
bool is_page(std::string_view path) {
  constexpr std::array<std::string_view, 7> pages{"/",      "/people", "/month", "/stock",
                                                  "/shelf", "/phone",  "/start"};
  constexpr std::array<std::string_view, 3> below{"/people/", "/stock/", "/recall/"};
  if (path.size() > 1 && path.ends_with('/')) path.remove_suffix(1);
  return std::ranges::find(pages, path) != pages.end() ||
         std::ranges::any_of(below, [&](auto start) { return path.starts_with(start); });
}

bool is_call(std::string_view path) { return path == "/api" || path.starts_with("/api/"); }

bool takes_picture(std::string_view path) {
  return match("/api/people/{id}/photos", path).has_value();
}

Response missing_page() {
  const auto* page = find(embedded::web_pages(), "missing.html");
  INVARIANT(page != nullptr);
  return {404, "text/html; charset=utf-8", std::string(page->data), {}, {}};
}

Response missing_call(std::string_view path) {
  return refusal({Kind::not_found, std::string(codes::no_such_path), {arg_text("path", path)}, ""});
}

Response wrong_method(const Request& request, const std::string& allowed) {
  auto answer = refusal({Kind::invalid_input,
                         std::string(codes::method),
                         {arg_text("method", request.method), arg_text("path", request.path),
                          arg_text("allowed", allowed)},
                         ""});
  answer.status = 405;
  answer.headers.emplace_back("Allow", allowed);
  return answer;
}

// A browser sends these types across origins only after asking, and we never say yes.
std::optional<Response> wrong_type(const Request& request) {
  std::string type = request.content_type.substr(0, request.content_type.find(';'));
  while (type.ends_with(' ')) type.pop_back();
  std::ranges::transform(type, type.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  });
  const bool picture = takes_picture(request.path);
  const bool csv = !picture && takes_upload(request.path);
  const bool json = !picture && type == "application/json";
  if (json || (csv && type == "text/csv")) return std::nullopt;
  if (picture && (type == "image/jpeg" || type == "image/png")) return std::nullopt;
  auto answer =
      refusal({Kind::invalid_input,
               std::string(codes::media_type),
               {arg_text("type", type), arg_text("expected", picture ? "image/jpeg, image/png"
                                                             : csv   ? "text/csv, application/json"
                                                                     : "application/json")},
               ""});
  answer.status = 415;
  return answer;
}

// A page asks for its document every minute. The tag is made from the document itself: whatever the
// clock, a write or another program has changed in it, it is another tag. Weak, because the same
// document may be written with other blanks one day.
void give_tag(Response& answer, const Request& request) {
  const auto& body = answer.body;
  const auto digest =
      store::sha256({reinterpret_cast<const std::uint8_t*>(body.data()), body.size()});
  const auto tag = "\"" + to_text(digest).substr(0, 32) + "\"";
  answer.headers.emplace_back("ETag", "W/" + tag);
  if (!names(request.if_none_match, tag)) return;
  answer.status = 304;
  answer.body.clear();
}

Response run(const Route& route, desk::Desk& desk, const Request& request, const Texts& in_path) {
  if (request.method == "POST") {
    if (auto wrong = wrong_type(request)) return *std::move(wrong);
  }
  auto answer = route.run(desk, request, in_path);
  if (request.method == "GET" && answer.status == 200) give_tag(answer, request);
  return answer;
}

Response call(desk::Desk& desk, const Request& request) {
  std::string allowed;
  bool is_own_path = false;
  for (const auto& route : routes()) {
    const auto in_path = match(route.pattern, request.path);
    if (!in_path) continue;
    // A verb is any word that is no path of its own.
    const bool is_verb = route.pattern == "/api/{verb}";
    if (is_verb && is_own_path) break;
    is_own_path = !is_verb;
    if (route.method == request.method) return run(route, desk, request, *in_path);
    allowed += (allowed.empty() ? "" : ", ") + std::string(route.method);
    if (route.method == "GET") allowed += ", HEAD";
  }
  return allowed.empty() ? missing_call(request.path) : wrong_method(request, allowed);
}

Response page(const Request& request) {
  if (request.method != "GET") return wrong_method(request, "GET, HEAD");
  if (request.path == "/api.html") {
    return {200, "text/html; charset=utf-8", api_page(), {}, {}};
  }
  const auto name = std::string_view(request.path).substr(1);
  if (name.ends_with(compressed)) return missing_page();
  if (const auto* found = find(embedded::web_pages(), name); found && name != "missing.html") {
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

std::optional<Texts> match(std::string_view pattern, std::string_view path) {
  Texts found;
  for (;;) {
    const auto want = pattern.substr(0, pattern.find('/'));
    const auto have = path.substr(0, path.find('/'));
    if (want.starts_with('{') && want.ends_with('}')) {
      if (have.empty()) return std::nullopt;
      found.emplace(want.substr(1, want.size() - 2), have);
    } else if (want != have) {
      return std::nullopt;
    }
    const bool pattern_ends = want.size() == pattern.size();
    const bool path_ends = have.size() == path.size();
    if (pattern_ends || path_ends) {
      if (pattern_ends && path_ends) return found;
      return std::nullopt;
    }
    pattern.remove_prefix(want.size() + 1);
    path.remove_prefix(have.size() + 1);
  }
}

bool takes_upload(std::string_view path) {
  return path == "/api/import" || match("/api/people/{id}/diary", path).has_value() ||
         takes_picture(path);
}

Lane lane_of(const Request& request) {
  constexpr std::array<std::string_view, 8> slow{"/api/month",
                                                 "/api/cover",
                                                 "/api/reach",
                                                 "/api/reconcile",
                                                 "/api/places",
                                                 "/api/import",
                                                 "/api/people/{id}/diary",
                                                 "/api/people/{id}/place-plan"};
  if (!is_call(request.path) || request.path == "/api/health") return Lane::at_once;
  const bool is_slow = std::ranges::any_of(
      slow, [&](auto pattern) { return match(pattern, request.path).has_value(); });
  return is_slow ? Lane::slow : Lane::records;
}

Handler site(desk::Desk& desk) {
  return [&desk](const Request& request) {
    return is_call(request.path) ? call(desk, request) : page(request);
  };
}

}  // namespace penstock::web
