"""The fit command from outside: the shipped run, the plan kept, and every refusal.

usage: test_fit.py PROGRAM
"""
import json
import os
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
PARAMS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params")
SHARE = "source.decomposed=10:60 %"
TIME = "source.duration=20:90 min"
CASE = """source: {kind: acid vapour, acid made: 0.2 mol, decomposed: 35 %, duration: 12 min}
train: [{glass: washing bottle 250 mL, liquid: 150 mL}]
after: {standing: 0 min}
"""


def run(*words, code=0):
    done = subprocess.run([PROGRAM, "fit", *words], capture_output=True, text=True, timeout=600)
    assert done.returncode == code, (words, done.returncode, done.stdout[-300:], done.stderr)
    return done


def unknown(*texts):
    return [word for text in texts for word in ("--unknown", text)]


def write(name, text):
    with open(name, "w") as f:
        f.write(text)


def refuse(message, text=None, words=tuple(unknown(SHARE)), code=3):
    """This one fault, and nothing on standard output."""
    if text is not None:
        write("run.yaml", text)
    done = run("run.yaml", *words, code=code)
    assert done.stdout == "", done.stdout
    assert done.stderr == message + "\n", done.stderr


def shipped_run():
    """Its readings were made with 31 % in 46 min."""
    path = os.path.join(PARAMS, "still-fit.yaml")
    got = json.loads(run(path, "--json", *unknown(SHARE, TIME)).stdout)
    for one, truth in zip(got["unknowns"], (31.0, 46.0)):
        assert one["low"] < truth < one["high"], one
        assert one["high"] - one["low"] < 0.3 * truth, one
        assert abs(one["high"] - one["value"] - 1.96 * one["standard_error"]) < 1e-9, one
    assert got["result"]["determined"] and got["not_told_apart"] == []
    assert got["result"]["degrees_of_freedom"] == len(got["readings"]) - 2
    assert abs(sum(r["standardised_residual"] ** 2 for r in got["readings"])
               - got["result"]["chi_square"]) < 1e-6
    assert "charge: nitrogen" not in [r["name"] for r in got["readings"]]  # nothing it can tell
    log = [r for r in got["readings"] if r["quantity"] == "temperature_K"]
    # 1 K for 95 of 100; 14 rows over 65 min are 14 of one for each five minutes
    assert len(log) == 14 and abs(log[0]["standard_error"] - 1 / 1.96) < 1e-12, log[0]
    assert log[13]["time_s"] == 3900 and abs(log[13]["read"] - (27.9 + 273.15)) < 1e-9
    text = run(path, *unknown(SHARE, TIME)).stdout
    flat = " ".join(text.split())
    for one, unit in zip(got["unknowns"], ("%", "min")):
        assert "%s %.4g %s" % (one["path"], one["value"], unit) in flat, flat
    assert "source.duration: log of temperatures" in flat, flat
    assert "Brown fumes (NO2) injure the lungs" in flat
    assert max(len(line) for line in text.splitlines()[1:]) < 80  # the path may be long


def plan_is_kept():
    """What the plan promises of a reading is what the fit says once it is there."""
    write("case.yaml", CASE)
    start = ("case: case.yaml\nseen: {vent NO2: 6.5 %}\nfound:\n"
             "  - {where: bottle, nitrogen: 0.0688 mol}\n")
    write("run.yaml", start)
    words = ["run.yaml", "--json", *unknown("source.decomposed=10:60 %", "source.duration=6:30 min")]
    plan = json.loads(run(*words, "--plan").stdout)
    best = min(plan["readings"], key=lambda r: r["standard_errors_with_it"][1])
    assert plan["unknowns"][1]["narrowed_most_by"] == best["name"]
    before = [u["standard_error"] for u in plan["unknowns"]]
    assert all(a <= b * (1 + 1e-9) for r in plan["readings"]
               for a, b in zip(r["standard_errors_with_it"], before))
    receiver = [r for r in plan["readings"] if r["quantity"] == "receiver_mol"][0]
    assert abs(receiver["standard_error"] - 0.01 * receiver["expected"] / 1.96) < 1e-12, receiver
    assert receiver["standard_errors_with_it"][0] < 0.9 * before[0], (receiver, before)
    write("run.yaml", start + "  - {where: receiver, nitrogen: %.9f mol, error: 1 %%}\n"
          % receiver["expected"])
    got = json.loads(run(*words).stdout)
    e = [u["standard_error"] for u in got["unknowns"]]
    c = got["correlation"][0][1] * e[0] * e[1]
    # information of the fit, and of the ranges: deviation width/sqrt(12), counted by the plan
    det = (e[0] * e[1]) ** 2 - c ** 2
    a = [e[1] ** 2 / det + 12 / 50 ** 2, e[0] ** 2 / det + 12 / 24 ** 2]
    det = a[0] * a[1] - (c / det) ** 2
    for promised, want in zip(receiver["standard_errors_with_it"],
                              ((a[1] / det) ** 0.5, (a[0] / det) ** 0.5)):
        # the two searches end within a hundredth of a standard error of each other
        assert abs(promised / want - 1) < 0.03, (promised, want, e)
    # nothing read yet: the middle of the ranges
    write("run.yaml", "case: case.yaml\n")
    done = run("run.yaml", "--plan", *unknown("source.decomposed=10:60 %"))
    assert "Judged at the middle of the ranges; nothing is read yet." in done.stdout
    assert "source.decomposed = 35.00 %, now known to +-28.29 %" in done.stdout, done.stdout
    refuse("noxwash: run.yaml: no reading that the model knows; give 'found', 'seen' or 'log', or "
           "ask with --plan what to read")


def not_told_apart():
    write("case.yaml", CASE)
    write("run.yaml", "case: case.yaml\nfound: [{where: bottle, nitrogen: 0.065 mol}]\n")
    words = ["run.yaml", *unknown("source.decomposed=20:50 %", "source.acid made=0.1:0.4 mol")]
    flat = " ".join(run(*words, code=1).stdout.split())
    assert "The readings cannot tell apart: source.decomposed and source.acid made." in flat, flat
    assert "not fixed by the readings" in flat
    got = json.loads(run(*words, "--json", code=1).stdout)
    assert got["not_told_apart"] == [["source.decomposed", "source.acid made"]], got
    assert got["unknowns"][0]["low"] is None and got["correlation"][0][1] is None
    # a poor reading of the receiver: they can be told apart, but hardly
    with open("run.yaml", "w") as f:
        f.write("case: case.yaml\nfound:\n  - {where: bottle, nitrogen: 0.065 mol, error: 0.2 mmol}"
                "\n  - {where: receiver, nitrogen: 0.13 mol, error: 10 mmol}\n"
                "  - {where: floor, nitrogen: 1 mmol}\n")
    flat = " ".join(run(*words).stdout.split())
    assert "The readings can hardly tell apart: source.decomposed and source.acid made (correlation" \
           " -0." in flat, flat
    assert "More of one with less of the other fits almost as well." in flat
    assert "'floor' is no place of the model and is not used." in flat
    # asked for more than the range allows
    flat = " ".join(run("run.yaml", *unknown("source.decomposed=10:20 %")).stdout.split())
    assert "source.decomposed lies at the end of its range" in flat, flat
    assert "The model does not meet the readings within their errors" in flat, flat


def refusals():
    write("case.yaml", CASE)
    good = "case: case.yaml\nfound: [{where: bottle, nitrogen: 0.065 mol}]\n"
    run(code=2)
    run("missing.yaml", *unknown(SHARE), code=6)
    refuse("noxwash: no unknown; give such as --unknown 'source.decomposed=10:60 %'", good, (), 2)
    for text, message, code in (
            ("source.decomposed", "'=' is missing; write such as train[1].liquid=100:500:50 mL", 2),
            ("source.decomposed=10,20 %", "a range is wanted, such as source.decomposed=10:60 %", 2),
            ("source.decomposed=10:60:5 %", "a range is wanted, such as source.decomposed=10:60 %",
             2),
            ("source.decomposed=60:10 %", "the range must rise: 60 is not below 10", 2),
            ("source.decomposd=10:60 %", "unknown key 'decomposd'; did you mean 'decomposed'?", 3),
            ("source.decomposed=10:60", "'decomposed: 10': the unit is missing; accepted: %", 3),
            ("train[3].liquid=10:60 mL", "the case has no such place, or no single value there",
             3)):
        refuse("noxwash: --unknown '%s': %s" % (text, message), None, unknown(text), code)
    refuse("noxwash: --unknown '%s': it is given twice" % SHARE, None, unknown(SHARE, SHARE), 2)
    refuse("noxwash: at most 8 unknowns are accepted", None, unknown(*[SHARE] * 9), 2)
    refuse("run.yaml:1:1: 'case' is missing: the case that was run, in a file such as 'case: "
           "still.yaml', or in this one", "found: [{where: bottle, nitrogen: 0.065 mol}]\n")
    refuse("run.yaml:2:9: 'where: bottle 2': the train has 1 bottle with liquid",
           "case: case.yaml\nfound: [{where: bottle 2, nitrogen: 0.065 mol}]\n")
    refuse("run.yaml:3:19: 'brown gas: 3': the unit is missing; accepted: min, s, h, d",
           good + "seen: {brown gas: 3}\n")
    refuse("run.yaml:3:25: 'brown gas error: 3 min': goes with 'brown gas'",
           good + "seen: {brown gas error: 3 min}\n")
    refuse("run.yaml:3:8: unknown key 'brown gass'; did you mean 'brown gas'?",
           good + "seen: {brown gass: 3 min}\n")
    os.symlink(os.path.join(PARAMS, "still-log.csv"), "link.csv")
    beside = "must be the name of a file beside this one or below, without '..' and not absolute"
    for name, message in (
            ("../log.csv", beside), ("/etc/passwd", beside),
            ("link.csv", "is a link that leads out of the folder of this file: put the file itself "
                         "there")):
        refuse("run.yaml:3:6: '%s' %s" % (name, message), good + "log: %s\n" % name)
        refuse("run.yaml:3:13: '%s' %s" % (name, message), good + "log: {file: %s}\n" % name)
        refuse("run.yaml:1:7: '%s' %s" % (name, message),
               good.replace("case.yaml", name))
    refuse("run.yaml:3:6: log 'log.csv' cannot be opened: No such file or directory",
           good + "log: log.csv\n")
    for text, line, message in (
            ("time,T\n", 1, "the first line must be time_min,temperature_degC or "
                            "time_s,temperature_degC"),
            ("time_s,temperature_degC\n0,20\n0,21\n", 3, "the times must rise"),
            ("time_s,temperature_degC\n-1,20\n", 2, "a time below zero is not possible"),
            ("time_s,temperature_degC\n0,20,3\n", 2, "wrong number of fields"),
            ("time_s,temperature_degC\n", 1, "no row was found"),
            ("time_s,temperature_degC\n" + "".join("%d,20\n" % i for i in range(501)), 502,
             "more than 500 rows are not accepted")):
        write("log.csv", text)
        refuse("run.yaml:3:6: log 'log.csv', line %d: %s" % (line, message))
    write("case.yaml", CASE.replace("train: [", "train: [{glass: washing bottle 250 mL}, "))
    refuse("run.yaml:2:9: 'where: bottle': the train has 2 bottles; say which, such as 'bottle 1'",
           good)


def more_refusals():
    write("case.yaml", CASE)
    write("log.csv", "# bottle\ntime_min,temperature_degC\n\n0,20\n5,21\n")
    good = "case: case.yaml\nfound: [{where: bottle, nitrogen: 0.065 mol}]\n"
    for said, text in (
            ("run.yaml:3:26: 'peak temperature: -300 degC': must be more than 0",
             "seen: {peak temperature: -300 degC}"),
            ("run.yaml:3:19: 'brown gas: 0 min': must be more than 0", "seen: {brown gas: 0 min}"),
            ("run.yaml:3:43: 'brown gas error: 0 min': must be more than 0",
             "seen: {brown gas: 3 min, brown gas error: 0 min}"),
            ("run.yaml:3:7: 'bottle': the train has 1 bottle with liquid",
             "seen: {peak temperature: 30 degC, bottle: 2}"),
            ("run.yaml:3:6: 'bottle': the train has 1 bottle with liquid",
             "log: {file: log.csv, bottle: two}"),
            ("run.yaml:3:6: 'error: 0 K': a difference of temperatures above 0 is wanted, such as "
             "1 K", "log: {file: log.csv, error: 0 K}"),
            ("run.yaml:3:6: 'error: 1 mol': a difference of temperatures above 0 is wanted, such "
             "as 1 K", "log: {file: log.csv, error: 1 mol}"),
            ("run.yaml:3:6: 'file' is missing; a log needs it", "log: {bottle: 1}")):
        refuse(said, good + text + "\n")
    for last in ("x,20", "9,warm"):
        write("log.csv", "time_min,temperature_degC\n0,20\n" + last + "\n")
        refuse("run.yaml:3:6: log 'log.csv', line 3: a number must stand first",
               good + "log: log.csv\n")
    refuse("noxwash: --unknown 'train[1].liquid=100:200 mL': it is given twice", good,
           unknown("train[1].liquid=90:200 mL", "train[1].liquid=100:200 mL"), 2)
    write("case.yaml", CASE.replace("{glass: washing bottle 250 mL, liquid: 150 mL}",
                                    "{kind: empty, glass: washing bottle 250 mL}"))
    refuse("run.yaml:2:9: 'where: bottle': the train has no bottle with liquid", good)


def readings(found):
    """Names and quantities of what the fit takes from found, judged by the plan."""
    write("run.yaml", "case: case.yaml\nfound:\n" + found)
    got = json.loads(run("run.yaml", "--json", *unknown(SHARE)).stdout)
    return {r["name"]: r["read"] for r in got["readings"]}


def what_is_read():
    """A titrated bottle with peroxide tells of that, one of nitrous acid of it; a place that
    weighs tells its mass; the same amount with a second reading is no second reading."""
    write("case.yaml", CASE)
    titrated = ("  - {where: bottle, volume: 150 mL, sample: 5 mL, alkali: 8.4 mL, "
                "alkali strength: 0.5 mol/L, permanganate: 2 mL, permanganate strength: 0.02 mol/L, "
                "permanganate finds: %s, temperature: 20 degC}\n")
    # 2 mL of 0.02 mol/L in 5 mL: 2.5 of each permanganate, 20 mol/m3
    got = readings(titrated % "nitrous acid")
    assert abs(got["bottle: nitrous acid, titrated"] - 20.0) < 1e-6, got
    assert abs(got["bottle: acid, titrated"] - 840.0) < 1e-6, got
    assert abs(got["bottle: volume"] - 150e-6) < 1e-12 and len(got) == 3, got
    got = readings(titrated % "peroxide")
    assert abs(got["bottle: peroxide, titrated"] - 20.0) < 1e-6 and len(got) == 3, got
    density = "  - {where: bottle, %s, density: 1.0300 g/cm3, temperature: 20 degC}\n"
    got = readings(density % "mass: 152 g")
    assert abs(got["bottle: mass"] - 0.152) < 1e-12 and len(got) == 2, got
    got = readings(density % "volume: 150 mL" + titrated % "nitrous acid")
    assert sorted(got) == ["bottle: acid, titrated", "bottle: nitrous acid, titrated",
                           "bottle: strength by density", "bottle: volume"], got


def main():
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        shipped_run()
        plan_is_kept()
        not_told_apart()
        refusals()
        more_refusals()
        what_is_read()
        os.chdir("/")


main()
