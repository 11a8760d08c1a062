#include "shell/signers/signers.hpp"

#include <algorithm>
#include <string>
#include <utility>
#include <variant>

#include "core/order/order.hpp"
#include "shell/names/names.hpp"
#include "shell/names/whose.hpp"

namespace penstock::signers {
namespace {

using namespace journal;
using names::Doubt;
using names::Signs;

struct Names {
  const Fact& fact;
  const chart::Chart& so_far;
  const chart::Clinic& clinic;
  std::vector<Against> out{};

  void operator()(const OrderLineSigned& line) {
    prescribes(line.prescriber, codes::order_nobody, {line.copied_by, fact.author});
    is_staff(line.copied_by, codes::copy_nobody, "by");
  }
  // Ended is ended, whoever said so.
  void operator()(const OrderLineEnded& end) {
    prescribes(end.prescriber, codes::order_nobody, {});
    for (auto& one : out) one.is_question = true;
  }
  void operator()(const OrderLineChecked& check) {
    const auto* line = so_far.order.line(check.line);
    if (line == nullptr) return;
    const auto& by = check.checked_by;
    for (const auto& copyist : line->copyists) {
      if (names::may_be_one(by, copyist))
        return refuse(codes::check_own_copy, {arg_text("name", copyist)});
    }
    for (const auto& copyist : line->copyists) {
      if (names::may_be_slip(by, copyist)) {
        ask(codes::ask_check_slip, {arg_text("name", by), arg_text("copyist", copyist)});
        break;
      }
    }
    is_staff(by, codes::check_nobody, "name");
  }
  void operator()(const QuestionAnswered& answer) {
    const auto& asked = so_far.order.questions;
    const auto found = std::ranges::find(asked, answer.question, &order::Question::id);
    if (found == asked.end() || !found->is_open()) return;
    prescribes(answer.by, codes::answer_nobody, {fact.author}, codes::ask_answer_own);
  }
  void operator()(const auto&) {}

  // A nurse may prescribe, and then it is her own name; most often it is the wrong one.
  void prescribes(const std::string& by, std::string_view nobody,
                  const std::vector<std::string>& who_records,
                  std::string_view own = codes::ask_no_prescriber) {
    const std::vector<Arg> args{arg_text("by", by)};
    const auto doubt = doubt_about(by, Signs::prescriber);
    if (doubt == Doubt::nobody) return refuse(nobody, args);
    if (std::ranges::any_of(who_records,
                            [&](const auto& one) { return names::may_be_one(by, one); }))
      return ask(own, args);
    if (doubt == Doubt::at_home) return ask(codes::ask_no_prescriber, args);
    if (doubt == Doubt::one_word) ask(codes::ask_full_name, args);
  }
  void is_staff(const std::string& by, std::string_view nobody, const char* name_of_arg) {
    const auto doubt = doubt_about(by, Signs::staff);
    if (doubt == Doubt::nobody) return refuse(nobody, {arg_text(name_of_arg, by)});
    if (doubt == Doubt::themself)
      ask(codes::ask_signer_person,
          {arg_text("by", by), arg_text("name", so_far.person.full_name)});
    if (doubt == Doubt::one_word) ask(codes::ask_full_name, {arg_text("by", by)});
  }
  Doubt doubt_about(const std::string& by, Signs as) const {
    return names::doubt_about(by, as, {so_far.person.full_name, clinic.names.clinic});
  }

  void refuse(std::string_view code, std::vector<Arg> args) {
    out.push_back({{Kind::refused, std::string(code), std::move(args), ""}, false});
  }
  void ask(std::string_view code, std::vector<Arg> args) {
    out.push_back({{Kind::refused, std::string(code), std::move(args), ""}, true});
  }
};

}  // namespace

std::vector<Against> against_names(const Fact& fact, const chart::Chart& so_far,
                                   const chart::Clinic& clinic) {
  Names names{fact, so_far, clinic};
  std::visit(names, fact.payload);
  return std::move(names.out);
}

bool is_of_nobody(std::string_view code) {
  return code == codes::order_nobody || code == codes::copy_nobody || code == codes::check_nobody ||
         code == codes::answer_nobody;
}

}  // namespace penstock::signers
