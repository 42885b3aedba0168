# Random cases within the allowed ranges, the unusual ones too: each is solved or refused with a reason, in a bounded time. By hand; under the
# sanitizers with a program built for them (DEVELOPERS.md).
# usage: python3 random_cases.py RAYBEND [CASES] [SEED] [SECONDS AT MOST OF EACH]
import os
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

raybend = os.path.abspath(sys.argv[1])
cases, seed, most = (int(sys.argv[i]) if len(sys.argv) > i else usual for i, usual in ((2, 100), (3, 1), (4, 3600)))
dice = random.Random(seed)
soft = ['open-cell-pu', 'soft-pe-foam', 'medium-pe-foam', 'firm-pe-foam', 'eva-20', 'eva-35']
hard = ['eva-55', 'cork', 'polyethylene-hd', 'polypropylene', 'pa12']
courses = {'walking': (60, 90), 'carrying': (60, 90), 'running': (30, 75), 'stairs-up': (50, 90), 'stairs-down': (5, 80)}
loads = ['walking-push-off', 'walking-mid-stance', 'standing', 'walking', 'carrying', 'running', 'stairs-up', 'stairs-down']


def number(low, high):
    return f'{dice.uniform(low, high):.4g}'


def layer(role, low, high, materials):
    return f'  {{ role = "{role}", thickness_mm = {number(low, high)}, material = "{dice.choice(materials)}" }},\n'


def design(name):
    text = f'\n[[designs]]\nname = "{name}"\nfit = {dice.choice(["0", "1", number(0, 1)])}\nlayers = [\n'
    text += layer('sole', 3, 14, ['rubber-sole', 'midsole-eva', 'tpu'])
    if dice.random() < 0.15:
        text += layer('plate', 0.6, 3, ['carbon-plate', 'pa12', 'polypropylene'])
    text += layer('base', 2, 10, soft + hard) + layer('cover', 1, 5, soft) + ']\n'
    for kind in dice.sample(['pad', 'bar', 'wedge', 'relief', 'u_cut_out', 'first_ray_cut_out', 'first_ray_extension', 'hardness'],
                            dice.choice([0, 0, 1, 1, 2])):
        text += f'\n[[designs.support]]\nkind = "{kind}"\n'
        if kind in ('pad', 'bar'):
            text += f'height_mm = {number(1, 12)}\nbehind_heads_mm = {number(-5, 30)}\nmaterial = "{dice.choice(soft + hard)}"\n'
        if kind == 'wedge':
            text += f'angle_deg = {number(-8, 8)}\n'
        if kind == 'hardness':
            text += f'material = "{dice.choice(soft)}"\n'
    return text


def random_case():
    ray = dice.randint(1, 5)
    text = f'title = "Random case"\nnote = "Invented by a random generator. No real person."\n\n[patient]\nbody_mass_kg = {number(40, 160)}\n'
    text += f'foot_length_mm = {number(205, 300)}\nside = "{dice.choice(["left", "right"])}"\nsex = "{dice.choice(["female", "male"])}"\n'
    text += f'painful_ray = {ray}\npainful_place = "{dice.choice(["shaft", "shaft", "base", "neck"])}"\n'
    if dice.random() < 0.5:
        text += f'foot_form = "{dice.choice(["short-first-ray", "long-second-ray", "high-arch", "low-arch", "mobile-first-ray"])}"\n'
    if dice.random() < 0.5:
        text += f'tissue_stiffness = {number(0.4, 2)}\n'
    if dice.random() < 0.5:
        text += f'\n[patient.ray{dice.randint(1, 5)}]\ncortex_mm = {number(0.8, 2.6)}\ncamber_mm = {number(0, 5)}\n'
    kind = dice.choice(loads)
    text += f'\n[activity]\nkind = "{kind}"\n'
    if kind in courses:
        text += f'at_percent = {number(*courses[kind])}\n'  # one instant of the step
    if kind == 'carrying':
        text += f'carried_kg = {number(1, 40)}\n'
    shoe = dice.choice(['light', 'running', 'running-plate', 'work', 'work-steel-shank', 'rocker'])
    return text + f'\n[shoe]\nkind = "{shoe}"\n' + design('first') + design('second')


seconds, ends, faults = [], {0: 0, 1: 0, 2: 0}, []
with tempfile.TemporaryDirectory() as folder:
    for i in range(1, cases + 1):
        file = f'{folder}/case.toml'
        with open(file, 'w', encoding='utf-8') as out:
            out.write(random_case())
        begun = time.time()
        try:
            run = subprocess.run([raybend, 'compare', file, '--resolution', 'coarse', '--no-pictures', '--quiet', '--out', f'{folder}/out'],
                                 capture_output=True, text=True, timeout=most, env={**os.environ, 'ASAN_OPTIONS': 'detect_leaks=0'})
        except subprocess.TimeoutExpired:
            run = None
        took = time.time() - begun
        said = run.stderr + run.stdout if run else ''
        bad = ('no end' if run is None else f'exit status {run.returncode}' if run.returncode not in ends else
               'sanitizer' if 'runtime error:' in said or 'Sanitizer' in said else
               'no reason' if run.returncode > 0 and not said.strip() else
               'held by nothing' if 'held by nothing' in said else '')
        if run and run.returncode == 0:
            seconds.append(took)
        if run and run.returncode in ends:
            ends[run.returncode] += 1
        usual = statistics.median(seconds) if len(seconds) >= 5 else None
        if not bad and usual and took > 10 * usual:
            bad = f'{took / usual:.0f} times a usual one'
        if bad:
            kept = f'random-{seed}-{i}.toml'
            shutil.copy(file, kept)
            faults.append(f'{kept}: {bad}, {took:.0f} s')
        reason = next((line for line in said.splitlines() if line.startswith('raybend:')), '') if run and run.returncode else ''
        print(f'{i}: {bad or "exit " + str(run.returncode)}, {took:.1f} s {reason[:150]}', flush=True)
print(f'{cases} cases: {ends[0]} solved, {ends[1]} not all solved, {ends[2]} refused by the reader;',
      f'median {statistics.median(seconds) if seconds else 0:.1f} s; faults:', *(faults or ['none']), sep='\n  ')
sys.exit(bool(faults))
