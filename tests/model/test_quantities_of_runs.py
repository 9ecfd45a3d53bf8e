"""Layer (c): what selftest compares with print is what runs call.

The model is compiled without inlining and the references between its functions are read from the
objects. Each function of the library that a quantity (cli/selftest/quantity*.c) reaches must be reached
from a run, too; a quantity that calls nothing of the library proves nothing; and nothing in the
library may be out of reach of noxwash.h. Functions planted against each rule must be found.

usage: test_quantities_of_runs.py PROGRAM
"""
import glob
import os
import re
import subprocess
import sys
import tempfile

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
GENERATED = os.path.join(os.path.dirname(os.path.abspath(sys.argv[1])), "generated")
# what the commands ask for when they answer a user
RUNS = ["nxw_estimate", "nxw_blend", "nxw_balance", "nxw_titration_result",
        "nxw_strength_from_density", "nxw_strength_from_concentration"]
DOORS = ["nxw_quantity", "nxw_quantity_record"]
# fill in a case or read the table of constants: no physics
SETTING_UP = {"nxw_case_init", "nxw_parameter_record"}
# a range before the curve that runs go on with; the curve itself must be reached from one
RANGES = {"nxw_peroxide_density_kg_m3"}
# numbers that no function gives
OF_NATURE = re.compile(r"value_(molar_mass_\w+|gas_constant)$")


def compiled(source, folder):
    """Object of one source, each function and table in a section of its own."""
    name = os.path.join(folder, os.path.basename(source)[:-2] + ".o")
    subprocess.run([os.environ.get("CC", "cc"), "-std=c11", "-O0", "-D_POSIX_C_SOURCE=200809L",
                    '-DNXW_COMMIT="none"', "-ffunction-sections", "-fdata-sections",
                    "-I", ROOT + "/model", "-I", ROOT + "/cli", "-I", GENERATED, "-c",
                    source, "-o", name], check=True)
    return name


def dump(flag, path):
    run = subprocess.run(["objdump", flag, path], check=True, capture_output=True, text=True)
    return run.stdout.splitlines()


def references(path):
    """What each symbol of an object refers to; names local to it are 'file:name'."""
    base, symbols, full = os.path.basename(path)[:-2], {}, {}
    for line in dump("-t", path):
        m = re.match(r"[0-9a-f]{16} (.{7}) (\S+)\t[0-9a-f]+ (?:\.hidden )?(\S+)$", line)
        if m and "d" not in m[1] and m[2] not in ("*UND*", "*ABS*"):
            full[m[3]] = base + ":" + m[3] if m[1][0] == "l" else m[3]
            symbols.setdefault(m[2], []).append(full[m[3]])
    edges, here = {name: set() for name in full.values()}, []
    for line in dump("-r", path):
        section = re.match(r"RELOCATION RECORDS FOR \[(.*)\]", line)
        target = re.match(r"[0-9a-f]+ R_\S+\s+(\S+)", line)
        if section:
            here = symbols.get(section[1], [])
        elif target:
            to = re.sub(r"[+-]0x[0-9a-f]+$", "", target[1])
            for name in here:
                edges[name].update(symbols.get(to, [full.get(to, to)]))
    functions = {n for section, names in symbols.items() if section.startswith(".text")
                 for n in names}
    return edges, functions


def graph(objects):
    edges, functions = {}, set()
    for path in objects:
        of_one, its = references(path)
        functions |= its
        for name, to in of_one.items():
            edges.setdefault(name, set()).update(to)
    return edges, functions


def reached(edges, roots):
    seen, open_ = set(), list(roots)
    while open_:
        name = open_.pop()
        if name not in seen:
            seen.add(name)
            open_ += edges.get(name, ())
    return seen


def bare(name):
    return name.split(":")[-1]


def of_library(name):
    """Not a quantity's own helper; what a header brings into its object counts."""
    return not name.startswith("quantity") or bare(name).startswith("nxw_")


def faults(objects):
    edges, functions = graph(objects)
    header = open(ROOT + "/model/noxwash.h").read()
    public = [n for n in re.findall(r"\b(nxw_\w+)\(", header) if n in functions] + DOORS
    in_runs = {bare(n) for n in reached(edges, RUNS)}
    own = reached(edges, DOORS) & functions - set(DOORS)
    out = ["%s: no run reaches it" % n for n in own
           if of_library(n) and bare(n) not in in_runs | SETTING_UP | RANGES]
    tables = [t for t in edges if re.match(r"nxw_\w+_quantities$", t)]
    entries = {f for t in tables for f in edges[t] & functions}
    out += ["%s: calls nothing of the library" % f for f in entries
            if not any(of_library(n) for n in reached(edges, [f]) & functions)
            and not OF_NATURE.search(f)]
    out += ["%s: not to be reached from noxwash.h" % n
            for n in functions - reached(edges, public)]
    return sorted(out), len(own), len(entries)


def planted(objects, folder, call, more=""):
    """Faults when the quantity of the wall calls something else."""
    source = open(ROOT + "/cli/selftest/quantity_bubble.c").read()
    real = "nxw_wall_factor(in[0])"
    assert source.count(real) == 1
    changed = os.path.join(folder, "quantity_bubble.c")
    with open(changed, "w") as out:
        out.write(more + source.replace(real, call))
    return faults([o for o in objects if not o.endswith("/quantity_bubble.o")] +
                  [compiled(changed, folder)])[0]


def main():
    sources = sorted(glob.glob(ROOT + "/model/*/*.c")) + sorted(
        glob.glob(ROOT + "/cli/selftest/quantity*.c")) + [GENERATED + "/parameter_table.c"]
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as other:
        objects = [compiled(s, folder) for s in sources]
        found, functions, entries = faults(objects)
        print("\n".join(found))
        print("%d quantities, %d functions under them" % (entries, functions))
        good = not found and entries > 100 and functions > 150

        extra = os.path.join(other, "extra.c")
        with open(extra, "w") as out:
            out.write("double nxw_extra(double x);\ndouble nxw_extra(double x) { return x; }\n")
        cases = [(planted(objects + [compiled(extra, other)], other, "nxw_extra(in[0])",
                          "double nxw_extra(double x);\n"), "nxw_extra: no run reaches it"),
                 (planted(objects, other, "nxw_inline(in[0])",
                          "static inline double nxw_inline(double x) { return x; }\n"),
                  "quantity_bubble:nxw_inline: no run reaches it"),
                 (planted(objects, other, "in[0] * in[0]"),
                  "quantity_bubble:wall: calls nothing of the library"),
                 (faults(objects + [compiled(extra, other)])[0],
                  "nxw_extra: not to be reached from noxwash.h")]
        for got, want in cases:
            if want not in got:
                print("planted and not found: %s; found %s" % (want, got))
                good = False
    sys.exit(0 if good else 1)


if __name__ == "__main__":
    main()
