"""The sweep from outside: the same rows whatever the threads, parts, kills and full disks.

usage: test_sweep.py PROGRAM
NXW_KILLS: moments at which the process is killed, of each of two sweeps; 25 if not given.
NXW_SEED: of those moments; drawn and printed if not given.
"""
import csv
import html
import io
import json
import os
import random
import resource
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
import traceback

PROGRAM = os.path.abspath(sys.argv[1])
CASES = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params", "cases")
KILLS = int(os.environ.get("NXW_KILLS", "25"))
SEED = int(os.environ.get("NXW_SEED", str(random.SystemRandom().randrange(10**6))))

# Coarse and short: a few milliseconds a case. Above 237.5 mL the glass is too small: no result.
FAST = """source: {kind: metered, flow: 0.2 L/min, NO2: 5 % by volume, duration: 2 min}
train:
  - {glass: washing bottle 250 mL, liquid: 150 mL}
after: {standing: 0 min}
numerics: {relative tolerance: 1e-3, slices: 2, isothermal: yes}
"""
REAL = ["--vary", "train[1].liquid=91:230:1 mL"]  # 140 cases, each computed
LONG = ["--vary", "train[1].liquid=91:230:0.25 mL"]  # 557 cases
MIXED = ["--vary", "train[1].liquid=208:20207:1 mL"]  # 30 computed, 19970 refused at once
TOO_FULL = ("this glass of 250 mL takes 1 to 237.5 mL of liquid: gas in it, the tube and what is "
            "caught raise the level")


def run(*words, code=0, **more):
    done = subprocess.run([PROGRAM, *words], capture_output=True, text=True, timeout=600, **more)
    assert done.returncode == code, (words, done.returncode, code, done.stderr[-600:])
    return done


def sweep(*words, **more):
    return run("sweep", "fast.yaml", *words, **more)


def dump(path):
    """Everything a database says, in order."""
    with sqlite3.connect(path) as db:
        assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        return list(db.iterdump())


def rows(path):
    """Rows by number, read from a copy: looking must not mend what a killed process left."""
    with tempfile.TemporaryDirectory() as folder:
        for tail in ("", "-wal", "-journal"):
            if os.path.exists(path + tail):
                shutil.copy(path + tail, os.path.join(folder, "copy" + tail))
        db = sqlite3.connect(os.path.join(folder, "copy"))
        assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        tables = db.execute("SELECT name FROM sqlite_master").fetchall()
        found = {r[0]: r for r in db.execute("SELECT * FROM rows")} if tables else {}
        db.close()
    return found


def remove(path):
    for tail in ("", "-wal", "-shm", "-journal"):
        if os.path.exists(path + tail):
            os.remove(path + tail)


def change(path, statement):
    db = sqlite3.connect(path)
    assert db.execute(statement).rowcount == 1, statement
    db.commit()
    db.close()


# ------------------------------------------------------------------------------- contents

def test_figures_are_those_of_estimate():
    for case in ("still-peroxide", "assay", "lecture"):
        path = os.path.join(CASES, case + ".yaml")
        alone = json.loads(run("estimate", "--quick", "--json", path).stdout)["result"]
        row = json.loads(run("sweep", path, "--vary", "surroundings.pressure=101.325 kPa",
                             "--json-lines", "--quiet").stdout.splitlines()[1])
        shared = [k for k in row if k in alone and k != "status_text"]
        assert len(shared) >= 35, len(shared)
        for key in shared:
            assert row[key] == alone[key], (case, key, row[key], alone[key])
        whys = {k: v for k, v in row.items() if k.startswith("why_")}
        assert whys == {"why_" + k: v for k, v in alone["why"].items()}, whys


def test_every_value_reaches_the_case():
    """A row is the estimate of the case with the value written into the file."""
    got = list(csv.DictReader(io.StringIO(sweep("--vary", "train[1].liquid=120,180 mL", "--vary",
                                                "train[1].bath.kind=air,water", "--csv").stdout)))
    assert [(r["train[1].liquid (mL)"], r["train[1].bath.kind"]) for r in got] == [
        ("120", "air"), ("120", "water"), ("180", "air"), ("180", "water")]
    assert len({r["kept_mol"] for r in got}) >= 2
    for r in got:
        with open("one.yaml", "w") as f:
            f.write(FAST.replace("liquid: 150 mL", "liquid: %s mL, bath: {kind: %s}" % (
                r["train[1].liquid (mL)"], r["train[1].bath.kind"])))
        alone = json.loads(run("estimate", "--quick", "--json", "one.yaml").stdout)["result"]
        assert float(r["kept_mol"]) == alone["kept_mol"], r


def test_a_kind_sets_keys_aside():
    case = os.path.join(CASES, "lecture-iced.yaml")
    got = run("sweep", case, "--vary", "train[1].bath.kind=air,ice water", "--csv")
    air, iced = csv.DictReader(io.StringIO(got.stdout))
    assert air["status"] == iced["status"] == "0"
    assert air["set_aside"] == "'ice' does not belong to a bath of the kind 'air'", air["set_aside"]
    assert iced["set_aside"] == ""
    plain = json.loads(run("estimate", "--quick", "--json",
                           os.path.join(CASES, "lecture.yaml")).stdout)["result"]
    assert float(air["kept_mol"]) == plain["kept_mol"]
    assert float(iced["kept_mol"]) != plain["kept_mol"]


def test_a_case_without_a_result_is_a_row():
    sweep("--vary", "train[1].liquid=236:239:1 mL", "--out", "edge.sqlite")
    db = sqlite3.connect("edge.sqlite")
    got = db.execute('SELECT "case", status, reason, kept_mol IS NULL FROM rows').fetchall()
    db.close()
    assert got[0][1] >= 0 and got[0][2] == "" and got[0][3] == 0, got
    assert got[2:] == [(3, -2, TOO_FULL, 1), (4, -2, TOO_FULL, 1)], got


def test_threads_change_nothing():
    words = ["--vary", "train[1].liquid=150:300:10 mL", "--vary", "source.NO2=2:6:1 % by volume"]
    texts = {}
    for threads in ("1", "2", "5"):
        out = "threads%s.sqlite" % threads
        sweep(*words, "--threads", threads, "--out", out)
        found = (dump(out), sweep(*words, "--threads", threads, "--csv").stdout,
                 sweep(*words, "--threads", threads, "--json-lines").stdout)
        assert len(found[1].splitlines()) == 81 and len(found[2].splitlines()) == 81
        texts[threads] = found
    assert texts["1"] == texts["2"] == texts["5"]


def test_the_two_streams_say_the_same():
    words = ["--vary", "train[1].liquid=230:250:10 mL", "--vary", "train[1].bath.kind=air,water"]
    table = list(csv.DictReader(io.StringIO(sweep(*words, "--csv").stdout)))
    head, *lines = [json.loads(x) for x in sweep(*words, "--json-lines").stdout.splitlines()]
    assert len(head["cautions"]) == 11 and head["cases"] == 6
    assert len(table) == len(lines) == 6
    for a, b in zip(table, lines):
        assert list(a) == list(b)
        for key in a:
            if isinstance(b[key], str):
                assert a[key] == b[key], key
            else:
                assert (float(a[key]) if a[key] else None) == b[key], key


def test_sample_with_a_seed():
    words = ["--vary", "train[1].liquid=100:200 mL", "--vary", "source.NO2=2:6 % by volume",
             "--sample", "12"]
    first, again, other = (sweep(*words, *seed, "--csv").stdout
                           for seed in (["--seed", "7"], ["--seed", "7"], ["--seed", "8"]))
    assert first == again != other
    got = [float(r["train[1].liquid (mL)"]) for r in csv.DictReader(io.StringIO(first))]
    assert sorted(int((v - 100) / 100 * 12) for v in got) == list(range(12)), got


# --------------------------------------------------------------------------- parts, merge

def test_parts_and_merge():
    sweep(*REAL, "--out", "whole.sqlite")
    parts = []
    for i in (1, 2, 3):
        parts.append("part%d.sqlite" % i)
        sweep(*REAL, "--part", "%d/3" % i, "--out", parts[-1])
    assert [len(rows(p)) for p in parts] == [47, 47, 46]
    run("merge", "merged.sqlite", *reversed(parts))
    assert dump("merged.sqlite") == dump("whole.sqlite")
    run("merge", "merged.sqlite", *parts)  # once more changes nothing
    assert rows("merged.sqlite") == rows("whole.sqlite")

    done = run("merge", "lacking.sqlite", parts[0], parts[2], code=1)
    assert "47 cases are missing" in done.stderr, done.stderr
    sweep(*REAL, "--out", "lacking.sqlite")  # the sweep fills the gaps
    assert rows("lacking.sqlite") == rows("whole.sqlite")

    done = run("merge", parts[0], parts[1], code=3)  # the outcome is forgotten
    assert done.stderr == ("noxwash: part1.sqlite is itself part 1/3; name the outcome first, then "
                           "the parts\n"), done.stderr
    assert len(rows(parts[0])) == 47
    done = run("merge", "x.sqlite", "missing.sqlite", code=6)
    assert done.stderr == "noxwash: missing.sqlite: cannot be opened\n", done.stderr
    assert not os.path.exists("missing.sqlite") and not os.path.exists("x.sqlite")
    with open("text.sqlite", "w") as f:
        f.write("no database\n")
    done = run("merge", "x.sqlite", parts[0], "text.sqlite", code=3)
    assert done.stderr == ("noxwash: text.sqlite: the database cannot be opened: file is not a "
                           "database\n"), done.stderr
    assert not [name for name in os.listdir(".") if name.startswith("x.sqlite")]
    run("merge", "merged.sqlite", "missing.sqlite", code=6)  # what was there stays
    assert rows("merged.sqlite") == rows("whole.sqlite")
    shutil.copy(parts[1], "changed.sqlite")
    change("changed.sqlite", 'UPDATE rows SET kept_mol = kept_mol * 1.000001 WHERE "case" = 5')
    done = run("merge", "merged.sqlite", "changed.sqlite", code=3)
    assert "case 5 of changed.sqlite differs from what merged.sqlite holds" in done.stderr
    assert rows("merged.sqlite") == rows("whole.sqlite")
    sweep("--vary", "train[1].liquid=91:230:2 mL", "--part", "1/3", "--out", "other.sqlite")
    done = run("merge", "merged.sqlite", "other.sqlite", code=3)
    assert "other.sqlite holds another sweep than merged.sqlite" in done.stderr, done.stderr


def test_gnu_parallel_carries_it():
    subprocess.run(["parallel", "--version"], check=True, capture_output=True)
    sweep(*REAL, "--out", "alone.sqlite")
    # the expression goes through parallel's own shell: quoted there
    subprocess.run(["parallel", "-j", "2", "--quote", PROGRAM, "sweep", "fast.yaml", *REAL,
                    "--threads", "1", "--quiet", "--part", "{}/4", ":::", "1", "2", "3", "4"],
                   check=True, capture_output=True)
    run("merge", "carried.sqlite", *("fast-sweep-%dof4.sqlite" % i for i in (1, 2, 3, 4)))
    assert rows("carried.sqlite") == rows("alone.sqlite")


def test_pictures():
    """Also the hint without gnuplot, and that a failed picture costs no rows."""
    words = ["--vary", "train[1].liquid=100:200:25 mL", "--vary", "train[1].bath.kind=air,water"]
    done = sweep(*words, "--plot", "--svg", "drawn.svg", "--quiet")
    for text in ("train[1].liquid (mL)", "kept as HNO3, air", "escaped, water"):
        assert text in done.stdout, (text, done.stdout[-2500:])
    with open("drawn.svg") as f:
        svg = f.read()
    assert svg.rstrip().endswith("</svg>") and "kept as HNO3, water" in svg
    assert svg.count("<path stroke") >= 4  # two curves for each of two baths
    # gnuplot would run what stands between ` and `, and put in what @ names
    hostile = "a`touch ran`@GPVAL_TERM \\140\"'"
    sweep("--vary", "train[1].liquid=100:120:20 mL", "--vary", "name=" + hostile, "--plot", "--svg",
          "hostile.svg", "--out", "hostile.sqlite", "--quiet")
    assert not os.path.exists("ran"), "gnuplot ran a text of ours"
    with open("hostile.svg") as f:
        assert html.unescape(f.read()).count(", " + hostile) == 4  # name and title of two curves
    done = sweep(*words, "--svg", "hidden.svg", "--quiet", "--out", "hidden.sqlite", code=6,
                 env={"PATH": "/nonexistent"})
    assert done.stderr == ("noxwash: no picture: gnuplot is missing; install the package "
                           "gnuplot-nox\n"), done.stderr
    assert len(rows("hidden.sqlite")) == 10 and not os.path.exists("hidden.sqlite-wal")
    assert not [n for n in os.listdir(".") if n.startswith("hidden.svg")]
    for words, text in (
            (["--vary", "train[1].bath.kind=air,water", "--plot"],
             "the first varied key must take numbers in one unit to be drawn"),
            (["--vary", "train[1].liquid=100 mL", "--plot", "--csv"],
             "--plot and --svg draw from the database; leave --csv and --json-lines out")):
        assert sweep(*words, code=2).stderr == "noxwash: " + text + "\n"


# ------------------------------------------------------------------------------- refusals

def test_foreign_databases_are_refused():
    words = ["--vary", "train[1].liquid=100,150 mL"]
    sweep(*words, "--out", "mine.sqlite")
    kept = open("mine.sqlite", "rb").read()
    about = dict(sqlite3.connect("mine.sqlite").execute("SELECT * FROM about"))

    def refused(path, text, *other, case="fast.yaml"):
        before = open(path, "rb").read()
        done = run("sweep", case, *(other or words), "--out", path, code=3)
        assert done.stderr == ("noxwash: %s %s; nothing was changed; give another --out, or remove "
                               "it\n" % (path, text)), done.stderr
        assert open(path, "rb").read() == before, "a refused database was changed"

    with open("other.yaml", "w") as f:
        f.write(FAST.replace("NO2: 5", "NO2: 6"))
    done = run("sweep", "other.yaml", *words, "--out", "mine.sqlite", code=3)
    assert "mine.sqlite is of another case, or of the case before a change, (%s there, " \
        % about["case_hash"] in done.stderr, done.stderr
    with open("same.yaml", "w") as f:  # a comment makes no other case
        f.write("# the same\n" + FAST)
    run("sweep", "same.yaml", *words, "--out", "mine.sqlite")
    refused("mine.sqlite", "holds another sweep (train[1].liquid=100,150 mL there, "
            "train[1].liquid=100,151 mL here)", "--vary", "train[1].liquid=100,151 mL")
    refused("mine.sqlite", "holds another part of the sweep (1/1 there, 1/2 here)", *words,
            "--part", "1/2")
    assert open("mine.sqlite", "rb").read() == kept

    for key, value, told in (
            ("constants_hash", "0123456789abcdef", "rests on another set of constants"),
            ("program_version", "0.0.1", "was made by another version of the program"),
            ("program_commit", "000000000000", "was made by another version of the program")):
        shutil.copy("mine.sqlite", "foreign.sqlite")
        change("foreign.sqlite", "UPDATE about SET value = '%s' WHERE key = '%s'" % (value, key))
        refused("foreign.sqlite", "%s (%s there, %s here)" % (told, value, about[key]))
    os.remove("foreign.sqlite")
    db = sqlite3.connect("foreign.sqlite")
    db.execute("CREATE TABLE letters (a)")
    db.close()
    done = sweep(*words, "--out", "foreign.sqlite", code=3)
    assert done.stderr == ("noxwash: foreign.sqlite is a database, but not of a sweep, or of one by "
                           "an earlier version of the program; nothing was changed\n"), done.stderr
    done = sweep(*words, "--out", "fast.yaml", code=3)  # not even a database
    assert "fast.yaml" in done.stderr and open("fast.yaml").read() == FAST, done.stderr
    done = sweep(*words, "--out", "no-such-folder/x.sqlite", code=6)
    assert "no-such-folder/x.sqlite" in done.stderr


def test_a_table_of_the_source_belongs_to_the_case():
    table = "time_s,NO_mol_s,NO2_mol_s,HNO2_mol_s,HNO3_mol_s,O2_mol_s,inert_mol_s,H2O_mol_s\n"
    with open("table.yaml", "w") as f:
        f.write(FAST.replace(FAST.splitlines()[0], "source: {kind: table, file: flow.csv}"))
    for last in ("1e-5", "2e-5"):
        with open("flow.csv", "w") as f:
            f.write(table + "0,0,1e-5,0,0,0,1e-4,0\n60,0,%s,0,0,0,1e-4,0\n" % last)
        run("sweep", "table.yaml", "--vary", "train[1].liquid=100 mL",
            code=3 if last == "2e-5" else 0)


BAD = [  # expression, exit code, message
    ("liquid", 2, "--vary 'liquid': '=' is missing; write such as train[1].liquid=100:500:50 mL"),
    ("=3", 2, "--vary '=3': '' is no path of a case; write such as train[1].liquid"),
    ("train[1].=3", 2,
     "--vary 'train[1].=3': 'train[1].' is no path of a case; write such as train[1].liquid"),
    ("a.b=", 2, "--vary 'a.b=': value 1 is empty"),
    ("a.b=1,,2 mL", 2, "--vary 'a.b=1,,2 mL': value 2 is empty"),
    ("a.b=100:200 mL", 2, "--vary 'a.b=100:200 mL': a range needs a step, such as 100:200:25 mL, "
     "or --sample N"),
    ("a.b=100:x:50 mL", 2, "--vary 'a.b=100:x:50 mL': 'x': a number must stand first"),
    ("a.b=100:200:-50 mL", 2,
     "--vary 'a.b=100:200:-50 mL': with the step -50, 100 never comes to 200"),
    ("a.b=100:200:0 mL", 2, "--vary 'a.b=100:200:0 mL': with the step 0, 100 never comes to 200"),
    ("a.b=1 L:2 mL:1 mL", 2, "--vary 'a.b=1 L:2 mL:1 mL': the units 'L' and 'mL' differ; one is "
     "wanted"),
    ("a.b=1,5:2:0.1 L", 2,
     "--vary 'a.b=1,5:2:0.1 L': '1,5': write decimals with a point, not a comma"),
    ("a.b=1:2:3:4 L", 2,
     "--vary 'a.b=1:2:3:4 L': a range is from:to:step, such as 100:500:50 mL"),
    ("a.b=nan:2:1 L", 3, None),  # no number stands first: a text, for the reader to judge
    ("a.b=1:1e12:0.001 mL", 2,
     "--vary 'a.b=1:1e12:0.001 mL': more than 1000000000 values are not accepted"),
    ("train[1].liquid=100:200:50 mm", 3,
     "--vary 'train[1].liquid=100:200:50 mm': the case cannot be read with train[1].liquid = "
     "200 mm\nfast.yaml:3:44: 'liquid: 200 mm': the unit 'mm' does not fit; accepted: mL, L, m3"),
    ("train[1].liquid=100,200", 3,
     "--vary 'train[1].liquid=100,200': the case cannot be read with train[1].liquid = 100\n"
     "fast.yaml:3:44: 'liquid: 100': the unit is missing; accepted: mL, L, m3"),
    ("train[1].liqid=100 mL", 3,
     "--vary 'train[1].liqid=100 mL': the case cannot be read with train[1].liqid = 100 mL\n"
     "fast.yaml:3:5: unknown key 'liqid'; did you mean 'liquid'?"),
    ("train[3].liquid=100 mL", 3,
     "--vary 'train[3].liquid=100 mL': the case cannot be read with train[3].liquid = 100 mL\n"
     "fast.yaml: 'train[3].liquid' leads nowhere in this case"),
    ("train[1].bath.kind=air,icewater", 3,
     "--vary 'train[1].bath.kind=air,icewater': the case cannot be read with train[1].bath.kind = "
     "icewater\nfast.yaml:3:5: 'kind: icewater' is not known; accepted: air, water, ice water"),
    ("constants.k2_N=1", 3,
     "--vary 'constants.k2_N=1': the case cannot be read with constants.k2_N = 1\n"
     "fast.yaml:1:1: no constant is called 'k2_N'; "),
    ("train[1].bath={kind: air", 3,
     "--vary 'train[1].bath={kind: air': the case cannot be read with train[1].bath = {kind: air\n"
     "fast.yaml: "),
]


def test_bad_expressions_have_exact_messages():
    for text, code, wanted in BAD:
        done = sweep("--vary", text, "--csv", "--quiet", code=code)
        assert done.stdout == "", text
        if wanted is None:
            continue
        if wanted.endswith(" "):  # the end is another program part's
            assert done.stderr.startswith("noxwash: " + wanted), (text, done.stderr)
        else:
            assert done.stderr == "noxwash: " + wanted + "\n", (text, done.stderr)
    good = ["--vary", "train[1].liquid=100 mL"]
    for words, text in (
            ([], "nothing to vary; give --vary PATH=VALUES, such as --vary "
             "'train[1].liquid=100:500:50 mL'"),
            (good + ["--vary", "train[1]={},{}"], "--vary 'train[1]={},{}': train[1].liquid and "
             "train[1] are, or lie in, the same place"),
            (good + good, "--vary 'train[1].liquid=100 mL': train[1].liquid and train[1].liquid "
             "are, or lie in, the same place"),
            (good + ["--part", "4/3"],
             "--part '4/3': write i/n with 1 <= i <= n, such as 2/8"),
            (good + ["--threads", "0"],
             "--threads '0': a whole number from 1 to 256 is wanted"),
            (good + ["--sample", "1.5"],
             "--sample '1.5': a whole number from 1 to 1000000000 is wanted"),
            (good + ["--seed", "3"], "--seed goes with --sample"),
            (good + ["--json-lines"], "--csv and --json-lines exclude each other"),
            (good + ["--out", "x"],
             "--csv and --json-lines write to standard output; --out names a database"),
            (good * 9 + good * 8, "--vary may be given 16 times at most"),
            (["--vary", "a.b=1:100000:1", "--vary", "c.d=1:100000:1"],
             "the grid has more than 1000000000 cases; use wider steps or --sample N")):
        done = sweep(*words, "--csv", code=2)
        assert done.stderr == "noxwash: " + text + "\n", done.stderr


# ---------------------------------------------------------------- kills, interrupts, disks

def killed(words, longest_s, rounds, chance):
    """Kill again and again; what stands stays, and the last run ends as an undisturbed one."""
    remove("undisturbed.sqlite")
    sweep(*words, "--out", "undisturbed.sqlite")
    wanted = rows("undisturbed.sqlite")
    remove("struck.sqlite")
    least, live, partly = 0, 0, 0
    for _ in range(rounds):
        process = subprocess.Popen([PROGRAM, "sweep", "fast.yaml", *words, "--out",
                                    "struck.sqlite", "--quiet"], stdout=subprocess.DEVNULL,
                                   stderr=subprocess.DEVNULL)
        time.sleep(chance.uniform(0.0, longest_s))
        live += process.poll() is None
        process.kill()
        process.wait()
        if not os.path.exists("struck.sqlite"):
            continue
        found = rows("struck.sqlite")
        assert len(found) >= least, "a committed row was lost"
        assert all(wanted[n] == row for n, row in found.items())
        least = len(found)
        partly += 0 < least < len(wanted)
        if least == len(wanted):
            remove("struck.sqlite")
            least = 0
    sweep(*words, "--out", "struck.sqlite")
    assert dump("struck.sqlite") == dump("undisturbed.sqlite")
    assert not os.path.exists("struck.sqlite-wal"), "not one plain file at the end"
    assert live >= rounds // 3, ("too few kills met a live process", live)
    return live, partly


def test_killed_at_random_moments():
    chance = random.Random(SEED)
    computing = killed(LONG, 0.6, KILLS, chance)
    writing = killed(MIXED, 0.4, KILLS, chance)
    live, partly = computing[0] + writing[0], computing[1] + writing[1]
    print("   %d of %d kills met a live process, %d left part of the rows; NXW_SEED=%d" % (
        live, 2 * KILLS, partly, SEED))
    assert partly > 0, "no kill left committed rows: nothing was proved"


def limited(size):
    def limit():
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
    return limit


def test_full_disk_by_a_limit():
    sweep(*MIXED, "--out", "room.sqlite")
    wanted = rows("room.sqlite")
    for size in (0, 9000, 60000, 600000):
        remove("tight.sqlite")
        done = sweep(*MIXED, "--out", "tight.sqlite", code=6, preexec_fn=limited(size))
        assert done.stderr.startswith("noxwash: tight.sqlite: "), done.stderr
        found = rows("tight.sqlite") if os.path.exists("tight.sqlite") else {}
        assert all(wanted[n] == row for n, row in found.items()) and len(found) < len(wanted)
        assert len(found) > 0 or size < 600000, size
        sweep(*MIXED, "--out", "tight.sqlite")
        assert dump("tight.sqlite") == dump("room.sqlite"), size
    with open("/dev/full", "w") as full:
        done = subprocess.run([PROGRAM, "sweep", "fast.yaml", *REAL, "--csv", "--quiet"],
                              stdout=full, stderr=subprocess.PIPE, text=True, timeout=600)
    assert done.returncode == 6 and "standard output" in done.stderr, done


def test_full_disk_by_a_small_file_system():
    os.mkdir("small")
    mount = ["mount", "-t", "tmpfs", "-o", "size=512k", "tmpfs", "small"]
    if os.getuid() != 0 or subprocess.run(mount, capture_output=True).returncode != 0:
        print("   not run: a small file system cannot be mounted here")
        return
    try:
        done = sweep(*MIXED, "--out", "small/x.sqlite", code=6)
        assert "full" in done.stderr, done.stderr
        sweep(*MIXED, "--out", "room2.sqlite")
        wanted, found = rows("room2.sqlite"), rows("small/x.sqlite")
        assert found and all(wanted[n] == row for n, row in found.items())
        for name in os.listdir("small"):
            shutil.move(os.path.join("small", name), name)  # to where there is room
        sweep(*MIXED, "--out", "x.sqlite")
        assert dump("x.sqlite") == dump("room2.sqlite")
    finally:
        subprocess.run(["umount", "small"], check=True)


def interrupt(words, number, ready):
    """Signal a sweep once it has put something down, well before its end."""
    process = subprocess.Popen([PROGRAM, "sweep", "fast.yaml", *LONG, "--threads", "1", *words],
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    begun = ready(process)
    process.send_signal(number)
    out, err = process.stdout.read(), process.stderr.read()  # stderr: far less than a pipe holds
    process.wait(timeout=60)
    return process.returncode, begun + out, err


def rows_stand(process):
    """Waits for rows; a copy made while the sweep writes may miss a file or be of two moments."""
    while process.poll() is None:
        try:
            if rows("stopped.sqlite"):
                break
        except (FileNotFoundError, sqlite3.DatabaseError, AssertionError):
            pass
        time.sleep(0.01)
    return ""


def test_interrupt_keeps_rows():
    sweep(*LONG, "--out", "calm.sqlite")
    for number in (signal.SIGINT, signal.SIGTERM):
        remove("stopped.sqlite")
        code, out, err = interrupt(["--out", "stopped.sqlite"], number, rows_stand)
        found = rows("stopped.sqlite")
        assert code == 130 and out == "", (code, out)
        assert err == "noxwash: interrupted; %d of 557 cases are kept; the same command goes on " \
            "from there\n" % len(found), err
        assert 0 < len(found) < 557, len(found)
        sweep(*LONG, "--out", "stopped.sqlite")
        assert dump("stopped.sqlite") == dump("calm.sqlite")
    code, out, err = interrupt(["--csv"], signal.SIGINT,
                               lambda process: "".join(process.stdout.readline()
                                                       for _ in range(4)))
    assert code == 130 and out.endswith("\n"), (code, out[-200:])
    got = list(csv.DictReader(io.StringIO(out)))
    assert err.startswith("noxwash: interrupted; %d of 557 cases are kept\n" % len(got)), err
    whole = {r["case"]: r for r in csv.DictReader(io.StringIO(sweep(*LONG, "--csv").stdout))}
    assert got and all(whole[r["case"]] == r for r in got)


def peak_MB(process):
    """Peak memory of a running process; ru_maxrss would count this interpreter's own."""
    peak_kB = 0
    while process.poll() is None:
        try:
            with open("/proc/%d/status" % process.pid) as status:
                for line in status:
                    if line.startswith("VmHWM:"):
                        peak_kB = int(line.split()[1])
        except OSError:
            pass
        time.sleep(0.002)
    return peak_kB / 1024.0


def test_memory_does_not_grow():
    """100 000 cases below 60 MB, and hardly more than 1000 cases take."""
    peaks = []
    for n in (1000, 100000):
        remove("many.sqlite")
        process = subprocess.Popen([PROGRAM, "sweep", "fast.yaml", "--vary",
                                    "train[1].liquid=231:%d:1 mL" % (230 + n), "--out",
                                    "many.sqlite", "--quiet"], stdout=subprocess.DEVNULL)
        peaks.append(peak_MB(process))
        assert process.returncode == 0 and len(rows("many.sqlite")) == n
    print("   peak memory: %.1f MB for 1000 cases, %.1f MB for 100000" % tuple(peaks))
    assert 1.0 < peaks[0] and peaks[1] < 60.0 and peaks[1] - peaks[0] < 8.0, peaks


def main():
    folder = tempfile.mkdtemp()
    failures = 0
    try:
        os.chdir(folder)
        with open("fast.yaml", "w") as f:
            f.write(FAST)
        for name, test in list(globals().items()):
            if not name.startswith("test_"):
                continue
            started = time.time()
            try:
                test()
                print("good %-48s %6.1f s" % (name, time.time() - started), flush=True)
            except (AssertionError, subprocess.SubprocessError, OSError, sqlite3.Error) as e:
                failures += 1
                line = traceback.extract_tb(e.__traceback__)[-1].lineno
                print("FAIL %s, line %d: %s: %s" % (name, line, type(e).__name__, str(e)[:1500]),
                      flush=True)
    finally:
        os.chdir("/")
        shutil.rmtree(folder)
    return 1 if failures else 0


sys.exit(main())
