#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

// The order's own limits are nearer.
bool under_a_line(const Injected& dose) { return dose.line.has_value(); }

constexpr Field pen_given_fields[] = {
    FIELD(PenGiven, pen, "pen").like(a_pen), FIELD(PenGiven, copy, "copy").like(a_pens_values),
    FIELD(PenGiven, insulin, "insulin").needed().like(R"("insulin glargine")"),
    FIELD(PenGiven, strength, "strength_units_per_ml").like("100"),
    FIELD(PenGiven, serial, "serial")};
constexpr Field cartridge_loaded_fields[] = {
    FIELD(CartridgeLoaded, cartridge, "cartridge").like(a_cartridge),
    FIELD(CartridgeLoaded, pen, "pen").like(a_pen),
    FIELD(CartridgeLoaded, copy, "copy").like(an_insulins_values),
    FIELD(CartridgeLoaded, units, "units").like("300"),
    FIELD(CartridgeLoaded, content, "content_units").kept().like("300"),
    FIELD(CartridgeLoaded, fits, "fits").kept().like(R"("A")"),
    FIELD(CartridgeLoaded, new_cartridge, "new_cartridge"),
    FIELD(CartridgeLoaded, lot, "lot").like(R"("4K117")"),
    FIELD(CartridgeLoaded, expires, "expires")};
constexpr Field left_fridge_fields[] = {
    FIELD(LeftFridge, cartridge, "cartridge").naming(Names::cartridge).like(a_cartridge)};
constexpr Field window_tested_fields[] = {
    FIELD(WindowTested, pen, "pen").naming(Names::pen).like(a_pen),
    FIELD(WindowTested, dialled, "dialled_units").starts("2").like("2"),
    FIELD(WindowTested, shown_after, "shown_after_units").like("0"),
    FIELD(WindowTested, cartridge, "cartridge").naming(Names::cartridge).like(a_cartridge)};
constexpr Field primed_fields[] = {
    FIELD(Primed, cartridge, "cartridge").naming(Names::cartridge).like(a_cartridge),
    FIELD(Primed, units, "units").usual(0, usual_prime_hundredths_most, "usual.prime").like("2"),
    FIELD(Primed, flow, "flow").like(R"("seen")")};
constexpr Field injected_fields[] = {
    FIELD(Injected, cartridge, "cartridge").naming(Names::cartridge).like(a_cartridge),
    FIELD(Injected, units, "units")
        .usual(0, usual_dose_hundredths_most, "usual.dose")
        .unless(erased<under_a_line>)
        .like("10"),
    FIELD(Injected, meant, "meant_units")
        .stands_behind("outcome")
        .usual(0, usual_dose_hundredths_most, "usual.dose")
        .unless(erased<under_a_line>),
    FIELD(Injected, outcome, "outcome"),
    FIELD(Injected, line, "line").naming(Names::line).another(),
    FIELD(Injected, slot, "slot"),
    FIELD(Injected, completes, "completes").another(),
    FIELD(Injected, zone, "zone").like(R"("thigh left")"),
    FIELD(Injected, spot, "spot"),
    FIELD(Injected, given_by, "given_by").like(R"("self")"),
    FIELD(Injected, given_by_name, "given_by_name")};
constexpr Field needle_on_fields[] = {
    FIELD(NeedleOn, pen, "pen").naming(Names::pen).like(a_pen),
    FIELD(NeedleOn, needle, "needle").naming(Names::needle).wanted().like(R"("4 mm")"),
    FIELD(NeedleOn, length, "length_mm")
        .kept()
        .within(0, needle_tenths_mm_max, "limit.needle_mm")
        .optional()
        .like("4"),
    FIELD(NeedleOn, both_shields_off, "both_shields_off")};
constexpr Field needle_off_fields[] = {
    FIELD(NeedleOff, pen, "pen").naming(Names::pen).like(a_pen),
    FIELD(NeedleOff, disposal, "disposal").like(R"("sharps container")")};
constexpr Field scale_counted_fields[] = {
    FIELD(ScaleCounted, cartridge, "cartridge").naming(Names::cartridge).like(a_cartridge),
    FIELD(ScaleCounted, units, "units").like("126"),
    FIELD(ScaleCounted, read_by, "read_by").kept().since(2)};
constexpr Field thrown_away_fields[] = {
    FIELD(ThrownAway, cartridge, "cartridge").naming(Names::cartridge).like(a_cartridge),
    FIELD(ThrownAway, reason, "reason").like(R"("past in use")"),
    FIELD(ThrownAway, text, "text").long_text()};
constexpr Field temperature_spell_fields[] = {
    FIELD(TemperatureSpell, cartridge, "cartridge").naming(Names::cartridge).like(a_cartridge),
    FIELD(TemperatureSpell, celsius, "celsius")
        .within(celsius_tenths_least, celsius_tenths_max, "limit.celsius")
        .usual(usual_celsius_tenths_least, usual_celsius_tenths_most, "usual.celsius")
        .like("45"),
    FIELD(TemperatureSpell, minutes, "minutes")
        .within(0, spell_minutes_max, "limit.spell")
        .like("240"),
    FIELD(TemperatureSpell, frozen, "frozen"),
    FIELD(TemperatureSpell, text, "text").long_text().like(R"("lay in the car")"),
    FIELD(TemperatureSpell, sealed, "sealed").since(2).stands_behind("frozen")};
constexpr Field pen_ended_fields[] = {
    FIELD(PenEnded, pen, "pen").naming(Names::pen).like(a_pen),
    FIELD(PenEnded, why, "why").like(R"("broken")"),
    FIELD(PenEnded, text, "text").long_text().like(R"("The dose knob turns and nothing moves.")")};
constexpr Field pen_shared_fields[] = {
    FIELD(PenShared, pen, "pen").naming(Names::pen).like(a_pen),
    FIELD(PenShared, with, "with").wanted().like(R"("her sister")"),
    FIELD(PenShared, text, "text").long_text()};
constexpr Field pen_tested_fields[] = {
    FIELD(PenTested, pen, "pen").naming(Names::pen).kept().like(a_pen),
    FIELD(PenTested, dialled, "dialled_units")
        .usual(0, usual_dose_hundredths_most, "usual.dose")
        .like("10"),
    FIELD(PenTested, by, "by").like(R"("weighed")"),
    FIELD(PenTested, delivered, "delivered_units")
        .within(2, measured_doses_max, "limit.measured")
        .like("[9.8, 9.91, 10.02, 9.87]"),
    FIELD(PenTested, text, "text").long_text()};

void loaded_sound(const CartridgeLoaded& loaded, Whole& whole) {
  whole.units("content_units", loaded.content, 1, record_hundredths_max, "limit.content");
  whole.units("units", loaded.units, 0, loaded.content.hundredths(), "limit.not_fuller");
}
void tested_sound(const PenTested& tested, Whole& whole) {
  whole.units("dialled_units", tested.dialled, 1, record_hundredths_max, "limit.record_units");
}

}  // namespace

constexpr KindInfo PenGiven::kind = listed<PenGiven>(pen_given_fields);
constexpr KindInfo CartridgeLoaded::kind = listed<CartridgeLoaded>(
    cartridge_loaded_fields, {.sound = erased<loaded_sound>, .form = {"loaded"}});
constexpr KindInfo LeftFridge::kind =
    listed<LeftFridge>(left_fridge_fields, {.form = {"fridge", 8}});
constexpr KindInfo WindowTested::kind =
    listed<WindowTested>(window_tested_fields, {.form = {"window-test", 6}});
constexpr KindInfo Primed::kind = listed<Primed>(primed_fields, {.form = {"prime", 2}});
constexpr KindInfo Injected::kind = listed<Injected>(injected_fields, {.form = {"injection", 1}});
constexpr KindInfo NeedleOn::kind = listed<NeedleOn>(needle_on_fields, {.form = {"needle-on"}});
constexpr KindInfo NeedleOff::kind =
    listed<NeedleOff>(needle_off_fields, {.form = {"needle-off", 7}});
constexpr KindInfo ScaleCounted::kind =
    listed<ScaleCounted>(scale_counted_fields, {.form = {"scale", 3}});
constexpr KindInfo ThrownAway::kind =
    listed<ThrownAway>(thrown_away_fields, {.form = {"throw-away", 4}});
constexpr KindInfo TemperatureSpell::kind =
    listed<TemperatureSpell>(temperature_spell_fields, {.form = {"warmth", 5}});
constexpr KindInfo PenShared::kind = listed<PenShared>(pen_shared_fields, {.form = {"shared", 9}});
constexpr KindInfo PenEnded::kind = listed<PenEnded>(pen_ended_fields, {.form = {"pen-ended", 23}});
constexpr KindInfo PenTested::kind = listed<PenTested>(
    pen_tested_fields, {.sound = erased<tested_sound>, .form = {"pen-test", 63, "supplies/test"}});

}  // namespace penstock::facts
