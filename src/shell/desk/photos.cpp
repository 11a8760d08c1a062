// Pictures of skin: kept beside the journal with the person's consent, named by their digest in the
// examination that they belong to, and erased when the consent is withdrawn. The journal keeps that
// there was one, and why it went.
#include <algorithm>
#include <array>

#include "edge/json/json.hpp"
#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

constexpr std::array<std::uint8_t, 3> jpeg_begins{0xFF, 0xD8, 0xFF};
constexpr std::array<std::uint8_t, 8> png_begins{0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};

// What a picture is, by its own first bytes: what a sender says of it proves nothing.
std::string_view media_of(std::span<const std::uint8_t> bytes) {
  const auto begins = [&](std::span<const std::uint8_t> magic) {
    return bytes.size() > magic.size() && std::ranges::equal(bytes.first(magic.size()), magic);
  };
  if (begins(jpeg_begins)) return "image/jpeg";
  if (begins(png_begins)) return "image/png";
  return {};
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
  const std::span data(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
  const auto media = media_of(data);
  if (media.empty()) return Error{Kind::invalid_input, std::string(codes::photo_form), {}, ""};
  Digest digest{};
  const auto written = ports.store->write([&](store::WriteTx& tx) -> Result<void> {
    const auto kept = tx.put_blob(person, media, data);
    if (!kept) return kept.error();
    digest = *kept;
    return {};
  });
  if (!written) return written.error();
  return json::object({{"photo", json::string(to_text(digest))}});
}

Result<std::vector<std::string>> Desk::Inside::kept_pictures(Id person) {
  std::vector<std::string> out;
  const auto read = ports.store->read([&](store::ReadTx& tx) -> Result<void> {
    const auto blobs = tx.blobs(person);
    if (!blobs) return blobs.error();
    out.clear();
    for (const auto& blob : *blobs)
      if (!blob.erased) out.push_back(to_text(blob.digest));
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
    const auto noted = append_one(ports, tx, note, std::nullopt, **clinic);
    return noted ? Result<void>{} : Result<void>(noted.error());
  });
  if (!written) return written.error();
  return json::object(
      {{"photo", json::string(to_text(*wanted))}, {"erased", json::boolean(was_there)}});
}

}  // namespace penstock::desk
