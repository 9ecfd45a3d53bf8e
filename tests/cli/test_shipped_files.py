"""Every shipped case and run file says that its figures are invented.

usage: test_shipped_files.py PROGRAM
"""
import glob
import os

PARAMS = os.path.abspath(os.path.join(os.path.dirname(__file__), "../../params"))


def main():
    cases = glob.glob(os.path.join(PARAMS, "cases", "*.yaml"))
    runs = glob.glob(os.path.join(PARAMS, "still-*.yaml"))
    assert len(cases) >= 13 and len(runs) >= 4, (cases, runs)
    for path in sorted(cases + runs):
        with open(path) as f:
            comments = [line for line in f if line.startswith("#")]
        assert "# Invented figures.\n" in comments, path


main()
