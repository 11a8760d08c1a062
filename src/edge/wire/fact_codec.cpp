#include "edge/wire/fact_codec.hpp"

#include <array>
#include <concepts>
#include <limits>
#include <utility>

#include "edge/wire/internal/fields.hpp"

namespace penstock::wire {
namespace {

using journal::Fact;
using journal::Payload;
using journal::Replacement;
using std::chrono::days;
using std::chrono::minutes;
using std::chrono::seconds;

// Wider than any time that journal::checked lets in, and far from where adding an offset overflows.
constexpr std::int64_t seconds_most = 100'000'000'000;  // the year 5138
constexpr std::int64_t days_most = 1'000'000;           // the year 4707
constexpr std::int64_t offset_minutes_most = 18 * 60;   // no zone on earth is farther from UTC

// ---- values to bytes

class Encoder {
 public:
  explicit Encoder(std::vector<std::uint8_t>& out) : out_(out) {}

  template <class T>
  void operator()(std::string_view /*name*/, const T& value) {
    put(value);
  }

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

  void put(bool value) { byte(value ? 1 : 0); }
  void put(std::int32_t value) { zigzag(value); }
  void put(std::uint32_t value) { varint(value); }
  void put(const std::string& text) {
    varint(text.size());
    out_.insert(out_.end(), text.begin(), text.end());
  }
  void put(const Id& id) {
    for (const auto half : {id.high, id.low}) {
      for (unsigned shift = 64; shift > 0; shift -= 8) {
        byte(static_cast<std::uint8_t>(half >> (shift - 8)));
      }
    }
  }
  void put(Units value) { varint(static_cast<std::uint64_t>(value.hundredths())); }
  void put(Strength value) { zigzag(value.units_per_ml); }
  void put(TenthsMm value) { zigzag(value.tenths); }
  void put(TenthsCm value) { zigzag(value.tenths); }
  void put(TenthsCelsius value) { zigzag(value.tenths); }
  void put(TenthsKg value) { zigzag(value.tenths); }
  void put(Glucose value) {
    byte(static_cast<std::uint8_t>(value.unit));
    zigzag(value.value);
  }
  void put(LocalDay value) { zigzag(value.time_since_epoch().count()); }
  void put(MinuteOfDay value) { zigzag(value.minutes); }
  void put(const When& value) {
    zigzag(value.at.time_since_epoch().count());
    zigzag(value.offset_minutes);
  }
  template <class E>
    requires std::is_enum_v<E>
  void put(E value) {
    byte(static_cast<std::uint8_t>(value));
  }
  template <class T>
  void put(const std::optional<T>& value) {
    put(value.has_value());
    if (value) put(*value);
  }
  template <class T>
  void put(const std::vector<T>& values) {
    varint(values.size());
    for (const auto& value : values) put(value);
  }
  void put(const ReplacementPointer& replacement) {
    put(replacement != nullptr);
    if (replacement == nullptr) return;
    put(replacement->happened);
    put(replacement->sequence);
    kind(replacement->payload);
    payload(replacement->payload);
  }
  template <Listed T>
  void put(const T& value) {
    fields(*this, value);
  }

  void kind(const Payload& payload) {
    const auto& info = journal::kinds[payload.index()];
    varint(info.type);
    varint(info.version);
  }
  void payload(const Payload& payload) {
    std::visit([this](const auto& value) { fields(*this, value); }, payload);
  }

 private:
  std::vector<std::uint8_t>& out_;
};

// ---- bytes to values

// The first thing wrong stops it: from then on every value is empty and no byte is taken.
class Decoder {
 public:
  explicit Decoder(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}

  template <class T>
  void operator()(std::string_view /*name*/, T& value) {
    get(value);
  }

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
    return within(value, least, most);
  }

  void get(bool& value) {
    const auto read = byte();
    if (read > 1) fail();
    value = read == 1;
  }
  void get(std::int32_t& value) { value = whole<std::int32_t>(); }
  void get(std::uint32_t& value) {
    const auto read = varint();
    if (read > std::numeric_limits<std::uint32_t>::max()) fail();
    value = failed_ ? 0 : static_cast<std::uint32_t>(read);
  }
  void get(std::string& text) {
    const auto length = varint();
    if (length > bytes_.size() - at_) fail();
    if (failed_) return;
    const auto* from = reinterpret_cast<const char*>(bytes_.data()) + at_;
    text.assign(from, static_cast<std::size_t>(length));
    at_ += static_cast<std::size_t>(length);
  }
  void get(Id& id) {
    if (failed_ || bytes_.size() - at_ < 16) return fail();
    id.high = eight();
    id.low = eight();
  }
  void get(Units& value) {
    const auto read = varint();
    if (read > static_cast<std::uint64_t>(Units::hundredths_max)) fail();
    if (!failed_) value = *Units::from_hundredths(static_cast<std::int64_t>(read));
  }
  void get(Strength& value) { value.units_per_ml = whole<std::int32_t>(); }
  void get(TenthsMm& value) { value.tenths = whole<std::int32_t>(); }
  void get(TenthsCm& value) { value.tenths = whole<std::int32_t>(); }
  void get(TenthsCelsius& value) { value.tenths = whole<std::int32_t>(); }
  void get(TenthsKg& value) { value.tenths = whole<std::int32_t>(); }
  void get(Glucose& value) {
    const auto unit = byte();
    if (unit > static_cast<std::uint8_t>(GlucoseUnit::mg_dl)) fail();
    value.unit = unit == 0 ? GlucoseUnit::mmol_l : GlucoseUnit::mg_dl;
    value.value = whole<std::int32_t>();
  }
  void get(LocalDay& value) { value = LocalDay{days{zigzag(-days_most, days_most)}}; }
  void get(MinuteOfDay& value) {
    value.minutes = static_cast<std::int16_t>(zigzag(0, 24 * 60 - 1));
  }
  void get(When& value) {
    value.at = Instant{seconds{zigzag(-seconds_most, seconds_most)}};
    value.offset_minutes =
        static_cast<std::int16_t>(zigzag(-offset_minutes_most, offset_minutes_most));
  }
  template <class E>
    requires std::is_enum_v<E>
  void get(E& value) {
    const auto read = byte();
    if (read >= names_of(E{}).size()) return fail();
    value = static_cast<E>(read);
  }
  template <class T>
  void get(std::optional<T>& value) {
    bool there = false;
    get(there);
    if (there) get(value.emplace(blank<T>()));
  }
  template <class T>
  void get(std::vector<T>& values) {
    const auto count = varint();
    // Every element takes a byte or more, so a count that lies runs out of bytes; memory is only
    // taken for elements that were read.
    if (count > bytes_.size() - at_) fail();
    for (std::uint64_t i = 0; i < count && !failed_; ++i) get(values.emplace_back(blank<T>()));
  }
  void get(ReplacementPointer& pointer) {
    bool there = false;
    get(there);
    if (!there || failed_) return;
    auto replacement = std::make_shared<Replacement>();
    get(replacement->happened);
    get(replacement->sequence);
    const auto* info = kind();
    if (info == nullptr || info->type == journal::Correction::type) return fail();
    payload(replacement->payload, *info);
    pointer = std::move(replacement);
  }
  template <Listed T>
  void get(T& value) {
    fields(*this, value);
  }

  // nullptr: failed. A kind or version that we do not know is a newer program's, unless the bytes
  // were cut before.
  const journal::KindInfo* kind() {
    const auto type = varint();
    const auto version = varint();
    if (failed_) return nullptr;
    constexpr std::uint64_t most = std::numeric_limits<std::uint16_t>::max();
    const auto* info =
        type <= most ? journal::kind_of_type(static_cast<std::uint16_t>(type)) : nullptr;
    // Every kind is at its first version; the lists of older versions will be chosen here.
    if (info != nullptr && info->version == version) return info;
    if (type <= most && version <= most && version > 0 && type > 0) {
      newer_ = {static_cast<std::int64_t>(type), static_cast<std::int64_t>(version)};
    }
    fail();
    return nullptr;
  }

  void payload(Payload& payload, const journal::KindInfo& info) {
    using Read = void (*)(Decoder&, Payload&);
    static constexpr auto readers = []<std::size_t... I>(std::index_sequence<I...>) {
      return std::array<Read, sizeof...(I)>{
          [](Decoder& decoder, Payload& into) { fields(decoder, into.emplace<I>()); }...};
    }(std::make_index_sequence<std::variant_size_v<Payload>>{});
    readers[info.index](*this, payload);
  }

 private:
  std::uint64_t eight() {
    std::uint64_t value = 0;
    for (int i = 0; i < 8; ++i) value = value << 8U | bytes_[at_++];
    return value;
  }
  std::int64_t within(std::int64_t value, std::int64_t least, std::int64_t most) {
    if (value < least || value > most) fail();
    return failed_ ? std::int64_t{0} : value;
  }
  template <class T>
  T whole() {
    return static_cast<T>(zigzag(std::numeric_limits<T>::min(), std::numeric_limits<T>::max()));
  }

  std::span<const std::uint8_t> bytes_;
  std::size_t at_ = 0;
  bool failed_ = false;
  std::optional<std::pair<std::int64_t, std::int64_t>> newer_;
};

void write(const Fact& fact, Encoder& out) {
  out.byte(envelope_layout);
  out.kind(fact.payload);
  out.put(fact.id);
  out.put(fact.journal);
  out.put(fact.happened);
  out.put(fact.sequence);
  out.put(fact.author);
  out.put(fact.told_by);
  out.put(fact.source);
  out.payload(fact.payload);
}

}  // namespace

void encode(const Fact& fact, std::vector<std::uint8_t>& into) {
  into.clear();
  Encoder out(into);
  write(fact, out);
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
  const auto* kind = in.ok() ? in.kind() : nullptr;
  if (kind == nullptr) return in.error();
  auto& fact = *result;
  fact.recorded = recorded;
  in.get(fact.id);
  in.get(fact.journal);
  in.get(fact.happened);
  in.get(fact.sequence);
  in.get(fact.author);
  in.get(fact.told_by);
  in.get(fact.source);
  if (in.ok()) in.payload(fact.payload, *kind);
  if (in.ok() && !in.at_end()) in.fail();
  if (!in.ok()) return in.error();
  return result;
}

Digest digest_of(const Fact& fact, DigestFunction digest) { return digest(encode(fact)); }

}  // namespace penstock::wire
