#!/usr/bin/env bash
# run.sh BUILD_FOLDER BRIEF: times the parts (Google Benchmark, processor time), then the program as a whole process, and sets both
# against the goals. A time by itself means little on another machine, so ratios stand beside it: of the forecast to the same sums
# written out by hand, and of each whole run to the cheapest there is, `--help`.
set -euo pipefail
build=$1
brief=$2
program=$build/oddgrist

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

for bench in "$build"/bench/*_bench; do
  if [[ -x $bench ]]; then
    said=$scratch/$(basename "$bench")
    "$bench" --benchmark_min_time=0.2 --benchmark_format=csv 2> "$scratch/log" > "$said.txt" || { cat "$scratch/log" >&2; exit 1; }
    sed -n '/^name,/,$p' "$said.txt" > "$said.csv"
  fi
done

# An exit of 3 is an answer too: some wishes missed.

hyperfine --shell=none --warmup 2 --min-runs 10 --style none --ignore-failure --export-csv "$scratch/times.csv" \
  "$program --help" "$program compose $brief" "$program sheet $brief" "$program doubt $brief" > "$scratch/log" 2>&1 ||
  { cat "$scratch/log" >&2; exit 1; }

peak_kb() {
  local status=0
  /usr/bin/time -f '%M' -o "$scratch/peak" "$program" "$@" > /dev/null || status=$?
  if ((status != 0 && status != 3)); then
    printf 'bench: oddgrist %s ended with %d\n' "$*" "$status" >&2
    exit 1
  fi
  tail -n 1 "$scratch/peak"
}
{
  peak_kb --help
  peak_kb compose "$brief"
  peak_kb sheet "$brief"
  peak_kb doubt "$brief"
} > "$scratch/peaks"

echo "The parts, processor time of one run"
awk -F, '
  FNR == 1 { for (i = 1; i <= NF; i++) column[$i] = i; next }
  { gsub(/"/, "", $1); time = $1 ~ /manual_time/ ? "real_time" : "cpu_time"; printf "  %-34s %12.2f %s\n", $1, $column[time], $column["time_unit"] }' "$scratch"/*_bench.csv

echo
echo "The whole program on $brief"
# hyperfine's columns, counted from the end since a command may hold a comma: mean, stddev, median, user, system, min, max
tail -n +2 "$scratch/times.csv" | paste -d, - "$scratch/peaks" > "$scratch/whole.csv"
awk -F, '
  BEGIN { split("--help,compose,sheet,doubt", what, ","); printf "  %-10s %12s %12s %8s %12s %8s\n", "", "median ms", "spread ms", "ratio", "peak MB", "ratio" }
  { median = 1000 * $(NF - 5); spread = 1000 * ($(NF - 1) - $(NF - 2)); peak = $NF / 1024
    if (NR == 1) { first_median = median; first_peak = peak }
    printf "  %-10s %12.2f %12.2f %8.1f %12.1f %8.2f\n", what[NR], median, spread, median / first_median, peak, peak / first_peak }
  END { if (NR != 4) { print "bench: expected four rows, saw " NR; exit 1 } }' "$scratch/whole.csv"

echo
echo "Goals"
awk -F, -v whole="$scratch/whole.csv" '
  function goal(what, measured, most, unit) {
    if (!(measured > 0)) { print "bench: not timed: " what; exit 1 }
    printf "  %-46s %12.2f %12.2f %-3s %s\n", what, measured, most, unit, measured <= most ? "ok" : "NOT MET"
    rows++
  }
  BEGIN { printf "  %-46s %12s %12s\n", "", "measured", "goal" }
  FNR == 1 { for (i = 1; i <= NF; i++) column[$i] = i; next }
  { gsub(/"/, "", $1); us[$1] = $column["cpu_time"] * ($column["time_unit"] == "ms" ? 1000 : 1); clock_us[$1] = $column["real_time"] * ($column["time_unit"] == "ms" ? 1000 : 1) }
  END {
    while ((getline line < whole) > 0) {
      n = split(line, field, ","); row++
      if (row == 2) { wall = 1000 * field[n - 5]; busy = 1000 * (field[n - 4] + field[n - 3]); peak = field[n] / 1024 }
    }
    goal("one forecast", us["ForecastPlain"], 20, "us")
    goal("a ferment and a mash in time", (us["FermentationInTime"] + us["MashInTime"]) / 1000, 5, "ms")
    goal("compose, whole process, median", wall, 100, "ms")
    goal("a slider moved a little", us["Nudge"] / 1000, 5, "ms")
    goal("10,000 samples of a gyle, two threads", clock_us["GyleIntervals/10000/2/iterations:40/process_time/real_time"] / 1000, 100, "ms")
    for (n = 2; n <= 6; n++) goal("best moves from a reading, case " n, us["replan_once/" n] / 1000, 50, "ms")
    printf "  %-46s %12.2f\n", "  of that processor time", busy
    printf "  %-46s %12.2f              MB\n", "  peak memory", peak
    if (!(us["SameSumsByHand"] > 0)) { print "bench: the sums by hand were not timed"; exit 1 }
    printf "  %-46s %12.1f              times\n", "one forecast over the same sums by hand", us["ForecastPlain"] / us["SameSumsByHand"]
    if (rows != 10) { print "bench: expected ten goals, saw " rows; exit 1 }
  }' "$scratch"/*_bench.csv

echo
echo "What was counted"
for said in "$scratch"/*_bench.txt; do sed '/^name,/,$d' "$said"; done

echo
echo "Two hundred devices at one server (bench/devices/README.md)"
ODDGRIST_DEVICES_SECONDS=${ODDGRIST_BENCH_QUICK:+2} "$(dirname "$0")/devices/run.sh" "$build"

echo
echo "Beside general-purpose solvers (bench/suite/README.md)"
# All forty briefs; with ODDGRIST_BENCH_QUICK set, two of each size.
suite=$(dirname "$0")/suite
[[ -d $suite/node_modules/highs ]] || npm ci --prefix "$suite" --ignore-scripts --no-audit --no-fund --loglevel=error >&2
"$build/bench/suite" ${ODDGRIST_BENCH_QUICK:+--quick}
