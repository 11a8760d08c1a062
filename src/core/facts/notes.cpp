#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::facts {
namespace {

constexpr Field taught_back_fields[] = {
    FIELD(TaughtBack, skill, "skill").like(R"("injection")"),
    FIELD(TaughtBack, needle, "needle").naming(Names::needle).like(R"("4 mm")"),
    FIELD(TaughtBack, unprompted, "unprompted").like("true"),
    FIELD(TaughtBack, text, "text").long_text()};
constexpr Field technique_watched_fields[] = {
    FIELD(TechniqueWatched, line, "line").naming(Names::line).another().like(a_line),
    FIELD(TechniqueWatched, steps, "steps")
        .needed()
        .long_text()
        .like(R"("Look and feel, New needle")")};
constexpr Field note_fields[] = {
    FIELD(Note, text, "text").needed().long_text().like(R"("Wants the sheet in large print.")"),
    FIELD(Note, file, "file").kept().since(2),
    FIELD(Note, entries, "entries")
        .kept()
        .within(0, import_rows_max, "limit.import_rows")
        .optional()
        .since(2)};
constexpr Field reminder_dismissed_fields[] = {
    FIELD(ReminderDismissed, reminder, "reminder").needed().like(R"("scale_disagrees")"),
    FIELD(ReminderDismissed, basis, "basis").needed().like(R"("12")"),
    FIELD(ReminderDismissed, reason, "reason")
        .needed()
        .long_text()
        .like(R"("Counted again together, both 126.")")};
constexpr Field phone_advice_fields[] = {
    FIELD(PhoneAdvice, said, "said").needed().long_text().like(R"("dial.part_left")"),
    FIELD(PhoneAdvice, read_back, "read_back").like("true"),
    FIELD(PhoneAdvice, text, "text").long_text().like(R"("12, not 22.")")};
constexpr Field diary_imported_fields[] = {
    FIELD(DiaryImported, file, "file").like(R"("march.csv")"),
    FIELD(DiaryImported, digest, "digest").needed().digest().like(a_digest),
    FIELD(DiaryImported, rows, "rows").within(0, import_rows_max, "limit.import_rows").like("212"),
    FIELD(DiaryImported, facts_new, "facts_new")
        .within(0, import_rows_max, "limit.import_rows")
        .like("180")};
constexpr Field payload_erased_fields[] = {
    FIELD(PayloadErased, fact, "fact").another().like(a_fact),
    FIELD(PayloadErased, reason, "reason")
        .needed()
        .long_text()
        .like(R"("Asked for by the person in writing.")")};

}  // namespace

constexpr KindInfo TaughtBack::kind =
    listed<TaughtBack>(taught_back_fields, {.form = {"taught", 11}});
constexpr KindInfo TechniqueWatched::kind =
    listed<TechniqueWatched>(technique_watched_fields, {.form = {"watched"}});
constexpr KindInfo Note::kind = listed<Note>(note_fields, {.form = {"note", 12}});
constexpr KindInfo ReminderDismissed::kind = listed<ReminderDismissed>(reminder_dismissed_fields);
constexpr KindInfo PhoneAdvice::kind = listed<PhoneAdvice>(phone_advice_fields);
constexpr KindInfo DiaryImported::kind = listed<DiaryImported>(diary_imported_fields);
constexpr KindInfo PayloadErased::kind = listed<PayloadErased>(payload_erased_fields);

}  // namespace penstock::facts
