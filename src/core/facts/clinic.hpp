// The clinic itself: its names, its own things on the shelf, the seals of all chains.
// Part of the room's door; included by facts.hpp. The lists stand in clinic.cpp.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/facts/choices.hpp"
#include "core/facts/kind.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::facts {

struct ClinicNamed {
  static constexpr std::uint16_t type = 50;
  static constexpr std::string_view name = "clinic named";
  static const KindInfo kind;
  std::string clinic;
  std::string user;  ///< the one local user, author of every fact for now
  std::string zone;
  std::string phone;      ///< whom to phone (H38)
  std::string emergency;  ///< the emergency number of the place
};

struct ShelfInsulinAdded {
  static constexpr std::uint16_t type = 51;
  static constexpr std::string_view name = "shelf insulin added";
  static const KindInfo kind;
  shelf::Entry<shelf::Insulin> entry;
};

struct ShelfCartridgeAdded {
  static constexpr std::uint16_t type = 52;
  static constexpr std::string_view name = "shelf cartridge added";
  static const KindInfo kind;
  shelf::Entry<shelf::Cartridge> entry;
};

struct ShelfPenAdded {
  static constexpr std::uint16_t type = 53;
  static constexpr std::string_view name = "shelf pen added";
  static const KindInfo kind;
  shelf::Entry<shelf::Pen> entry;
};

struct ShelfNeedleAdded {
  static constexpr std::uint16_t type = 54;
  static constexpr std::string_view name = "shelf needle added";
  static const KindInfo kind;
  shelf::Entry<shelf::Needle> entry;
};

/// The heads of all chains at one moment, sealed in the clinic's journal, so that a cut or rebuilt
/// chain shows.
struct HeadsSealed {
  static constexpr std::uint16_t type = 55;
  static constexpr std::string_view name = "heads sealed";
  static const KindInfo kind;
  std::string digest;  ///< over all heads, hexadecimal
  std::int32_t journals = 0;
};

}  // namespace penstock::facts
