# `raybend study` as a program: shares and merging, stores it must refuse, a full disk, failed runs, one design.
# usage: python3 study_command.py RAYBEND SOURCES
import contextlib
import os
import resource
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

raybend, sources = os.path.abspath(sys.argv[1]), sys.argv[2]
case = open(f'{sources}/cases/standing.toml', encoding='utf-8').read()
one_design = case[:case.index('# 2. The same with a pad')]
pad = '''case = "case.toml"
plan = "grid"
designs = "flat-pad"
[[vary]]
key = "designs.flat-pad.support[1].behind_heads_mm"
values = [4, 8, 12]
'''
mass = '''case = "one.toml"
plan = "one-at-a-time"
[[vary]]
key = "designs.flat.layers[2].thickness_mm"
values = [4, 5, 6]
'''


def study(name, *options, status=0, folder=None, limit=None):
    def before():
        if limit is not None:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    run = subprocess.run([raybend, 'study', name, '--no-pictures', *options], cwd=folder, text=True,
                         capture_output=True, preexec_fn=before)
    assert run.returncode == status, f'{name} {options}: status {run.returncode}, wanted {status}\n{run.stderr}'
    return run


def numbers(store):
    with contextlib.closing(sqlite3.connect(store)) as db:
        return {row[:3]: row[3:] for row in db.execute(
            'SELECT point, design, ray, peak_strain_ue, head_pressure_peak_kpa FROM tidy')}


def near(one, other):
    assert one.keys() == other.keys()
    for name in one:
        for a, b in zip(one[name], other[name]):
            assert abs(a - b) <= 1e-4 * max(1, abs(a)), (name, a, b)


with tempfile.TemporaryDirectory() as folder:
    def write(name, text):
        with open(f'{folder}/{name}', 'w', encoding='utf-8') as file:
            file.write(text)

    def read(name):
        return open(f'{folder}/{name}', 'rb').read()

    write('case.toml', case)
    write('one.toml', one_design)
    write('pad.toml', pad)
    write('mass.toml', mass)
    write('other.toml', pad.replace('12]', '13]'))

    # the whole, and nothing on the way in a pipe
    whole = study('pad.toml', folder=folder)
    assert whole.stderr == '', whole.stderr
    assert '3 of 3 runs are done' in whole.stdout
    lines = read('pad-results/runs.csv').decode().splitlines()
    assert len(lines) == 1 + 3 * 5 and lines[0].startswith('point,behind_heads_mm,activity,design,status,')
    assert len({len(line.split(',')) for line in lines}) == 1
    # once more: there is nothing to do
    start = time.time()
    study('pad.toml', folder=folder)
    assert time.time() - start < 5
    # shares of three jobs, merged
    for k in (1, 2, 3):
        study('pad.toml', '--share', f'{k}/3', folder=folder)
    merge = [word for k in (1, 2, 3) for word in ('--merge', f'pad-share-{k}-of-3.sqlite')]
    study('pad.toml', '--no-solve', '--store', 'merged.sqlite', '--out', 'merged', *merge, folder=folder)
    near(numbers(f'{folder}/pad.sqlite'), numbers(f'{folder}/merged.sqlite'))
    # two ranks are two shares
    ranks = subprocess.run(['mpirun', '--allow-run-as-root', '--oversubscribe', '-n', '2', raybend, 'study', 'pad.toml'],
                           cwd=folder, text=True, capture_output=True)
    assert ranks.returncode == 0, ranks.stderr
    merge = [word for k in (1, 2) for word in ('--merge', f'pad-share-{k}-of-2.sqlite')]
    study('pad.toml', '--no-solve', '--store', 'ranks.sqlite', '--out', 'ranks', *merge, folder=folder)
    near(numbers(f'{folder}/pad.sqlite'), numbers(f'{folder}/ranks.sqlite'))
    # path independence: each point was solved after others in the one, first in the other

    # one design
    assert '3 of 3 runs are done' in study('mass.toml', folder=folder).stdout

    # stores that are refused stay as they are
    def refused(store, words, name='pad.toml'):
        before = read(store)
        run = study(name, '--store', store, status=2, folder=folder)
        assert words in run.stderr and store in run.stderr and run.stderr.count('\n') == 1, run.stderr
        assert read(store) == before

    refused('pad.sqlite', 'belongs to another study: its plan differs', 'other.toml')
    write('words.sqlite', 'these are only words, and no store at all ' * 50)
    refused('words.sqlite', 'is not a study\'s store')
    with contextlib.closing(sqlite3.connect(f'{folder}/foreign.sqlite')) as db:
        db.execute('CREATE TABLE mine (x)')
        db.commit()
    refused('foreign.sqlite', 'is not a study\'s store')
    shutil.copy(f'{folder}/pad.sqlite', f'{folder}/damaged.sqlite')
    with open(f'{folder}/damaged.sqlite', 'r+b') as file:
        file.seek(4096)
        file.write(os.urandom(os.path.getsize(f'{folder}/damaged.sqlite') - 4096))
    refused('damaged.sqlite', 'damaged')
    held = sqlite3.connect(f'{folder}/pad.sqlite', isolation_level=None)
    held.execute('BEGIN IMMEDIATE')
    refused('pad.sqlite', 'another program holds this store')
    held.execute('ROLLBACK')
    held.close()
    study('pad.toml', '--merge', 'nothing.sqlite', status=2, folder=folder)
    for wrong in ('0/3', '4/3', '1/', 'x'):
        assert '--share' in study('pad.toml', '--share', wrong, status=2, folder=folder).stderr

    # two runs at once
    os.remove(f'{folder}/pad.sqlite')
    first = subprocess.Popen([raybend, 'study', 'pad.toml', '--no-pictures'], cwd=folder, stdout=subprocess.DEVNULL)
    while not os.path.exists(f'{folder}/pad.sqlite-wal'):
        time.sleep(0.05)
    run = study('pad.toml', status=2, folder=folder)
    assert 'another run of this study writes to this store' in run.stderr, run.stderr
    assert first.wait() == 0

    # a worker that is killed costs its own run alone, which --again solves
    write('killed.toml', pad.replace('4, 8, 12', '4, 6, 8, 10, 12, 14'))
    run = subprocess.Popen([raybend, 'study', 'killed.toml', '--no-pictures'], cwd=folder, stdout=subprocess.DEVNULL)
    workers = []
    while not workers:
        time.sleep(0.2)
        with open(f'/proc/{run.pid}/task/{run.pid}/children', encoding='utf-8') as file:
            workers = file.read().split()
    time.sleep(1)
    os.kill(int(workers[0]), signal.SIGKILL)
    assert run.wait() == 1
    rows = [line.split(',') for line in read('killed-results/runs.csv').decode().splitlines()]
    status = rows[0].index('status')
    assert [row[status] for row in rows[1:]].count('failed') == 5 and len(rows) == 1 + 6 * 5
    assert any('ended by a signal' in row[status + 1] for row in rows)
    assert '6 of 6 runs are done' in study('killed.toml', '--again', folder=folder).stdout

    # a full disk: what is there stays, and the same command goes on
    write('full.toml', pad.replace('4, 8, 12', '4, 6, 8, 10, 12, 14, 16, 18'))
    study('full.toml', '--no-solve', status=1, folder=folder)
    run = study('full.toml', status=1, folder=folder, limit=30000)
    assert 'full.sqlite' in run.stderr and 'the same command goes on' in run.stderr, run.stderr
    with contextlib.closing(sqlite3.connect(f'{folder}/full.sqlite')) as db:
        there = db.execute('SELECT point, seconds FROM run').fetchall()
    assert len(there) < 8
    assert '8 of 8 runs are done' in study('full.toml', folder=folder).stdout
    with contextlib.closing(sqlite3.connect(f'{folder}/full.sqlite')) as db:
        assert set(there) <= set(db.execute('SELECT point, seconds FROM run').fetchall())

    # runs that cannot be are rows with their reason
    write('refused.toml', pad.replace('behind_heads_mm', 'length_mm').replace('4, 8, 12', 'LENGTHS')
          .replace('LENGTHS', '45, 60') + '[[vary]]\nkey = "designs.flat-pad.layers[3].thickness_mm"\nvalues = [3]\n'
          '[[vary]]\nkey = "patient.ray2.cortex_mm"\nvalues = [2, 5]\n')
    run = study('refused.toml', status=1, folder=folder)
    rows = [line.split(',') for line in read('refused-results/runs.csv').decode().splitlines()]
    status = rows[0].index('status')
    assert {row[status] for row in rows[1:]} == {'done', 'refused'}, rows
    assert len(rows) == 1 + 4 * 5
    assert '2 are refused' in run.stdout, run.stdout
print('study command: all as wanted')
