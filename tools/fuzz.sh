#!/usr/bin/env bash
# The fuzz targets with clang's libFuzzer, which looks for inputs that reach new code, and with the sanitizers of asan.
#
#   tools/fuzz.sh HOURS [TARGET...]   all targets, or those named, share the time, one on each processor (./test fuzz HOURS does the same)
#   tools/fuzz.sh keep [TARGET...]    the shortest of the inputs found so far that reach what no other reaches go into tests/fuzz/corpus
#
# What an input of the corpus must do stands beside its target in tests/fuzz. An input that broke a law, or took a minute, lies in
# build/fuzz/found/TARGET; penstock_fuzz TARGET FILE runs it again.
set -euo pipefail
. "$(dirname "${BASH_SOURCE[0]}")/house.sh"
folder=$build/fuzz program=$folder/penstock_fuzz
# A file of the corpus is read by people and by git: what takes more to say stays outside.
kept_bytes_most=2048

built() {
  need_packages build test fuzz
  [ -e "$folder/build.ninja" ] || cmake --preset fuzz -S "$house" -B "$folder" >"$build/fuzz-cmake.log" 2>&1 ||
    { cat "$build/fuzz-cmake.log" >&2; fail "The build for fuzzing could not be configured"; }
  cmake --build "$folder" --target penstock_fuzz >&2
}

seeded() { # target
  mkdir -p "$folder/corpus/$1" "$folder/seeds/$1" "$folder/found/$1"
  "$program" seeds "$1" "$folder/seeds/$1"
}

# Says on one line how the target went.
hunt() { # target, seconds
  seeded "$1"
  local log=$folder/found/$1.log status=0
  "$program" "$1" -max_total_time="$2" -timeout=60 -rss_limit_mb=4096 -max_len=65536 -print_final_stats=1 \
    -artifact_prefix="$folder/found/$1/" "$folder/corpus/$1" "$folder/seeds/$1" "$house/tests/fuzz/corpus/$1" \
    >"$log" 2>&1 || status=$?
  local runs
  runs=$(sed -n 's/^stat::number_of_executed_units: //p' "$log")
  if [ "$status" -eq 0 ]; then
    echo "$1: $runs inputs, all laws held"
  else
    echo "$1: $runs inputs, then one that broke a law: $log"
    grep -m 1 -E 'LAW BROKEN|PROMISE BROKEN|runtime error|ERROR: ' "$log" || true
  fi
  return "$status"
}

keep() { # target
  seeded "$1"
  local all=$folder/merge/$1 small=$folder/small/$1 home=$house/tests/fuzz/corpus/$1
  rm -rf "$all" "$small"
  mkdir -p "$all" "$small" "$home"
  local from
  for from in "$folder/corpus/$1" "$home"; do
    find "$from" -type f -size "-$((kept_bytes_most + 1))c" -exec cp -t "$small" {} +
  done
  # The seeds are there in any case: they come first, and nothing is kept that adds nothing to them.
  cp "$folder/seeds/$1"/* "$all"
  "$program" "$1" -set_cover_merge=1 -use_counters=0 -max_len=65536 "$all" "$small" >"$folder/found/$1.log" 2>&1
  local file
  for file in "$home"/*; do
    # What has a name was written by hand.
    if [[ $(basename "$file") =~ ^[0-9a-f]{40}$ ]]; then rm "$file"; fi
  done
  for file in "$all"/*; do
    if [[ $(basename "$file") =~ ^[0-9a-f]{40}$ ]]; then cp "$file" "$home"; fi
  done
  echo "$1: $(find "$home" -type f | wc -l) inputs, $(find "$home" -type f -exec cat {} + | wc -c) bytes"
}

what=${1:-}
shift || true
[[ $what = keep || $what =~ ^[0-9]+(\.[0-9]+)?$ ]] || { sed -n '2,9s/^# \{0,1\}//p' "${BASH_SOURCE[0]}" >&2; exit 2; }
built
mapfile -t names < <("$program" list)
for name in "$@"; do
  [[ " ${names[*]} " = *" $name "* ]] || fail "no target is called $name; there are: ${names[*]}"
done
[ $# -gt 0 ] && names=("$@")
if [ "$what" = keep ]; then
  for name in "${names[@]}"; do keep "$name"; done
  exit
fi
seconds=$(awk -v hours="$what" -v cores="$(nproc)" -v targets="${#names[@]}" \
  'BEGIN { s = int(hours * 3600 * cores / targets); print s > 0 ? s : 1 }')
say "${#names[@]} targets, $seconds s each"
export -f hunt seeded
export folder program house
printf '%s\n' "${names[@]}" | xargs -P "$(nproc)" -I{} bash -c 'hunt "$1" "$2"' hunt {} "$seconds"
