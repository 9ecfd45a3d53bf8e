"""Molar masses against python3-periodictable, constants and units against SciPy and units(1).

usage: test_constants.py ASK
"""
import csv
import pathlib
import re
import subprocess
import sys

sys.dont_write_bytecode = True
import periodictable  # noqa: E402
from scipy import constants  # noqa: E402
from judges import Score  # noqa: E402

TREE = pathlib.Path(__file__).resolve().parents[2]
SPECIES = ("HNO3", "HNO2", "NO", "NO2", "O2", "H2O", "H2O2")
# what units(1) calls otherwise
WORDS = {"degC": None, "wt%": "0.01", "%": "0.01", "ppm": "1e-6", "natm": "1e-9 atm",
         "kcal/mol": "1000 cal_th/mol", "h": "hour"}
# the library holds the weight of 2001; IUPAC has had 65.38 since 2007
OLDER = {"zinc": 5e-4}


def units(have, want):
    done = subprocess.run(["units", "-t", "-o", "%.15g", have, want], stdout=subprocess.PIPE,
                          text=True, env={"PATH": "/usr/bin:/bin", "LC_ALL": "C"})
    return float(done.stdout.split()[0]) if done.returncode == 0 else float("nan")


def powers(text):
    """mol/(L atm2) as units(1) writes it; a blank multiplies there too."""
    return re.sub(r"\b([A-Za-z]+)(\d)", r"\1^\2", text)


def main():
    score = Score(sys.argv[1])
    masses = score.answers(["quantity molar_mass_" + s for s in SPECIES])
    for s, (x,) in zip(SPECIES, masses):
        # abridged weights: half a unit of the last digit of O (0.0005 of 16), some 3e-5
        score.relative("molar mass", s, x * 1e3, periodictable.formula(s).mass, 4e-5)
    with open(TREE / "params/metals.csv", encoding="utf-8") as f:
        metals = list(csv.DictReader(line for line in f if not line.startswith("#")))
    elements = {e.name: e for e in periodictable.elements}
    for m in metals:
        if m["name"] in elements:
            # rounded to five digits
            group = "metal, older judge" if m["name"] in OLDER else "metal"
            score.relative(group, m["name"], float(m["molar_mass_g_mol"]),
                           elements[m["name"]].mass, OLDER.get(m["name"], 5e-5))
    names = {"pi": constants.pi, "R": constants.R, "g": constants.g, "atm": constants.atm}
    for (x,), (name, value) in zip(score.answers(["constant " + n for n in names]), names.items()):
        score.relative("constant of nature", name, x, value, 1e-9)
    source = (TREE / "cli/selftest/published_units.c").read_text(encoding="utf-8")
    pairs = re.findall(r'^    \{"([^"]+)", "([^"]+)", ', source, re.M)
    for (factor, offset), (text, SI) in zip(score.answers(["unit %s|%s" % p for p in pairs]), pairs):
        if text == "degC":
            score.relative("unit", text, offset + 25 * factor,
                           constants.convert_temperature(25, "Celsius", "Kelvin"), 1e-12)
            continue
        if SI == "m6/(mol2 s)" and text == "cm6/s":
            want = 1e-12 * constants.N_A**2
        else:
            want = units(powers(WORDS.get(text, text)), powers(SI))
        score.relative("unit", text + " in " + SI, factor, want, 2e-8)
    # SciPy's mmHg is the torr, 1/760 atm: 1.4e-7 apart by definition
    score.relative("torr", "mmHg (SciPy)", score.answers(["unit mmHg|Pa"])[0][0], constants.mmHg,
                   2e-7)
    score.relative("unit", "kcal (SciPy)", score.answers(["unit kcal/mol|J/mol"])[0][0],
                   1e3 * constants.calorie, 1e-12)
    score.end(55)


if __name__ == "__main__":
    main()
