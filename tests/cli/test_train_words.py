"""What the estimate says about a train: each way of drawing back by its own sentence, with the
figures of its document, and with remedies that work when they are followed; no sentence that
contradicts another; the stage named is the one whose change gains most.

usage: test_train_words.py PROGRAM
"""
import glob
import json
import os
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
CASES = os.path.abspath(os.path.join(os.path.dirname(__file__), "../../params/cases"))
ROOM_L_MOL = 24.055  # gas at 20 degC and 1 atm, as flows are counted

STILL = "source: {kind: acid vapour, acid made: 0.60 mol, decomposed: 35 %, duration: 40 min}\n"
METAL = "source: {kind: metal, metal: silver, mass: 30 g, NO2 share: 40 %, duration: 45 min}\n"
LECTURE = ("source: {kind: metered, flow: 0.2 L/min, NO2: 5 % by volume, O2: 19.9 % by volume, "
           "duration: 30 min}\n")
VESSEL = "vessel: {volume: 300 mL, hot: 120 degC}\n"


def bottle(size=250, liquid=150, more=""):
    return "  - {glass: washing bottle %d mL, liquid: %d mL%s}\n" % (size, liquid, more)


def empty(volume_mL):
    return "  - {kind: empty, volume: %.12g mL, inner diameter: 60 mm}\n" % volume_mL


def train(*stages):
    return "train:\n" + "".join(stages)


def carrier(L_min, until_min=None):
    """To the end of the run where no time is given."""
    until = "" if until_min is None else ", until: %g min" % until_min
    return "carrier: {gas: air, flow: %.12g L/min%s}\n" % (L_min, until)


def run(*words):
    done = subprocess.run([PROGRAM, *words], capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, (words, done.returncode, done.stderr[-600:])
    return done.stdout


def estimate(case, *words):
    """The text, unwrapped; the warnings by name; the document."""
    with open("case.yaml", "w") as f:
        f.write(case)
    page = run("estimate", "--quick", "case.yaml", *words)
    document = json.loads(run("estimate", "--quick", "--json", "case.yaml", *words))
    warnings = {w["kind"]: w["text"] for w in document["warnings"]}
    text = " ".join(page.split())
    for sentence in warnings.values():
        assert sentence in text, sentence
    check_page(page, text, warnings, document)
    return text, warnings, document


def check_page(page, text, warnings, document):
    """What no output may hold, nor say twice."""
    too_long = [line for line in page.splitlines() if len(line) > 80]
    assert not too_long, too_long
    for phrase in ("about less", "to less than", "each min and passes 0"):
        assert phrase not in text, phrase
    drawn = any(s["liquid_drawn_m3"] > 0 for s in document["stages"])
    assert text.count("told, not moved") == drawn, "the liquid's place"
    # the three ways keep to their own remedies
    assert "empty vessel" not in warnings.get("drawn_back", ""), warnings
    assert "the vent" not in warnings.get("liquid_drawn", ""), warnings
    suck = "suck_back" in warnings
    for name in ("drawn_to_metal", "peroxide_drawn", "steam_burst"):
        assert suck or name not in warnings, name
    good = ("would do: that suffices", "That suffices as long as it runs", "above it: that suffices",
            "none comes over")
    held = [g for g in good if g in text and "When the vessel cools" in text]
    if document["result"]["glass"]["suck_back_m3"] is not None:
        assert len(held) == (0 if suck else 1), (held, suck)
    assert ("peroxide_between" not in warnings) or ("liquid_drawn" in warnings)


def figure(pattern, text):
    found = re.search(pattern, text)
    assert found, (pattern, text)
    return float(found.group(1))


def same(shown, value):
    """Two digits shown."""
    assert abs(shown - value) <= 0.051 * abs(value), (shown, value)


def flow_L_min(text, pattern):
    found = re.search(pattern % r"([0-9.]+) (mL|L)/min", text)
    assert found, (pattern, text)
    return float(found.group(1)) * (1e-3 if found.group(2) == "mL" else 1.0)


def mol_s_in_L_min(mol_s):
    return mol_s * ROOM_L_MOL * 60


# ------------------------------------------------------------------------- the three ways

def air_at_the_vent():
    case = STILL + train(bottle())
    _, warnings, document = estimate(case)
    assert set(warnings) == {"drawn_back", "legal_strength"}, warnings
    said = warnings["drawn_back"]
    same(figure(r"about ([0-9.]+) mL of the room's air", said),
         document["stages"][0]["drawn_back_mol"] * ROOM_L_MOL * 1e3)
    need = flow_L_min(said, "About %s of carrier gas would keep the air out")
    same(need, mol_s_in_L_min(document["stages"][0]["short_of_gas_mol_s"]))
    _, warnings, _ = estimate(case + carrier(1.1 * need))
    assert "drawn_back" not in warnings, warnings
    _, warnings, _ = estimate(case + carrier(0.4 * need))
    assert "drawn_back" in warnings, "less than half of it does as well"


def liquid_between():
    first, second = bottle(), bottle(more=", peroxide: 3 wt%")
    _, warnings, document = estimate(STILL + train(first, second))
    stage = document["stages"][0]
    said = warnings["liquid_drawn"]
    same(figure(r"about ([0-9.]+) mL of its liquid is drawn up its tube and over into stage 1",
                said), stage["liquid_drawn_m3"] * 1e6)
    same(figure(r"brings about ([0-9.]+) g H2O2", warnings["peroxide_between"]),
         stage["peroxide_drawn_mol"] * 34.014)
    assert 0 < stage["peroxide_drawn_mol"] * 34.014 < 150 * 0.03 * 1.02
    need_mL = figure(r"empty vessel of at least ([0-9.]+) mL between", said)
    need = flow_L_min(said, "or about %s of carrier gas prevent it")
    text, warnings, _ = estimate(STILL + train(first, empty(1.05 * need_mL), second))
    assert not {"liquid_drawn", "peroxide_between"} & set(warnings), warnings
    assert "The empty vessel there, stage 2, holds" in text and "that suffices" in text
    _, warnings, _ = estimate(STILL + train(first, empty(30), second))
    assert "which holds only 30 mL" in warnings["liquid_drawn"], warnings
    assert "peroxide_between" in warnings
    _, warnings, document = estimate(STILL + carrier(1.1 * need) + train(first, second))
    assert document["stages"][0]["liquid_drawn_m3"] == 0 and "liquid_drawn" not in warnings


def suck_back():
    one, with_peroxide = bottle(), bottle(more=", peroxide: 3 wt%")
    _, warnings, document = estimate(STILL + VESSEL + train(with_peroxide))
    glass = document["result"]["glass"]
    said = warnings["suck_back"]
    same(figure(r"about ([0-9.]+) mL of liquid is drawn over", said),
         glass["liquid_at_risk_m3"] * 1e6)
    same(figure(r"brings about ([0-9.]+) g H2O2", warnings["peroxide_drawn"]),
         glass["peroxide_at_risk_mol"] * 34.014)
    assert "drawn_to_metal" not in warnings
    # 120 degC: the still's liquid flashes to steam as any other does
    same(figure(r"at 120\.0 degC, .* about ([0-9.]+) mL, flashes to steam", warnings["steam_burst"]),
         glass["liquid_at_risk_m3"] * 1e6)
    _, cooler, _ = estimate(STILL + VESSEL.replace("120", "90") + train(with_peroxide))
    assert "suck_back" in cooler and "steam_burst" not in cooler, cooler
    need_mL = figure(r"An empty vessel of ([0-9.]+) mL ahead", said)
    same(need_mL, glass["trap_needed_m3"] * 1e6)
    need = flow_L_min(said, "Or keep about %s of carrier gas on until")
    same(need, mol_s_in_L_min(glass["carrier_needed_mol_s"]))
    # followed, each remedy does
    text, warnings, _ = estimate(STILL + VESSEL + train(empty(1.05 * need_mL), with_peroxide))
    assert not {"suck_back", "peroxide_drawn"} & set(warnings), warnings
    assert "The empty vessels ahead of the first bottle hold" in text
    half = empty(0.52 * need_mL)
    _, warnings, _ = estimate(STILL + VESSEL + train(half, with_peroxide))
    assert "to catch it with some to spare takes" in warnings["suck_back"]
    _, warnings, _ = estimate(STILL + VESSEL + train(half, half, with_peroxide))
    assert "suck_back" not in warnings, warnings
    text, warnings, _ = estimate(STILL + VESSEL + carrier(1.05 * need, 75) + train(with_peroxide))
    assert "suck_back" not in warnings and "The carrier gas keeps it back" in text, warnings
    assert "unless the vessel cools so fast" in text
    _, warnings, _ = estimate(STILL + VESSEL + carrier(0.9 * need, 75) + train(with_peroxide))
    assert "suck_back" in warnings
    _, warnings, _ = estimate(STILL + VESSEL + carrier(1.05 * need, 50) + train(with_peroxide))
    assert re.search(r"about 30 min after the source instead of 10 min", warnings["suck_back"])
    # what meets metal is said; a tall tube holds; a thimble of gas draws nothing over
    _, warnings, document = estimate(METAL + VESSEL + train(one))
    same(figure(r"about ([0-9.]+) mL, meets hot metal", warnings["drawn_to_metal"]),
         document["result"]["glass"]["liquid_at_risk_m3"] * 1e6)
    assert "peroxide_drawn" not in warnings
    tall = "constants: {tube_above_bottle: 150}\nvessel: {volume: 300 mL, hot: 25 degC}\n"
    text, warnings, _ = estimate(LECTURE + "carrier: {gas: nitrogen, flow: 0.2 L/min, "
                                 "until: 60 min}\n" + tall + train(one))
    assert "the tube's bend stands" in text and "suck_back" not in warnings, text
    text, _, _ = estimate(LECTURE + "vessel: {volume: 2 mL, hot: 25 degC}\n" + train(one))
    assert "tube alone holds as much liquid" in text
    text, _, _ = estimate(METAL + train(one))
    assert "Give its gas space (vessel:" in text and "should the first tip block" in text


# ------------------------------------------------------------------- pressures, tips, blocking

def said_against_clamps(text, warning):
    """What resists is made to resist less; no word but the caution speaks of clamps."""
    assert "a coarser frit, less depth or a wider tube" in warning, warning
    assert "Never fasten joints against pressure" in warning, warning
    assert "clamp" not in text.split(" Cautions * ")[0], re.findall(".{40}clamp.{40}", text)


def tips_and_pressure():
    frit = ", tip: {kind: frit, grade: POR 3, diameter: 25 mm}"
    text, warnings, document = estimate(METAL + carrier(0.3, 60) + train(bottle(500, 300, frit)))
    said, glass = warnings["back_pressure"], document["result"]["glass"]
    same(figure(r"works against about ([0-9.]+) kPa", said), glass["gauge_peak_Pa"] / 1e3)
    # by hand: 4 0.0727/40e-6 = 7.27 kPa of pores, 300 mL in 75 mm: 6.3 cm, 0.61 kPa of head;
    # 0.4 L/min: 0.38 kPa a litre each minute dry, five times wet, 0.77 kPa
    assert abs(glass["gauge_peak_Pa"] - 8650) < 300, glass["gauge_peak_Pa"]
    said_against_clamps(text, said)
    # pores of 2 um: 4 0.0727/2e-6 = 145 kPa
    finest = ", tip: {kind: frit, bore: 2 um, diameter: 25 mm}"
    text, warnings, document = estimate(METAL + carrier(0.3, 60) + train(bottle(500, 300, finest)))
    assert document["result"]["glass"]["gauge_peak_Pa"] > 140e3
    said_against_clamps(text, warnings["back_pressure"])
    small = ", tip: {kind: frit, grade: POR 1, diameter: 8 mm}"
    _, warnings, _ = estimate(METAL + carrier(0.3, 60) + train(bottle(500, 300, small)))
    # 0.06 m/s over 8 mm: 0.18 L/min
    assert "more than the 0.18 L/min" in warnings["jetting"], warnings
    hole = ", tip: {kind: holes, bore: 0.5 mm, holes: 1}"
    many = ", tip: {kind: holes, bore: 1 mm, holes: 8}"
    _, warnings, _ = estimate(LECTURE + train(bottle(more=hole), bottle(more=many)))
    # We = 2 with the gas's own density: near air's 0.184 L/min for one, 8 0.52 L/min for eight
    same(flow_L_min(warnings["jetting"], "tip of bottle 1 .* more than the %s"), 0.182)
    same(flow_L_min(warnings["weeping"], "tip of bottle 2 .* only from %s"), 4.15)
    assert "bottle 2" not in warnings["jetting"] and "bottle 1" not in warnings["weeping"]


def blocked_and_hood():
    text, _, document = estimate(LECTURE + "vessel: {volume: 500 mL, hot: 20 degC}\n"
                                 + train(bottle()))
    glass = document["result"]["glass"]
    # by hand: 0.2 L/min is 0.1386 mmol/s; R 293.15 K/500 mL makes 676 Pa/s of it, with the 100 mL
    # above the liquid 563 Pa/s
    same(figure(r"first tip or its frit block: by up to ([0-9.]+) kPa each min", text), 0.676 * 60)
    same(figure(r"vent block at the peak, the pressure rises by up to ([0-9.]+) kPa each min",
                text), 0.563 * 60)
    same(figure(r"joints bear within ([0-9.]+) s", text), 5000 / 563)
    # 1 m3 of air is 41.6 mol; what leaves at the peak into it
    peak_mol_min = document["result"]["vent_peak_NO2_mg_min"] / 46005
    same(figure(r"gains about ([0-9.]+) ppm NO2", text), peak_mol_min / 41.57 * 1e6)
    assert abs(glass["hood_stopped_NO2_ppm_min"] - peak_mol_min / 41.57 * 1e6) < 0.02
    text, _, document = estimate(LECTURE + "hood: {flow: 1 m3/min}\n" + train(bottle()))
    r = document["result"]
    for limit, value, words in ((5, r["hood_peak_NO2_ppm"], "peak"),
                                (1, r["hood_mean15_NO2_ppm"], "15-min mean")):
        found = re.search(r"limit %g ppm hood air, %s: (ABOVE|below)" % (limit, words), text)
        assert found and (found.group(1) == "ABOVE") == (value > limit), (limit, value, found)
    eight_h = r["escaped_NO2_mol"] / (480 / 0.024055) * 1e6
    found = re.search(r"limit 0\.2 ppm hood air, 8-h mean: (ABOVE|below)", text)
    assert found and (found.group(1) == "ABOVE") == (eight_h > 0.2), (eight_h, found)


# ------------------------------------------------------------------------- verdict, layout

def stage_by_hand(head, stages):
    """Every change tried by its own case; the best by escape and catch together."""
    def outcome(changed):
        with open("case.yaml", "w") as f:
            f.write(head + train(*changed))
        r = json.loads(run("estimate", "--quick", "--json", "case.yaml"))["result"]
        return r["fed_mol"], r["escaped_mol"], r["kept_mol"]

    fed, escaped0, kept0 = outcome(stages)
    best, most = None, 0.0
    for i, stage in enumerate(stages):
        if "kind: empty" in stage:
            volume = float(re.search(r"volume: ([0-9.]+)", stage).group(1))
            trials = [stage.replace("volume: %g" % volume, "volume: %g" % (2 * volume))
                      .replace("60 mm", "%.12g mm" % (60 * 2 ** (1 / 3)))]
        else:
            fine = re.sub(r", tip: {[^}]*}", "", stage)
            trials = [fine.replace("}\n", ", tip: {bubble diameter: 2 mm}}\n")]
            if "peroxide" not in stage:
                trials.append(stage.replace("}\n", ", peroxide: 3 wt%}\n"))
        for trial in trials:
            _, escaped, kept = outcome(stages[:i] + [trial] + stages[i + 1:])
            less, more = escaped0 - escaped, kept - kept0
            worth = (less > 0.2 * escaped0 and less > 0.01 * fed) or more > 0.05 * fed
            if worth and less + more > most:
                best, most = i + 1, less + more
    return best


def verdict_names_the_stage():
    peroxide = bottle(more=", peroxide: 3 wt%")
    nitric_oxide = ("source: {kind: metered, flow: 0.3 L/min, NO: 2 % by volume, O2: 20 % by "
                    "volume, duration: 30 min}\n")
    fine = bottle(more=", peroxide: 3 wt%, tip: {bubble diameter: 2 mm}")
    trains = {
        "water, water": (STILL, [bottle(), bottle()], 1),
        "peroxide, then water": (METAL + carrier(0.3, 60), [peroxide, bottle()], 2),
        "little ahead of much": (METAL + carrier(0.3, 60), [bottle(100, 20), bottle(500, 300)], 2),
        "room to oxidise": (nitric_oxide, [empty(40), fine], 1),
        "nothing to gain": (STILL, [peroxide, peroxide], None),
    }
    named = set()
    for name, (head, stages, expected) in trains.items():
        with open("case.yaml", "w") as f:
            f.write(head + train(*stages))
        text = " ".join(run("estimate", "case.yaml").split())
        found = re.search(r"Which stage is worth changing\? (None|(?:Bottle|Stage) (\d))", text)
        said = None if found.group(1) == "None" else int(found.group(2))
        by_hand = stage_by_hand(head, stages)
        assert said == by_hand, (name, "said", said, "by hand", by_hand)
        assert expected is None or said == expected, (name, said)
        named.add(said)
    document = json.loads(run("estimate", "--json", "case.yaml"))
    assert "stage_worth_changing" not in document["what_if"], name
    assert len(named) >= 3, named


def eight_columns():
    stages = [bottle() if i % 2 else empty(100) for i in range(8)]
    with open("case.yaml", "w") as f:
        f.write(STILL + train(*stages))
    page = run("estimate", "--quick", "case.yaml")
    heads = [line.split() for line in page.splitlines() if re.match(r" +stage \d", line)]
    assert [w for h in heads for w in h if w.isdigit()] == list("12345678"), heads
    assert max(map(len, page.splitlines())) <= 80


def filled_in():
    text, _, _ = estimate(LECTURE)
    assert "Taken as usual, not given: washing bottle 250 mL with 150 mL of liquid." in text
    text, _, _ = estimate(LECTURE + "train:\n  - {glass: washing bottle 500 mL}\n  - {kind: empty}\n"
                          + bottle())
    assert ("Taken as usual, not given: stage 1: 300 mL of liquid; stage 2: washing bottle 250 mL."
            in text), text[:300]
    text, _, _ = estimate(LECTURE + train(bottle()))
    assert "Taken as usual" not in text


def a_bleed_helps_or_hurts():
    """As their comments say: air where there is none for NO, against air where there was enough."""
    for name, helps in (("assay-bleed.yaml", True), ("lecture-bleed.yaml", False)):
        with open(os.path.join(CASES, name)) as f:
            case = f.read()
        assert "That bleed %s." % ("helps" if helps else "hurts") in case
        escaped = []
        for text in (case, "".join(x for x in case.splitlines(True) if "bleed: {" not in x)):
            _, _, document = estimate(text)
            escaped.append(document["result"]["escaped_mol"])
        assert (escaped[0] < 0.5 * escaped[1]) if helps else (escaped[0] > 1.5 * escaped[1]), escaped


def shipped():
    for path in sorted(glob.glob(os.path.join(CASES, "*.yaml"))):
        with open(path) as f:
            estimate(f.read())
    page = run("estimate", os.path.join(CASES, "lecture-peroxide.yaml"))
    assert re.search(r"^  left as nitrous acid +(0|less than 0\.01) %$", page, re.M), page
    assert not re.search(r"less than [0-9.]+ % to less than", page)


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    for check in (air_at_the_vent, liquid_between, suck_back, tips_and_pressure, blocked_and_hood,
                  verdict_names_the_stage, eight_columns, filled_in,
                  a_bleed_helps_or_hurts, shipped):
        check()
        print(check.__name__, "good")
    os.chdir("/")
