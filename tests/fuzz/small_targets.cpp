// Readers of one text or one row: what they take comes back unchanged, what they refuse has words.
#include <algorithm>

#include "core/facts/list.hpp"
#include "core/journal/journal.hpp"
#include "core/units/units.hpp"
#include "core/units/utf8.hpp"
#include "edge/csv/csv.hpp"
#include "edge/gs1/gs1.hpp"
#include "edge/json/json.hpp"
#include "edge/summary/summary.hpp"
#include "edge/wire/fact_codec.hpp"
#include "edge/wire/fact_json.hpp"
#include "fuzz/targets.hpp"
#include "shell/names/names.hpp"
#include "shell/system/system.hpp"

namespace penstock::fuzz {
namespace {

using Inputs = std::vector<std::string>;
using Name = std::string_view;

std::span<const std::uint8_t> bytes_of(std::string_view text) {
  return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}
std::string text_of(std::span<const std::uint8_t> bytes) { return {bytes.begin(), bytes.end()}; }

constexpr json::Limits roomy{1U << 28U, 10'000'000, 64};

// ---- JSON

void run_json(Name, std::string_view input) {
  const auto read = json::parse(input);
  if (!read) return law_of_refusal(read.error());
  for (const auto layout : {json::Layout::compact, json::Layout::indented}) {
    const auto again = json::parse(json::to_text(*read, layout), roomy);
    law(again && *again == *read, "JSON does not come back as it was read");
  }
}
Inputs json_seeds(Name) {
  return {R"({"a": [1, -2.50, true, null, "\u00e9\ud83d\ude00\n"], "b": {"c": {}}})", "[]", "7"};
}

// ---- facts

Inputs fact_examples(Name) {
  Inputs all;
  for (std::size_t i = 0; i < facts::kinds.size(); ++i) {
    all.push_back(json::to_text(*wire::kind_example(facts::kinds[i].name)));
  }
  return all;
}

journal::Fact fact_of(wire::Draft draft) {
  journal::Fact fact;
  fact.id = draft.id.value_or(Id{1, 1});
  fact.journal = draft.journal.value_or(Id{9, 9});
  fact.happened = draft.happened.value_or(When{Instant{std::chrono::seconds{1'804'000'000}}, 60});
  fact.recorded = Instant{std::chrono::seconds{1'804'000'000}};
  fact.sequence = draft.sequence;
  fact.author = "Maren Holt";
  fact.told_by = std::move(draft.told_by);
  fact.source = draft.source.empty() ? "bench" : std::move(draft.source);
  fact.payload = std::move(draft.payload);
  return fact;
}

Inputs packed_examples(Name name) {
  Inputs all;
  for (const auto& example : fact_examples(name)) {
    const auto draft = wire::draft_from_json(*json::parse(example));
    if (draft) all.push_back(text_of(wire::encode(fact_of(*draft))));
  }
  return all;
}

void law_of_fact(const journal::Fact& fact) {
  const auto packed = wire::encode(fact);
  const auto back = wire::decode(packed, fact.recorded);
  law(back && *back == fact, "a fact does not come back from its bytes");
  const auto text = json::to_text(wire::to_json(fact));
  const auto value = json::parse(text, roomy);
  law(value.has_value(), "a fact's JSON is none");
  const auto read = wire::fact_from_json(*value);
  law(read && *read == fact, "a fact does not come back from its JSON");
}

void run_fact_bytes(Name, std::string_view input) {
  const auto fact = wire::decode(bytes_of(input), Instant{std::chrono::seconds{1'804'000'000}});
  if (!fact) return law_of_refusal(fact.error());
  law(text_of(wire::encode(*fact)) == input, "other bytes are the same fact");
  // What no program of ours wrote may hold text that is none: JSON cannot say that.
  if (const auto good = journal::checked(*fact)) law_of_fact(*good);
}

void run_fact_json(Name, std::string_view input) {
  const auto value = json::parse(input);
  if (!value) return law_of_refusal(value.error());
  if (const auto whole = wire::fact_from_json(*value)) {
    law_of_fact(*whole);
  } else {
    law_of_refusal(whole.error());
  }
  auto draft = wire::draft_from_json(*value);
  if (!draft) return law_of_refusal(draft.error());
  const auto good = journal::checked(fact_of(*std::move(draft)));
  if (!good) return law_of_refusal(good.error());
  law_of_fact(*good);
}

// ---- CSV

void run_csv(Name, std::string_view input) {
  std::vector<csv::CsvRow> rows;
  const auto read = csv::read_csv(
      input, [](std::int64_t, std::string_view) {},
      [&](const csv::CsvRow& row) {
        rows.push_back(row);
        return true;
      });
  if (!read) return law_of_refusal(read.error());
  std::string written;
  std::vector<std::vector<std::string>> kept;
  std::int64_t line = 0;
  for (const auto& row : rows) {
    law(row.line > line, "lines do not go up");
    line = row.line;
    if (row.problem) {
      law_of_refusal(*row.problem);
      continue;
    }
    // What looks like a comment, a mark or a blank line is one where it stands first.
    if (row.fields.size() < 2 || row.fields[0].starts_with('#')) continue;
    for (std::size_t i = 0; i < row.fields.size(); ++i) {
      written += (i == 0 ? "" : ",") + csv::csv_field_text(row.fields[i]);
    }
    written += "\n";
    kept.push_back(row.fields);
  }
  std::vector<std::vector<std::string>> again;
  const auto reread = csv::read_csv(
      "\xEF\xBB\xBF" + written, [](std::int64_t, std::string_view) {},
      [&](const csv::CsvRow& row) {
        law(!row.problem, "a written row cannot be read");
        again.push_back(row.fields);
        return true;
      });
  law(kept.empty() || (reread && again == kept), "rows do not come back as they were read");
}
Inputs csv_seeds(Name) {
  return {"time,what,units\n2027-03-01T21:30,note,\n",
          "# a comment\r\na,\"b \"\"c\"\"\r\nd\",e\r\n"};
}

// ---- codes and numbers

void run_gs1(Name, std::string_view input) {
  const auto carton = gs1::read_carton(input, 2027);
  if (!carton) return law_of_refusal(carton.error());
  law(carton->gtin.empty() || carton->gtin.size() == 14, "a product number of another length");
  law(carton->lot.size() <= 20, "a lot longer than a code can say");
}
Inputs gs1_seeds(Name) {
  return {
      "]d20104012345678901172705311012345\x1D"
      "21SERIAL",
      "(01)04012345678901(17)270531(10)AB12",
      "01040123456789011727053110AB12\x1D"
      "3010"};
}

void run_numbers(Name, std::string_view input) {
  if (const auto amount = parse_units(input)) {
    law(parse_units(format(*amount)) == *amount, "an amount does not come back");
  }
  for (const int decimals : {0, 1, 2, 3, 9}) {
    const auto fixed = parse_fixed(input, decimals);
    if (!fixed) {
      law_of_refusal(fixed.error());
      continue;
    }
    const auto again = parse_fixed(format_fixed(*fixed, decimals), decimals);
    law(again && *again == *fixed, "a number does not come back");
  }
  if (const auto day = parse_day(input)) law(format_iso(*day) == input, "another day");
  if (const auto minute = parse_minute(input)) law(format_iso(*minute) == input, "another minute");
  if (const auto when = parse_when(input)) {
    const auto again = parse_when(format_iso(*when));
    law(again && *again == *when, "a time does not come back");
  }
  if (const auto id = parse_id(input)) {
    const auto again = parse_id(to_text(*id));
    law(again && *again == *id, "an identity does not come back");
  }
}
Inputs number_seeds(Name) {
  return {"18",
          "4.5",
          "-0.25",
          "2027-03-16",
          "22:05",
          "2027-03-16T22:05:00+01:00",
          "2027-03-16T21:05Z",
          "0123456789abcdef0123456789abcdef"};
}

void run_zone(Name, std::string_view input) {
  const auto zone = shell::zone(input);
  if (!zone) return law_of_refusal(zone.error());
  law(zone->name == input, "the zone of another name");
  law(std::ranges::is_sorted(zone->changes, {}, &ZoneRules::Change::from), "changes out of order");
}
Inputs zone_seeds(Name) { return {"Europe/Berlin", "UTC", "Pacific/Apia", "../../etc/passwd"}; }

// ---- summary rows

void run_summary(Name, std::string_view input) {
  const auto row = summary::unpack({1, 1}, 1, bytes_of(input));
  if (!row) return law_of_refusal(row.error());
  const auto again = summary::unpack({1, 1}, 1, summary::pack(*row).bytes);
  law(again && summary::pack(*again).bytes == summary::pack(*row).bytes,
      "a summary row does not come back");
  static_cast<void>(summary::ringing(*row, Instant{std::chrono::seconds{1'804'000'000}}));
}
Inputs summary_seeds(Name) {
  summary::Row row;
  row.person = {1, 1};
  row.version = 1;
  row.full_name = "Noor Haddad";
  row.number = "1042";
  summary::put_keys(row, {names::folded, names::look});
  row.insulins = {"insulin glargine"};
  row.supply = summary::pack_supply({});
  row.lots = summary::pack_lots({});
  return {text_of(summary::pack(row).bytes)};
}

void run_summary_texts(Name, std::string_view input) {
  if (const auto supply = summary::unpack_supply(input)) {
    const auto text = summary::pack_supply(*supply);
    const auto again = summary::unpack_supply(text);
    law(again && summary::pack_supply(*again) == text, "a row's supply does not come back");
  } else {
    law_of_refusal(supply.error());
  }
  if (const auto lots = summary::unpack_lots(input)) {
    const auto text = summary::pack_lots(*lots);
    const auto again = summary::unpack_lots(text);
    law(again && summary::pack_lots(*again) == text, "a row's lots do not come back");
    static_cast<void>(summary::tags_of(*lots));
  } else {
    law_of_refusal(lots.error());
  }
}
Inputs summary_text_seeds(Name) {
  supply::LotAtHome lot;
  lot.lot = "AB12";
  return {summary::pack_supply({}), summary::pack_lots({lot})};
}

// ---- names

void run_names(Name, std::string_view input) {
  if (first_bad_utf8(input)) return;  // a name is text before anybody compares it
  const auto folded = names::folded(input);
  for (const auto& text : {folded, names::look(input), names::visible(input)}) {
    law(!first_bad_utf8(text), "a name's form is no UTF-8");
  }
  law(names::folded(folded) == folded, "what is folded folds further");
  law(names::visible(names::visible(input)) == names::visible(input), "something unseen is left");
  const auto key = summary::key_of(input, {names::folded, names::look});
  law(folded.empty() || summary::same_number(key, key), "a number is not the same as itself");
}
Inputs name_seeds(Name) {
  return {
      "Zdzis\xC5\x82"
      "awa M\xC3\xBCller",
      "\xD0\x9C\xD0\xB8\xD1\x80\xD0\xB5\xD0\xBB\xD0\xB0", "HS\xC2\xA0 04172\xE2\x80\x8B",
      "e\xCC\x81\xE0\xB8\xB3\xF0\x9D\x95\x84\xEF\xBC\xA1"};
}

}  // namespace

std::vector<Target> small_targets() {
  using enum Shape;
  return {{"json", json, 20'000, json_seeds, run_json},
          {"fact-json", json, 8'000, fact_examples, run_fact_json},
          {"fact-bytes", bytes, 40'000, packed_examples, run_fact_bytes},
          {"csv", bytes, 20'000, csv_seeds, run_csv},
          {"gs1", bytes, 20'000, gs1_seeds, run_gs1},
          {"numbers", bytes, 20'000, number_seeds, run_numbers},
          {"zone", bytes, 2'000, zone_seeds, run_zone},
          {"summary-row", json, 4'000, summary_seeds, run_summary},
          {"summary-texts", json, 10'000, summary_text_seeds, run_summary_texts},
          {"names", bytes, 4'000, name_seeds, run_names}};
}

}  // namespace penstock::fuzz
