"""A run that does not come out clean is done again, finer: what was kept of the first is void.

usage: test_second_run.py PROGRAM
"""
import csv
import json
import os
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
# small bubbles of pure NO2, all dissolved by weak peroxide: a coarse tolerance is too coarse
TINY = """source: {kind: metered, flow: 5 L/min, NO2: 100 % by volume, duration: 3.179 s,
  shape: steady, temperature: 4.62 degC}
train:
  - {volume: 2.3135 L, inner diameter: 127.65 mm, liquid: 1.429 L, acid: 0.503 wt%,
     peroxide: 1.292 wt%, bath: {kind: water, temperature: 3.768 degC},
     tip: {bubble diameter: 1 mm, depth: 27.56 mm}}
  - {volume: 84.05 mL, inner diameter: 43.01 mm, liquid: 9.379 mL, acid: 36.58 wt%,
     bath: {kind: water, temperature: 7.07 degC, stirred: yes},
     tip: {bore: 8.063 mm, depth: 6.458 mm}, bleed: {gas: oxygen, flow: 74.95 mL/min}}
surroundings: {temperature: 38.03 degC}
after: {standing: 0 s}
numerics: {relative tolerance: 1e-4}
"""


def estimate(*more):
    done = subprocess.run([PROGRAM, "estimate", "--quick", "tiny.yaml", *more],
                          capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    return done.stdout


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    with open("tiny.yaml", "w") as f:
        f.write(TINY)
    statistics = json.loads(estimate("--json"))["statistics"]
    estimate("--series", "series.csv")
    with open("series.csv") as f:
        text = f.read()
    os.chdir("/")
rows = list(csv.DictReader(text.splitlines()))
assert statistics["runs"] >= 2, statistics
assert text.count("time_s") == 1
times = [float(row["time_s"]) for row in rows[::2]]  # two bottles, a row each
assert len(rows) == 2 * statistics["steps"], (len(rows), statistics)
assert times == sorted(times) and times[0] < 1e-3 and times[-1] > 3.1
print("%d runs, %d rows" % (statistics["runs"], len(times)))
