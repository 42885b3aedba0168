#!/usr/bin/env bash
# A day of four activities, two of them with the same loads, from end to end on a small case: files, the same numbers as an activity alone and whether
# the solves are shared among processes or follow each other in one, and day.csv against its formula worked out anew from shaft.csv's strains.
# usage: day_command.sh PATH/TO/raybend CASE.toml
set -u
raybend=$1 case=$2 failed=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
awk '/^\[activity\]/ { print "[[activity]]\nkind = \"standing\"\nhours_per_day = 2\n"
       print "[[activity]]\nname = \"rounds\"\nkind = \"walking-mid-stance\"\nhours_per_day = 5\n"
       print "[[activity]]\nkind = \"standing\"\nname = \"shuffling\"\nsteps_per_hour = 600\nforce_bw = 0.3\nhours_per_day = 1\n"
       print "[[activity]]\nkind = \"walking-mid-stance\"\nname = \"late-rounds\"\nhours_per_day = 1\n"
       skip = 1; next }
     /^\[/ { skip = 0 } !skip { print }' "$case" > "$work/day.toml"
"$raybend" compare "$work/day.toml" --out "$work/a" --no-pictures > "$work/out" 2> "$work/err"
check "exit status 0" "[ $? = 0 ]"
check "nothing on stderr in a pipe" "[ ! -s '$work/err' ]"
for file in report.html details.md design-flat.svg summary.md summary.json day.csv rays.csv changes.csv shaft.csv flat_rounds_0.pvtu flat_late-rounds_0.pvtu flat-pad_standing_0.pvtu; do
  check "$file is there" "[ -s '$work/a/$file' ]"
done
check "the terminal shows the summary" "cmp -s '$work/out' '$work/a/summary.md'"
check "the list of files names the fields" "grep -qx -- '- flat_rounds_0.pvtu, with its part flat_rounds_0.0.vtu' '$work/a/details.md'"
OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1 mpirun -n 1 "$raybend" compare "$work/day.toml" --out "$work/b" \
  --no-pictures --quiet > /dev/null 2> "$work/err"
check "in one process: exit status 0" "[ $? = 0 ]"
"$raybend" compare "$case" --set activity.kind=walking-mid-stance --out "$work/c" --no-pictures --quiet > /dev/null
check "one activity alone: exit status 0" "[ $? = 0 ]"
# Newton stops at 1e-7 of the applied force; a strain of 1e-3 then repeats to about 1e-5 of itself.
compare() {
  python3 - "$work/a" "$work/b" "$work/c" <<'P'
import csv, json, math, sys
def rows(folder, name):
    return list(csv.DictReader(open(folder + '/' + name)))
a, b, c = sys.argv[1:]
def worst(x, y):
    assert len(x) == len(y) and len(x) > 10
    most = 0
    for p, q in zip(x, y):
        for key in q:
            if key.endswith(('_ue', '_n', '_n_mm', '_mpa', '_kpa')) and 'band' not in key:
                most = max(most, abs(float(p[key]) - float(q[key])) / max(1.0, abs(float(p[key]))))
    return most
orders = worst(rows(a, 'rays.csv'), rows(b, 'rays.csv'))
alone = worst([r for r in rows(a, 'rays.csv') if r['activity'] == 'rounds'], rows(c, 'rays.csv'))
print('largest relative difference between the two orders of solving: %.1e, from the activity alone: %.1e' % (orders, alone))
late = [dict(r, activity='rounds') for r in rows(a, 'rays.csv') if r['activity'] == 'late-rounds']
assert late == [r for r in rows(a, 'rays.csv') if r['activity'] == 'rounds'] # solved once
assert orders < 1e-5 and alone < 1e-5
# steps of one foot: 5 h and 1 h at the kind's 1600 an hour; 1 h at 600; standing has none
cycles = {'standing': 0, 'rounds': 4000, 'shuffling': 300, 'late-rounds': 800}
# Of one instant the range of strain at a spot is what it is strained by; 24 spots round each section, from the sides' strains.
spots = {}
for r in rows(a, 'shaft.csv'):
    if r['ray'] == '2' and 15 <= float(r['distance_pct']) <= 85:
        dorsal, plantar, medial, lateral = (float(r['strain_%s_ue' % side]) for side in ('dorsal', 'plantar', 'medial', 'lateral'))
        spots.setdefault((r['design'], r['support'], r['activity']), []).extend(
            abs((dorsal + plantar + medial + lateral) / 4 - (plantar - dorsal) / 2 * math.cos(x) - (lateral - medial) / 2 * math.sin(x))
            for x in (math.radians(15 * k) for k in range(24)))
whole = json.load(open(a + '/summary.json'))
table = {(r['design'], r['support'], float(r['exponent'])): r for r in rows(a, 'day.csv')}
assert len(table) == 12 and {key[2] for key in table} == {5.3, 6.6, 10.3, 14.1}
lines = 0
for d in whole['day']['ranking']:
    for support in ('with_support', 'without_support'):
        for r in d[support] or []:
            m = r['exponent']
            name = 'none' if not d['without_support'] else support.split('_')[0]
            at = {k: spots[d['design'], name, k] for k in cycles}
            most = max(range(len(at['rounds'])), key=lambda i: sum(n * at[k][i] ** m for k, n in cycles.items()))
            terms = {k: n * at[k][most] ** m for k, n in cycles.items()}
            day = (sum(terms.values()) / 5100) ** (1 / m)
            assert len(at['rounds']) >= 24 * 3 and abs(r['equivalent_strain_ue'] / day - 1) < 2e-6, (r, day) # seven digits of shaft.csv
            line = table[d['design'], name, m]
            # seven digits: half a unit of the last one
            assert abs(float(line['equivalent_strain_ue']) / r['equivalent_strain_ue'] - 1) < 5.1e-7, line
            assert (line['rank_best'] == '') == (support == 'without_support'), line
            for k, t in terms.items():
                percent = 100 * t / sum(terms.values())
                assert abs(r['damage_share_pct'][k] - percent) < 2e-3, (r, k, percent)
                percent = r['damage_share_pct'][k]
                assert abs(float(line['damage_share_' + k + '_pct']) - percent) <= 5.1e-7 * percent, (line, k)
            lines += 1
assert lines == 12
P
}
check "the same numbers shared among processes, in one, alone, and from the formula" compare
exit $failed
