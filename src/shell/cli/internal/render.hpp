// Page documents as text for a terminal: the same sentences as on the page, without the pictures.
#pragma once

#include <string>
#include <string_view>

#include "edge/json/json.hpp"

namespace penstock::cli {

/// `["open for ", {"b": "31 days"}]` or a plain string, as one text.
std::string plain(const json::Value* rich);
/// A text of a document, empty where it is missing.
std::string text_at(const json::Value& document, std::string_view key);

/// Lines of at most 78 characters; `indent` before each but the first, which has `first`.
std::string wrapped(std::string_view text, std::string_view first, std::string_view indent);

std::string render_people(const json::Value& people);
std::string render_today(const json::Value& today);
std::string render_person(const json::Value& person);
std::string render_journal(const json::Value& journal);
std::string render_sheet(const json::Value& sheet);
std::string render_supplies(const json::Value& supplies);
std::string render_stock(const json::Value& stock);
std::string render_recall(const json::Value& recall);
std::string render_month(const json::Value& month);
std::string render_clinic(const json::Value& clinic);
std::string render_shelf(const json::Value& shelf);
std::string render_phone(const json::Value& phone);
std::string render_diary(const json::Value& preview);

}  // namespace penstock::cli
