"""A bar on the terminal in every command that runs longer than a second, and nowhere else.

usage: test_progress.py PROGRAM
"""
import os
import pty
import re
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
PARAMS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params")
STILL = os.path.join(PARAMS, "cases", "still.yaml")
# so fine that each of these commands takes more than a second, also on a fast machine; those of
# many runs are slow enough with fewer slices
SLOW = "numerics: {relative tolerance: 1e-10, slices: %d}\n"
RUN = """case: slow.yaml
charge: {nitrogen: 0.6 mol}
found: [{where: receiver, nitrogen: 0.39 mol}, {where: bottle, nitrogen: 0.2 mol}]
"""
COMMANDS = [
    ["estimate", "slow.yaml"],
    ["report", "slow.yaml", "--out", "page.html"],
    ["remedies", "many.yaml"],
    ["size", "many.yaml", "--capture", "99.999 %"],
    ["fit", "run.yaml", "--unknown", "source.decomposed=10:60 %", "--unknown",
     "source.duration=20:90 min"],
    ["balance", "run.yaml"],
]


def on_terminal(words):
    """Standard output, and what a terminal on standard error was sent."""
    leader, follower = pty.openpty()
    job = subprocess.Popen([PROGRAM, *words], stdout=subprocess.PIPE, stderr=follower)
    os.close(follower)
    parts = []
    while True:
        try:
            got = os.read(leader, 65536)
        except OSError:
            break
        if not got:
            break
        parts.append(got)
    out = job.stdout.read().decode()
    os.close(leader)
    assert job.wait(timeout=600) in (0, 1), (words, parts)
    return out, b"".join(parts).decode()


def main():
    with open(STILL) as f:
        case = f.read()
    for name, slices in (("slow.yaml", 32), ("many.yaml", 9)):
        with open(name, "w") as f:
            f.write(case + SLOW % slices)
    with open("run.yaml", "w") as f:
        f.write(RUN)
    for words in COMMANDS:
        out, told = on_terminal(words)
        assert re.search(r"\r\x1b\[K(\[#*\.+\] \d+ of )?\d+ runs, \d+\.\d runs/s", told), (words, told)
        assert told.endswith("\r\x1b[K"), (words, told[-80:])  # taken away
        assert "\x1b" not in out, words
        counts = [int(n) for n in re.findall(r"(?:\] |K)(\d+) (?:of|runs)", told)]
        assert counts == sorted(counts), counts
        for one, of in re.findall(r"(\d+) of (\d+) runs", told):
            assert int(one) < int(of), told
    for more in ("--quiet", "--json"):
        _, told = on_terminal(["remedies", "many.yaml", more])
        assert told == "", told
    done = subprocess.run([PROGRAM, "remedies", "many.yaml"], capture_output=True, text=True)
    assert done.stderr == "", done.stderr
    with open("quick.yaml", "w") as f:
        f.write(case)
    _, told = on_terminal(["estimate", "quick.yaml", "--quick"])
    assert told == "", told  # done within a second


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    main()
    os.chdir("/")
