# Toolchain: the core, words and drawings for WebAssembly with Debian's clang 19 and wasi-libc. Used by tools/wasm.sh.
set(CMAKE_SYSTEM_NAME Generic)
set(CMAKE_SYSTEM_PROCESSOR wasm32)
set(PENSTOCK_WASM ON)

set(CMAKE_C_COMPILER clang-19)
set(CMAKE_CXX_COMPILER clang++-19)
set(CMAKE_ASM_COMPILER clang-19)
# The archive format is the same for every machine, and the linker does without an index of symbols.
set(CMAKE_AR ar)
set(CMAKE_RANLIB ranlib)
foreach(language C CXX ASM)
  set(CMAKE_${language}_COMPILER_TARGET wasm32-wasi)
endforeach()
# There is no unwinder, and the house has no exceptions below shell.
set(CMAKE_CXX_FLAGS_INIT "-fno-exceptions")
set(CMAKE_EXE_LINKER_FLAGS_INIT "-mexec-model=reactor -Wl,--strip-all")
# A reactor has no main; the compiler is tried with a library.
set(CMAKE_TRY_COMPILE_TARGET_TYPE STATIC_LIBRARY)

# Header-only libraries come from this machine's /usr/include, which must not itself be searched: it holds another C library.
set(tl-expected_DIR ${CMAKE_CURRENT_LIST_DIR}/packages)
set(fmt_DIR ${CMAKE_CURRENT_LIST_DIR}/packages)
set(nlohmann_json_DIR ${CMAKE_CURRENT_LIST_DIR}/packages)
set(Boost_DIR ${CMAKE_CURRENT_LIST_DIR}/packages)
