#!/usr/bin/env bash
# tools/at_clock.sh COMMAND...   runs a command at the tests' own hour of the tests' own day, from where its clock runs on.
# The program has no switch for its clock, and gets none: a wrong hour is a wrong dose. Debian's libfaketime moves the clock from outside.
set -euo pipefail

# A Wednesday mid-morning: with no change of the clocks in the demo clinic's 90 days before it, nor in the 90 after.
clock=${PENSTOCK_TEST_CLOCK:-2027-07-07T10:20}

fail() {
  printf '%s\n' "$*" >&2
  exit 1
}
# One started by another goes on with its clock.
[ -n "${FAKETIME:-}" ] && exec "$@"

# Local time where the demo clinic is, with an offset where an hour comes twice. A time that the clocks skip is refused by date itself.
wanted=$(date -d "TZ=\"Europe/Berlin\" $clock" +%s) || fail "PENSTOCK_TEST_CLOCK is no time in Europe/Berlin: $clock"
library=$(dpkg -L libfaketime 2>/dev/null | grep -m 1 '/libfaketimeMT\.so\.1$') || fail "libfaketime is missing (tools/packages/test.txt)"

# An offset, not a start: what is started later, or again, is later by as much. The sanitizers may come second in the list of libraries.
FAKETIME=$(printf '%+ds' $((wanted - $(date +%s))))
export FAKETIME LD_PRELOAD=$library FAKETIME_DONT_FAKE_MONOTONIC=1 NO_FAKE_STAT=1 TZ=UTC
export ASAN_OPTIONS="${ASAN_OPTIONS:+$ASAN_OPTIONS:}verify_asan_link_order=0"
exec "$@"
