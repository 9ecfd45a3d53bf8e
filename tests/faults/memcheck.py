"""valgrind on the main commands: each must say what it says without, use nothing that is not there
and leave nothing behind. First two planted faults, which valgrind has to find.

usage: memcheck.py PROGRAM CHECKED-PROGRAM FAILING-CALLS-LIBRARY; part of tests/campaign valgrind
"""
import os
import re
import subprocess
import sys
import tempfile

from machine import COMMANDS, PROGRAM

FOUND = 99
VALGRIND = ["valgrind", "-q", "--error-exitcode=%d" % FOUND, "--leak-check=full",
            "--errors-for-leak-kinds=definite,indirect,possible"]
TIMES = re.compile(rb'"processor_ms": [0-9.e+-]+')
MORE = {
    "new": ["new", "acid vapour"],
}
PLANTED = {
    "leak": "p[0] = 1; p = 0; return p != 0;",
    "read beyond the end": "p[0] = 1; return (p[8] == 1) + (free(p), 0);",
}


def run(words, before=()):
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run([*before, *words], cwd=folder, stdout=subprocess.PIPE,
                              stderr=subprocess.PIPE, timeout=1800)
    return done.returncode, TIMES.sub(b"", done.stdout), done.stderr.decode(errors="replace")


def plant(body):
    with tempfile.TemporaryDirectory() as folder:
        program = os.path.join(folder, "planted")
        source = "#include <stdlib.h>\nint main(void) { volatile char *q = malloc(8); char *p = (char *)q; q = 0; %s }\n"
        subprocess.run(["cc", "-O0", "-x", "c", "-o", program, "-"], input=source % body, text=True,
                       check=True)
        return run([program], VALGRIND)[0]


def main():
    wrong = ["planted %s: not found" % name for name, body in PLANTED.items()
             if plant(body) != FOUND]
    for name, words in {**COMMANDS, **MORE}.items():
        code, out, _ = run([PROGRAM, *words])
        assert code == 0, (name, code)
        checked_code, checked_out, said = run([PROGRAM, *words], VALGRIND)
        good = checked_code == 0 and checked_out == out
        print("%-14s %s" % (name, "clean" if good else "ended with %d" % checked_code), flush=True)
        if not good:
            wrong.append("%s: %s" % (name, said[-3000:] or "other words than without valgrind"))
    print("\n".join(wrong))
    sys.exit(1 if wrong else 0)


main()
