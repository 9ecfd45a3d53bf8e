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
# little liquid, hardly any peroxide: NO ends below nothing with four slices
TINY = """source: {kind: metered, flow: 5.577 mL/min, NO2: 93.9 % by volume, NO: 5.07 % by volume,
  O2: 0.17 % by volume, duration: 92.6 s, shape: steady, temperature: 58 degC}
train: [{volume: 26.2 mL, inner diameter: 15.3 mm, liquid: 1.91 mL, acid: 20.2 wt%,
  peroxide: 0.84 wt%, bath: {kind: water, temperature: 12.9 degC},
  tip: {bubble diameter: 0.766 mm, depth: 10.3 mm}}]
surroundings: {temperature: 37.5 degC}
after: {standing: 1070 s}
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
assert statistics["runs"] == 2, statistics
assert text.count("time_s") == 1
times = [float(row["time_s"]) for row in csv.DictReader(text.splitlines())]
assert len(times) == statistics["steps"], (len(times), statistics)
assert times == sorted(times) and times[0] < 1e-3 and times[-1] > 1070.0
print("%d runs, %d rows" % (statistics["runs"], len(times)))
