#!/usr/bin/env bash
# `cmake --install`: the program runs from its new place and finds the textbook cases that came with it.
# usage: install.sh BUILD_FOLDER CMAKE
set -u
build=$1 cmake=$2 failed=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
"$cmake" --install "$build" --prefix "$work/there" > "$work/log" 2>&1
check "exit status 0" "[ $? = 0 ]"
mv "$work/there" "$work/moved" # a tree may go elsewhere
raybend=$work/moved/bin/raybend
cases=$work/moved/share/raybend/cases
check "the program is there" "[ -x '$raybend' ]"
check "so are the ready cases" "[ -s '$cases/warehouse.toml' ] && [ -s '$cases/beam-example.toml' ]"
check "it says its version" "'$raybend' --version | grep -q '^raybend [0-9.]*$'"
check "it reads an installed case" "'$raybend' check '$cases/standing.toml' > /dev/null"
# a case that is nowhere but there
sed 's/^title = .*/title = "Known here alone"/' "$cases/textbook/A1-cantilever-euler.toml" > "$cases/textbook/Y1-here.toml"
check "it lists its own textbook cases" "'$raybend' textbook --list | grep -q 'Y1-here .*Known here alone'"
check "all of them" "[ \$('$raybend' textbook --list | wc -l) = \$(ls '$cases/textbook' | wc -l) ]"
exit $failed
