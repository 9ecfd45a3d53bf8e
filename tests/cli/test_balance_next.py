"""Next time, after a run: what helps against the estimate, and what the readings leave of it.

usage: test_balance_next.py PROGRAM
"""
import json
import os
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
PARAMS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params")
CASE = """source: {kind: acid vapour, acid made: 0.60 mol, decomposed: %s %%, duration: 40 min}
train:
%s"""
BOTTLE = "  - {glass: washing bottle 250 mL, liquid: 150 mL}\n"
HNO3_g_mol = 63.012


def balance(decomposed, bottles=1, aim="acid", edit=lambda run: run):
    """The shipped run whose readings hold 31 % decomposed, beside a case with another share."""
    with open("case.yaml", "w") as f:
        f.write(CASE % (decomposed, BOTTLE * bottles) + "aim: %s\n" % aim)
    with open(os.path.join(PARAMS, "still-fit.yaml")) as f:
        run = f.read().replace("cases/still.yaml", "case.yaml").split("seen:")[0]
    with open("run.yaml", "w") as f:
        f.write(edit(run))
    out = []
    for more in ([], ["--json"]):
        done = subprocess.run([PROGRAM, "balance", "run.yaml", *more], capture_output=True,
                              text=True, timeout=600)
        assert done.returncode == 0, done.stderr
        out.append(done.stdout)
    assert max(map(len, out[0].splitlines())) <= 80
    text = " ".join(out[0].split("\nNext time\n")[1].split("\nCautions")[0].split())
    return text, json.loads(out[1])


def gains_beyond():
    """A gain against the estimate above what the readings leave is said to be that, with both."""
    text, got = balance(40)
    then, account = got["next_time"], got["result"]
    left = then["still_to_be_had_HNO3_g"]
    assert abs(left - HNO3_g_mol * (account["available_mol"] - account["receiver_HNO3_mol"]
                                    - account["scrubber_HNO3_mol"])) < 1e-6
    alone = {r["remedies"][0]: r for r in then["alone"] if r.get("rank")}
    beyond = [n for n, r in alone.items() if r["gain_HNO3_g"] > left]
    assert "peroxide" in beyond and then["gains_beyond_the_readings"][:len(beyond)] == beyond, then
    said = re.search(r"peroxide: \+([0-9.]+) g HNO3 \(.*? ! The estimate puts it at \+([0-9.]+) g "
                     r"HNO3, the readings leave at most ([0-9.]+) g\.", text)
    assert said, text
    gain = alone["peroxide"]["gain_HNO3_g"]
    for word, value in zip(said.groups(), (gain, gain, left)):
        assert abs(float(word) - value) < 0.006, (said.group(0), gain, left)
    # and why: what the estimate has left, which is nitrous acid and escape, and what it has caught
    why = re.search(r"The estimate for the case has more left, ([0-9.]+) g: ([0-9.]+) g as nitrous "
                    r"acid in the bottles, ([0-9.]+) g escaped\. It has ([0-9.]+) g HNO3 in the "
                    r"bottles, where ([0-9.]+) g were read\.", text)
    assert why, text
    out, nitrous, escaped, kept, read = map(float, why.groups())
    assert out > left and abs(then["still_out_by_estimate_HNO3_g"] - out) < 0.006
    assert 0 <= out - nitrous - escaped < 0.02 * out  # the rest is other dissolved nitrogen
    assert abs(read - HNO3_g_mol * account["scrubber_HNO3_mol"]) < 0.006 and kept > read
    assert " Of any gain the readings leave at most %.2f g." % left in text, text
    for name, one in alone.items():
        assert one["gain_HNO3_g"] <= then["still_out_by_estimate_HNO3_g"] + 0.01, name


def gains_within():
    """Where the readings leave enough, nothing of the kind is said."""
    text, got = balance(20)
    assert got["next_time"]["gains_beyond_the_readings"] == [], got["next_time"]
    assert "The estimate puts it at" not in text and "has more left" not in text, text


def nothing_left():
    """Readings that already hold all that was available: said, with how much more."""
    text, got = balance(35, edit=lambda run: run.replace("nitrogen: 0.600 mol, error: 1 %",
                                                         "nitrogen: 0.561 mol, error: 10 %"))
    account = got["result"]
    over = HNO3_g_mol * (account["receiver_HNO3_mol"] + account["scrubber_HNO3_mol"]
                         - account["available_mol"])
    assert over > 0 and got["next_time"]["still_to_be_had_HNO3_g"] == 0.0
    assert "By the readings nothing could still be had: receiver and scrubber hold as HNO3 all the " \
        "nitrogen that was available, and %.2f g HNO3 more than that." % over in text, text


def receiver_unread():
    run = lambda text: text.split("  - where: receiver")[0] + "  - where: scrubber" + \
        text.split("  - where: scrubber")[1]
    text, _ = balance(35, edit=run)
    assert "the receiver was not read, and what it holds is still in this figure" in text, text
    # without the scrubber nothing is known of what is left, and no gain is held against it
    text, got = balance(35, edit=lambda text: text.split("  - where: scrubber")[0])
    assert got["next_time"]["gains_beyond_the_readings"] == [], got["next_time"]
    assert got["next_time"]["still_to_be_had_HNO3_g"] is None, got["next_time"]
    assert "By the readings" not in text and "The estimate puts" not in text, text


def two_bottles():
    """A remedy is named by what it does, whatever the train has; the aim orders."""
    two = lambda text: text.replace("scrubber", "bottle 1") + \
        "  - {where: bottle 2, nitrogen: 1 mmol, error: 1 mmol}\n"
    for aim in ("clean air", "acid"):
        text, got = balance(35, 2, aim, two)
        names = {n for r in got["next_time"]["alone"] for n in r["remedies"]}
        assert {"one more bottle", "two more bottles"} <= names, names
        assert not [n for n in names if "second" in n or "third" in n], names
        assert "second bottle" not in text and "third bottle" not in text, text
        assert got["next_time"]["aim"] == aim
        shown = re.search("ranked by (how much less escapes|the acid gained)", text).group(1)
        assert shown == ("the acid gained" if aim == "acid" else "how much less escapes")


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    gains_beyond()
    gains_within()
    nothing_left()
    receiver_unread()
    two_bottles()
    os.chdir("/")
print("next time: all good")
