# A study killed at random moments goes on: no run is lost, none stands twice, and the numbers are those of one run.
# usage: python3 study_killed.py RAYBEND STUDY TIMES
import contextlib
import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

raybend, study, times = sys.argv[1], os.path.abspath(sys.argv[2]), int(sys.argv[3])
random.seed(21)


def rows(store, ordered='point, activity, design'):
    with contextlib.closing(sqlite3.connect(store)) as db:
        return db.execute(f'SELECT point, activity, design, status, seconds FROM run ORDER BY {ordered}').fetchall()


def numbers(store):
    with contextlib.closing(sqlite3.connect(store)) as db:
        return {row[:3]: row[3:] for row in db.execute(
            'SELECT point, design, ray, peak_strain_ue, head_pressure_peak_kpa, strain_dorsal_at_50_pct_ue FROM tidy')}


with tempfile.TemporaryDirectory() as folder:
    def command(store):
        return [raybend, 'study', study, '--store', store, '--out', 'out', '--no-pictures', '--quiet']

    start = time.time()
    whole = subprocess.run(command('whole.sqlite'), cwd=folder, stdout=subprocess.DEVNULL)
    assert whole.returncode == 0, whole
    seconds = time.time() - start
    whole_rows = rows(f'{folder}/whole.sqlite')
    kills, seen = 0, {}
    while True:
        run = subprocess.Popen(command('killed.sqlite'), cwd=folder, stdout=subprocess.DEVNULL)
        try:
            status = run.wait(random.uniform(0, 0.5 * seconds) if kills < times else None)
            assert status == 0, f'status {status} after {kills} kills'
            if kills >= times:
                break
            # done before its time: from the start once more, with the kills there are
            os.remove(f'{folder}/killed.sqlite')
            seen = {}
        except subprocess.TimeoutExpired:
            os.kill(run.pid, signal.SIGKILL)
            run.wait()
            kills += 1
        if os.path.exists(f'{folder}/killed.sqlite') and os.path.getsize(f'{folder}/killed.sqlite') > 0:
            with contextlib.closing(sqlite3.connect(f'{folder}/killed.sqlite')) as db:
                assert db.execute('PRAGMA integrity_check').fetchone() == ('ok',)
                if not db.execute("SELECT 1 FROM sqlite_master WHERE name = 'run'").fetchone():
                    continue
            now = {row[:3]: row[3:] for row in rows(f'{folder}/killed.sqlite')}
            for name, row in seen.items():
                assert now.get(name) == row, f'run {name} was there and is lost or done again'
            seen = now
    killed_rows = rows(f'{folder}/killed.sqlite')
    assert [r[:4] for r in killed_rows] == [r[:4] for r in whole_rows], 'not the same runs'
    one, other = numbers(f'{folder}/whole.sqlite'), numbers(f'{folder}/killed.sqlite')
    assert one.keys() == other.keys() and len(one) == 5 * len(whole_rows)
    worst = max(abs(a - b) / max(1, abs(a)) for name in one for a, b in zip(one[name], other[name]))
    # whatever was solved before: out of balance by 1e-7 of the applied force at most
    assert worst < 1e-4, f'numbers differ by {worst} of themselves'
    print(f'{kills} kills, {len(whole_rows)} runs, largest difference {worst:.1e}')
