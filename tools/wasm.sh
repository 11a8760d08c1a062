#!/usr/bin/env bash
# The core, words and drawings as WebAssembly, asked the same questions as the native rooms. ./test wasm runs it after the
# native build; its last line is "wasm: N answers equal, N different".
set -euo pipefail
. "$(dirname "${BASH_SOURCE[0]}")/house.sh"
folder=$build/wasm
if [ ! -e "$folder/build.ninja" ]; then
  cmake -S "$house" -B "$folder" -G Ninja -DCMAKE_TOOLCHAIN_FILE="$house/cmake/wasm/wasm32-wasi.cmake" \
    -DCMAKE_BUILD_TYPE=Release -DPENSTOCK_TESTS=OFF -DPENSTOCK_TOGETHER=ON >"$build/wasm-cmake.log" 2>&1 ||
    { cat "$build/wasm-cmake.log"; exit 1; }
fi
cmake --build "$folder" --target penstock_core
# Node 18 keeps its WASI behind a switch that newer ones have dropped.
switch=()
case $(node --version) in v18.* | v19.*) switch=(--experimental-wasi-unstable-preview1) ;; esac
exec node --no-warnings "${switch[@]}" "$house/tests/wasm/compare.mjs" "$folder/penstock_core.wasm" "$build/wasm_native" \
  "$house"/tests/wasm/questions*.txt
