#!/usr/bin/env bash
# Signals and outputs that nobody reads: the program ends by the signal, so that a shell's loop stops too, takes its
# children and its hidden folder with it, and does not call an output that failed a success.
# usage: signals.sh PATH/TO/raybend CASES_FOLDER
set -u
raybend=$1 cases=$2 failed=0
work=$(mktemp -d) && trap 'rm -rf "$work"' EXIT
check() { if eval "$2"; then echo "ok    $1"; else echo "FAIL  $1"; failed=1; fi; }
# left_over NAME: results, or a hidden folder of results
left_over() { ls -A "$work" | grep "^\.*$1\(\.\|\$\)"; }
running() { pgrep -f "$work/" > /dev/null; } # every process is told a path below it
# Waiting has no bound of its own: ctest's time limit is the only one.
gone() { while running; do sleep 0.1; done; }
await() { until "$@" > /dev/null 2>&1; do sleep 0.1; done; }

# end_by NAME SIGNAL COMMAND...: starts it, waits for its hidden folder and, of a command that starts processes, for one
# of them, sends the signal; leaves its status in $got. python3 gives SIGINT back what a shell's background job has ignored.
end_by() {
  local name=$1 signal=$2
  shift 2
  python3 -c 'import os, signal, sys
signal.signal(signal.SIGINT, signal.SIG_DFL)
os.execvp(sys.argv[1], sys.argv[1:])' "$@" > "$work/out" 2> "$work/err" &
  local asked=$!
  await left_over "$name"
  [ $name = d ] || await pgrep -P $asked
  kill -"$signal" $asked
  wait $asked 2> /dev/null
  got=$?
}

end_by a INT "$raybend" compare "$cases/standing.toml" --out "$work/a" --no-pictures --quiet
check "compare, SIGINT: ended by it" "[ $got = 130 ]"
check "compare, SIGINT: says so" "grep -q 'raybend: stopped before the end; nothing was written' '$work/err'"
check "compare, SIGINT: nothing is left" "! left_over a && gone"

# at any moment of its start, before its processes are there too
for after in 0 0.02 0.05 0.1 0.15 0.2 0.3; do
  "$raybend" compare "$cases/standing.toml" --out "$work/q" --no-pictures --quiet > /dev/null 2>&1 &
  asked=$!
  await left_over q
  sleep $after
  kill -TERM $asked
  wait $asked 2> /dev/null
done
check "compare, SIGTERM early: nothing is left" "! left_over q && gone"

end_by b TERM "$raybend" textbook A1 A2 --levels 5 --out "$work/b" --quiet
check "textbook, SIGTERM: ended by it" "[ $got = 143 ]"
check "textbook, SIGTERM: nothing is left" "! left_over b && gone"

end_by c INT taskset -c 0 "$raybend" compare "$cases/standing.toml" --out "$work/c" --no-pictures --quiet
check "compare on one core, SIGINT: ended by it" "[ $got = 130 ]"
check "compare on one core, SIGINT: nothing is left" "! left_over c && gone"

end_by d HUP "$raybend" beam "$cases/beam-example.toml" --out "$work/d" --quiet
check "beam, SIGHUP: ended by it" "[ $got = 129 ]"
check "beam, SIGHUP: nothing is left" "! left_over d && gone"

export OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1
end_by e INT mpirun --oversubscribe -n 2 "$raybend" compare "$cases/standing.toml" --out "$work/e" --no-pictures --quiet
check "under the user's mpirun, SIGINT: nothing is left" "gone && ! left_over e"

# killed outright: the children do not compute on
end_by f KILL "$raybend" textbook A1 A2 --levels 5 --out "$work/f" --quiet
check "textbook, SIGKILL: the children end too" "[ $got = 137 ] && gone"

# nobody reads
python3 "$(dirname "$0")/closed_pipe.py" "$raybend" textbook A1 A2 A3 A4 --no-pictures --levels 1 --out "$work/g" 2> "$work/err"
got=$?
check "textbook in a pipe that closes: exit status 1" "[ $got = 1 ]"
check "textbook in a pipe that closes: says why" "grep -q 'raybend: cannot write the output' '$work/err'"
check "textbook in a pipe that closes: no results" "[ ! -e '$work/g' ] && gone"

# what is done is kept: killed outright after the first case, the same command goes on from there
"$raybend" textbook A1 A12 A2 --levels 5 --out "$work/m" --no-pictures --quiet > "$work/out" 2>&1 &
asked=$!
for _ in $(seq 3000); do ls "$work"/.m.unfinished/*.done > /dev/null 2>&1 && break; sleep 0.1; done
kill -KILL $asked
wait $asked 2> /dev/null
gone
kept=$(ls "$work"/.m.unfinished/*.done | wc -l)
check "textbook killed: what was done is kept" "[ $kept -ge 1 ] && [ ! -e '$work/m' ]"
# what is left of the killed one may hold the lock a moment longer
flock "$work/.m.unfinished/lock" sleep 1 &
await eval '! flock -n "$work/.m.unfinished/lock" true || ! kill -0 $!'
"$raybend" textbook A1 A12 A2 --levels 5 --out "$work/m" --no-pictures --quiet > "$work/out" 2>&1
got=$?
check "textbook again: goes on from there" "[ $got = 0 ] && grep -q '^$kept of 3 cases are taken over' '$work/out'"
check "textbook again: all results, nothing else" "[ -s '$work/m/A1-cantilever-euler.json' ] && [ ! -e '$work/.m.unfinished' ]"

# a SIGINT that was ignored stays ignored, as for what a script starts in the background
(trap '' INT; exec "$raybend" textbook A1 --levels 1 --no-pictures --out "$work/h" > /dev/null 2>&1) &
asked=$!
await left_over h
kill -INT $asked
wait $asked
got=$?
check "SIGINT ignored from outside: the run goes on" "[ $got = 0 ] && [ -s '$work/h/summary.md' ]"

# no folder for temporary files: none is needed
TMPDIR=$work/nowhere "$raybend" textbook A1 --levels 1 --no-pictures --out "$work/i" > /dev/null 2> "$work/err"
got=$?
check "TMPDIR missing: solved all the same" "[ $got = 0 ] && [ -s '$work/i/summary.md' ]"

# one of the processes is killed, as the system does where memory runs out: it alone is lost
"$raybend" compare "$cases/standing.toml" --no-pictures --quiet --out "$work/p" > /dev/null 2> "$work/err" &
asked=$!
await pgrep -P $asked
kill -KILL "$(pgrep -P $asked | tail -n 1)"
wait $asked
got=$?
check "a solve that is killed: exit status 1, which and why" \
  "[ $got = 1 ] && grep -q '^raybend: flat.*: the calculation was ended by a signal (Killed)' '$work/err'"
check "a solve that is killed: the results of the others are there" "[ -s '$work/p/summary.md' ] && gone"

# what a run that was killed outright left behind goes with the next one; a folder that a run still writes to is left to it
"$raybend" textbook A1 A2 --levels 5 --no-pictures --out "$work/n" > /dev/null 2>&1 &
asked=$!
await left_over n
kill -KILL $asked
wait $asked 2> /dev/null
gone
check "killed outright: something is left" "left_over n > /dev/null"
"$raybend" textbook A1 A2 --levels 5 --no-pictures --out "$work/n" > /dev/null 2>&1 &
asked=$!
await pgrep -P $asked
"$raybend" textbook A1 --levels 1 --no-pictures --out "$work/n" > /dev/null 2> "$work/err"
got=$?
wait $asked
check "the next run clears it" "[ $? = 0 ] && [ \"\$(left_over n)\" = n ]"
check "a further one beside it is refused" "[ $got = 1 ] && grep -q 'raybend: another run writes its results' '$work/err'"

# stopped when one design is done: that one is kept, the next run goes on from it and leaves nothing of it
taskset -c 0 "$raybend" compare "$cases/standing.toml" --no-pictures --quiet --out "$work/o" > /dev/null 2> "$work/err" &
asked=$!
await ls "$work/.o.unfinished/solve-1.done"
kill -TERM $asked
wait $asked 2> /dev/null
got=$?
check "compare stopped half-way: says what is kept" \
  "[ $got = 143 ] && grep -q 'raybend: stopped before the end; [0-9]* of [0-9]* solves are kept' '$work/err'"
"$raybend" compare "$cases/standing.toml" --no-pictures --quiet --out "$work/o" > /dev/null 2> "$work/err"
got=$?
check "the next run takes it over" "[ $got = 0 ] && grep -q 'solves are taken over' '$work/err' && [ -s '$work/o/rays.csv' ]"
check "with the fields of every design" "[ \"\$(ls '$work'/o/*.pvtu | wc -l)\" = 2 ]"
check "and leaves nothing else" "[ \"\$(left_over o)\" = o ]"

if [ -w /dev/full ]; then
  "$raybend" compare "$cases/standing.toml" --resolution coarse --no-pictures --quiet --out "$work/l" > /dev/full 2> "$work/err"
  got=$?
  check "compare, stdout full: exit status 1 and a message, the results are there" \
    "[ $got = 1 ] && grep -q 'raybend: cannot write the output' '$work/err' && [ -s '$work/l/summary.md' ]"
fi
exit $failed
