#!/usr/bin/env bash
# `raybend new`: every choice gives a case that `check` takes, with the answers in it; questions on a terminal; what is wrong
# is refused and nothing written.
# usage: new_command.sh PATH/TO/raybend
set -u
raybend=$1 failed=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
five="--body-mass 71.5 --foot-length 255 --side left --sex male --painful-ray 3"
for activity in $("$raybend" explain activity.kind | sed -n 's/^  allowed *//p' | tr -d ,); do
  # shellcheck disable=SC2086 # several words
  "$raybend" new "$activity.toml" $five --activity "$activity" --designs flat,moulded,pad,pad-back,bar,relief,plate > out 2> err < /dev/null
  check "new with activity $activity" "[ $? = 0 ] && [ ! -s err ] && grep -q 'raybend compare $activity.toml' out"
  check "check takes it" "'$raybend' check $activity.toml > seen 2> err"
done
check "several activities were tried" "[ \$(ls *.toml | wc -l) -ge 5 ]"
check "the answers stand in it" "grep -qx 'body_mass_kg = 71.5' walking.toml && grep -qx 'side = \"left\"' walking.toml && grep -qx 'painful_ray = 3' walking.toml"
check "seven designs" "[ \$(grep -c '^\[\[designs\]\]' walking.toml) = 7 ]"
# shellcheck disable=SC2086
"$raybend" new walking.toml $five > out 2> err < /dev/null
check "a file that is there stays" "[ $? = 2 ] && grep -q 'is there already' err && [ \$(grep -c '^\[\[designs\]\]' walking.toml) = 7 ]"
refused() { # words, message, options
  "$raybend" new wrong.toml $3 > out 2> err < /dev/null
  check "$1" "[ $? = 2 ] && grep -qF -- '$2' err && [ ! -e wrong.toml ]"
}
refused "no answers and no terminal" "--body-mass is missing" ""
refused "a mass out of range" '--body-mass: found "7"; allowed 20 to 250 kg' "${five/71.5/7}"
refused "a ray that is none" '--painful-ray: found "2.5"' "${five/ray 3/ray 2.5}"
refused "a side misspelt" '--side: found "lft"; allowed left, right; did you mean "left"?' "${five/left/lft}"
refused "a design misspelt" 'did you mean "moulded"?' "$five --designs flat,molded"
refused "one design" "two designs or more" "$five --designs flat"
refused "a design twice" "stands twice" "$five --designs flat,pad,flat"
# A terminal: a wrong answer is asked again, an empty line takes what is offered.
python3 - "$raybend" <<'P' > err 2>&1
import os, pty, sys
child, terminal = pty.fork()
if child == 0:
    os.execv(sys.argv[1], [sys.argv[1], 'new', 'asked.toml', '--sex', 'female'])
for answer in ['abc', '80', '270', 'right', '2', '', 'work', '']:
    os.write(terminal, (answer + '\n').encode())
seen = b''
try:
    while piece := os.read(terminal, 4096):
        seen += piece
except OSError:
    pass
sys.stdout.write(seen.decode())
sys.exit(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]))
P
check "questions on a terminal" "[ $? = 0 ] && grep -q 'Body mass, kg' err && grep -q 'found \"abc\"' err && ! grep -q 'Sex' err"
check "the answers of a terminal stand in it" "grep -qx 'body_mass_kg = 80' asked.toml && grep -q '^kind = \"work\"' asked.toml && grep -q '^kind = \"walking\"' asked.toml"
check "check takes it" "'$raybend' check asked.toml > out"
exit $failed
