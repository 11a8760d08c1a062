// Whether the store still is what was recorded: its chains, what lists and claims say beside them,
// and what was sealed, printed or copied earlier (H21, H29).
//
// What was printed and copied: shell/seals.
#include <algorithm>
#include <map>

#include "edge/json/json.hpp"
#include "shell/claims/claims.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/seals/seals.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

// Of a journal that was just closed: why.
Error unreadable(Error error) {
  const auto because = std::ranges::find(error.args, "because", &Arg::name);
  if (error.code == codes::record_closed && because != error.args.end()) error.code = because->text;
  return error;
}

// The journal's kind is not in the chain; what is recorded in it says it.
bool is_of_its_kind(const store::JournalInfo& info, const Chart& chart) {
  const bool of_clinic = info.subject == store::Subject::clinic;
  return std::ranges::all_of(chart.facts, [&](const Fact& fact) {
    const auto type = type_of(fact.payload);
    return type == Correction::type || is_of_clinic(type) == of_clinic;
  });
}

// What closed a journal is one of our own codes; another word was put there by something else.
bool is_our_mark(std::string_view mark) {
  return mark.empty() || mark == codes::incident ||
         std::ranges::find(store::all_codes, mark) != std::end(store::all_codes);
}

Error differing(std::string_view code, std::vector<Arg> args = {}) {
  return {Kind::refused, std::string(code), std::move(args), ""};
}

}  // namespace

struct Desk::Inside::Verifying {
  VerifyAnswer answer;
  claims::Claimed claimed;
  std::vector<Id> back;  // left out of the lists, and worked out whole now
  std::size_t clinics = 0;
};

Result<void> Desk::Inside::verify_one(store::ReadTx& tx, const store::JournalInfo& info,
                                      Verifying& so_far) {
  auto& answer = so_far.answer;
  const auto chart = charts::load(ports.zone, tx, info.journal);
  if (!chart) return chart.error();
  if (info.subject == store::Subject::clinic) ++so_far.clinics;
  if (!is_our_mark(info.read_only_because))
    answer.differs.emplace_back(info.journal, differing(codes::mark_wrong));
  if (!is_of_its_kind(info, **chart))
    answer.differs.emplace_back(info.journal, differing(codes::subject_wrong));
  if (info.subject == store::Subject::person) {
    const auto tried = rows.try_out(tx, **chart);
    if (!tried) return tried.error();
    if (tried->comes_back) so_far.back.push_back(info.journal);
    if (!tried->differs.empty())
      answer.differs.emplace_back(info.journal, differing(tried->differs));
    claims::gather(so_far.claimed, info.journal, (*chart)->facts);
  }
  answer.facts_read += (*chart)->facts.size();
  const auto pictures = tx.blobs(info.journal);
  if (!pictures) return pictures.error();
  for (const auto& examination : (*chart)->skin.examinations) {
    const auto& photo = examination.said.photo;
    const bool here = std::ranges::any_of(*pictures, [&](const store::BlobInfo& picture) {
      return to_text(picture.digest) == photo;
    });
    if (!photo.empty() && !here) ++answer.photos_missing;
  }
  return {};
}

Result<VerifyAnswer> Desk::Inside::verify(const store::OnProgress& progress) {
  Verifying so_far;
  auto& answer = so_far.answer;
  auto report = ports.store->verify(store::Marks::set_and_lift, progress);
  if (!report) return report.error();
  answer.report = *std::move(report);
  // Whole chains are not enough: every fact must unpack, every fold keep its promises, and what
  // stands beside the chains follow from them.
  for (const auto& info : answer.report.journals) {
    const auto is_said = [&](const auto& fault) { return fault.journal == info.journal; };
    if (std::ranges::any_of(answer.report.faults, is_said)) continue;
    const auto read = contained(info.journal, [&]() -> Result<void> {
      return ports.store->read(
          [&](store::ReadTx& tx) -> Result<void> { return verify_one(tx, info, so_far); });
    });
    if (!read) answer.unreadable.emplace_back(info.journal, unreadable(read.error()));
  }
  if (answer.clean() && so_far.clinics != 1)
    answer.differs.emplace_back(Id{}, differing(codes::subject_wrong));
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    const auto wrong = claims::wrong(tx, so_far.claimed);
    if (!wrong) return wrong.error();
    for (const auto& journal : *wrong)
      answer.differs.emplace_back(journal, differing(codes::claim_wrong));
    const auto sealed = seals::look_at_last(tx);
    if (!sealed) return sealed.error();
    if (*sealed == SealAnswer::broken)
      answer.differs.emplace_back(Id{}, differing(codes::seal_broken));
    return {};
  });
  if (!read) return read.error();
  // Where nothing can be written, whoever comes back is seen there the next time.
  const auto made = rows.remake(so_far.back, {});
  if (!made && made.error().code != store::codes::read_only) return made.error();
  return std::move(answer);
}

Result<std::string> Desk::Inside::seal_heads(const Caller& caller) {
  const auto clinic = this->clinic();
  std::string sealed;
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    const auto journals = tx.journals();
    if (!journals) return journals.error();
    sealed = seals::seal_over(*journals);
    Fact fact;
    fact.id = ports.new_id();
    fact.journal = clinic->journal;
    fact.recorded = caller.now;
    fact.happened = clinic->zone.when(fact.recorded);
    fact.author = clinic->named ? caller.author : ports.program;
    fact.source = "bench";
    fact.payload = HeadsSealed{sealed, static_cast<std::int32_t>(journals->size())};
    const auto good = journal::checked(fact);
    if (!good) return good.error();
    const auto appended = tx.append(clinic->journal, std::vector{packed(fact)}, std::nullopt);
    if (!appended) return appended.error();
    return seals::keep(tx, sealed, *journals);
  });
  if (!written) return written.error();
  return sealed;
}

Result<SealAnswer> Desk::Inside::check_seal(std::string_view seal) {
  auto answer = SealAnswer::unknown;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    const auto looked = seals::look_at(tx, seal);
    if (!looked) return looked.error();
    answer = *looked;
    return {};
  });
  if (!read) return read.error();
  return answer;
}

Result<std::vector<std::pair<Id, Error>>> Desk::Inside::check_against(store::Store& copy) {
  std::vector<store::JournalInfo> theirs;
  std::map<Id, std::vector<Arg>> whose;
  const auto listed = copy.read([&](store::ReadTx& tx) -> Result<void> {
    auto journals = tx.journals();
    if (!journals) return journals.error();
    theirs = *std::move(journals);
    for (const auto& info : theirs) {
      auto args = claims::args_of_owner(tx, info.journal);
      if (!args) return args.error();
      whose[info.journal] = *std::move(args);
    }
    return {};
  });
  if (!listed) return listed.error();
  std::vector<std::pair<Id, Error>> out;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    out.clear();
    for (const auto& info : theirs) {
      const auto ours = tx.journal(info.journal);
      if (!ours) return ours.error();
      const auto differs = [&](std::string_view code) {
        out.emplace_back(info.journal, differing(code, whose[info.journal]));
      };
      if (!ours->has_value() || (*ours)->subject != info.subject) {
        differs(codes::against_missing);
        continue;
      }
      if ((*ours)->version < info.version) {
        differs(codes::against_shorter);
        continue;
      }
      const auto then = seals::at_version(tx, **ours, info.version);
      if (!then) return then.error();
      if (!*then || (*then)->head != info.head) differs(codes::against_other);
    }
    return {};
  });
  if (!read) return read.error();
  return out;
}

}  // namespace penstock::desk
