#!/usr/bin/env bash
# run.sh BUILD_FOLDER BRIEF: times the parts (Google Benchmark), then the program as a whole process. A time by itself means
# little on another machine, so each whole-process figure is also given as a multiple of the cheapest run there is: `--help`.
set -euo pipefail
build=$1
brief=$2
program=$build/oddgrist

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

for bench in "$build"/bench/*_bench; do
  if [[ -x $bench ]]; then
    echo "== $(basename "$bench")"
    "$bench" --benchmark_min_time=0.2
  fi
done

echo "== the whole program on $brief"
hyperfine --shell=none --warmup 2 --min-runs 10 --style none --export-csv "$scratch/times.csv" \
  "$program --help" "$program compose $brief" "$program sheet $brief" > "$scratch/log" 2>&1 ||
  { cat "$scratch/log" >&2; exit 1; }

peak_kb() {
  /usr/bin/time -f '%M' -o "$scratch/peak" "$program" "$@" > /dev/null
  tail -n 1 "$scratch/peak"
}
printf '%s\n' "$(peak_kb --help)" "$(peak_kb compose "$brief")" "$(peak_kb sheet "$brief")" > "$scratch/peaks"

# hyperfine's columns, counted from the end since a command may hold a comma: mean, stddev, median, user, system, min, max
tail -n +2 "$scratch/times.csv" | paste -d, - "$scratch/peaks" | awk -F, '
  BEGIN { split("--help,compose,sheet", what, ","); printf "%-10s %12s %12s %8s %12s %8s\n", "", "median ms", "spread ms", "ratio", "peak MB", "ratio" }
  { median = 1000 * $(NF - 5); spread = 1000 * ($(NF - 1) - $(NF - 2)); peak = $NF / 1024
    if (NR == 1) { first_median = median; first_peak = peak }
    printf "%-10s %12.2f %12.2f %8.1f %12.1f %8.2f\n", what[NR], median, spread, median / first_median, peak, peak / first_peak }
  END { if (NR != 3) { print "bench: expected three rows, saw " NR; exit 1 } }'
