#!/usr/bin/env bash
# Every ready textbook case: solved, compared, none missed without a declared reason. Label: slow.
# usage: textbook_all.sh PATH/TO/raybend
set -u
if [ ! -x "${1:-}" ]; then
  echo "usage: textbook_all.sh PATH/TO/raybend" >&2
  exit 2
fi
program=$(realpath "$1")
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
"$program" textbook --all --no-pictures --out results
status=$?
listed=$("$program" textbook --list | wc -l)
written=$(find results -name '*.json' | wc -l)
if [ "$listed" -ne "$written" ] || [ "$listed" -lt 30 ]; then
  echo "FAIL  $listed cases are listed, $written have results" >&2
  exit 1
fi
exit $status
