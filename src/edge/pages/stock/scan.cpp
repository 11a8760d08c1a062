// A carton was scanned: what its code says, and whether it may be handed out, by the clinic's shelf
// and stock and, for somebody, by their order (web/src/model.ts: Scanned). Nothing is recorded.
#include "edge/pages/stock/internal/scan.hpp"

#include "core/carton/carton.hpp"
#include "edge/gs1/gs1.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/items.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/verbs/scan/scan.hpp"

namespace penstock::pages {
namespace {

using carton::Weight;

Level level_of(Weight weight) {
  return weight == Weight::stop  ? Level::stop
         : weight == Weight::ask ? Level::caution
                                 : Level::note;
}

Rich two_sentences(const Words& words, const carton::Finding& found) {
  const auto [what, do_this] = verbs::carton_said(found);
  auto out = words.sentence(what.key, what.args);
  out.push_back({" ", false});
  const auto more = words.sentence(do_this.key, do_this.args);
  out.insert(out.end(), more.begin(), more.end());
  return out;
}

json::Value findings_of(const Words& words, const std::vector<carton::Finding>& findings) {
  std::vector<json::Value> out;
  for (const auto& one : findings)
    out.push_back(notice(words, level_of(one.weight), two_sentences(words, one)));
  if (weight_of(findings) != Weight::note) {
    const auto today = verbs::carton_insulin_today();
    out.push_back(notice(words, Level::caution, words.sentence(today.key, today.args)));
  }
  return list(std::move(out));
}

json::Value read_of(const Words& words, const carton::Carton& carton) {
  std::vector<json::Value> out;
  for (const auto& [label, value] : verbs::carton_lines(carton)) {
    auto shown = value;
    if (const auto day = parse_day(value); day && label.key != "scan.line.lot")
      shown = words.day_year(*day);
    out.push_back(json::object({{"label", text(said(words, label.key))}, {"value", text(shown)}}));
  }
  return list(std::move(out));
}

std::vector<carton::Insulin> order_of(const Chart& person) {
  std::vector<carton::Insulin> out;
  for (const auto& line : person.order.lines) {
    if (!line.replaced_by && !line.ended) out.push_back({line.text.insulin, line.text.strength});
  }
  return out;
}

}  // namespace

Result<json::Value> scan_answer(std::string_view typed, const Chart* person, const Clinic& clinic,
                                const Caller& caller) {
  carton::Question asked;
  asked.today = now_at(clinic, caller).day();
  auto carton =
      gs1::read_carton(typed, static_cast<int>(std::chrono::year_month_day{asked.today}.year()));
  if (!carton) return carton.error();
  asked.carton = *std::move(carton);
  const auto* product = clinic.stock.product(asked.carton.gtin);
  if (product != nullptr) {
    asked.item = product->item;
    const auto kind = kind_of_item(clinic.shelf, product->item);
    asked.product = kind ? carton::Insulin{kind->insulin, kind->strength} : carton::Insulin{};
  }
  if (person != nullptr) asked.order = order_of(*person);
  const auto findings = carton::judge(asked, clinic.stock);
  const auto weight = weight_of(findings);
  const auto may_be = carton::lots_it_may_be(asked, clinic.stock);
  auto out = json::object(
      {{"read", read_of(caller.words, asked.carton)},
       {"verdict", text(said(caller.words, verbs::carton_verdict(weight)))},
       {"findings", findings_of(caller.words, findings)},
       {"draft",
        json::object(
            {{"item", text(asked.item)},
             {"pieces", text(product != nullptr ? format_fixed(product->pieces, 0) : "")},
             // A lot that may be two elements is typed from the carton, never taken over.
             {"lot", text(may_be.empty() ? asked.carton.lot : "")},
             {"expires", text(asked.carton.expires ? format_iso(*asked.carton.expires) : "")},
             {"gtin", text(asked.carton.gtin)}})},
       {"defer", text(said(caller.words, "scan.defer"))}});
  if (weight != Weight::note) add_level(caller.words, out, level_of(weight));
  return out;
}

}  // namespace penstock::pages
