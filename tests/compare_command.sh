#!/usr/bin/env bash
# The main command from end to end on a small case: files, exit status, quiet in a pipe, the same numbers when the
# designs are solved side by side in processes of their own and one after the other.
# usage: compare_command.sh PATH/TO/raybend CASE.toml
set -u
raybend=$1 case=$2 failed=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
SOURCE_DATE_EPOCH=1234567890 "$raybend" compare "$case" --out "$work/a" > "$work/out" 2> "$work/err"
check "exit status 0" "[ $? = 0 ]"
check "nothing on stderr in a pipe" "[ ! -s '$work/err' ]"
for file in summary.md summary.json rays.csv shaft.csv shaft-strain.png shaft-strain.svg bending-stress.png \
  bending-stress.svg pressure.png bones.png; do
  check "$file is there" "[ -s '$work/a/$file' ]"
done
check "fields for ParaView" "ls '$work'/a/*.pvtu > /dev/null"
check "the terminal shows the summary" "cmp -s '$work/out' '$work/a/summary.md'"
check "version and date in the summary" "grep -qx 'Raybend [0-9.]*, calculated 2009-02-13T23:31:30Z' '$work/a/summary.md'"
check "date in the JSON" "grep -q '\"date\": \"2009-02-13T23:31:30Z\"' '$work/a/summary.json'"
check "cautions in the summary" "grep -q 'not a diagnosis' '$work/a/summary.md'"
check "no hidden rest beside the results" "[ -z \"\$(ls -A '$work' | grep partial)\" ]"
OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1 mpirun -n 1 "$raybend" compare "$case" --out "$work/b" \
  --no-pictures --quiet > /dev/null 2> "$work/err"
check "one after the other: exit status 0" "[ $? = 0 ]"
# A design solved second starts from the first one's solution, one with a process of its own from the load path.
# Newton stops at 1e-7 of the applied force; a strain of 1e-3 then repeats to about 1e-5 of itself.
compare() {
  python3 - "$work/a/rays.csv" "$work/b/rays.csv" <<'P'
import csv, sys
a, b = (list(csv.reader(open(f))) for f in sys.argv[1:])
assert a[0] == b[0] and len(a) == len(b) and len(a) > 10
worst = 0
for x, y in zip(a[1:], b[1:]):
    for name, p, q in zip(a[0], x, y):
        if name.endswith(('_ue', '_n', '_n_mm', '_mpa', '_kpa')) and 'band' not in name:
            p, q = float(p), float(q)
            worst = max(worst, abs(p - q) / max(1.0, abs(p)))
print('largest relative difference between the two orders of solving: %.1e' % worst)
sys.exit(worst > 1e-4)
P
}
check "side by side and one after the other: the same rays.csv" compare
# A caller that ignores SIGCHLD, as some services do: the ranks' end is noticed all the same.
timeout 300 env --ignore-signal=CHLD "$raybend" compare "$case" --out "$work/d" --no-pictures --quiet > "$work/out" 2> "$work/err"
check "SIGCHLD ignored: exit status 0" "[ $? = 0 ]"
check "SIGCHLD ignored: nothing on stderr, the summary on the terminal" "[ ! -s '$work/err' ] && cmp -s '$work/out' '$work/d/summary.md'"
# No X server to be had: everything but the pictures, and it is said.
bash "$(dirname "$0")/path_without_xvfb.sh" "$work/programs"
timeout 300 env -u DISPLAY PATH="$work/programs" "$raybend" compare "$case" --out "$work/e" > "$work/out" 2> "$work/err"
check "no Xvfb: exit status 1" "[ $? = 1 ]"
check "no Xvfb: the reason and the way out on stderr" "grep -q 'no pictures: .*xvfb.*--no-pictures' '$work/err'"
check "no Xvfb: results are kept, and the summary says what is missing" \
  "[ -s '$work/e/rays.csv' ] && cmp -s '$work/out' '$work/e/summary.md' && grep -q '^- no pictures: ' '$work/out'"
check "no Xvfb: no picture" "! ls '$work'/e/*.png > /dev/null 2>&1"
# Told to stop as soon as its hidden folder exists: it stops its ranks and takes the folder away.
"$raybend" compare "$case" --out "$work/c" --no-pictures --quiet > /dev/null 2>&1 &
asked=$!
for _ in $(seq 200); do ls -A "$work" | grep -q '^\.c\.partial' && break; sleep 0.1; done
kill -TERM $asked
wait $asked
check "stopped from outside: exit status 1" "[ $? = 1 ]"
check "stopped from outside: nothing is left" "[ -z \"\$(ls -A '$work' | grep '^\.*c\(\.\|\$\)')\" ]"
exit $failed
