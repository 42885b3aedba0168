#!/usr/bin/env bash
# The program without the laboratory's part: its commands are gone, the others work.
# usage: without_lab.sh PATH/TO/raybend_without_lab FOLDER_OF_CASES
set -u
raybend=$1 cases=$2 failed=0
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
check "its help does not name them" "! '$raybend' --help | grep -q 'textbook\|beam'"
for command in textbook beam; do
  "$raybend" $command --help > /dev/null 2>&1
  check "$command is no command" "[ $? = 2 ]"
done
check "compare is" "'$raybend' help compare | grep -q '^usage: raybend compare'"
for case in "$cases"/standing.toml "$cases"/shift.toml; do
  check "it reads $(basename "$case")" "'$raybend' check '$case' | grep -q '^Calculation'"
done
check "no part of the laboratory is in it" "! nm -C '$raybend' | grep -q 'raybend::\(TextbookResult\|BeamReport\|KeyTable\)'"
exit $failed
