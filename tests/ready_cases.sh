#!/usr/bin/env bash
# Every ready case as its user runs it, at the default resolution: exit status 0, every design solved and ranked.
# usage: ready_cases.sh PATH/TO/raybend FOLDER_OF_CASES
set -u
raybend=$1 cases=$2 failed=0 found=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
for case in "$cases"/*.toml; do
  grep -q '^\[\[designs\]\]' "$case" || continue # a beam file
  found=$((found + 1)) name=$(basename "$case" .toml) began=$SECONDS
  "$raybend" compare "$case" --out "$work/$name" --no-pictures --quiet > "$work/out" 2> "$work/err"
  status=$?
  [ $status = 0 ] && python3 - "$case" "$work/$name/summary.json" <<'P'
import json, sys
asked = sum(line.startswith('[[designs]]') for line in open(sys.argv[1]))
told = json.load(open(sys.argv[2]))
rankings = [a['ranking'] for a in told['activities']] + [told['day']['ranking']] if 'day' in told else [told['ranking']]
sys.exit(not all(len(r) == asked and all(d['ranked'] for d in r) for r in rankings))
P
  if [ $? = 0 ]; then
    echo "ok    $name ($((SECONDS - began)) s)"
  else
    echo "FAIL  $name: exit status $status, or not every design ranked" && cat "$work/err"
    failed=1
  fi
done
[ $found -ge 4 ] || { echo "FAIL  $found ready cases found"; failed=1; }
exit $failed
