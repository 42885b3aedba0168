# `raybend best` as a program: killed and gone on with, asked again with other caps, its case checked, its optimum against a grid.
# usage: python3 best_command.py RAYBEND SOURCES
import contextlib
import csv
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

raybend, sources = os.path.abspath(sys.argv[1]), sys.argv[2]
best = '''case = "standing.toml"
design = "flat-pad"
points = 4
rounds = 4
[[vary]]
key = "designs.flat-pad.support[1].behind_heads_mm"
from = 0
to = 30
[[cap]]
output = "head_pressure_peak_kpa"
over_reference_pct = 5
'''
key = 'designs.flat-pad.support[1].behind_heads_mm'


def run(*words, status=0, folder=None):
    done = subprocess.run([raybend, *words], cwd=folder, text=True, capture_output=True)
    assert done.returncode == status, f'{words}: status {done.returncode}, wanted {status}\n{done.stderr}'
    return done


with tempfile.TemporaryDirectory() as folder:
    def write(name, text):
        with open(f'{folder}/{name}', 'w', encoding='utf-8') as file:
            file.write(text)

    def rows():
        with contextlib.closing(sqlite3.connect(f'{folder}/best.sqlite')) as db:
            return set(db.execute('SELECT point, design, status, seconds FROM run'))

    def table(name):
        with open(f'{folder}/{name}', encoding='utf-8') as file:
            return list(csv.DictReader(file))

    shutil.copy(f'{sources}/cases/standing.toml', folder)
    write('best.toml', best)

    # a wrong request leaves nothing
    write('wrong.toml', best.replace('to = 30', 'to = 300'))
    assert 'wrong.toml:8: vary[1].to: found 300' in run('best', 'wrong.toml', status=2, folder=folder).stderr
    assert sorted(os.listdir(folder)) == ['best.toml', 'standing.toml', 'wrong.toml']

    # killed in the middle: what is there stays and is not solved again
    first = subprocess.Popen([raybend, 'best', 'best.toml'], cwd=folder, stdout=subprocess.DEVNULL)
    there = set()
    while len(there) < 2:
        time.sleep(0.1)
        with contextlib.suppress(sqlite3.OperationalError):
            there = rows()
        assert first.poll() is None
    os.kill(first.pid, signal.SIGKILL)
    first.wait()
    whole = run('best', 'best.toml', folder=folder)
    assert there <= rows()
    assert whole.stderr == '', whole.stderr
    made = os.listdir(f'{folder}/best-results')
    for name in ('summary.md', 'runs.csv', 'candidates.csv', 'tolerance.csv', 'lines.csv', 'front.csv', 'best-case.toml',
                 'tolerance.png', 'front.png', 'front.svg'):
        assert name in made, (name, made)
    assert whole.stdout == open(f'{folder}/best-results/summary.md', encoding='utf-8').read()
    for words in ('Best of', 'not a diagnosis', 'How exact the workshop must be', 'Invented patient'):
        assert words in whole.stdout, words

    # once more: nothing is solved, and the same is said
    before = rows()
    again = run('best', 'best.toml', '--no-pictures', folder=folder)
    assert rows() == before and again.stdout == whole.stdout

    # the answer is the least of the solved ones within the caps, and says what the store has
    candidates = table('best-results/candidates.csv')
    found = [c for c in candidates if c['status'] == 'best']
    assert len(found) == 1
    aim, place = float(found[0]['aim_ue']), float(found[0]['behind_heads_mm'])
    assert aim == min(float(c['aim_ue']) for c in candidates if c['status'] in ('best', 'within'))
    assert any(c['status'] == 'over a cap' for c in candidates), 'no cap was ever in force'
    runs = [r for r in table('best-results/runs.csv') if r['ray'] == '2' and r['design'] == 'flat-pad']
    assert any(abs(float(r['behind_heads_mm']) - place) < 1e-9 and abs(float(r['peak_strain_ue']) - aim) < 1e-3
               for r in runs)
    print('best', place, 'mm,', aim, 'microstrain,', len(candidates), 'candidates')

    # the case that comes out is one, with this value
    checked = run('check', 'best-results/best-case.toml', folder=folder).stdout
    assert 'flat-pad-best' in checked

    # solved beside the optimum nothing is better by more than the tolerance of 2 %
    beside = [min(30, place + 4), max(0, place - 4)]
    write('grid.toml', f'case = "standing.toml"\ndesigns = "flat-pad"\nplan = "grid"\n[[vary]]\nkey = "{key}"\n'
          f'values = {beside}\n')
    run('study', 'grid.toml', '--no-pictures', folder=folder)
    around = [float(r['peak_strain_ue']) for r in table('grid-results/runs.csv') if r['ray'] == '2']
    assert len(around) == 2 and min(around) > 0.98 * aim, (aim, around)
    # and the tolerance that is told holds there: within it the strain rises by less than 2 % (and what the surrogate misses)
    told = table('best-results/tolerance.csv')[0]
    assert float(told['low']) <= place <= float(told['high'])
    for x, value in zip(beside, around):
        if float(told['low']) < x < float(told['high']):
            assert value < 1.03 * aim, (x, value, aim)

    # other caps ask the same store; none can be kept here, and nothing is solved for it
    write('best.toml', best.replace('over_reference_pct = 5', 'at_most = 1'))
    none = run('best', 'best.toml', '--no-solve', '--no-pictures', status=1, folder=folder)
    assert 'No design within these limits keeps to all caps' in none.stdout and rows() == before
    assert not os.path.exists(f'{folder}/best-results/best-case.toml')
    # other limits are another question
    write('best.toml', best.replace('to = 30', 'to = 25'))
    assert 'belongs to another study' in run('best', 'best.toml', status=2, folder=folder).stderr
    assert rows() == before
print('best command: all as wanted')
