"""The report in headless Chromium: no errors, no overflow at 360 and 1200 px, A4, names as text.

Skipped (77) where the browser is not installed; tests/run installs it.

usage: test_report_browser.py PROGRAM
"""
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
BROWSER = shutil.which("chromium")
PARAMS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params")
CASE = """{name}source: {{kind: metered, flow: 0.2 L/min, NO2: 5 %, O2: 19 %, duration: 10 min}}
hood: {{flow: 10 m3/min}}
train: [{{glass: washing bottle 250 mL, liquid: 150 mL, peroxide: 1 wt%,
          bath: {{kind: ice water, ice: 300 g}}}}]
"""
NAMES = ["a plain name", "<script>document.title='run'</script>", "\"quotes\" & 'more' <b onload=x>",
         "x" * 95, "right to left \u05e9\u05dc\u05d5\u05dd", "&lt;not markup&gt;"]
HEADINGS = ["Verdict", "The train, and what is kept where", "In the course of time",
            "Where the nitrogen goes", "Run sheet", "Cautions", "Versions"]
CURVES = ["Gas from the source", "At the vent", "In the hood's air",
          "Strength: nitric acid in the liquid", "Nitrous acid in the liquid", "Peroxide left",
          "Temperature of the liquid", "Ice left"]
# runs in a copy of the page alone, after it: what the browser made of it
PROBE = """<script>
const wide = [...document.body.querySelectorAll('*')].filter(e => {
  const r = e.getBoundingClientRect();
  if (r.width === 0 || e.closest('svg') !== null && e.tagName !== 'svg') return false;
  for (let p = e.parentElement; p !== null; p = p.parentElement) // what scrolls by itself may
    if (/auto|scroll/.test(getComputedStyle(p).overflowX)) return false;
  return r.right > window.innerWidth + 1 || r.left < -1;
});
const told = {
  width: window.innerWidth, scroll: document.documentElement.scrollWidth,
  wide: wide.map(e => e.tagName + ' ' + e.textContent.slice(0, 40)),
  title: document.title, h1: document.querySelector('h1').textContent,
  scripts: document.scripts.length,
  h2: [...document.querySelectorAll('h2')].map(e => e.textContent),
  captions: [...document.querySelectorAll('figcaption')].map(e => e.textContent),
  unnamed: [...document.querySelectorAll('svg')].filter(
    e => e.getAttribute('aria-hidden') !== 'true' &&
         (e.querySelector(':scope > title') || {textContent: ''}).textContent.length < 9).length,
  fetched: performance.getEntriesByType('resource').length,
};
parent.postMessage(JSON.stringify(told), '*');
</script>"""
# a window is never narrower than some 500 px: a phone is a frame within it
FRAME = """<!DOCTYPE html><html><body><script>
addEventListener('message', e => { document.body.textContent = e.data; });
</script><iframe src="probed.html" width="%d" height="900" style="border: 0"></iframe></body></html>"""


def browse(page, width, *more):
    return subprocess.run(
        [BROWSER, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
         "--enable-logging=stderr", "--user-data-dir=" + os.path.abspath("profile"),
         "--window-size=%d,900" % width, *more, "file://" + os.path.abspath(page)],
        capture_output=True, text=True, timeout=120)


def console(done):
    return [line for line in done.stderr.split("\n") if ":CONSOLE" in line]


def probe(width):
    with open("page.html", encoding="utf-8") as f:
        text = f.read()
    assert text.count("</body>") == 1
    with open("probed.html", "w", encoding="utf-8") as f:
        f.write(text.replace("</body>", PROBE + "</body>"))
    with open("frame.html", "w") as f:
        f.write(FRAME % width)
    done = browse("frame.html", 1400, "--virtual-time-budget=3000", "--dump-dom")
    assert done.returncode == 0, done.stderr[-800:]
    body = re.search(r"<body[^>]*>(.*?)</body>", done.stdout, re.S).group(1)
    for entity, letter in (("&lt;", "<"), ("&gt;", ">"), ("&nbsp;", "\xa0"), ("&amp;", "&")):
        body = body.replace(entity, letter)
    return json.loads(body)


def report(case, *words):
    done = subprocess.run([PROGRAM, "report", case, "--out", "page.html", *words],
                          capture_output=True, text=True, timeout=600)
    assert done.returncode == 0 and done.stderr == "", done.stderr


def fits(told, width):
    assert told["width"] == width, told["width"]
    assert told["scroll"] <= width and told["wide"] == [], (width, told["scroll"], told["wide"][:5])
    assert told["unnamed"] == 0 and told["fetched"] == 0 and told["scripts"] == 1, told


def on_A4():
    done = browse("page.html", 1200, "--no-pdf-header-footer", "--print-to-pdf=page.pdf")
    assert done.returncode == 0, done.stderr[-800:]
    with open("page.pdf", "rb") as f:
        boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([0-9.]+) ([0-9.]+)\s*\]", f.read())
    assert 3 <= len(boxes) <= 16, len(boxes)
    for box in boxes:  # 210 by 297 mm in points, rounded to whole ones at most
        assert abs(float(box[0]) - 595.28) < 1 and abs(float(box[1]) - 841.89) < 1, box


def main():
    for name in NAMES:
        with open("case.yaml", "w", encoding="utf-8") as f:
            f.write(CASE.format(name="name: %s\n" % json.dumps(name)))
        report("case.yaml", *([] if name == NAMES[0] else ["--quick"]))
        assert console(browse("page.html", 1200, "--dump-dom")) == [], name
        for width in (360, 1200):
            told = probe(width)
            fits(told, width)
            assert told["title"] == "noxwash: " + name, told["title"]
            assert told["h1"].endswith(name), told["h1"]
            assert [h for h in told["h2"] if h in HEADINGS] == HEADINGS, told["h2"]
            assert told["captions"][-len(CURVES):] == CURVES, told["captions"]
        if name == NAMES[0]:
            on_A4()
    # a long train is the widest picture
    with open(os.path.join(PARAMS, "cases", "still-second-bottle.yaml")) as f:
        lines = f.read().split("train:\n")
    with open("train.yaml", "w") as f:
        f.write(lines[0] + "train:\n" + "  - {glass: washing bottle 250 mL, liquid: 150 mL}\n" * 8)
    report("train.yaml", "--quick")
    for width in (360, 1200):
        fits(probe(width), width)


if BROWSER is None:
    print("skipped: the package chromium is not installed")
    sys.exit(77)
with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    main()
    os.chdir("/")
print("report in the browser: all good")
