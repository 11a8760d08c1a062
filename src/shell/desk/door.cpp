// The desk's entries, each through the one guard. What they do stands beside the matter: acts in
// append, hand_out, move, photos and files; pages in pages.
#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {

Desk::Desk(std::unique_ptr<Guarded> guarded) : in_(std::move(guarded)) {}
Desk::~Desk() = default;

Result<std::unique_ptr<Desk>> Desk::open(Ports ports) {
  auto guarded = std::make_unique<Guarded>(std::move(ports));
  if (const auto started = guarded->run(&Inside::start); !started) return started.error();
  return std::unique_ptr<Desk>(new Desk(std::move(guarded)));
}

Id Desk::clinic_journal() const { return in_->clinic()->journal; }
shelf::Shelf Desk::shelf_entries() const { return in_->clinic()->shelf; }
Instant Desk::now() const { return in_->now(); }
Caller Desk::caller() { return in_->caller(); }
Result<Caller> Desk::comes() { return in_->run(&Inside::comes); }
Error Desk::incident() { return in_->incident(); }

Result<json::Value> Desk::page(const pages::Row& row, const pages::Given& given,
                               const Caller& caller, const Waiting& waiting,
                               const OnProposed& proposed) {
  return in_->run(&Inside::page, row, given, caller, waiting, proposed);
}
Result<json::Value> Desk::written_since(Id person, std::uint64_t version) {
  return in_->run(&Inside::written_since, person, version);
}

Result<json::Value> Desk::record(Id person, const json::Value& request, const Caller& caller) {
  return in_->run(&Inside::record, person, request, caller);
}
Result<json::Value> Desk::hand_out(Id person, const json::Value& request, const Caller& caller) {
  return in_->run(&Inside::hand_out, person, request, caller);
}
Result<json::Value> Desk::record_clinic(const json::Value& request, const Caller& caller) {
  return in_->run(&Inside::record_clinic, request, caller);
}
Result<json::Value> Desk::move_fact(Id from, const json::Value& request, const Caller& caller) {
  return in_->run(&Inside::move_fact, from, request, caller);
}
Result<json::Value> Desk::register_person(const json::Value& request, const Caller& caller) {
  return in_->run(&Inside::register_person, request, caller);
}
Result<json::Value> Desk::name_clinic(const json::Value& request, const Caller& caller) {
  return in_->run(&Inside::name_clinic, request, caller);
}

Result<json::Value> Desk::put_photo(Id person, std::string_view bytes, Consent consent) {
  return in_->run(&Inside::put_photo, person, bytes, consent);
}
Result<Desk::Photo> Desk::photo(Id person, std::string_view digest) {
  return in_->run(&Inside::photo, person, digest);
}
Result<json::Value> Desk::erase_photo(Id person, std::string_view digest, std::string_view reason,
                                      const Caller& caller) {
  return in_->run(&Inside::erase_photo, person, digest, reason, caller);
}

Result<json::Value> Desk::diary(Id person, std::string_view file_name, std::string_view bytes,
                                std::string_view accept, const Caller& caller,
                                const diary::DiaryAnswers& answers) {
  return in_->run(&Inside::diary, person, file_name, bytes, accept, caller, answers);
}
Result<std::string> Desk::export_journal(Id person) {
  return in_->run(&Inside::export_journal, person);
}
Result<json::Value> Desk::import_journal(std::string_view bytes, std::string_view file_name,
                                         std::string_view accept, const Caller& caller) {
  return in_->run(&Inside::import_journal, bytes, file_name, accept, caller);
}
Result<std::string> Desk::export_diary(Id person) {
  return in_->run(&Inside::export_diary, person);
}

Result<Id> Desk::find_person(std::string_view text, const Caller& caller, whom::Finding finding) {
  return in_->run(&Inside::find_person, text, caller, finding);
}
Result<json::Value> Desk::whose(Id person, const Caller& caller) {
  return in_->run(&Inside::whose, person, caller);
}
Result<void> Desk::append_all(Id journal, store::Subject subject,
                              const std::vector<journal::Fact>& facts) {
  return in_->run(&Inside::append_all, journal, subject, facts);
}
Result<void> Desk::fill(const std::vector<Filled>& people) {
  return in_->run(&Inside::fill, people);
}
Result<VerifyAnswer> Desk::verify(const store::OnProgress& progress) {
  return in_->run(&Inside::verify, progress);
}
Result<std::string> Desk::seal_heads(const Caller& caller) {
  return in_->run(&Inside::seal_heads, caller);
}
Result<SealAnswer> Desk::check_seal(std::string_view seal) {
  return in_->run(&Inside::check_seal, seal);
}
Result<std::vector<std::pair<Id, Error>>> Desk::check_against(store::Store& copy) {
  return in_->run(&Inside::check_against, copy);
}
Result<Rebuilt> Desk::rebuild_summaries(const OnPeople& progress, const Caller& caller) {
  return in_->run(&Inside::rebuild_summaries, progress, caller);
}

}  // namespace penstock::desk
