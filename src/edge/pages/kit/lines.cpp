#include "edge/pages/kit/lines.hpp"

#include <algorithm>

namespace penstock::pages::lines {
namespace {

bool is_utf8_start(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

std::size_t width(std::string_view text) {
  std::size_t count = 0;
  for (const char c : text) count += is_utf8_start(c) ? 1 : 0;
  return count;
}

}  // namespace

std::string plain(const json::Value* rich) {
  if (rich == nullptr) return {};
  if (rich->type == json::Type::string) return rich->text;
  std::string out;
  for (const auto& run : rich->members) {
    const auto* bold = run.value.find("b");
    out += bold == nullptr ? run.value.text : bold->text;
  }
  return out;
}

const json::Value& at(const json::Value& document, std::string_view key) {
  static const json::Value nothing;
  const auto* found = document.find(key);
  return found == nullptr ? nothing : *found;
}

std::string text_at(const json::Value& document, std::string_view key) {
  const auto* found = document.find(key);
  return found == nullptr ? std::string() : found->text;
}

std::string rich_at(const json::Value& document, std::string_view key) {
  return plain(document.find(key));
}

std::string wrapped(std::string_view text, std::string_view first, std::string_view indent) {
  constexpr std::size_t columns = 78;  // a terminal of 80 with room for the cursor
  std::string out(first);
  std::size_t used = width(first);
  bool begins = true;
  for (std::size_t from = 0; from <= text.size();) {
    const auto end = std::min(text.find_first_of(" \n", from), text.size());
    const auto word = text.substr(from, end - from);
    const auto needs = width(word) + (begins ? 0 : 1);
    const bool broken = from > 0 && text[from - 1] == '\n';
    if (!begins && (broken || used + needs > columns)) {
      out += "\n" + std::string(indent);
      used = width(indent);
      begins = true;
    }
    if (!begins) {
      out += ' ';
      ++used;
    }
    out += word;
    used += width(word);
    begins = false;
    from = end + 1;
  }
  return out + "\n";
}

std::string line(const std::string& text, std::string_view indent) {
  if (text.empty()) return {};
  // What somebody typed in several lines stays one entry: none of it stands as a step (H58).
  auto one = text;
  std::ranges::replace(one, '\n', ' ');
  return wrapped(one, indent, std::string(indent) + "  ");
}

std::string joined(std::initializer_list<std::string> parts, std::string_view between) {
  std::string out;
  for (const auto& part : parts) {
    if (part.empty()) continue;
    if (!out.empty()) out += between;
    out += part;
  }
  return out;
}

std::string title(const words::Catalogue& words, std::string_view key) {
  return "\n" + words.text(key) + "\n";
}

std::string notices(const json::Value& all) {
  std::string out;
  for (const auto& each : all.members) {
    const auto level = text_at(each.value, "level_word");
    const auto text = rich_at(each.value, "text");
    out += line(joined({level, text}, " "));
  }
  return out;
}

std::string who(const json::Value& person) {
  auto out =
      joined({text_at(person, "name"), text_at(person, "born_text"), text_at(person, "age_text"),
              text_at(person, "number"), text_at(person, "phone")}) +
      "\n";
  out += line(text_at(person, "alike_text"));
  for (const auto& flag : at(person, "flags").members) out += line(plain(&flag.value));
  return out;
}

}  // namespace penstock::pages::lines
