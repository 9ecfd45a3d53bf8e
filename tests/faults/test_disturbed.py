"""Other programs and people in the way: gnuplot that is missing, fails, talks nonsense or ends early;
SIGINT, SIGTERM, SIGHUP, SIGPIPE and SIGKILL at random moments; two sweeps on one database.

NXW_SEED: of the moments; drawn and printed if not given.
"""
import os
import random
import signal
import sqlite3
import subprocess
import tempfile
import time

from machine import CASES, LECTURE, PROGRAM, Outcome, run_tests

SEED = int(os.environ.get("NXW_SEED", str(random.SystemRandom().randrange(10**6))))
OLD = b"what stood here before\n"
TWO = ["--vary", "train[1].liquid=100,110 mL", "--quiet"]
MANY = ["--vary", "train[1].liquid=100:180:0.5 mL", "--quiet"] # 161 cases
STILL = os.path.join(CASES, "still-second-bottle.yaml")


# -------------------------------------------------------------------------------- gnuplot

FAKES = { # what a program called gnuplot does: what is said then
    "exit 1": "gnuplot failed",
    "cat >/dev/null; exit 1": "gnuplot failed",
    "exit 0": "gnuplot", # it read nothing, and drew nothing
    "cat >/dev/null; kill -9 $$": "gnuplot failed",
    "cat >/dev/null; echo nonsense": "gnuplot drew no picture",
    "cat >/dev/null; echo '<svg x=\"1\">'": "gnuplot drew no picture",
}


def fake(text):
    def put(folder):
        os.mkdir(os.path.join(folder, "bin"))
        path = os.path.join(folder, "bin", "gnuplot")
        with open(path, "w") as file:
            file.write("#!/bin/sh\n%s\n" % text)
        os.chmod(path, 0o755)
    return put


def with_fake(words, text):
    folder = tempfile.mkdtemp()
    fake(text)(folder)
    try:
        return Outcome(words, env={"PATH": os.path.join(folder, "bin") + ":/usr/bin:/bin"})
    finally:
        subprocess.run(["rm", "-r", folder], check=True)


def test_gnuplot_missing():
    got = Outcome(["report", "--quick", "--out", "page.html", LECTURE], env={"PATH": "/nowhere"})
    assert got.code == 0 and "gnuplot is missing; install the package gnuplot-nox" in got.err, got
    assert b"</html>" in got.files["page.html"], got
    got = Outcome(["sweep", LECTURE, *TWO, "--out", "rows.sqlite", "--svg", "curve.svg"],
                  env={"PATH": "/nowhere"})
    assert got.code == 6 and "gnuplot is missing" in got.err, got
    assert list(got.files) == ["rows.sqlite"], got


def test_gnuplot_fails():
    for text, said in FAKES.items():
        got = with_fake(["report", "--quick", "--out", "page.html", LECTURE], text)
        assert got.code == 0 and said in got.err, (text, got)
        assert b"</html>" in got.files["page.html"], (text, got)
        assert b"nonsense" not in got.files["page.html"], (text, got)
    got = with_fake(["sweep", LECTURE, *TWO, "--out", "rows.sqlite", "--svg", "curve.svg"],
                    "cat >/dev/null; echo half a picture; exit 3")
    assert got.code == 6 and "gnuplot failed" in got.err, got
    assert list(got.files) == ["rows.sqlite"], got


def test_gnuplot_is_given_little():
    """Its environment holds three names, whatever the program's own holds; no shell is asked."""
    with tempfile.TemporaryDirectory() as folder:
        seen = os.path.join(folder, "seen")
        os.environ["NXW_SECRET"] = "hidden"
        got = with_fake(["report", "--quick", "--out", "page.html", LECTURE],
                        "env >%s; cat >/dev/null; exit 1" % seen)
        del os.environ["NXW_SECRET"]
        assert got.code == 0, got
        with open(seen) as file:
            names = {line.split("=")[0] for line in file} - {"PWD", "SHLVL", "_", "OLDPWD"}
        assert names == {"PATH", "LC_ALL", "HOME"}, names # the rest is the shell's of the fake


# -------------------------------------------------------------------------------- signals

def disturbed(words, number, after_s, folder):
    """Ended by a signal after a time; exit code, what was said, and how long it went on."""
    started = subprocess.Popen([PROGRAM, *words], cwd=folder, stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE)
    try:
        out, err = started.communicate(timeout=after_s)
        return started.returncode, out, err.decode(), 0.0
    except subprocess.TimeoutExpired:
        pass
    began = time.monotonic()
    started.send_signal(number)
    out, err = started.communicate(timeout=60)
    return started.returncode, out, err.decode(), time.monotonic() - began


def test_signals_while_a_file_is_written():
    """The old file or the new one, never a part; nothing beside it."""
    draw = random.Random(SEED)
    print("  seed", SEED)
    words = {"page.html": ["report", "--out", "page.html", STILL],
             "series.csv": ["estimate", "--series", "series.csv", STILL]}
    codes = []
    for i in range(12):
        name = sorted(words)[i % 2]
        number = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)[i // 2 % 3]
        with tempfile.TemporaryDirectory() as folder:
            with open(os.path.join(folder, name), "wb") as file:
                file.write(OLD)
            code, out, err, late_s = disturbed(words[name], number, draw.uniform(0.0, 0.5), folder)
            codes.append(code)
            with open(os.path.join(folder, name), "rb") as file:
                there = file.read()
            assert os.listdir(folder) == [name], (os.listdir(folder), code, err)
            assert code in (0, 130, -number), (code, err)
            if code == 130:
                assert err.splitlines()[-1] == "noxwash: interrupted", err
                assert out == b"", out[:300]
            if name == "page.html" and there != OLD:
                assert there.startswith(b"<!DOCTYPE html>") and b"</html>" in there[-20:], there
            if code != 0 and name == "page.html":
                assert there == OLD, code
            assert late_s < 3.0, late_s
    assert codes.count(130) >= 3, codes # else the moments do not meet the work


def test_signals_while_a_sweep_runs():
    draw = random.Random(SEED + 1)
    words = ["sweep", LECTURE, *MANY, "--out", "rows.sqlite"]
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "rows.sqlite")
        for number in (signal.SIGINT, signal.SIGTERM, signal.SIGKILL, signal.SIGHUP, signal.SIGINT):
            code, _, err, late_s = disturbed(words, number, draw.uniform(0.05, 0.4), folder)
            assert code in (0, 130, -number), (code, err)
            assert late_s < 3.0, late_s
        done = subprocess.run([PROGRAM, *words], cwd=folder, capture_output=True, timeout=60)
        assert done.returncode == 0, done.stderr
        with sqlite3.connect(path) as db:
            assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            numbers = [row[0] for row in db.execute('SELECT "case" FROM rows ORDER BY 1')]
        assert numbers == list(range(1, 162)), numbers
        assert os.listdir(folder) == ["rows.sqlite"], os.listdir(folder)


# --------------------------------------------------------------------- two at one database

def test_two_sweeps_on_one_database():
    """Both end well and the rows are those of one."""
    words = [PROGRAM, "sweep", LECTURE, *MANY, "--out", "rows.sqlite", "--threads", "1"]

    def rows(folder):
        with sqlite3.connect(os.path.join(folder, "rows.sqlite")) as db:
            assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            return db.execute('SELECT * FROM rows ORDER BY "case"').fetchall()

    with tempfile.TemporaryDirectory() as alone, tempfile.TemporaryDirectory() as shared:
        subprocess.run(words, cwd=alone, check=True, capture_output=True, timeout=120)
        for _ in range(2):
            both = [subprocess.Popen(words, cwd=shared, stdout=subprocess.PIPE,
                                     stderr=subprocess.PIPE) for _ in range(2)]
            said = [one.communicate(timeout=120)[1].decode() for one in both]
            codes = [one.returncode for one in both]
            assert codes == [0, 0], (codes, said)
            assert rows(shared) == rows(alone)
            os.remove(os.path.join(shared, "rows.sqlite"))
            assert os.listdir(shared) == [], os.listdir(shared)


run_tests(globals())
