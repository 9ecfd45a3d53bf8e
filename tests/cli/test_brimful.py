"""A bottle that is fuller than 95 % is refused however its case arises, with the largest fill.

usage: test_brimful.py PROGRAM
"""
import json
import os
import subprocess
import sqlite3
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
GAS = "source: {kind: metered, flow: 0.2 L/min, NO2: 5 % by volume, duration: 2 min}\n"
BOTTLE = GAS + "train:\n  - {glass: washing bottle 250 mL, liquid: LIQUID}\n"
MOST = "this glass of 250 mL takes 1 to 237.5 mL of liquid"


def bottle(liquid):
    return BOTTLE.replace("LIQUID", liquid)


def run(case, *words):
    """Exit status, both outputs, and the rows of a sweep."""
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "case.yaml"), "w") as file:
            file.write(case)
        done = subprocess.run([PROGRAM, *words], cwd=folder, capture_output=True, text=True,
                              timeout=120)
        rows = []
        path = os.path.join(folder, "s.sqlite")
        if os.path.exists(path):
            base = sqlite3.connect(path)
            base.row_factory = sqlite3.Row
            rows = [dict(row) for row in base.execute("select * from rows order by 1")]
            base.close()
        return done.returncode, done.stdout, done.stderr, rows


def refused(case, *words):
    code, out, err, _ = run(case, *words)
    assert code == 3 and out == "" and MOST in err, (words, code, out[:200], err)
    return err


def test_commands():
    for words in (("estimate",), ("estimate", "--json"), ("estimate", "--quick"), ("report",),
                  ("remedies",), ("size", "--capture", "30 %", "--free", "ice")):
        assert refused(bottle("250 mL"), *words, "case.yaml").startswith("case.yaml:3:44: ")
    refused(bottle("237.6 mL"), "estimate", "--check", "case.yaml")
    refused(bottle("250 mL"), "blend", "--next-bottle", "case.yaml", "--weak-acid", "5 wt%")


def test_as_full_as_may_be():
    """All that is tried with it fits as well: what-ifs, intervals, remedies, a next bottle."""
    code, out, err, _ = run(bottle("237.5 mL"), "estimate", "--json", "case.yaml")
    assert code == 0, err
    got = json.loads(out)["result"]
    assert got["kept_fraction_low"] < got["kept_fraction_high"]
    code, out, err, _ = run(bottle("237.5 mL"), "estimate", "case.yaml")
    assert code == 0 and "could not be followed" not in out, out
    assert "twice" in out.lower(), out # the bigger bottle is as full, and runs
    for words in (("remedies", "--quick"), ("blend", "--weak-acid", "5 wt%", "--next-bottle")):
        code, out, err, _ = run(bottle("237.5 mL"), *words, "case.yaml")
        assert code == 0, (words, err)


def test_size_stays_below():
    code, out, err, _ = run(bottle("237.5 mL"), "size", "--json", "--quick", "--capture", "42 %",
                            "--free", "volume,bottles", "case.yaml")
    assert code in (0, 1), err

    def walk(node):
        if isinstance(node, dict):
            if "liquid_each_m3" in node and "bottle_each_m3" in node:
                yield node["liquid_each_m3"] / node["bottle_each_m3"]
            for child in node.values():
                yield from walk(child)
        elif isinstance(node, list):
            for child in node:
                yield from walk(child)
    fills = list(walk(json.loads(out)))
    assert fills and max(fills) <= 0.95 * (1.0 + 1e-9), (fills, out[:1500])


def test_sensitivity_is_of_one_side():
    """A full bottle takes no more: how it answers to its liquid is found from below alone."""
    strength = []
    for liquid in ("237.5 mL", "237 mL"):
        code, out, err, _ = run(bottle(liquid), "estimate", "--sensitivity", "--json", "case.yaml")
        assert code == 0, err
        factors = {f["factor"]: f for f in json.loads(out)["sensitivity"]}
        strength.append(factors["liquid filled in"]["strength_fraction_percent_per_percent"])
    assert abs(strength[0] / strength[1] - 1.0) < 0.05, strength
    assert -1.1 < strength[0] < -0.9, strength  # a percent more liquid, a percent less acid in it


def test_sweep():
    for vary, good in (("train[1].liquid=230:250:7.5 mL", [True, True, False]),
                       ("train[1].volume=150:170:10 mL", [False, True, True])):
        case = GAS + "train:\n  - {volume: 250 mL, inner diameter: 60 mm, liquid: 150 mL}\n"
        code, _, err, rows = run(case, "sweep", "case.yaml", "--vary", vary, "--out", "s.sqlite")
        assert code == 0, err
        reasons = [row["reason"] or "" for row in rows]
        assert [r == "" for r in reasons] == good, reasons
        assert all("mL of liquid: gas in it" in r for r in reasons if r), reasons
    rows = run(bottle("100 mL"), "sweep", "case.yaml", "--vary", "train[1].peroxide=0:35:5 wt%",
               "--out", "s.sqlite")[3]
    assert len(rows) == 8 and not any(row["reason"] for row in rows), rows


if __name__ == "__main__":
    for name, test in list(globals().items()):
        if name.startswith("test_"):
            test()
