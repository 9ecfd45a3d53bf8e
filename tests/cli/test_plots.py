"""Pictures on the terminal: at the window's size, and a hint in one line where gnuplot is missing.

usage: test_plots.py PROGRAM
"""
import fcntl
import os
import pty
import struct
import subprocess
import sys
import tempfile
import termios

PROGRAM = os.path.abspath(sys.argv[1])
CASE = """source: {kind: metered, flow: 0.2 L/min, NO2: 5 %, O2: 19 %, duration: 10 min}
hood: {flow: 10 m3/min}
train: [{glass: washing bottle 250 mL, liquid: 150 mL}]
after: {standing: 10 min}
"""
SWEEP = ["sweep", "case.yaml", "--vary", "train[1].liquid=100:150:25 mL", "--plot"]
ESTIMATE = ["estimate", "case.yaml", "--quick", "--plot"]
CHART = ["strength", "--chart", "--plot"]
# of each picture, its heading and how many there are
PICTURES = [(SWEEP, ["kept as HNO3"], 1),
            (ESTIMATE, ["Gas from the source, mmol N/min", "At the vent, mg/min",
                        "In the hood's air, ppm", "NO2: OSHA PEL, ceiling, 5 ppm",
                        "NO2: NIOSH REL, 15-min STEL, 1 ppm",
                        "Strength: nitric acid in the liquid, mol/L",
                        "Nitrous acid in the liquid, mol/L", "Temperature of the liquid"], 6),
            (CHART, ["Nitric acid: density in g/cm3 at 10, 20 and 40 C"], 1)]


def in_window(words, columns, rows):
    """What a command prints into a window of that size."""
    leader, follower = pty.openpty()
    fcntl.ioctl(follower, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
    job = subprocess.Popen([PROGRAM, *words], stdout=follower, stderr=subprocess.DEVNULL)
    os.close(follower)
    parts = []
    while True:
        try:
            got = os.read(leader, 65536)
        except OSError:  # the other end is closed
            break
        if not got:
            break
        parts.append(got)
    os.close(leader)
    assert job.wait(timeout=300) == 0, words
    return b"".join(parts).decode().replace("\r\n", "\n")


def pictures(text):
    """Lines of the frames: (first column, width) of every top or bottom edge."""
    lines = text.split("\n")
    edges = [i for i, line in enumerate(lines) if line.strip().endswith("+") and "-----" in line
             and line.count("+") == 2]
    assert len(edges) % 2 == 0, edges
    return lines, list(zip(edges[0::2], edges[1::2]))


def clean():
    for name in os.listdir("."):
        if ".sqlite" in name:
            os.remove(name)


def main():
    with open("case.yaml", "w") as f:
        f.write(CASE)
    for words, headings, count in PICTURES:
        widths = set()
        for columns, rows in ((80, 25), (132, 43), (60, 20)):
            clean()
            text = in_window(words, columns, rows)
            assert "\f" not in text and text.endswith("\n"), repr(text[-80:])
            for heading in headings:
                assert heading in text, (words, heading)
            lines, frames = pictures(text)
            assert len(frames) == count, (words, frames)
            for top, bottom in frames:
                assert rows - 9 <= bottom - top < rows, (words, rows, bottom - top)
                drawn = lines[top:bottom + 1]
                assert max(map(len, drawn)) < columns, (words, columns)
                assert len(lines[top].rstrip()) > columns - 12, (columns, lines[top])
                widths.add(len(lines[top].rstrip()))
        assert len(widths) >= 3, widths
    # no window: as for one of 80 by 25
    clean()
    done = subprocess.run([PROGRAM, *CHART], capture_output=True, text=True)
    assert max(map(len, done.stdout.split("\n"))) < 80

    os.mkdir("bin")
    for words, *_ in PICTURES:
        clean()
        done = subprocess.run([PROGRAM, *words], capture_output=True, text=True,
                              env={"PATH": os.path.abspath("bin")})
        assert done.returncode == 6, done
        told = [line for line in done.stderr.split("\n") if line and "cases in" not in line]
        assert told == ["noxwash: no picture: gnuplot is missing; install the package gnuplot-nox"], \
            done.stderr
        assert "Cautions" in done.stdout, words
    for words in (["strength", "--plot", "--density", "1.1 g/cm3", "--temperature", "20 degC"],
                  [*CHART, "--json"], [*ESTIMATE, "--json"]):
        done = subprocess.run([PROGRAM, *words], capture_output=True, text=True)
        assert done.returncode == 2 and done.stdout == "" and "--plot" in done.stderr, done


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    main()
    os.chdir("/")
