// Each act of the desk with every call to the store failing, once and from then on: whoever asked
// is told, nothing is half-written, and with a store that works again the same act is done.
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/wire/journal_file.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/test_bench.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

// ---- the bench that an act finds

struct Before {
  Bench bench;
  Id mirela = bench.enrol();
  Id tove = bench.enrol_in("UTC", "Tove Marklund", "HS 05120");
  std::string photo = {};

  Desk& desk() { return bench.desk(); }
  void pens() {
    bench.order(mirela);
    bench.pen_and_cartridge(mirela);
  }
  void clinic(const std::string& fact) { Bench::must(record_clinic(fact)); }
  Result<json::Value> record_clinic(const std::string& fact) {
    return desk().record_clinic(Bench::request(R"({"confirmed":true,"facts":[)" + fact + "]}"),
                                desk().caller());
  }
  Result<json::Value> hand_out() {
    return desk().hand_out(
        mirela,
        Bench::request(
            R"({"confirmed":true,"facts":[{"id":"00000000000000000000000000000d01","what":"stock moved","happened":"2027-03-16T14:00:00+01:00","item":"glargine-100-cartridge","lot":"AB12","pieces":5,"way":"handed out"}]})"),
        desk().caller());
  }
  Result<json::Value> move(const std::string& fact) {
    return desk().move_fact(
        tove, Bench::request(R"({"fact":")" + fact + R"(","to":"HS 04172","reason":"wrong page"})"),
        desk().caller());
  }
};

constexpr const char* stock_came =
    R"({"id":"00000000000000000000000000000d00","what":"stock came","happened":"2027-03-01T09:00:00+01:00","item":"glargine-100-cartridge","lot":"AB12","pieces":20,"expires":"2028-05-31"})";
constexpr const char* hardened =
    R"({"id":"00000000000000000000000000000e11","what":"skin examined","happened":"2027-03-16T13:50:00+01:00","light":"daylight","posture":"lying","zones":["abdomen left lower"],"findings":[{"area":"00000000000000000000000000000e01","tissue":"hardened","zone":"abdomen left lower","centre":{"x_mm":72,"y_mm":-44},"length_mm":50,"width_mm":40,"seen":true,"felt":true,"verdict":"keep off"}]})";
constexpr const char* injected =
    R"({"id":"00000000000000000000000000000f01","what":"injected","happened":"2027-03-14T22:00:00+01:00","cartridge":"00000000000000000000000000000c01","units":22,"line":"00000000000000000000000000000a01","slot":"bedtime","zone":"abdomen left lower","spot":{"x_mm":70,"y_mm":-40}})";
constexpr const char* pen_given =
    R"({"id":"00000000000000000000000000000e02","what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":"00000000000000000000000000000b01","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})";
constexpr const char* note =
    R"({"id":"00000000000000000000000000000e09","what":"note","text":"half units from today"})";

const Id pen_of_noor = *parse_id("00000000000000000000000000000b02");

constexpr const char* given_pen_of_noor =
    R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":"00000000000000000000000000000b02","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})";

// A journal from elsewhere: who, and a pen.
const std::string& file_of_noor() {
  static const std::string file = [] {
    Bench there;
    const auto who = Bench::must(there.desk().register_person(
        Bench::request(
            R"({"id":"00000000000000000000000000004007","facts":[{"id":"00000000000000000000000000004008","what":"person registered","full_name":"Noor Haddad","born":"1961-02-17","number":"HS 1","zone":"UTC"}]})"),
        there.desk().caller()));
    const auto noor = *parse_id(who.find("id")->text);
    Bench::must(there.record(noor, given_pen_of_noor));
    return there.desk().export_journal(noor).value();
  }();
  return file;
}
Filled facts_of_noor() {
  auto file = wire::read_journal_file(file_of_noor(), store::sha256).value();
  return {file.journal, std::move(file.facts)};
}

// ---- the acts

struct Act {
  const char* name;
  std::function<void(Before&)> prepare;
  std::function<Error(Before&)> run;  // a code where it was not done
  bool in_steps = false;              // what it remakes is remade row by row
};

template <class Answer>
Error outcome(const Result<Answer>& answer) {
  return answer ? Error{} : answer.error();
}
Error outcome(const Result<json::Value>& answer) {
  if (!answer) return answer.error();
  return answer->find("ask") == nullptr ? Error{} : Error{Kind::refused, "asked", {}, ""};
}

std::string jpeg() {
  return std::string("\xFF\xD8\xFF\xDA\0\2", 6) + std::string(200, 'j') + "\xFF\xD9";
}

Error bring_in_diary(Before& on) {
  const std::string rows =
      "time,what,units,cartridge,zone,spot,note\n2027-03-05T21:30,note,,,,,Felt well\n";
  const auto seen = on.desk().diary(on.mirela, "march.csv", rows, "", on.desk().caller());
  if (!seen) return seen.error();
  return outcome(on.desk().diary(on.mirela, "march.csv", rows, seen->find("digest")->text,
                                 on.desk().caller()));
}

// As a program with other rows left them.
void make_rows_old(Before& on) {
  for (int i = 0; i < 20; ++i)
    on.bench.enrol_in("UTC", "Person " + std::string(1, static_cast<char>('a' + i)),
                      "N" + std::to_string(i));
  EXPECT_TRUE(on.bench.store().write([](store::WriteTx& tx) -> Result<void> {
    const auto rows = tx.summaries({});
    for (auto row : *rows) {
      row.fold_version = 6;
      if (const auto put = tx.put_summary(row); !put) return put;
    }
    return {};
  }));
}

void nothing(Before&) {}

std::vector<Act> acts_on_facts() {
  return {
      {"record", nothing, [](Before& on) { return outcome(on.bench.record(on.mirela, note)); }},
      {"record what claims a pen", nothing,
       [](Before& on) { return outcome(on.bench.record(on.mirela, pen_given)); }},
      {"record what opens a question",
       [](Before& on) {
         on.pens();
         Bench::must(on.bench.record(on.mirela, injected));
       },
       [](Before& on) { return outcome(on.bench.record(on.mirela, hardened)); }},
      {"record another number",
       [](Before& on) { Bench::must(Bench::let_in(on.desk(), file_of_noor())); },
       [](Before& on) {
         return outcome(on.bench.record(
             *parse_id("00000000000000000000000000004007"),
             R"({"id":"00000000000000000000000000000e04","what":"correction","target":"00000000000000000000000000004008","reason":"misread","replacement":{"happened":"2027-03-01T10:00:00+01:00","what":"person registered","full_name":"Noor Haddad","born":"1961-02-17","number":"HS 2","zone":"UTC"}})",
             R"("confirmed":true,)"));
       }},
      {"register_person", nothing,
       [](Before& on) {
         return outcome(on.desk().register_person(
             Bench::request(
                 R"({"id":"00000000000000000000000000000e05","confirmed":true,"facts":[{"id":"00000000000000000000000000000e06","what":"person registered","full_name":"Wanjiku Lindqvist","born":"1966-01-09","number":"HS 4","zone":"UTC"}]})"),
             on.desk().caller()));
       }},
  };
}

std::vector<Act> acts_on_stock_and_moves() {
  return {
      {"record_clinic", nothing, [](Before& on) { return outcome(on.record_clinic(stock_came)); }},
      {"record_clinic, other closed days", nothing,
       [](Before& on) {
         return outcome(on.record_clinic(
             R"({"id":"00000000000000000000000000000d02","what":"closed days set","weekdays":["sunday"],"dates":[]})"));
       }},
      {"record_clinic, a hand-out is taken back",
       [](Before& on) {
         on.clinic(stock_came);
         Bench::must(on.hand_out());
       },
       [](Before& on) {
         return outcome(on.record_clinic(
             R"({"id":"00000000000000000000000000000d03","what":"correction","target":"00000000000000000000000000000d01","reason":"not fetched"})"));
       }},
      {"hand_out", [](Before& on) { on.clinic(stock_came); },
       [](Before& on) { return outcome(on.hand_out()); }},
      {"move_fact", [](Before& on) { Bench::must(on.bench.record(on.tove, note)); },
       [](Before& on) { return outcome(on.move("00000000000000000000000000000e09")); }},
      {"move_fact, a pen", [](Before& on) { Bench::must(on.bench.record(on.tove, pen_given)); },
       [](Before& on) { return outcome(on.move("00000000000000000000000000000e02")); }},
      {"move_fact, a question opens",
       [](Before& on) {
         on.pens();
         Bench::must(on.bench.record(on.mirela, injected));
         Bench::must(on.bench.record(on.tove, hardened));
       },
       [](Before& on) { return outcome(on.move("00000000000000000000000000000e11")); }},
  };
}

std::vector<Act> acts_on_files() {
  return {
      {"put_photo", nothing,
       [](Before& on) {
         return outcome(on.desk().put_photo(on.mirela, jpeg(), Desk::Consent::given));
       }},
      {"erase_photo",
       [](Before& on) {
         on.photo = Bench::must(on.desk().put_photo(on.mirela, jpeg(), Desk::Consent::given))
                        .find("photo")
                        ->text;
       },
       [](Before& on) {
         return outcome(
             on.desk().erase_photo(on.mirela, on.photo, "no consent any more", on.desk().caller()));
       }},
      {"diary", nothing, bring_in_diary},
      {"import_journal", nothing,
       [](Before& on) { return outcome(Bench::let_in(on.desk(), file_of_noor())); }},
      {"import_journal, somebody else's pen",
       [](Before& on) { Bench::must(on.bench.record(on.mirela, given_pen_of_noor)); },
       [](Before& on) { return outcome(Bench::let_in(on.desk(), file_of_noor())); }},
      {"append_all", nothing,
       [](Before& on) {
         return outcome(on.desk().append_all(facts_of_noor().id, store::Subject::person,
                                             facts_of_noor().facts));
       }},
      {"fill", nothing, [](Before& on) { return outcome(on.desk().fill({facts_of_noor()})); }},
      {"seal_heads", nothing,
       [](Before& on) { return outcome(on.desk().seal_heads(on.desk().caller())); }},
      {"rebuild_summaries", nothing,
       [](Before& on) { return outcome(on.desk().rebuild_summaries({}, on.desk().caller())); }},
      {"a list, after an upgrade", make_rows_old,
       [](Before& on) { return outcome(on.bench.page("/api/people")); }, true},
      {"verify", nothing, [](Before& on) { return outcome(on.desk().verify({})); }},
  };
}

const std::vector<Act>& acts() {
  static const auto all = [] {
    auto out = acts_on_facts();
    std::ranges::move(acts_on_stock_and_moves(), std::back_inserter(out));
    std::ranges::move(acts_on_files(), std::back_inserter(out));
    return out;
  }();
  return all;
}

// ---- what is compared

// All that the store holds of journals, rows, pictures and claims, but no marks.
std::string written(store::Store& store, const Act& act) {
  std::string out;
  EXPECT_TRUE(store.read([&](store::ReadTx& tx) -> Result<void> {
    out.clear();
    const auto journals = tx.journals();
    for (const auto& info : *journals) {
      out += to_text(info.journal) + " " + std::to_string(info.version) + " " + to_text(info.head) +
             "\n";
      const auto tags = tx.tags(info.journal);
      for (const auto& tag : *tags) out += "  tag " + tag + "\n";
      out += "  elsewhere " + std::to_string(claims::elsewhere(tx, info.journal)->size()) + "\n";
      const auto blobs = tx.blobs(info.journal);
      for (const auto& blob : *blobs)
        out += "  blob " + to_text(blob.digest) + (blob.erased ? " erased\n" : "\n");
      const auto row = tx.summary(info.journal).value();
      if (!row || act.in_steps) continue;
      out += "  row " + std::to_string(row->journal_version) + " " +
             std::to_string(row->fold_version) + " " +
             std::string(row->bytes.begin(), row->bytes.end()) + "\n";
    }
    for (const auto& thing : {*parse_id(Bench::pen), *parse_id(Bench::cartridge), pen_of_noor}) {
      const auto owner = claims::owner_of(tx, thing).value();
      out += "claim " + (owner ? to_text(*owner) : "nobody's") + "\n";
    }
    return {};
  }));
  return out;
}

// How long each journal is: identities that chance gives differ from run to run.
std::vector<std::uint64_t> versions(store::Store& store) {
  std::vector<std::uint64_t> out;
  EXPECT_TRUE(store.read([&](store::ReadTx& tx) -> Result<void> {
    out.clear();
    const auto journals = tx.journals();
    for (const auto& info : *journals)
      if (info.version > 0) out.push_back(info.version);
    return {};
  }));
  return out;
}

struct Done {
  std::string written;
  std::vector<std::uint64_t> versions;
};

Done done(const Act& act) {
  Before on;
  act.prepare(on);
  EXPECT_EQ(act.run(on).code, "") << act.name;
  return {written(on.bench.store(), act), versions(on.bench.store())};
}

// One run with the n-th call failing. False: the act has no n-th call.
bool fails_cleanly(const Act& act, std::uint64_t n, Fault fault, Lasts lasts,
                   const Done& expected) {
  Before on;
  act.prepare(on);
  const auto before = written(on.bench.store(), act);
  on.bench.faults().fail_at(n, fault, lasts);
  const auto error = act.run(on);
  const bool struck = on.bench.faults().calls >= n;
  on.bench.faults().end();
  if (!struck) return false;

  const auto after = written(on.bench.store(), act);
  if (error.code.empty()) {
    EXPECT_EQ(after, expected.written) << "done, as was said";
  } else {
    const bool known = fault == Fault::error ? error.code == tests::Faults::code
                                             : error.code == codes::incident ||
                                                   error.code == codes::incident_of_nobody;
    EXPECT_TRUE(known) << error.code;
    EXPECT_EQ(error.kind, Kind::unavailable);
    EXPECT_TRUE(after == before || after == expected.written) << "half-written: " << after;
  }

  // A broken promise closes its journal until verify has passed.
  const auto verified = on.desk().verify({});
  EXPECT_TRUE(verified && verified->clean());
  const auto again = act.run(on);
  EXPECT_EQ(again.code, "") << words::english().say(again).what;
  EXPECT_EQ(versions(on.bench.store()), expected.versions) << "done once";
  const auto checked = on.desk().verify({});
  EXPECT_TRUE(checked && checked->clean());
  // What this desk keeps in memory is what a new one reads.
  const auto other = on.bench.another_desk();
  for (const auto* target : {"/api/people", "/api/stock"}) {
    const auto here = Bench::must(on.bench.page(target));
    EXPECT_EQ(json::to_text(here), json::to_text(Bench::must(tests::read_page(*other, target))));
    EXPECT_EQ(here.find("left_out"), nullptr);
  }
  return true;
}

class DeskEveryFault : public testing::TestWithParam<std::size_t> {};

TEST_P(DeskEveryFault, H21_AnActIsDoneOrNothingOfItIs) {
  const auto& act = acts()[GetParam()];
  const auto expected = done(act);
  constexpr std::pair<Fault, Lasts> faults[] = {{Fault::error, Lasts::once},
                                                {Fault::error, Lasts::for_ever},
                                                {Fault::broken_promise, Lasts::once},
                                                {Fault::exception, Lasts::for_ever}};
  for (const auto& [fault, lasts] : faults) {
    std::uint64_t n = 1;
    for (; n < 500 && !HasFailure(); ++n) {
      SCOPED_TRACE(std::string(act.name) + ", call " + std::to_string(n) + ", fault " +
                   std::to_string(static_cast<int>(fault)) +
                   (lasts == Lasts::once ? ", once" : ", for ever"));
      if (!fails_cleanly(act, n, fault, lasts, expected)) break;
    }
    EXPECT_GT(n, 2U) << "no call was ever struck";
  }
}

INSTANTIATE_TEST_SUITE_P(Acts, DeskEveryFault, testing::Range<std::size_t>(0, acts().size()),
                         [](const testing::TestParamInfo<std::size_t>& act) {
                           std::string name = acts()[act.param].name;
                           std::erase_if(name,
                                         [](char c) { return c == ' ' || c == ',' || c == '\''; });
                           std::ranges::replace(name, '-', '_');
                           return name;
                         });

TEST(DeskFirstStart, H21_AnEmptyStoreBecomesAClinicOnceWhateverFails) {
  for (const auto lasts : {Lasts::once, Lasts::for_ever}) {
    for (std::uint64_t n = 1; n < 100; ++n) {
      const auto store = store::make_memory_store();
      tests::FaultyStore faulty(*store);
      faulty.faults.fail_at(n, Fault::error, lasts);
      Bench lends;  // the other ports
      const auto first = lends.open_on(faulty);
      const bool struck = faulty.faults.calls >= n;
      faulty.faults.end();
      if (!struck) {
        EXPECT_GT(n, 2U);
        break;
      }
      ASSERT_FALSE(first);
      EXPECT_EQ(first.error().code, tests::Faults::code);
      const auto again = lends.open_on(faulty);
      ASSERT_TRUE(again);
      EXPECT_EQ(store->verify(store::Marks::leave, {})->journals.size(), 1U);
    }
  }
}

}  // namespace
}  // namespace penstock::desk
