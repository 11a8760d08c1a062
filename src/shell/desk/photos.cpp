// Pictures of skin: kept beside the journal with the person's consent, named by their digest in the
// examination that they belong to, and erased when the consent is withdrawn. The journal keeps that
// there was one, and why it went.
#include <algorithm>
#include <sstream>

#include "edge/json/json.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/pictures/pictures.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

// S13: pictures that no examination names: kept for a day, for the form that is being filled in,
// and not many of them.
constexpr std::size_t waiting_max = 12;
constexpr std::chrono::hours waiting_time{24};

std::string name_of_waiting(Id person) { return "photos/" + to_text(person); }

struct Unnamed {
  std::string photo;  // its digest
  Instant since;
};

Result<std::vector<Unnamed>> unnamed_of(store::ReadSettings& settings, Id person) {
  const auto kept = settings.setting(name_of_waiting(person));
  if (!kept) return kept.error();
  std::istringstream lines(kept->value_or(""));
  std::vector<Unnamed> out;
  std::string photo;
  std::int64_t seconds = 0;
  while (lines >> photo >> seconds) out.push_back({photo, Instant{std::chrono::seconds{seconds}}});
  return out;
}

bool is_named(const Chart& person, std::string_view photo) {
  return std::ranges::any_of(person.facts, [&](const Fact& fact) {
    const auto* seen = std::get_if<SkinExamined>(&fact.payload);
    return seen != nullptr && seen->photo == photo;
  });
}

Error unknown_photo(std::string_view text) {
  return {Kind::not_found, std::string(codes::no_photo), {arg_text("text", text)}, "/photo"};
}

Result<Digest> digest_in(std::string_view text) {
  const auto nibble = [](char c) -> int {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    return -1;
  };
  Digest digest{};
  if (text.size() != digest.size() * 2) return unknown_photo(text.substr(0, 64));
  for (std::size_t i = 0; i < digest.size(); ++i) {
    const auto high = nibble(text[2 * i]);
    const auto low = nibble(text[2 * i + 1]);
    if (high < 0 || low < 0) return unknown_photo(text);
    digest[i] = static_cast<std::uint8_t>(high * 16 + low);
  }
  return digest;
}

std::string short_name(const Digest& digest) { return to_text(digest).substr(0, 12); }

}  // namespace

Result<json::Value> Desk::Inside::put_photo(Id person, std::string_view bytes, Consent consent) {
  if (const auto clinic = named_clinic(); !clinic) return clinic.error();
  if (const auto folded = this->person(person); !folded) return folded.error();
  if (consent != Consent::given)
    return Error{Kind::refused, std::string(codes::photo_consent), {}, "/consent"};
  if (bytes.size() > store::blob_bytes_max) {
    return Error{Kind::refused,
                 std::string(store::codes::blob_too_large),
                 {arg_count("bytes", static_cast<std::int64_t>(bytes.size())),
                  arg_count("most", static_cast<std::int64_t>(store::blob_bytes_max))},
                 ""};
  }
  const auto plain =
      pictures::plain({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
  if (!plain) return Error{Kind::invalid_input, std::string(codes::photo_form), {}, ""};
  if (auto large = pictures::too_large(*plain)) return *std::move(large);
  Digest digest{};
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    const auto chart = charts::load(ports.zone, tx, person);
    if (!chart) return chart.error();
    const auto kept = tx.put_blob(person, plain->media, plain->bytes);
    if (!kept) return kept.error();
    digest = *kept;
    return let_wait(tx, **chart, digest);
  });
  if (!written) return written.error();
  return json::object({{"photo", json::string(to_text(digest))}});
}

Result<void> Desk::Inside::let_wait(store::WriteTx& tx, const Chart& person, const Digest& fresh) {
  const auto before = unnamed_of(tx, person.journal);
  if (!before) return before.error();
  const auto now = ports.now();
  const auto photo = to_text(fresh);
  std::string lines;
  std::size_t waiting = 0;
  const auto keep = [&](const Unnamed& one) {
    ++waiting;
    lines += one.photo + " " + std::to_string(one.since.time_since_epoch().count()) + "\n";
  };
  for (const auto& one : *before) {
    if (one.photo == photo || is_named(person, one.photo)) continue;
    if (one.since + waiting_time > now) {
      keep(one);
      continue;
    }
    const auto digest = digest_in(one.photo);
    if (!digest) continue;
    if (const auto erased = tx.erase_blob(person.journal, *digest);
        !erased && erased.error().code != store::codes::no_blob) {
      return erased;
    }
  }
  if (!is_named(person, photo)) keep({photo, now});
  if (waiting > waiting_max) {
    return Error{Kind::refused,
                 std::string(codes::photos_many),
                 {arg_count("most", static_cast<std::int64_t>(waiting_max))},
                 ""};
  }
  return tx.put_setting(name_of_waiting(person.journal), lines);
}

Result<std::vector<pages::Picture>> Desk::Inside::pictures_of(Id person) {
  std::vector<pages::Picture> out;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    const auto blobs = tx.blobs(person);
    if (!blobs) return blobs.error();
    out.clear();
    for (const auto& blob : *blobs) out.push_back({to_text(blob.digest), blob.erased});
    return {};
  });
  if (!read) return read.error();
  return out;
}

Result<Desk::Photo> Desk::Inside::photo(Id person, std::string_view digest) {
  if (const auto folded = this->person(person); !folded) return folded.error();
  const auto wanted = digest_in(digest);
  if (!wanted) return wanted.error();
  std::optional<store::Blob> blob;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    auto found = tx.blob(person, *wanted);
    if (!found) return found.error();
    blob = *std::move(found);
    return {};
  });
  if (!read) return read.error();
  if (!blob) return unknown_photo(digest);
  if (blob->info.erased)
    return Error{Kind::not_found, std::string(codes::photo_erased), {}, "/photo"};
  return Photo{std::move(blob->info.media), {blob->bytes.begin(), blob->bytes.end()}};
}

Result<json::Value> Desk::Inside::erase_photo(Id person, std::string_view digest,
                                              std::string_view reason, const Caller& caller) {
  const auto clinic = named_clinic();
  if (!clinic) return clinic.error();
  const auto folded = this->person(person);
  if (!folded) return folded.error();
  const auto wanted = digest_in(digest);
  if (!wanted) return wanted.error();
  if (is_blank(reason))
    return Error{Kind::refused, std::string(codes::reason_missing), {}, "/reason"};
  Fact note;
  note.id = ports.new_id();
  note.journal = person;
  note.recorded = caller.now;
  note.happened = (*folded)->zone.when(note.recorded);
  note.author = caller.author;
  note.source = "bench";
  note.payload = Note{caller.words.text(
      "photo.erased_note", {arg_text("photo", short_name(*wanted)), arg_text("reason", reason)})};
  if (const auto good = checked(note); !good) return located(good.error(), "/reason");
  bool was_there = false;
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    const auto there = tx.blobs(person);
    if (!there) return there.error();
    const auto found = std::ranges::find(*there, *wanted, &store::BlobInfo::digest);
    if (found == there->end()) return unknown_photo(digest);
    was_there = !found->erased;
    if (!was_there) return {};  // sent again: it is gone, and the journal says so already
    if (const auto done = tx.erase_blob(person, *wanted); !done) return done;
    const auto noted = append_one(ports.zone, tx, note, std::nullopt, **clinic);
    return noted ? Result<void>{} : Result<void>(noted.error());
  });
  if (!written) return written.error();
  return json::object(
      {{"photo", json::string(to_text(*wanted))}, {"erased", json::boolean(was_there)}});
}

}  // namespace penstock::desk
