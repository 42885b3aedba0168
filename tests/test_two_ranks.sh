#!/bin/sh
# The same contact problem and the same foot on one and on two ranks gives the same numbers.
# usage: test_two_ranks.sh <two_ranks_probe> [mpirun]          label: fast (15 s)
# Tolerance 1e-8: Newton stops at a residual of 1e-10 of the load; sums run in another order.
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
  $1 != $3 { print "FAILED: lines differ in name: " $0; bad = 1; next }
  { d = $2 - $4; if (d < 0) d = -d; s = $2 < 0 ? -$2 : $2
    printf "%-10s relative difference %.1e\n", $1, d / s
    if (d > 1e-8 * s) { print "FAILED: " $1 " differs"; bad = 1 }
    n++ }
  END { if (n != 11) { print "FAILED: expected 11 numbers, got " n + 0; bad = 1 } exit bad }'
