#include "core/journal/facts.hpp"

namespace penstock::journal {

std::uint16_t type_of(const Payload& payload) { return kinds[payload.index()].type; }
std::string_view name_of(const Payload& payload) { return kinds[payload.index()].name; }

}  // namespace penstock::journal
