#!/usr/bin/env bash
# format_check.sh ROOT: fails on any C++ file that .clang-format would change, and when there is none to look at.
set -euo pipefail
cd "$1"
mapfile -t folders < <(find . -maxdepth 1 -type d \( -name src -o -name tests -o -name bench \))
mapfile -t files < <(find "${folders[@]}" -type d -name node_modules -prune -o -type f \( -name '*.cpp' -o -name '*.hpp' \) -print | sort)
if ((${#files[@]} == 0)); then
  echo "format: no file to check"
  exit 1
fi
clang-format-14 --version
if ! complaints=$(clang-format-14 --dry-run -Werror "${files[@]}" 2>&1); then
  grep -E '^[^ ]+:[0-9]+:' <<< "$complaints" | sort -u -t: -k1,1 || echo "$complaints"
  echo "format: ./dev format puts these files right"
  exit 1
fi
echo "format: looked at ${#files[@]} files"
