#include "core/facts/payload.hpp"

#include <array>
#include <optional>

#include "core/facts/facts.hpp"
#include "core/facts/list.hpp"

namespace penstock::fields {
template <>
inline constexpr Type type_of<std::shared_ptr<const facts::Replacement>> = Type::fact;
}  // namespace penstock::fields

namespace penstock::facts {
namespace {

using Indexes = std::make_index_sequence<std::variant_size_v<AnyKind>>;
template <std::size_t I>
using KindAt = std::variant_alternative_t<I, AnyKind>;

constexpr auto table = []<std::size_t... I>(std::index_sequence<I...> /*all*/) {
  return std::array<const KindInfo*, sizeof...(I)>{&KindAt<I>::kind...};
}(Indexes{});

using Emplace = void (*)(AnyKind& into);
constexpr auto blanks = []<std::size_t... I>(std::index_sequence<I...> /*all*/) {
  return std::array<Emplace, sizeof...(I)>{[](AnyKind& into) { into.emplace<I>(); }...};
}(Indexes{});
using Move = void (*)(AnyKind& into, void* from);
constexpr auto moves = []<std::size_t... I>(std::index_sequence<I...> /*all*/) {
  return std::array<Move, sizeof...(I)>{[](AnyKind& into, void* from) {
    into.emplace<I>(std::move(*static_cast<KindAt<I>*>(from)));
  }...};
}(Indexes{});

// From a type number to a place in the registry; numbers are small and for ever.
constexpr std::size_t types_end = 256;
std::optional<std::size_t> place_of_type(std::uint16_t type) {
  static const auto places = [] {
    std::array<std::uint8_t, types_end> made{};
    for (std::size_t n = 0; n < table.size(); ++n) {
      INVARIANT(table[n]->type > 0 && table[n]->type < types_end && made[table[n]->type] == 0);
      made[table[n]->type] = static_cast<std::uint8_t>(n + 1);
    }
    return made;
  }();
  if (type >= types_end || places[type] == 0) return std::nullopt;
  return places[type] - 1U;
}

constexpr Field correction_fields[] = {
    FIELD(Correction, target, "target").like(a_fact),
    FIELD(Correction, reason, "reason").long_text().like(R"("26, not 36")"),
    FIELD(Correction, wrong_person, "wrong_person"),
    FIELD(Correction, replacement, "replacement")
        .like(R"({"happened": "2026-03-16T22:05:00+01:00", "what": "injected",)"
              R"( "cartridge": "1f2e3d4c5b6a79880a1b2c3d4e5f6071", "units": 26})")};

void correction_sound(const Correction& correction, Whole& whole) {
  if (correction.target == whole.id()) whole.refuse("target", codes::correction_target);
  if (correction.wrong_person && correction.replacement)
    whole.refuse("wrong_person", codes::correction_both);
}

constexpr Field envelope[] = {FIELD(Fact, id, "id"),
                              FIELD(Fact, journal, "journal"),
                              FIELD(Fact, happened, "happened").past(),
                              FIELD(Fact, sequence, "sequence"),
                              FIELD(Fact, recorded, "recorded"),
                              FIELD(Fact, author, "author").needed(),
                              FIELD(Fact, told_by, "told_by"),
                              FIELD(Fact, source, "source").needed()};

}  // namespace

constexpr KindInfo Correction::kind =
    listed<Correction>(correction_fields, {.sound = erased<correction_sound>});
constexpr Group Fact::list{envelope};

// ---- the payload

Payload::Payload() = default;
Payload::Payload(const Payload&) = default;
Payload::Payload(Payload&&) noexcept = default;
Payload& Payload::operator=(const Payload&) = default;
Payload& Payload::operator=(Payload&&) noexcept = default;
Payload::~Payload() = default;
Payload::Payload(std::size_t index, void* moved_from) { moves[index](*this, moved_from); }

bool operator==(const Payload& a, const Payload& b) {
  return a.index() == b.index() && same(kind_of(a), body(a), body(b));
}
bool operator==(const Fact& a, const Fact& b) {
  return same(Fact::list, &a, &b) && a.payload == b.payload;
}

const KindInfo& kind_of(const Payload& payload) { return *table[payload.index()]; }
const void* body(const Payload& payload) {
  return std::visit([](const auto& kind) -> const void* { return &kind; },
                    static_cast<const AnyKind&>(payload));
}
void* body(Payload& payload) {
  return std::visit([](auto& kind) -> void* { return &kind; }, static_cast<AnyKind&>(payload));
}
void make(Payload& payload, const KindInfo& kind) {
  const auto place = place_of_type(kind.type);
  INVARIANT(place.has_value());
  blanks[*place](payload);
}

// ---- the kinds

Kinds::Step Kinds::begin() { return Step(table.data()); }
Kinds::Step Kinds::end() { return Step(table.data() + table.size()); }
const KindInfo& Kinds::operator[](std::size_t index) const { return *table[index]; }

const KindInfo* kind_of_type(std::uint16_t type) {
  const auto place = place_of_type(type);
  return place ? table[*place] : nullptr;
}
const KindInfo* kind_of_name(std::string_view name) {
  for (const auto* kind : table) {
    if (kind->name == name) return kind;
  }
  return nullptr;
}
bool is_of_clinic(std::uint16_t type) {
  const auto* kind = kind_of_type(type);
  return kind != nullptr && kind->is_of_clinic;
}
std::uint16_t version_of(const Payload& payload) {
  const auto& kind = kind_of(payload);
  int version = 1;
  for (const auto& field : kind.fields) {
    if (field.version > version && !same({{&field, 1}}, body(payload), kind.blank()))
      version = field.version;
  }
  return static_cast<std::uint16_t>(version);
}

}  // namespace penstock::facts
