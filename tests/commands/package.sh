#!/usr/bin/env bash
# Manual, completion and Debian package: what the program can do stands in them, and the package's program finds what came with it
# and solves where it is unpacked. On a machine that has nothing else: tests/bare_machine.sh.
# usage: package.sh BUILD_FOLDER SOURCES PATH/TO/raybend
set -u
build=$1 source=$2 raybend=$3 failed=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
manual=$(sed 's/\\-/-/g; s/\\f[IR]//g' "$source/cases/raybend.1")
for command in $("$raybend" --help | sed -n 's/^  raybend \([a-z][a-z]*\) .*/\1/p'); do
  check "the manual has $command" "grep -qE '^\.B[IR] $command ' <<< \"\$manual\""
done
for option in $(for c in new compare check explain; do "$raybend" help $c | grep -o -e '^  --[a-z-]*'; done | sort -u); do
  check "the manual has $option" "grep -qF -- '$option' <<< \"\$manual\""
done
complete_words() { # the words of a line, the last one to be completed
  PATH=$(dirname "$raybend"):$PATH bash -c '. "$0"; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _raybend; echo "${COMPREPLY[@]}"' \
    "$source/cases/raybend.bash" "$@"
}
check "completion of commands" "[ \"\$(complete_words raybend comp)\" = compare ]"
check "completion of options" "complete_words raybend compare --no | grep -qx -e --no-pictures"
check "completion of a resolution" "[ \"\$(complete_words raybend compare --resolution s)\" = standard ]"
check "completion of case files" "(cd '$source/cases' && complete_words raybend check ware) | grep -qx warehouse.toml"
(cd "$build" && cpack -G DEB -B "$work" > "$work/log" 2>&1)
check "cpack writes a package" "[ $? = 0 ] && ls $work/*.deb > /dev/null"
deb=$(ls "$work"/*.deb)
check "it names the libraries it needs" "dpkg-deb -f '$deb' Depends | grep -q 'libdeal.ii' && dpkg-deb -f '$deb' Depends | grep -q libvtk"
check "it recommends a screen for the pictures" "dpkg-deb -f '$deb' Recommends | grep -q xvfb"
dpkg-deb -x "$deb" "$work/there"
check "the unpacked program passes install.sh" \
  "bash '$source/tests/commands/install.sh' '$work/there/usr/bin/raybend' > '$work/out' || { cat '$work/out'; false; }"
exit $failed
