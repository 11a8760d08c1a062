#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"
#include "core/fields/fields.hpp"
#include "core/order/asked/asked.hpp"
#include "edge/pages/journal/journal.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

using namespace journal;
using fields::as;
using fields::Field;
using fields::Group;
using fields::Type;

struct About {
  const Words& words;
  const Chart& person;
  const shelf::Shelf& shelf;
};
using Args = std::vector<Arg>;

// ---- from the lists

std::string named(const About& about, const Field& field, const void* value) {
  const auto& [words, person, shelf] = about;
  switch (field.names) {
    case fields::Names::nothing:
      return {};
    case fields::Names::cartridge: {
      const auto* found = person.ledger.cartridge(as<Id>(value));
      return found == nullptr || found->copy.name.empty() ? said(words, "journal.unknown_cartridge")
                                                          : found->copy.name;
    }
    case fields::Names::pen: {
      const auto* found = person.ledger.pen(as<Id>(value));
      if (found == nullptr || !found->is_given()) return said(words, "journal.unknown_pen");
      // Two pens of one kind have one name: the insulin says which (nurse C5).
      const bool alone = std::ranges::count(person.ledger.pens, found->copy.name,
                                            [](const auto& pen) { return pen.copy.name; }) < 2;
      return alone ? found->copy.name
                   : said(words, "journal.pen_of",
                          {arg_text("pen", found->copy.name), arg_text("insulin", found->insulin)});
    }
    case fields::Names::line: {
      const auto* found = person.order.line(as<Id>(value));
      return found == nullptr ? said(words, "journal.unknown_line") : found->text.insulin;
    }
    case fields::Names::needle: {
      const auto& code = as<std::string>(value);
      const auto* found = shelf.needle(code);
      return found == nullptr ? code : found->thing.name;
    }
  }
  return {};
}

std::string word_in(const Words& words, const Field& field, const void* value) {
  return words.name(std::string(field.said_as) + std::string(field.words[as<std::uint8_t>(value)]));
}

void add_group(const About& about, const Group& list, const void* owner, const std::string& before,
               Args& args);

void add_one(const About& about, const Field& field, const void* value, const std::string& name,
             Args& args) {
  if (field.names != fields::Names::nothing) {
    args.push_back(arg_text(name, named(about, field, value)));
    return;
  }
  switch (field.type) {
    case Type::count:
      return args.push_back(arg_count(name, as<std::int32_t>(value)));
    case Type::units:
      return args.push_back(arg_units(name, as<Units>(value)));
    case Type::strength:
      return args.push_back(arg_strength(name, as<Strength>(value)));
    case Type::celsius:
      return args.push_back(arg_celsius(name, as<TenthsCelsius>(value)));
    case Type::mm:
      return args.push_back(arg_text(name, format(as<TenthsMm>(value))));
    case Type::cm:
      return args.push_back(arg_text(name, format(as<TenthsCm>(value))));
    case Type::kg:
      return args.push_back(arg_text(name, format(as<TenthsKg>(value))));
    case Type::day:
      return args.push_back(arg_text(name, about.words.day_year(as<LocalDay>(value))));
    case Type::minute:
      return args.push_back(arg_text(name, format_iso(as<MinuteOfDay>(value))));
    case Type::when:
      return args.push_back(words::arg_when(name, about.person.clock.told(as<When>(value))));
    case Type::choice:
      return args.push_back(arg_text(name, word_in(about.words, field, value)));
    case Type::text:
      return args.push_back(arg_text(name, as<std::string>(value)));
    case Type::glucose:
      return args.push_back(arg_glucose(name, as<Glucose>(value)));
    case Type::hba1c:
      return args.push_back(arg_text(name, format_both(as<Hba1c>(value))));
    case Type::group:
      return add_group(about, *field.group, value, name + ".", args);
    default:
      return;  // flags, identities, machine times: no sentence says them as they are
  }
}

// Of a list of choices their names, of any other list how many.
Arg all_of(const Words& words, const Field& field, const void* held, const std::string& name) {
  const auto count = field.holder->size(held);
  if (field.type != Type::choice) return arg_count(name, static_cast<std::int64_t>(count));
  std::string out;
  for (std::size_t n = 0; n < count; ++n)
    out += (n == 0 ? "" : "; ") + word_in(words, field, field.holder->at(held, n));
  return arg_text(name, out);
}

void add_group(const About& about, const Group& list, const void* owner, const std::string& before,
               Args& args) {
  for (const auto& field : list.fields) {
    const auto* value = field.in(owner);
    const auto name = before + std::string(field.name);
    if (field.holder == nullptr) {
      add_one(about, field, value, name, args);
    } else if (field.holder->many) {
      args.push_back(all_of(about.words, field, value, name));
    } else if (field.holder->size(value) == 0) {
      args.push_back(arg_text(name, ""));
    } else {
      add_one(about, field, field.holder->at(value, 0), name, args);
    }
  }
}

// ---- what a sentence needs that is not a field as it stands

std::string part(const Words& words, bool is_said, std::string_view key, const Args& args) {
  return is_said ? said(words, key, args) : std::string();
}
void join(std::string& list, const std::string& one) {
  if (!one.empty()) list += (list.empty() ? "" : ", ") + one;
}

Arg lot_of(const Words& words, const std::string& lot) {
  return arg_text("lot", part(words, !lot.empty(), "fact-part.lot", {arg_text("lot", lot)}));
}

std::string doses_of(const Words& words, const std::vector<Slot>& slots) {
  std::string doses;
  for (const auto& slot : slots) {
    join(doses, said(words, "order.slot",
                     {arg_units("dose", slot.units), arg_code("when", "with/" + word_of(slot.slot)),
                      arg_text("time", format_iso(slot.at))}));
  }
  return doses;
}
Args more(const About& about, const OrderLineSigned& f) {
  return {arg_text("doses", doses_of(about.words, f.slots))};
}
// The days on which somebody read that an order holds.
std::string days_of(const Words& words, const OrderLineChecked& f) {
  if (!order::has_read_days(f)) return {};
  const auto first = f.from ? said(words, "order.first_day_read", {arg_date("day", *f.from)})
                            : said(words, "order.no_first_day_read");
  const auto last =
      f.until ? ", " + said(words, "order.last_day_read", {arg_date("day", *f.until)}) : "";
  return ", " + first + last;
}
Args more(const About& about, const OrderLineChecked& f) {
  return {arg_text(
      "read",
      said(about.words, "insulin_label",
           {arg_text("insulin", f.reading.insulin), arg_strength("strength", f.reading.strength)}) +
          ", " + doses_of(about.words, f.reading.slots) + days_of(about.words, f))};
}
Args more(const About&, const QuestionOpened& f) {
  if (f.text.empty()) return {};
  return {arg_text("reason", f.text)};
}
Args more(const About&, const WindowTested& f) {
  return {arg_text("shown", format(f.shown_after))};  // the window shows a bare number
}
Args more(const About& about, const Injected& f) {
  return {arg_units("meant", f.meant.value_or(f.units)),
          arg_text("zone", f.zone ? ", " + about.words.name(word_of(*f.zone)) : "")};
}
Args more(const About& about, const BodyMeasured& f) {
  std::string body;
  const auto add = [&](std::string_view key, std::string value) {
    join(body, said(about.words, key, {arg_text("value", value)}));
  };
  if (f.height) add("fact-part.height", format(*f.height));
  if (f.waist) add("fact-part.waist", format(*f.waist));
  if (f.due) add("fact-part.due", about.words.day_year(*f.due));
  if (f.sex != Sex::unknown) add("fact-part.sex", about.words.name("sex/" + word_of(f.sex)));
  return {arg_text("body", body.empty() ? about.words.name("nothing") : body)};
}
Args more(const About& about, const SkinExamined& f) {
  std::string found;
  for (const auto& one : f.findings) {
    Args args;
    add_group(about, SkinFinding::list, &one, "", args);
    found += " " + said(about.words, "fact-part.finding", args);
  }
  return {arg_text("found", found)};
}
Args more(const About&, const AreaBlocked& f) {
  return {arg_text("across", format(TenthsMm{f.radius.tenths * 2}))};
}
Args more(const About& about, const PlacePlanGiven& f) {
  if (f.places.empty()) return {};
  const auto [first, last] = std::ranges::minmax_element(f.places, {}, &PromisedPlace::day);
  return {arg_text("first", about.words.day_year(first->day)),
          arg_text("last", about.words.day_year(last->day))};
}
Args more(const About& about, const SuppliesCounted& f) {
  std::string counted;
  if (f.cartridges) {
    join(counted, said(about.words, "fact-part.counted_cartridges",
                       {arg_count("count", *f.cartridges), arg_text("insulin", f.insulin)}));
  }
  if (f.needles)
    join(counted, said(about.words, "fact-part.counted_needles", {arg_count("count", *f.needles)}));
  return {arg_text("counted", counted)};
}
Args more(const About& about, const DetailsChanged& f) {
  return {
      arg_text("phone", f.phone.empty() ? said(about.words, "fact-part.no_phone", {}) : f.phone),
      arg_text("zone",
               part(about.words, !f.zone.empty(), "fact-part.zone", {arg_text("zone", f.zone)}))};
}
Args more(const About& about, const CartridgeLoaded& f) { return {lot_of(about.words, f.lot)}; }
Args more(const About& about, const NeedlesGiven& f) { return {lot_of(about.words, f.lot)}; }
Args more(const About& about, const SupplyRulesSet& f) {
  return {arg_text(
      "why", part(about.words, f.service_per_thousand < service_plain_least, "fact-part.service",
                  {arg_text("by", f.service_by), arg_text("reason", f.service_reason)}))};
}
Args more(const About& about, const SuppliesAsked& f) {
  const auto& words = about.words;
  std::string asked;
  join(asked, part(words, f.boxes > 0, "fact-part.asked_boxes",
                   {arg_count("count", f.boxes), arg_text("insulin", f.insulin)}));
  join(asked, part(words, f.needle_boxes > 0, "fact-part.asked_needles",
                   {arg_count("count", f.needle_boxes)}));
  return {arg_text("asked", asked),
          arg_text("of_whom", part(words, !f.of_whom.empty(), "fact-part.of_whom",
                                   {arg_text("of_whom", f.of_whom)}))};
}

// ---- visits, calls and what was said there: what was not entered leaves no scrap

/// Parts that were entered, each a sentence behind a blank.
struct Parts {
  explicit Parts(const About& of) : about(of), words(of.words) {}
  const About& about;
  const Words& words;
  std::string out;

  void add_if(bool is_said, std::string_view key, const Args& args = {}) {
    if (is_said) out += " " + said(words, "fact-part." + std::string(key), args);
  }
  void add(std::string_view key, const std::string& value) {
    add_if(!value.empty(), key, {arg_text("value", value)});
  }
  /// As it stands, ended where its writer did not.
  void add_text(const std::string& text) {
    if (text.empty()) return;
    out += " " + text;
    if (text.find_last_of(".!?…") != text.size() - 1) out += ".";
  }
  void add(std::string_view key, YesNo answer) {
    add_if(answer != YesNo::unknown, key,
           {arg_text("value", words.name("yes/" + word_of(answer)))});
  }
  void add(std::string_view key, const std::optional<When>& when) {
    if (when) add_if(true, key, {arg_text("value", words.moment(about.person.clock.told(*when)))});
  }
  Args args() && {
    if (!out.empty()) out.erase(0, 1);
    return {arg_text("parts", std::move(out))};
  }
};
Args more(const About& about, const ContactNoted& f) {
  Parts parts(about);
  parts.add("other_phone", f.other_phone);
  parts.add_text(f.text);
  return std::move(parts).args();
}
Args more(const About& about, const AppointmentMade& f) {
  Parts parts(about);
  parts.add("with", f.with);
  parts.add_text(f.text);
  return std::move(parts).args();
}
Args more(const About& about, const ContactMade& f) {
  Parts parts(about);
  parts.add("hypo_now", f.low);
  parts.add("not_eating", f.not_eating);
  parts.add("drowsy", f.drowsy);
  parts.add("ketones", f.ketones);
  parts.add("spoke_to", f.spoke_to);
  parts.add("number", f.number);
  parts.add("said", f.said);
  parts.add("advised", f.advised);
  parts.add_if(f.rings_back == RingsBack::they, "they_ring");
  parts.add_if(f.rings_back == RingsBack::we, "we_ring");
  parts.add("ring_who", f.ring_back_who);
  parts.add("ring_by", f.ring_back_by);
  return std::move(parts).args();
}
Args more(const About& about, const GlucoseNoted& f) {
  Parts parts(about);
  if (f.value) {
    parts.add_if(true, "glucose", {arg_glucose("value", *f.value)});
  } else if (f.meter != MeterWord::none) {
    parts.add_if(true, f.meter == MeterWord::lo ? "meter_lo" : "meter_hi");
  } else {
    parts.add_if(true, "hypo_no_value");
  }
  parts.add("felt", f.felt);
  parts.add("needed_help", f.needed_help);
  parts.add("helped_by", f.helped_by);
  parts.add("before", f.before);
  return std::move(parts).args();
}
Args more(const About& about, const VisitClosed& f) {
  Parts parts(about);
  parts.add_text(f.text);
  parts.add("left_open_with", f.left_open_with);
  parts.add("left_open_by", f.left_open_by);
  return std::move(parts).args();
}
Args more(const About& about, const AllergyNoted& f) {
  Parts parts(about);
  parts.add_if(f.severe == YesNo::yes, "severe");
  parts.add_if(f.severe == YesNo::no, "not_severe");
  parts.add_text(f.reaction);
  return std::move(parts).args();
}
Args more(const About& about, const RescueNoted& f) {
  const auto& words = about.words;
  const auto answer = [&](YesNo said_so) {
    return said_so == YesNo::unknown ? said(words, "fact-part.not_known", {})
                                     : words.name("yes/" + word_of(said_so));
  };
  Parts parts(about);
  parts.add("glucagon", answer(f.glucagon));
  if (f.glucagon_expires) parts.add("glucagon_expires", words.day_year(*f.glucagon_expires));
  parts.add("taught", f.taught);
  parts.add("ketone_testing", answer(f.ketone_testing));
  return std::move(parts).args();
}
Args more(const About& about, const Needlestick& f) {
  Parts parts(about);
  parts.add_text(f.done);
  parts.add("follow_up_with", f.follow_up_with);
  if (f.follow_up_done) parts.add("follow_up_done", about.words.day_year(*f.follow_up_done));
  return std::move(parts).args();
}

struct Exception {
  std::uint16_t type;
  Args (*more)(const About& about, const void* fact);
};
template <class Kind>
constexpr Exception exception{
    Kind::type, [](const About& about, const void* fact) { return more(about, as<Kind>(fact)); }};
constexpr Exception exceptions[] = {
    exception<DetailsChanged>,  exception<OrderLineSigned>, exception<OrderLineChecked>,
    exception<CartridgeLoaded>, exception<QuestionOpened>,  exception<WindowTested>,
    exception<Injected>,        exception<BodyMeasured>,    exception<SkinExamined>,
    exception<AreaBlocked>,     exception<PlacePlanGiven>,  exception<SuppliesCounted>,
    exception<NeedlesGiven>,    exception<SupplyRulesSet>,  exception<SuppliesAsked>,
    exception<ContactNoted>,    exception<AppointmentMade>, exception<ContactMade>,
    exception<GlucoseNoted>,    exception<VisitClosed>,     exception<AllergyNoted>,
    exception<RescueNoted>,     exception<Needlestick>};

std::string key_of(const Payload& payload, const Chart& person) {
  auto key = "fact." + std::string(name_of(payload));
  // H60: of a reading that differs from the copy nothing says "was checked".
  if (const auto* check = std::get_if<OrderLineChecked>(&payload)) {
    if (order::reads_otherwise(person.order, *check)) key += ".differs";
  }
  if (const auto* advice = std::get_if<PhoneAdvice>(&payload)) {
    if (!advice->read_back) key += ".not_read_back";
  }
  if (const auto* allergy = std::get_if<AllergyNoted>(&payload)) {
    if (allergy->to.empty()) key += ".none";
  }
  if (const auto* contact = std::get_if<ContactNoted>(&payload)) {
    if (contact->former) key += ".former";
  }
  if (const auto* examined = std::get_if<SkinExamined>(&payload)) {
    if (examined->findings.empty()) key += ".nothing";
  }
  if (const auto* dose = std::get_if<Injected>(&payload)) {
    if (dose->outcome == Outcome::part) key += ".part";
    if (dose->outcome == Outcome::unknown) key += dose->meant ? ".unknown" : ".unknown_all";
  }
  return key;
}

}  // namespace

Rich sentence_of(const Words& words, const Chart& person, const shelf::Shelf& shelf,
                 const Payload& payload) {
  const About about{words, person, shelf};
  const auto& kind = facts::kind_of(payload);
  const auto* fact = facts::body(payload);
  Args args;  // the first of a name is the one that counts
  const auto* found = std::ranges::find(exceptions, kind.type, &Exception::type);
  if (found != std::end(exceptions)) args = found->more(about, fact);
  add_group(about, kind, fact, "", args);
  return words.sentence(key_of(payload, person), args);
}

}  // namespace penstock::pages
