#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

constexpr Field contact_noted_fields[] = {
    FIELD(ContactNoted, role, "role").like(R"("pharmacy")"),
    FIELD(ContactNoted, full_name, "full_name").needed().like(R"("Quay Pharmacy")"),
    FIELD(ContactNoted, phone, "phone").needed().like(R"("030 555 0163")"),
    FIELD(ContactNoted, other_phone, "other_phone"),
    FIELD(ContactNoted, text, "text").long_text().like(R"("Closed on Wednesday afternoons.")"),
    FIELD(ContactNoted, former, "former")};
constexpr Field appointment_made_fields[] = {
    FIELD(AppointmentMade, meeting, "meeting").like(R"("call")"),
    FIELD(AppointmentMade, at, "at").like(R"("2027-03-17T09:30:00+01:00")"),
    FIELD(AppointmentMade, why, "why").like(R"("first week")"),
    FIELD(AppointmentMade, with, "with").like(R"("Marit Oyelaran")"),
    FIELD(AppointmentMade, text, "text").long_text()};
constexpr Field contact_made_fields[] = {
    FIELD(ContactMade, meeting, "meeting").like(R"("call")"),
    FIELD(ContactMade, outcome, "outcome").like(R"("reached")"),
    FIELD(ContactMade, low, "low").offering(yes_first),
    FIELD(ContactMade, not_eating, "not_eating").offering(yes_first),
    FIELD(ContactMade, drowsy, "drowsy").offering(yes_first),
    FIELD(ContactMade, ketones, "ketones").offering(yes_first),
    FIELD(ContactMade, spoke_to, "spoke_to").like(R"("her daughter")"),
    FIELD(ContactMade, number, "number"),
    FIELD(ContactMade, said, "said").long_text().like(R"("Slept well, no signs of a low.")"),
    FIELD(ContactMade, advised, "advised").long_text(),
    FIELD(ContactMade, rings_back, "rings_back").optional(),
    FIELD(ContactMade, ring_back_who, "ring_back_who"),
    FIELD(ContactMade, ring_back_by, "ring_back_by"),
    FIELD(ContactMade, appointment, "appointment").another().kept()};
constexpr Field follow_up_taken_fields[] = {
    FIELD(FollowUpTaken, with, "with").needed().like(R"("Marit Oyelaran")")};
constexpr Field glucose_noted_fields[] = {
    FIELD(GlucoseNoted, value, "value")
        .within(glucose_mg_least, glucose_mg_max, "limit.glucose")
        .like(R"({"value": 3.1, "unit": "mmol/L"})"),
    FIELD(GlucoseNoted, felt, "felt").offering(yes_first).like(R"("yes")"),
    FIELD(GlucoseNoted, needed_help, "needed_help").offering(yes_first),
    FIELD(GlucoseNoted, helped_by, "helped_by"),
    FIELD(GlucoseNoted, before, "before").long_text().like(R"("Dug the garden after lunch.")"),
    FIELD(GlucoseNoted, meter, "meter").optional().since(2).stands_behind("value")};
constexpr Field hba1c_noted_fields[] = {
    FIELD(Hba1cNoted, value, "value").like(R"({"value": 7.4, "unit": "%"})"),
    FIELD(Hba1cNoted, sampled_on, "sampled_on").past().like(R"("2026-03-02")"),
    FIELD(Hba1cNoted, where_from, "where_from").like(R"("laboratory letter")")};
constexpr Field step_judged_fields[] = {
    FIELD(StepJudged, line, "line").naming(Names::line).another().like(a_line),
    FIELD(StepJudged, step, "step").needed().like(R"("Press all the way in")"),
    FIELD(StepJudged, of, "of").optional().like(R"("hold")").since(2),
    FIELD(StepJudged, how, "how").like(R"("after a hint")"),
    FIELD(StepJudged, text, "text").long_text()};
constexpr Field visit_closed_fields[] = {
    FIELD(VisitClosed, began, "began").like(R"("2027-03-16T14:05:00+01:00")"),
    FIELD(VisitClosed, text, "text").long_text().like(R"("Her daughter comes on Thursdays.")"),
    FIELD(VisitClosed, left_open_with, "left_open_with"),
    FIELD(VisitClosed, left_open_by, "left_open_by")};
constexpr Field allergy_noted_fields[] = {
    FIELD(AllergyNoted, to, "to").like(R"("penicillin")"),
    FIELD(AllergyNoted, reaction, "reaction").long_text().like(R"("a rash within an hour")"),
    FIELD(AllergyNoted, severe, "severe").offering(yes_first)};
constexpr Field rescue_noted_fields[] = {
    FIELD(RescueNoted, glucagon, "glucagon").offering(yes_first).like(R"("yes")"),
    FIELD(RescueNoted, glucagon_expires, "glucagon_expires"),
    FIELD(RescueNoted, taught, "taught").like(R"("her daughter, on 2 March")"),
    FIELD(RescueNoted, ketone_testing, "ketone_testing").offering(yes_first)};
constexpr Field needlestick_fields[] = {
    FIELD(Needlestick, who, "who").like(R"("carer")"),
    FIELD(Needlestick, done, "done").needed().long_text().like(R"("Washed, covered, reported.")"),
    FIELD(Needlestick, follow_up_with, "follow_up_with")
        .optional()
        .like(R"("occupational health")")
        .since(2),
    FIELD(Needlestick, follow_up_done, "follow_up_done").past().since(2)};

// A reading nobody made and a low nobody noticed is no entry; a meter shows a number or a word.
void glucose_sound(const GlucoseNoted& noted, Whole& whole) {
  const bool is_word = noted.meter != MeterWord::none;
  const bool told = is_word || noted.felt == YesNo::yes || noted.needed_help == YesNo::yes;
  if (!noted.value && !told) whole.refuse("value", codes::glucose_empty);
  if (noted.value && is_word) whole.refuse("meter", codes::glucose_both);
}
std::optional<Asked> glucose_odd(const GlucoseNoted& noted, LocalDay /*on*/) {
  if (!noted.value) return std::nullopt;
  if (noted.value->unit == GlucoseUnit::mg_dl)
    return Asked{"value",
                 noted.value->value,
                 ArgType::count,
                 {usual_glucose_mg_least, usual_glucose_mg_most, "usual.glucose"}};
  return Asked{"value",
               noted.value->value,
               ArgType::tenths,
               {usual_glucose_mmol_tenths_least, usual_glucose_mmol_tenths_most, "usual.glucose"}};
}
std::optional<Asked> hba1c_odd(const Hba1cNoted& noted, LocalDay /*on*/) {
  if (noted.value.unit == Hba1cUnit::ifcc_mmol_mol)
    return Asked{"value",
                 noted.value.value,
                 ArgType::count,
                 {usual_hba1c_mmol_mol_least, usual_hba1c_mmol_mol_most, "usual.hba1c"}};
  return Asked{"value",
               noted.value.value,
               ArgType::tenths,
               {usual_hba1c_percent_tenths_least, usual_hba1c_percent_tenths_most, "usual.hba1c"}};
}
void contact_sound(const ContactMade& made, Whole& whole) {
  const bool of_visit =
      made.outcome == ContactOutcome::came || made.outcome == ContactOutcome::did_not_come;
  const bool fits =
      made.outcome == ContactOutcome::cancelled || of_visit == (made.meeting == Meeting::visit);
  if (!fits) whole.refuse("outcome", codes::outcome_of_meeting);
}
void closed_sound(const VisitClosed& closed, Whole& whole) {
  if (closed.left_open_by) whole.needs("left_open_with", closed.left_open_with, codes::text_empty);
}

}  // namespace

constexpr KindInfo ContactNoted::kind =
    listed<ContactNoted>(contact_noted_fields, {.form = {"contact", 15}});
constexpr KindInfo AppointmentMade::kind =
    listed<AppointmentMade>(appointment_made_fields, {.form = {"appointment", 16}});
constexpr KindInfo ContactMade::kind = listed<ContactMade>(
    contact_made_fields, {.sound = erased<contact_sound>, .form = {"call", 17}});
constexpr KindInfo FollowUpTaken::kind =
    listed<FollowUpTaken>(follow_up_taken_fields, {.form = {"follow-up", 24}});
constexpr KindInfo GlucoseNoted::kind = listed<GlucoseNoted>(
    glucose_noted_fields,
    {.sound = erased<glucose_sound>, .odd = erased<glucose_odd>, .form = {"glucose", 18}});
constexpr KindInfo Hba1cNoted::kind =
    listed<Hba1cNoted>(hba1c_noted_fields, {.odd = erased<hba1c_odd>, .form = {"hba1c", 22}});
constexpr KindInfo StepJudged::kind = listed<StepJudged>(step_judged_fields, {.form = {"step"}});
constexpr KindInfo VisitClosed::kind =
    listed<VisitClosed>(visit_closed_fields, {.sound = erased<closed_sound>, .form = {"visit"}});
constexpr KindInfo AllergyNoted::kind =
    listed<AllergyNoted>(allergy_noted_fields, {.form = {"allergy", 19}});
constexpr KindInfo RescueNoted::kind =
    listed<RescueNoted>(rescue_noted_fields, {.form = {"rescue", 20}});
constexpr KindInfo Needlestick::kind =
    listed<Needlestick>(needlestick_fields, {.form = {"needlestick", 21}});

}  // namespace penstock::facts
