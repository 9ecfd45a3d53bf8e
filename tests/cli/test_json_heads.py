"""Every command's JSON begins alike: schema, program {version, commit}, constants {version, hash}.

usage: test_json_heads.py PROGRAM
"""
import json
import os
import subprocess
import sys

PROGRAM = os.path.abspath(sys.argv[1])
PARAMS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params")
CASE = os.path.join(PARAMS, "cases", "lecture.yaml")
RUN = os.path.join(PARAMS, "still-fit.yaml")
UNKNOWN = ["--unknown", "source.decomposed=10:60 %"]
COMMANDS = [
    ["estimate", CASE, "--quick", "--json"],
    ["constants", "--json"],
    ["selftest", "--json"],
    ["strength", "--density", "1.1 g/cm3", "--temperature", "20 degC", "--json"],
    ["strength", "--strength", "10 wt%", "--json"],
    ["strength", "--chart", "--json"],
    ["blend", "--peroxide", "3 wt%", "--json"],
    ["blend", "--part", "10 mL, water", "--json"],
    ["blend", "--next-bottle", CASE, "--weak-acid", "1 wt%", "--json"],
    ["balance", RUN, "--quick", "--json"],
    ["sweep", CASE, "--vary", "train[1].liquid=100,150 mL", "--json-lines"],
    ["remedies", CASE, "--json"],
    ["size", CASE, "--capture", "1 %", "--json"],
    ["fit", RUN, *UNKNOWN, "--json"],
    ["fit", RUN, *UNKNOWN, "--plan", "--json"],
]


def main():
    heads = set()
    for words in COMMANDS:
        done = subprocess.run([PROGRAM, *words], capture_output=True, text=True, timeout=600)
        assert done.returncode == 0, (words, done.returncode, done.stderr)
        text = done.stdout.splitlines()[0] if "--json-lines" in words else done.stdout
        document = json.loads(text)
        assert list(document)[:3] == ["schema", "program", "constants"], (words, list(document)[:5])
        assert list(document["program"]) == ["version", "commit"], (words, document["program"])
        assert list(document["constants"])[:2] == ["version", "hash"], (words, document["constants"])
        flat = [k for k in document if k.startswith(("program_", "constants_")) or k == "version"]
        assert not flat, (words, flat)
        heads.add((document["program"]["version"], document["program"]["commit"],
                   document["constants"]["version"], document["constants"]["hash"]))
    assert len(heads) == 1, heads
    told = subprocess.run([PROGRAM, "--version"], capture_output=True, text=True).stdout.split()
    version, commit, constants, _ = heads.pop()
    assert told == ["noxwash", version, "(%s)," % commit, "constants", constants], told


main()
