"""The command that an estimate prints finds the estimate's own strength from its hydrometer reading.

usage: test_way_back.py PROGRAM
"""
import json
import os
import re
import shlex
import subprocess
import sys

PROGRAM = os.path.abspath(sys.argv[1])
CASES = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params", "cases")


def run(*words):
    done = subprocess.run([PROGRAM, *words], capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, (words, done.stderr)
    return done.stdout


def main():
    taken = set()
    for name in sorted(os.listdir(CASES)):
        if not name.endswith(".yaml"):
            continue
        path = os.path.join(CASES, name)
        stages = [s for s in json.loads(run("estimate", "--quick", "--json", path))["stages"]
                  if s["liquid_m3"] > 0]
        text = run("estimate", "--quick", path)
        commands = re.findall(r"noxwash (strength (?:.*\\\n)*.*)", text)
        assert len(commands) == len(stages) > 0, (name, commands)
        for command, stage in zip(commands, stages):
            words = shlex.split(command.replace("\\\n", " "))
            taken |= {w for w in words if w.startswith("--")}
            got = json.loads(run(*words, "--json"))["result"]["HNO3_wt_pct"]
            # half of the last digit: 0.05 kg/m3, 0.05 K, of a slope of 5.5 kg/m3 for 1 wt%; three
            # digits of what is taken off
            assert abs(got - stage["strength_wt_pct"]) < 0.02, (name, got, stage["strength_wt_pct"])
    assert {"--nitrous-acid", "--left-over-peroxide"} <= taken, taken


main()
