// Sums of independent doses.
#include <algorithm>
#include <cmath>

#include "core/cover/internal/law.hpp"

namespace penstock::cover::internal {
namespace {

constexpr double tiny = 1e-22;

/// Cuts what is above `most` and chances that are nothing.
void cut(SumLaw& law, std::int64_t most) {
  const auto room = std::max<std::int64_t>(0, most - law.least + 1);
  if (static_cast<std::int64_t>(law.chance.size()) > room) {
    law.chance.resize(static_cast<std::size_t>(room));
  }
  std::size_t first = 0;
  while (first < law.chance.size() && law.chance[first] < tiny) ++first;
  law.chance.erase(law.chance.begin(), law.chance.begin() + static_cast<std::ptrdiff_t>(first));
  law.least += static_cast<std::int64_t>(first);
}

SumLaw sum_of(const SumLaw& a, const SumLaw& b, std::int64_t most) {
  SumLaw out;
  out.least = a.least + b.least;
  if (a.chance.empty() || b.chance.empty()) return out;
  out.chance = convolved(a.chance, b.chance);
  cut(out, most);
  return out;
}

SumLaw one_dose(const SlotLaw& slot) {
  if (slot.none == 0) return {slot.least_spend, slot.spend};
  SumLaw law{0, std::vector<double>(static_cast<std::size_t>(slot.least_spend), 0.0)};
  law.chance[0] = slot.none;
  law.chance.insert(law.chance.end(), slot.spend.begin(), slot.spend.end());
  return law;
}

struct Moments {
  double mean = 0, variance = 0;
};
Moments moments_of(const SlotLaw& slot) {
  double mean = 0, square = 0;
  for (std::size_t i = 0; i < slot.spend.size(); ++i) {
    const double units = static_cast<double>(slot.least_spend) + static_cast<double>(i);
    mean += units * slot.spend[i];
    square += units * units * slot.spend[i];
  }
  return {mean, std::max(0.0, square - mean * mean)};
}

}  // namespace

SlotLaw slot_law(const DoseLaw& doses, const std::vector<Taking>& in_use) {
  SlotLaw slot;
  slot.least = std::max<std::int64_t>(1, doses.least);
  const auto from = doses.chance.begin() + (doses.least == 0 ? 1 : 0);
  slot.none = doses.least == 0 ? doses.chance.front() : 0.0;
  slot.dose.assign(from, doses.chance.end());
  const auto spend_of = [&](std::int64_t dose) {
    return in_use[static_cast<std::size_t>(dose)].spend;
  };
  slot.least_spend = spend_of(slot.least);
  for (std::size_t i = 0; i < slot.dose.size(); ++i) {
    const auto dose = slot.least + static_cast<std::int64_t>(i);
    if (in_use[static_cast<std::size_t>(dose)].need == never_fits) break;
    const auto place = static_cast<std::size_t>(spend_of(dose) - slot.least_spend);
    slot.spend.resize(place + 1, 0.0);
    slot.spend[place] = slot.dose[i];
  }
  return slot;
}

SumLaw spent_in(const std::vector<SameDays>& stretch, std::int64_t most) {
  SumLaw all{0, {1.0}};
  for (const SameDays& same : stretch) {
    SumLaw day{0, {1.0}};
    for (const SlotLaw& slot : *same.slots) day = sum_of(day, one_dose(slot), most);
    for (auto days = same.days; days > 0; days /= 2) {
      if (days % 2 == 1) all = sum_of(all, day, most);
      if (days > 1) day = sum_of(day, day, most);
    }
  }
  return all;
}

bool may_be_at_most(const std::vector<SameDays>& stretch, std::int64_t most) {
  // P(S <= m) <= exp(t m) E[exp(-t S)] for every t > 0; t as for a normal sum.
  double mean = 0, variance = 0;
  for (const SameDays& same : stretch) {
    Moments day;
    for (const SlotLaw& slot : *same.slots) {
      const Moments m = moments_of(slot);
      day.mean += m.mean;
      day.variance += m.variance;
    }
    mean += same.days * day.mean;
    variance += same.days * day.variance;
  }
  const double room = static_cast<double>(most);
  const double t = (mean - room) / std::max(1e-9, variance);
  if (!(t > 0)) return true;
  double log_bound = t * room;
  const double ratio = std::exp(-t);
  for (const SameDays& same : stretch) {
    for (const SlotLaw& slot : *same.slots) {
      double sum = 0;  // by Horner, from the largest on
      for (std::size_t i = slot.spend.size(); i-- > 0;) sum = sum * ratio + slot.spend[i];
      sum = slot.none + sum * std::exp(-t * static_cast<double>(slot.least_spend));
      log_bound += same.days * std::log(sum);
    }
  }
  return !(log_bound < std::log(1e-18));
}

Padded::Padded(const std::vector<double>& values) : values_(values.size() + 2 * pad, 0.0) {
  std::copy(values.begin(), values.end(), values_.begin() + pad);
}

namespace {

// Where the compiler can make one function for two kinds of processor, the wider one is taken where
// it is there. Products are not fused into sums, so both give the same bits. Under a sanitizer the
// choice would be made before the sanitizer has begun, and end the program.
#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) && \
    !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define PENSTOCK_WIDE [[gnu::target_clones("avx2", "default")]]
#else
#define PENSTOCK_WIDE
#endif

PENSTOCK_WIDE void eight_rows(double* __restrict to, const double* __restrict from,
                              const double* __restrict by, std::ptrdiff_t size) {
  const double a = from[0], b = from[1], c = from[2], d = from[3];
  const double e = from[4], f = from[5], g = from[6], h = from[7];
  for (std::ptrdiff_t j = 0; j < size; ++j) {
    double sum = to[j];
    sum += a * by[j];
    sum += b * by[j - 1];
    sum += c * by[j - 2];
    sum += d * by[j - 3];
    sum += e * by[j - 4];
    sum += f * by[j - 5];
    sum += g * by[j - 6];
    sum += h * by[j - 7];
    to[j] = sum;
  }
}

}  // namespace

void convolve_rows(double* to, const double* from, const double* by, std::size_t begin,
                   std::size_t end) {
  // Whole vectors of four: nothing is left over for a loop of its own.
  const std::size_t size = (end - begin + rows - 1 + 3) / 4 * 4;
  eight_rows(to + begin, from, by + begin, static_cast<std::ptrdiff_t>(size));
}

std::vector<double> convolved(const std::vector<double>& a, const std::vector<double>& b) {
  const Padded from(a), by(b);
  std::vector<double> to(a.size() + b.size() + rows + 2 * pad, 0.0);
  for (std::size_t i = 0; i < a.size(); i += rows) {
    convolve_rows(to.data() + i, from.data() + i, by.data(), 0, by.size());
  }
  to.resize(a.size() + b.size() - 1);
  return to;
}

}  // namespace penstock::cover::internal
