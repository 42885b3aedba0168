#!/usr/bin/env bash
# A Debian package of Raybend on a machine that has nothing but Debian's smallest base: what it depends on suffices to install
# it, to find its cases, manual and completion and to solve (commands/install.sh), without pictures; with the packages that it recommends
# also with pictures; and nothing of it is left when it is removed. Not run by ctest: as root, with debootstrap, some 2 GB of
# disk and 300 MB from Debian's mirror; five minutes.
# usage: bare_machine.sh PACKAGE.deb
set -eu
deb=$(realpath "$1") here=$(cd "$(dirname "$0")" && pwd) failed=0
bare=$(mktemp -d) && chmod 755 "$bare"
end() { umount "$bare/proc" 2> /dev/null || true; rm -rf --one-file-system "$bare"; }
trap end EXIT
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
inside() { DEBIAN_FRONTEND=noninteractive chroot "$bare" "$@"; }
debootstrap --variant=minbase bookworm "$bare" http://deb.debian.org/debian > "$bare.log" 2>&1
mount -t proc proc "$bare/proc"
cp "$deb" "$here/commands/install.sh" "$bare/root/"
inside apt-get update -q > "$bare.log"
check "it installs with what it depends on" "inside apt-get install -y -q --no-install-recommends '/root/$(basename "$deb")' > '$bare.log' 2>&1"
check "without what it recommends: install.sh" "inside bash /root/install.sh /usr/bin/raybend"
# shellcheck disable=SC2046
inside apt-get install -y -q --no-install-recommends $(dpkg-deb -f "$deb" Recommends | tr -d ,) > "$bare.log" 2>&1
check "with what it recommends: install.sh" "inside bash /root/install.sh /usr/bin/raybend"
inside dpkg -P raybend > "$bare.log"
check "removed, nothing is left" "[ -z \"\$(find '$bare/usr' -name '*raybend*')\" ]"
rm -f "$bare.log"
exit $failed
