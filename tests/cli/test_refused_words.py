"""Options that cannot be meant: each is named, with what is wrong with it, and nothing is printed.

usage: test_refused_words.py PROGRAM
"""
import os
import subprocess
import sys

PROGRAM = os.path.abspath(sys.argv[1])
STILL = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../params/cases/still.yaml")
WARM = ["--temperature", "20 degC"]
DENSITY = ["strength", "--density", "1.3 g/cm3", *WARM]
TITRATED = ["strength", "--sample", "5 mL", "--alkali", "20 mL", "--alkali-strength", "0.5 mol/L"]
PERMANGANATE = [*TITRATED, *WARM, "--permanganate", "2 mL", "--permanganate-strength",
                "0.02 mol/L", "--permanganate-finds", "peroxide"]
NEXT = ["blend", "--next-bottle", STILL, "--weak-acid"]
RANGE = "the density of nitric acid is known from -10 to 95 degC"
NO_NUMBER = "a number must stand first"
SCALE = ("a scale is two temperatures, of the liquid and of the water, 0 to 40 degC: such as 20/4, "
         "20/20, 15/4 (degC) or '60/60 F'")
WEIGHT = "nitric acid weighs between 0.95 and 1.55 g/cm3; is the unit right?"
KELVIN = "the unit 'mol' does not fit; accepted: degC, °C, K"


def baume(degrees, modulus):
    return ["strength", "--baume", degrees, "--modulus", modulus, *WARM]


def gravity(reading, scale):
    return ["strength", "--gravity", reading, "--scale", scale, *WARM]


REFUSED = [
    (baume("x", "145"), "--baume: " + NO_NUMBER),
    (baume("10", "y"), "--modulus: " + NO_NUMBER),
    (baume("10", "139"), "--modulus: a modulus for heavy liquids lies between 140 and 150"),
    (baume("10", "151"), "--modulus: a modulus for heavy liquids lies between 140 and 150"),
    (baume("-1", "145"), "--baume: heavy degrees Baume lie between 0 and 75"),
    (baume("75", "145"), "--baume: heavy degrees Baume lie between 0 and 75"),
    (baume("70", "145"), "--baume: " + WEIGHT),
    (gravity("0.7", "20/4"), "--gravity: " + WEIGHT),
    (gravity("1.9", "20/4"), "--gravity: " + WEIGHT),
    (gravity("1.3", "20/90"), "--scale: " + SCALE),
    (gravity("1.3", "60 F"), "--scale: " + SCALE),
    (gravity("1.3", "a/b"), "--scale: " + SCALE),
    (gravity("1.3", "20/2" + 80 * "0"), "--scale: " + SCALE),
    ([*DENSITY, "--modulus", "145"], "--modulus: a density in g/cm3 needs none; is the reading a "
                                     "specific gravity or degrees Baume?"),
    ([*DENSITY, "--temperature-error", "5 mol"], "--temperature-error: " + KELVIN),
    ([*DENSITY, "--hydrometer", "5 mol"], "--hydrometer: " + KELVIN),
    ([*DENSITY, "--nitrous-acid", "31 wt%"], "--nitrous-acid: it lies between 0 and 30 wt%"),
    ([*DENSITY, "--nitrous-acid", "-1 wt%"], "--nitrous-acid: it lies between 0 and 30 wt%"),
    ([*DENSITY, "--left-over-peroxide", "40 wt%"],
     "--left-over-peroxide: it lies between 0 and 30 wt%"),
    ([*TITRATED, "--temperature", "200 degC"], "--temperature: " + RANGE),
    ([*TITRATED, "--temperature", "200 mol"], "--temperature: " + KELVIN),
    (["strength", "--sample", "5 mol", *TITRATED[3:], *WARM],
     "--sample: the unit 'mol' does not fit; accepted: mL, L, m3"),
    ([*PERMANGANATE, "--permanganate-sample", "0 mL"],
     "--permanganate-sample: it must be more than 0"),
    ([*PERMANGANATE[:-6], "--permanganate", "0 mL", *PERMANGANATE[-4:]],
     "--permanganate: it must be more than 0"),
    (PERMANGANATE[:-2], "--permanganate-finds: permanganate finds 'nitrous acid' or 'peroxide' (a "
                        "liquid holds only one of them for long): say which was in the bottle"),
    ([*TITRATED, *WARM, "--titration-error", "x %"], "--titration-error: " + NO_NUMBER),
    ([*TITRATED, *WARM, "--titration-error", "-1 %"],
     "--titration-error: an error lies between 0 and 50 %"),
    (["strength", "--strength", "10 wt%", "--temperature", "-20 degC"], "--temperature: " + RANGE),
    (["strength", "--strength", "10 wt%", "--temperature", "20 mol"], "--temperature: " + KELVIN),
    (["strength", "--strength", "x", *WARM], "--strength: " + NO_NUMBER),
    (["constants", "k2_N"], "no constant is called 'k2_N'; did you mean 'k2_NO2'?"),
    (["constants", "qqqqqqqqqqqq"], "no constant is called 'qqqqqqqqqqqq'"),
    ([*NEXT, "50 wt%"], "--weak-acid: weak acid lies between 0 and 40 wt%"),
    ([*NEXT, "0 wt%"], "--weak-acid: weak acid lies between 0 and 40 wt%"),
    ([*NEXT, "x"], "--weak-acid: " + NO_NUMBER),
    ([*NEXT, "6 wt%", "--target", "y"], "--target: " + NO_NUMBER),
    ([*NEXT, "6 wt%", "--stage", "9"], "--stage: the train has stages 1 to 1"),
    (["help", "nothing"], "unknown command 'nothing'; see noxwash --help"),
    (["estim"], "unknown command 'estim'; did you mean 'estimate'?"),
    (["new"], "new needs KIND; see noxwash new --help"),
    (["new", "nothing"], "unknown kind 'nothing'; see noxwash --help"),
    (["new", "metal", "--table"], "--table goes with the kind 'table' only"),
    (["estimate", "--qqq", STILL], "unknown option '--qqq'; see noxwash --help"),
    (["estimate", "--why=3", STILL], "--why takes no value"),
    (["estimate", "--series"], "--series needs a FILE"),
    (["estimate", "--", STILL, "--json"], "'--json' is one too many for estimate"),
]
for name, value in (("modulus", "145"), ("hydrometer", "20 degC"), ("glass", "none"),
                    ("reading-error", "1"), ("temperature-error", "1 K")):
    REFUSED.append(([*TITRATED, *WARM, "--" + name, value],
                    "--%s: it goes with a reading: --density, --gravity or --baume" % name))
for name in ("permanganate-sample", "permanganate-finds"):
    REFUSED.append(([*TITRATED, *WARM, "--" + name, "5 mL"],
                    "--%s: it says nothing without the volume of permanganate" % name))


def main():
    for words, said in REFUSED:
        got = subprocess.run([PROGRAM, *words], capture_output=True, text=True, timeout=60)
        assert (got.returncode, got.stdout) == (2, ""), (words, got)
        assert got.stderr == "noxwash: %s\n" % said, (words, got.stderr)


main()
