#!/usr/bin/env bash
# The program runs from where it is installed and finds what came with it: after `cmake --install`, in a folder that is moved
# afterwards; or where a package put it, and then it solves a case too.
# usage: install.sh BUILD_FOLDER CMAKE, or install.sh PATH/TO/bin/raybend of an installed program
set -u
failed=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
if [ $# = 2 ]; then
  "$2" --install "$1" --prefix "$work/there" > "$work/log" 2>&1
  check "exit status 0" "[ $? = 0 ]"
  mv "$work/there" "$work/moved" # a tree may go elsewhere
  raybend=$work/moved/bin/raybend
else
  raybend=$1
fi
share=$(cd "$(dirname "$raybend")/../share" && pwd) cases=$share/raybend/cases
check "the program is there" "[ -x '$raybend' ]"
check "so are the ready cases" "[ -s '$cases/warehouse.toml' ] && [ -s '$cases/beam-example.toml' ]"
check "manual and completion" "ls '$share'/man/man1/raybend.1* > /dev/null && [ -s '$share/bash-completion/completions/raybend' ]"
check "it says its version" "'$raybend' --version | grep -q '^raybend [0-9.]*$'"
cd "$work" || exit 1 # nothing of it hangs on where one stands
ready=0
for case in "$cases"/*.toml; do
  grep -q '^\[\[designs\]\]' "$case" || continue # a beam file
  ready=$((ready + 1))
  check "it reads $(basename "$case")" "'$raybend' check '$case' > /dev/null"
done
check "five ready cases, three studies and where to put a pad" "[ $ready = 5 ] && [ \$(ls '$cases'/studies/*.toml | wc -l) = 4 ]"
if [ $# = 2 ]; then # a textbook case that is nowhere but there
  sed 's/^title = .*/title = "Known here alone"/' "$cases/textbook/A1-cantilever-euler.toml" > "$cases/textbook/Y1-here.toml"
  check "it lists its own textbook cases" "'$raybend' textbook --list | grep -q 'Y1-here .*Known here alone'"
else
  pictures=()
  if ! command -v Xvfb > /dev/null; then
    pictures=(--no-pictures)
    "$raybend" textbook A1-cantilever-euler --out blind > out 2>&1
    check "without Xvfb it says that pictures need it" "[ $? = 1 ] && grep -q 'package xvfb' out && [ -s blind/summary.md ]"
  fi
  check "it solves a textbook case" "'$raybend' textbook A1-cantilever-euler ${pictures[*]} --out textbook > /dev/null"
  check "it solves a ready case" "'$raybend' compare '$cases/standing.toml' ${pictures[*]} --out standing --quiet > /dev/null"
  check "with page, fields and tables" "[ -s standing/report.html ] && [ -s standing/flat_0.pvtu ] && [ -s standing/rays.csv ]"
  [ ${#pictures[@]} = 0 ] && check "with pictures" "[ -s standing/bones.png ] && [ -s standing/shaft-strain.svg ]"
fi
check "all of its textbook cases" "[ \$('$raybend' textbook --list | wc -l) = \$(ls '$cases/textbook' | wc -l) ]"
exit $failed
