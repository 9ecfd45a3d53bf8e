"""Execute one notebook headless and see that it is committed bare.

usage: run_notebook.py NOTEBOOK NOXWASH [FOLDER]

FOLDER, if given, keeps the executed notebook and its pictures. Exit 0 done, 1 a cell failed or
the notebook carries outputs, 77 the notebook says it cannot run here (it raises SkipTest).
"""
import base64
import os
import pathlib
import re
import sys
import tempfile

import nbformat
from nbconvert.preprocessors import CellExecutionError, ExecutePreprocessor

SKIPPED = 77
TIMEOUT_S = 300


def faults(notebook):
    """What a committed notebook must not carry."""
    found = []
    if notebook.nbformat != 4:
        found.append("not nbformat 4")
    if notebook.metadata.get("kernelspec", {}).get("name") != "python3":
        found.append("the kernel is not python3")
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    if not code or "assert sys.executable == '/usr/bin/python3'" not in code[0].source:
        found.append("the first code cell does not assert the interpreter")
    for number, cell in enumerate(code, 1):
        if cell.outputs or cell.execution_count is not None:
            found.append("code cell %d carries outputs or a count" % number)
    return found


def keep(notebook, folder, name):
    os.makedirs(folder, exist_ok=True)
    nbformat.write(notebook, os.path.join(folder, name + ".ipynb"))
    for number, cell in enumerate(notebook.cells):
        for which, output in enumerate(cell.get("outputs", [])):
            picture = output.get("data", {}).get("image/png")
            if picture:
                path = os.path.join(folder, "%s-%02d-%d.png" % (name, number, which))
                pathlib.Path(path).write_bytes(base64.b64decode(picture))


def main():
    path = pathlib.Path(sys.argv[1]).resolve()
    if not os.access(sys.argv[2], os.X_OK):
        sys.exit("no program at " + sys.argv[2])
    notebook = nbformat.read(path, as_version=nbformat.NO_CONVERT)
    found = faults(notebook)
    if found:
        sys.exit("%s: %s" % (path.name, "; ".join(found)))
    with tempfile.TemporaryDirectory() as home:  # no kernel or setting of the user's gets in
        for name in list(os.environ):
            if name.startswith(("JUPYTER", "IPYTHON", "XDG_", "MPL", "PYTHON")):
                del os.environ[name]
        os.environ.update(HOME=home, NOXWASH=os.path.abspath(sys.argv[2]),
                          PYTHONDONTWRITEBYTECODE="1",
                          PYDEVD_DISABLE_FILE_VALIDATION="1",  # a warning about a debugger
                          OMP_NUM_THREADS="1",
                          OPENBLAS_NUM_THREADS="1")
        os.environ.setdefault("NOXWASH_CHARTS", os.path.join(home, "charts"))
        run = ExecutePreprocessor(timeout=TIMEOUT_S, kernel_name="python3")
        status = 0
        try:
            run.preprocess(notebook, {"metadata": {"path": str(path.parent)}})
        except CellExecutionError as error:
            status = SKIPPED if error.ename == "SkipTest" else 1
            text = "skipped: " + error.evalue if status == SKIPPED else str(error)
            print(re.sub(r"\x1b\[[0-9;]*m", "", text))
        if len(sys.argv) > 3:
            keep(notebook, sys.argv[3], path.stem)
    sys.exit(status)


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    main()
