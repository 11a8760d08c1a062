// The pages: what a page needs is loaded here, and a pure function writes it.
#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <optional>
#include <set>
#include <thread>

#include "edge/pages/journal/journal.hpp"
#include "edge/pages/person/person.hpp"
#include "edge/pages/phone/phone.hpp"
#include "edge/pages/sheets/sheets.hpp"
#include "edge/pages/shelf/shelf.hpp"
#include "edge/pages/skin/skin.hpp"
#include "edge/pages/stock/month.hpp"
#include "edge/pages/stock/recall.hpp"
#include "edge/pages/stock/scan.hpp"
#include "edge/pages/stock/stock.hpp"
#include "edge/pages/supplies/supplies.hpp"
#include "edge/pages/today/today.hpp"
#include "shell/desk/desk.hpp"
#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {
namespace {

Result<std::vector<summary::Row>> with_tag(store::ReadTx& tx, const std::string& tag,
                                           std::size_t& unreadable) {
  const auto journals = tx.tagged(tag);
  if (!journals) return journals.error();
  std::vector<summary::Row> out;
  for (const auto& journal : *journals) {
    const auto stored = tx.summary(journal);
    if (!stored) return stored.error();
    if (!stored->has_value()) continue;
    auto row = summary::unpack(journal, (*stored)->journal_version, (*stored)->bytes);
    if (!row) {
      ++unreadable;
    } else if (!row->full_name.empty()) {
      out.push_back(*std::move(row));
    }
  }
  return out;
}

// Cover of everybody, on as many threads as the machine has: rows do not depend on each other.
// Nothing: nobody waits for it any more.
std::optional<std::vector<pages::Wants>> wants_of_all(
    const std::vector<const summary::Row*>& people, const supply::ClosedDays& closed,
    LocalDay today, std::int32_t days_ahead, const OnPeople& progress,
    const std::stop_token& stop) {
  std::vector<pages::Wants> out(people.size());
  std::atomic<std::size_t> next{0}, done{0};
  std::exception_ptr broken;
  std::mutex guard;
  const auto work = [&](bool says) {
    constexpr std::size_t at_once = 32;
    try {
      for (auto from = next.fetch_add(at_once); from < people.size() && !stop.stop_requested();
           from = next.fetch_add(at_once)) {
        const auto to = std::min(people.size(), from + at_once);
        for (auto i = from; i < to; ++i)
          out[i] = pages::wants_of(*people[i], closed, today, days_ahead);
        const auto so_far = done.fetch_add(to - from) + (to - from);
        if (says && progress) progress(so_far, people.size());
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
  if (stop.stop_requested()) return std::nullopt;
  if (progress) progress(people.size(), people.size());
  return out;
}

}  // namespace

// ---- one person

Result<json::Value> Desk::person(Id id) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    const auto people = in_->people();
    if (!people) return people.error();
    return pages::person_page(**person, **people, *in_->clinic(), in_->caller(), in_->ports.new_id);
  });
}

Result<json::Value> Desk::journal(Id id, int page) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    const auto people = in_->people();
    if (!people) return people.error();
    return pages::journal_page(**person, **people, *in_->clinic(), in_->caller(), page);
  });
}

Result<json::Value> Desk::written_since(Id id, std::uint64_t version) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    return pages::written_since(**person, *in_->clinic(), in_->caller(), version);
  });
}

Result<json::Value> Desk::places(Id id) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    const auto people = in_->people();
    if (!people) return people.error();
    const auto pictures = in_->kept_pictures(id);
    if (!pictures) return pictures.error();
    return pages::places_page(**person, **people, *in_->clinic(), in_->caller(), *pictures);
  });
}

Result<json::Value> Desk::supplies(Id id) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    const auto people = in_->people();
    if (!people) return people.error();
    return pages::supplies_page(**person, **people, *in_->clinic(), in_->caller(),
                                in_->ports.new_id);
  });
}

Result<json::Value> Desk::steps(Id id, const pages::SheetQuery& query) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    return pages::steps_sheet(**person, *in_->clinic(), in_->caller(), query);
  });
}

Result<json::Value> Desk::place_plan(Id id, std::optional<LocalDay> from) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    return pages::place_plan_sheet(**person, *in_->clinic(), in_->caller(), from);
  });
}

Result<json::Value> Desk::trip(Id id, Id fact) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    const auto people = in_->people();
    if (!people) return people.error();
    ZoneRules there;
    if (const auto name = pages::trip_zone(**person, fact); !name.empty()) {
      auto zone = in_->ports.zone(name);
      if (!zone) return zone.error();
      there = *std::move(zone);
    }
    return pages::trip_sheet(**person, **people, *in_->clinic(), in_->caller(), fact, there);
  });
}

Result<json::Value> Desk::pen_test(Id id, Id fact) {
  return in_->guarded(id, [&]() -> Result<json::Value> {
    const auto person = in_->person(id);
    if (!person) return person.error();
    const auto people = in_->people();
    if (!people) return people.error();
    return pages::pen_test_sheet(**person, **people, *in_->clinic(), in_->caller(), fact);
  });
}

// ---- many people

Result<json::Value> Desk::clinic() {
  if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
  const auto zones = in_->ports.zone_names();
  return pages::clinic_page(*in_->clinic(), in_->caller(), zones, in_->ports.program);
}

Result<json::Value> Desk::today() {
  const auto people = in_->people();
  if (!people) return people.error();
  const auto recalls = in_->recalls_open();
  if (!recalls) return recalls.error();
  return pages::today_page(**people, *recalls, *in_->clinic(), in_->caller());
}

Result<json::Value> Desk::people(std::string_view query, int page) {
  const auto people = in_->people();
  if (!people) return people.error();
  return pages::people_page(**people, query, page, *in_->clinic(), in_->caller());
}

// Rows that are the same as in an earlier answer for the same days are not looked at again.
Result<std::vector<pages::Wants>> Desk::Inside::wants_in_month(const Rows& people,
                                                               const Month& asked,
                                                               const OnPeople& progress,
                                                               const std::stop_token& stop) {
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
  auto fresh = wants_of_all(changed, asked.closed, asked.today, asked.days_ahead, progress, stop);
  if (!fresh) return Error{Kind::unavailable, std::string(codes::stopped), {}, ""};
  for (std::size_t i = 0; i < places.size(); ++i) wants[places[i]] = std::move((*fresh)[i]);
  if (before != months.end()) months.erase(before);
  months.push_front({people, asked.closed, asked.today, asked.days_ahead, wants});
  if (months.size() > months_max) months.pop_back();
  return wants;
}

Result<json::Value> Desk::month(std::int32_t days_ahead, const OnPeople& progress,
                                const std::stop_token& stop) {
  if (const auto good = pages::check_month_days(days_ahead); !good) return good.error();
  return in_->guarded(in_->clinic()->journal, [&]() -> Result<json::Value> {
    const auto people = in_->people();
    if (!people) return people.error();
    const auto clinic = in_->clinic();
    const auto caller = in_->caller();
    const auto today = pages::now_at(*clinic, caller).day();
    const auto wants = in_->wants_in_month(
        *people, {nullptr, clinic->closed, today, days_ahead, {}}, progress, stop);
    if (!wants) return wants.error();
    return pages::month_page(**people, *wants, *clinic, caller, days_ahead);
  });
}

// ---- the clinic's stock and shelf

Result<json::Value> Desk::stock() {
  return in_->guarded(in_->clinic()->journal, [&]() -> Result<json::Value> {
    const auto people = in_->people();
    if (!people) return people.error();
    return pages::stock_page(**people, *in_->clinic(), in_->caller());
  });
}

Result<json::Value> Desk::shelf() {
  if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
  return pages::shelf_page(*in_->clinic(), in_->caller());
}

Result<pages::RecallFound> Desk::Inside::find_recalled(store::ReadTx& tx, const Clinic& clinic,
                                                       std::string_view key,
                                                       const stock::Recall* recall) {
  std::size_t unreadable = 0;
  const auto rows = with_tag(tx, summary::tag_of_lot(key), unreadable);
  if (!rows) return rows.error();
  auto found = pages::reached_by(clinic, key, recall, *rows);
  if (!found) return found.error();
  for (const auto& [insulin, strength] : found->kinds) {
    const supply::Kind kind{insulin, {strength}};
    const auto others = with_tag(tx, summary::tag_of_unknown_lot(kind), unreadable);
    if (!others) return others.error();
    const auto added = pages::add_unknown(*found, kind, recall, *others);
    if (!added) return added.error();
  }
  found->unreadable = unreadable;
  return found;
}

Result<std::vector<pages::OpenRecall>> Desk::Inside::recalls_open() {
  const auto state = clinic();
  std::vector<pages::OpenRecall> out;
  std::set<std::string> seen;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    out.clear();
    seen.clear();
    for (const auto& recall : state->stock.recalls) {
      if (!seen.insert(recall.key).second) continue;
      const auto* latest = state->stock.recall(recall.said.lot, "");
      const auto found = find_recalled(tx, *state, recall.key, latest);
      if (!found) return found.error();
      const auto waiting = pages::waiting_of(*found);
      if (waiting > 0) out.push_back({recall.said.lot, recall.key, waiting});
    }
    return {};
  });
  if (!read) return read.error();
  return out;
}

Result<json::Value> Desk::recall(std::string_view lot) {
  const auto key = stock::lot_key(lot);
  if (key.empty()) {
    return Error{Kind::invalid_input,
                 std::string(pages::codes::lot_unread),
                 {arg_text("text", lot)},
                 "/lot"};
  }
  return in_->guarded(in_->clinic()->journal, [&]() -> Result<json::Value> {
    if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
    const auto clinic = in_->clinic();
    pages::RecallFound found;
    const auto read = in_->ports.store->read([&](store::ReadTx& tx) -> Result<void> {
      auto got = in_->find_recalled(tx, *clinic, key, clinic->stock.recall(lot, ""));
      if (!got) return got.error();
      found = *std::move(got);
      return {};
    });
    if (!read) return read.error();
    return pages::recall_page(found, lot, *clinic, in_->caller(), in_->ports.new_id);
  });
}

Result<json::Value> Desk::scan(const json::Value& request) {
  std::string typed;
  std::optional<Id> id;
  json::Reader reader(request);
  reader.need("text", typed);
  reader.may("person", id);
  if (const auto done = reader.done(); !done) return done.error();
  return in_->guarded(id.value_or(in_->clinic()->journal), [&]() -> Result<json::Value> {
    if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
    ChartPtr person;
    if (id) {
      const auto found = in_->person(*id);
      if (!found) return found.error();
      person = *found;
    }
    return pages::scan_answer(typed, person.get(), *in_->clinic(), in_->caller());
  });
}

// ---- the phone desk

Result<json::Value> Desk::phone_form() {
  if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
  return pages::phone_form(*in_->clinic(), in_->caller());
}

Result<json::Value> Desk::phone(const json::Value& request) {
  const auto clinic = in_->clinic();
  const auto call = pages::read_phone_call(request, *clinic);
  if (!call) return call.error();
  return in_->guarded(call->person.value_or(Id{}), [&]() -> Result<json::Value> {
    if (call->person) {
      const auto person = in_->person(*call->person);
      if (!person) return person.error();
    }
    return pages::phone_answer(*call, *clinic, in_->caller(), in_->ports.new_id);
  });
}

Result<json::Value> Desk::phone_reach_form() {
  return pages::phone_reach_form(*in_->clinic(), in_->caller());
}

Result<json::Value> Desk::phone_reach(const json::Value& request) {
  return in_->guarded(Id{}, [&]() -> Result<json::Value> {
    return pages::phone_reach_answer(request, in_->caller());
  });
}

}  // namespace penstock::desk
