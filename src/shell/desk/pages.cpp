// Pages: what a row needs is loaded here, and its pure function writes the document.
#include "edge/pages/pages.hpp"

#include <algorithm>

#include "edge/pages/journal/journal.hpp"
#include "shell/claims/claims.hpp"
#include "shell/desk/desk.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/names/names.hpp"

namespace penstock::desk {
namespace {

using pages::Needs;

// `people`: a row that is in memory already is not unpacked again. What is asked of it here follows
// from the journal alone: of the same version it is the same.
Result<pages::Tagged> with_tag(store::ReadTx& tx, const std::string& tag,
                               const summary::People& people) {
  const auto journals = tx.tagged(tag);
  if (!journals) return journals.error();
  pages::Tagged out;
  for (const auto& journal : *journals) {
    const auto stored = tx.summary(journal);
    if (!stored) return stored.error();
    if (!stored->has_value()) continue;
    auto listed = people.share(journal);
    if (listed != nullptr && listed->version == (*stored)->journal_version) {
      out.rows.push_back(std::move(listed));
      continue;
    }
    auto row = summary::unpack(journal, (*stored)->journal_version, (*stored)->bytes);
    if (!row) {
      ++out.unreadable;
    } else if (!row->full_name.empty()) {
      out.rows.push_back(std::make_shared<const summary::Row>(*std::move(row)));
    }
  }
  return out;
}

// Whose row breaks the work, found by halves; at most `most` of them.
template <class Work>
void find_who_breaks(std::vector<summary::Row> some, std::size_t most, const Work& work,
                     std::vector<BrokenJournal>& found) {
  if (found.size() >= most) return;
  try {
    static_cast<void>(work({std::make_shared<const summary::People>(some), true}));
    return;
  } catch (const BrokenJournal&) {
    // says itself whose it is
    if (some.size() <= 1) return;
  } catch (const BrokenPromise& promise) {
    if (some.empty()) return;
    if (some.size() == 1) {
      found.push_back({some.front().person, promise});
      return;
    }
  }
  const auto half = some.begin() + std::ssize(some) / 2;
  find_who_breaks({some.begin(), half}, most, work, found);
  find_who_breaks({half, some.end()}, most, work, found);
}

// What breaks without anybody, with everybody, with no row alone, or with too many, is the work's
// own fault: nobody.
template <class Work>
std::vector<BrokenJournal> who_breaks(const summary::People& people, const Work& work,
                                      std::size_t most) {
  try {
    static_cast<void>(work({std::make_shared<const summary::People>(), true}));
  } catch (const BrokenPromise&) {
    return {};
  }
  std::vector<BrokenJournal> found;
  find_who_breaks({people.begin(), people.end()}, most + 1, work, found);
  const bool all = people.size() > 1 && found.size() == people.size();
  if (all || found.size() > most) found.clear();
  return found;
}

}  // namespace

Result<json::Value> Desk::Inside::page(const pages::Row& row, const pages::Given& given,
                                       const Caller& caller, const Waiting& waiting,
                                       const OnProposed& proposed) {
  const Wanted page{row, given, caller, waiting, proposed};
  const auto work = [&](const Among& among) {
    Id whose;
    return about(whose, [&] { return write_page(page, among, whose); });
  };
  const bool is_list = has(row.needs, Needs::everybody) || has(row.needs, Needs::lots);
  if (is_list && !has(row.needs, Needs::person)) return over_everybody(work, caller, waiting);
  Among among;
  if (is_list) {
    auto all = everybody(waiting);
    if (!all) return all.error();
    among.people = std::move(all->people);
  }
  return work(among);
}

Result<json::Value> Desk::Inside::over_everybody(const PageOf& work, const Caller& caller,
                                                 const Waiting& waiting) {
  std::vector<summary::Row> without;  // those that broke in this request
  const auto leave_out = [&](const summary::People& people, const BrokenJournal& broken) {
    if (without.size() >= left_out_max) return false;
    auto row = rows.leave_out(people, broken.journal, broken.promise);
    if (row) without.push_back(*std::move(row));
    return row.has_value();
  };
  for (;;) {
    auto all = everybody(waiting);
    if (!all) return all.error();
    auto people = std::move(all->people);
    if (!without.empty()) people = std::make_shared<const summary::People>(people->with(without));
    for (const auto& row : without) all->left_out.push_back(row.person);
    const bool incomplete = !all->left_out.empty() || all->missing.records > 0;
    try {
      auto document = work({people, false, incomplete});
      if (!document || !incomplete) return document;
      json::add(*document, "left_out",
                text(pages::left_out_text(caller.words, *people, all->left_out, all->missing)));
      return document;
    } catch (const BrokenJournal& broken) {
      if (!leave_out(*people, broken)) throw;
    } catch (const BrokenPromise&) {
      bool any = false;
      for (const auto& broken : who_breaks(*people, work, left_out_max))
        any = leave_out(*people, broken) || any;
      if (!any) throw;
    }
  }
}

Result<json::Value> Desk::Inside::write_page(const Wanted& page, const Among& among, Id& whose) {
  const auto& row = page.row;
  INVARIANT(row.document != nullptr);
  // F2: what breaks in work over everybody is not the clinic's fault, and must not close its stock.
  if (has(row.needs, Needs::clinic) && !has(row.needs, Needs::everybody) &&
      !has(row.needs, Needs::lots)) {
    whose = clinic()->journal;
  }
  ChartPtr chart;
  if (has(row.needs, Needs::person)) {
    whose = page.given.id("id").value_or(Id{});
    auto found = person(whose, row.of_closed ? Closed::given : Closed::refused);
    if (!found) return found.error();
    chart = *std::move(found);
  }
  if (among.people == nullptr) {
    if (const auto fresh = refresh_clinic(); !fresh) return fresh.error();
  }
  const auto state = clinic();
  pages::Asked asked{
      .clinic = *state, .caller = page.caller, .given = page.given, .person = chart.get()};
  if (among.people != nullptr) asked.people = *among.people;
  asked.incomplete = among.incomplete;
  if (has(row.needs, Needs::pictures)) {
    auto found = pictures_of(whose);
    if (!found) return found.error();
    asked.pictures = *std::move(found);
  }
  if (has(row.needs, Needs::elsewhere)) {
    const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
      auto found = claims::elsewhere(tx, whose);
      if (!found) return found.error();
      asked.elsewhere = *std::move(found);
      return {};
    });
    if (!read) return read.error();
  }
  asked.new_id = [&] {
    const auto made = ports.new_id();
    if (page.proposed) page.proposed(made);
    return made;
  };
  asked.stopped = [&page] { return page.waiting.stop.stop_requested(); };
  asked.zone = ports.zone;
  asked.zone_names = ports.zone_names;
  asked.program = ports.program;
  asked.folded = names::folded;
  asked.chart = [&](Id id) {
    whose = id;
    return person(id, Closed::refused);
  };
  asked.month = [&](LocalDay today, std::int32_t days_ahead) {
    return months.needs({among.people, state->closed, today, days_ahead}, page.waiting,
                        [&](const auto& broken) { leave_out_and_throw(*among.people, broken); });
  };
  return has(row.needs, Needs::lots) ? in_one_moment(row, asked, among) : row.document(asked);
}

Result<json::Value> Desk::Inside::in_one_moment(const pages::Row& row, pages::Asked& asked,
                                                const Among& among) {
  json::Value document;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    asked.tagged = [&](const std::string& tag) {
      auto found = with_tag(tx, tag, *among.people);
      if (found) {
        std::erase_if(found->rows, [&](const summary::RowPtr& one) {
          const auto* listed = among.people->find(one->person);
          return listed == nullptr ? among.is_trial : !listed->left_out.empty();
        });
      }
      return found;
    };
    auto written = row.document(asked);
    if (!written) return written.error();
    document = *std::move(written);
    return {};
  });
  if (!read) return read.error();
  return document;
}

// All of them at once: whoever goes on without the first finds the others gone. Too many are the
// cover's fault, and nobody's.
void Desk::Inside::leave_out_and_throw(const summary::People& people,
                                       const std::vector<BrokenJournal>& broken) {
  if (broken.size() > left_out_max) throw BrokenJournal{{}, broken.front().promise};
  for (const auto& one : broken)
    static_cast<void>(rows.leave_out(people, one.journal, one.promise));
  throw broken.front();
}

Result<json::Value> Desk::Inside::written_since(Id id, std::uint64_t version) {
  const auto person = this->person(id);
  if (!person) return person.error();
  return pages::written_since(**person, *clinic(), caller(), version);
}

}  // namespace penstock::desk
