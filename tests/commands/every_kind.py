# Every kind of shoe, support element, activity and insole material that `raybend explain` lists, solved once on the coarse mesh: each design
# converges, and the ground bears what is applied. A kind that is added is tried here without being named. Label: slow.
# usage: python3 every_kind.py RAYBEND
import json
import os
import re
import subprocess
import sys
import tempfile

raybend = os.path.abspath(sys.argv[1])


def words(key):
    told = subprocess.run([raybend, 'explain', key], text=True, capture_output=True, check=True).stdout
    allowed = re.search(r'allowed +(.*?)\n  \w', told, re.S).group(1)
    return [word.strip() for word in allowed.split(',')]


foot = '''title = "Every kind"
note = "Invented patient, made up to try every kind. No real person."
[patient]
body_mass_kg = 66
foot_length_mm = 251
side = "left"
sex = "female"
painful_ray = 3
'''
# Of the support elements that ask for more than their defaults.
needs = {'wedge': 'angle_deg = 3', 'hardness': 'material = "soft-pe-foam"'}


def layers(base, cover):
    return (f'layers = [{{ role = "sole", thickness_mm = 9, material = "rubber-sole" }}, {{ role = "base", thickness_mm = 6, '
            f'material = "{base}" }}, {{ role = "cover", thickness_mm = 3, material = "{cover}" }}]\n')


def design(name, base, cover, support='', shoe=''):
    return (f'[[designs]]\nname = "{name}"\n' + layers(base, cover) +
            (f'support = [{{ kind = "{support}", {needs[support]} }}]\n' if support in needs else
             f'support = [{{ kind = "{support}" }}]\n' if support else '') + (f'shoe.kind = "{shoe}"\n' if shoe else ''))


def solve(folder, name, text, solves):
    with open(f'{folder}/{name}.toml', 'w', encoding='utf-8') as file:
        file.write(text)
    run = subprocess.run([raybend, 'compare', f'{name}.toml', '--resolution', 'coarse', '--no-pictures', '--quiet', '--out', name], cwd=folder,
                         text=True, capture_output=True)
    assert run.returncode == 0, f'{name}: exit status {run.returncode}\n{run.stderr}\n{text}'
    with open(f'{folder}/{name}/summary.json', encoding='utf-8') as file:
        told = json.load(file)
    found = [d['with_support'] for part in told.get('activities', [told]) for d in part['designs']]
    assert len(found) == solves, f'{name}: {len(found)} designs told, {solves} asked for'
    for d in found:
        assert d['converged'] and d['balance_error'] <= 1e-6, f'{name}: {d}'


with tempfile.TemporaryDirectory() as folder:
    shoes = [s for s in words('shoe.kind') if s != 'barefoot']
    supports, activities = words('designs[].support[].kind'), words('activity.kind')
    bases = ['eva-35', 'cork', 'eva-55', 'firm-pe-foam']
    push = '[activity]\nkind = "walking-push-off"\n'
    solve(folder, 'supports', foot + push + design('plain', 'eva-35', 'medium-pe-foam', shoe=shoes[0]) + ''.join(
        design(kind.replace('_', '-'), bases[i % len(bases)], 'medium-pe-foam', kind, shoes[i % len(shoes)]) for i, kind in enumerate(supports)),
        1 + len(supports))
    materials = words('designs[].layers[].material')
    for part in range(0, len(materials), 11):  # a case has twelve designs at most
        some = materials[part:part + 11]
        solve(folder, f'materials-{part}', foot + push + design('plain', 'eva-35', 'medium-pe-foam') + ''.join(
            design(m, m, 'firm-pe-foam', shoe=shoes[i % len(shoes)]) for i, m in enumerate(some)), 1 + len(some))
    one_instant = {'standing', 'walking-mid-stance', 'walking-push-off'}
    for part in range(0, len(activities), 6):  # a day has six at most
        some = activities[part:part + 6]
        solve(folder, f'activities-{part}', foot + ''.join(
            f'[[activity]]\nkind = "{a}"\nhours_per_day = 1\n' + ('' if a in one_instant else 'at_percent = 70\n') +
            ('carried_kg = 12\n' if a == 'carrying' else '') for a in some) + design('plain', 'eva-35', 'medium-pe-foam') +
            design('rocker', 'eva-55', 'firm-pe-foam', 'bar', shoes[-1]), 2 * len(some))
    solve(folder, 'barefoot', foot + '[activity]\nkind = "walking-push-off"\n[shoe]\nkind = "barefoot"\n' + design('plain', 'eva-35', 'medium-pe-foam') +
          design('other', 'eva-55', 'firm-pe-foam'), 2)
print('every kind is solved')
