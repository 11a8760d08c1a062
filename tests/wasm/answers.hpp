// What the native program and the WebAssembly module are both asked: one line in, one line out.
#pragma once

#include <string>
#include <string_view>

namespace penstock::wasm {

/// `question` is a verb, a space and what the verb takes. Every answer is one line; an unknown verb
/// is answered so.
std::string answer(std::string_view question);

}  // namespace penstock::wasm
