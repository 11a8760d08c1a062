// For the tests: a drawing read by a strict XML parser (expat), as elements with their attributes.
#pragma once

#include <expat.h>

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace penstock::drawing {

struct XmlElement {
  std::string name;
  std::map<std::string, std::string> attributes;
  std::string text;  ///< characters directly inside

  std::string attribute(const std::string& key) const {
    const auto found = attributes.find(key);
    return found == attributes.end() ? std::string() : found->second;
  }
};

struct XmlChecked {
  std::string error;  ///< empty: well formed
  std::vector<XmlElement> elements;
  std::vector<std::string> ids;

  /// The first element whose data-mark is this.
  const XmlElement* mark(std::string_view mark) const {
    for (const auto& element : elements) {
      if (element.attribute("data-mark") == mark) return &element;
    }
    return nullptr;
  }
  std::vector<XmlElement> named(std::string_view name) const {
    std::vector<XmlElement> found;
    for (const auto& element : elements) {
      if (element.name == name) found.push_back(element);
    }
    return found;
  }
};

namespace xml_check {
struct State {
  XmlChecked checked;
  std::vector<std::size_t> open;
};

inline void on_start(void* data, const XML_Char* name, const XML_Char** attributes) {
  auto& state = *static_cast<State*>(data);
  XmlElement element{name, {}, {}};
  for (; *attributes != nullptr; attributes += 2) {
    element.attributes[attributes[0]] = attributes[1];
    if (std::string_view(attributes[0]) == "id") state.checked.ids.emplace_back(attributes[1]);
  }
  state.open.push_back(state.checked.elements.size());
  state.checked.elements.push_back(std::move(element));
}
inline void on_end(void* data, const XML_Char*) { static_cast<State*>(data)->open.pop_back(); }
inline void on_text(void* data, const XML_Char* text, int length) {
  auto& state = *static_cast<State*>(data);
  state.checked.elements[state.open.back()].text.append(text, static_cast<std::size_t>(length));
}
}  // namespace xml_check

inline XmlChecked check_xml(std::string_view text) {
  xml_check::State state;
  XML_Parser parser = XML_ParserCreate("UTF-8");
  XML_SetUserData(parser, &state);
  XML_SetElementHandler(parser, xml_check::on_start, xml_check::on_end);
  XML_SetCharacterDataHandler(parser, xml_check::on_text);
  if (XML_Parse(parser, text.data(), static_cast<int>(text.size()), 1) != XML_STATUS_OK) {
    state.checked.error = std::string(XML_ErrorString(XML_GetErrorCode(parser))) + " at byte " +
                          std::to_string(XML_GetCurrentByteIndex(parser));
  }
  XML_ParserFree(parser);
  return state.checked;
}

}  // namespace penstock::drawing
