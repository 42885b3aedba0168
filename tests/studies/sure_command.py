# `compare --sure`: its tables, its place in summary, JSON and page, whatever the time lets it solve; a signal ends the feet and not the
# report; wrong options.
# usage: python3 sure_command.py PATH/TO/raybend CASE.toml
import csv
import json
import os
import pty
import signal
import subprocess
import sys
import tempfile

raybend, case = sys.argv[1], os.path.abspath(sys.argv[2])
few = ['--resolution', 'coarse', '--no-pictures']


def check_report(folder, wanted):
    told = json.load(open(f'{folder}/summary.json'))
    sure, words = told['sure'], ' '.join(open(f'{folder}/summary.md').read().split())
    assert '## How sure' in words and 'id="sure"' in open(f'{folder}/report.html').read()
    assert sure['feet_solved'] <= sure['feet_tried'] <= wanted, sure
    feet = list(csv.reader(open(f'{folder}/sure-feet.csv')))
    assert len(feet) == 1 + sure['feet_tried'] and len(feet[0]) > 45, len(feet)
    pairs = list(csv.DictReader(open(f'{folder}/sure-pairs.csv')))
    designs = len(told['designs'])
    if sure['why_not']:
        assert sure['why_not'] in words and pairs[0]['why_not'] == sure['why_not'] and not sure['pairs']
    else:
        assert len(pairs) == designs * (designs - 1) and 'in 100' in told['answer']
        for d in sure['designs']:
            assert abs(sum(d['rank_percent']) - 100) < 1e-6, d
        for p in pairs:
            assert 0 <= float(p['chance_less']) <= 1 and float(p['low_pct']) <= float(p['median_pct']) <= float(p['high_pct']), p
    print('feet tried', sure['feet_tried'], 'solved', sure['feet_solved'], 'effective', sure['feet_effective'], sure['why_not'])


with tempfile.TemporaryDirectory() as work:
    os.chdir(work)
    done = subprocess.run([raybend, 'compare', case, *few, '--quiet', '--out', 'out', '--sure', '1', '--feet', '20'],
                          capture_output=True, text=True)
    assert done.returncode == 0, (done.returncode, done.stderr)
    check_report('out', 20)

    ours, theirs = pty.openpty()  # progress is for terminals
    run = subprocess.Popen([raybend, 'compare', case, *few, '--out', 'stopped', '--sure', '60', '--feet', '40'],
                           stdout=subprocess.DEVNULL, stderr=theirs)
    os.close(theirs)
    said, sent = b'', False
    while True:
        try:
            part = os.read(ours, 4096)
        except OSError:  # the program has ended
            break
        said += part
        if not sent and b'scouts 1 of' in said:
            run.send_signal(signal.SIGINT)
            sent = True
    assert run.wait() == 0 and sent, (run.returncode, said[-300:])
    check_report('stopped', 40)

    for wrong in (['--sure', '0'], ['--sure', 'many'], ['--feet', '30'], ['--sure', '5', '--feet', '3']):
        done = subprocess.run([raybend, 'compare', case, *wrong, '--out', 'wrong'], capture_output=True, text=True)
        assert done.returncode == 2 and done.stderr and not os.path.exists('wrong'), (wrong, done)
