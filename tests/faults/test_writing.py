"""Writes that fail: a full disk, a closed pipe, a folder that may not be written, a limit on the size
of files, renames and flushes that are refused. The exit status is 6, the text says what could not be
written, and what stood there before is untouched.
"""
import os
import resource
import signal
import subprocess
import tempfile

from machine import CASES, LECTURE, PROGRAM, RUN, Outcome, run_tests

STREAM = "noxwash: standard output could not be written"
TWO = ["--vary", "train[1].liquid=100,110 mL", "--threads", "1", "--quiet"]
PRINTING = [
    ["help"], ["help", "--man"], ["--version"], ["new", "metered"], ["constants"],
    ["constants", "--json"], ["estimate", "--quick", LECTURE],
    ["estimate", "--quick", "--json", LECTURE], ["estimate", "--resolved", LECTURE],
    ["estimate", "--check", LECTURE], ["report", "--quick", LECTURE],
    ["sweep", LECTURE, *TWO, "--csv"], ["sweep", LECTURE, *TWO, "--json-lines"],
    ["sweep", LECTURE, *TWO, "--out", "rows.sqlite"], ["balance", RUN],
    ["balance", "--json", RUN], ["strength", "--chart"],
    ["strength", "--strength", "5 wt%", "--json"],
    ["blend", "--part", "150 mL, 6.7 wt% acid", "--target", "3 wt%"],
    ["selftest"], ["selftest", "--json"],
]
WRITING = {
    "series.csv": ["estimate", "--quick", "--series", "series.csv", LECTURE],
    "page.html": ["report", "--quick", "--out", "page.html", LECTURE],
    "course.svg": ["estimate", "--quick", "--svg", "course.svg", LECTURE],
    "curve.svg": ["sweep", LECTURE, *TWO, "--out", "rows.sqlite", "--svg", "curve.svg"],
}
OLD = b"what stood here before\n"


def old(*names):
    def put(folder):
        for name in names:
            with open(os.path.join(folder, name), "wb") as file:
                file.write(OLD)
    return put


def is_io(got, text):
    assert got.code == 6, got
    assert got.err.count(text) == 1 or text == "", got
    assert not [name for name in got.files if name.count(".") > 1], got # no temporary file


def test_full_disk_behind_standard_output():
    for words in PRINTING:
        with open("/dev/full", "wb") as full:
            is_io(Outcome(words, stdout=full), STREAM)


def test_closed_standard_output():
    for words in PRINTING[::3]:
        is_io(Outcome(words, stdout=None, preexec_fn=lambda: os.close(1)), STREAM)


def closed_pipe(words, **more):
    ends = os.pipe()
    os.close(ends[0])
    try:
        return Outcome(words, stdout=ends[1], **more)
    finally:
        os.close(ends[1])


def test_closed_pipe():
    """As other programs of a pipeline do: ended by the signal, or told where it is ignored."""
    for words in PRINTING[::3]:
        got = closed_pipe(words) # Python's child gets the signal back as it is by default
        assert got.code == -signal.SIGPIPE and got.err == "", got
        is_io(closed_pipe(words, restore_signals=False), STREAM)


def test_folder_that_may_not_be_written():
    def nobody():
        os.setgroups([])
        os.setgid(65534)
        os.setuid(65534)

    def read_only(folder):
        os.chmod(folder, 0o555)

    with tempfile.TemporaryDirectory() as shared: # the program where nobody may reach it
        os.chmod(shared, 0o755)
        program = os.path.join(shared, "noxwash")
        case = os.path.join(shared, "lecture.yaml")
        subprocess.run(["cp", PROGRAM, program], check=True)
        subprocess.run(["cp", os.path.join(CASES, "lecture.yaml"), case], check=True)
        words = [["estimate", "--quick", "--series", "series.csv", case],
                 ["report", "--quick", "--out", "page.html", case],
                 ["sweep", case, *TWO, "--out", "rows.sqlite"]]
        for command in words:
            how = {"preexec_fn": nobody} if os.getuid() == 0 else {}
            got = Outcome(command, program, before=read_only, **how)
            assert got.code == 6 and not got.files, got
            assert "cannot be" in got.err, got
    got = Outcome(["estimate", "--quick", "--series", "there/is/none.csv", LECTURE])
    assert got.code == 6 and "No such file or directory" in got.err, got


def test_limit_on_the_size_of_files():
    """Whatever the byte at which it ends, the old file stays and no other is left."""
    for name, words in WRITING.items():
        whole = Outcome(words)
        assert whole.code == 0, whole
        size = len(whole.files[name])
        assert size > 1000, size
        for limit in [0, 1, size // 3, size - 1]:
            def limited(limit=limit):
                resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
            got = Outcome(words, before=old(name), preexec_fn=limited)
            assert got.code == 6, (name, limit, got)
            if name == "curve.svg" and "rows.sqlite: " in got.err:
                assert got.files[name] == OLD, got # the database met the limit first
                continue
            assert got.files[name] == OLD, (name, limit, got)
            is_io(got, "")


def test_full_disk_behind_files():
    """A file system with less room than a file takes, and one whose last page is missing."""
    with tempfile.TemporaryDirectory() as folder:
        for name, words in WRITING.items():
            rows = os.path.join(folder, "rows.sqlite")
            words = [rows if word == "rows.sqlite" else word for word in words] # where there is room
            size = len(Outcome(words).files[name])
            for pages in {1, (size - 1) // 4096} - {0}:
                small = os.path.join(folder, "small")
                os.mkdir(small)
                mount = ["mount", "-t", "tmpfs", "-o", "size=%dk" % (4 * pages), "tmpfs", small]
                if os.getuid() != 0 or subprocess.run(mount, capture_output=True).returncode != 0:
                    print("   not run: a small file system cannot be mounted here")
                    return
                try:
                    there = [os.path.join(small, w) if w == name else w for w in words]
                    got = Outcome(there)
                    is_io(got, "No space left on device")
                    assert os.listdir(small) == [], os.listdir(small)
                finally:
                    subprocess.run(["umount", small], check=True)
                    os.rmdir(small)


def test_refused_renames_and_flushes():
    for calls in ("rename", "fsync"):
        for name, words in WRITING.items():
            if name == "curve.svg" and calls == "fsync":
                continue # the database's flushes come first, of which below
            got = Outcome(words, calls=calls, at=1, before=old(name))
            assert got.calls is not None and got.calls >= 1, got
            is_io(got, "no picture" if name.endswith(".svg") else name)
            assert got.files[name] == OLD, got


def test_refused_flushes_of_a_database():
    """Each flush refused: exit 6 and a word, or rows that are whole; the next run mends it."""
    words = WRITING["curve.svg"][:-2]
    whole = Outcome(words, calls="fsync")
    for n in range(1, whole.calls + 1):
        got = Outcome(words, calls="fsync", at=n)
        assert got.code in (0, 6), got
        assert got.code == 0 or "rows.sqlite: " in got.err, got


run_tests(globals())
