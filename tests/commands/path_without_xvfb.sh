#!/usr/bin/env bash
# Fills a new folder with links to every program of PATH but Xvfb: with PATH set to it no display can be started, and
# all that MPI starts is found. usage: path_without_xvfb.sh FOLDER
set -eu
mkdir "$1"
IFS=:
for folder in $PATH; do
  [ -d "$folder" ] && find "$folder/" -mindepth 1 -maxdepth 1 ! -type d -exec ln -sf -t "$1" {} +
done
rm -f "$1/Xvfb"
