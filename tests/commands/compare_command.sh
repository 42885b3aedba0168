#!/usr/bin/env bash
# The main command from end to end on a small case: files, exit status, quiet in a pipe, the same numbers when the
# designs are solved side by side in processes of their own, one after the other, and by several processes together;
# a design that fails.
# usage: compare_command.sh PATH/TO/raybend CASE.toml
set -u
raybend=$1 case=$2 failed=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
SOURCE_DATE_EPOCH=1234567890 "$raybend" compare "$case" --out "$work/a" > "$work/out" 2> "$work/err"
check "exit status 0" "[ $? = 0 ]"
check "nothing on stderr in a pipe" "[ ! -s '$work/err' ]"
for file in report.html details.md design-flat.svg summary.md summary.json rays.csv changes.csv shaft.csv shaft-strain.png shaft-strain.svg bending-stress.png \
  bending-stress.svg pressure.png bones.png; do
  check "$file is there" "[ -s '$work/a/$file' ]"
done
check "fields for ParaView" "ls '$work'/a/*.pvtu > /dev/null"
fields_shown() { # the arrays that the script for ParaView names are those that the fields have
  python3 - "$work/a" <<'P'
import ast, re, sys
script = ast.parse(open(sys.argv[1] + '/show_fields.py').read())
named = {n.value for n in ast.walk(script) if isinstance(n, ast.Constant) and re.fullmatch(r'material|[a-zA-Z_]+_(mm|MPa|kPa)', str(n.value))}
there = set(re.findall(r'PDataArray [^>]*Name="([^"]*)"', open(sys.argv[1] + '/flat_0.pvtu').read()))
print(sorted(named), 'of', sorted(there))
sys.exit(len(named) != 4 or not named <= there)
P
}
check "show_fields.py shows what the fields have" fields_shown
check "the summary names every file" "for f in '$work'/a/*; do grep -q \"\$(basename \"\$f\")\" '$work/a/summary.md' || exit 1; done"
check "the terminal shows the summary" "cmp -s '$work/out' '$work/a/summary.md'"
check "version and date in the summary" "grep -qx 'Raybend [0-9.]*, calculated 2009-02-13T23:31:30Z' '$work/a/summary.md'"
check "date in the JSON" "grep -q '\"date\": \"2009-02-13T23:31:30Z\"' '$work/a/summary.json'"
check "cautions in the summary" "grep -q 'not a diagnosis' '$work/a/summary.md'"
check "no hidden rest beside the results" "[ -z \"\$(ls -A '$work' | grep partial)\" ]"
export OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1
mpirun -n 1 "$raybend" compare "$case" --out "$work/above/all/b" --no-pictures --quiet > /dev/null 2> "$work/err"
check "one after the other: exit status 0" "[ $? = 0 ]"
# A design solved second starts from the first one's solution, one with a process of its own from the load path.
# Newton stops at 1e-7 of the applied force; a strain of 1e-3 then repeats to about 1e-5 of itself.
compare() {
  python3 - "$work/a/rays.csv" "$work/$1/rays.csv" <<'P'
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
sys.exit(worst > 1e-5)
P
}
check "side by side and one after the other: the same rays.csv" "compare above/all/b"
# The user's own mpirun, a process a design; then more processes than designs, which share the solves.
mpirun --oversubscribe -n 2 "$raybend" compare "$case" --out "$work/e" --no-pictures > "$work/out" 2> "$work/err"
check "mpirun -n 2: exit status 0" "[ $? = 0 ]"
check "mpirun -n 2: the summary on the terminal, once" "cmp -s '$work/out' '$work/e/summary.md'"
check "mpirun -n 2: the same rays.csv" "compare e"
# One rank reads the case: another file under the other rank's eyes changes nothing.
sed 's/^body_mass_kg = .*/body_mass_kg = 120/' "$case" > "$work/other.toml"
mpirun --oversubscribe -n 1 "$raybend" compare "$case" --out "$work/h" --no-pictures --quiet : \
  -n 1 "$raybend" compare "$work/other.toml" --out "$work/h" --no-pictures --quiet > /dev/null 2> "$work/err"
check "ranks with different files: exit status 0" "[ $? = 0 ]"
check "ranks with different files: the first one's rays.csv" "compare h"
mpirun --oversubscribe -n 2 "$raybend" compare "$work/none.toml" --out "$work/i" > /dev/null 2> "$work/err"
check "ranks and no case file: exit status 2, said once" "[ $? = 2 ] && [ \$(grep -c 'none.toml: cannot read the case file' '$work/err') = 1 ]"
mpirun --oversubscribe -n 5 "$raybend" compare "$case" --out "$work/f" --no-pictures --quiet > /dev/null 2> "$work/err"
check "more processes than designs: exit status 0" "[ $? = 0 ]"
check "more processes than designs: the same rays.csv" "compare f"
check "nothing hidden beside them" "[ -z \"\$(ls -A '$work' | grep partial)\" ]"
# A high, narrow pad that six Newton steps a load step do not solve, beside two designs that they do: the run has failed, but
# what was found is kept and the other two are ranked.
{
  cat "$case"
  printf '\n[[designs]]\nname = "firm"\ntitle = "Firm"\nlike = "flat"\n\n[[designs.layers]]\nrole = "base"\nthickness_mm = 5\nmaterial = "eva-55"\n'
} > "$work/three.toml"
"$raybend" compare "$work/three.toml" --set designs.flat-pad.support[1].height_mm=15 \
  --set designs.flat-pad.support[1].length_mm=12 --set designs.flat-pad.support[1].width_mm=10 --set mesh.max_newton=6 \
  --out "$work/g" --no-pictures --quiet > "$work/out" 2> "$work/err"
check "a design that fails: exit status 1" "[ $? = 1 ]"
check "a design that fails: named with its cause" "grep -q '^raybend: flat-pad: stopped at .* of the load' '$work/err'"
check "a design that fails: where it is pressed together most" "grep -q 'to [0-9]* % of its volume: .* ray [1-5], [0-9]* mm [a-z]* the heads; ' '$work/err'"
check "a design that fails: it alone" "[ \$(wc -l < '$work/err') = 1 ]"
check "a design that fails: the summary is there and on the terminal" "cmp -s '$work/out' '$work/g/summary.md'"
ranked() {
  python3 - "$work/g/summary.json" <<'P'
import json, sys
names = [d['design'] for d in json.load(open(sys.argv[1]))['ranking'] if d['ranked']]
print('ranked:', names)
sys.exit(sorted(names) != ['firm', 'flat'])
P
}
check "a design that fails: the others are ranked" ranked
# A caller that ignores SIGCHLD, as some services do: the end of the processes is noticed all the same.
env --ignore-signal=CHLD "$raybend" compare "$case" --out "$work/d" --no-pictures --quiet > "$work/out" 2> "$work/err"
check "SIGCHLD ignored: exit status 0" "[ $? = 0 ]"
check "SIGCHLD ignored: nothing on stderr, the summary on the terminal" "[ ! -s '$work/err' ] && cmp -s '$work/out' '$work/d/summary.md'"
# No X server to be had: everything but the pictures, and it is said.
bash "$(dirname "$0")/path_without_xvfb.sh" "$work/programs"
env -u DISPLAY PATH="$work/programs" "$raybend" compare "$case" --out "$work/e" > "$work/out" 2> "$work/err"
check "no Xvfb: exit status 1" "[ $? = 1 ]"
check "no Xvfb: the reason and the way out on stderr" "grep -q 'no pictures: .*xvfb.*--no-pictures' '$work/err'"
check "no Xvfb: results are kept, and the summary says what is missing" \
  "[ -s '$work/e/rays.csv' ] && cmp -s '$work/out' '$work/e/summary.md' && grep -q '^- no pictures: ' '$work/out'"
check "no Xvfb: no picture" "! ls '$work'/e/*.png > /dev/null 2>&1"
# Told to stop as soon as its hidden folder exists: it stops its processes and takes the folder away.
"$raybend" compare "$case" --out "$work/c" --no-pictures --quiet > /dev/null 2>&1 &
asked=$!
until ls -A "$work" | grep -q '^\.c\.partial'; do sleep 0.1; done
kill -TERM $asked
wait $asked
check "stopped from outside: ended by the signal" "[ $? = 143 ]"
check "stopped from outside: nothing is left" "[ -z \"\$(ls -A '$work' | grep '^\.*c\(\.\|\$\)')\" ]"
exit $failed
