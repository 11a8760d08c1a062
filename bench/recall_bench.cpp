// Is it known within a second whom a lot reached, in a clinic of 100'000 people?
//
// A SQLite store with 100'000 people: three dispensings each, two cartridges loaded, injections
// from both; a lot that reached 200 of them. Asked as the page asks: names, numbers, what is sealed
// and in use, what was injected. Budget: one second. Beside it the same lot looked up in a table of
// dispensings with an index on the lot, as everybody would make it, and without one (a spreadsheet
// kept in SQLite), in the same run: they say who was given something, and nothing of what is left.
// And a clinic's own journal of 200'000 movements.
#include <benchmark/benchmark.h>
#include <sqlite3.h>

#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>

#include "core/stock/stock.hpp"
#include "edge/wire/fact_codec.hpp"
#include "shell/desk/desk.hpp"
#include "shell/disk/disk.hpp"

namespace penstock {
namespace {

using namespace journal;
using std::chrono::days;
using std::chrono::hours;

constexpr std::uint64_t people = 100'000;
constexpr std::uint64_t a_lot_reaches = 200;
constexpr Instant start{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1}};

std::string lot_of(std::uint64_t person, int time) {
  return "L" + std::to_string((person * 3 + static_cast<std::uint64_t>(time)) %
                              (people * 3 / a_lot_reaches));
}

class Clinic {
 public:
  Clinic() : folder_(std::filesystem::temp_directory_path() / "penstock-recall-bench") {
    std::filesystem::remove_all(folder_);
    std::filesystem::create_directories(folder_);
    store_ = std::move(*store::open_sqlite({.path = folder_ / "clinic"}));
    desk::Ports ports;
    ports.store = store_.get();
    ports.now = [] { return start + days{60}; };
    ports.zone = [](std::string_view name) -> Result<ZoneRules> {
      return ZoneRules{std::string(name), {}};
    };
    ports.zone_names = [] { return std::vector<std::string>{}; };
    ports.new_id = [this] { return Id{0xBE7C, ++ids_}; };
    desk_ = std::move(*desk::Desk::open(std::move(ports)));
    for (std::uint64_t n = 0; n < people; n += 1'000) write_people(n, n + 1'000);
    static_cast<void>(desk_->rebuild_summaries({}, desk_->caller()));
    write_table();
  }
  ~Clinic() {
    sqlite3_close(table_);
    desk_.reset();
    store_.reset();
    std::filesystem::remove_all(folder_);
  }
  Clinic(const Clinic&) = delete;
  Clinic& operator=(const Clinic&) = delete;

  desk::Desk& desk() { return *desk_; }
  sqlite3* table() { return table_; }

 private:
  Fact fact(Id journal, Instant at, Payload payload) {
    Fact out;
    out.id = {0xFAC7, ++ids_};
    out.journal = journal;
    out.happened = {at, 0};
    out.recorded = at;
    out.author = "Ines Falk";
    out.source = "bench";
    out.payload = std::move(payload);
    return out;
  }

  std::vector<Fact> facts_of(std::uint64_t n) {
    const Id journal{0x9E0, n};
    const auto* insulin = shelf_.insulin("glargine-100");
    const auto* pen = shelf_.pen("reusable-whole-60");
    const Id pen_id{0x9E1, n};
    std::vector<Fact> out;
    PersonRegistered who;
    who.full_name = "Person " + std::to_string(n);
    who.number = "N" + std::to_string(n);
    who.zone = "UTC";
    out.push_back(fact(journal, start, who));
    out.push_back(
        fact(journal, start + hours{1},
             PenGiven{pen_id, pen->thing, insulin->thing.name, insulin->thing.strength, ""}));
    const auto content = Units::from_hundredths(30'000).value();
    for (int time = 0; time < 3; ++time) {
      const auto day = start + days{time * 15} + hours{2};
      out.push_back(fact(journal, day,
                         SuppliesGiven{insulin->thing.name, insulin->thing.strength, content, 2, 0,
                                       lot_of(n, time), std::nullopt}));
      if (time == 2) break;
      const Id cartridge{0x9E2, n * 2 + static_cast<std::uint64_t>(time)};
      out.push_back(fact(journal, day + hours{1},
                         CartridgeLoaded{cartridge, pen_id, insulin->thing, content, content,
                                         pen->thing.fits, true, lot_of(n, time), std::nullopt}));
      for (int dose = 0; dose < 4; ++dose) {
        Injected given;
        given.cartridge = cartridge;
        given.units = Units::from_hundredths(2'200).value();
        out.push_back(fact(journal, day + days{dose} + hours{10}, given));
      }
    }
    return out;
  }

  void write_people(std::uint64_t from, std::uint64_t to) {
    const auto written = store_->write([&](store::WriteTx& tx) -> Result<void> {
      for (auto n = from; n < to; ++n) {
        const Id journal{0x9E0, n};
        if (auto made = tx.create_journal(journal, store::Subject::person); !made) return made;
        std::vector<store::NewFact> packed;
        for (const auto& one : facts_of(n)) {
          packed.push_back({one.id, type_of(one.payload), 1, one.recorded, wire::encode(one)});
        }
        if (auto done = tx.append(journal, packed, std::nullopt); !done) return done.error();
      }
      return {};
    });
    if (!written) std::fprintf(stderr, "%s\n", written.error().code.c_str());
  }

  void write_table() {
    sqlite3_open((folder_ / "table").c_str(), &table_);
    run("CREATE TABLE given (person TEXT, number TEXT, lot TEXT, pieces INTEGER); BEGIN");
    sqlite3_stmt* insert = nullptr;
    sqlite3_prepare_v2(table_, "INSERT INTO given VALUES (?, ?, ?, 2)", -1, &insert, nullptr);
    for (std::uint64_t n = 0; n < people; ++n) {
      for (int time = 0; time < 3; ++time) {
        const auto name = "Person " + std::to_string(n), number = "N" + std::to_string(n),
                   lot = lot_of(n, time);
        sqlite3_bind_text(insert, 1, name.c_str(), -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(insert, 2, number.c_str(), -1, SQLITE_TRANSIENT);
        sqlite3_bind_text(insert, 3, lot.c_str(), -1, SQLITE_TRANSIENT);
        sqlite3_step(insert);
        sqlite3_reset(insert);
      }
    }
    sqlite3_finalize(insert);
    run("COMMIT; CREATE TABLE indexed AS SELECT * FROM given; "
        "CREATE INDEX by_lot ON indexed (lot); ANALYZE");
  }
  void run(const char* sql) { sqlite3_exec(table_, sql, nullptr, nullptr, nullptr); }

  std::filesystem::path folder_;
  std::unique_ptr<store::Store> store_;
  std::unique_ptr<desk::Desk> desk_;
  shelf::Shelf shelf_ = make_shelf();
  std::uint64_t ids_ = 0;
  sqlite3* table_ = nullptr;

  static shelf::Shelf make_shelf() {
    shelf::Shelf out;
    shelf::Entry<shelf::Insulin> insulin;
    insulin.code = "glargine-100";
    insulin.thing.name = "insulin glargine";
    insulin.thing.strength = {100};
    insulin.thing.in_use_days = 28;
    out.insulins.push_back(std::move(insulin));
    shelf::Entry<shelf::Pen> pen;
    pen.code = "reusable-whole-60";
    pen.thing.name = "pen";
    pen.thing.step = Units::from_hundredths(100).value();
    pen.thing.most = Units::from_hundredths(6'000).value();
    pen.thing.fits = "fit A";
    out.pens.push_back(std::move(pen));
    return out;
  }
};

Clinic& clinic() {
  static Clinic made;
  return made;
}

void whom_a_lot_reached(benchmark::State& state) {
  auto& desk = clinic().desk();
  std::size_t found = 0;
  for (auto _ : state) {
    const auto page = desk.recall("l-7");
    found = page ? page->find("people")->members.size() : 0;
  }
  state.counters["people"] = static_cast<double>(found);
}
BENCHMARK(whom_a_lot_reached)->Unit(benchmark::kMillisecond)->UseRealTime();

void look_up(benchmark::State& state, const char* sql) {
  sqlite3_stmt* ask = nullptr;
  sqlite3_prepare_v2(clinic().table(), sql, -1, &ask, nullptr);
  std::size_t found = 0;
  for (auto _ : state) {
    found = 0;
    while (sqlite3_step(ask) == SQLITE_ROW) ++found;
    sqlite3_reset(ask);
  }
  sqlite3_finalize(ask);
  state.counters["people"] = static_cast<double>(found);
}

void the_same_lot_in_an_indexed_table(benchmark::State& state) {
  look_up(state,
          "SELECT person, number, sum(pieces) FROM indexed WHERE lot = 'L7' "
          "GROUP BY person, number ORDER BY person");
}
BENCHMARK(the_same_lot_in_an_indexed_table)->Unit(benchmark::kMillisecond)->UseRealTime();

void the_same_lot_in_a_plain_table(benchmark::State& state) {
  look_up(state,
          "SELECT person, number, sum(pieces) FROM given WHERE lot = 'L7' "
          "GROUP BY person, number ORDER BY person");
}
BENCHMARK(the_same_lot_in_a_plain_table)->Unit(benchmark::kMillisecond)->UseRealTime();

void a_clinics_movements_are_folded(benchmark::State& state) {
  std::vector<Fact> facts;
  constexpr std::uint64_t movements = 200'000;
  for (std::uint64_t n = 0; n < movements; ++n) {
    Fact fact;
    fact.id = {0x570C, n};
    fact.happened = {start + std::chrono::seconds{n * 60}, 0};
    const auto lot = "L" + std::to_string(n / 100);
    if (n % 100 == 0) {
      fact.payload = StockCame{"glargine-100-cartridge", 300, lot, std::nullopt, "", ""};
    } else {
      fact.payload = StockMoved{
          "glargine-100-cartridge", lot, 3, StockWay::handed_out, Id{1, n}, Id{2, n}, ""};
    }
    facts.push_back(std::move(fact));
  }
  for (auto _ : state) {
    auto stock = stock::fold(journal::read(facts));
    benchmark::DoNotOptimize(stock);
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(movements));
}
BENCHMARK(a_clinics_movements_are_folded)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
