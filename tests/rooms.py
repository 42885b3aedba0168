# The sources' own rules: includes go one way between folders and between the rooms of a folder, nothing leans on the
# laboratory's rooms, every room has a README, and every .cpp opens with what it is for.
# usage: python3 rooms.py SOURCES
import os
import re
import sys

top = sys.argv[1]
folders = ['geometry', 'meshing', 'solver', 'postprocess', 'cases', 'tests']
lab = re.compile(r'^(cases|postprocess)/lab/|^cases/published/|^cases/commands/(textbook|beam|validate)_command')
faults = []


def room(path):
    return os.path.dirname(path)


files = [os.path.relpath(os.path.join(where, name), top)
         for folder in folders for where, _, names in os.walk(os.path.join(top, folder))
         for name in names if name.endswith(('.cpp', '.hpp'))]
arrows = {}
for path in sorted(files):
    text = open(os.path.join(top, path), encoding='utf-8').read()
    if not text.startswith('// '):
        faults.append(f'{path}: does not open with a line saying what it is for')
    for name in re.findall(r'^#include "([^"]+)"', text, re.M):
        if name not in files:
            faults.append(f'{path}: includes {name}, which is not there')
        elif folders.index(name.split('/')[0]) > folders.index(path.split('/')[0]):
            faults.append(f'{path}: includes {name}, against the way of the data')
        elif lab.match(name) and not lab.match(path) and not path.startswith('tests/'):
            faults.append(f'{path}: leans on the laboratory ({name})')
        elif room(path) != room(name) and 'tests' not in path:
            arrows.setdefault(room(path), {})[room(name)] = path
    if not os.path.exists(os.path.join(top, room(path), 'README.md')):
        faults.append(f'{room(path)}: has no README.md')


def circle(here, way):
    if here in way:
        return way[way.index(here):] + [here]
    for there in arrows.get(here, {}):
        if found := circle(there, way + [here]):
            return found
    return None


for start in sorted(arrows):
    # folders hold what their rooms share: solver/ and solver/operator/ may include each other
    arrows[start] = {t: p for t, p in arrows[start].items() if not t.startswith(start + '/') and not start.startswith(t + '/')}
for start in sorted(arrows):
    if found := circle(start, []):
        faults.append('includes go in a circle: ' + ' -> '.join(found))
        break
print(*sorted(set(faults)), sep='\n')
print(len(files), 'files,', len(set(map(room, files))), 'rooms,', len(set(faults)), 'faults')
sys.exit(bool(faults))
