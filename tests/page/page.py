# The page for the patient's file in a browser without a network: numbers against summary.json, markup of a case shown
# and not run, no error in the console, with and without WebGL, by keyboard, on a telephone, on paper, for readers with
# other means (axe-core).
# usage: python3 page.py PATH/TO/raybend FOLDER/OF/CASES
import base64
import html.parser
import json
import os
import re
import subprocess
import sys
import tempfile

try:
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service
    from selenium.webdriver.common.by import By
    from selenium.webdriver.common.keys import Keys
except ImportError:
    sys.exit('python3-selenium is missing: tests/packages.sh tests installs it for /usr/bin/python3')

raybend, cases = sys.argv[1:3]
here = os.path.dirname(os.path.abspath(__file__))
failed = 0


def check(words, ok, more=''):
    global failed
    print(('ok    ' if ok else 'FAIL  ') + words + ('' if ok else f'   {more}'))
    failed += not ok


def browser(webgl=True):
    options = webdriver.ChromeOptions()
    options.binary_location = '/usr/bin/chromium'
    options.set_capability('goog:loggingPrefs', {'browser': 'ALL'})
    for switch in ['--headless=new', '--window-size=1400,1000', '--host-resolver-rules=MAP * ~NOTFOUND', '--hide-scrollbars',
                   '--disable-background-networking', '--disable-dev-shm-usage'] + (
                       ['--use-angle=swiftshader', '--enable-unsafe-swiftshader'] if webgl else ['--disable-3d-apis']):
        options.add_argument(switch)
    if os.geteuid() == 0:
        options.add_argument('--no-sandbox')
    return webdriver.Chrome(service=Service('/usr/bin/chromedriver'), options=options)


def width(driver, pixels):
    driver.execute_cdp_cmd('Emulation.setDeviceMetricsOverride',
                           {'width': pixels, 'height': 900, 'deviceScaleFactor': 1, 'mobile': pixels < 500})


def place(document, pointer):
    for part in pointer.split('/')[1:]:
        document = document[int(part)] if isinstance(document, list) else document[part]
    return document


def check_numbers(driver, summary, least):
    wrong, seen = [], set()
    for key, digits, sign, band, text in driver.execute_script(
            'return Array.from(document.querySelectorAll("[data-key]"), e => [e.dataset.key, e.dataset.digits,'
            ' "sign" in e.dataset, "band" in e.dataset, e.textContent])'):
        value, digits = place(summary, key), int(digits)
        wanted = '%.*f' % (digits, value)
        if float(wanted) == 0:
            wanted = wanted.lstrip('-')
            if band:
                wanted = '<' + ('1' if digits == 0 else '0.' + '0' * (digits - 1) + '1')
        if sign and float(wanted.lstrip('<')) > 0:
            wanted = '+' + wanted
        seen.add(key)
        if text != wanted:
            wrong.append((key, text, wanted))
    check(f'{len(seen)} numbers are those of summary.json', not wrong and len(seen) >= least, wrong[:3])
    return seen


def pages(driver, folder):
    sheet = os.path.join(folder, 'page.pdf')
    with open(sheet, 'wb') as out:
        out.write(base64.b64decode(driver.execute_cdp_cmd('Page.printToPDF', {'preferCSSPageSize': True, 'printBackground': True})['data']))
    count = int(re.search(r'Pages:\s+(\d+)', subprocess.run(['pdfinfo', sheet], capture_output=True, text=True, check=True).stdout)[1])
    return count, ' '.join(subprocess.run(['pdftotext', '-layout', sheet, '-'], capture_output=True, text=True, check=True).stdout.split())


def check_paper(driver, folder, summary):
    count, words = pages(driver, folder)
    check(f'{count} pages of paper, four at most', 1 <= count <= 4)
    check('every caution is on paper', all(' '.join(c.split())[:60] in words for c in summary['cautions']))
    check('lines for name, date and signature are on paper', 'Signature of the practitioner' in words and 'Date' in words)


def check_axe(driver, words):
    driver.execute_script('document.querySelectorAll("details").forEach(d => { d.open = true; })')
    driver.set_script_timeout(120)
    found = driver.execute_async_script(open(os.path.join(here, 'axe.min.js'), encoding='utf-8').read() + '''
        ;const done = arguments[arguments.length - 1];
        axe.run(document).then(r => done(r.violations.map(v => [v.impact, v.id, v.nodes.length, v.nodes[0].html.slice(0, 200)])),
                               e => done([['critical', String(e), 0, '']]));''')
    serious = [v for v in found if v[0] in ('serious', 'critical')]
    check(f'axe-core finds nothing serious, {words}', not serious, serious)


class Places(html.parser.HTMLParser):
    """Everything that a page would fetch."""

    def __init__(self):
        super().__init__()
        self.fetched = []

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if name in ('src', 'href', 'xlink:href', 'srcset', 'action', 'data') and not (value or '').startswith(('data:', '#')):
                self.fetched.append((tag, name, value))


def canvas(driver):
    return driver.execute_script('return document.querySelector(".space canvas").toDataURL()')


with tempfile.TemporaryDirectory() as work:
    markup = '<img src=x onerror=document.title=1><script>window.foreign=1</script> & "so"'
    case = open(os.path.join(cases, 'warehouse.toml'), encoding='utf-8').read()
    case = re.sub(r'(?m)^title = "Warehouse.*$', "title = '" + markup + "'", case)
    case = re.sub(r'(?m)^title = "Flat cushion"$', "title = '</script><b>Flat</b>'", case)
    open(os.path.join(work, 'case.toml'), 'w', encoding='utf-8').write(case)
    # an unusual number, so that there is a warning to show; a rocker, so that its ground is drawn
    run = subprocess.run([raybend, 'compare', os.path.join(work, 'case.toml'), '--set', 'activity.kind=standing', '--set', 'shoe.kind=rocker', '--set', 'mesh.skin_grip_mpa_per_mm=0.5', '--resolution', 'coarse',
                          '--quiet', '--out', os.path.join(work, 'out')], capture_output=True, text=True)
    check('compare writes its folder', run.returncode == 0, run.stderr)
    page = os.path.join(work, 'out', 'report.html')
    text = open(page, encoding='utf-8').read()
    summary = json.load(open(os.path.join(work, 'out', 'summary.json'), encoding='utf-8'))
    check(f'{len(text.encode()) / 2**20:.2f} MiB, 4 at most', len(text.encode()) <= 4 * 2**20)
    places = Places()
    places.feed(text)
    check('nothing to fetch', not places.fetched, places.fetched)
    check('a drawing of each design', all(os.path.getsize(os.path.join(work, 'out', f'design-{d["design"]}.svg')) > 5000 for d in summary['designs']))
    drawing = open(os.path.join(work, 'out', 'design-moulded-pad.svg'), encoding='utf-8').read()
    for dimension in ['38', '8', '9.5', '28.5', '6 high', '3 cover', '8 sole']:
        check(f'the pad\'s drawing says {dimension}', f'>{dimension}</text>' in drawing)
    check('the drawing names the shoe', '>shoe: rocker, ' in drawing)
    size = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)" width="([\d.]+)mm" height="([\d.]+)mm"', drawing)
    check('one unit of the drawing is a millimetre', bool(size) and size[1] == size[3] and size[2] == size[4])

    driver = browser()
    try:
        driver.get('file://' + page)
        driver.find_element(By.CSS_SELECTOR, '.space canvas')
        log = driver.get_log('browser')
        check('nothing in the console', not log, log)
        check('markup in a title is shown', driver.find_element(By.TAG_NAME, 'h1').text == markup)
        check('markup in a title is not run', driver.title == markup and driver.execute_script('return window.foreign') is None)
        check('markup in a design\'s title is shown', '</script><b>Flat</b>' in driver.find_element(By.ID, 'ranking').text)
        driver.execute_script('const s = document.createElement("script"); s.text = "window.foreign = 2"; document.head.append(s)')
        check('the page\'s policy forbids other scripts', driver.execute_script('return window.foreign') is None)
        seen = check_numbers(driver, summary, 400)
        for i in range(len(summary['ranking'])):
            for name in ('peak_strain_ue', 'peak_strain_band_ue', 'rank_best'):
                check(f'/ranking/{i}/{name} is shown', f'/ranking/{i}/{name}' in seen)
        check('the answer is that of summary.json', all(
            s.replace(' ue', ' µε')[:40] in driver.find_element(By.ID, 'answer').text for s in [summary['answer']]))
        check('every caution stands open', all(c in driver.find_element(By.ID, 'cautions').text for c in summary['cautions']))
        order = driver.execute_script('return Array.from(document.querySelectorAll("main > section"), s => s.id)')
        check('sections in their order', order == ['answer', 'know', 'cautions', 'warnings', 'patient', 'ranking', 'designs', 'strain', 'pressure',
                                                   'bones', 'rays', 'surer', 'how', 'signature'], order)
        for pixels in (1400, 360):
            width(driver, pixels)
            over = driver.execute_script('return document.documentElement.scrollWidth')
            check(f'{pixels} pixels wide: nothing to scroll sideways', over <= pixels, over)
            check_axe(driver, f'{pixels} pixels wide')
        width(driver, 1400)

        reached = set()
        driver.execute_script('document.activeElement.blur(); window.scrollTo(0, 0)')
        body = driver.find_element(By.TAG_NAME, 'body')
        for _ in range(120):
            driver.switch_to.active_element.send_keys(Keys.TAB)
            reached.add(driver.execute_script('const e = document.activeElement; e.dataset.reached = 1; return e.tagName + "." + e.className'))
        left = driver.execute_script('return Array.from(document.querySelectorAll("select, button, input, summary, a[href], .space"), e => e)'
                                     '.filter(e => !e.dataset.reached).map(e => e.outerHTML.slice(0, 80))')
        check('the keyboard reaches everything', not left, left)
        before = canvas(driver)
        driver.find_element(By.CSS_SELECTOR, '.space').send_keys(Keys.ARROW_RIGHT, Keys.ARROW_UP)
        turned = canvas(driver)
        check('arrow keys turn the bones', before != turned)
        driver.execute_script('const s = document.querySelectorAll("#bones-turn select")[1]; s.value = 3; s.dispatchEvent(new Event("change"))')
        check('the difference of two designs has other colours', canvas(driver) != turned)
        slider = driver.find_element(By.ID, 'pressure-slider')
        clip = 'return document.querySelectorAll(".stage > svg")[1].style.clipPath'
        before = driver.execute_script(clip)
        slider.send_keys(Keys.ARROW_LEFT)
        check('arrow keys move the slider between two maps', driver.execute_script(clip) != before)
        driver.get('file://' + page)
        check_paper(driver, work, summary)
    finally:
        driver.quit()

    driver = browser(webgl=False)
    try:
        driver.get('file://' + page)
        log = driver.get_log('browser')
        check('without WebGL: nothing in the console', not log, log)
        check('without WebGL: a picture of the bones', driver.find_element(By.CSS_SELECTOR, '#bones-picture img').is_displayed()
              and not driver.find_elements(By.CSS_SELECTOR, '.space'))
    finally:
        driver.quit()

    case = open(os.path.join(cases, 'standing.toml'), encoding='utf-8').read()
    case = re.sub(r'(?m)^\[activity\]\nkind = "standing"\n', '[[activity]]\nkind = "standing"\nhours_per_day = 2\n\n[[activity]]\n'
                  'kind = "walking-mid-stance"\nhours_per_day = 3\n', case)
    open(os.path.join(work, 'day.toml'), 'w', encoding='utf-8').write(case)
    run = subprocess.run([raybend, 'compare', os.path.join(work, 'day.toml'), '--quiet', '--no-pictures', '--out', os.path.join(work, 'day')],
                         capture_output=True, text=True)
    check('a day: compare writes its folder without pictures', run.returncode == 0, run.stderr)
    summary = json.load(open(os.path.join(work, 'day', 'summary.json'), encoding='utf-8'))
    driver = browser()
    try:
        driver.get('file://' + os.path.join(work, 'day', 'report.html'))
        log = driver.get_log('browser')
        check('a day: nothing in the console', not log, log)
        check_numbers(driver, summary, 200)
        check('a day: bones turn', bool(driver.find_elements(By.CSS_SELECTOR, '.space canvas')))
        width(driver, 360)
        over = driver.execute_script('return document.documentElement.scrollWidth')
        check('a day, 360 pixels wide: nothing to scroll sideways', over <= 360, over)
        check_axe(driver, 'a day')
        driver.get('file://' + os.path.join(work, 'day', 'report.html'))
        check_paper(driver, work, summary)
    finally:
        driver.quit()
sys.exit(failed > 0)
