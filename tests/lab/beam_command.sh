#!/bin/bash
# The command `raybend beam`: exit status, files, nothing written for a wrong file. usage: beam_command.sh RAYBEND SOURCE
set -u
raybend=$1 source=$2
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder" || exit 1
fail() { echo "FAILED: $1"; exit 1; }

"$raybend" beam "$source/cases/beam-example.toml" --out out --levels 1 --no-pictures --vtu --quiet > text || fail "exit status of a good beam"
for file in summary.md summary.json beam.csv beam.txt beam.vtu; do
  [ -s "out/$file" ] || fail "$file is missing"
done
[ -e out/deflection.png ] && fail "a picture in spite of --no-pictures"
cmp -s text out/summary.md || fail "the terminal's text is not the file's"
grep -q '^Raybend [0-9.]*, calculated 20..-..-..T' out/summary.md || fail "version and date"
grep -q '^x_mm,' out/beam.csv || fail "head of beam.csv"

"$raybend" beam "$source/cases/beam-example.toml" --out drawn --levels 1 --quiet > /dev/null || fail "exit status with pictures"
for file in section-forces.png section-forces.svg deflection.png deflection.svg; do
  [ -s "drawn/$file" ] || fail "$file is missing"
done

cat > torque.toml <<'TOML'
[beam]
length_mm = 50
[beam.section]
shape = "circle"
diameter_mm = 10
[beam.material]
e_mpa = 5000
nu = 0.3
[[beam.support]]
kind = "soft_clamped"
at_mm = 0
[[beam.load]]
kind = "torque"
at_mm = 50
moment_n_mm = 1000
TOML
"$raybend" beam torque.toml --out twisted --levels 1 --quiet > /dev/null || fail "exit status of a torque"
for file in twist.png twist.svg section-forces.png; do
  [ -s "twisted/$file" ] || fail "$file is missing under a torque"
done
[ -e twisted/deflection.png ] && fail "a chart of a deflection that is none"
head -1 twisted/beam.csv | grep -q ',twist_rad,' || fail "no twist in beam.csv"

bash "$source/tests/commands/path_without_xvfb.sh" programs
env -u DISPLAY PATH="$folder/programs" "$raybend" beam "$source/cases/beam-example.toml" --out blind --levels 1 --quiet > /dev/null 2> message
[ $? = 1 ] || fail "exit status without a display"
grep -q 'no pictures: .*--no-pictures' message || fail "no word of the missing pictures"
[ -s blind/beam.csv ] || fail "results lost without a display"
grep -q 'no pictures: ' blind/summary.md || fail "no word of the missing pictures in the summary"

sed 's/^nu = .*/nu = 0.5/' "$source/tests/lab/bad_beams/base.toml" > nu_of_half.toml
"$raybend" beam nu_of_half.toml --out bad > /dev/null 2> message
[ $? = 2 ] || fail "exit status of a wrong beam"
grep -q 'nu_of_half.toml:9: beam.material.nu: out of range' message || fail "message of a wrong beam"
[ -e bad ] && fail "a wrong beam left a folder"
"$raybend" beam > /dev/null 2>&1; [ $? = 2 ] || fail "no file named"
"$raybend" beam "$source/cases/beam-example.toml" --levels 9 > /dev/null 2>&1; [ $? = 2 ] || fail "levels 9"
"$raybend" beam "$source/cases/standing.toml" > /dev/null 2>&1; [ $? = 2 ] || fail "a forefoot case taken for a beam"
"$raybend" check "$source/cases/beam-example.toml" > /dev/null 2>&1; [ $? = 2 ] || fail "a beam taken for a forefoot case"
"$raybend" beam --keys | grep -q 'beam.section' || fail "--keys"
"$raybend" explain beam.length_mm | grep -q 'Length along the axis' || fail "explain beam.length_mm"
mkdir other && touch other/mine
"$raybend" beam "$source/cases/beam-example.toml" --out other > /dev/null 2>&1; [ $? = 2 ] || fail "someone else's folder"
[ -e other/mine ] || fail "someone else's file is gone"
ls -a | grep -q partial && fail "an unfinished folder is left"
exit 0
