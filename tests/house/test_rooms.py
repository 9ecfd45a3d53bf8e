"""Every file stands in a room, and arrows between rooms go one way.

A file may include, and call, what stands in its own room or in one below; no two files call each
other, straight or around a corner. Calls are read from the objects of the build. Slips planted
against each rule must be found.

usage: test_rooms.py PROGRAM
"""
import glob
import os
import re
import subprocess
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
BUILD = os.path.dirname(os.path.abspath(sys.argv[1]))
# from the ground up: each may use those before it
MODEL = ["base", "properties", "reactions", "stage", "run", "account"]
CLI = ["base", "case", "study", "words", "command", "report", "after", "decide", "selftest"]
HEADER = "model/noxwash.h"  # everybody's
PROGRAM = "cli/main.c"      # above all
INNER = ("cli/selftest/",)  # asks the library's own functions; so do the tests


def room(path):
    """How high a file stands; None where it stands in no room."""
    if path == HEADER:
        return -1
    if path == PROGRAM:
        return len(MODEL) + len(CLI)
    part = path.split("/")
    rooms = {"model": MODEL, "cli": CLI}[part[0]]
    if len(part) != 3 or part[1] not in rooms:
        return None
    return rooms.index(part[1]) + (len(MODEL) if part[0] == "cli" else 0)


def place_of(name, path, files):
    """Where a quoted include stands; None: generated."""
    for folder in ((path.split("/")[0],) if path.startswith("model/") else ("cli", "model")):
        if folder + "/" + name in files:
            return folder + "/" + name
    return None


def faults_of_includes(texts):
    """texts: a source by its path."""
    out = []
    for path, text in sorted(texts.items()):
        if room(path) is None:
            out.append("%s: stands in no room" % path)
            continue
        for name in re.findall(r'^#include "([^"]+)"', text, re.M):
            used = place_of(name, path, texts)
            if used is None:
                if name not in ("parameter_ids.h",):
                    out.append("%s: no such file in a room: %s" % (path, name))
            elif room(used) is not None and room(used) > room(path):
                out.append("%s: includes %s, which stands above it" % (path, used))
            elif path.startswith("cli/") and used.startswith("model/") and used != HEADER \
                    and not path.startswith(INNER):
                out.append("%s: includes %s; the program knows noxwash.h alone" % (path, used))
    return out


def read_calls():
    """The files that each file calls."""
    of, wanted = {}, {}
    objects = [o for part in ("model", "cli")
               for o in glob.glob("%s/CMakeFiles/noxwash_%s.dir/%s/*/*.c.o" % (BUILD, part, part))]
    for path in objects:
        source = re.search(r"/((?:model|cli)/\w+/\w+\.c)\.o$", path)[1]
        if not os.path.exists(os.path.join(ROOT, source)):
            continue  # left by an older build
        for line in subprocess.run(["nm", path], check=True, capture_output=True,
                                   text=True).stdout.splitlines():
            kind, name = line.split()[-2:]
            if kind == "U":
                wanted.setdefault(source, set()).add(name)
            elif kind in "TDRBC":
                of[name] = source
    return {f: {of[n] for n in names if of.get(n, f) != f} for f, names in wanted.items()}


def circles(calls):
    """Sets of files that call each other: strongly connected, by two passes."""
    order, seen = [], set()

    def visit(start, edges, done):
        stack = [(start, iter(sorted(edges.get(start, ()))))]
        seen.add(start)
        while stack:
            node, rest = stack[-1]
            for other in rest:
                if other not in seen:
                    seen.add(other)
                    stack.append((other, iter(sorted(edges.get(other, ())))))
                    break
            else:
                done.append(node)
                stack.pop()

    for node in sorted(calls):
        if node not in seen:
            visit(node, calls, order)
    back = {}
    for node, others in calls.items():
        for other in others:
            back.setdefault(other, set()).add(node)
    seen, out = set(), []
    for node in reversed(order):
        if node not in seen:
            one = []
            visit(node, back, one)
            if len(one) > 1:
                out.append(sorted(one))
    return out


def faults_of_calls(calls):
    out = ["%s calls %s, which stands above it" % (f, other)
           for f, others in sorted(calls.items()) for other in sorted(others)
           if room(f) is not None and room(other) is not None and room(other) > room(f)]
    return out + ["a circle: " + ", ".join(c) for c in circles(calls)]


def main():
    texts = {os.path.relpath(p, ROOT): open(p).read() for part in ("model", "cli")
             for p in glob.glob("%s/%s/**/*.[ch]" % (ROOT, part), recursive=True)}
    calls = read_calls()
    bad = faults_of_includes(texts) + faults_of_calls(calls)
    assert len(texts) > 250 and len(calls) > 120, (len(texts), len(calls))
    planted = [
        (faults_of_includes(dict(texts, **{"model/stray.c": ""})), "model/stray.c: stands in no room"),
        (faults_of_includes(dict(texts, **{"model/base/up.c": '#include "stage/film.h"\n'})),
         "model/base/up.c: includes model/stage/film.h, which stands above it"),
        (faults_of_includes(dict(texts, **{"cli/report/in.c": '#include "stage/film.h"\n'})),
         "cli/report/in.c: includes model/stage/film.h; the program knows noxwash.h alone"),
        (faults_of_calls(dict(calls, **{"model/base/root.c": {"model/stage/film.c"}})),
         "model/base/root.c calls model/stage/film.c, which stands above it"),
        (faults_of_calls({"model/run/a.c": {"model/run/b.c"}, "model/run/b.c": {"model/run/c.c"},
                          "model/run/c.c": {"model/run/a.c"}}),
         "a circle: model/run/a.c, model/run/b.c, model/run/c.c")]
    bad += ["planted and not found: " + want for got, want in planted if want not in got]
    print("\n".join(bad + ["%d files, %d of them call others" % (len(texts), len(calls))]))
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
