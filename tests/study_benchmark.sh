#!/usr/bin/env bash
# Points an hour: `raybend study` against a shell loop of `raybend compare` that sets the same key, coarse, both on all cores.
# usage: study_benchmark.sh RAYBEND CASE [points of the study] [points of the loop]
set -eu
raybend=$(realpath "$1") case=$(realpath "$2") points=${3:-16} loop=${4:-3}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"
key=designs.moulded-pad.support[1].behind_heads_mm
now() { date +%s.%N; }
per_hour() { awk "BEGIN { printf \"%.0f\", 3600 * $1 / ($3 - $2) }"; }

start=$(now)
for i in $(seq 1 "$loop"); do
  "$raybend" compare "$case" --resolution coarse --set "$key=$((2 + 3 * i))" --no-pictures --quiet --out "r$i" > /dev/null
done
slow=$(per_hour "$loop" "$start" "$(now)")

cat > study.toml <<END
case = "$case"
designs = "moulded-pad"
plan = "latin-hypercube"
points = $points
[[vary]]
key = "$key"
distribution = "uniform"
low = 0
high = 25
END
start=$(now)
"$raybend" study study.toml --resolution coarse --no-pictures --quiet > /dev/null
fast=$(per_hour "$points" "$start" "$(now)")
echo "one design's key, $(nproc) cores: loop of compare $slow points an hour, study $fast, ratio $(awk "BEGIN { printf \"%.1f\", $fast / $slow }")"
