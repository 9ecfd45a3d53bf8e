"""The verdict on peroxide: more acid at the price of more escape is no plain yes; prices compared.

usage: test_verdict.py PROGRAM
"""
import json
import os
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
# so strong that peroxide heats the liquid, which then lets more of the rush through
STRONG = """source: {kind: acid vapour, acid made: 0.60 mol, decomposed: 90 %, duration: 40 min}
train: [{glass: washing bottle 250 mL, liquid: 150 mL}]
after: {standing: 0 min}
"""
MILD = STRONG.replace("90 %", "35 %") + "prices: {currency: crowns, peroxide: 8 per kg@}\n"


def estimate(text, *words):
    with open("case.yaml", "w") as f:
        f.write(text)
    done = subprocess.run([PROGRAM, "estimate", *words, "case.yaml"], capture_output=True,
                          text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    return done.stdout


def answer(text):
    """What stands behind the question on peroxide, on one line."""
    return " ".join(re.search(r"Would peroxide pay\?(.*?)What would cooling", text, re.S)
                    .group(1).split())


def main():
    got = json.loads(estimate(STRONG, "--json"))
    base, tried = got["result"], got["what_if"]["with_peroxide"]
    assert tried["kept_mol"] - base["kept_mol"] > 0.05 * base["fed_mol"]
    assert tried["escaped_mol"] - base["escaped_mol"] > 0.01 * base["fed_mol"]
    told = answer(estimate(STRONG))
    assert told.startswith("For the acid alone; more escapes: with"), told
    assert "escape rises from" in told, told
    assert answer(estimate(MILD.replace("@", ""))).startswith("Yes: with"), answer(estimate(MILD.replace("@", "")))

    # 30 wt% solution at 8 per kg: 26.67 for a kg of H2O2; the gain and the charge are the document's
    got = json.loads(estimate(MILD.replace("@", ""), "--json"))
    charge_kg = got["what_if"]["peroxide_charged_kg"]
    gain_kg = 0.063012 * (got["what_if"]["with_peroxide"]["kept_mol"] - got["result"]["kept_mol"])
    each = 8 * charge_kg / 0.30 / gain_kg
    # bought at so much for a litre: 0.68 * 1.4048 kg HNO3 (CRC Handbook 1.4048 at 68 wt%, 20 degC)
    for price, word in ((20, "the peroxide does not pay"), (400, "the peroxide pays")):
        told = answer(estimate(MILD.replace("@", ", bought acid: %d per L" % price)))
        said = float(re.search(r"or ([0-9.]+) crowns for each kg of HNO3 gained", told).group(1))
        assert abs(said / each - 1) < 0.06, (said, each)  # two digits are printed
        bought = re.search(r"in bought acid of 68 wt% costs ([0-9.]+) crowns", told).group(1)
        assert abs(float(bought) / (price / (0.68 * 1.4048)) - 1) < 0.06, bought
        assert (each > price / (0.68 * 1.4048)) == ("not" in word), (each, price)
        assert "for the acid alone %s;" % word in told, told
    assert "bought acid" not in answer(estimate(MILD.replace("@", "")))


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    main()
    os.chdir("/")
