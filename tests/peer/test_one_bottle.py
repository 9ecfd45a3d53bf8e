"""The estimate of one bottle against the peer in one_bottle/: same case and constants, other code.

usage: test_one_bottle.py NOXWASH [CASE ...]

Tolerances are half a unit of the last digit the program prints: 0.05 % of the nitrogen fed for
kept, nitrous acid and what escapes (each species and all), 0.05 K for the peak temperature. What
the two leave between them is smaller: their density functions differ by 0.15 % at most, their paths
(few exponential slices here, twelve Radau nodes there) by 0.005 % of what is fed. That is 1 % of an
escape of half a per cent: with eight slices, what is kept, left as nitrous acid and escaped and the
warming agree to half a per cent of themselves as well.

The times told are processor times on both sides, both at the peer's relative tolerance: the whole
program, its start with it, against the peer's integration alone.

NXW_PEER_KEPT=FOLDER keeps the peer's answers there, for when only the other side changes.
"""
import hashlib
import json
import multiprocessing
import os
import pickle
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

# small matrices: threads only hinder, and their waiting would count
for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

sys.dont_write_bytecode = True
from one_bottle import CLOCK, run  # noqa: E402

AMOUNT = 5e-4   # of the nitrogen fed
# swept hard, the outlet of the C holds 2 % more gas in the headspace than its volume (stage.c), and so
# oxidises a little more NO there: 0.18 % of the nitrogen
SWEPT = 2.5e-3
PEAK_K = 0.05
RELATIVE = 5e-3
LEAST = 1e-6    # of the nitrogen fed, or K: below it is nothing to be compared

# 0.5 mol NO2 with 0.125 mol O2 in 45 min, as tests/rich_feed.h
RICH = """source:
  kind: metered
  shape: rise and fall
  flow: 0.33411 L/min
  NO2: 80 % by volume
  O2: 20 % by volume
  duration: 45 min
train:
  - volume: 500 mL
    inner diameter: 65 mm
    liquid: 250 mL
    tip: {kind: bubble diameter, bubble diameter: 5 mm, depth: 80 mm}
"""
FINE = "numerics: {slices: 8}\n"
SAME_TOLERANCE = "numerics: {relative tolerance: 1e-6}\n"  # as run() in one_bottle/bottle.py
CASES = {
    "rich feed, flat surface": RICH + """    bath: {kind: air, temperature: 20 degC, UA: 0.25 W/K}
constants: {wet_wall_share: 0}
""",
    # the ice is gone before the gas is
    "rich feed, little ice": RICH + """    bath: {kind: ice water, ice: 40 g}
""",
    "rich feed, peroxide to spare": RICH + """    peroxide: 4 wt%
    bath: {kind: air, UA: 0.25 W/K}
""",
    "rich feed, peroxide runs out": RICH + """    peroxide: 1 wt%
    acid: 5 wt%
    bath: {kind: water, temperature: 15 degC, stirred: yes}
""",
    "half NO, swept with air": """source:
  kind: metered
  shape: rise and fall
  flow: 0.26729 L/min
  NO2: 50 % by volume
  NO: 50 % by volume
  duration: 45 min
carrier: {gas: air, flow: 1.5 L/min, until: 45 min}
train:
  - glass: washing bottle 500 mL
    liquid: 250 mL
    tip: {kind: holes, bore: 1 mm, holes: 8}
""",
    "1000 ppm NO2 in air": """source:
  kind: metered
  shape: steady
  flow: 0.5 L/min
  NO2: 1000 ppm
  O2: 20.9 % by volume
  duration: 60 min
train:
  - glass: washing bottle 250 mL
    liquid: 150 mL
""",
    "acid-vapour still": """source:
  kind: acid vapour
  acid made: 0.60 mol
  decomposed: 35 %
  duration: 40 min
train:
  - glass: washing bottle 250 mL
    liquid: 150 mL
""",
    "silver, air": """source:
  kind: metal
  metal: silver
  mass: 30 g
  NO2 share: 40 %
  duration: 45 min
carrier: {gas: air, flow: 0.3 L/min, until: 60 min}
train:
  - glass: washing bottle 500 mL
    liquid: 300 mL
""",
}


def constants(noxwash):
    text = subprocess.run([noxwash, "constants", "--json"], check=True, stdout=subprocess.PIPE)
    return {c["key"]: c["value"] for c in json.loads(text.stdout)["constants"]["records"]}


def estimate(noxwash, text):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "case.yaml")
        with open(path, "w") as f:
            f.write(text)
        done = subprocess.run([noxwash, "estimate", path, "--json", "--quick"],
                              stdout=subprocess.PIPE)
    if done.returncode != 0:
        sys.exit("noxwash ended with %d for\n%s" % (done.returncode, text))
    return json.loads(done.stdout)


def children_s():
    """Processor time of all children that have ended."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def least_time(work, clock, times=5):
    """The least that a work took, by a clock: other work on the machine only adds to it."""
    taken = []
    for _ in range(times):
        began = clock()
        work()
        taken.append(clock() - began)
    return min(taken)


def clocks_are_of_the_processor():
    """Neither clock goes while its side waits; both go while it works."""
    asleep = [least_time(lambda: time.sleep(0.2), CLOCK, 1),
              least_time(lambda: subprocess.run(["sleep", "0.2"], check=True), children_s, 1)]
    spins = "import time\nwhile time.process_time() < 0.2: pass"
    awake = least_time(lambda: subprocess.run([sys.executable, "-c", spins], check=True),
                       children_s, 1)
    return max(asleep) < 0.1 and awake > 0.15


def in_themselves(fine, peer):
    """Figures of the run with more slices beside the peer's, each in units of the peer's."""
    r, fed = fine["result"], peer["fed"]
    stage = fine["case"]["train"][0]  # its liquid starts at the bath's temperature
    start = 273.15 if stage["bath"] == "ice water" else stage["bath_temperature_K"]
    pairs = [("kept", r["kept_mol"] / fed, peer["kept"] / fed),
             ("nitrous acid", r["nitrous_acid_mol"] / fed, peer["HNO2"] / fed),
             ("escaped", r["escaped_mol"] / fed, peer["escaped_total"] / fed),
             ("warming", r["peak_temperature_K"] - start, peer["peak_K"] - start)]
    return [(what + " : peer's", c / p, 1.0, RELATIVE) for what, c, p in pairs if p > LEAST]


def answer(case, values):
    """The peer's, or what it said to the same question with the same code."""
    folder = os.environ.get("NXW_PEER_KEPT")
    if folder is None:
        return run(case, values)
    code = sorted((Path(__file__).parent / "one_bottle").glob("*.py"))
    asked = json.dumps([{**case, "path": None}, values, [f.read_text() for f in code]],
                       sort_keys=True)
    kept = Path(folder, "peer-" + hashlib.sha256(asked.encode()).hexdigest())
    if not kept.exists():
        kept.write_bytes(pickle.dumps(run(case, values)))
    return pickle.loads(kept.read_bytes())


def compare(job):
    name, document, fine, c_s, values = job
    r = document["result"]
    peer = answer(document["case"], {**values, **document["constants"]["overrides"]})
    fed = peer["fed"]
    amount = SWEPT if "swept" in name else AMOUNT
    rows = [("fed", r["fed_mol"] / fed, 1.0, 1e-4),
            ("peer's closure", peer["closure"], 0.0, 1e-5),
            ("kept", r["kept_mol"] / fed, peer["kept"] / fed, amount),
            ("nitrous acid", r["nitrous_acid_mol"] / fed, peer["HNO2"] / fed, amount),
            ("escaped", r["escaped_mol"] / fed, peer["escaped_total"] / fed, amount)]
    for s, x in peer["escaped"].items():
        rows.append(("escaped " + s, r["escaped_%s_mol" % s] / fed, x / fed, amount))
    rows.append(("peak, degC", r["peak_temperature_K"] - 273.15, peer["peak_K"] - 273.15, PEAK_K))
    rows += in_themselves(fine, peer)
    lines = ["%s   (processor time: program %.0f ms, peer %.1f s: %.0f times; %d steps)" % (
        name, 1e3 * c_s, peer["seconds"], peer["seconds"] / c_s, peer["steps"])]
    bad = 0
    for what, c, p, tolerance in rows:
        ok = abs(c - p) <= tolerance    # False for NaN too
        bad += not ok
        lines.append("  %-21s %11.6f %11.6f  differ by %9.2e, allowed %.0e%s" % (
            what, c, p, c - p, tolerance, "" if ok else "   <-- DIFFERS"))
    return bad, "\n".join(lines)


def main():
    noxwash, wanted = sys.argv[1], sys.argv[2:]
    began = time.time()
    values = constants(noxwash)
    names = [n for n in CASES if not wanted or n in wanted]
    if not names:
        sys.exit("no such case")
    if not clocks_are_of_the_processor():
        sys.exit("a clock goes on while its side waits: the times would compare nothing")
    jobs = [(n, estimate(noxwash, CASES[n]), estimate(noxwash, CASES[n] + FINE),
             least_time(lambda: estimate(noxwash, CASES[n] + SAME_TOLERANCE), children_s), values)
            for n in names]
    bad = 0
    with multiprocessing.Pool(2) as pool:
        for faults, text in pool.imap(compare, jobs, chunksize=1):
            bad += faults
            print(text, flush=True)
    print("%d cases, %d figures differ, %.0f s" % (len(jobs), bad, time.time() - began))
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
