// A carton was scanned: what its code says, and whether it may be handed out, by the clinic's shelf
// and stock and, for somebody, by their order (web/src/model.ts: Scanned). Nothing is recorded.
#include "core/carton/carton.hpp"
#include "edge/gs1/gs1.hpp"
#include "edge/json/json.hpp"
#include "edge/verbs/scan/scan.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/stock_words.hpp"

namespace penstock::desk {
namespace {

Level level_of(carton::Weight weight) {
  return weight == carton::Weight::stop  ? Level::stop
         : weight == carton::Weight::ask ? Level::caution
                                         : Level::note;
}

Rich two_sentences(const carton::Finding& found) {
  const auto [what, do_this] = verbs::carton_said(found);
  auto out = english().sentence(what.key, what.args);
  out.push_back({" ", false});
  const auto more = english().sentence(do_this.key, do_this.args);
  out.insert(out.end(), more.begin(), more.end());
  return out;
}

json::Value findings_of(const std::vector<carton::Finding>& findings) {
  std::vector<json::Value> out;
  for (const auto& one : findings) out.push_back(notice(level_of(one.weight), two_sentences(one)));
  if (weight_of(findings) != carton::Weight::note) {
    const auto today = verbs::carton_insulin_today();
    out.push_back(notice(Level::caution, english().sentence(today.key, today.args)));
  }
  return list(std::move(out));
}

json::Value read_of(const carton::Carton& carton) {
  std::vector<json::Value> out;
  for (const auto& [label, value] : verbs::carton_lines(carton)) {
    auto shown = value;
    if (const auto day = parse_day(value); day && label.key != "scan.line.lot")
      shown = english().day_year(*day);
    out.push_back(json::object({{"label", text(said(label.key))}, {"value", text(shown)}}));
  }
  return list(std::move(out));
}

std::vector<carton::Insulin> order_of(const Folded& person) {
  std::vector<carton::Insulin> out;
  for (const auto& line : person.order.lines) {
    if (!line.replaced_by && !line.ended) out.push_back({line.text.insulin, line.text.strength});
  }
  return out;
}

}  // namespace

Result<json::Value> Desk::scan(const json::Value& request) {
  std::string typed;
  std::optional<Id> person;
  json::Reader reader(request);
  reader.need("text", typed);
  reader.may("person", person);
  if (const auto done = reader.done(); !done) return done.error();
  return in_->guarded(person.value_or(in_->clinic()->journal), [&]() -> Result<json::Value> {
    if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
    const auto clinic = in_->clinic();
    carton::Question asked;
    asked.today = in_->now_here().day();
    auto carton =
        gs1::read_carton(typed, static_cast<int>(std::chrono::year_month_day{asked.today}.year()));
    if (!carton) return carton.error();
    asked.carton = *std::move(carton);
    const auto* product = clinic->stock.product(asked.carton.gtin);
    if (product != nullptr) {
      asked.item = product->item;
      const auto kind = kind_of_item(clinic->shelf, product->item);
      asked.product = kind ? carton::Insulin{kind->insulin, kind->strength} : carton::Insulin{};
    }
    if (person) {
      const auto folded = in_->person(*person);
      if (!folded) return folded.error();
      asked.order = order_of(**folded);
    }
    const auto findings = carton::judge(asked, clinic->stock);
    const auto weight = weight_of(findings);
    auto out = json::object(
        {{"read", read_of(asked.carton)},
         {"verdict", text(said(verbs::carton_verdict(weight)))},
         {"findings", findings_of(findings)},
         {"draft",
          json::object(
              {{"item", text(asked.item)},
               {"pieces", text(product != nullptr ? format_fixed(product->pieces, 0) : "")},
               {"lot", text(asked.carton.lot)},
               {"expires", text(asked.carton.expires ? format_iso(*asked.carton.expires) : "")},
               {"gtin", text(asked.carton.gtin)}})},
         {"defer", text(said("scan.defer"))}});
    if (weight != carton::Weight::note) add_level(out, level_of(weight));
    return out;
  });
}

}  // namespace penstock::desk
