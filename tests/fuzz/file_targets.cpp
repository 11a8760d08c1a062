// Files that come from elsewhere: a diary, a journal, a store that somebody or a bad disk changed.
#include <algorithm>
#include <fstream>
#include <map>
#include <set>

#include "core/chart/chart.hpp"
#include "core/facts/list.hpp"
#include "core/journal/journal.hpp"
#include "edge/diary/diary.hpp"
#include "edge/json/json.hpp"
#include "edge/summary/summary.hpp"
#include "edge/wire/fact_json.hpp"
#include "edge/wire/journal_file.hpp"
#include "fuzz/targets.hpp"
#include "shell/disk/disk.hpp"
#include "shell/store/store.hpp"
#include "support/random_journal.hpp"
#include "support/store_kit.hpp"

namespace penstock::fuzz {
namespace {

using Inputs = std::vector<std::string>;
using Name = std::string_view;

constexpr Id person{9, 9};
const Instant now = parse_when("2027-12-01T12:00Z")->at;

// ---- diaries

using Known = std::map<Id, journal::Fact>;

diary::DiaryContext at_home(const Known& known) {
  diary::DiaryContext context;
  context.journal = person;
  context.full_name = "Noor Haddad";
  context.number = "1042";
  context.zone = berlin();
  context.now = now;
  context.author = "Maren Holt";
  context.cartridge = [](std::string_view name,
                         const When&) -> std::optional<diary::DiaryCartridge> {
    if (name == "1" || name == "A") return diary::DiaryCartridge{{7, 1}, {8, 1}};
    return std::nullopt;
  };
  context.known = [&known](const Id& id) -> const journal::Fact* {
    const auto found = known.find(id);
    return found == known.end() ? nullptr : &found->second;
  };
  context.digest = store::sha256;
  return context;
}

void run_diary(Name, std::string_view input) {
  Known known;
  const auto preview = diary::preview_diary(input, at_home(known));
  if (!preview) return law_of_refusal(preview.error());
  for (const auto& bad : preview->bad) law_of_refusal(bad.error);
  const auto accepted =
      diary::accept_diary(*preview, at_home(known), "diary.csv", berlin().when(now),
                          {diary::AskedRows::bring_in, diary::AskedRows::bring_in});
  law(accepted.has_value() == preview->acceptable(), "a preview that says otherwise");
  if (!accepted) return law_of_refusal(accepted.error());
  std::vector<journal::Fact> facts;
  for (const auto& fact : *accepted) {
    law(journal::checked(fact).has_value(), "an accepted row is no fact");
    law(known.emplace(fact.id, fact).second, "two rows are one fact");
    facts.push_back(fact);
  }
  const auto again = diary::preview_diary(input, at_home(known));
  law(again && again->fresh.empty() && again->acceptable(), "the same file is not known");
  const auto written = diary::write_diary(facts, [](const Id&) { return "1"; });
  const auto back = diary::preview_diary(written, at_home(known));
  law(back && back->acceptable(), "a diary that was written is not accepted: " + written);
}

Inputs diary_seeds(Name) {
  return {
      "time,what,units,cartridge,zone,spot,note\n2027-03-01T21:30,note,,,,,Felt well\n"
      "2027-03-01T22:00,injected,22,1,,,\n2027-03-28T02:30,injected,22,A,,,\n",
      "# person Noor Haddad\ntime,what,units,cartridge\n2027-10-31T02:30+01:00,primed,2,1\n"};
}

// ---- journal files

// A constant, so that a changed file is still read: whether the digest is compared is the unit
// tests' business.
Digest no_digest(std::span<const std::uint8_t>) { return Digest{}; }

wire::JournalFile file_of(std::vector<journal::Fact> facts) {
  wire::JournalFile file;
  file.journal = person;
  file.chain_version = facts.size();
  file.chain_head = std::string(64, 'a');
  file.facts = std::move(facts);
  return file;
}

// All folds, and what lists know of the person.
void law_of_folds(const wire::JournalFile& file) {
  auto begun = chart::begin(file.journal, file.facts.size(), Digest{}, file.facts, {});
  const auto chart = chart::finish(std::move(begun), berlin(), {berlin()});
  const chart::Clinic clinic;
  auto row = summary::row_of(*chart, clinic);
  const auto packed = summary::pack(row);
  const auto back = summary::unpack(row.person, row.version, packed.bytes);
  law(back && summary::pack(*back).bytes == packed.bytes, "a summary row does not come back");
  const auto mixed = std::vector<journal::Fact>(file.facts.rbegin(), file.facts.rend());
  auto turned = chart::begin(file.journal, file.facts.size(), Digest{}, mixed, {});
  const auto other =
      summary::row_of(*chart::finish(std::move(turned), berlin(), {berlin()}), clinic);
  law(summary::pack(other).bytes == packed.bytes, "the order in which facts came counts");
}

void run_journal_file(Name, std::string_view input) {
  const auto file = wire::read_journal_file(input, no_digest);
  if (!file) return law_of_refusal(file.error());
  const auto text = wire::write_journal_file(*file, no_digest);
  const auto again = wire::read_journal_file(text, no_digest);
  law(again && again->facts == file->facts && again->journal == file->journal,
      "a journal does not come back from its file");
  if (file->subject == wire::JournalSubject::person) law_of_folds(*file);
}

Inputs journal_seeds(Name) {
  std::vector<journal::Fact> facts;
  for (std::size_t i = 0; i < facts::kinds.size(); ++i) {
    auto draft = wire::draft_from_json(*wire::kind_example(facts::kinds[i].name));
    if (!draft || facts::kinds[i].is_of_clinic) continue;
    journal::Fact fact;
    fact.id = {3, i + 1};
    fact.journal = person;
    fact.happened = draft->happened.value_or(When{now, 60});
    fact.recorded = now;
    fact.author = "Maren Holt";
    fact.source = "bench";
    fact.payload = std::move(draft->payload);
    facts.push_back(std::move(fact));
  }
  Inputs all{wire::write_journal_file(file_of(facts), no_digest)};
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    random_journal::Dice dice(seed);
    all.push_back(wire::write_journal_file(file_of(random_journal::wild_journal(dice.bits(), 30)),
                                           no_digest));
  }
  return all;
}

// ---- a store whose file was changed

constexpr std::uint64_t journals = 3;
constexpr std::uint64_t facts_each = 12;

const std::string& good_store() {
  static const std::string bytes = [] {
    const store::kit::Folder folder(store::kit::Place::memory);
    const auto path = folder / "good.penstock";
    {
      auto opened = store::open_sqlite({.path = path});
      law(opened.has_value(), "a new store does not open");
      const auto written = (*opened)->write([](store::WriteTx& tx) -> Result<void> {
        for (std::uint64_t n = 1; n <= journals; ++n) {
          const auto journal = store::kit::person(n);
          if (auto made = tx.create_journal(journal, store::Subject::person); !made) return made;
          const auto facts = store::kit::facts(n * 100, facts_each);
          if (const auto put = tx.append(journal, facts, std::nullopt); !put) return put.error();
          const std::vector<std::string> tags{"lot H0000"};
          if (auto put = tx.put_tags(journal, tags); !put) return put;
        }
        return {};
      });
      law(written.has_value(), "a new store cannot be written");
    }
    std::ifstream file(path, std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(file), {});
  }();
  return bytes;
}

// An input is a list of changes: where (three bytes), how many, and the bytes themselves. Zero of
// them: the file ends there.
std::string damaged(std::string_view changes) {
  auto file = good_store();
  while (changes.size() >= 4) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(changes[i]); };
    const auto at =
        (byte(0) + byte(1) * 256U + byte(2) * 65'536U) % std::max<std::size_t>(file.size(), 1);
    const std::size_t many = byte(3) % 64U;
    changes.remove_prefix(4);
    const auto bytes = changes.substr(0, many);
    if (many == 0) file.resize(at);
    for (std::size_t i = 0; i < bytes.size() && at + i < file.size(); ++i) file[at + i] = bytes[i];
    changes.remove_prefix(bytes.size());
  }
  return file;
}

// What is read was written: by a store that says of itself that it holds, or not at all.
void law_of_store(store::Store& store) {
  const auto verified = store.verify(store::Marks::leave, [](const store::Progress&) {});
  const bool is_clean = verified && verified->clean();
  std::set<std::vector<std::uint8_t>> written;
  for (std::uint64_t n = 1; n <= journals; ++n) {
    for (const auto& fact : store::kit::facts(n * 100, facts_each)) written.insert(fact.bytes);
  }
  static_cast<void>(store.read([&](store::ReadTx& tx) -> Result<void> {
    for (std::uint64_t n = 1; n <= journals; ++n) {
      const auto loaded = tx.load(store::kit::person(n));
      if (!loaded) continue;
      for (const auto& fact : *loaded) {
        const bool is_ours =
            fact.erased || written.contains({fact.bytes.begin(), fact.bytes.end()});
        law(!is_clean || is_ours, "verify passes what nobody wrote");
      }
    }
    static_cast<void>(tx.journals());
    static_cast<void>(tx.summaries({}));
    static_cast<void>(tx.tagged("lot H0000"));
    return {};
  }));
}

void run_store_file(Name, std::string_view input) {
  static const store::kit::Folder folder(store::kit::Place::memory);
  const auto path = folder / "damaged.penstock";
  for (const auto* ending : {"", "-wal", "-shm", "-journal"}) {
    std::filesystem::remove(path.string() + ending);
  }
  {
    std::ofstream file(path, std::ios::binary);
    file << damaged(input);
  }
  const auto opened = store::open_sqlite({.path = path});
  if (!opened) return law_of_refusal(opened.error());
  law_of_store(**opened);
}

Inputs store_seeds(Name) {
  using namespace std::string_literals;
  return {""s, "\x10\0\0\x02\x40\0"s, "\x64\x00\x00\x04\x0d\0\0\0"s, "\0\x10\0\0"s,
          "\0\0\x01\x01\xFF"s};
}

}  // namespace

std::vector<Target> file_targets() {
  using enum Shape;
  return {{"diary", bytes, 8'000, diary_seeds, run_diary},
          {"journal-file", json, 800, journal_seeds, run_journal_file},
          {"store-file", bytes, 400, store_seeds, run_store_file}};
}

}  // namespace penstock::fuzz
