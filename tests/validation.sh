#!/usr/bin/env bash
# Every published row solved: met, or missed as its file says, and all values as pinned. Label: physics.
# usage: validation.sh PATH/TO/raybend [--pin]
# With --pin the values found are written into the rows' files and into VALIDATION.md: only after a person has looked at
# what moved and why. `raybend_tests "[validation-files]"` holds VALIDATION.md to the files.
set -u
if [ ! -x "${1:-}" ]; then
  echo "usage: validation.sh PATH/TO/raybend [--pin]" >&2
  exit 2
fi
program=$(realpath "$1")
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
if [ "${2:-}" != --pin ]; then
  "$program" validate --all --out "$work/results"
  exit
fi
"$program" validate --all --out "$work/results" --pin
cp "$work/results/summary.md" "$here/VALIDATION.md"
