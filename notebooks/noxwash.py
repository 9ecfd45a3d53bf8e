"""Run the program `noxwash` from Python and get its answers as pandas frames.

This module holds no physics and no numbers: it writes case files, runs the program, and reads
what the program prints. Units are those of the program's JSON and stand in every name
(`escaped_NO_mol`, `peak_temperature_K`).

    run = estimate({"source": {"kind": "acid vapour", "acid made": "0.60 mol",
                               "decomposed": "35 %", "duration": "40 min"},
                    "train": [{"glass": "washing bottle 250 mL", "liquid": "150 mL"}]})
    run.headline["kept_fraction"]
    run.series.plot("time_s", "temperature_K")

The program is taken from the environment variable NOXWASH, else from the newest ../build*/noxwash.
"""
import concurrent.futures
import contextlib
import copy
import io
import json
import os
import pathlib
import re
import subprocess
import tempfile

import pandas

HERE = pathlib.Path(__file__).resolve().parent
TREE = HERE.parent


class Failure(Exception):
    """The program ended without a result. `exit_code` and `message` are the program's own."""

    def __init__(self, exit_code, message):
        super().__init__("noxwash ended with exit code %d:\n%s" % (exit_code, message.strip()))
        self.exit_code = exit_code
        self.message = message


# ----------------------------------------------------------------------------- the program


def program():
    """Path of the program."""
    named = os.environ.get("NOXWASH")
    if named:
        return named
    built = [path for path in TREE.glob("build*/noxwash") if os.access(path, os.X_OK)]
    if not built:
        raise FileNotFoundError(
            "no program: build it (cmake -S . -B build && cmake --build build), "
            "or name it in the environment variable NOXWASH")
    return str(max(built, key=lambda path: path.stat().st_mtime))


def output(*arguments, good=(0,)):
    """Run the program and return what it prints."""
    done = subprocess.run([program(), *map(str, arguments)], stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8")
    if done.returncode not in good:
        raise Failure(done.returncode, done.stderr)
    return done.stdout


def call(*arguments, good=(0,)):
    """Run the program and return its one JSON document."""
    return json.loads(output(*arguments, good=good))


# ----------------------------------------------------------------------------- case files


def _scalar(value):
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return repr(value)
    if not isinstance(value, str):
        raise TypeError("a case holds maps, lists, text, numbers and yes/no, not %r" % (value,))
    if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9 ./%()+-]*", value) and value == value.strip():
        return value
    return json.dumps(value, ensure_ascii=False)


def _lines(node, indent):
    pad = " " * indent
    if isinstance(node, dict):
        pairs = [(pad + _scalar(str(key)) + ":", value) for key, value in node.items()]
    else:
        pairs = [(pad + "-", value) for value in node]
    for head, value in pairs:
        if isinstance(value, (dict, list, tuple)):
            if not value:
                raise ValueError("an empty map or list stands behind '%s'" % head.strip())
            yield head
            yield from _lines(value, indent + 2)
        else:
            yield head + " " + _scalar(value)


def yaml_text(case):
    """A case (dict of dicts, lists, text such as "150 mL", numbers, True/False) as YAML text."""
    return "\n".join(_lines(case, 0)) + "\n"


def write_case(case, path):
    """Write a case as a YAML file the program reads; returns the path."""
    pathlib.Path(path).write_text(yaml_text(case), encoding="utf-8")
    return path


def changed(case, path, value):
    """A copy of the case with one key changed: changed(case, "train[0].liquid", "200 mL").

    Maps that are not there yet are made; list entries must be there. None takes the key away.
    """
    out = copy.deepcopy(case)
    steps = [int(s[1:-1]) if s.startswith("[") else s
             for s in re.findall(r"\[\d+\]|[^.\[\]]+", path)]
    node = out
    for step in steps[:-1]:
        node = node.setdefault(step, {}) if isinstance(node, dict) else node[step]
    if value is None:
        node.pop(steps[-1], None)
    else:
        node[steps[-1]] = value
    return out


# ----------------------------------------------------------------------------- results


class Run:
    """One estimate. `document` is the program's JSON as it came."""

    def __init__(self, document, series=None):
        self.document = document
        self.series = series
        """Frame over time, one row per time and stage (None if not asked for)."""

    @property
    def headline(self):
        """The result as a Series; the parts of `why` stand in it as `why_...`."""
        flat = {}
        for key, value in self.document["result"].items():
            if isinstance(value, dict):
                flat.update({key + "_" + inner: v for inner, v in value.items()})
            else:
                flat[key] = value
        return pandas.Series(flat)

    @property
    def what_if(self):
        """Frame: one column per remedy the program tried by itself, rows as in the headline."""
        columns = {"as it is": self.headline}
        for name, result in self.document.get("what_if", {}).items():
            if isinstance(result, dict) and "kept_mol" in result:
                columns[name.replace("_", " ")] = Run({"result": result}).headline
        return pandas.DataFrame(columns)

    @property
    def stages(self):
        """Frame: one row per stage, numbered from 1 as the program does."""
        frame = pandas.DataFrame(self.document["stages"])
        frame.index = pandas.RangeIndex(1, len(frame) + 1, name="stage")
        return frame

    @property
    def events(self):
        """Frame: kind, text, stage, time_s, value, in order of time."""
        return pandas.DataFrame(self.document["events"],
                                columns=["kind", "text", "stage", "time_s", "value"])

    @property
    def warnings(self):
        """The program's warnings as lines of text."""
        return [w["text"] for w in self.document["warnings"]]

    @property
    def cautions(self):
        """What the program says to everyone who would act on the result."""
        return list(self.document["cautions"])


def estimate(case, series=False, what_if=False):
    """Run one case: a dict, a case file's path, or its text (more than one line).

    Raises Failure if the program gives no result.
    """
    with _case_file(case) as path, tempfile.TemporaryDirectory() as folder:
        arguments = ["estimate", path, "--json"] + ([] if what_if else ["--quick"])
        table = os.path.join(folder, "series.csv")
        if series:
            arguments += ["--series", table]
        document = call(*arguments)
        return Run(document, pandas.read_csv(table) if series else None)


def estimate_all(cases, processes=2):
    """Headlines of many cases as a frame, one row each, in the order given.

    A case without a result gives a row of NaN with the program's message in `failure`.
    """
    def one(case):
        try:
            return estimate(case).headline
        except Failure as failure:
            return pandas.Series({"failure": str(failure)})
    with concurrent.futures.ThreadPoolExecutor(processes) as pool:
        return pandas.DataFrame(list(pool.map(one, cases)))


@contextlib.contextmanager
def _case_file(case):
    """Path of a case given as a dict, a path, or text of more than one line."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "case.yaml")
        if isinstance(case, dict):
            yield write_case(case, path)
        elif isinstance(case, str) and "\n" in case:
            pathlib.Path(path).write_text(case, encoding="utf-8")
            yield path
        else:
            yield case


def sweep(case, *vary, sample=None):
    """Frame of a sweep: one row per case, the varied keys first.

    vary: expressions such as "train[1].liquid=100:200:20 mL"; sample: so many drawn over the ranges.
    """
    with _case_file(case) as path:
        arguments = ["sweep", path, "--csv", "--quiet"]
        for expression in vary:
            arguments += ["--vary", expression]
        if sample is not None:
            arguments += ["--sample", sample]
        return pandas.read_csv(io.StringIO(output(*arguments)), comment="#")


def remedies(case):
    """Frame of what could help: one row per remedy that was run, the best pair and triple last."""
    with _case_file(case) as path:
        document = call("remedies", path, "--json")
    rows = [r for r in document["alone"] if r["ran"]]
    rows += [document[k] for k in ("best_pair", "best_triple") if k in document]
    frame = pandas.DataFrame(rows)
    frame.index = pandas.Index([" + ".join(r["remedies"]) for r in rows], name="remedy")
    return frame.drop(columns=["remedies", "ran"])


def selftest():
    """The program against published values: one row per printed value, as the program judged it.

    `ours`, `published`, `allowed_low` and `allowed_high` are in the unit of the row; `verdict` is
    passed, failed, known miss, ...; `part` is the file the row comes from.
    """
    document = call("selftest", "--json", good=(0, 1))
    frame = pandas.DataFrame(document["results"])
    frame["part"] = frame["file"].str.replace(r"^published/|\.csv$", "", regex=True)
    if len(frame) != document["checks"]:
        raise ValueError("the program counts %d checks and lists %d"
                         % (document["checks"], len(frame)))
    return frame


def whole_bottles():
    """Whole runs against what is known of bottles and vessels: one row each, as the program judged it.

    `ours` is the figure of the run, or its quotient by that of the run in `against`, and lies between
    `allowed_low` and `allowed_high` when `verdict` is passed.
    """
    document = call("selftest", "--json", good=(0, 1))["whole_bottles"]
    frame = pandas.DataFrame(document["results"])
    if len(frame) != document["checks"]:
        raise ValueError("the program counts %d checks and lists %d" % (document["checks"], len(frame)))
    return frame


def constants():
    """The constants in use: key, value, unit, low, high, group, known, source, note."""
    return pandas.DataFrame(call("constants", "--json")["constants"]["records"]).set_index("key")


# ----------------------------------------------------------------------------- charts


def charts_folder():
    """Where charts are saved: NOXWASH_CHARTS, else a new temporary folder. Never the tree."""
    folder = os.environ.get("NOXWASH_CHARTS") or tempfile.mkdtemp(prefix="noxwash-charts-")
    os.makedirs(folder, exist_ok=True)
    return folder
