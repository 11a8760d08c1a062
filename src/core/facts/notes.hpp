// Teaching, notes, reminders, the telephone, the diary.
// Part of the room's door; included by facts.hpp. The lists stand in notes.cpp.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/facts/choices.hpp"
#include "core/facts/kind.hpp"
#include "core/units/units.hpp"

namespace penstock::facts {

struct TaughtBack {
  static constexpr std::uint16_t type = 40;
  static constexpr std::string_view name = "taught back";
  static const KindInfo kind;
  Skill skill = Skill::injection;
  std::string needle;  ///< the needle type that it was taught with (H45)
  bool unprompted = false;
  std::string text;
};

/// Steps of one injection that somebody watched being done right (H55). It says nothing of the
/// others.
struct TechniqueWatched {
  static constexpr std::uint16_t type = 46;
  static constexpr std::string_view name = "technique watched";
  static const KindInfo kind;
  std::optional<Id> line;  ///< whose injection it was
  std::string steps;       ///< their titles, as they stood on the card
};

struct Note {
  static constexpr std::uint16_t type = 41;
  static constexpr std::string_view name = "note";
  static const KindInfo kind;
  std::string text;
  /// Of a journal file that was brought in: its name, and how many entries before this one came
  /// with it.
  std::string file = {};
  std::int32_t entries = 0;
};

/// Ends when the facts that made the reminder change: `basis` is their fingerprint (H32).
struct ReminderDismissed {
  static constexpr std::uint16_t type = 42;
  static constexpr std::string_view name = "reminder dismissed";
  static const KindInfo kind;
  std::string reminder;  ///< its code
  std::string basis;
  std::string reason;
};

/// What was said on the telephone, and heard back.
struct PhoneAdvice {
  static constexpr std::uint16_t type = 43;
  static constexpr std::string_view name = "phone advice";
  static const KindInfo kind;
  std::string said;
  bool read_back = false;
  std::string text;
};

/// A diary came in: what the import was, beside the facts that it brought.
struct DiaryImported {
  static constexpr std::uint16_t type = 44;
  static constexpr std::string_view name = "diary imported";
  static const KindInfo kind;
  std::string file;
  std::string digest;  ///< of the file's bytes, hexadecimal
  std::int32_t rows = 0;
  std::int32_t facts_new = 0;
};

/// What an entry said was taken out of the journal for good, because the law asks for it; the
/// entry stays in its chain. Without such a fact a missing content is damage (H21).
struct PayloadErased {
  static constexpr std::uint16_t type = 45;
  static constexpr std::string_view name = "payload erased";
  static const KindInfo kind;
  Id fact;
  std::string reason;
};

}  // namespace penstock::facts
