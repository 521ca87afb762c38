#!/usr/bin/env bash
# run.sh BUILD_FOLDER: 200 paired devices at one `oddgrist serve`, beside a plain echo server (README.md).
# ODDGRIST_DEVICES_SECONDS is how long each kind of request goes on (5).
set -euo pipefail
build=$(readlink -f "$1")
here=$(dirname "$(readlink -f "$0")")
seconds=${ODDGRIST_DEVICES_SECONDS:-5}
devices=200
threads=40  # of the echo server
brief=$here/../../examples/saltmarsh-round.toml

scratch=$(mktemp -d)
started=()
clean_up() {
  for process in "${started[@]}"; do kill "$process" 2> /dev/null || true; done
  wait
  rm -rf "$scratch"
}
trap clean_up EXIT
fail() { printf 'bench devices: %s\n' "$*" >&2; exit 1; }

# Waits until the file has a line that fits, and says it.
line_of() {
  local file=$1 pattern=$2
  for ((i = 0; i < 1000; i++)); do
    if grep -m 1 -E "$pattern" "$file" 2> /dev/null; then return; fi
    sleep 0.02
  done
  cat "$scratch"/*.log >&2
  fail "no line like $pattern in $(basename "$file") after 20 s"
}

start_servers() {
  "$build/oddgrist" gyle start bench "$brief" --store "$scratch/store.db" > "$scratch/start.log"
  "$build/oddgrist" serve --port 0 --pair-all --store "$scratch/store.db" --state "$scratch/state" --json \
    > "$scratch/greeting" 2> "$scratch/serve.log" &
  started+=($!)
  server=$!
  local greeting
  greeting=$(line_of "$scratch/greeting" pairing_code)
  [[ $greeting =~ 127\.0\.0\.1:([0-9]+)/ ]] && port=${BASH_REMATCH[1]}
  [[ $greeting =~ \"pairing_code\":\ *\"([A-Z0-9]+)\" ]] && code=${BASH_REMATCH[1]}
  "$build/bench/echo_server" "$threads" > "$scratch/echo.log" &
  started+=($!)
  echo_port=$(line_of "$scratch/echo.log" '^[0-9]+$')
}


kernel_count() { awk -v name="$1" '/^TcpExt:/ { if (!n++) split($0, names); else { for (i in names) if (names[i] == name) print $i } }' /proc/net/netstat; }

# measure NAME PORT PATH: one row, and a line in figures.
measure() {
  local dropped
  dropped=$(kernel_count ListenOverflows)
  LD_PRELOAD=$build/bench/libmany_addresses.so ODDGRIST_TOKENS=$scratch/tokens wrk -c"$devices" -t2 -d"${seconds}s" --timeout 10s --latency \
    -s "$here/devices.lua" "http://127.0.0.1:$2$3" > "$scratch/wrk.log" 2>&1 || { cat "$scratch/wrk.log" >&2; fail "wrk ended badly"; }
  dropped=$(($(kernel_count ListenOverflows) - dropped))
  awk -v name="$1" -v devices="$devices" -v dropped="$dropped" '
    $1 == "figures" { print name "," $2 "," $3 "," $4 "," $5 "," 1000 * devices / $3 "," $7 + $8 "," dropped }' "$scratch/wrk.log" >> "$scratch/rows"
}

order() {
  echo write >&"${DEVICES[1]}"
  local said
  read -r -t 60 said <&"${DEVICES[0]}" || fail "the devices are silent"
  echo "$1,${said// /,}" >> "$scratch/heard"
}

start_servers
coproc DEVICES { python3 "$here/devices.py" "$port" "$code" "$scratch/serve.log" "$scratch/tokens" bench 2> "$scratch/devices.log"; }
started+=("$DEVICES_PID")
read -r -t 120 listening <&"${DEVICES[0]}" || { cat "$scratch"/*.log >&2; fail "the devices did not come up"; }
listening=${listening#listening }

order "nothing else asked"
measure "echo" "$echo_port" /echo
measure "the page" "$port" /
measure "list of gyles" "$port" /api/gyles &
asking=$!
sleep $((seconds / 2))
order "all asking for the list"
wait "$asking"
measure "one gyle" "$port" /api/gyles/bench

echo "200 devices at one server, each from its own address with its own token and an open stream of changes"
awk -F, '
  BEGIN { printf "  %-16s %10s %8s %9s %9s %9s %8s %9s\n", "GET", "answers/s", "to echo", "p50 ms", "p99 ms", "turn ms", "errors", "overflows" }
  { if (NR == 1) echo = $3
    printf "  %-16s %10.0f %8.2f %9.1f %9.1f %9.1f %8d %9d\n", $1, $3, $3 / echo, $4, $5, $6, $7, $8
    errors += $7 }
  END { if (NR != 4) { print "bench devices: expected four rows, saw " NR; exit 1 }
        if (errors > 0) { print "bench devices: " errors " errors"; exit 1 } }' "$scratch/rows" || status=1
awk -F, -v open="$listening" '
  { printf "  %-24s a reading from one device reached %d of %d streams, the first after %.1f ms, the last after %.1f ms\n", $1, $3, open, $4, $5
    if ($3 < open) silent++ }
  END { if (NR != 2 || silent > 0) { print "bench devices: not every stream heard"; exit 1 } }' "$scratch/heard" || status=1
printf '  the server: %d threads, %s kB resident, at most %s kB\n' "$(awk '/^Threads:/ { print $2 }' "/proc/$server/status")" \
  "$(awk '/^VmRSS:/ { print $2 }' "/proc/$server/status")" "$(awk '/^VmHWM:/ { print $2 }' "/proc/$server/status")"
if ((listening != devices)); then status=1; echo "bench devices: only $listening of $devices streams were let in"; fi
exit "${status:-0}"
