"""Memory that runs out: one request refused, or that one and all later ones.

Runs under AddressSanitizer, so that a leak or a use of what is not there fails the test. Each
command must end either as it does with memory enough, to the byte, or with exit status 70 and a last
line that says "out of memory" (or 6 where the system says so of a file that is being made).
NXW_EVERY=1 tries every request; otherwise some 30 of each command, in a process of its own each.
"""
import os
import re
from concurrent.futures import ThreadPoolExecutor

from machine import CHECKED, COMMANDS, LECTURE, NO_COPIES, TWO, Outcome, in_copies, run_tests

TRIED = 30
# What the sanitizer does with a request of its own in a new thread.
NOT_OURS = re.compile(r"GetThreadStackTopAndBottom")
# The time a run took.
TIMES = re.compile(rb'"processor_ms": [0-9.e+-]+')
NO_CURVES = "noxwash: the report has no curves: "


def same(got, want):
    return TIMES.sub(b"", got) == TIMES.sub(b"", want)


def judge(name, n, got, whole, seen):
    what = "%s, request %d: %r" % (name, n, got)
    if got.code == 1 and NOT_OURS.search(got.err):
        seen["not ours"] += 1
        return
    if got.code == 0:
        assert same(got.out, whole.out), what
        assert set(got.files) == set(whole.files), what
        without = got.err.startswith(NO_CURVES)
        if name != "database" and not without: # its pages hold counters of changes
            assert got.files == whole.files, what
        seen["whole"] += 1
        return
    last = (got.err.splitlines() or [""])[-1]
    assert (got.code == 70 and last.endswith("out of memory")) or (
        got.code == 6 and last.endswith("Cannot allocate memory")), what
    assert all(name == "database" for _ in got.files), what # nothing half written
    seen["refused"] += 1


def try_all(name, forever):
    words = COMMANDS[name]
    whole = Outcome(words, CHECKED, "malloc")
    assert whole.code == 0 and whole.calls > 20, whole
    every = os.environ.get("NXW_EVERY") is not None
    tried = whole.calls if every else TRIED // 3 if forever else TRIED
    wrong = []
    seen = {"whole": 0, "refused": 0, "not ours": 0}

    def one(n):
        return n, Outcome(words, CHECKED, "malloc", n, forever)

    with ThreadPoolExecutor(2) as pool:
        outcomes = (in_copies(words, CHECKED, "malloc", forever) if every and name not in NO_COPIES
                    else pool.map(one, range(1, whole.calls + 1, max(1, whole.calls // tried))))
        for n, got in outcomes:
            try:
                judge(name, n, got, whole, seen)
            except AssertionError as error:
                wrong.append(str(error))
    if every:
        assert abs(sum(seen.values()) + len(wrong) - whole.calls) <= 30, (seen, whole.calls)
    print("  %-13s %5d requests%s: %s" % (name, whole.calls, " and all later" if forever else "",
                                          seen), flush=True)
    assert not wrong, "\n".join(wrong)
    assert seen["refused"] > 0, seen
    assert seen["not ours"] <= (20 if every else 4), seen # a few in each run and thread


def test_databases_from_before():
    """Going on with a database and merging parts: what is judged first is not doubted for want of
    memory, and no part is changed."""
    parts = {}
    for i in (1, 2):
        words = ["sweep", LECTURE, *TWO, "--part", "%d/2" % i, "--out", "part%d.sqlite" % i]
        parts.update(Outcome(words).files)

    def put(folder):
        for name, content in parts.items():
            with open(os.path.join(folder, name), "wb") as file:
                file.write(content)

    for words in (["merge", "whole.sqlite", *parts],
                  ["sweep", LECTURE, *TWO, "--part", "1/2", "--out", "part1.sqlite"]):
        whole = Outcome(words, CHECKED, "malloc", before=put)
        assert whole.code == 0 and whole.calls > 100, whole
        refused = 0
        for n in range(1, whole.calls + 1, 1 if os.environ.get("NXW_EVERY") else 1 + whole.calls // 40):
            got = Outcome(words, CHECKED, "malloc", n, before=put)
            if got.code == 1 and NOT_OURS.search(got.err):
                continue
            assert got.code == 0 or (got.code == 70 and got.err.endswith("out of memory\n")), (n, got)
            assert {name: got.files[name] for name in parts} == parts, (n, got)
            assert got.code == 0 or set(got.files) == set(parts), (n, got)
            refused += got.code == 70
        assert refused > 10, refused


def try_commands(forever):
    wrong = []
    for name in COMMANDS:
        try:
            try_all(name, forever)
        except AssertionError as error:
            wrong.append("%s: %s" % (name, error))
    assert not wrong, "\n\n".join(wrong)


def test_one_request_refused():
    try_commands(False)


def test_all_later_requests_refused():
    try_commands(True)


run_tests(globals())
