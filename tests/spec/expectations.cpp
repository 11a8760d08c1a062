#include "spec/expectations.hpp"

#include <algorithm>
#include <map>

namespace penstock::spec {

void same(const Words& words, std::string_view what, const std::string& wanted,
          const std::string& is) {
  if (wanted != is) words.fail(std::string(what) + " should be " + wanted + ", and is " + is);
}

namespace {

using ledger::Ledger;
using ledger::MarkKind;

std::string short_code(std::string_view code) {
  return std::string(code.substr(code.find('.') + 1));
}

void cartridge(Words& words, const std::string& name, const Ledger& ledger) {
  const auto* c = ledger.cartridge(Story::id_of(name));
  if (!c) words.fail("no fact names the cartridge " + name);
  const std::map<std::string, Units> balances{
      {"loaded", c->loaded}, {"unexplained", c->unexplained}, {"injected", c->injected},
      {"primed", c->primed}, {"thrown-away", c->thrown_away}, {"left", c->left}};
  while (!words.empty()) {
    const auto what = words.next("what is expected");
    if (const auto balance = balances.find(what); balance != balances.end()) {
      same(words, what, format(words.units("units")), format(balance->second));
    } else if (what == "days-in-use") {
      const auto wanted = words.next("days");
      words.must("on");
      const auto days = c->days_in_use(words.day());
      same(words, what, wanted, days ? std::to_string(*days) : "none");
    } else if (what == "last-day") {
      const auto wanted = words.next("a date");
      same(words, what, wanted, c->last_day() ? format_iso(*c->last_day()) : "none");
    } else if (what == "fitness") {
      const auto wanted = words.next("a verdict");
      words.must("on");
      same(words, what, wanted, short_code(ledger::code_of(c->fitness(words.day()))));
    } else if (what == "counted") {
      if (!c->scale) words.fail("nobody read the scale of " + name);
      same(words, what, format(words.units("units")), format(c->scale->counted));
    } else if (what == "uses") {
      same(words, what, words.next("a count"), std::to_string(c->uses.size()));
    } else {
      words.fail(what + " is nothing that a cartridge has");
    }
  }
}

std::string name_of(ledger::FlowState flow) {
  using enum ledger::FlowState;
  const std::map<ledger::FlowState, std::string> names{
      {not_primed, "not-primed"}, {seen, "seen"},
      {unknown, "unknown"},       {prime_again, "prime-again"},
      {new_needle, "new-needle"}, {not_this_pen, "not-this-pen"}};
  return names.at(flow);
}

void pen(Words& words, const Ledger& ledger) {
  const auto name = words.next("the pen's name");
  const auto* p = ledger.pen(Story::id_of(name));
  if (!p) words.fail("no fact names the pen " + name);
  while (!words.empty()) {
    const auto what = words.next("what is expected");
    const auto wanted = words.next("how it should be");
    if (what == "window") {
      const auto window = p->window();
      same(words, what, wanted,
           !window                               ? "unknown"
           : *window == shelf::Window::counts_on ? "counts-on"
                                                 : "returns-to-zero");
    } else if (what == "flow") {
      same(words, what, wanted, name_of(p->flow()));
    } else if (what == "spent-in-window") {
      same(words, what, wanted, format(p->spent_in_window));
    } else if (what == "spent-on-needle") {
      same(words, what, wanted, format(p->spent_on_needle));
    } else if (what == "holds") {
      const Id held = p->cartridge.value_or(Id{});
      same(words, what, to_text(wanted == "nothing" ? Id{} : Story::id_of(wanted)), to_text(held));
    } else {
      words.fail(what + " is nothing that a pen has");
    }
  }
}

void pending(Words& words, const Ledger& ledger) {
  if (words.take("nothing")) {
    same(words, "unfinished doses", "0", std::to_string(ledger.pending.size()));
    return;
  }
  words.must("line");
  const auto line = words.next("the line's name");
  const auto* p = ledger.pending_for(Story::id_of(line));
  if (!p) words.fail("nothing is unfinished on " + line);
  if (words.take("nobody-knows")) {
    if (p->outcome != journal::Outcome::unknown) words.fail("the outcome is known");
    return;
  }
  words.must("rest");
  same(words, "rest", format(words.units("units")), format(p->rest));
}

/// All marks in order; those of sealed stock only where the scenario tells of supplies.
void marks(Words& words, const Ledger& ledger, const Story& story) {
  std::string wanted, is;
  if (!words.take("none")) {
    while (!words.empty()) wanted += words.next("a mark") + " ";
  }
  for (const auto& mark : ledger.marks) {
    if (mark.kind == MarkKind::not_from_stock && !story.tells_of_supplies()) continue;
    is += short_code(ledger::code_of(mark.kind)) + " ";
  }
  same(words, "marks", wanted, is);
}

void stock(Words& words, const Ledger& ledger) {
  std::int64_t cartridges = 0;
  for (const auto& s : ledger.stock) cartridges += s.left;
  while (!words.empty()) {
    if (words.take("cartridges")) {
      same(words, "sealed cartridges", words.next("a count"), std::to_string(cartridges));
    } else {
      words.must("needles");
      same(words, "needles", words.next("a count"), std::to_string(ledger.needles.left));
    }
  }
}

}  // namespace

void expect(Words& words, const State& state, const Story& story) {
  const auto what = words.next("what is expected");
  const auto& ledger = state.ledger;
  if (expect_skin(words, what, state.skin, story)) {
  } else if (what == "pen") {
    pen(words, ledger);
  } else if (what == "pending") {
    pending(words, ledger);
  } else if (what == "marks") {
    marks(words, ledger, story);
  } else if (what == "stock") {
    stock(words, ledger);
  } else {
    cartridge(words, what, ledger);
  }
  words.done();
}

}  // namespace penstock::spec
