#!/usr/bin/env bash
# How fast is a person's page under load, against the same server's empty answer?
# 64 connections, wrk and server on this machine. Prints both rates, both 99th percentiles and the
# ratio of the rates. The empty answer is the same server doing nothing, so that the ratio does not
# depend on the machine.
#
#   bench/person_page_load.sh [PENSTOCK] [SECONDS]
set -euo pipefail
house=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
penstock=${1:-$house/build/penstock}
seconds=${2:-10}
command -v wrk >/dev/null || { echo "This measurement needs the Debian package wrk." >&2; exit 2; }

folder=$(mktemp -d)
server=
finish() {
  if [ -n "$server" ]; then kill "$server" 2>/dev/null || true; wait "$server" 2>/dev/null || true; fi
  rm -rf "$folder"
}
trap finish EXIT

data=$folder/demo.penstock
"$penstock" demo --data "$data" >/dev/null
# The person with the longest journal: the page that has most to fold.
ids=$("$penstock" people --data "$data" --json | grep -o '"id": "[0-9a-f]\{32\}"' | cut -d'"' -f4 | sort -u)
longest=0 person=
for id in $ids; do
  version=$("$penstock" show "$id" --data "$data" --json | grep -o '"version": [0-9]*' | head -n 1 | tr -dc 0-9)
  if [ "${version:-0}" -gt "$longest" ]; then longest=$version person=$id; fi
done

"$penstock" serve --data "$data" --port 0 >"$folder/out" 2>"$folder/error" &
server=$!
for _ in $(seq 100); do
  address=$(grep -o 'http://127.0.0.1:[0-9]*' "$folder/out" || true)
  [ -n "$address" ] && break
  sleep 0.05
done
[ -n "${address:-}" ] || { cat "$folder/error" >&2; exit 1; }
cookie="Cookie: penstock-${address##*:}=$(grep -o 'start=[0-9a-f]*' "$folder/out" | cut -d= -f2)"

measure() { # path -> "rate p99"
  wrk -H "$cookie" -t2 -c64 -d"${seconds}s" --latency "$address$1" >"$folder/wrk"
  if grep -q 'Non-2xx\|Socket errors' "$folder/wrk"; then cat "$folder/wrk" >&2; exit 1; fi
  awk '/Requests\/sec/ { rate = $2 } $1 == "99%" { p99 = $2 } END { print rate, p99 }' "$folder/wrk"
}
measure /api/health >/dev/null # warm
empty=$(measure /api/health)
measure "/api/people/$person" >/dev/null
page=$(measure "/api/people/$person")
# What a browser asks for beside it, on the same page.
places=$(measure "/api/people/$person/places")
supplies=$(measure "/api/people/$person/supplies")
echo "empty answer: ${empty% *} requests/s, 99 % within ${empty#* }"
echo "person page ($longest facts): ${page% *} requests/s, 99 % within ${page#* }"
echo "its places: ${places% *} requests/s; its supplies: ${supplies% *} requests/s"
awk -v page="${page% *}" -v places="${places% *}" -v supplies="${supplies% *}" \
  'BEGIN { printf "all three documents: %.0f times a second\n", 1 / (1 / page + 1 / places + 1 / supplies) }'
awk -v empty="${empty% *}" -v page="${page% *}" 'BEGIN { printf "ratio: 1 to %.1f\n", empty / page }'
