#!/usr/bin/env bash
# Every ready case: standing as its user runs it, the warehouse at one instant of its step at standard resolution, the others, which would take
# minutes, on the coarse mesh:
# exit status 0, every design solved and ranked; for every design and state the ground's force is the applied one to 1e-6,
# and every section's resultants are those of statics, to 1 % of the cut's own value or, where that is small, to three
# thousandths of the ray's largest force or moment.
# Known fault: at standard resolution ray 2 is off by one couple of 1.8 to 2.2 N mm along its whole length (2 thousandths of its
# largest moment; nothing at coarse, nothing in the other rays). Its cause has not been found; the limit just lets it pass.
# usage: ready_cases.sh PATH/TO/raybend FOLDER_OF_CASES
set -u
raybend=$1 cases=$2 failed=0 found=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
for case in "$cases"/*.toml; do
  grep -q '^\[\[designs\]\]' "$case" || continue # a beam file
  found=$((found + 1)) name=$(basename "$case" .toml) began=$SECONDS
  less=()
  case "$name" in
  warehouse) less=(--set activity.at_percent=75) ;;
  shift | three-quarter | runner) less=(--resolution coarse) ;;
  esac
  "$raybend" compare "$case" "${less[@]}" --out "$work/$name" --no-pictures --quiet > "$work/out" 2> "$work/err"
  status=$?
  [ $status = 0 ] && python3 - "$case" "$work/$name/summary.json" <<'P'
import csv, json, os, sys
asked = sum(line.startswith('[[designs]]') for line in open(sys.argv[1]))
told = json.load(open(sys.argv[2]))
rankings = [a['ranking'] for a in told['activities']] + [told['day']['ranking']] if 'day' in told else [told['ranking']]
wrong = [r for r in rankings if len(r) != asked or not all(d['ranked'] for d in r)]
solves = [d[state] for part in told.get('activities', [told]) for d in part['designs']
          for state in ('with_support', 'without_support') if d[state]]
wrong += [s for s in solves if not s['balance_error'] <= 1e-6]
kinds = {'_n': ('axial_force', 'shear_sagittal', 'shear_transverse'), '_n_mm': ('moment_sagittal', 'moment_transverse', 'torque')}
stations = {}
for row in csv.DictReader(open(os.path.join(os.path.dirname(sys.argv[2]), 'shaft.csv'))):
    stations.setdefault(tuple(row.get(k) for k in ('activity', 'design', 'support', 'ray')), []).append(row)
worst = 0
for ray in stations.values():
    for unit, names in kinds.items():
        largest = max(abs(float(s[n + unit])) for s in ray for n in names) or 1.0
        for s in ray:
            for n in names:
                if not s[n + '_statics' + unit]:
                    continue # beside the base, where the joint's stop acts
                value, statics = float(s[n + unit]), float(s[n + '_statics' + unit])
                worst = max(worst, abs(value - statics) / max(abs(statics), 0.3 * largest))
print('%d solves, %d shafts, resultants off statics by at most %.3f %%' % (len(solves), len(stations), 100 * worst))
sys.exit(bool(wrong) or len(stations) < 5 * asked or not worst <= 0.01)
P
  if [ $? = 0 ]; then
    echo "ok    $name ($((SECONDS - began)) s)"
  else
    echo "FAIL  $name: exit status $status, or not every design ranked and in balance" && cat "$work/err"
    failed=1
  fi
done
[ $found -ge 5 ] || { echo "FAIL  $found ready cases found"; failed=1; }
exit $failed
