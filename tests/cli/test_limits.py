"""The stated limits of what is read: what lies just within passes, one more is refused by name.

usage: test_limits.py PROGRAM
"""
import os
import subprocess
import sys
import tempfile

PROGRAM = os.path.abspath(sys.argv[1])
SOURCE = "source: {kind: metered, flow: 0.2 L/min, NO2: 5 % by volume, duration: 2 min}\n"
CASE = SOURCE + "train:\n  - liquid: 100 mL\n"
TABLE = "source: {kind: table, file: table.csv}\ntrain:\n  - liquid: 100 mL\n"
HEAD = "time_s,NO_mol_s,NO2_mol_s,HNO2_mol_s,HNO3_mol_s,O2_mol_s,inert_mol_s,H2O_mol_s\n"


def check(text, name="case.yaml", table=None):
    """Exit status and what was said of a case."""
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, name), "wb") as file:
            file.write(text if isinstance(text, bytes) else text.encode())
        if table is not None:
            with open(os.path.join(folder, "table.csv"), "w") as file:
                file.write(table)
        done = subprocess.run([PROGRAM, "estimate", "--check", name], cwd=folder,
                              capture_output=True, text=True, timeout=60)
        return done.returncode, done.stderr


def good(text, **more):
    got = check(text, **more)
    assert got == (0, ""), got


def refused(said, text, **more):
    code, err = check(text, **more)
    assert code == 3 and said in err, (code, err[:500])


def test_size():
    room = 64 * 1024 - len(CASE.encode())
    good(CASE + "#" * (room - 1) + "\n")
    refused("case.yaml: the file is longer than 64 KiB", CASE + "#" * room + "\n")


def test_depth():
    refused("unknown key 'x'", CASE + "x: " + "[" * 7 + "]" * 7 + "\n")
    refused("nested deeper than 8 levels", CASE + "x: " + "[" * 8 + "]" * 8 + "\n")
    refused("nested deeper than 8 levels", "[" * 30000)
    refused("nested deeper than 8 levels", "{a: " * 10000)
    refused("not valid JSON", "[" * 30000, name="case.json")


def test_values():
    base = 9 # the map, source with its four values, train, its stage and its liquid
    refused("unknown key 'x'", CASE + "x: [" + "1," * (5000 - base - 1) + "]\n")
    refused("more than 5000 values", CASE + "x: [" + "1," * (5000 - base) + "]\n")


def test_stages():
    stage = "  - liquid: 100 mL\n"
    good(SOURCE + "train:\n" + 8 * stage)
    refused("'train' must be a list of 1 to 8 stages", SOURCE + "train:\n" + 9 * stage)


def steps(n):
    one = "    - {from: %d s, flow: 0.2 L/min, NO2: 5 %% by volume}\n"
    return ("source:\n  kind: metered\n  duration: 1 h\n  steps:\n" + "".join(one % (10 * i) for i in range(n)) +
            "train:\n  - liquid: 100 mL\n")


def test_steps():
    refused("'steps' must be a list of 1 to 255 entries", steps(256))
    good(steps(255))


def test_rows_of_a_table():
    def rows(n):
        return HEAD + "".join("%d,0,1e-6,0,0,1e-5,1e-4,0\n" % i for i in range(n))
    good(TABLE, table=rows(2))
    good(TABLE, table=rows(512))
    good(TABLE, table=rows(4).replace("\n", "\r\n"))
    refused("more than 512 rows", TABLE, table=rows(513))
    refused("at least two rows", TABLE, table=rows(1))
    refused("the file is longer than 256 KiB", TABLE, table=rows(3) + "#" * 2**18)


def test_ends_of_lines_and_marks():
    good(CASE.replace("\n", "\r\n"))
    good(CASE.replace("\n", "\r"))
    good("\ufeff" + CASE)
    refused("case.yaml:2:1:", "name: a\n\tb: c\n")


def test_damaged_text():
    """Wherever a byte is damaged, the fault names its place and nothing crashes."""
    text = CASE.encode()
    for at in range(0, len(text), 7):
        for byte in (0x00, 0x09, 0x1b, 0x7f, 0x80, 0xc0, 0xff):
            code, err = check(text[:at] + bytes([byte]) + text[at + 1:])
            assert code == 3 and err.startswith("case.yaml:"), (at, byte, code, err)


def test_numbers():
    for number, said in (("1e400", "the number is too large"), ("nan", "'nan' and 'inf'"),
                         ("inf", "'nan' and 'inf'"), ("-inf", "'nan' and 'inf'"),
                         ("0x10", "hexadecimal"), ("1,5", "comma"), ("9" * 400, "too many digits")):
        refused(said, CASE.replace("100 mL", number + " mL"))
    refused("too close to zero", CASE.replace("100 mL", "1e-400 mL"))


def main():
    tests = [name for name in globals() if name.startswith("test_")]
    failed = 0
    for name in tests:
        try:
            globals()[name]()
            print("ok", name)
        except AssertionError as error:
            failed += 1
            print("FAILED", name, error)
    sys.exit(1 if failed else 0)


main()
