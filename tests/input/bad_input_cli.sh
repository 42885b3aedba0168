#!/usr/bin/env bash
# Wrong requests on the command line: exit status, one clear message, nothing left behind.
# usage: bad_input_cli.sh PATH/TO/raybend
set -u
if [ ! -x "${1:-}" ]; then
  echo "usage: bad_input_cli.sh PATH/TO/raybend" >&2
  exit 2
fi
program=$(realpath "$1")
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
ready=$here/../../cases/standing.toml
work=$(mktemp -d)
mounted=
trap '[ -n "$mounted" ] && umount "$mounted"; rm -rf "$work"' EXIT
cd "$work" || exit 1
failures=0

ok() { echo "ok    $1"; }
fail() {
  echo "FAIL  $1: $2"
  failures=$((failures + 1))
}

# run NAME STATUS TEXT ARGUMENTS...: status, TEXT in stderr, every stderr line says who speaks, nothing on stdout, and no
# file left in the working folder.
run() {
  local name=$1 status=$2 text=$3 got
  shift 3
  before=$(find . | sort)
  "$program" "$@" >"$work.out" 2>"$work.err" </dev/null
  got=$?
  if [ $got -ne "$status" ]; then
    fail "$name" "exit status $got, expected $status: $(head -n 1 "$work.err")"
  elif ! grep -qF -- "$text" "$work.err"; then
    fail "$name" "stderr lacks \"$text\": $(head -n 3 "$work.err")"
  elif grep -qv '^raybend: ' "$work.err"; then
    fail "$name" "a stderr line does not begin with \"raybend: \": $(grep -v '^raybend: ' "$work.err" | head -n 1)"
  elif [ -s "$work.out" ]; then
    fail "$name" "something on stdout: $(head -n 1 "$work.out")"
  elif [ "$(find . | sort)" != "$before" ]; then
    fail "$name" "files are left: $(find . | sort | tail -n 1)"
  else
    ok "$name"
  fi
  rm -f "$work.out" "$work.err"
}

# ---- a wrong case file (each of bad_cases/: test_bad_input.cpp)
sed 's/^body_mass_kg = .*/body_mass_kg = 61 kg/' "$here/bad_cases/base.toml" >wrong.toml
wrong='wrong.toml:3: patient.body_mass_kg: one number is wanted, with a decimal point and nothing else (kg is in the key'"'"'s name): write body_mass_kg = 61; found 61 kg; allowed 20 to 250 kg'
run "wrong case, compare" 2 "$wrong" compare wrong.toml --out results
run "wrong case, check" 2 "$wrong" check wrong.toml

# ---- files that are no case files
printf 'title = "Fu\337"\n' >latin1.toml
head -c 1100000 /dev/zero | tr '\0' '#' >huge.toml
ln -s gone dangling.toml
mkdir folder
run "not UTF-8" 2 "is not UTF-8" compare latin1.toml --out results
run "huge" 2 "larger than 256 KiB" compare huge.toml --out results
run "dangling link" 2 "cannot read the case file" compare dangling.toml --out results
run "directory" 2 "is a directory" compare folder --out results
run "missing" 2 "No such file" compare none.toml --out results
run "unreadable, even for root" 2 "cannot read the case file" compare /proc/self/mem --out results
run "device" 2 "not a plain file" compare /dev/zero --out results

# ---- files of other commands
run "case as a beam file" 2 "is a forefoot case, not a beam file: use raybend compare" beam "$here/../../cases/standing.toml"
run "beam file as a case" 2 "is a beam file, not a forefoot case: use raybend beam" check "$here/../../cases/beam-example.toml"
run "textbook file as a case" 2 "is a textbook case, not a forefoot case: use raybend textbook" \
  compare "$here/../../cases/textbook/A1-cantilever-euler.toml" --out results

# ---- commands and options
run "no command" 2 "no command given"
run "unknown command" 2 'did you mean "compare"?' compair "$ready"
run "unknown option first" 2 "unknown option" --frobnicate
run "unknown option" 2 'did you mean "--out"?' compare "$ready" --outt results
run "option of another command" 2 "unknown option" check "$ready" --quiet
run "abbreviated option" 2 'did you mean "--resolution"?' compare "$ready" --resolutio coarse
run "option without value" 2 "--out" compare "$ready" --out
run "option twice" 2 "given twice" compare "$ready" --out a --out b
run "argument too many" 2 "one argument too many" compare "$ready" "$ready"
run "no case" 2 "no case file named" compare
run "option with one dash" 2 'unknown option "-x" of compare' compare "$ready" -x
run "option with a value" 2 'unknown option "--frob" of compare' compare "$ready" --frob=1
run "file named like an option" 2 "-a.toml: cannot read the case file" check -- -a.toml
run "levels below 0" 2 "--levels: found -1; allowed 1 to 6" textbook A1 --levels=-1 --out results
run "row unknown" 2 'no such case; found "15-gait"; allowed a name of raybend validate --list' validate 15-gait --out results
run "validate without rows" 2 "no row named" validate --out results
run "pins of another resolution" 2 "--pin stands beside --resolution" validate 03 --pin --resolution coarse --out results
run "help of nothing known" 2 'did you mean "compare"?' help compair
run "help of two" 2 'one argument too many for help: "check"' help compare check
for words in "compare -h" "compare --help" "help compare"; do
  # shellcheck disable=SC2086 # two words
  if "$program" $words 2>&1 | grep -q '^usage: raybend compare CASE.toml'; then ok "$words"; else fail "$words" "no help"; fi
done
run "explain nothing known" 2 'did you mean "thickness_mm"?' explain thickness_cm
run "explain a kind misspelt" 2 'did you mean "pad"?' explain padd
run "explain two" 2 "one argument too many" explain fit nu
OMPI_COMM_WORLD_SIZE=2 run "textbook under mpirun" 2 "start it without mpirun" textbook A1 --out results
OMPI_COMM_WORLD_SIZE=2 run "beam under mpirun" 2 "start it without mpirun" beam "$here/../../cases/beam-example.toml" --out results
run "resolution unknown" 2 '--resolution: found "medium"; allowed coarse, standard, fine' compare "$ready" --resolution medium --out results
run "resolution misspelt" 2 'raybend: --resolution: found "Coarse"; allowed coarse, standard, fine; did you mean "coarse"?' \
  check "$ready" --resolution Coarse
run "set with a comma" 2 'write body_mass_kg = 61.5; found "61,5"' check "$ready" --set patient.body_mass_kg=61,5
run "set unknown key" 2 "unknown key" compare "$ready" --set patient.height_m=1.7 --out results
run "set out of range" 2 "--set: patient.body_mass_kg: out of range" compare "$ready" --set patient.body_mass_kg=7 --out results
run "set support to a number" 2 "allowed none, which takes all support elements away" \
  check "$ready" --set designs.flat-pad.support=3
run "set without value" 2 "key=value" compare "$ready" --set fit --out results

export SOURCE_DATE_EPOCH=yesterday
run "date from outside" 2 'SOURCE_DATE_EPOCH: found "yesterday"; allowed whole seconds' compare "$ready" --out results
unset SOURCE_DATE_EPOCH

# ---- where the results go
touch plain-file
mkdir full-of-others
touch full-of-others/diary.txt
run "out is a file" 2 "plain-file" compare "$ready" --out plain-file
run "out below a file" 2 "is not a folder" compare "$ready" --out plain-file/results
ln -s nowhere loose-link
run "out below a loose link" 2 "is not a folder" compare "$ready" --out loose-link/results
run "out in /proc" 2 "/proc" compare "$ready" --out /proc/results
run "out holds other files" 2 "diary.txt" compare "$ready" --out full-of-others
run "out empty" 2 "--out" compare "$ready" --out ""

# ---- stdout that cannot be written
if [ -w /dev/full ]; then
  "$program" explain >/dev/full 2>"$work.err"
  got=$?
  if [ $got -eq 1 ] && grep -q '^raybend: ' "$work.err"; then ok "stdout full"; else fail "stdout full" "exit status $got"; fi
  rm -f "$work.err"
fi

# ---- a pipe whose reader has enough: what only prints ends by SIGPIPE (141 to the shell) and says nothing
for words in "explain" "check $ready" "textbook --list" "--help"; do
  # shellcheck disable=SC2086 # several words
  python3 "$here/../commands/closed_pipe.py" "$program" $words 2>"$work.err"
  got=$?
  if [ "$got" -eq 141 ] && [ ! -s "$work.err" ]; then ok "$words in a pipe that closes"; else
    fail "$words in a pipe that closes" "exit status $got: $(head -n 1 "$work.err")"
  fi
  rm -f "$work.err"
done

# ---- a disk that fills while results are written
if [ "${RAYBEND_SKIP_SLOW:-}" = 1 ]; then
  echo "skip  disk full: RAYBEND_SKIP_SLOW is set"
elif [ "$(id -u)" -ne 0 ]; then
  echo "skip  disk full: mounting a small disk needs root"
else
  mkdir disk
  if mount -t tmpfs -o size=16k tmpfs "$work/disk" 2>/dev/null; then
    mounted=$work/disk
    "$program" compare "$ready" --no-pictures --quiet --out disk/results >/dev/null 2>"$work.err"
    got=$?
    if [ $got -ne 1 ]; then
      fail "disk full" "exit status $got, expected 1: $(head -n 1 "$work.err")"
    elif ! grep -q '^raybend: .*\(disk is full\|is the disk full\)' "$work.err"; then
      fail "disk full" "the message does not say so: $(head -n 1 "$work.err")"
    elif [ -n "$(ls -A disk)" ]; then
      fail "disk full" "left behind: $(ls -A disk)"
    else
      ok "disk full"
    fi
    rm -f "$work.err"
  else
    echo "skip  disk full: a small disk (tmpfs) cannot be mounted here"
  fi
fi

echo "$failures failed"
[ "$failures" -eq 0 ]
