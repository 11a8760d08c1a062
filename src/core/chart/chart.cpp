#include "core/chart/chart.hpp"

#include <algorithm>
#include <utility>
#include <variant>

namespace penstock::chart {

Begun begin(Id journal, std::uint64_t version, const Digest& head, std::vector<journal::Fact> facts,
            std::vector<std::uint64_t> erased) {
  Begun begun;
  begun.chart_ = std::make_shared<Chart>();
  auto& chart = *begun.chart_;
  chart.journal = journal;
  chart.version = version;
  chart.head = head;
  chart.facts = std::move(facts);
  chart.erased = std::move(erased);
  chart.history = journal::read(chart.facts);
  chart.person = journal::fold_person(chart.history);
  return begun;
}

namespace {

// Of a line that was struck out since: it came out of a cartridge all the same (H02).
void note_answered_of_struck(Chart& chart) {
  const auto& said = chart.order.said;
  for (auto one = said.begin(); one != said.end(); ++one) {
    const auto line = std::ranges::find(chart.order.struck, one->line, &order::Struck::id);
    if (line == chart.order.struck.end() || one->rest_of) continue;
    const bool is_last = std::none_of(one + 1, said.end(), [&](const order::Said& later) {
      return later.line == one->line && later.slot == one->slot && later.day == one->day;
    });
    const auto slot = std::ranges::find(line->slots, one->slot, &journal::Slot::slot);
    if (!is_last || one->was == journal::DoseWas::not_taken || slot == line->slots.end()) continue;
    const auto due =
        chart.zone.resolve(LocalTime{one->day} + std::chrono::minutes{slot->at.minutes});
    ledger::note_taken(chart.ledger, line->insulin, line->strength,
                       one->when.at < due.at ? one->when : due, slot->units);
  }
}

// What somebody said was taken came out of a cartridge, too, and what nobody knows may have (H12,
// H02, H44).
void note_answered(Chart& chart) {
  for (const auto& [due, taken] : order::only_told(chart.order, chart.zone)) {
    const auto& line = chart.order.line(due.line)->text;
    ledger::note_taken(chart.ledger, line.insulin, line.strength, due.at, due.units);
  }
  note_answered_of_struck(chart);
}

}  // namespace

ChartPtr finish(Begun begun, ZoneRules zone, std::vector<ZoneRules> zones) {
  auto& chart = *begun.chart_;
  chart.zone = std::move(zone);
  chart.zones = std::move(zones);
  chart.clock = clock_of(chart.history, chart.zones);
  for (auto& effective : chart.history.facts)
    effective.happened = chart.clock.told(effective.happened);
  chart.person = journal::fold_person(chart.history);
  chart.ledger = ledger::fold(chart.history);
  chart.order = order::fold(chart.history, chart.zone);
  for (auto& question : chart.order.questions) {
    if (question.answer_by) question.answer_by = chart.clock.told(*question.answer_by);
  }
  note_answered(chart);
  chart.skin = skin::fold_skin(chart.history);
  chart.supply = supply::fold(chart.history);
  chart.contacts =
      contacts::fold(chart.history, [&chart](const When& sent) { return chart.clock.told(sent); });
  return std::move(begun.chart_);
}

std::span<const journal::Fact> facts_after(const Chart& chart, std::uint64_t position) {
  const auto gone = std::ranges::upper_bound(chart.erased, position) - chart.erased.begin();
  const auto seen = position - std::min(position, static_cast<std::uint64_t>(gone));
  const std::span all(chart.facts);
  return all.subspan(std::min(static_cast<std::size_t>(seen), all.size()));
}

Clinic fold_clinic(Id journal, std::uint64_t version, const journal::History& history,
                   shelf::Shelf program) {
  Clinic clinic;
  clinic.journal = journal;
  clinic.version = version;
  clinic.shelf = std::move(program);
  clinic.stock = stock::fold(history);
  for (const auto& effective : history.facts) {
    if (const auto* names = std::get_if<journal::ClinicNamed>(effective.payload)) {
      clinic.named = true;
      clinic.names = *names;
    } else if (const auto* insulin = std::get_if<journal::ShelfInsulinAdded>(effective.payload)) {
      shelf::lay(clinic.shelf, insulin->entry);
    } else if (const auto* cartridge =
                   std::get_if<journal::ShelfCartridgeAdded>(effective.payload)) {
      shelf::lay(clinic.shelf, cartridge->entry);
    } else if (const auto* pen = std::get_if<journal::ShelfPenAdded>(effective.payload)) {
      shelf::lay(clinic.shelf, pen->entry);
    } else if (const auto* needle = std::get_if<journal::ShelfNeedleAdded>(effective.payload)) {
      shelf::lay(clinic.shelf, needle->entry);
    } else if (const auto* closed = std::get_if<journal::ClosedDaysSet>(effective.payload)) {
      clinic.closed = {closed->weekdays, closed->dates};
    }
  }
  return clinic;
}

}  // namespace penstock::chart
