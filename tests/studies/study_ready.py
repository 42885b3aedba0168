# Every ready study with few points: each run done, table, summary and pictures there.
# usage: python3 study_ready.py RAYBEND SOURCES
import glob
import os
import re
import subprocess
import sys
import tempfile

raybend, sources = os.path.abspath(sys.argv[1]), os.path.abspath(sys.argv[2])
files = sorted(f for f in glob.glob(f'{sources}/cases/studies/*.toml') if not os.path.basename(f).startswith('best-'))
assert len(files) >= 3
for file in files:
    text = open(file, encoding='utf-8').read()
    small = re.sub(r'^points = \d+', 'points = 2', text, flags=re.M)
    small = re.sub(r'^step = .*', 'step = 25', small, flags=re.M)
    small = re.sub(r'^values = \[([^,]*),.*', r'values = [\1]', small, flags=re.M)
    small = small.replace('"../', f'"{sources}/cases/')
    assert small != text
    with tempfile.TemporaryDirectory() as folder:
        with open(f'{folder}/small.toml', 'w', encoding='utf-8') as out:
            out.write(small)
        run = subprocess.run([raybend, 'study', 'small.toml', '--quiet'], cwd=folder, text=True, capture_output=True)
        assert run.returncode == 0, f'{file}: {run.returncode}\n{run.stderr}\n{run.stdout}'
        made = os.listdir(f'{folder}/small-results')
        for name in ('runs.csv', 'summary.md', 'curves.csv'):
            assert name in made, (file, name)
        assert any(name.startswith('curves-') and name.endswith('.png') for name in made), made
        with open(f'{folder}/small-results/runs.csv', encoding='utf-8') as table:
            assert all(',done,' in line for line in table.readlines()[1:])
        print(os.path.basename(file), run.stdout.count('\n'), 'lines of summary')
