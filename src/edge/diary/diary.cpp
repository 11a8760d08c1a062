#include "edge/diary/diary.hpp"

#include <algorithm>
#include <map>
#include <unordered_map>
#include <unordered_set>
#include <utility>

#include "core/journal/journal.hpp"
#include "edge/diary/internal/near.hpp"
#include "edge/diary/internal/row.hpp"
#include "edge/diary/internal/written.hpp"

namespace penstock::diary {
namespace {

using journal::Fact;
using journal::Payload;

std::span<const std::uint8_t> bytes_of(std::string_view text) {
  return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

class Reading {
 public:
  Reading(const DiaryContext& context, DiaryPreview& preview)
      : context_(context), preview_(preview) {}

  void comment(std::int64_t line, std::string_view text) {
    if (auto wrong = wrong_person_in_comment(text, context_)) bad_line(line, *std::move(wrong));
  }
  // False: the file as a whole cannot be read, for the reason in `stopped`.
  bool row(const csv::CsvRow& row);
  void finish();
  std::optional<Error> stopped;

 private:
  struct Identity {
    Id id;
    When when;
    Id first_of_equals;
  };

  void bad_line(std::int64_t line, Error error);
  std::optional<Error> in_order(DiaryRow& row);
  std::optional<Error> take(const DiaryRow& row);
  Identity identity(const DiaryRow& row, const When& when, const Id& cartridge) const;
  Identity choose(const DiaryRow& row, const Id& cartridge) const;
  Payload payload_of(const DiaryRow& row, const DiaryCartridge& cartridge) const;
  Fact fact(const Id& id, const When& when, Payload payload);
  Id note_id(const Id& row, std::string_view note) const;
  bool is_known(const Id& id) const { return context_.known(id) != nullptr; }
  std::optional<Error> other_entry(const Id& stated, const Fact& row) const;
  const Payload* standing(const Id& id, Instant at) const;
  bool differs_in_place(const Fact& held, const Payload& row) const;
  bool is_repeated(const DiaryRow& row, const Identity& chosen);
  void look_at(std::int64_t line, Fact fact);

  const DiaryContext& context_;
  DiaryPreview& preview_;
  std::optional<DiaryHeader> header_;
  std::optional<Instant> above_;  // the row above, good or not, for "newest first"
  bool any_later_ = false;
  bool any_earlier_ = false;
  std::int64_t out_of_order_ = 0;
  std::unordered_map<Id, std::uint32_t, IdHash> equals_;  // how many, by the identity of the first
  std::unordered_set<Id, IdHash> taken_;
  std::unordered_set<std::string> said_;  // rows without an identity of their own
  Instant second_{};
  std::uint32_t sequence_ = 0;
};

void Reading::bad_line(std::int64_t line, Error error) {
  ++preview_.bad_count;
  if (preview_.bad.size() >= diary_bad_lines_max) return;
  error.at = std::to_string(line);
  preview_.bad.push_back({line, std::move(error)});
}

bool Reading::row(const csv::CsvRow& row) {
  if (!header_) {
    auto header = read_diary_header(row);
    if (!header) {
      stopped = header.error();
      return false;
    }
    header_ = *header;
    return true;
  }
  if (preview_.rows == diary_rows_max) {
    stopped = Error{Kind::invalid_input,
                    std::string(codes::diary_rows),
                    {arg_count("most", diary_rows_max)},
                    std::to_string(row.line)};
    return false;
  }
  ++preview_.rows;
  auto read = read_diary_row(row, *header_, context_);
  if (!read) {
    bad_line(row.line, read.error());
    return true;
  }
  auto wrong = in_order(*read);
  if (!wrong) wrong = take(*read);
  if (wrong) bad_line(row.line, *std::move(wrong));
  return true;
}

// Rows ascend, so of two readings of an ambiguous time only those not before the row above remain
// (H18).
std::optional<Error> Reading::in_order(DiaryRow& row) {
  const auto latest = row.times[row.times_count - 1];
  if (above_ && latest.at > *above_) any_later_ = true;
  if (above_ && latest.at < *above_) any_earlier_ = true;
  above_ = row.times[0].at;
  if (!preview_.last) return std::nullopt;
  if (latest.at < preview_.last->at) {
    ++out_of_order_;
    return Error{Kind::invalid_input,
                 std::string(codes::diary_order),
                 {arg_instant("time", latest), arg_instant("before", *preview_.last)},
                 ""};
  }
  return std::nullopt;
}

// Person, time, what, units, cartridge, and its place among equal rows of this file. The instant
// counts, not the text: the same moment with or without its offset is the same row.
Reading::Identity Reading::identity(const DiaryRow& row, const When& when,
                                    const Id& cartridge) const {
  std::string text = "penstock diary row 1\n";
  for (const auto& part :
       {to_text(context_.journal), std::to_string(when.at.time_since_epoch().count()),
        std::string(row.word->fact), std::to_string(row.units.hundredths()), to_text(cartridge)}) {
    text += part;
    text += '\n';
  }
  // A note is nothing but its text.
  if (row.word->kind == DiaryKind::note) text += row.note + "\n";
  const auto first = id_from(text + "0", context_.digest);
  const auto before = equals_.find(first);
  if (before == equals_.end()) return {first, when, first};
  return {id_from(text + std::to_string(before->second), context_.digest), when, first};
}

// Which of two readings of an ambiguous time: the one that the journal holds already, so that a
// file that begins in the middle of the hour changes nothing twice (H31); otherwise the earlier
// one that keeps the file ascending.
Reading::Identity Reading::choose(const DiaryRow& row, const Id& cartridge) const {
  const auto early = identity(row, row.times[0], cartridge);
  if (row.times_count == 1) return early;
  const auto late = identity(row, row.times[1], cartridge);
  if (is_known(early.id) && !taken_.contains(early.id)) return early;
  if (is_known(late.id) && !taken_.contains(late.id)) return late;
  const bool ascends = !preview_.last || row.times[0].at >= preview_.last->at;
  return ascends ? early : late;
}

Payload Reading::payload_of(const DiaryRow& row, const DiaryCartridge& cartridge) const {
  using namespace journal;
  const auto injected = [&](Outcome outcome) {
    Injected fact;
    fact.cartridge = cartridge.cartridge;
    fact.units = row.units;
    fact.outcome = outcome;
    fact.zone = row.zone;
    fact.spot = row.spot;
    return fact;
  };
  switch (row.word->kind) {
    case DiaryKind::primed:
      return Primed{cartridge.cartridge, row.units, Flow::unknown};
    case DiaryKind::primed_flow_seen:
      return Primed{cartridge.cartridge, row.units, Flow::seen};
    case DiaryKind::primed_no_flow:
      return Primed{cartridge.cartridge, row.units, Flow::not_seen};
    case DiaryKind::injected:
      return injected(Outcome::whole);
    case DiaryKind::injected_part:
      return injected(Outcome::part);
    case DiaryKind::injected_unknown:
      return injected(Outcome::unknown);
    case DiaryKind::scale:
      return ScaleCounted{cartridge.cartridge, row.units};
    case DiaryKind::thrown_away: {
      const auto named = std::ranges::find(ThrowReason_names, row.note);
      if (named == ThrowReason_names.end()) {
        return ThrownAway{cartridge.cartridge, ThrowReason::other, row.note};
      }
      const auto reason = static_cast<ThrowReason>(named - ThrowReason_names.begin());
      return ThrownAway{cartridge.cartridge, reason, ""};
    }
    case DiaryKind::left_fridge:
      return LeftFridge{cartridge.cartridge};
    case DiaryKind::needle_on:
      return NeedleOn{cartridge.pen, "", {}, true};
    case DiaryKind::needle_off:
      return NeedleOff{cartridge.pen, Disposal::unknown};
    case DiaryKind::note:
      return Note{row.note};
  }
  promise_broken("a word of the diary without its fact");
}

Fact Reading::fact(const Id& id, const When& when, Payload payload) {
  // Facts of one second keep the file's order.
  sequence_ = when.at == second_ ? sequence_ + 1 : 0;
  second_ = when.at;
  Fact fact;
  fact.id = id;
  fact.journal = context_.journal;
  fact.happened = when;
  fact.sequence = sequence_;
  fact.recorded = context_.now;
  fact.author = context_.author;
  fact.told_by = context_.full_name;
  fact.source = "diary";
  fact.payload = std::move(payload);
  return fact;
}

Id Reading::note_id(const Id& row, std::string_view note) const {
  return id_from("penstock diary note 1\n" + to_text(row) + "\n" + std::string(note),
                 context_.digest);
}

// Somebody's program or hand wrote it down twice (H22). Two acts of one minute differ by their
// place, their note or their seconds.
bool Reading::is_repeated(const DiaryRow& row, const Identity& chosen) {
  if (row.stated_id) return false;
  auto text = to_text(chosen.first_of_equals) + "\n";
  if (row.zone) text += zone_names[static_cast<std::size_t>(*row.zone)];
  if (row.spot)
    text += std::to_string(row.spot->x.tenths) + " " + std::to_string(row.spot->y.tenths);
  return !said_.insert(text + "\n" + row.note).second;
}

// As where it is typed, but that a diary tells of long ago: one that does is no reason to ask about
// each of its rows.
void Reading::look_at(std::int64_t line, Fact fact) {
  const auto odd = journal::oddity(fact);
  fact.recorded = fact.happened.at;
  if (odd && journal::oddity(fact) != odd) preview_.late.push_back(line);
  if (auto value = context_.odd ? context_.odd(fact) : journal::oddity(fact))
    preview_.odd.push_back({line, *std::move(value)});
}

// An id that is stated makes no entry known: what the row says does, as the entry was or stands
// (H22, H57). One that stands elsewhere cannot enter here.
std::optional<Error> Reading::other_entry(const Id& stated, const Fact& row) const {
  const auto wrong = [&](std::string_view code) {
    return Error{Kind::invalid_input, std::string(code), {arg_text("id", to_text(stated))}, ""};
  };
  const auto* held = context_.known(stated);
  if (held == nullptr) {
    if (context_.elsewhere && context_.elsewhere(stated)) return wrong(codes::diary_id_elsewhere);
    return std::nullopt;
  }
  const auto at = row.happened.at;
  if (held->happened.at == at && internal::says_the_same(held->payload, row.payload))
    return std::nullopt;
  const auto* now = standing(stated, at);
  if (now != nullptr && internal::says_the_same(*now, row.payload)) return std::nullopt;
  return wrong(codes::diary_id_differs);
}

// What an entry says after its corrections, if it was at that time.
const Payload* Reading::standing(const Id& id, Instant at) const {
  const auto found =
      std::ranges::find_if(context_.so_far, [&](const auto& one) { return one.fact->id == id; });
  return found != context_.so_far.end() && found->happened.at == at ? found->payload : nullptr;
}

// Place and reason, in the entry as it was and as it stands.
bool Reading::differs_in_place(const Fact& held, const Payload& row) const {
  if (internal::same_place(held.payload, row)) return false;
  const auto* now = standing(held.id, held.happened.at);
  return now == nullptr || !internal::same_place(*now, row);
}

std::optional<Error> Reading::take(const DiaryRow& row) {
  DiaryCartridge cartridge;
  if (!row.cartridge.empty()) {
    const auto named = context_.cartridge(row.cartridge, row.times[0]);
    if (!named) {
      return Error{Kind::not_found,
                   std::string(codes::diary_cartridge_unknown),
                   {arg_text("text", std::string_view(row.cartridge).substr(0, 60))},
                   ""};
    }
    cartridge = *named;
  }
  auto chosen = choose(row, cartridge.cartridge);
  if (is_repeated(row, chosen)) {
    preview_.repeated.push_back(row.line);
    return std::nullopt;
  }
  if (row.stated_id) chosen.id = *row.stated_id;
  if (!taken_.insert(chosen.id).second) {
    return Error{Kind::invalid_input,
                 std::string(codes::diary_id_twice),
                 {arg_text("id", to_text(chosen.id))},
                 ""};
  }
  std::vector<Fact> facts{fact(chosen.id, chosen.when, payload_of(row, cartridge))};
  const bool has_own_text =
      row.word->kind == DiaryKind::note || row.word->kind == DiaryKind::thrown_away;
  if (!row.note.empty() && !has_own_text) {
    facts.push_back(fact(note_id(chosen.id, row.note), chosen.when, journal::Note{row.note}));
  }
  for (const auto& one : facts) {
    if (const auto good = journal::checked(one); !good) return good.error();
  }
  if (row.stated_id) {
    if (auto other = other_entry(*row.stated_id, facts[0])) return other;
  }
  ++equals_[chosen.first_of_equals];
  if (!preview_.first) preview_.first = chosen.when;
  if (!preview_.last || chosen.when.at > preview_.last->at) preview_.last = chosen.when;

  const auto* held = context_.known(chosen.id);
  if (held != nullptr) {
    ++preview_.known;
    if (context_.struck_out && context_.struck_out(chosen.id))
      preview_.struck.push_back(row.line);
    else if (differs_in_place(*held, facts[0].payload))
      preview_.differs.push_back(row.line);
  }
  const bool twice = context_.zone.fit(chosen.when.local()) == ZoneRules::Fit::ambiguous;
  if (row.times_count > 1 && !is_known(chosen.id)) preview_.twice.push_back(row.line);
  if (cartridge.asked && !is_known(chosen.id))
    preview_.odd.push_back({row.line, *std::move(cartridge.asked)});
  for (auto& one : facts) {
    if (is_known(one.id)) continue;
    look_at(row.line, one);
    preview_.fresh.push_back({row.line, std::move(one), twice});
  }
  return std::nullopt;
}

// A file that only ever goes back in time is not broken in each of its lines: it is upside down.
void Reading::finish() {
  if (any_later_ || !any_earlier_ || out_of_order_ == 0) return;
  std::erase_if(preview_.bad,
                [](const DiaryBadLine& bad) { return bad.error.code == codes::diary_order; });
  preview_.bad_count -= out_of_order_ - 1;
  preview_.bad.insert(preview_.bad.begin(),
                      {0, {Kind::invalid_input, std::string(codes::diary_newest_first), {}, "0"}});
}

}  // namespace

AskedRows asked_rows(std::string_view word) {
  return word == leave_out_word  ? AskedRows::leave_out
         : word == bring_in_word ? AskedRows::bring_in
                                 : AskedRows::not_said;
}

Result<DiaryPreview> preview_diary(std::string_view bytes, const DiaryContext& context) {
  INVARIANT(context.digest != nullptr && context.cartridge && context.known);
  DiaryPreview preview;
  Reading reading(context, preview);
  const auto read = csv::read_csv(
      bytes, [&](std::int64_t line, std::string_view text) { reading.comment(line, text); },
      [&](const csv::CsvRow& row) { return reading.row(row); });
  if (reading.stopped) return *std::move(reading.stopped);
  if (!read) return read.error();
  reading.finish();
  preview.digest = context.digest(bytes_of(bytes));
  preview.near = internal::near_rows(preview.fresh, context);
  return preview;
}

Result<std::vector<Fact>> accept_diary(const DiaryPreview& preview, const DiaryContext& context,
                                       std::string_view file_name, const When& now,
                                       const DiaryAnswers& answers) {
  const auto unsaid = [](std::string_view code, std::size_t rows) {
    return Error{
        Kind::refused, std::string(code), {arg_count("rows", static_cast<std::int64_t>(rows))}, ""};
  };
  if (!preview.acceptable()) return preview.bad.front().error;
  if (!preview.odd.empty() && answers.odd == AskedRows::not_said)
    return unsaid(codes::diary_odd, preview.odd.size());
  if (!preview.near.empty() && answers.near == AskedRows::not_said)
    return unsaid(codes::diary_near, preview.near.size());
  std::unordered_set<std::int64_t> odd;
  if (answers.odd == AskedRows::leave_out) {
    for (const auto& one : preview.odd) odd.insert(one.line);
  }
  std::vector<Fact> facts;
  facts.reserve(preview.fresh.size() + 1);
  auto pair = preview.near.begin();
  for (std::size_t i = 0; i < preview.fresh.size(); ++i) {
    const bool is_near = pair != preview.near.end() && pair->fresh == i;
    if (is_near) ++pair;
    if (odd.contains(preview.fresh[i].line)) continue;
    if (!is_near || answers.near == AskedRows::bring_in) facts.push_back(preview.fresh[i].fact);
  }
  if (facts.empty()) return facts;
  Fact imported;
  imported.id =
      imported_id(context.journal, to_text(preview.digest), facts.front().id, context.digest);
  imported.journal = context.journal;
  imported.happened = now;
  imported.recorded = now.at;
  imported.author = context.author;
  imported.source = "diary";
  imported.payload = journal::DiaryImported{std::string(file_name), to_text(preview.digest),
                                            static_cast<std::int32_t>(preview.rows),
                                            static_cast<std::int32_t>(facts.size())};
  facts.push_back(std::move(imported));
  return facts;
}

// ---- and back

namespace {

std::string centimetres(const Spot& spot) {
  return format_fixed(spot.x.tenths, 2) + " " + format_fixed(spot.y.tenths, 2);
}

}  // namespace

std::string write_diary(std::span<const Fact> facts,
                        const std::function<std::string(const Id& cartridge)>& label) {
  std::string out = "time,what,units,cartridge,zone,spot,note,id\r\n";
  std::map<Id, Id> in_pen;
  const auto history = journal::read(facts);
  for (const auto& one : history.facts) {
    const auto row = internal::written_of(*one.payload, in_pen);
    if (!row) continue;
    const std::string fields[] = {
        format_iso(one.happened),
        std::string(diary_word(row->kind).text),
        row->units ? format(*row->units) : "",
        row->cartridge.is_nil() ? "" : label(row->cartridge),
        row->zone ? std::string(zone_names[static_cast<std::size_t>(*row->zone)]) : "",
        row->spot ? centimetres(*row->spot) : "",
        csv::as_no_formula(row->note),
        to_text(one.fact->id)};
    const auto* separator = "";
    for (const auto& field : fields) {
      out += separator + csv::csv_field_text(field);
      separator = ",";
    }
    out += "\r\n";
  }
  return out;
}

}  // namespace penstock::diary
