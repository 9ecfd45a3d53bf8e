"""What the README shows of the program is what the program prints; its pictures are drawn anew.

usage: test_readme.py PROGRAM
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
TREE = os.path.abspath(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", ".."))


def blocks():
    """(command, lines that follow) of every indented block that begins with '$ noxwash'."""
    with open(os.path.join(TREE, "README.md"), encoding="utf-8") as f:
        text = f.read()
    for block in re.findall(r"(?:^    .*\n)+", text, re.M):
        lines = [line[4:] for line in block.splitlines()]
        if lines[0].startswith("$ noxwash "):
            yield lines[0][2:], lines[1:]


def check_blocks(folder):
    count = 0
    for command, shown in blocks():
        done = subprocess.run(["bash", "-c", command], cwd=folder, capture_output=True, text=True,
                              env={**os.environ, "PATH": folder + "/bin:" + os.environ["PATH"]})
        assert done.returncode == 0, (command, done.stderr)
        left = done.stdout.split("\n")
        for line in shown:  # in order; '...' skips
            if line == "...":
                continue
            assert line in left, (command, line)
            left = left[left.index(line) + 1:]
            count += 1
    assert count > 15, count


def numbers(svg):
    """What is written in a picture, and how its lines run."""
    words = re.findall(r"<text[^>]*>(.*?)</text>", svg, re.S)
    words = ["".join(re.findall(r">([^<]*)<", ">" + w + "<")).strip() for w in words]
    paths = [[float(n) for n in re.findall(r"-?\d+\.?\d*", d)]
             for d in re.findall(r"<path[^>]* d='([^']*)'", svg)]
    return words, [p for p in paths if len(p) > 20]


def check_pictures(folder):
    subprocess.run(["sh", TREE + "/notebooks/pictures/make", PROGRAM, folder], check=True)
    with open(os.path.join(TREE, "README.md"), encoding="utf-8") as f:
        named = re.findall(r"\]\(notebooks/pictures/([a-z]+\.svg)\)", f.read())
    assert sorted(named) == sorted(n for n in os.listdir(TREE + "/notebooks/pictures") if n.endswith(".svg"))
    for name in named:
        with open(os.path.join(TREE, "notebooks/pictures", name)) as f:
            words, paths = numbers(f.read())
        with open(os.path.join(folder, name)) as f:
            new_words, new_paths = numbers(f.read())
        assert words == new_words and len(words) > 10, (name, set(words) ^ set(new_words))
        assert len(paths) == len(new_paths) > 1, name
        for one, other in zip(paths, new_paths):
            assert len(one) == len(other), (name, len(one), len(other))
            worst = max(abs(a - b) for a, b in zip(one, other))
            assert worst < 1.0, (name, worst)  # a pixel: less is not seen


def main():
    with tempfile.TemporaryDirectory() as folder:
        os.mkdir(folder + "/bin")
        os.symlink(PROGRAM, folder + "/bin/noxwash")
        check_blocks(folder)
        if shutil.which("gnuplot") is not None:
            check_pictures(folder)


main()
print("readme: all good")
