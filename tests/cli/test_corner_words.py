"""The corners of what can happen in a bottle, by name: each ends in a plain outcome in words, and
the same bottle without the corner does not say it.

usage: test_corner_words.py PROGRAM
"""
import os
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
RICH = ("source: {kind: metered, flow: %s L/min, NO2: 80 %% by volume, O2: 20 %% by volume, "
        "duration: %s, shape: %s}\n")
FEED = RICH % (0.334, "45 min", "rise and fall")  # half a mole of NO2
BOTTLE = ("train: [{volume: %s mL, inner diameter: 65 mm, liquid: %s mL, "
          "tip: {bubble diameter: 5 mm%s}%s}]\n")
PLAIN = BOTTLE % (500, 250, "", "")
HEAD = "time_s,NO_mol_s,NO2_mol_s,HNO2_mol_s,HNO3_mol_s,O2_mol_s,inert_mol_s,H2O_mol_s\n"


def table(name, rows):
    with open(name, "w") as f:
        f.write(HEAD + "".join(",".join("%g" % x for x in row) + "\n" for row in rows))
    return "source: {kind: table, file: %s, temperature: 110 degC}\n" % name


def steady(name, NO2, HNO3, O2, H2O):
    flows = (0, NO2, 0, HNO3, O2, 0, H2O)
    return table(name, [(0,) + (0,) * 7, (10,) + flows, (2690,) + flows, (2700,) + (0,) * 7])


def outcome(case):
    with open("case.yaml", "w") as f:
        f.write(case)
    done = subprocess.run([PROGRAM, "estimate", "--quick", "case.yaml"], capture_output=True,
                          text=True, timeout=600)
    assert done.returncode == 0, (case, done.stderr)
    return " ".join(done.stdout.split())


def corners():
    """Name, case, what is said (patterns), the case beside it that does not say it."""
    nitrogen = (0, 0, 0, 0, 0, 5e-4, 0)
    nitric_oxide = (5e-5, 0, 0, 0, 0, 5e-4, 0)
    with_air = "carrier: {gas: air, flow: 0.3 L/min}\n"
    still_air = "after: {standing: 0 min}\n"
    swept = table("swept.csv", [(0,) + nitrogen, (3600,) + nitrogen, (3610,) + nitric_oxide,
                                (7200,) + nitric_oxide])
    yield ("peroxide running out", FEED + BOTTLE % (500, 250, "", ", peroxide: 1.36 wt%"),
           [r"min the peroxide is used up", r"The peroxide ran out in the bottle \(at \d+ min\); "
            r"from then on it worked as plain acid", r"NO given back after the peroxide had run out"],
           FEED + BOTTLE % (500, 250, "", ", peroxide: 5 wt%"))
    ice = ", bath: {kind: ice water, ice: %d g, UA: 4 W/K}"
    yield ("ice running out", FEED + BOTTLE % (500, 250, "", ice % 50),
           [r"min the last ice has melted", r"ice melted around the bottle \(at \d+ min\), before the "
            r"end: have more at hand"], FEED + BOTTLE % (500, 250, "", ice % 1000))
    yield ("bottle overfilling", RICH % (0.668, "45 min", "rise and fall")
           + BOTTLE % (264, 250, "", ""),
           [r"min the liquid has outgrown the bottle", r"The liquid outgrew the bottle \(at \d+ min\)",
            r"At the end liquid fills 10[0-9] % of the bottle"], FEED + PLAIN)
    strong = (", clearance: 0 mm", ", acid: %d wt%%, peroxide: 15 wt%%, "
              "bath: {kind: water, temperature: 20 degC, UA: 10 W/K}")
    yield ("water nearly gone", RICH % (0.668, "45 min", "rise and fall")
           + BOTTLE % (250, 15, strong[0], strong[1] % 60),
           [r"min hardly any water is left", r"The run ended early, at \d+ min: the figures stop",
            r"The water was nearly used up in the bottle"],
           RICH % (0.668, "45 min", "rise and fall")
           + BOTTLE % (250, 150, strong[0], strong[1] % 10))
    no_loss = BOTTLE % (500, 250, "", ", bath: {kind: air, UA: 0 W/K}")
    yield ("boiling", steady("boils.csv", 1e-5, 5e-5, 0, 1.9e-3) + no_loss,
           [r"min the liquid boils, 9\d\.\d degC", r"The run ended early", r"The liquid boiled in the "
            r"bottle \(at \d+ min\); the run ended there", r"reached 9\d\.\d degC: above 60 degC"],
           steady("warms.csv", 1e-5, 5e-5, 0, 1e-4) + no_loss)
    cold = ", temperature: 2 degC, bath: {kind: water, temperature: %d degC, UA: 4 W/K}"
    thin = RICH % (0.0334, "45 min", "rise and fall")
    yield ("freezing", thin + BOTTLE % (500, 250, "", cold % -8),
           [r"min the liquid may begin to freeze, -0\.\d degC", r"came to its freezing point in the "
            r"bottle .*: ice can block the tip"], thin + BOTTLE % (500, 250, "", cold % 2))
    yield ("no oxygen at all", swept + PLAIN + still_air,
           [r"100 % NO that found no oxygen, or no time, to turn to NO2",
            r"escaped, about 0\.18 mol N 99 %"], swept + with_air + PLAIN + still_air)
    yield ("no NOx at all", "source: {kind: metered, flow: 0.3 L/min, O2: 21 % by volume, "
           "duration: 45 min}\n" + PLAIN,
           [r"no nitrogen oxides were fed", r"Why it escaped nothing to speak of did",
            r"there is nothing to judge"], FEED + PLAIN)
    yield ("source shorter than a rise", RICH % (1.44, "0.2 s", "steady") + PLAIN,
           [r"fed 0\.160 mmol N 100 %", r"kept as nitric acid 0\.0\d+ mmol N (4|5)\d",
            r" 0 s the source has ended"], RICH % (1.44, "20 s", "steady") + PLAIN)
    yield ("zero depth", FEED + BOTTLE % (500, 250, ", depth: 0 mm", ""),
           [r"The tip of the bottle was not under the liquid: the gas only passed over it"],
           FEED + PLAIN)
    yield ("gas drawn back", FEED + PLAIN,
           [r"min air is drawn back through the vent, about \d+ mL",
            r"about \d+ mL of the room's air comes in at the vent"], FEED + with_air + PLAIN)
    two = (PLAIN.rstrip("]\n") + ", " + PLAIN[len("train: ["):])
    yield ("liquid drawn back", FEED + two,
           [r"min liquid of the next bottle is drawn up its tube and over, about \d+ mL \(stage 1\)",
            r"Ahead of bottle 2 more gas is taken up than comes"], FEED + with_air + two)
    yield ("48 h of standing", FEED + PLAIN + "after: {standing: 48 h}\n",
           [r"48\.8 h end of the time followed", r"6\d % NO that nitrous acid gave back to the gas",
            r"gives off NO, which turns brown in air, for as long as the bottle stands"],
           FEED + PLAIN)
    wet = steady("wet.csv", 1e-4, 2e-5, 2.5e-5, 1e-4)
    yield ("feed at 110 degC with steam and acid vapour", wet + PLAIN,
           [r"of that as HNO3 0\.0538 mol N 16\.7 %", r"as HNO3, about <0\.001 mmol N",
            r"the liquid is at its hottest, 4\d\.\d degC", r"liquid at the end 26\d mL"],
           steady("dry.csv", 1e-4, 0, 2.5e-5, 0) + PLAIN)


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    for name, case, said, beside in corners():
        text, other = outcome(case), outcome(beside)
        for pattern in said:
            assert re.search(pattern, text), (name, pattern, text[text.index("What happens"):])
        assert not re.search(said[0], other), (name, "said beside it too", said[0])
        print(name, "good")
    os.chdir("/")
