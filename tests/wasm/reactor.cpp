// The WebAssembly side: memory handed out, one question answered, and where its answer lies.
#include <cstddef>
#include <cstdint>
#include <new>
#include <string>

#include "answers.hpp"

namespace {
std::string last;
}

extern "C" {

// Debian's wasi-libc is built with stack protection and does not bring these two names.
std::uintptr_t __stack_chk_guard = 0x00000aff;
[[noreturn]] void __stack_chk_fail() { __builtin_trap(); }

[[clang::export_name("penstock_memory")]] void* penstock_memory(std::size_t bytes) {
  return ::operator new(bytes);
}
[[clang::export_name("penstock_free")]] void penstock_free(void* memory) {
  ::operator delete(memory);
}
[[clang::export_name("penstock_answer")]] const char* penstock_answer(const char* question,
                                                                      std::size_t bytes) {
  last = penstock::wasm::answer({question, bytes});
  return last.data();
}
[[clang::export_name("penstock_answer_bytes")]] std::size_t penstock_answer_bytes() {
  return last.size();
}

}  // extern "C"
