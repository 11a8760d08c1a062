// What the shelf says against what is recorded: a pen's or a cartridge's copy that is other than
// its entry, an entry of the clinic's own that would change one, an item that is not there.
//
//   for (auto& odd : products::differences(payload, clinic.shelf)) ...   // each asked about
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/shelf/shelf.hpp"

namespace penstock::products {

namespace codes {
// What a given pen or a loaded cartridge says otherwise than the shelf's entry of its name; each
// with [pen, said, shelf], of an insulin with [insulin, strength, said, shelf].
inline constexpr std::string_view ask_window_differs = "ask.window_differs";  // H01
inline constexpr std::string_view ask_step_differs = "ask.step_differs";      // H01
inline constexpr std::string_view ask_prime_differs = "ask.prime_differs";    // H44
inline constexpr std::string_view ask_in_use_differs = "ask.in_use_differs";  // H12
inline constexpr std::string_view ask_heat_differs = "ask.heat_differs";      // H12
inline constexpr std::string_view ask_copy_differs =
    "ask.copy_differs";  // H12, H14: any other figure [name, field, said, shelf]
inline constexpr std::string_view ask_content = "ask.content";  // H25 [content, most]
inline constexpr std::string_view ask_shelf_figure =
    "ask.shelf_figure";  // H01, H12: for the whole clinic [name, code, field, was, would]
inline constexpr std::string_view ask_shelf_content =
    "ask.shelf_content";  // H03, H25: not its volume times its strength [name, value, expected]
inline constexpr std::string_view ask_shelf_twin =
    "ask.shelf_twin";  // H01: another entry is called so [name, code]
}  // namespace codes

/// Where a pen's or a cartridge's copy is other than the shelf's entry of its name, or holds more
/// than such a one can: a number goes on its window, its steps and its days (H01, H12, H25).
std::vector<Error> differences(const journal::Payload& payload, const shelf::Shelf& shelf);
/// Of an entry of the clinic's own: figures that would take the place of what stands, each with
/// what it is and would be, another entry that is called alike, and a content that is not its
/// volume times its strength (H01, H03, H12).
std::vector<Error> about_entry(const journal::Payload& payload, const shelf::Shelf& shelf);
/// The codes that whoever typed this item perhaps meant, by the name of the insulin or of the
/// thing; where it is like none of them, all, so that one can be picked.
std::string items_meant(std::string_view item, const shelf::Shelf& shelf);

}  // namespace penstock::products
