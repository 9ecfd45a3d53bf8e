"""The verdict, its words against its figures: on ice; on peroxide, where more acid at the price of
more escape is no plain yes, with prices and volumes at 30 wt% and 12 wt%.

usage: test_verdict.py PROGRAM
"""
import glob
import html
import json
import os
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
CASES = os.path.abspath(os.path.join(os.path.dirname(__file__), "../../params/cases"))
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


def volumes(text, peroxide_kg, digits=2):
    """Both volumes that hold so much H2O2: 30 wt% is 1.1126 g/cm3, 12 wt% 1.0428 at 20 degC."""
    said = re.search(r"([0-9.]+) mL of 30 wt% or ([0-9.]+) mL of 12 wt% peroxide", text)
    assert said, text
    for shown, strength, kg_L in zip(said.groups(), (0.30, 0.12), (1.1126, 1.0428)):
        mL = 1e3 * peroxide_kg / strength / kg_L
        assert abs(float(shown) / mL - 1) < 0.55 * 10 ** (1 - digits), (shown, mL)


def peroxide_is_told_dilute_as_well():
    got = json.loads(estimate(MILD.replace("@", ""), "--json"))
    volumes(answer(estimate(MILD.replace("@", ""))), got["what_if"]["peroxide_charged_kg"])
    # the sheet: 150 mL of 3 wt%, of 12 wt% (all of it), and of more than 12 wt% can make
    bottle = "train: [{glass: washing bottle 250 mL, liquid: 150 mL, peroxide: %s}]"
    def sheet(words):
        with open("case.yaml", "w") as f:
            f.write(re.sub("train:.*", bottle % words, MILD.replace("@", "")))
        subprocess.run([PROGRAM, "report", "--quick", "case.yaml", "--out", "page.html"], check=True,
                       stderr=subprocess.DEVNULL, timeout=600)
        with open("page.html") as f:
            page = html.unescape(re.sub("<[^>]*>", " ", f.read())).replace("\u00a0", " ")
        return re.search(r"wt%: [0-9.]+ g H2O2, as in .*", page).group(0)
    volumes(sheet("3 wt%"), 0.150 * 0.03 * 1.0093, 3)  # 3 wt%: 1.0093 g/cm3
    assert "or 150 mL of 12 wt% peroxide" in sheet("12 wt%"), sheet("12 wt%")
    said = sheet("14 wt%")
    assert "mL of 30 wt% peroxide, more than any of 12 wt% can give" in said, said
    assert "or " not in said.split(",")[1] and "use less" in said, said
    # stronger than 12 wt% it never meets acid
    assert "before it meets the acid" in sheet("3 wt%, acid: 2 wt%")
    assert "meets" not in sheet("3 wt%")
    with open("case.yaml", "w") as f:
        f.write(MILD.replace("@", ""))
    words = [PROGRAM, "size", "case.yaml", "--capture", "92 %", "--free", "peroxide,volume",
             "--quick"]
    said = " ".join(subprocess.run(words, capture_output=True, text=True, timeout=600).stdout.split())
    mass_g = float(re.search(r"([0-9.]+) g H2O2 in all", said).group(1))
    volumes(re.search("To fill in: [^.]*[.][^.]*[.]", said).group(0), 1e-3 * mass_g)


def ice_agrees_with_its_figures():
    """What is said of ice, of all shipped cases and a few more, and the runs with and without it."""
    cases = [STRONG, MILD.replace("@", "")]
    for path in sorted(glob.glob(os.path.join(CASES, "*.yaml"))):
        with open(path) as f:
            cases.append(f.read())
    met = set()
    for case in cases:
        got = json.loads(estimate(case, "--json"))
        other = got["what_if"].get("iced") or got["what_if"].get("not_iced")
        iced = "iced" not in got["what_if"]
        warm, cold = (other, got["result"]) if iced else (got["result"], other)
        said = " ".join(estimate(case).split())
        said = re.search(r"(?:cooling|ice) bring\? (.*?): with", said).group(1).lower()
        hot = max(s["peak_temperature_K"] for s in warm.get("stages", [warm])) > 333.15
        said, needed = re.subn("^a liquid that stays below 60 degc, and that is needed[.] as to the "
                               "gas, ", "", said)
        assert needed == hot, (said, hot)
        fed = warm["fed_mol"]
        kept, escape = cold["kept_mol"] - warm["kept_mol"], cold["escaped_mol"] - warm["escaped_mol"]
        kept = 0 if abs(kept) <= max(0.02 * warm["kept_mol"], 1e-3 * fed) else kept
        first = cold["escaped_mol"] if escape < 0 else warm["escaped_mol"]
        escape = 0 if abs(escape) <= max(0.02 * first, 1e-3 * fed) else escape
        assert ("less acid is kept" in said) == (kept < 0), (said, kept)
        assert ("more escapes" in said) == (escape > 0), (said, escape)
        assert ("less escapes" in said) == (escape < 0), (said, escape)
        assert ("more acid is kept" in said or "for the acid alone" in said) == (kept > 0), (said, kept)
        assert (said == "little") == (kept == 0 and escape == 0), (said, kept, escape)
        met.add(said)
    assert len(met) >= 4, met


def size_tells_its_threshold_and_the_vent():
    """Yes or no by a share that is printed; and what leaves is never passed over."""
    answers = set()
    for path in sorted(glob.glob(os.path.join(CASES, "*.yaml"))):
        with open(path) as f:
            case = f.read()
        r = json.loads(estimate(case, "--quick", "--json"))["result"]
        said = " ".join(estimate(case).split())
        said = re.search(r"big enough\? (.*?) (?:Would|Does the) peroxide", said).group(1)
        answer, most = re.match(r"(Yes|No), if at most ([0-9.]+) % may escape: ", said).groups()
        assert (answer == "Yes") == (100 * r["escaped_fraction"] <= float(most)), (path, said)
        found = re.search(r"What leaves holds up to (.*?) NO2 and (.*?) NO \(a limit for breathing, "
                          r"over 15 min: ([0-9.]+) ppm NO2\): it must go up a hood", said)
        assert found, (path, said)
        for words, ppm in zip(found.groups(), (r["vent_peak_NO2_ppm"], r["vent_peak_NO_ppm"])):
            assert ("vol%" in words) == (ppm >= 1e4), (words, ppm)
            if ppm >= 0.01:  # two digits are printed
                shown = float(words.split()[0]) * (1e4 if "vol%" in words else 1)
                assert abs(shown / ppm - 1) < 0.051, (words, ppm)
        assert float(found.group(3)) == 1.0  # of params/exposure_limits.csv
        answers.add((answer, "vol%" in found.group(1)))
    # 12 vol% leave the still's bottle, of which it is said that it is big enough
    assert ("Yes", True) in answers and ("No", True) in answers, answers


def no_yes_where_it_is_dangerous(strong):
    """Too hot, too strong, or more pressure than the joints bear: no Yes, whatever the gas does."""
    beyond = "Above 60 degC these figures are beyond the range of the constants"
    assert strong.startswith("Not without more cooling or more liquid: with"), strong
    assert beyond in strong and "do not run it like that" in strong, strong
    def charged(words):
        said = " ".join(estimate(re.sub("150 mL", words, MILD.replace("@", ""))).split())
        return re.search(r"Does the peroxide pay\? (.*?) What would cooling", said).group(1), said
    said, everything = charged("60 mL, peroxide: 8 wt%")
    assert said.startswith("Not without more cooling or more liquid: against"), said
    assert beyond in said, said
    assert "What would cooling bring? A liquid that stays below 60 degC, and that is needed." \
        in everything, everything
    assert charged("150 mL, peroxide: 20 wt%")[0].startswith("Not at this strength: against")
    said = charged("150 mL, peroxide: 3 wt%")[0]
    assert said.startswith("Yes: against") and beyond not in said, said
    frit = MILD.replace("@", "").replace("150 mL", "150 mL, tip: {kind: frit, grade: 4, diameter: 10 mm}")
    got = json.loads(estimate(frit, "--json"))["result"]
    assert got["escaped_fraction"] < 0.05
    assert got["glass"]["gauge_peak_Pa"] > got["glass"]["joint_bears_Pa"], got["glass"]
    said = " ".join(estimate(frit).split())
    said = re.search(r"big enough\? (.*?) Would peroxide", said).group(1)
    assert said.startswith("No, not as it stands: the train resists with about"), said
    assert "joints part at about 5.0 kPa" in said and "must go up a hood" in said, said


def main():
    size_tells_its_threshold_and_the_vent()
    ice_agrees_with_its_figures()
    peroxide_is_told_dilute_as_well()
    got = json.loads(estimate(STRONG, "--json"))
    base, tried = got["result"], got["what_if"]["with_peroxide"]
    assert tried["kept_mol"] - base["kept_mol"] > 0.05 * base["fed_mol"]
    assert tried["escaped_mol"] - base["escaped_mol"] > 0.01 * base["fed_mol"]
    no_yes_where_it_is_dangerous(answer(estimate(STRONG)))
    told = answer(estimate(MILD.replace("@", "").replace("150 mL", "110 mL")))
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
