#include "core/contacts/contacts.hpp"

#include <algorithm>
#include <variant>

namespace penstock::contacts {
namespace {

using journal::ContactOutcome;
using journal::Effective;
using journal::Meeting;

class Folding {
 public:
  Folding(Contacts& out, const Effective& now, const Told& told)
      : out_(out), now_(now), told_(told) {}

  void operator()(const journal::ContactNoted& said) const {
    std::erase_if(out_.people, [&](const Contact& one) {
      return one.said.role == said.role && one.said.full_name == said.full_name;
    });
    if (!said.former) out_.people.push_back({now_.fact->id, now_.happened, said});
  }
  void operator()(const journal::AppointmentMade& said) const {
    out_.appointments.push_back({now_.fact->id, now_.happened, said, {}});
    out_.appointments.back().said.at = told_(said.at);
  }
  void operator()(const journal::ContactMade& said) const {
    Made made{now_.fact->id, now_.happened, said};
    tell(made.said.ring_back_by);
    out_.made.push_back(made);
    if (made.got_through()) out_.ring_back.reset();
    if (said.rings_back != journal::RingsBack::nobody)
      out_.ring_back = RingBack{made.fact, made.when, said.rings_back == journal::RingsBack::we,
                                said.ring_back_who, made.said.ring_back_by};
  }
  void operator()(const journal::FollowUpTaken& said) const {
    out_.taken = Taken{now_.happened, said.with};
  }
  void operator()(const journal::GlucoseNoted& said) const {
    out_.glucose.push_back({now_.fact->id, now_.happened, said});
  }
  void operator()(const journal::Hba1cNoted& said) const {
    out_.hba1c.push_back({now_.fact->id, said});
  }
  void operator()(const journal::VisitClosed& said) const {
    out_.visits.push_back({now_.fact->id, now_.happened, said});
    auto& closed = out_.visits.back().said;
    closed.began = told_(closed.began);
    tell(closed.left_open_by);
  }
  void operator()(const journal::AllergyNoted& said) const {
    if (said.to.empty()) {
      out_.no_allergies = out_.allergies.empty();
    } else {
      out_.allergies.push_back(said);
      out_.no_allergies = false;
    }
  }
  void operator()(const journal::RescueNoted& said) const { out_.rescue = said; }
  void operator()(const journal::Needlestick& said) const {
    out_.needlesticks.push_back({now_.fact->id, now_.happened, said});
  }
  void operator()(const auto&) const {}

 private:
  void tell(std::optional<When>& when) const {
    if (when) when = told_(*when);
  }

  Contacts& out_;
  const Effective& now_;
  const Told& told_;
};

bool is_try_of(const Appointment& agreed, const Made& made) {
  // Who did not come on an earlier day was given this time instead.
  if (made.said.outcome == ContactOutcome::did_not_come && made.when.day() < agreed.said.at.day())
    return false;
  if (made.said.appointment) return *made.said.appointment == agreed.fact;
  return made.said.meeting == agreed.said.meeting && made.when.day() == agreed.said.at.day() &&
         made.when.at >= agreed.made.at;
}

bool is_overtaken(const Appointment& agreed, const Contacts& all) {
  const auto at = agreed.said.at.at;
  const auto came = [&](const Made& one) {
    return one.said.meeting == Meeting::visit && one.got_through() && one.when.at > at;
  };
  return agreed.said.meeting == Meeting::visit &&
         (std::ranges::any_of(all.made, came) ||
          std::ranges::any_of(all.visits, [&](const Closed& one) { return one.when.at > at; }));
}

}  // namespace

bool Appointment::is_open() const {
  return !is_overtaken && std::ranges::none_of(tries, [](const Made& one) {
    return one.got_through() || one.said.outcome == ContactOutcome::cancelled ||
           one.said.outcome == ContactOutcome::did_not_come;
  });
}

std::vector<const Appointment*> Contacts::waiting() const {
  std::vector<const Appointment*> out;
  for (const auto& one : appointments) {
    if (one.is_open()) out.push_back(&one);
  }
  return out;
}

RedFlags Contacts::red_flags(Instant now) const {
  RedFlags out;
  for (const auto& one : made) {
    if (one.when.at > now + dated_ahead) continue;
    const bool is_ahead = one.when.at > now;  // what it ends is not over yet
    // Whoever did not get through heard of no yes that was taken back.
    const auto told = [&](journal::YesNo answer, std::optional<When>& since) {
      if (answer == journal::YesNo::yes) {
        if (!since) since = one.when;
      } else if (answer == journal::YesNo::no && one.got_through() && !is_ahead && since &&
                 since->at < one.when.at) {
        since.reset();
      }
    };
    told(one.said.low, out.low);
    told(one.said.not_eating, out.not_eating);
    told(one.said.drowsy, out.drowsy);
    told(one.said.ketones, out.ketones);
  }
  return out;
}

std::int32_t Contacts::unanswered() const {
  std::int32_t count = 0;
  for (auto one = made.rbegin(); one != made.rend() && !one->got_through(); ++one) {
    if (!visits.empty() && one->when.at <= visits.back().when.at) break;
    if (one->is_unanswered()) ++count;
  }
  return count;
}

const Made* Contacts::unanswered_again() const {
  if (unanswered() < tries_before_others) return nullptr;
  return &*std::ranges::find_if(made.rbegin(), made.rend(), &Made::is_unanswered);
}

const Made* Contacts::did_not_come() const {
  const Made* missed = nullptr;
  for (const auto& one : made) {
    if (one.said.outcome == ContactOutcome::did_not_come) missed = &one;
    if (one.got_through()) missed = nullptr;
  }
  if (missed == nullptr) return nullptr;
  const auto instead = [&](const Appointment& one) {
    const bool is_new = one.made.at >= missed->when.at || one.fact == missed->said.appointment;
    return is_new && one.is_open() && one.said.at.at > missed->when.at;
  };
  const bool is_seen = !visits.empty() && visits.back().when.at > missed->when.at;
  return is_seen || std::ranges::any_of(appointments, instead) ? nullptr : missed;
}

const Closed* Contacts::left_open() const {
  if (visits.empty() || !visits.back().said.left_open_by) return nullptr;
  const auto& last = visits.back();
  const bool is_seen = std::ranges::any_of(
      made, [&](const Made& one) { return one.got_through() && one.when.at > last.when.at; });
  return is_seen ? nullptr : &last;
}

std::string Contacts::whose() const {
  const auto since = [this](const When& when, const std::string& who) {
    return taken && taken->when.at >= when.at ? taken->with : who;
  };
  if (ring_back && ring_back->ours && !ring_back->who.empty())
    return since(ring_back->since, ring_back->who);
  if (const auto* left = left_open()) return since(left->when, left->said.left_open_with);
  for (const auto* agreed : waiting()) {
    if (!agreed->said.with.empty()) return since(agreed->made, agreed->said.with);
  }
  return taken ? taken->with : std::string();
}

const Contact* Contacts::instead() const {
  using journal::ContactRole;
  // In the order of their roles; whoever prescribes is not asked how somebody is.
  const auto near = std::ranges::find_if(people, [](const Contact& one) {
    return one.said.role >= ContactRole::carer && one.said.role <= ContactRole::district_nurse &&
           !one.said.phone.empty();
  });
  return near == people.end() ? nullptr : &*near;
}

Contacts fold(const journal::History& history, const Told& told) {
  Contacts out;
  for (const auto& effective : history.facts)
    std::visit(Folding(out, effective, told), *effective.payload);
  std::ranges::stable_sort(out.people, {}, [](const Contact& one) { return one.said.role; });
  std::ranges::stable_sort(out.hba1c, {},
                           [](const Hba1cValue& one) { return one.said.sampled_on; });
  std::ranges::stable_sort(out.appointments, {},
                           [](const Appointment& one) { return one.said.at.at; });
  for (auto& agreed : out.appointments) {
    for (const auto& made : out.made) {
      if (is_try_of(agreed, made)) agreed.tries.push_back(made);
    }
    agreed.is_overtaken = is_overtaken(agreed, out);
  }
  return out;
}

}  // namespace penstock::contacts
