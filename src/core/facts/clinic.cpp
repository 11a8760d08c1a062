#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

constexpr Field clinic_named_fields[] = {
    FIELD(ClinicNamed, clinic, "clinic").needed().like(R"("Harbour Street Clinic")"),
    FIELD(ClinicNamed, user, "user").needed().like(R"("Jo Winter")"),
    FIELD(ClinicNamed, zone, "zone").needed().like(R"("Europe/Berlin")"),
    FIELD(ClinicNamed, phone, "phone").like(R"("030 555 0100")"),
    FIELD(ClinicNamed, emergency, "emergency").like(R"("112")")};
constexpr Field shelf_insulin_added_fields[] = {
    FIELD(ShelfInsulinAdded, entry, "entry")
        .like(R"({"code": "glargine-100-own", "thing": {"name": "insulin glargine",)"
              R"( "strength_units_per_ml": 100, "action": "long acting",)"
              R"( "suspension": false, "in_use_days": 28, "counts_from_fridge": true,)"
              R"( "in_use_most_celsius": 30, "store_least_celsius": 2,)"
              R"( "store_most_celsius": 8}, "sources": [{"field": "in_use_days",)"
              R"( "source": "carton", "known": "read"}]})")};
constexpr Field shelf_cartridge_added_fields[] = {
    FIELD(ShelfCartridgeAdded, entry, "entry")
        .like(R"({"code": "glargine-100-3ml-own", "thing": {"name": "3 mL cartridge",)"
              R"( "insulin": "glargine-100", "presentation": "cartridge",)"
              R"( "tenths_ml": 30, "content_units": 300, "fits": "A"}})")};
constexpr Field shelf_pen_added_fields[] = {
    FIELD(ShelfPenAdded, entry, "entry")
        .like(R"({"code": "pen-own", "thing": {"name": "reusable pen, 1-unit steps",)"
              R"( "step_units": 1, "most_units": 60, "window": "returns to zero",)"
              R"( "takes": "cartridge", "prime_units": 2,)"
              R"( "new_cartridge_prime_units": 4, "hold_seconds": 10,)"
              R"( "turns_back": true, "when_short": "stops dialling", "fits": "A",)"
              R"( "needle_fits": "screw"}})")};
constexpr Field shelf_needle_added_fields[] = {
    FIELD(ShelfNeedleAdded, entry, "entry")
        .like(R"({"code": "needle-4-own", "thing": {"name": "4 mm, 32 gauge",)"
              R"( "length_mm": 4, "gauge": 32, "fits": "screw"}})")};
constexpr Field heads_sealed_fields[] = {
    FIELD(HeadsSealed, digest, "digest").needed().digest().like(a_digest),
    FIELD(HeadsSealed, journals, "journals").within(0, journals_max, "limit.journals").like("24")};

}  // namespace

constexpr KindInfo ClinicNamed::kind =
    listed<ClinicNamed>(clinic_named_fields, {.is_of_clinic = true});
constexpr KindInfo ShelfInsulinAdded::kind =
    listed<ShelfInsulinAdded>(shelf_insulin_added_fields, {.is_of_clinic = true});
constexpr KindInfo ShelfCartridgeAdded::kind =
    listed<ShelfCartridgeAdded>(shelf_cartridge_added_fields, {.is_of_clinic = true});
constexpr KindInfo ShelfPenAdded::kind =
    listed<ShelfPenAdded>(shelf_pen_added_fields, {.is_of_clinic = true});
constexpr KindInfo ShelfNeedleAdded::kind =
    listed<ShelfNeedleAdded>(shelf_needle_added_fields, {.is_of_clinic = true});
constexpr KindInfo HeadsSealed::kind =
    listed<HeadsSealed>(heads_sealed_fields, {.is_of_clinic = true});

}  // namespace penstock::facts
