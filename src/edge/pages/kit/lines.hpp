// A page's document as lines for a terminal: the same sentences as on the page, without the
// pictures.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>

#include "edge/json/json.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages::lines {

/// `["open for ", {"b": "31 days"}]` or a plain string, as one text.
std::string plain(const json::Value* rich);
/// A part of a document, null where it is missing; its text; its rich text as plain.
const json::Value& at(const json::Value& document, std::string_view key);
std::string text_at(const json::Value& document, std::string_view key);
std::string rich_at(const json::Value& document, std::string_view key);

/// Lines of at most 78 characters; `indent` before each but the first, which has `first`.
std::string wrapped(std::string_view text, std::string_view first, std::string_view indent);
/// The same for one entry of a list; nothing for an empty text.
std::string line(const std::string& text, std::string_view indent = "  ");
/// "a   b   c" from those that say something.
std::string joined(std::initializer_list<std::string> parts, std::string_view between = "   ");
/// An empty line and a heading of the catalogue.
std::string title(const words::Catalogue& words, std::string_view key);

/// What several pages have: their notices, and whom they are about (H19).
std::string notices(const json::Value& all);
std::string who(const json::Value& person);

}  // namespace penstock::pages::lines
