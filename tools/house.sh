# What ./run and ./test share: packages, the front end, the native build. Sourced, never run.
# shellcheck shell=bash

house=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=${PENSTOCK_BUILD:-$house/build}

say() { printf '%s\n' "$*" >&2; }
fail() {
  say "$*"
  exit 1
}

as_root() {
  if [ "$(id -u)" -eq 0 ]; then
    "$@"
  elif command -v sudo >/dev/null; then
    sudo "$@"
  else
    fail "Some packages are missing and only root can install them. Run as root once, or install sudo: $*"
  fi
}

# Names of the packages of the given lists (tools/packages/NAME.txt) that this machine has not got, one a line.
missing_packages() {
  local list package condition command wanted=()
  for list in "$@"; do
    while read -r package condition command; do
      case $package in '' | '#'*) continue ;; esac
      if [ "$condition" = unless ] && command -v "$command" >/dev/null; then continue; fi
      wanted+=("$package")
    done <"$house/tools/packages/$list.txt"
  done
  # One question for all of them: this runs at every start.
  # It ends with 1 where one was never heard of, which is an answer, too.
  { dpkg-query -W -f='${db:Status-Status} ${Package}\n' "${wanted[@]}" 2>/dev/null || true; } |
    sed -n 's/^installed //p' | sort >"$build/.installed"
  printf '%s\n' "${wanted[@]}" | sort | comm -23 - "$build/.installed"
}

# Installs what is missing of the given lists; asks nothing and touches nothing when all is there.
need_packages() {
  mkdir -p "$build"
  if ! command -v dpkg-query >/dev/null; then
    say "This is not a Debian machine: install the packages named in tools/packages yourself if the build stops."
    return
  fi
  local missing
  mapfile -t missing < <(missing_packages "$@")
  [ ${#missing[@]} -eq 0 ] && return
  say "Installing ${#missing[@]} packages: ${missing[*]}"
  # --no-remove: never let apt take something of the user's away to make room for ours.
  as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq update
  as_root env DEBIAN_FRONTEND=noninteractive \
    apt-get -qq install -y --no-remove --no-install-recommends "${missing[@]}" >"$build/apt.log" 2>&1 ||
    { tail -n 15 "$build/apt.log" >&2; fail "apt-get could not install them; the whole log is in build/apt.log"; }
}

# npm packages of a folder, only when its lock file is newer than what is there.
need_node_modules() {
  local folder=$1 stamp=$1/node_modules/.penstock-stamp
  [ -e "$stamp" ] && [ ! "$folder/package-lock.json" -nt "$stamp" ] && return
  say "Fetching npm packages for ${folder#"$house"/}"
  (cd "$folder" && npm ci --no-audit --no-fund --loglevel=error) >&2 || return 1
  touch "$stamp"
}

# The front end, only when a source of it changed (a folder's own time changes when a file in it goes).
build_web() {
  local stamp=$build/.web-stamp
  if [ -e "$stamp" ] && [ -d "$house/web/dist" ] &&
    [ -z "$(find "$house/web" "$house/data/words" \( -name node_modules -o -name dist \) -prune -o \
      -newer "$stamp" ! -path "$house/web" -print -quit)" ]; then
    return
  fi
  need_node_modules "$house/web" || return 1
  say "Building the front end"
  (cd "$house/web" && npm run --silent build) >"$build/web.log" 2>&1 || {
    cat "$build/web.log" >&2
    return 1
  }
  touch "$stamp"
}

# Configures once; later changes to CMake files are seen by ninja itself. Words after the first are passed on to cmake.
configure() {
  local tests=$1
  if [ ! -e "$build/build.ninja" ] ||
    { [ "$tests" = ON ] && ! grep -q '^PENSTOCK_TESTS:BOOL=ON$' "$build/CMakeCache.txt"; }; then
    cmake --preset release -S "$house" -B "$build" -DPENSTOCK_TESTS="$tests" >"$build/cmake.log" 2>&1 || {
      cat "$build/cmake.log" >&2
      return 1
    }
  fi
}
