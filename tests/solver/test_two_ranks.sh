#!/bin/sh
# The same contact problem and the same foot on one and on two ranks gives the same numbers.
# usage: test_two_ranks.sh <two_ranks_probe> [mpirun]          label: fast (40 s)
# The probe prints each number's tolerance.
set -eu
probe=$1
mpirun=${2:-mpirun}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$probe" > "$work/one"
"$mpirun" --allow-run-as-root --oversubscribe -n 2 "$probe" > "$work/two"
cat "$work/one" "$work/two"
grep -q '2 ranks$' "$work/two" || { echo "FAILED: the second run was not on two ranks"; exit 1; }
grep -v '^#' "$work/one" > "$work/a"
grep -v '^#' "$work/two" > "$work/b"
paste "$work/a" "$work/b" | awk '
  $1 != $4 { print "FAILED: lines differ in name: " $0; bad = 1; next }
  { d = $2 - $5; if (d < 0) d = -d; s = $2 < 0 ? -$2 : $2
    printf "%-20s relative difference %.1e, allowed %s\n", $1, d / s, $3
    if (!(d <= $3 * s)) { print "FAILED: " $1 " differs"; bad = 1 }
    n++ }
  END { if (n != 29) { print "FAILED: expected 29 numbers, got " n + 0; bad = 1 } exit bad }'
