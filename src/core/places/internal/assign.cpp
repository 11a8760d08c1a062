// Which slot keeps to which part of the body.
#include <algorithm>

#include "core/places/internal/field.hpp"

namespace penstock::places::internal {
namespace {

using Counts = std::array<std::int32_t, parts>;

// Where a slot would rather go when nobody said so. Mealtime insulin is wanted fast: the abdomen is
// the fastest (B001, B002, B005); insulin at bedtime may be slow, the leg is the slowest (B001,
// B029). The arm comes last although it is faster than the leg (B003): a fold is hardly possible
// there alone (Z008).
constexpr std::array fast{BodyPart::abdomen, BodyPart::thigh, BodyPart::buttock, BodyPart::arm};
constexpr std::array slow{BodyPart::thigh, BodyPart::buttock, BodyPart::abdomen, BodyPart::arm};

std::span<const BodyPart> usual(std::string_view name) {
  for (const auto* meal : {"breakfast", "lunch", "supper"}) {
    if (name == meal) return fast;
  }
  for (const auto* night : {"bedtime", "night"}) {
    if (name == night) return slow;
  }
  return {};
}

Counts ranks_of_slot(const Slot& slot) {
  Counts ranks{};
  const std::span<const BodyPart> wished =
      slot.prefers.empty() ? usual(slot.name) : std::span<const BodyPart>(slot.prefers);
  if (wished.empty()) {
    ranks[index(BodyPart::arm)] = 1;
    return ranks;
  }
  // A part that is not named comes after those that are, the arm last.
  ranks.fill(-1);
  std::int32_t next = 0;
  for (const auto part : wished) {
    if (ranks[index(part)] < 0) ranks[index(part)] = next++;
  }
  for (const auto part : fast) {
    if (ranks[index(part)] < 0) ranks[index(part)] = next++;
  }
  return ranks;
}

/// The part where most of a slot's promises lie goes first: what was handed out stays right.
void put_promised_first(const PlaceRequest& request, Ranks& ranks) {
  std::vector<Counts> promised(request.slots.size(), Counts{});
  for (const auto& promise : request.promised) {
    ++promised[promise.slot][index(part_of(promise.zone))];
  }
  for (std::size_t i = 0; i < ranks.size(); ++i) {
    const auto most = std::ranges::max_element(promised[i]);
    if (*most == 0) continue;
    for (auto& rank : ranks[i]) ++rank;
    ranks[i][static_cast<std::size_t>(most - promised[i].begin())] = 0;
  }
}

constexpr std::int64_t unreachable = std::int64_t{1} << 40;

/// How the slots can be shared out: the least sum of ranks for each way of counting them by part;
/// what is not counted moves. Slots are added from the last to the first, so that among equals the
/// first slot gets what it would rather have.
class Table {
 public:
  Table(const PlaceRequest& request, const Ranks& ranks)
      : ranks_(ranks), base_(ranks.size() + 1), least_(ranks.size() + 1) {
    std::size_t size = 1;
    for (std::size_t p = 0; p < parts; ++p) size *= base_;
    for (const auto& slot : request.slots) may_move_.push_back(!slot.part);
    for (auto& row : least_) row.assign(size, unreachable);
    least_[ranks.size()][0] = 0;
    for (auto slot = ranks.size(); slot-- > 0;) add(slot);
  }

  std::int64_t least(const Counts& kept) const { return least_[0][key(kept)]; }

  std::vector<std::optional<BodyPart>> slots(Counts kept) const {
    std::vector<std::optional<BodyPart>> out;
    for (std::size_t slot = 0; slot < ranks_.size(); ++slot) {
      const auto left = least_[slot][key(kept)];
      std::optional<std::size_t> best;
      for (std::size_t p = 0; p < parts; ++p) {
        const auto rank = ranks_[slot][p];
        if (rank < 0 || kept[p] == 0) continue;
        if (least_[slot + 1][key(kept) - weight(p)] + rank != left) continue;
        if (!best || rank < ranks_[slot][*best]) best = p;
      }
      if (best) {
        out.push_back(static_cast<BodyPart>(*best));
        --kept[*best];
      } else {
        out.push_back({});
      }
    }
    return out;
  }

 private:
  std::size_t weight(std::size_t p) const {
    std::size_t w = 1;
    while (p-- > 0) w *= base_;
    return w;
  }
  std::size_t key(const Counts& kept) const {
    std::size_t k = 0;
    for (std::size_t p = 0; p < parts; ++p) k += static_cast<std::size_t>(kept[p]) * weight(p);
    return k;
  }
  void add(std::size_t slot) {
    const auto& before = least_[slot + 1];
    auto& after = least_[slot];
    const auto improve = [](std::int64_t& cell, std::int64_t sum) { cell = std::min(cell, sum); };
    for (std::size_t k = 0; k < before.size(); ++k) {
      if (before[k] >= unreachable) continue;
      if (may_move_[slot]) improve(after[k], before[k]);
      for (std::size_t p = 0; p < parts; ++p) {
        if (ranks_[slot][p] >= 0) improve(after[k + weight(p)], before[k] + ranks_[slot][p]);
      }
    }
  }

  const Ranks& ranks_;
  std::size_t base_;
  std::vector<bool> may_move_;
  std::vector<std::vector<std::int64_t>> least_;
};

/// The sum of slots squared over spots: least where parts are loaded alike.
std::int64_t load(const Field& field, const Counts& kept) {
  std::int64_t sum = 0;
  for (std::size_t p = 0; p < parts; ++p) {
    const auto spots = static_cast<std::int64_t>(field.open_in(static_cast<BodyPart>(p)));
    if (kept[p] > 0 && spots > 0) sum += std::int64_t{kept[p]} * kept[p] * 1'000'000 / spots;
  }
  return sum;
}

/// Calls each(kept) for every way to share `count` slots among the parts.
template <class Each>
void each_sharing(std::int32_t count, Each each) {
  for (std::int32_t a = 0; a <= count; ++a) {
    for (std::int32_t b = 0; a + b <= count; ++b) {
      for (std::int32_t c = 0; a + b + c <= count; ++c) each(Counts{a, b, c, count - a - b - c});
    }
  }
}

Ranks ranks_of(const PlaceRequest& request, const Field& field) {
  Ranks ranks;
  for (const auto& slot : request.slots) ranks.push_back(ranks_of_slot(slot));
  put_promised_first(request, ranks);
  for (std::size_t i = 0; i < ranks.size(); ++i) {
    for (std::size_t p = 0; p < parts; ++p) {
      const auto part = static_cast<BodyPart>(p);
      const auto& wanted = request.slots[i].part;
      if (field.open_in(part) == 0 || (wanted && *wanted != part)) ranks[i][p] = -1;
    }
  }
  return ranks;
}

}  // namespace

std::optional<Assignment> assign(const PlaceRequest& request, const Field& field) {
  Ranks ranks = ranks_of(request, field);
  const auto free = free_by(field, request.rest_days, request.days);
  const Table table(request, ranks);
  const auto slots = static_cast<std::int32_t>(request.slots.size());
  for (std::int32_t moving = 0; moving <= slots; ++moving) {
    std::optional<Shares> best;
    std::pair<std::int64_t, std::int64_t> least{unreachable, 0};
    each_sharing(slots - moving, [&](const Counts& kept) {
      const std::pair cost{table.least(kept), load(field, kept)};
      if (cost >= least || !possible(free, {kept, moving})) return;
      least = cost;
      best = Shares{kept, moving};
    });
    if (best) return Assignment{table.slots(best->kept), *best, ranks};
  }
  return {};
}

}  // namespace penstock::places::internal
