"""Runs of the program on a machine that fails, shared by the tests of this folder.

usage of each test: test_*.py PROGRAM CHECKED-PROGRAM FAILING-CALLS-LIBRARY
"""
import os
import subprocess
import sys
import tempfile
import traceback

PROGRAM, CHECKED, LIBRARY = (os.path.abspath(word) for word in sys.argv[1:4])
PARAMS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "params")
CASES = os.path.join(PARAMS, "cases")
LECTURE = os.path.join(CASES, "lecture.yaml")
RUN = os.path.join(PARAMS, "still-closes.yaml")

TWO = ["--vary", "train[1].liquid=100,110 mL", "--threads", "1", "--quiet"]
COMMANDS = {
    "judge": ["estimate", "--check", os.path.join(CASES, "still-second-bottle.yaml")],
    "case in full": ["estimate", "--resolved", os.path.join(CASES, "still-peroxide.yaml")],
    "text": ["estimate", "--quick", "--why", LECTURE],
    "json": ["estimate", "--quick", "--json", LECTURE],
    "series": ["estimate", "--quick", "--series", "series.csv", LECTURE],
    "page": ["report", "--quick", "--out", "page.html", LECTURE],
    "rows as CSV": ["sweep", LECTURE, *TWO, "--csv"],
    "rows as JSON": ["sweep", LECTURE, *TWO, "--json-lines"],
    "database": ["sweep", LECTURE, *TWO, "--out", "rows.sqlite"],
    "constants": ["constants", "--json", "k2_NO2"],
    "selftest": ["selftest"],
    "strength": ["strength", "--json", "--density", "1.0388 g/cm3", "--temperature", "28 degC"],
    "blend": ["blend", "--json", "--part", "150 mL, 6.7 wt% acid", "--target", "3 wt%"],
    "balance": ["balance", "--json", RUN],
    "intervals": ["estimate", "--json", LECTURE],
    "remedies": ["remedies", "--json", "--quick", LECTURE],
    "fit": ["fit", "--json", os.path.join(os.path.dirname(RUN), "still-fit.yaml"),
            "--unknown", "source.decomposed=10:60 %"],
    "size": ["size", "--json", "--quiet", "--quick", "--capture", "70 %", LECTURE],
}


FOREVER = {False: {}, True: {"NXW_FAIL_ON": "1"}}
# These start a thread or write files, so that a fork is no copy of them.
NO_COPIES = {"series", "page", "rows as CSV", "rows as JSON", "database"}


def environment(calls=None, **settings):
    """Of a run whose calls of this kind may fail."""
    preloaded = {} if calls is None else {"LD_PRELOAD": LIBRARY, "NXW_FAIL_CALLS": calls}
    return dict(os.environ, ASAN_OPTIONS="verify_asan_link_order=0", **preloaded, **settings)


class Outcome:
    """One run in an empty folder of its own."""

    def __init__(self, words, program=PROGRAM, calls=None, at=0, forever=False, before=None,
                 **more):
        with tempfile.TemporaryDirectory() as folder:
            counted = os.path.join(folder, ".count")
            variables = environment(calls, NXW_FAIL_AT=str(at), NXW_FAIL_COUNT=counted,
                                    **FOREVER[forever])
            if before is not None:
                before(folder)
            variables.update(more.pop("env", {}))
            more.setdefault("stdout", subprocess.PIPE)
            done = subprocess.run([program, *words], stderr=subprocess.PIPE, cwd=folder,
                                  env=variables, timeout=120, **more)
            self.code = done.returncode
            self.out = done.stdout
            self.err = done.stderr.decode(errors="replace")
            self.calls = None
            if os.path.exists(counted):
                with open(counted) as file:
                    self.calls = int(file.read() or -1)
            self.files = {}
            for name in sorted(os.listdir(folder)):
                if name != ".count":
                    with open(os.path.join(folder, name), "rb") as file:
                        self.files[name] = file.read()

    @classmethod
    def from_copy(cls, folder, n, status):
        """What a copy of the process left that was made for the n-th call."""
        self = cls.__new__(cls)
        self.code = os.waitstatus_to_exitcode(status)
        self.calls, self.files = None, {}
        texts = []
        for ending in (".out", ".err"):
            path = os.path.join(folder, "%d%s" % (n, ending))
            with open(path, "rb") as file:
                texts.append(file.read())
            os.unlink(path)
        self.out, self.err = texts[0], texts[1].decode(errors="replace")
        return self

    def __repr__(self):
        return "ended with %s, files %s, said: %s" % (self.code, list(self.files),
                                                      self.err[-1500:])


def in_copies(words, program, calls, forever=False):
    """(n, Outcome) of each call in turn failing, all from one run that lends them its beginning."""
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryFile() as out, \
            tempfile.TemporaryFile() as err:
        subprocess.run([program, *words], stdout=out, stderr=err, cwd=folder, check=True,
                       env=environment(calls, NXW_FAIL_EACH=folder, **FOREVER[forever]))
        with open(os.path.join(folder, "ended"), encoding="ascii") as file:
            for line in file:
                n, status = map(int, line.split())
                yield n, Outcome.from_copy(folder, n, status)


def run_tests(namespace):
    """Every function called test_...; exit status 1 when one fails."""
    failed = 0
    tests = [name for name in namespace if name.startswith("test_")]
    assert tests
    for name in tests:
        try:
            namespace[name]()
            print("ok", name, flush=True)
        except Exception:  # told, and the others go on
            failed += 1
            print("FAILED", name, flush=True)
            traceback.print_exc()
    sys.exit(1 if failed else 0)
