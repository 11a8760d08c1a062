#include "core/cover/internal/takes.hpp"

namespace penstock::cover::internal {

std::vector<Taking> takings(const draw::Rules& rules, std::int64_t most_steps, bool is_new) {
  const std::int64_t step = rules.step.hundredths();
  // So full that only the dose and the rule say what is taken.
  const draw::AtHand full{.left = *Units::from_hundredths(Units::hundredths_max / 2),
                          .is_new = is_new};
  std::vector<Taking> all(static_cast<std::size_t>(most_steps) + 1);
  all[0].need = 0;
  for (std::int64_t k = 1; k <= most_steps; ++k) {
    const auto dose = *Units::from_hundredths(k * step);
    const auto need = draw::needed(rules, dose, is_new);
    const auto taken = draw::take(rules, full, dose);
    if (!need || !taken) break;  // the prime fills the window: no larger dose fits, either
    all[static_cast<std::size_t>(k)] = {need->hundredths(), k + taken->primed.hundredths() / step,
                                        taken->injections};
  }
  return all;
}

Rests::Rests(const std::vector<Taking>& takings, std::int64_t step, std::int64_t beyond)
    : beyond_(beyond) {
  std::int64_t fits = 0;
  const auto last = static_cast<std::int64_t>(takings.size()) - 1;
  for (std::int64_t rest = 0; fits < last; ++rest) {
    while (fits < last &&
           takings[static_cast<std::size_t>(fits) + 1].need <= rest * step + beyond) {
      ++fits;
    }
    if (fits == last) break;
    if (takings[static_cast<std::size_t>(fits) + 1].need == never_fits) break;
    if (fits == 0) usable_ = rest + 1;
    most_.push_back(fits);
  }
  largest_ = fits;
}

}  // namespace penstock::cover::internal
