"""The cautions: all of them everywhere; what to do when fumes break through follows the case, people
first, and what the case lacks is not spoken of as if it were there; toxic metals have a line.

usage: test_cautions.py PROGRAM
"""
import csv
import html
import json
import os
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
PARAMS = os.path.abspath(os.path.join(os.path.dirname(__file__), "../../params"))
SOURCES = {
    "still": "source: {kind: acid vapour, acid made: 0.30 mol, decomposed: 35 %, duration: 10 min}\n",
    "metal": "source: {kind: metal, metal: silver, mass: 5 g, duration: 10 min}\n",
    "cylinder": "source: {kind: metered, flow: 0.2 L/min, NO2: 5 %, O2: 19 %, duration: 10 min}\n",
    "table": "source: {kind: table, file: source.csv}\n",
}
TABLE = ("time_s,NO_mol_s,NO2_mol_s,HNO2_mol_s,HNO3_mol_s,O2_mol_s,inert_mol_s,H2O_mol_s\n"
         "0,0,0,0,0,0,0,0\n60,0,1e-5,0,0,0,2e-4,0\n540,0,1e-5,0,0,0,2e-4,0\n600,0,0,0,0,0,0,0\n")
PURGE = "carrier: {gas: air, flow: 0.5 L/min, until: 60 min}\n"
VESSEL = "vessel: {volume: 300 mL, hot: 120 degC}\n"
BOTTLE = "  - {glass: washing bottle 250 mL, liquid: 150 mL}\n"
TRAP = "  - {kind: empty, volume: 500 mL, inner diameter: 80 mm}\n"
SMALL_TRAP = "  - {kind: empty, volume: 50 mL, inner diameter: 40 mm}\n"
AFTER = "after: {standing: 0 min}\n"

# Of every list of cautions: a few words of each matter.
ALWAYS = ("injure the lungs", "3 to 30 hours later", "come back weeks later", "doctor or poison centre at",
          "NO has no colour", "filter masks do not hold NO", "never alone", "for 15 minutes",
          "never clamp joints to hold pressure", "Never close the train", "flashes to steam",
          "lift the inlet tube out of the liquid before the heating stops",
          "If fumes break through: everyone leaves first", "no organic matter and no rubber tubing",
          "Oxygen only through fittings free of oil", "12 wt% or less", "Never mix stronger peroxide with acid",
          "Afterwards let the gas out in the hood", "bicarbonate foams", "Have liquid that holds metal collected",
          "regulated in many places")


def run(*words, code=0):
    done = subprocess.run([PROGRAM, *words], capture_output=True, text=True, timeout=600)
    assert done.returncode == code, (words, done.returncode, done.stderr[-600:])
    return done.stdout


def write(name, text):
    with open(name, "w") as f:
        f.write(text)


def listed(text):
    """The cautions of a page of text, each on one line."""
    at = text.index("Cautions\n")
    return [" ".join(c.split()) for c in text[at:].split("\n  * ")[1:]]


def one_of(cautions, begin):
    found = [c for c in cautions if c.startswith(begin)]
    assert len(found) == 1, (begin, cautions)
    return found[0]


def check_all(cautions):
    for words in ALWAYS:
        assert any(words in c for c in cautions), words
    # "safe" is never said, and no caution is longer than a few lines
    assert not re.search(r"\bsafe", " ".join(cautions), re.I)
    assert max(map(len, cautions)) < 620, max(cautions, key=len)


def estimate(case):
    """What to do when fumes break through; alike in text, document and on the page."""
    write("case.yaml", case)
    cautions = listed(run("estimate", "--quick", "case.yaml"))
    check_all(cautions)
    assert json.loads(run("estimate", "--quick", "--json", "case.yaml"))["cautions"] == cautions
    run("report", "--quick", "case.yaml", "--out", "page.html")
    with open("page.html") as f:
        page = html.unescape(f.read()).replace("\u00a0", " ")
    said = one_of(cautions, "If fumes break through")
    assert page.count(said) == 2, said  # the box of the run sheet and the list
    sheet = page[page.index("<h2>Run sheet"):page.index('id="cautions"')]
    return said, sheet


def order(text, *words):
    places = [text.index(w) for w in words]
    assert places == sorted(places), (words, text)


def check_breakthrough():
    for name, source in SOURCES.items():
        stop = {"cylinder": "close the valve of the source", "table": "stop the source"}.get(
            name, "take the heat away")
        hot = name != "cylinder"
        for purge in (False, True):
            for trap in (False, True):
                what = (name, purge, trap)
                said, sheet = estimate(source + (PURGE if purge else "") + "train:\n"
                                       + (TRAP if trap else "") + BOTTLE + AFTER)
                order(said, "everyone leaves first", "nobody stays", "without breathing fumes", stop)
                assert ("purge" in said) == purge and ("purge" in sheet) == purge, (what, said)
                # what the case has is spoken of where it is what helps
                assert ("empty vessel" in said) == (trap and not purge), (what, said)
                assert ("empty vessel" in sheet) == trap, what
                assert trap or "trap" not in sheet.lower(), what
                if purge:
                    assert stop + " and leave the purge gas on" in said, said
                    assert ("until the hot vessel is cold" in said) == hot, (what, said)
                    # a purge into a blocked tip builds up pressure
                    order(said, "purge gas on", "a tip or the vent be blocked", "keep away")
                    assert ("Should liquid climb the inlet tube" in said) == (not trap), (what, said)
                elif trap:
                    assert "first" not in said.split("breathing fumes")[1].split("; the empty")[0]
                elif hot:
                    # the heat before the tube would suck the liquid into the hot vessel
                    order(said, "first break the suction", "lift the inlet tube",
                          "hot vessel's vent to the hood", "only then " + stop)
                    order(sheet, "Before the heat stops: the inlet tube is lifted")
                else:
                    order(said, stop, "lift the inlet tube out of the liquid")
                    assert "heat" not in said and "hot vessel" not in said, said


def check_what_does_not_guard():
    """A trap too small, a purge too weak for the vessel, or one that ends with the source."""
    still = SOURCES["still"]
    weak = "carrier: {gas: air, flow: 0.02 L/min, until: 60 min}\n"
    short = PURGE.replace("60 min", "10 min")
    late = PURGE.replace("until", "from: 5 min, until")
    for case in (still + "train:\n" + SMALL_TRAP + BOTTLE, still + VESSEL + weak + "train:\n" + BOTTLE,
                 still + weak + "train:\n" + BOTTLE,  # a vessel of which nothing is known
                 still + short + "train:\n" + BOTTLE, still + late + "train:\n" + BOTTLE):
        said, _ = estimate(case + AFTER)
        order(said, "first break the suction", "only then take the heat away")
        assert "purge" not in said and "empty vessel" not in said, said
    # a trap for the liquid alone, but not with the margin that is asked of it in the same text
    tight = "  - {kind: empty, volume: 165 mL, inner diameter: 60 mm}\n"
    said, sheet = estimate(still + VESSEL + "train:\n" + tight + BOTTLE + AFTER)
    assert "to catch it with some to spare takes" in " ".join(run("estimate", "case.yaml").split())
    order(said, "first break the suction", "only then take the heat away")
    assert "holds" not in said and "stands in the empty vessel" not in sheet, said
    said, _ = estimate(still + VESSEL + PURGE + "train:\n" + BOTTLE + AFTER)
    assert "leave the purge gas on" in said, said
    said, sheet = estimate(still + "train:\n" + TRAP + AFTER)  # nothing there to be sucked back
    assert "suck" not in said and "lift" not in said and "suck" not in sheet, (said, sheet)


def check_without_case():
    """Right for every arrangement: each part says when it holds."""
    pages = (run("blend", "--peroxide", "6 wt%"), run("strength", "--chart"),
             run("blend", "--part", "100 mL, 6 wt% acid", "--target", "3 wt%"))
    for page in pages:
        cautions = listed(page)
        check_all(cautions)
        said = one_of(cautions, "If fumes break through")
        order(said, "everyone leaves first", "close a cylinder's valve", "Where a purge runs",
              "where an empty vessel ahead", "with neither, first lift the inlet tube")
        for metal in ("mercury", "lead", "chromium"):
            assert metal in one_of(cautions, "Salts of "), metal
    manual = " ".join(run("help", "--man").replace("\\-", "-").split())
    for words in ALWAYS:
        assert words in manual, words


def check_toxic_metals():
    with open(os.path.join(PARAMS, "metals.csv")) as f:
        metals = list(csv.DictReader(line for line in f if not line.startswith("#")))
    toxic = {m["name"]: m["toxic_salts"] for m in metals if m["toxic_salts"] != "no"}
    assert {"mercury", "cadmium", "lead", "nickel", "cobalt"} <= set(toxic), toxic
    assert all(m["toxic_source"] for m in metals)
    for m in metals:
        write("case.yaml", SOURCES["metal"].replace("silver", m["name"]) + "train:\n" + BOTTLE + AFTER)
        cautions = listed(run("estimate", "--quick", "case.yaml"))
        lines = [c for c in cautions if c.startswith("Salts of ")]
        assert len(lines) == (m["name"] in toxic), (m["name"], lines)
        for line in lines:
            assert line.startswith("Salts of %s are toxic (%s): " % (m["name"], toxic[m["name"]])), line
            assert line in json.loads(run("estimate", "--quick", "--json", "case.yaml"))["cautions"]
    write("case.yaml", SOURCES["still"] + "train:\n" + BOTTLE + AFTER)
    assert not [c for c in listed(run("estimate", "--quick", "case.yaml")) if c.startswith("Salts")]
    # the run's metal in its account
    write("run.yaml", "charge: {acid: 120 g, acid strength: 40 wt%, metal: mercury, metal mass: 20 g}\n"
          "found: [{where: bottle, nitrogen: 0.1 mol}]\n")
    assert one_of(listed(run("balance", "run.yaml")), "Salts of mercury are toxic")


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    write("source.csv", TABLE)
    for check in (check_breakthrough, check_what_does_not_guard, check_without_case, check_toxic_metals):
        check()
        print(check.__name__, "good")
    os.chdir("/")
