// What is at home for a severe hypo, and needlesticks: what must not be forgotten between visits.
#include "core/contacts/contacts.hpp"
#include "core/watch/internal/parts.hpp"

namespace penstock::watch {
namespace {

using std::chrono::days;

Watch noted(What what, const When& from, Figures figures, std::string basis) {
  Watch watch;
  watch.what = what;
  watch.shows_from = watch.due = from;
  watch.figures = std::move(figures);
  watch.basis = std::move(basis);
  return watch;
}

}  // namespace

// Until another is noted, or that there is none.
void watch_rescue(const chart::Chart& person, std::vector<Watch>& out) {
  const auto& rescue = person.contacts.rescue;
  if (!rescue || rescue->glucagon != journal::YesNo::yes || !rescue->glucagon_expires) return;
  const auto last = *rescue->glucagon_expires;
  out.push_back(noted(What::glucagon_expired, midnight(person, last + days{1}), LastDay{last},
                      std::to_string(last.time_since_epoch().count())));
}

// Protective treatment works best within hours: somebody has the follow-up, and says that it is
// done.
void watch_needlesticks(const chart::Chart& person, std::vector<Watch>& out) {
  for (const auto& stick : person.contacts.needlesticks) {
    if (stick.said.follow_up_done) continue;
    out.push_back(noted(What::needlestick, stick.when,
                        Pricking{stick.said.who, stick.said.follow_up_with},
                        to_text(stick.fact) + "/" + stick.said.follow_up_with));
  }
}

}  // namespace penstock::watch
