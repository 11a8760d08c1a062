// Pens, cartridges and needles: what was given, loaded, injected, read and thrown away.
// Part of the room's door; included by facts.hpp. The lists stand in pens.cpp.
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

/// The pen's identity is `pen`, made by the sender; one pen, one insulin, one person, for ever
/// (H04, H13).
struct PenGiven {
  static constexpr std::uint16_t type = 20;
  static constexpr std::string_view name = "pen given";
  static const KindInfo kind;
  Id pen;
  shelf::Pen copy;      ///< the shelf's values on that day
  std::string insulin;  ///< the one insulin that it is for
  Strength strength;
  std::string serial;
};

/// A cartridge was put into a pen, or a prefilled pen opened. The cartridge's identity is
/// `cartridge`, made by the sender.
struct CartridgeLoaded {
  static constexpr std::uint16_t type = 22;
  static constexpr std::string_view name = "cartridge loaded";
  static const KindInfo kind;
  Id cartridge;
  Id pen;
  shelf::Insulin copy;            ///< the shelf's values on that day
  Units units = Units::zero();    ///< what is in it when it goes in
  Units content = Units::zero();  ///< what it holds when full
  std::string fits;               ///< the cartridge's fits code (H42)
  bool new_cartridge = true;      ///< nobody has taken from it yet
  std::string lot;
  std::optional<LocalDay> expires;
};

struct LeftFridge {
  static constexpr std::uint16_t type = 23;
  static constexpr std::string_view name = "left the fridge";
  static const KindInfo kind;
  Id cartridge;
};

/// The window check: dial 2, press, read the window. This pen proves how its window behaves (H01).
struct WindowTested {
  static constexpr std::uint16_t type = 24;
  static constexpr std::string_view name = "window tested";
  static const KindInfo kind;
  Id pen;
  Units dialled = Units::zero();
  Units shown_after = Units::zero();
  std::optional<Id> cartridge;  ///< the units came out of this one
};

struct Primed {
  static constexpr std::uint16_t type = 25;
  static constexpr std::string_view name = "primed";
  static const KindInfo kind;
  Id cartridge;
  Units units = Units::zero();
  Flow flow = Flow::unknown;
};

/// Insulin given, or part of it, or nobody knows how much. `units` left the cartridge; `meant` was
/// to be given.
struct Injected {
  static constexpr std::uint16_t type = 26;
  static constexpr std::string_view name = "injected";
  static const KindInfo kind;
  Id cartridge;
  Units units = Units::zero();
  std::optional<Units> meant;  ///< more than `units`: a part, and the rest is owed (H39)
  Outcome outcome = Outcome::whole;
  std::optional<Id> line;  ///< the order line
  std::optional<SlotName> slot;
  std::optional<Id> completes;  ///< the part-dose whose rest this is
  std::optional<Zone> zone;
  std::optional<Spot> spot;
  Injector given_by = Injector::unknown;  ///< who gave it (H46)
  std::string given_by_name;
};

/// How it ended. A part of which nobody said how much was meant leaves a rest that nobody knows: it
/// is never taken for the whole (H39, H44).
inline Outcome outcome_of(const Injected& dose) {
  const bool of_what = dose.meant.has_value() || dose.completes.has_value();
  return dose.outcome == Outcome::part && !of_what ? Outcome::unknown : dose.outcome;
}

struct NeedleOn {
  static constexpr std::uint16_t type = 27;
  static constexpr std::string_view name = "needle on";
  static const KindInfo kind;
  Id pen;
  std::string needle;  ///< the shelf's code, or the name as told
  TenthsMm length;
  bool both_shields_off = true;  ///< H45
};

struct NeedleOff {
  static constexpr std::uint16_t type = 28;
  static constexpr std::string_view name = "needle off";
  static const KindInfo kind;
  Id pen;
  Disposal disposal = Disposal::unknown;
};

/// Somebody read the cartridge's own scale. Neither it nor the ledger overwrites the other (H41).
struct ScaleCounted {
  static constexpr std::uint16_t type = 29;
  static constexpr std::string_view name = "scale counted";
  static const KindInfo kind;
  Id cartridge;
  Units units = Units::zero();
  std::string read_by = {};  ///< who read it, where that is not the author
};

/// Whatever the cartridge still held goes with it.
struct ThrownAway {
  static constexpr std::uint16_t type = 30;
  static constexpr std::string_view name = "thrown away";
  static const KindInfo kind;
  Id cartridge;
  ThrowReason reason = ThrowReason::other;
  std::string text;
};

/// A pen is lost, broken or handed back, and what was in it went with it.
struct PenEnded {
  static constexpr std::uint16_t type = 65;
  static constexpr std::string_view name = "pen ended";
  static const KindInfo kind;
  Id pen;
  PenEnd why = PenEnd::lost;
  std::string text;
};

/// A time that a cartridge, or all of a person's insulin, spent at a temperature.
struct TemperatureSpell {
  static constexpr std::uint16_t type = 31;
  static constexpr std::string_view name = "temperature spell";
  static const KindInfo kind;
  std::optional<Id> cartridge;  ///< nothing: all that was in use then
  TenthsCelsius celsius;
  std::int32_t minutes = 0;  ///< up to the moment at which it is told to have happened
  bool frozen = false;
  std::string text;
  bool sealed = false;  ///< so were the sealed ones at home
};

/// A pen of this person's was used for somebody else, or the other way round (H13).
struct PenShared {
  static constexpr std::uint16_t type = 32;
  static constexpr std::string_view name = "pen shared";
  static const KindInfo kind;
  Id pen;
  std::string with;
  std::string text;
};

/// What a pen delivered when one dose was set again and again: into a vessel on a scale, or
/// counted.
struct PenTested {
  static constexpr std::uint16_t type = 77;
  static constexpr std::string_view name = "pen tested";
  static const KindInfo kind;
  Id pen;
  Units dialled = Units::zero();
  Measured by = Measured::weighed;
  std::vector<Units> delivered;
  std::string text;
};

}  // namespace penstock::facts
