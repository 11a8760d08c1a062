// Pages: what a row needs is loaded here, and its pure function writes the document.
#include "edge/pages/pages.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <optional>
#include <thread>

#include "edge/pages/journal/journal.hpp"
#include "shell/desk/desk.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/names/names.hpp"

namespace penstock::desk {
namespace {

using pages::Needs;

Result<pages::Tagged> with_tag(store::ReadTx& tx, const std::string& tag) {
  const auto journals = tx.tagged(tag);
  if (!journals) return journals.error();
  pages::Tagged out;
  for (const auto& journal : *journals) {
    const auto stored = tx.summary(journal);
    if (!stored) return stored.error();
    if (!stored->has_value()) continue;
    auto row = summary::unpack(journal, (*stored)->journal_version, (*stored)->bytes);
    if (!row) {
      ++out.unreadable;
    } else if (!row->full_name.empty()) {
      out.rows.push_back(*std::move(row));
    }
  }
  return out;
}

// Cover of everybody, on as many threads as the machine has: rows do not depend on each other.
// Nothing: nobody waits for it any more.
std::optional<std::vector<pages::Wants>> wants_of_all(
    const std::vector<const summary::Row*>& people, const supply::ClosedDays& closed,
    LocalDay today, std::int32_t days_ahead, const Waiting& waiting) {
  std::vector<pages::Wants> out(people.size());
  std::atomic<std::size_t> next{0}, done{0};
  std::exception_ptr broken;
  std::mutex guard;
  const auto work = [&](bool says) {
    constexpr std::size_t at_once = 32;
    try {
      for (auto from = next.fetch_add(at_once);
           from < people.size() && !waiting.stop.stop_requested(); from = next.fetch_add(at_once)) {
        const auto to = std::min(people.size(), from + at_once);
        for (auto i = from; i < to; ++i)
          out[i] = pages::wants_of(*people[i], closed, today, days_ahead);
        const auto so_far = done.fetch_add(to - from) + (to - from);
        if (says && waiting.progress) waiting.progress(so_far, people.size());
      }
    } catch (...) {
      const std::lock_guard lock(guard);
      if (!broken) broken = std::current_exception();
    }
  };
  {
    std::vector<std::jthread> others;
    const auto threads = std::clamp(std::thread::hardware_concurrency(), 1U, 8U);
    for (unsigned i = 1; i < threads; ++i) others.emplace_back(work, false);
    work(true);
  }
  if (broken) std::rethrow_exception(broken);
  if (waiting.stop.stop_requested()) return std::nullopt;
  if (waiting.progress) waiting.progress(people.size(), people.size());
  return out;
}

}  // namespace

Result<json::Value> Desk::Inside::page(const pages::Row& row, const pages::Given& given,
                                       const Caller& caller, const Waiting& waiting) {
  Id whose;
  return about(whose, [&] { return write_page(row, given, caller, waiting, whose); });
}

Result<json::Value> Desk::Inside::write_page(const pages::Row& row, const pages::Given& given,
                                             const Caller& caller, const Waiting& waiting,
                                             Id& whose) {
  INVARIANT(row.document != nullptr);
  // F2: what breaks in work over everybody is not the clinic's fault, and must not close its stock.
  if (has(row.needs, Needs::clinic) && !has(row.needs, Needs::everybody) &&
      !has(row.needs, Needs::lots)) {
    whose = clinic()->journal;
  }
  ChartPtr chart;
  if (has(row.needs, Needs::person)) {
    whose = given.id("id").value_or(Id{});
    auto found = person(whose);
    if (!found) return found.error();
    chart = *std::move(found);
  }
  Rows rows;
  if (has(row.needs, Needs::everybody)) {
    auto everybody = people();
    if (!everybody) return everybody.error();
    rows = *std::move(everybody);
  } else if (chart == nullptr) {
    if (const auto fresh = refresh_clinic(); !fresh) return fresh.error();
  }
  const auto state = clinic();
  pages::Asked asked{.clinic = *state, .caller = caller, .given = given, .person = chart.get()};
  if (rows != nullptr) asked.people = *rows;
  if (has(row.needs, Needs::pictures)) {
    auto kept = kept_pictures(whose);
    if (!kept) return kept.error();
    asked.pictures = *std::move(kept);
  }
  asked.new_id = ports.new_id;
  asked.zone = ports.zone;
  asked.zone_names = ports.zone_names;
  asked.program = ports.program;
  asked.folded = names::folded;
  asked.chart = [&](Id id) {
    whose = id;
    return person(id);
  };
  asked.wants_in_month = [&](LocalDay today, std::int32_t days_ahead) {
    return wants_in_month(rows, {nullptr, state->closed, today, days_ahead, {}}, waiting);
  };
  return has(row.needs, Needs::lots) ? in_one_moment(row, asked) : row.document(asked);
}

Result<json::Value> Desk::Inside::in_one_moment(const pages::Row& row, pages::Asked& asked) {
  json::Value document;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    asked.tagged = [&tx](const std::string& tag) { return with_tag(tx, tag); };
    auto written = row.document(asked);
    if (!written) return written.error();
    document = *std::move(written);
    return {};
  });
  if (!read) return read.error();
  return document;
}

// Rows that are the same as in an earlier answer for the same days are not looked at again.
Result<std::vector<pages::Wants>> Desk::Inside::wants_in_month(const Rows& people,
                                                               const Month& asked,
                                                               const Waiting& waiting) {
  const std::lock_guard lock(months_mutex);
  const auto before = std::ranges::find_if(months, [&](const Month& one) {
    return one.closed == asked.closed && one.today == asked.today &&
           one.days_ahead == asked.days_ahead;
  });
  std::vector<pages::Wants> wants(people->size());
  std::vector<const summary::Row*> changed;
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < people->size(); ++i) {
    const auto& row = (*people)[i];
    const auto place = before == months.end() ? std::nullopt : before->people->place_of(row.person);
    if (place && &(*before->people)[*place] == &row) {
      wants[i] = before->wants[*place];
    } else {
      changed.push_back(&row);
      places.push_back(i);
    }
  }
  auto fresh = wants_of_all(changed, asked.closed, asked.today, asked.days_ahead, waiting);
  if (!fresh) return Error{Kind::unavailable, std::string(codes::stopped), {}, ""};
  for (std::size_t i = 0; i < places.size(); ++i) wants[places[i]] = std::move((*fresh)[i]);
  if (before != months.end()) months.erase(before);
  months.push_front({people, asked.closed, asked.today, asked.days_ahead, wants});
  if (months.size() > months_max) months.pop_back();
  return wants;
}

Result<json::Value> Desk::Inside::written_since(Id id, std::uint64_t version) {
  const auto person = this->person(id);
  if (!person) return person.error();
  return pages::written_since(**person, *clinic(), caller(), version);
}

}  // namespace penstock::desk
