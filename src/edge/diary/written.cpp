#include "edge/diary/internal/written.hpp"

#include <algorithm>
#include <cctype>

#include "edge/csv/csv.hpp"

namespace penstock::diary::internal {
namespace {

// What a diary has words for; needles belong to the cartridge that is in their pen.
struct ToRow {
  std::map<Id, Id>& in_pen;

  std::optional<Written> operator()(const journal::Primed& fact) const {
    const auto kind = fact.flow == journal::Flow::seen       ? DiaryKind::primed_flow_seen
                      : fact.flow == journal::Flow::not_seen ? DiaryKind::primed_no_flow
                                                             : DiaryKind::primed;
    return Written{kind, fact.units, fact.cartridge, {}, {}, ""};
  }
  std::optional<Written> operator()(const journal::Injected& fact) const {
    const auto kind = fact.outcome == journal::Outcome::whole  ? DiaryKind::injected
                      : fact.outcome == journal::Outcome::part ? DiaryKind::injected_part
                                                               : DiaryKind::injected_unknown;
    // A spot says nothing without its zone.
    return Written{
        kind, fact.units, fact.cartridge, fact.zone, fact.zone ? fact.spot : std::nullopt, ""};
  }
  std::optional<Written> operator()(const journal::ScaleCounted& fact) const {
    return Written{DiaryKind::scale, fact.units, fact.cartridge, {}, {}, ""};
  }
  std::optional<Written> operator()(const journal::ThrownAway& fact) const {
    const auto reason = journal::ThrowReason_names[static_cast<std::size_t>(fact.reason)];
    return Written{DiaryKind::thrown_away,
                   {},
                   fact.cartridge,
                   {},
                   {},
                   fact.text.empty() ? std::string(reason) : fact.text};
  }
  std::optional<Written> operator()(const journal::LeftFridge& fact) const {
    return Written{DiaryKind::left_fridge, {}, fact.cartridge, {}, {}, ""};
  }
  std::optional<Written> operator()(const journal::NeedleOn& fact) const {
    return needle(DiaryKind::needle_on, fact.pen);
  }
  std::optional<Written> operator()(const journal::NeedleOff& fact) const {
    return needle(DiaryKind::needle_off, fact.pen);
  }
  std::optional<Written> operator()(const journal::Note& fact) const {
    return Written{DiaryKind::note, {}, {}, {}, {}, fact.text};
  }
  std::optional<Written> operator()(const journal::CartridgeLoaded& fact) const {
    in_pen[fact.pen] = fact.cartridge;
    return std::nullopt;
  }
  std::optional<Written> operator()(const auto& /*not of a diary*/) const { return std::nullopt; }

 private:
  std::optional<Written> needle(DiaryKind kind, const Id& pen) const {
    const auto found = in_pen.find(pen);
    if (found == in_pen.end()) return std::nullopt;
    return Written{kind, {}, found->second, {}, {}, ""};
  }
};

// As a file gives it back: without what stands around it, and around its lines.
std::string bare(std::string_view note) {
  std::string out = csv::as_no_formula(std::string(note));
  std::erase_if(out, [](unsigned char byte) { return std::isspace(byte) != 0; });
  return out;
}

bool is_of_needle(const journal::Payload& payload) {
  return std::holds_alternative<journal::NeedleOn>(payload) ||
         std::holds_alternative<journal::NeedleOff>(payload);
}

}  // namespace

std::optional<Written> written_of(const journal::Payload& payload, std::map<Id, Id>& in_pen) {
  return std::visit(ToRow{in_pen}, payload);
}

bool says_the_same(const journal::Payload& entry, const journal::Payload& row) {
  // Its file names the cartridge that was in the pen then; now there may be another.
  if (is_of_needle(row)) return entry.index() == row.index();
  std::map<Id, Id> none;
  const auto a = written_of(entry, none);
  const auto b = written_of(row, none);
  return a && b && a->kind == b->kind && a->units == b->units && a->cartridge == b->cartridge &&
         (a->kind != DiaryKind::note || bare(a->note) == bare(b->note));
}

bool same_place(const journal::Payload& entry, const journal::Payload& row) {
  std::map<Id, Id> none;
  const auto a = written_of(entry, none);
  const auto b = written_of(row, none);
  if (!a || !b) return true;  // a needle has neither
  return a->zone == b->zone && a->spot == b->spot && bare(a->note) == bare(b->note);
}

}  // namespace penstock::diary::internal
