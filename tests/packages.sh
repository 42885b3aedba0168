#!/usr/bin/env bash
# Installs the Debian packages that Raybend needs and does not find; with the word tests those of the tests too. Nothing happens
# if all are there.
set -eu
packages="g++ cmake ninja-build libdeal.ii-dev libgmsh-dev libvtk9-dev libboost-program-options-dev catch2
  nlohmann-json3-dev libtomlplusplus-dev libopenblas-dev libsuitesparse-dev libssl-dev libjs-three libsqlite3-dev libeigen3-dev libnlopt-cxx-dev libboost-dev libx11-dev xvfb openmpi-bin calculix-ccx python3
  fontconfig fonts-dejavu-core"
# what tests need beyond the program: a browser for the page, tools for PDF and packages
[ "${1:-}" = tests ] && packages="$packages chromium chromium-driver python3-selenium poppler-utils dpkg-dev"
missing=""
for package in $packages; do
  dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing="$missing $package"
done
[ -z "$missing" ] && exit 0
sudo=""
if [ "$(id -u)" != 0 ]; then sudo=sudo; fi
echo "installing:$missing"
export DEBIAN_FRONTEND=noninteractive
$sudo apt-get update -q
# shellcheck disable=SC2086
$sudo apt-get install -y -q --no-install-recommends $missing
