#include "edge/wire/fact_codec.hpp"

#include <limits>
#include <utility>

#include "core/facts/list.hpp"

namespace penstock::wire {
namespace {

using facts::Fact;
using facts::Field;
using facts::Group;
using facts::KindInfo;
using facts::Payload;
using facts::Replacement;
using fields::as;
using fields::Type;
using std::chrono::days;
using std::chrono::seconds;
using ReplacementPointer = std::shared_ptr<const Replacement>;

// Wider than any time that facts::checked lets in, and far from where adding an offset overflows.
constexpr std::int64_t seconds_most = 100'000'000'000;  // the year 5138
constexpr std::int64_t days_most = 1'000'000;           // the year 4707
constexpr std::int64_t offset_minutes_most = 18 * 60;   // no zone on earth is farther from UTC

// ---- values to bytes

class Encoder {
 public:
  explicit Encoder(std::vector<std::uint8_t>& out) : out_(out) {}

  void byte(std::uint8_t value) { out_.push_back(value); }
  void varint(std::uint64_t value) {
    while (value >= 0x80) {
      byte(static_cast<std::uint8_t>(value | 0x80U));
      value >>= 7U;
    }
    byte(static_cast<std::uint8_t>(value));
  }
  // Small numbers of either sign become small: 0, -1, 1, -2 are 0, 1, 2, 3.
  void zigzag(std::int64_t value) {
    const auto sign = value < 0 ? ~std::uint64_t{0} : 0;
    varint((static_cast<std::uint64_t>(value) << 1U) ^ sign);
  }

  std::uint16_t kind(const Payload& payload) {
    const auto version = facts::version_of(payload);
    varint(facts::type_of(payload));
    varint(version);
    return version;
  }
  void payload(const Payload& payload, std::uint16_t version) {
    list(facts::kind_of(payload), facts::body(payload), version);
  }
  /// `recorded` is not among a fact's bytes.
  void envelope(const Fact& fact) { list(Fact::list, &fact, 1); }

 private:
  void list(const Group& list, const void* owner, std::uint16_t version) {
    for (const auto& field : list.fields) {
      if (field.version > version) continue;
      const auto* value = field.in(owner);
      if (field.holder == nullptr) {
        one(field, value);
        continue;
      }
      const auto size = field.holder->size(value);
      varint(size);  // an optional's 0 or 1 is the same byte
      for (std::size_t n = 0; n < size; ++n) one(field, field.holder->at(value, n));
    }
  }
  void one(const Field& field, const void* value) {
    switch (field.type) {
      case Type::flag:
        return byte(as<bool>(value) ? 1 : 0);
      case Type::choice:
        return byte(as<std::uint8_t>(value));
      case Type::units:
        return varint(static_cast<std::uint64_t>(as<Units>(value).hundredths()));
      case Type::sequence:
        return varint(as<std::uint32_t>(value));
      case Type::text:
        return text(as<std::string>(value));
      case Type::id:
        return id(as<Id>(value));
      case Type::glucose:
        byte(static_cast<std::uint8_t>(as<Glucose>(value).unit));
        return zigzag(as<Glucose>(value).value);
      case Type::hba1c:
        byte(static_cast<std::uint8_t>(as<Hba1c>(value).unit));
        return zigzag(as<Hba1c>(value).value);
      case Type::when:
        return when(as<When>(value));
      case Type::group:
        return list(*field.group, value, 1);
      case Type::fact:
        return replacement(as<ReplacementPointer>(value));
      case Type::instant:
        return;
      default:
        return zigzag(facts::number_in(field.type, value));
    }
  }
  void text(const std::string& text) {
    varint(text.size());
    out_.insert(out_.end(), text.begin(), text.end());
  }
  void id(const Id& id) {
    for (const auto half : {id.high, id.low}) {
      for (unsigned shift = 64; shift > 0; shift -= 8) {
        byte(static_cast<std::uint8_t>(half >> (shift - 8)));
      }
    }
  }
  void when(const When& when) {
    zigzag(when.at.time_since_epoch().count());
    zigzag(when.offset_minutes);
  }
  void replacement(const ReplacementPointer& replacement) {
    byte(replacement == nullptr ? 0 : 1);
    if (replacement == nullptr) return;
    when(replacement->happened);
    varint(replacement->sequence);
    payload(replacement->payload, kind(replacement->payload));
  }

  std::vector<std::uint8_t>& out_;
};

// ---- bytes to values

// The first thing wrong stops it: from then on every value is empty and no byte is taken.
class Decoder {
 public:
  explicit Decoder(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}

  bool ok() const { return !failed_; }
  bool at_end() const { return at_ == bytes_.size(); }
  void fail() { failed_ = true; }
  Error error() const {
    if (newer_) {
      return {Kind::unavailable,
              std::string(codes::kind_newer),
              {arg_count("type", newer_->first), arg_count("version", newer_->second)},
              ""};
    }
    return {Kind::invalid_input,
            std::string(codes::bytes_form),
            {arg_count("byte", static_cast<std::int64_t>(at_))},
            ""};
  }

  std::uint8_t byte() {
    if (failed_ || at_ == bytes_.size()) {
      fail();
      return 0;
    }
    return bytes_[at_++];
  }

  /// What stands before a payload; `kind` is nullptr where it failed. A kind or version that we do
  /// not know is a newer program's, unless the bytes were cut before.
  struct Head {
    const KindInfo* kind = nullptr;
    std::uint16_t version = 0;
  };
  Head head() {
    const auto type = varint();
    const auto version = varint();
    if (failed_) return {};
    constexpr std::uint64_t most = std::numeric_limits<std::uint16_t>::max();
    const auto* kind =
        type <= most ? facts::kind_of_type(static_cast<std::uint16_t>(type)) : nullptr;
    if (kind != nullptr && version > 0 && version <= kind->version)
      return {kind, static_cast<std::uint16_t>(version)};
    if (type <= most && version <= most && version > 0 && type > 0) {
      newer_ = {static_cast<std::int64_t>(type), static_cast<std::int64_t>(version)};
    }
    fail();
    return {};
  }
  void envelope(Fact& fact) { list(Fact::list, &fact, 1); }
  void payload(Payload& payload, const Head& head) {
    facts::make(payload, *head.kind);
    list(*head.kind, facts::body(payload), head.version);
    // One fact, one way to write it.
    if (!failed_ && facts::version_of(payload) != head.version) fail();
  }

 private:
  // At most 64 bits, and never longer than it need be: one number, one way to write it.
  std::uint64_t varint() {
    std::uint64_t value = 0;
    for (unsigned shift = 0; shift < 64; shift += 7) {
      const auto next = byte();
      const auto bits = static_cast<std::uint64_t>(next & 0x7FU);
      if (shift == 63 && bits > 1) fail();
      value |= bits << shift;
      if ((next & 0x80U) == 0) {
        if (next == 0 && shift > 0) fail();
        return failed_ ? 0 : value;
      }
    }
    fail();
    return 0;
  }
  std::int64_t zigzag(std::int64_t least, std::int64_t most) {
    const auto raw = varint();
    const auto sign = (raw & 1U) != 0 ? ~std::uint64_t{0} : 0;
    const auto value = static_cast<std::int64_t>((raw >> 1U) ^ sign);
    if (value < least || value > most) fail();
    return failed_ ? std::int64_t{0} : value;
  }
  std::int32_t whole() {
    return static_cast<std::int32_t>(
        zigzag(std::numeric_limits<std::int32_t>::min(), std::numeric_limits<std::int32_t>::max()));
  }

  void list(const Group& list, void* owner, std::uint16_t version) {
    for (const auto& field : list.fields) {
      if (failed_) return;
      if (field.version > version) continue;
      auto* value = field.in(owner);
      if (field.holder == nullptr) {
        one(field, value);
      } else if (field.holder->many) {
        many(field, value);
      } else {
        const auto there = byte();
        if (there > 1) fail();
        if (there == 1) one(field, field.holder->grow(value));
      }
    }
  }
  void many(const Field& field, void* values) {
    const auto count = varint();
    // Every element takes a byte or more, so a count that lies runs out of bytes; memory is only
    // taken for elements that were read.
    if (count > bytes_.size() - at_) fail();
    for (std::uint64_t n = 0; n < count && !failed_; ++n) one(field, field.holder->grow(values));
  }
  void one(const Field& field, void* value) {
    switch (field.type) {
      case Type::flag: {
        const auto read = byte();
        if (read > 1) fail();
        as<bool>(value) = read == 1;
        return;
      }
      case Type::choice: {
        const auto read = byte();
        if (read >= field.words.size()) return fail();
        as<std::uint8_t>(value) = read;
        return;
      }
      case Type::count:
        as<std::int32_t>(value) = whole();
        return;
      case Type::strength:
        as<Strength>(value).units_per_ml = whole();
        return;
      case Type::mm:
        as<TenthsMm>(value).tenths = whole();
        return;
      case Type::cm:
        as<TenthsCm>(value).tenths = whole();
        return;
      case Type::celsius:
        as<TenthsCelsius>(value).tenths = whole();
        return;
      case Type::kg:
        as<TenthsKg>(value).tenths = whole();
        return;
      case Type::sequence:
        return sequence(as<std::uint32_t>(value));
      case Type::units:
        return units(as<Units>(value));
      case Type::day:
        as<LocalDay>(value) = LocalDay{days{zigzag(-days_most, days_most)}};
        return;
      case Type::minute:
        as<MinuteOfDay>(value).minutes = static_cast<std::int16_t>(zigzag(0, 24 * 60 - 1));
        return;
      case Type::text:
        return text(as<std::string>(value));
      case Type::id:
        return id(as<Id>(value));
      case Type::glucose:
        return glucose(as<Glucose>(value));
      case Type::hba1c:
        return hba1c(as<Hba1c>(value));
      case Type::when:
        return when(as<When>(value));
      case Type::group:
        return list(*field.group, value, 1);
      case Type::fact:
        return replacement(as<ReplacementPointer>(value));
      case Type::instant:  // recorded: the receiving side's
      case Type::own:      // of requests alone
        return;
    }
  }
  void sequence(std::uint32_t& value) {
    const auto read = varint();
    if (read > std::numeric_limits<std::uint32_t>::max()) fail();
    value = failed_ ? 0 : static_cast<std::uint32_t>(read);
  }
  void units(Units& value) {
    const auto read = varint();
    if (read > static_cast<std::uint64_t>(Units::hundredths_max)) fail();
    if (!failed_) value = *Units::from_hundredths(static_cast<std::int64_t>(read));
  }
  void text(std::string& text) {
    const auto length = varint();
    if (length > bytes_.size() - at_) fail();
    if (failed_) return;
    const auto* from = reinterpret_cast<const char*>(bytes_.data()) + at_;
    text.assign(from, static_cast<std::size_t>(length));
    at_ += static_cast<std::size_t>(length);
  }
  void id(Id& id) {
    if (failed_ || bytes_.size() - at_ < 16) return fail();
    id.high = eight();
    id.low = eight();
  }
  void glucose(Glucose& value) {
    const auto unit = byte();
    if (unit > static_cast<std::uint8_t>(GlucoseUnit::mg_dl)) fail();
    value.unit = unit == 0 ? GlucoseUnit::mmol_l : GlucoseUnit::mg_dl;
    value.value = whole();
  }
  void hba1c(Hba1c& value) {
    const auto unit = byte();
    if (unit > static_cast<std::uint8_t>(Hba1cUnit::ifcc_mmol_mol)) fail();
    value.unit = unit == 0 ? Hba1cUnit::ngsp_percent : Hba1cUnit::ifcc_mmol_mol;
    value.value = whole();
  }
  void when(When& value) {
    value.at = Instant{seconds{zigzag(-seconds_most, seconds_most)}};
    value.offset_minutes =
        static_cast<std::int16_t>(zigzag(-offset_minutes_most, offset_minutes_most));
  }
  void replacement(ReplacementPointer& pointer) {
    const auto there = byte();
    if (there > 1) fail();
    if (there != 1 || failed_) return;
    auto replacement = std::make_shared<Replacement>();
    when(replacement->happened);
    sequence(replacement->sequence);
    const auto found = head();
    if (found.kind == nullptr || found.kind->type == facts::Correction::type) return fail();
    payload(replacement->payload, found);
    pointer = std::move(replacement);
  }
  std::uint64_t eight() {
    std::uint64_t value = 0;
    for (int i = 0; i < 8; ++i) value = value << 8U | bytes_[at_++];
    return value;
  }

  std::span<const std::uint8_t> bytes_;
  std::size_t at_ = 0;
  bool failed_ = false;
  std::optional<std::pair<std::int64_t, std::int64_t>> newer_;
};

}  // namespace

void encode(const Fact& fact, std::vector<std::uint8_t>& into) {
  into.clear();
  Encoder out(into);
  out.byte(envelope_layout);
  const auto version = out.kind(fact.payload);
  out.envelope(fact);
  out.payload(fact.payload, version);
}

std::vector<std::uint8_t> encode(const Fact& fact) {
  std::vector<std::uint8_t> bytes;
  constexpr std::size_t usual = 256;
  bytes.reserve(usual);
  encode(fact, bytes);
  return bytes;
}

Result<Fact> decode(std::span<const std::uint8_t> bytes, Instant recorded) {
  Result<Fact> result;
  Decoder in(bytes);
  if (in.byte() != envelope_layout) in.fail();
  const auto head = in.ok() ? in.head() : Decoder::Head{};
  if (head.kind == nullptr) return in.error();
  auto& fact = *result;
  fact.recorded = recorded;
  in.envelope(fact);
  if (in.ok()) in.payload(fact.payload, head);
  if (in.ok() && !in.at_end()) in.fail();
  if (!in.ok()) return in.error();
  return result;
}

Digest digest_of(const Fact& fact, DigestFunction digest) { return digest(encode(fact)); }

}  // namespace penstock::wire
