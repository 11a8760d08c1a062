// What speaks against visits, calls and what was said there, and against an order beside an
// allergy.

#include "core/contacts/contacts.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/order/order.hpp"
#include "edge/pages/kit/kit.hpp"
#include "shell/names/names.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::vetting {
namespace {

using namespace journal;

// Before it neither insulin pens nor HbA1c were in use (from memory).
constexpr LocalDay first_contact_day = std::chrono::local_days{std::chrono::year{1980} / 1 / 1};

Objection refuse(std::string_view code, std::vector<Arg> args = {}) {
  return {{Kind::refused, std::string(code), std::move(args), ""}, false};
}
Objection ask(std::string_view code, std::vector<Arg> args) {
  return {{Kind::refused, std::string(code), std::move(args), ""}, true};
}

// Each once.
std::string listed(std::vector<std::string_view> names) {
  std::ranges::sort(names);
  names.erase(std::ranges::unique(names).begin(), names.end());
  std::string out;
  for (const auto name : names) out += (out.empty() ? "" : ", ") + std::string(name);
  return out;
}

// Its letters are others than those of the insulin, and nobody sees it. Of those that the core
// knows it is that insulin already.
bool looks_like(std::string_view typed, std::string_view insulin) {
  const auto read = names::readings(typed), known = names::readings(insulin);
  for (std::size_t way = 0; way < read.size(); ++way) {
    if (contacts::is_allergen(read[way], known[way])) return true;
  }
  return false;
}

// Further ahead a year is most often a slip. Ours.
constexpr std::chrono::days appointment_ahead{400};

struct About {
  const Fact& fact;
  const Chart& person;
  std::vector<Objection> out{};

  // Nor before they were born.
  void not_before(LocalDay day) {
    const auto born = person.person.registered ? person.person.born : first_contact_day;
    const auto least = std::max(born, first_contact_day);
    if (day < least)
      out.push_back(refuse(codes::too_long_ago, {arg_date("day", day), arg_date("least", least)}));
  }
  void happened() { not_before(fact.happened.day()); }

  void operator()(const ContactNoted&) { happened(); }
  void operator()(const AppointmentMade& agreed) {
    happened();
    not_before(person.clock.told(agreed.at).day());
    const std::vector at{arg_instant("at", person.clock.told(agreed.at))};
    if (agreed.at.at < fact.happened.at) out.push_back(ask(codes::ask_appointment_past, at));
    if (agreed.at.at > fact.happened.at + appointment_ahead)
      out.push_back(ask(codes::ask_appointment_far, at));
  }
  void operator()(const ContactMade& made) {
    happened();
    const auto& agreed = person.contacts.appointments;
    const bool is_there =
        !made.appointment ||
        std::ranges::find(agreed, *made.appointment, &contacts::Appointment::fact) != agreed.end();
    if (!is_there) out.push_back(refuse(codes::appointment_unknown));
    const contacts::Made told{fact.id, fact.happened, made};
    const bool answered = made.low != YesNo::unknown || made.not_eating != YesNo::unknown ||
                          made.drowsy != YesNo::unknown || made.ketones != YesNo::unknown;
    if (answered && !told.got_through())
      out.push_back(
          refuse(codes::answers_of_nobody,
                 {arg_code("outcome", "outcome-of-contact/" + pages::word_of(made.outcome))}));
  }
  void operator()(const GlucoseNoted&) { happened(); }
  void operator()(const Hba1cNoted& noted) {
    happened();
    not_before(noted.sampled_on);
  }
  void operator()(const VisitClosed& closed) {
    happened();
    not_before(person.clock.told(closed.began).day());
  }
  void operator()(const RescueNoted&) { happened(); }
  void operator()(const Needlestick&) { happened(); }

  void operator()(const AllergyNoted& noted) {
    happened();
    // Without what it is to, it would say that none is known.
    if (!names::is_seen(noted.to) &&
        (names::is_seen(noted.reaction) || noted.severe != YesNo::unknown))
      out.push_back(refuse(codes::allergy_to_missing));
    if (noted.severe != YesNo::yes) return;
    std::vector<std::string_view> ordered;
    for (const auto& line : person.order.lines) {
      const auto last = line.last_day();
      if (last && *last < fact.happened.day()) continue;
      if (!contacts::is_allergen(noted.to, line.text.insulin)) {
        if (looks_like(noted.to, line.text.insulin)) {
          out.push_back(refuse(codes::allergy_letters,
                               {arg_text("to", noted.to), arg_text("insulin", line.text.insulin)}));
          return;
        }
        ordered.push_back(line.text.insulin);
        continue;
      }
      out.push_back(ask(codes::ask_allergy_ordered, {arg_text("insulin", line.text.insulin)}));
      return;
    }
    if (!ordered.empty())
      out.push_back(ask(codes::ask_allergy_other, {arg_text("insulins", listed(ordered))}));
  }
  void operator()(const OrderLineSigned& line) {
    std::vector<std::string_view> unlike;
    for (const auto& known : person.contacts.allergies) {
      if (known.severe != YesNo::yes) continue;
      if (contacts::is_allergen(known.to, line.insulin)) {
        out.push_back(ask(codes::ask_allergic_to, {arg_text("insulin", line.insulin)}));
        return;
      }
      unlike.push_back(known.to);
    }
    // By its brand it may be this one: the same as of an allergy that is noted after the order.
    if (!unlike.empty())
      out.push_back(ask(codes::ask_allergy_perhaps, {arg_text("allergies", listed(unlike)),
                                                     arg_text("insulin", line.insulin)}));
  }
  void operator()(const auto&) {}
};

}  // namespace

std::vector<Objection> about_contact(const Fact& fact, const Chart& person) {
  About about{fact, person};
  std::visit(about, fact.payload);
  return std::move(about.out);
}

}  // namespace penstock::vetting
