#include <algorithm>
#include <string>

#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

constexpr Field slot_fields[] = {
    FIELD(Slot, slot, "slot"), FIELD(Slot, at, "at"),
    FIELD(Slot, minutes_before, "minutes_before")
        .within(0, window_minutes_max, "limit.window")
        .usual(0, usual_window_minutes_most, "usual.window")
        .optional(),
    FIELD(Slot, minutes_after, "minutes_after")
        .within(0, window_minutes_max, "limit.window")
        .usual(0, usual_window_minutes_most, "usual.window")
        .optional(),
    FIELD(Slot, units, "units").usual(0, usual_dose_hundredths_most, "usual.dose")};
constexpr Field order_line_signed_fields[] = {
    FIELD(OrderLineSigned, order_version, "order_version")
        .within(1, order_version_max, "limit.order_version")
        .like("1"),
    FIELD(OrderLineSigned, replaces, "replaces").another(),
    FIELD(OrderLineSigned, insulin, "insulin").needed().like(R"("insulin glargine")"),
    FIELD(OrderLineSigned, strength, "strength_units_per_ml").like("100"),
    FIELD(OrderLineSigned, purpose, "purpose").like(R"("background")"),
    FIELD(OrderLineSigned, slots, "slots")
        .within(0, slots_max, "limit.slots")
        .like(R"([{"slot": "bedtime", "at": "22:00", "minutes_before": 60,)"
              R"( "minutes_after": 120, "units": 10}])"),
    FIELD(OrderLineSigned, least_units, "least_units").optional().like("4"),
    FIELD(OrderLineSigned, most_units, "most_units").optional().like("30"),
    FIELD(OrderLineSigned, from, "from").like(R"("2026-03-16")"),
    FIELD(OrderLineSigned, until, "until"),
    FIELD(OrderLineSigned, prescriber, "prescriber").needed().like(R"("Dr Amara Osei")"),
    FIELD(OrderLineSigned, signed_on, "signed_on").past().like(R"("2026-03-15")"),
    FIELD(OrderLineSigned, signature_owed, "signature_owed"),
    FIELD(OrderLineSigned, copied_from, "copied_from").like(R"("paper")"),
    FIELD(OrderLineSigned, copied_by, "copied_by").needed().like(R"("Jo Winter")"),
    FIELD(OrderLineSigned, read_back, "read_back").like("true"),
    FIELD(OrderLineSigned, low_limit, "low_limit").like(R"({"value": 3.9, "unit": "mmol/L"})"),
    FIELD(OrderLineSigned, may_split, "may_split"),
    FIELD(OrderLineSigned, sick_day, "sick_day").long_text(),
    FIELD(OrderLineSigned, remark, "remark").long_text()};
constexpr Field order_reading_fields[] = {
    FIELD(OrderReading, insulin, "insulin"),
    // 0: nothing was read; same_as_copy says so.
    FIELD(OrderReading, strength, "strength_units_per_ml")
        .within(0, shelf::limits::strength_units_per_ml.most, "limit.strength"),
    FIELD(OrderReading, slots, "slots").within(0, slots_max, "limit.slots")};
constexpr Field order_line_checked_fields[] = {
    FIELD(OrderLineChecked, line, "line").naming(Names::line).kept().another().like(a_line),
    FIELD(OrderLineChecked, checked_by, "checked_by").needed().like(R"("Sam Field")"),
    FIELD(OrderLineChecked, reading, "reading")
        .optional()
        .since(2)
        .like(R"({"insulin": "insulin glargine", "strength_units_per_ml": 100,)"
              R"( "slots": [{"slot": "bedtime", "at": "22:00", "units": 10}]})"),
    FIELD(OrderLineChecked, days_read, "days_read").optional().since(3),
    FIELD(OrderLineChecked, from, "from").since(3),
    FIELD(OrderLineChecked, until, "until").since(3)};
constexpr Field order_signature_seen_fields[] = {
    FIELD(OrderSignatureSeen, line, "line").naming(Names::line).another().like(a_line)};
constexpr Field order_line_ended_fields[] = {
    FIELD(OrderLineEnded, line, "line").naming(Names::line).another().like(a_line),
    FIELD(OrderLineEnded, last_day, "last_day").like(R"("2026-04-30")"),
    FIELD(OrderLineEnded, prescriber, "prescriber").needed().like(R"("Dr Amara Osei")"),
    FIELD(OrderLineEnded, reason, "reason").long_text().like(R"("changed to 200 units/mL")")};
constexpr Field question_opened_fields[] = {
    FIELD(QuestionOpened, line, "line").naming(Names::line).another().like(a_line),
    FIELD(QuestionOpened, reason, "reason").like(R"("lows")"),
    FIELD(QuestionOpened, text, "text")
        .wanted()
        .long_text()
        .like(R"("Two lows before breakfast this week.")"),
    FIELD(QuestionOpened, answer_by, "answer_by")};
constexpr Field question_answered_fields[] = {
    FIELD(QuestionAnswered, question, "question").another().like(a_fact),
    FIELD(QuestionAnswered, answer, "answer").like(R"("keep the dose")"),
    FIELD(QuestionAnswered, by, "by").needed().like(R"("Dr Amara Osei")"),
    FIELD(QuestionAnswered, text, "text").long_text().like(R"("Keep 10, ring again on Friday.")"),
    FIELD(QuestionAnswered, read_back, "read_back").like("true")};

constexpr Field dose_answered_fields[] = {
    FIELD(DoseAnswered, line, "line").naming(Names::line).another().like(a_line),
    FIELD(DoseAnswered, slot, "slot").like(R"("bedtime")"),
    FIELD(DoseAnswered, day, "day").past().like(R"("2026-03-15")"),
    FIELD(DoseAnswered, was, "was").like(R"("not taken")"),
    FIELD(DoseAnswered, text, "text")
        .long_text()
        .like(R"("Fell asleep, remembered at breakfast.")"),
    FIELD(DoseAnswered, rest_of, "rest_of").another().since(2)};

void line_sound(const OrderLineSigned& line, Whole& whole) {
  const auto least = line.least_units.hundredths();
  const auto most = line.most_units.hundredths();
  // An order may state no limits: both are zero, and its own doses are all that it allows. A line
  // that allows nothing is a field that was left out.
  const bool states_none = least == 0 && most == 0 && !line.slots.empty();
  if (!states_none)
    whole.units("most_units", line.most_units, std::max<std::int64_t>(least, 1),
                record_hundredths_max, "limit.least_most");
  for (std::size_t n = 0; n < line.slots.size(); ++n) {
    whole.units("slots/" + std::to_string(n) + "/units", line.slots[n].units,
                states_none ? 1 : least, states_none ? record_hundredths_max : most,
                "limit.slot_in_range");
  }
  if (line.until && *line.until < line.from)
    whole.day("until", *line.until, line.from, whole.last_day(), "limit.from_until");
}

}  // namespace

constexpr Group Slot::list = fields::group<Slot>(slot_fields);
constexpr Group OrderReading::list = fields::group<OrderReading>(order_reading_fields);
constexpr KindInfo OrderLineSigned::kind =
    listed<OrderLineSigned>(order_line_signed_fields, {.sound = erased<line_sound>});
constexpr KindInfo OrderLineChecked::kind =
    listed<OrderLineChecked>(order_line_checked_fields, {.form = {"checked"}});
constexpr KindInfo OrderSignatureSeen::kind =
    listed<OrderSignatureSeen>(order_signature_seen_fields);
constexpr KindInfo OrderLineEnded::kind =
    listed<OrderLineEnded>(order_line_ended_fields, {.form = {"ended", 13}});
constexpr KindInfo QuestionOpened::kind =
    listed<QuestionOpened>(question_opened_fields, {.form = {"question", 10}});
constexpr KindInfo QuestionAnswered::kind =
    listed<QuestionAnswered>(question_answered_fields, {.form = {"answer"}});
constexpr KindInfo DoseAnswered::kind =
    listed<DoseAnswered>(dose_answered_fields, {.form = {"dose", 14}});

}  // namespace penstock::facts
