#include "core/shelf/shelf.hpp"

#include <algorithm>
#include <utility>

namespace penstock::shelf {
namespace {

template <class Thing>
const Entry<Thing>* by_code(const std::vector<Entry<Thing>>& entries, std::string_view code) {
  const auto found = std::ranges::find(entries, code, &Entry<Thing>::code);
  return found == entries.end() ? nullptr : &*found;
}

template <class Thing>
void lay_entry(std::vector<Entry<Thing>>& entries, Entry<Thing> entry) {
  const auto found = std::ranges::find(entries, entry.code, &Entry<Thing>::code);
  if (found == entries.end()) {
    entries.push_back(std::move(entry));
  } else {
    *found = std::move(entry);
  }
}

/// Small letters, one blank between words.
std::string folded(std::string_view name) {
  std::string out;
  for (const char c : name) {
    const bool blank = c == ' ' || c == '\t';
    if (blank && (out.empty() || out.back() == ' ')) continue;
    out += blank ? ' ' : c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  if (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

}  // namespace

const Entry<Insulin>* Shelf::named(std::string_view name, std::optional<Strength> strength) const {
  const auto wanted = folded(name);
  const Entry<Insulin>* found = nullptr;
  for (const auto& entry : insulins) {
    if (folded(entry.thing.name) != wanted) continue;
    if (strength && entry.thing.strength != *strength) continue;
    if (found == nullptr || entry.thing.in_use_most < found->thing.in_use_most) found = &entry;
  }
  return found;
}
std::optional<bool> Shelf::is_cloudy(std::string_view name) const {
  if (const auto* entry = named(name)) return entry->thing.suspension;
  const auto wanted = folded(name);
  for (const std::string_view word : {"nph", "isophane", "protamine"}) {
    if (wanted.find(word) != std::string::npos) return true;
  }
  return std::nullopt;
}

const Entry<Insulin>* Shelf::insulin(std::string_view code) const {
  return by_code(insulins, code);
}
const Entry<Insulin>* Shelf::insulin(std::string_view name, Strength strength) const {
  const auto found = std::ranges::find_if(insulins, [&](const Entry<Insulin>& entry) {
    return entry.thing.name == name && entry.thing.strength == strength;
  });
  return found == insulins.end() ? nullptr : &*found;
}
const Entry<Cartridge>* Shelf::cartridge(std::string_view code) const {
  return by_code(cartridges, code);
}
const Entry<Pen>* Shelf::pen(std::string_view code) const { return by_code(pens, code); }
const Entry<Needle>* Shelf::needle(std::string_view code) const { return by_code(needles, code); }

bool fits(const Pen& pen, const Cartridge& cartridge) {
  return pen.takes == cartridge.presentation && !pen.fits.empty() && pen.fits == cartridge.fits;
}
bool fits(const Pen& pen, const Needle& needle) {
  return !pen.needle_fits.empty() && pen.needle_fits == needle.fits;
}

const Entry<Cartridge>* made_for(const Shelf& shelf, const Pen& pen, std::string_view insulin_code,
                                 Units content) {
  const auto found = std::ranges::find_if(shelf.cartridges, [&](const auto& entry) {
    return entry.thing.insulin == insulin_code && entry.thing.content == content &&
           fits(pen, entry.thing);
  });
  return found == shelf.cartridges.end() ? nullptr : &*found;
}

void lay(Shelf& shelf, Entry<Insulin> entry) { lay_entry(shelf.insulins, std::move(entry)); }
void lay(Shelf& shelf, Entry<Cartridge> entry) { lay_entry(shelf.cartridges, std::move(entry)); }
void lay(Shelf& shelf, Entry<Pen> entry) { lay_entry(shelf.pens, std::move(entry)); }
void lay(Shelf& shelf, Entry<Needle> entry) { lay_entry(shelf.needles, std::move(entry)); }

}  // namespace penstock::shelf
