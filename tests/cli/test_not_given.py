"""Where acid that was filled in takes a share out of 0 to 100 %, no interval of it is told, and why.

usage: test_not_given.py PROGRAM
"""
import json
import os
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
GAS = "source: {kind: metered, flow: 1 L/min, NO2: 50 ppm, duration: 60 min}\n"
AIR = "carrier: {gas: air, flow: 1 L/min}\nhood: {flow: 10 m3/min}\n"
STRONG = (GAS + AIR + "train:\n  - {liquid: 150 mL, acid: 55 wt%, bath: {kind: water, "
          "temperature: 50 degC}}\n")
TRAPPED = ("source: {kind: metered, flow: 0.05 L/min, NO2: 2 %, duration: 5 min}\ntrain:\n"
           "  - {glass: empty trap 250 mL}\n"
           "  - {liquid: 150 mL, bath: {kind: ice water, ice: 500 g}}\n")
ESCAPE = "the escape is above 100 %, or would be with one thing moved"
KEPT = "the share kept is below 0 %, or would be with one thing moved"


def run(case, *words):
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "case.yaml"), "w") as file:
            file.write(case)
        done = subprocess.run([PROGRAM, *words, "case.yaml"], cwd=folder, capture_output=True,
                              text=True, timeout=120)
        assert done.returncode == 0, (words, done.returncode, done.stderr[:500])
        return done.stdout


def one_line(text):
    return " ".join(text.split())


def test_estimate():
    said = one_line(run(STRONG, "estimate"))
    assert "kept as nitric acid not given (about -" in said, said
    assert "escaped not given (about " in said and ESCAPE in said and KEPT in said, said
    assert "Most of what is unsure about the escape" not in said, said
    got = json.loads(run(STRONG, "estimate", "--json"))["result"]
    for key, reason in (("kept_fraction", KEPT), ("escaped_fraction", ESCAPE)):
        assert got[key + "_low"] is None and got[key + "_high"] is None, key
        assert got[key + "_not_given"].startswith(reason), key
    assert got["strength_fraction_low"] < got["strength_fraction_high"]
    assert "strength_fraction_not_given" not in got


def test_with_one_thing_moved():
    """The figure itself is a share, and one thing moved takes it beyond its end."""
    case = STRONG.replace("50 ppm", "1 %").replace("50 degC", "40 degC")
    for acid, key, end, reason in (("30.5", "kept", 0.0, KEPT), ("31.5", "escaped", 1.0, ESCAPE)):
        got = json.loads(run(case.replace("55", acid), "estimate", "--json"))["result"]
        assert 0.0 < got[key + "_fraction"] < 1.0, got[key + "_fraction"]
        assert abs(got[key + "_fraction"] - end) < 0.005, got[key + "_fraction"]
        assert got[key + "_fraction_not_given"].startswith(reason), got
        assert got[key + "_fraction_low"] is None and got[key + "_fraction_high"] is None, got


def test_samples_stay():
    """All wrong at once: draws need no scale to be added on."""
    got = json.loads(run(STRONG, "estimate", "--json", "--samples", "60"))["result"]
    low, high = got["kept_fraction_drawn_low"], got["kept_fraction_drawn_high"]
    kept = got["kept_mol"] / got["fed_mol"]
    assert low < kept < high < 0.0, (low, kept, high)


def test_worst_case():
    """An escape above 100 % becomes more, it is not taken for the end of the scale."""
    got = json.loads(run(STRONG, "estimate", "--json", "--worst-case", "escaped"))["worst_case"]
    here, worst = got["answers_as_estimated"], got["answers"]
    assert 1.0 < here["escaped_fraction"] < 0.8 * worst["escaped_fraction"], (here, worst)


def test_report():
    page = run(STRONG, "report").replace("&nbsp;", " ")
    assert "not given: " + KEPT in page and "not given: " + ESCAPE in page
    assert "with one thing moved" not in run(TRAPPED, "report")


def test_size():
    words = ("size", "--vent", "1 x NO2 ACGIH", "--free", "ice")
    assert "How far this may move is not given: " + ESCAPE in one_line(run(STRONG, *words))
    got = json.loads(run(STRONG, *words, "--json"))
    assert got["found"] and got["within_uncertainty_not_given"].startswith(ESCAPE), got


def test_remedies():
    said = one_line(run(STRONG, "remedies"))
    assert "leads is not given: the " in said, said[-1500:]
    got = json.dumps(json.loads(run(STRONG, "remedies", "--json")))
    assert '"lead_low_mol": null' in got and '"lead_not_given": "the ' in got


def test_hottest_is_a_liquid():
    """Iced water behind a trap at 20 degC."""
    got = json.loads(run(TRAPPED, "estimate", "--json"))["result"]
    assert -0.1 < got["peak_temperature_C_low"] <= got["peak_temperature_C_high"] < 1.0, got
    said = run(TRAPPED, "estimate")
    line = [x for x in said.splitlines() if x.startswith("  hottest liquid")][0]
    assert "degC" in line and "18" not in line and "20" not in line, line


if __name__ == "__main__":
    for name, test in list(globals().items()):
        if name.startswith("test_"):
            test()
