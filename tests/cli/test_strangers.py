"""Input from strangers: pipes and devices named in a file, and text that would steer a terminal.

usage: test_strangers.py PROGRAM
"""
import json
import os
import shutil
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
CASE = """source: {kind: acid vapour, acid made: 0.60 mol, decomposed: 35 %, duration: 40 min}
train: [{glass: washing bottle 250 mL, liquid: 150 mL}]
"""
RUN = "charge: {nitrogen: 0.6 mol}\nfound: [{where: scrubber, nitrogen: 0.1 mol}]\n"
UNKNOWN = ["--unknown", "source.decomposed=10:60 %"]
ODD = "it is a pipe, a device or a folder; an ordinary file is wanted"


def run(*words, code, **more):
    """A program that waits for a pipe is ended after a few seconds and fails the test."""
    done = subprocess.run([PROGRAM, *words], capture_output=True, timeout=20, **more)
    assert done.returncode == code, (words, done.returncode, code, done.stderr[-600:])
    return done.stdout.decode(), done.stderr.decode()


def run_any(*words):
    return subprocess.run([PROGRAM, *words], capture_output=True, timeout=20).stderr.decode()


def write(name, text):
    with open(name, "w", encoding="utf-8") as f:
        f.write(text)
    return name


# -------------------------------------------------------------------------- pipes, devices

def test_odd_files_named_in_a_file():
    os.mkfifo("pipe")
    os.mkdir("folder")
    odd = ["pipe", "folder"]
    if os.getuid() == 0:
        os.mknod("zeros", 0o20600, os.makedev(1, 5))
        odd.append("zeros")
    shape = CASE.replace("duration: 40 min", "duration: 40 min, shape: file, file: FILE")
    for name in odd:
        table = write("table.yaml", shape.replace("FILE", name))
        for words in (["estimate", "--check"], ["report"],
                      ["sweep", "--csv", "--vary", "train[1].liquid=100 mL"]):
            out, err = run(*words, table, code=3)
            assert out == "" and "table.yaml:1:" in err, err
            assert "table '%s' cannot be opened: %s" % (name, ODD) in err, err
        by_case = write("by-case.yaml", RUN + "case: %s\n" % name)
        for words in (["balance"], ["fit", *UNKNOWN]):
            out, err = run(*words, by_case, code=3)
            assert out == "" and err.startswith("by-case.yaml:3:7: the case '%s' cannot be used: "
                                                "cannot be opened: %s" % (name, ODD)), err
        write("case.yaml", CASE)
        by_log = write("by-log.yaml", RUN + "case: case.yaml\nlog: %s\n" % name)
        out, err = run("fit", *UNKNOWN, by_log, code=3)
        assert err == "by-log.yaml:4:6: log '%s' cannot be opened: %s\n" % (name, ODD), err


def test_a_pipe_on_the_command_line():
    """It is the user's own: a case may come out of another program."""
    out, _ = run("estimate", "--quick", "/dev/stdin", code=0, input=CASE.encode())
    direct, _ = run("estimate", "--quick", write("case.yaml", CASE), code=0)
    assert out == direct.replace("case.yaml", "/dev/stdin")
    os.mkfifo("late")
    with open("late.out", "w") as f:
        waiting = subprocess.Popen([PROGRAM, "estimate", "--check", "late"], stdout=f)
    with open("late", "w") as f:  # opened for writing only when somebody reads
        f.write(CASE)
    assert waiting.wait(timeout=20) == 0
    with open("late.out") as f:
        assert f.read() == "late: no faults found\n"


# --------------------------------------------------------------- what a run writes, and over

def test_no_file_of_the_run_is_overwritten():
    """The case, its table, the case beside it, the database, the course: whatever its name."""
    table = write("own.csv", "time_s,strength\n0,1\n60,2\n2400,1\n")
    write("case.yaml", CASE.replace("duration: 40 min", "duration: 40 min, shape: file, file: %s"
                                    % table))
    write("other.yaml", CASE)
    write("run.yaml", RUN + "case: other.yaml\n")
    os.link("case.yaml", "hard.yaml")
    kept = {n: open(n, "rb").read() for n in os.listdir(".")}
    vary = ["sweep", "case.yaml", "--vary", "train[1].liquid=100,150 mL", "--quiet"]
    said = "this run has read or written that file itself"
    for words, name in (
            ([*vary, "--svg", "case.yaml"], "case.yaml"), ([*vary, "--svg", "hard.yaml"], "hard"),
            ([*vary, "--svg", "own.csv"], "own.csv"),
            ([*vary, "--out", "own.sqlite", "--svg", "own.sqlite"], "own.sqlite"),
            (["estimate", "--quick", "case.yaml", "--svg", "own.csv"], "own.csv"),
            (["estimate", "--quick", "case.yaml", "--svg", "hard.yaml"], "hard"),
            (["estimate", "--quick", "case.yaml", "--series", "own.csv"], "own.csv"),
            (["estimate", "--quick", "case.yaml", "--against", "other.yaml", "--svg",
              "other.yaml"], "other.yaml"),
            (["estimate", "--quick", "case.yaml", "--series", "both", "--svg", "both"], "both"),
            (["report", "--quick", "case.yaml", "--out", "own.csv"], "own.csv")):
        _, err = run(*words, code=6)
        assert said in err, (words, err)
    for name, text in kept.items():
        assert open(name, "rb").read() == text, name
    assert open("own.sqlite", "rb").read(6) == b"SQLite"
    assert open("both").read(6) == "time_s"
    run("report", "--quick", "case.yaml", "--out", "both", code=0)  # of another run: replaced
    assert "<!DOCTYPE html>" in open("both").read(20)
    assert not [n for n in os.listdir(".") if len(n.rsplit(".", 1)[-1]) == 6 and "." in n
                and n.rsplit(".", 1)[-1] != "sqlite"], os.listdir(".")


def test_messages_stay_out_of_files():
    """With standard error closed, the first file opened would have its number."""
    write("case.yaml", CASE)
    words = [PROGRAM, "report", "--quick", "case.yaml", "--out"]
    for redirection, name in (("", "open.html"), ("2>&-", "no-error.html"), ("<&- 2>&-", "no.html"),
                              (">&- 2>&-", "neither.html"), ("<&-", "no-input.html")):
        done = subprocess.run(["sh", "-c", 'PATH=/nonexistent; export PATH; exec "$@" ' + redirection,
                               "sh", *words, name], capture_output=True, timeout=20)
        assert done.returncode == 0, (redirection, done)
        assert ("no curves" in done.stderr.decode()) == ("2>" not in redirection), done.stderr
        assert open(name, "rb").read() == open("open.html", "rb").read(), redirection
    done = subprocess.run(["sh", "-c", '"$@" >&-', "sh", PROGRAM, "estimate", "--check", "case.yaml"],
                          capture_output=True, timeout=20)
    assert done.returncode == 6, done
    assert done.stderr == b"noxwash: standard output could not be written\n", done.stderr


def test_no_database_is_made_through_a_link():
    write("case.yaml", CASE)
    vary = ["--vary", "train[1].liquid=100,150 mL", "--quiet"]
    run("sweep", "case.yaml", *vary, "--out", "part.sqlite", code=0)
    os.mkdir("elsewhere")
    write("elsewhere/empty", "")
    os.symlink("elsewhere/empty", "to-empty")
    os.symlink("elsewhere/absent", "to-absent")
    os.symlink("part.sqlite", "to-part")
    for name in ("to-empty", "to-absent", "to-part"):
        for words in (["sweep", "case.yaml", *vary, "--out", name], ["merge", name, "part.sqlite"]):
            _, err = run(*words, code=3)
            assert err.startswith("noxwash: %s is a link; name the file itself" % name), err
    assert os.listdir("elsewhere") == ["empty"] and os.path.getsize("elsewhere/empty") == 0
    assert os.path.islink("to-absent")
    run("merge", "whole.sqlite", "to-part", code=0)  # a part is only read


# ----------------------------------------------------------------------------- terminal

HIDDEN = [0x01, 0x07, 0x08, 0x1b, 0x7f, 0x80, 0x9b, 0x9f, 0x61c, 0x200e, 0x200f, 0x2028, 0x2029,
          *range(0x202a, 0x202f), *range(0x2066, 0x206a)]
SHOWN = [0x20, 0xa0, 0xb0, 0xe9, 0x2013, 0x2082, 0x202f, 0x2065, 0x206a, 0x1d11e]


def places(text):
    """A hostile text wherever a file may hold one of its own."""
    yield ["estimate", "--check"], 'name: "a%sb"\n' % text + CASE
    yield ["estimate", "--check"], CASE + 'prices: {currency: "%s"}\n' % text
    yield ["estimate", "--check"], CASE + '"key%s": 1\n' % text
    yield ["estimate", "--check"], CASE.replace("acid vapour", '"acid vapour%s"' % text)
    yield ["balance"], RUN.replace("scrubber", '"scrubber%s"' % text)
    yield ["balance"], 'name: "a%sb"\n' % text + RUN
    yield ["fit", *UNKNOWN], RUN + 'case: {source: {kind: "%s"}}\n' % text


def is_plain(text):
    return not [c for c in text if ord(c) in HIDDEN]


def test_characters_are_judged_after_decoding():
    count = 0
    for code in HIDDEN:
        ways = ["\\u%04x" % code] + (["\\x%02x" % code] if code < 0x100 else [])
        for way in ways:
            for words, text in places(way):
                out, err = run(*words, write("hostile.yaml", text), code=3)
                assert out == "" and is_plain(err), (way, err)
                assert "(U+%04X) is not accepted, not as an escape either" % code in err, err
                count += 1
        document = json.dumps({"name": "a%sb" % chr(code)})  # escapes all but DEL, which is raw
        out, err = run("estimate", "--check", write("hostile.json", document), code=3)
        assert out == "" and is_plain(err) and "(U+%04X) is not accepted" % code in err, err
    assert count > 200, count


def test_characters_as_they_are():
    for code in HIDDEN:
        for words, text in places(chr(code)):
            out, err = run(*words, write("hostile.yaml", text), code=3)
            assert out == "" and is_plain(err) and "(U+%04X) is not accepted" % code in err, err


def test_letters_and_signs_stay():
    for code in SHOWN:
        for way in (chr(code), "\\U%08x" % code):
            out, _ = run("estimate", "--quick", "--json",
                         write("good.yaml", 'name: "a%sb"\n' % way + CASE), code=0)
            assert json.loads(out)["case"]["name"] == "a%sb" % chr(code), (code, way)


def test_labels_are_whole_or_refused():
    """Cut after so many bytes, a label would end in half a letter, and JSON would lose it."""
    price = "prices: {peroxide: 4 @ per L}\n"
    put_in = "put in: [{where: @, liquid: '150 mL, water'}]\n"
    for words, text, key, most in (
            (["estimate", "--check"], CASE + "name: @\n", "text of 'name'", 95),
            (["estimate", "--check"], CASE + "prices: {currency: @}\n", "text of 'currency'", 15),
            (["estimate", "--check"], CASE + price, "currency of 'peroxide'", 15),
            (["balance"], RUN + "name: @\n", "text of 'name'", 95),
            (["balance"], RUN + "cost: {currency: @}\n", "text of 'currency'", 15),
            (["balance"], RUN + put_in, "text of 'where'", 47)):
        whole = "é" * (most // 2) + "x"  # most bytes: é has two
        _, err = run(*words, write("long.yaml", text.replace("@", whole + "x")), code=3)
        assert "the %s is longer than %d bytes" % (key, most) in err, err
        name = write("whole.yaml", text.replace("@", whole))
        if words == ["balance"]:
            assert "longer" not in run_any(*words, name)
        else:
            run(*words, name, code=0)
    name = write("whole.yaml", CASE + "prices: {currency: ééééééé, peroxide: 4 per L}\n")
    assert json.loads(run("remedies", "--json", name, code=0)[0])["currency"] == "é" * 7


def test_tables_and_logs():
    """What a message quotes of them."""
    shape = CASE.replace("duration: 40 min", "duration: 40 min, shape: file, file: t.csv")
    write("case.yaml", CASE)
    for hostile in ("\x1b[31m", "\u202e", "\x9b"):
        write("t.csv", "time_s,strength\n0,%s\n" % hostile)
        _, err = run("estimate", "--check", write("table.yaml", shape), code=3)
        assert is_plain(err) and "table 't.csv', line 2" in err, err
        write("log.csv", "time_s,temperature_degC\n0,%s\n" % hostile)
        by_log = write("by-log.yaml", RUN + "case: case.yaml\nlog: log.csv\n")
        _, err = run("fit", *UNKNOWN, by_log, code=3)
        assert is_plain(err) and "log 'log.csv', line 2" in err, err


def test_words_of_the_command_line():
    write("case.yaml", CASE)
    hostile = "a\x1b]0;x\x07.yaml"
    write(hostile, CASE)
    for words, at, number in ((["estimate", hostile], 2, 2),
                      (["sweep", "case.yaml", "--vary", "name=a,\u202eb", "--csv"], 8, 4),
                      (["sweep", "case.yaml", "--vary", "name=a", "--out", "\x9b.sqlite"], 1, 6),
                      (["fit", "case.yaml", "--unknown", "a\rb=1:2"], 2, 4),
                      (["\x1b[2J"], 1, 1), (["help", "\u2066"], 1, 2)):
        before = sorted(os.listdir("."))
        out, err = run(*words, code=2)
        assert out == "" and is_plain(err), err
        assert err.startswith("noxwash: word %d of the command line holds " % number), err
        assert " at byte %d; " % at in err, err
        assert sorted(os.listdir(".")) == before
    _, err = run("estimate", b"\x9b31m.yaml", code=2)  # bytes of a terminal that knows no UTF-8
    assert "a control character (U+009B) at byte 1" in err, err
    out, _ = run("sweep", "case.yaml", "--vary", "name=süß,b°", "--csv", "--quiet", code=0)
    assert "süß" in out


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
        except (AssertionError, subprocess.SubprocessError, OSError) as error:
            failed += 1
            print("FAILED", name, type(error).__name__, str(error)[:800], flush=True)
        finally:
            os.chdir(home)
            shutil.rmtree(folder)
    return 1 if failed else 0


sys.exit(main())
