"""Databases of strangers: whatever merge and sweep are given, no text of theirs is run, no other file is
touched, nothing hangs, and what no sweep would have written is refused.

usage: test_doctored.py PROGRAM
"""
import glob
import hashlib
import os
import shutil
import signal
import sqlite3
import struct
import subprocess
import sys
import tempfile
import time

PROGRAM = os.path.abspath(sys.argv[1])
FAST = """source: {kind: metered, flow: 0.2 L/min, NO2: 5 % by volume, duration: 2 min}
train:
  - {glass: washing bottle 250 mL, liquid: 150 mL}
after: {standing: 0 min}
numerics: {relative tolerance: 1e-3, slices: 2, isothermal: yes}
"""
VARY = ["--vary", "train[1].liquid=101:140:1 mL", "--threads", "1", "--quiet"]  # 40 cases
MANY = ["--vary", "train[1].liquid=101:201:0.00005 mL", "--quiet"]  # 2 000 001 cases
ENDLESS = "WITH RECURSIVE c(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM c) "


def run(*words, code=0):
    """A program that hangs is ended and fails the test."""
    done = subprocess.run([PROGRAM, *words], capture_output=True, timeout=30)
    assert done.returncode == code, (words, done.returncode, code, done.stderr[-600:])
    return done.stderr.decode()


def files():
    """Everything here, by name."""
    found = {}
    for name in sorted(glob.glob("**", recursive=True)):
        found[name] = os.lstat(name).st_mode
        if os.path.isfile(name) and not os.path.islink(name):
            with open(name, "rb") as f:
                found[name] = hashlib.sha256(f.read()).hexdigest()
    return found


# ------------------------------------------------------------------------------- doctors

def say(path, *statements):
    db = sqlite3.connect(path, isolation_level=None)
    for statement in statements:
        db.execute(statement)
    db.close()


def schema(path, change):
    """Write into the schema itself what no statement could."""
    db = sqlite3.connect(path, isolation_level=None)
    db.execute("PRAGMA writable_schema = ON")
    (text,) = db.execute("SELECT sql FROM sqlite_master WHERE name = 'rows'").fetchone()
    column, value = change(text)
    db.execute("UPDATE sqlite_master SET %s = ? WHERE name = 'rows'" % column, (value,))
    db.close()


def more_columns(text):
    return lambda sql: ("sql", sql[:-1] + ", " + text + ")")


def insert(path, number, **cells):
    """Another row like the first, or a changed one."""
    db = sqlite3.connect(path, isolation_level=None)
    names = [r[1] for r in db.execute("PRAGMA table_info(rows)")]
    row = dict(zip(names, db.execute("SELECT * FROM rows").fetchone()), case=number, **cells)
    db.execute("INSERT OR REPLACE INTO rows VALUES (%s)" % ",".join("?" * len(names)),
               [row[name] for name in names])
    db.close()


def damage(path):
    size = os.path.getsize(path)
    with open(path, "r+b") as f:
        f.seek(size // 2 // 4096 * 4096)
        f.write(b"\xff" * 600)


def share_a_page(path):
    """Both tables in the same pages: what goes into one would go into the other."""
    db = sqlite3.connect(path)
    (root,) = db.execute("SELECT rootpage FROM sqlite_master WHERE name = 'about'").fetchone()
    db.close()
    schema(path, lambda sql: ("rootpage", root))


def about(key, value):
    def change(path):
        db = sqlite3.connect(path, isolation_level=None)
        db.execute("UPDATE about SET value = ? WHERE key = ?", (value, key))
        db.close()
    return change


ATTACK = ("; ATTACH 'victim.sqlite' AS v; DELETE FROM v.kept; CREATE TABLE v.taken (a)"
          "; ATTACH 'new.sqlite' AS w; CREATE TABLE w.made (a)")
NO_SWEEP = "holds what no sweep puts there: the "
NOT_MADE = "holds a table 'rows' that is not made as this version of the program makes it"
CELL = "holds in case 1 what no sweep writes there, in the column "
DOCTORS = {  # what is done to a part, what is said of it
    "statements in the schema": (lambda p: schema(p, lambda s: ("sql", s + ATTACK)), NOT_MADE),
    "endless view": (lambda p: say(p, "DROP TABLE rows", "CREATE VIEW rows AS " + ENDLESS +
                                   'SELECT x AS "case" FROM c'), NO_SWEEP + "view 'rows'"),
    "trigger": (lambda p: say(p, "CREATE TRIGGER t AFTER INSERT ON rows BEGIN DELETE FROM about; END"),
                NO_SWEEP + "trigger 't'"),
    "further table": (lambda p: say(p, "CREATE TABLE extra (a)"), NO_SWEEP + "table 'extra'"),
    "further index": (lambda p: say(p, "CREATE INDEX i ON rows (abs(kept_mol))"),
                      NO_SWEEP + "index 'i'"),
    "further view": (lambda p: say(p, "CREATE VIEW v AS " + ENDLESS + "SELECT x FROM c"),
                     NO_SWEEP + "view 'v'"),
    "name that steers": (lambda p: say(p, 'CREATE TABLE "\x1b[2J\u202e" (a)'),
                         NO_SWEEP + "table '?[2J???'"),
    "virtual table": (lambda p: say(p, "DROP TABLE rows", "CREATE VIRTUAL TABLE rows USING fts5(a)"),
                      NO_SWEEP + "table 'rows'"),
    "generated column": (lambda p: schema(p, more_columns("g AS (zeroblob(1000000))")), NOT_MADE),
    "check": (lambda p: schema(p, more_columns("CHECK (length(hex(zeroblob(900000))) > 0)")), NOT_MADE),
    "default": (lambda p: say(p, "ALTER TABLE rows ADD COLUMN d DEFAULT 7"), NOT_MADE),
    "column more": (lambda p: say(p, "ALTER TABLE rows ADD COLUMN d REAL"), NOT_MADE),
    "no table": (lambda p: say(p, "DROP TABLE rows"), "lacks a table of a sweep"),
    "no mark": (lambda p: say(p, "PRAGMA application_id = 0"), "is a database, but not of a sweep"),
    "other mark": (lambda p: say(p, "PRAGMA application_id = 7"), "is a database, but not of a sweep"),
    "damage": (damage, "is damaged ("),
    "shared pages": (share_a_page, "is damaged ("),
    "huge cell": (lambda p: insert(p, 1, reason="x" * 3000000), "too big"),
    "long cell": (lambda p: insert(p, 1, reason="x" * 100000), CELL + "'reason'"),
    "text that steers": (lambda p: insert(p, 1, reason="\x1b[2J"), CELL + "'reason'"),
    "text for a figure": (lambda p: insert(p, 1, kept_mol="much"), CELL + "'kept_mol'"),
    "blob for a figure": (lambda p: insert(p, 1, kept_mol=b"\x00\x01"), CELL + "'kept_mol'"),
    "no figure but infinity": (lambda p: insert(p, 1, kept_mol=float("inf")), CELL + "'kept_mol'"),
    "status": (lambda p: insert(p, 1, status="good"), CELL + "'status'"),
    "case of another part": (lambda p: insert(p, 2), "holds a case 2, which is none of part 1/2 of 40"),
    "case beyond all": (lambda p: insert(p, 41), "holds a case 41, which is none of part 1/2 of 40"),
    "case below all": (lambda p: insert(p, -1), "holds a case -1, which is none of part 1/2 of 40"),
    "path that steers": (about("case_path", "a\x9b2J.yaml"), "holds in the table 'about' what no"),
    "blob in about": (about("case_path", b"\xff\x00"), "holds in the table 'about' what no"),
    "long text in about": (about("case_path", "x" * 9000), "holds in the table 'about' what no"),
    "missing key": (lambda p: say(p, "DELETE FROM about WHERE key = 'case_hash'"),
                    "does not tell the 'case_hash' of its sweep"),
}


def one_line(err, path, told):
    assert err.startswith("noxwash: " + path) and err.endswith("\n") and err.count("\n") == 1, err
    assert told in err, (told, err)
    assert all(c.isprintable() for c in err[:-1]), err


def begin():
    with open("fast.yaml", "w") as f:
        f.write(FAST)
    say("victim.sqlite", "CREATE TABLE kept (a)", "INSERT INTO kept VALUES (1), (2)")
    for i in (1, 2):
        run("sweep", "fast.yaml", *VARY, "--part", "%d/2" % i, "--out", "part%d.sqlite" % i)


def refused(words, path, told):
    before = files()
    one_line(run(*words, code=3), path, told)
    after = files()
    assert before == after, (words, [n for n in {**before, **after} if before.get(n) != after.get(n)])


def test_doctored_databases():
    begin()
    for name, (doctor, told) in DOCTORS.items():
        shutil.copy("part1.sqlite", "doctored.sqlite")
        doctor("doctored.sqlite")
        try:
            refused(["merge", "out.sqlite", "part2.sqlite", "doctored.sqlite"], "doctored.sqlite", told)
            refused(["merge", "out.sqlite", "doctored.sqlite", "part2.sqlite"], "doctored.sqlite", told)
            refused(["merge", "doctored.sqlite", "part2.sqlite"], "doctored.sqlite", told)
            refused(["sweep", "fast.yaml", *VARY, "--part", "1/2", "--out", "doctored.sqlite"],
                    "doctored.sqlite", told)
        except (AssertionError, subprocess.TimeoutExpired) as error:
            raise AssertionError("%s: %s" % (name, error)) from error
    assert len(DOCTORS) > 25
    db = sqlite3.connect("victim.sqlite")
    assert db.execute("SELECT count(*) FROM kept").fetchone() == (2,)
    db.close()


def test_sweeps_own_tell_tales():
    """What a sweep compares before it goes on: another's values and columns."""
    begin()
    go_on = ["sweep", "fast.yaml", *VARY, "--part", "1/2", "--out", "doctored.sqlite"]
    for key, value, told in (("cases", "99999999999999999999", "holds another sweep"),
                             ("part", "0/0", "holds another part of the sweep"),
                             ("case_hash", "\u00e4" * 150, "is of another case")):
        shutil.copy("part1.sqlite", "doctored.sqlite")
        about(key, value)("doctored.sqlite")
        refused(go_on, "doctored.sqlite", told)
    for key, value in (("cases", "99999999999999999999"), ("part", "0/0"), ("part", "1/"), ("cases", "")):
        shutil.copy("part1.sqlite", "doctored.sqlite")
        about(key, value)("doctored.sqlite")
        refused(["merge", "out.sqlite", "doctored.sqlite"], "doctored.sqlite",
                "does not tell which cases of a sweep it holds")
    run("sweep", "fast.yaml", "--vary", "after.standing=1:40:1 min", "--threads", "1", "--quiet",
        "--part", "1/2", "--out", "doctored.sqlite", code=3)
    os.remove("doctored.sqlite")
    run("sweep", "fast.yaml", "--vary", "after.standing=1:40:1 min", "--threads", "1", "--quiet",
        "--part", "1/2", "--out", "doctored.sqlite")
    about("vary_1", VARY[1])("doctored.sqlite")  # another sweep's columns under this sweep's name
    db = sqlite3.connect("part1.sqlite")
    (own,) = db.execute("SELECT value FROM about WHERE key = 'case_hash'").fetchone()
    db.close()
    about("case_hash", own)("doctored.sqlite")
    refused(go_on, "doctored.sqlite", "holds the columns of another sweep")
    refused(["merge", "out.sqlite", "part2.sqlite", "doctored.sqlite"], "doctored.sqlite",
            "holds other columns than out.sqlite")


# --------------------------------------------------------------------------- files beside

def test_files_beside():
    begin()
    go_on = ["sweep", "fast.yaml", *VARY, "--part", "1/2", "--out", "part1.sqlite"]
    merge = ["merge", "out.sqlite", "part2.sqlite", "part1.sqlite"]
    odd = "has a file beside it that no sweep leaves there"
    for tail in ("-journal", "-wal", "-shm"):
        name = "part1.sqlite" + tail
        os.mkfifo(name)  # to open it would be to wait for ever
        refused(go_on, "part1.sqlite", odd)
        refused(merge, "part1.sqlite", odd)
        os.remove(name)
        for link in (os.symlink, os.link):
            link("victim.sqlite", name)
            refused(go_on, "part1.sqlite", odd)
            refused(merge, "part1.sqlite", odd)
            os.remove(name)
    for name in ("fifo", "folder"):
        os.mkfifo(name) if name == "fifo" else os.mkdir(name)
        refused(["merge", "out.sqlite", "part1.sqlite", name], name, "is not an ordinary file")
        refused(["sweep", "fast.yaml", *VARY, "--out", name], name, "is not an ordinary file")


def test_a_journal_that_names_another_file():
    """SQLite removes the file that a journal names as the one it shares with other databases."""
    begin()
    victim = os.path.abspath("letter.txt")
    with open(victim, "w") as f:
        f.write("what nobody may remove\n")
    with open("part1.sqlite", "rb") as f:
        page = f.read(4096)
    size = os.path.getsize("part1.sqlite") // 4096
    name = victim.encode()
    end = bytes.fromhex("d9d505f920a163d7")
    nonce = 7
    total = (nonce + sum(page[i] for i in range(4096 - 200, 0, -200))) % 2**32
    head = struct.pack(">8sIIIII", end, 1, nonce, size, 512, 4096).ljust(512, b"\0")
    record = struct.pack(">I", 1) + page + struct.pack(">I", total)
    lock_page = 2**30 // 4096 + 1
    with open("part1.sqlite-journal", "wb") as f:
        f.write(head + record + struct.pack(">I", lock_page) + name +
                struct.pack(">II", len(name), sum(name)) + end)
    refused(["sweep", "fast.yaml", *VARY, "--part", "1/2", "--out", "part1.sqlite"], "part1.sqlite",
            "has a file beside it that no sweep leaves there")
    assert os.path.exists(victim)


def test_an_unfinished_part():
    """Killed: its last rows stand in a file beside it, which merge neither leaves out nor mends."""
    with open("fast.yaml", "w") as f:
        f.write(FAST)
    slow = ["--vary", "train[1].liquid=101:141:0.01 mL", "--threads", "1", "--quiet"]
    words = ["sweep", "fast.yaml", *slow, "--part", "1/2", "--out", "part.sqlite"]
    process = subprocess.Popen([PROGRAM, *words], stdout=subprocess.DEVNULL)
    while not os.path.exists("part.sqlite-wal") or os.path.getsize("part.sqlite-wal") < 100000:
        assert process.poll() is None
        time.sleep(0.005)
    process.kill()
    process.wait()
    refused(["merge", "out.sqlite", "part.sqlite"], "part.sqlite", "is not finished "
            "(part.sqlite-wal is beside it): run its sweep command once more, to the end")
    run(*words)
    run("merge", "out.sqlite", "part.sqlite", code=1)  # the other part is missing
    db = sqlite3.connect("out.sqlite")
    assert db.execute("SELECT count(*) FROM rows").fetchone() == (2001,)
    db.close()


def test_names_that_sqlite_reads_otherwise():
    begin()
    for name in (":memory:", "file:uri?mode=memory", "odd name%20#?.sqlite"):
        run("merge", name, "part1.sqlite", code=1)
        assert os.path.getsize(name) > 4096, name
        run("merge", name, "part2.sqlite")
        run("merge", "again.sqlite", name)
        os.remove("again.sqlite")
        os.remove(name)
        run("sweep", "fast.yaml", *VARY, "--out", name)
        assert os.path.getsize(name) > 4096, name


# ------------------------------------------------------------------------------- Ctrl-C

def interrupted(words, after_s):
    """Seconds from Ctrl-C to the end."""
    process = subprocess.Popen([PROGRAM, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    time.sleep(after_s)
    assert process.poll() is None, (words, process.communicate())
    began = time.monotonic()
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=30)
    took = time.monotonic() - began
    assert (process.returncode, out, err) == (130, b"", b"noxwash: interrupted\n"), (
        words, process.returncode, out, err)
    return took


def test_one_interrupt_is_enough():
    """A database that takes seconds to judge ends as interrupted; nothing is changed or left."""
    with open("fast.yaml", "w") as f:
        f.write(FAST)
    words = ["sweep", "fast.yaml", *MANY, "--out", "big.sqlite"]
    process = subprocess.Popen([PROGRAM, *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    while not os.path.exists("big.sqlite-wal") or os.path.getsize("big.sqlite-wal") < 100000:
        time.sleep(0.005)
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=30) == 130
    db = sqlite3.connect("big.sqlite", isolation_level=None)
    names = ['"%s"' % r[1] for r in db.execute("PRAGMA table_info(rows)")]
    (first,) = db.execute("SELECT min(\"case\") FROM rows").fetchone()
    db.execute("DELETE FROM rows WHERE \"case\" <> %d" % first)
    db.execute("PRAGMA journal_mode = OFF")
    db.execute("INSERT OR IGNORE INTO rows SELECT n.x, %s FROM rows, (WITH RECURSIVE n(x) AS (SELECT 1 "
               "UNION ALL SELECT x + 1 FROM n WHERE x < 600000) SELECT x FROM n) AS n"
               % ", ".join(names[1:]))
    db.close()
    before = files()
    slowest = max(interrupted(words, after_s) for words in
                  (words, ["merge", "out.sqlite", "big.sqlite"]) for after_s in (0.1, 0.4))
    print("   the slowest end took %.3f s" % slowest)  # a figure, no limit: the machine may be busy
    assert files() == before


def main():
    home = os.getcwd()
    failed = 0
    for name, test in list(globals().items()):
        if not name.startswith("test_"):
            continue
        folder = tempfile.mkdtemp()
        os.chdir(folder)
        try:
            test()
            print("ok", name, flush=True)
        except (AssertionError, subprocess.SubprocessError, OSError, sqlite3.Error) as error:
            failed += 1
            print("FAILED", name, type(error).__name__, str(error)[:1200], flush=True)
        finally:
            os.chdir(home)
            shutil.rmtree(folder)
    return 1 if failed else 0


sys.exit(main())
