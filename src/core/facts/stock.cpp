#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

constexpr Field stock_came_fields[] = {
    FIELD(StockCame, item, "item").needed().like(R"("glargine-100-cartridge")"),
    FIELD(StockCame, pieces, "pieces").within(0, pieces_max, "limit.pieces").like("50"),
    FIELD(StockCame, lot, "lot").needed().like(R"("4K117")"),
    FIELD(StockCame, expires, "expires").like(R"("2028-09-30")"),
    FIELD(StockCame, gtin, "gtin").like(R"("04012345678901")"),
    FIELD(StockCame, text, "text").long_text()};
constexpr Field stock_moved_fields[] = {
    FIELD(StockMoved, item, "item").needed().like(R"("glargine-100-cartridge")"),
    FIELD(StockMoved, lot, "lot").needed().like(R"("4K117")"),
    FIELD(StockMoved, pieces, "pieces").within(0, pieces_max, "limit.pieces").like("5"),
    FIELD(StockMoved, way, "way").like(R"("destroyed")"),
    FIELD(StockMoved, person, "person"),
    FIELD(StockMoved, fact, "fact"),
    FIELD(StockMoved, text, "text").long_text().like(R"("found frozen")")};
constexpr Field stock_counted_fields[] = {
    FIELD(StockCounted, item, "item").needed().like(R"("glargine-100-cartridge")"),
    FIELD(StockCounted, lot, "lot").needed().like(R"("4K117")"),
    FIELD(StockCounted, pieces, "pieces").within(0, pieces_max, "limit.pieces").like("45")};
constexpr Field product_learnt_fields[] = {
    FIELD(ProductLearnt, gtin, "gtin").needed().like(R"("04012345678901")"),
    FIELD(ProductLearnt, item, "item").needed().like(R"("glargine-100-cartridge")"),
    FIELD(ProductLearnt, pieces, "pieces").within(0, pieces_max, "limit.pieces").like("5")};
constexpr Field recall_opened_fields[] = {
    FIELD(RecallOpened, recall, "recall").like(an_area),
    FIELD(RecallOpened, lot, "lot").needed().like(R"("4K117")"),
    FIELD(RecallOpened, item, "item").like(R"("glargine-100-cartridge")"),
    FIELD(RecallOpened, from_whom, "from_whom").like(R"("the wholesaler")"),
    FIELD(RecallOpened, text, "text").long_text()};
constexpr Field recall_called_fields[] = {
    FIELD(RecallCalled, recall, "recall").like(an_area),
    FIELD(RecallCalled, person, "person").like(a_line),
    FIELD(RecallCalled, outcome, "outcome").like(R"("replaced")"),
    FIELD(RecallCalled, text, "text").long_text()};
constexpr Field closed_days_set_fields[] = {
    FIELD(ClosedDaysSet, weekdays, "weekdays")
        .within(0, std::ssize(Weekday_names) - 1, "limit.closed")
        .no_two_alike()
        .like(R"(["saturday", "sunday"])"),
    FIELD(ClosedDaysSet, dates, "dates")
        .within(0, closed_dates_max, "limit.closed")
        .no_two_alike()
        .like(R"(["2026-03-26"])")};

template <class T>
void pieces_sound(const T& stock, Whole& whole) {
  whole.some("pieces", stock.pieces, pieces_max, "limit.pieces");
}

}  // namespace

constexpr KindInfo StockCame::kind = listed<StockCame>(
    stock_came_fields, {.sound = erased<pieces_sound<StockCame>>, .is_of_clinic = true});
constexpr KindInfo StockMoved::kind = listed<StockMoved>(
    stock_moved_fields, {.sound = erased<pieces_sound<StockMoved>>, .is_of_clinic = true});
constexpr KindInfo StockCounted::kind =
    listed<StockCounted>(stock_counted_fields, {.is_of_clinic = true});
constexpr KindInfo ProductLearnt::kind = listed<ProductLearnt>(
    product_learnt_fields, {.sound = erased<pieces_sound<ProductLearnt>>, .is_of_clinic = true});
constexpr KindInfo RecallOpened::kind =
    listed<RecallOpened>(recall_opened_fields, {.is_of_clinic = true});
constexpr KindInfo RecallCalled::kind =
    listed<RecallCalled>(recall_called_fields, {.is_of_clinic = true});
constexpr KindInfo ClosedDaysSet::kind =
    listed<ClosedDaysSet>(closed_days_set_fields, {.is_of_clinic = true});

}  // namespace penstock::facts
