"""The worst case: what it says holds when each constant it names is set in the case by hand.

usage: test_worst_case.py PROGRAM
"""
import json
import os
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
CASE = """source: {kind: metered, flow: 0.2 L/min, NO2: 5 % by volume, duration: 4 min}
train: [{glass: washing bottle 250 mL, liquid: 150 mL}]
after: {standing: 0 min}
"""
NAMED = re.compile(r"^    (\w+) +(\S+) (\S.*): (\S+) mmol more escapes$", re.M)


def estimate(case, *words):
    with open("case.yaml", "w") as file:
        file.write(case)
    done = subprocess.run([PROGRAM, "estimate", "--quick", *words, "case.yaml"],
                          capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, (words, done.returncode, done.stderr)
    return done.stdout


def escaped(case):
    return json.loads(estimate(case, "--json"))["result"]["escaped_mol"]


def with_constant(key, value, unit):
    word = value if unit.startswith("(pure") else "%s %s" % (value, unit)
    return CASE + "constants: {%s: '%s'}\n" % (key, word)


def main():
    base = escaped(CASE)
    text = estimate(CASE, "--worst-case")
    named = NAMED.findall(text)
    assert len(named) == 6, text
    more = [float(m) for _, _, _, m in named]
    assert more == sorted(more, reverse=True) and more[-1] > 0, more
    # the first three by hand; three digits of the value and two of the answer are printed
    for key, value, unit, said in named[:3]:
        got = 1e3 * (escaped(with_constant(key, value, unit)) - base)
        assert abs(got / float(said) - 1) < 0.06, (key, value, unit, said, got)
    worst = json.loads(estimate(CASE, "--worst-case", "--json"))["worst_case"]
    assert worst["escaped_mol"] > base + 1e-3 * more[0], (worst["escaped_mol"], base, more)
    assert abs(worst["nitrogen_closure"]) < 1e-8, worst["nitrogen_closure"]
    tried, moved = map(int, re.search(r"(\d+) constants or groups were tried, (\d+) moved",
                                      " ".join(text.split())).groups())
    # what the case sets itself stays: one less is tried, and it is not named
    key, value, unit, _ = named[0]
    fixed = " ".join(estimate(with_constant(key, value, unit), "--worst-case").split())
    assert "%d constants or groups were tried" % (tried - 1) in fixed, (tried, fixed)
    assert key + " " not in fixed.split("each alone:")[1].split("All bad ends")[0], fixed
    assert 0 < moved < tried


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    main()
    os.chdir("/")
