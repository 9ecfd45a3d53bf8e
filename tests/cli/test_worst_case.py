"""The worst case: what it says of constants holds when each is set in the case by hand, and the
answer that is asked for comes out worse than with any of them alone.

usage: test_worst_case.py PROGRAM
"""
import json
import os
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
CASE = """source: {kind: metered, flow: 0.2 L/min, NO2: 5 % by volume, duration: 4 min}
train: [{glass: washing bottle 250 mL, liquid: 150 mL}]
after: {standing: 0 min}
"""
# the word, its key in the result, and the sign of what is worse
ANSWERS = [("escaped", "escaped_fraction", 1), ("kept", "kept_fraction", -1),
           ("nitrous-acid", "nitrous_acid_fraction", 1), ("temperature", "peak_temperature_C", 1),
           ("vent", "vent_peak_mg_min", 1), ("strength", "strength_fraction", -1)]


def run(case, *words):
    with open("case.yaml", "w") as file:
        file.write(case)
    return subprocess.run([PROGRAM, "estimate", "--quick", *words, "case.yaml"],
                          capture_output=True, text=True, timeout=600)


def estimate(case, *words):
    done = run(case, *words)
    assert done.returncode == 0, (words, done.returncode, done.stderr)
    return done.stdout


def answers(result):
    """What intervals are given of, from figures of the result."""
    return {"escaped_fraction": result["escaped_fraction"],
            "kept_fraction": result["kept_fraction"],
            "nitrous_acid_fraction": result["nitrous_acid_mol"] / result["fed_mol"],
            "peak_temperature_C": result["peak_temperature_K"] - 273.15,
            "vent_peak_mg_min": result["vent_peak_NO_mg_min"] + result["vent_peak_NO2_mg_min"],
            "strength_fraction": 0.01 * result["strength_wt_pct"]}


def unit(key):
    done = subprocess.run([PROGRAM, "constants", key, "--json"], capture_output=True, text=True)
    word = json.loads(done.stdout)["constants"]["records"][0]["unit"]
    return "" if word == "1" else word


def with_constant(key, value):
    return CASE + "constants: {%s: '%.15g %s'}\n" % (key, value, unit(key))


def main():
    base = answers(json.loads(estimate(CASE, "--json"))["result"])
    for word, key, sign in ANSWERS:
        worst = json.loads(estimate(CASE, "--worst-case", word, "--json"))["worst_case"]
        most = worst["constants_that_matter_most"]
        steps = [sign * one["answer_change"] for one in most]
        assert worst["worst_of"] == key and len(most) == 6, (word, worst["worst_of"], most)
        assert steps == sorted(steps, reverse=True) and steps[-1] > 0, (word, steps)
        for one in most[:2]:
            got = answers(json.loads(estimate(with_constant(one["key"], one["value"]), "--json"))
                          ["result"])[key] - base[key]
            # to the errors of two runs
            assert abs(got - one["answer_change"]) < 2e-3 * abs(got) + 1e-6, (word, one, got)
        assert sign * (answers(worst)[key] - base[key]) > steps[0], (word, answers(worst), base)
        assert abs(worst["nitrogen_closure"]) < 1e-8, worst["nitrogen_closure"]
        assert 0 < worst["constants_moved"] <= worst["constants_tried"], worst
        print(word, base[key], answers(worst)[key], [one["key"] for one in most[:3]])

    # what the case sets itself stays: one less is tried, and it is not named
    worst = json.loads(estimate(CASE, "--worst-case=escaped", "--json"))["worst_case"]
    first = worst["constants_that_matter_most"][0]
    fixed = json.loads(estimate(with_constant(first["key"], first["value"]), "--worst-case",
                                "escaped", "--json"))["worst_case"]
    assert fixed["constants_tried"] == worst["constants_tried"] - 1, (fixed, worst)
    assert first["key"] not in [one["key"] for one in fixed["constants_that_matter_most"]], fixed

    text = " ".join(estimate(CASE, "--worst-case", "escaped").split())
    assert "at the end that raises it" in text and "* escaped" in text, text
    assert first["key"] + " " in text and "each alone: " + first["key"] in text, text
    done = run(CASE, "--worst-case", "escape")
    assert done.returncode == 2 and "'escape'" in done.stderr, done
    for word, _, _ in ANSWERS:
        assert " " + word in done.stderr, done.stderr


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    main()
    os.chdir("/")
