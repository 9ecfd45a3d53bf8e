"""Every command the README shows can be run in the order in which it stands there, and prints what it
shows; its pictures are drawn anew.

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


# Words that stand for a name of the reader's own: a command with one of them cannot be run as it is.
PLACEHOLDER = re.compile(r"\b(KIND|CASE|FILE|OTHER)\b")
# Build and install, minutes each, with packages from the network: whoever runs this test has done both.
NOT_RUN = ("sh cli/demo ", "sh tests/run ")
TASKS = 8  # of the array that the Slurm script is one task of


def parts():
    """What the README shows, in order: ("block", lines) and ("words", a command within the text)."""
    with open(os.path.join(TREE, "README.md"), encoding="utf-8") as f:
        text = f.read()
    for part in re.findall(r"(?:^    .*\n)+|(?:^(?! {4}).*\n)+", text, re.M):
        if part.startswith("    "):
            yield "block", [line[4:] for line in part.splitlines()]
            continue
        for words in re.findall(r"`(noxwash [^`]+)`", part):
            if not PLACEHOLDER.search(words):
                yield "words", " ".join(words.split())


def run(command, folder, **variables):
    done = subprocess.run(["bash", "-c", command], cwd=folder, capture_output=True, text=True,
                          env={**os.environ, "PATH": folder + "/bin:" + os.environ["PATH"], **variables})
    assert done.returncode == 0, (command, done.returncode, done.stderr)
    return done.stdout


def run_block(lines, folder):
    """Returns how many lines of output were compared."""
    count = 0
    if lines[0].startswith("$ noxwash "):
        left = run(lines[0][2:], folder).split("\n")
        for line in lines[1:]:  # in order; '...' skips
            if line == "...":
                continue
            assert line in left, (lines[0], line)
            left = left[left.index(line) + 1:]
            count += 1
    elif lines[0].startswith(("noxwash ", "parallel ")):
        for command in re.findall(r"(?:.*\\\n)*.+", "\n".join(lines)):
            run(command, folder)
    elif lines[0] == "#!/bin/sh":
        with open(folder + "/study.sh", "w", encoding="utf-8") as f:
            f.write("\n".join(lines) + "\n")
        for task in range(1, TASKS + 1):
            run("sh study.sh", folder, SLURM_ARRAY_TASK_ID=str(task), SLURM_ARRAY_TASK_COUNT=str(TASKS))
    elif lines[0] == "source:":
        with open(folder + "/shown.yaml", "w", encoding="utf-8") as f:
            f.write("\n".join(lines) + "\n")
        run("noxwash estimate --quick shown.yaml", folder)
    else:
        assert all(line.startswith(NOT_RUN) for line in lines), ("what is this?", lines)
    return count


def check_blocks(folder):
    """As a reader would: one after the other, in one folder, with the shipped cases in params/."""
    os.symlink(TREE + "/params", folder + "/params")
    blocks = words = count = 0
    for kind, what in parts():
        if kind == "block":
            blocks += 1
            count += run_block(what, folder)
        else:
            words += 1
            run(what, folder)
    assert blocks >= 10 and words >= 6 and count > 15, (blocks, words, count)


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
