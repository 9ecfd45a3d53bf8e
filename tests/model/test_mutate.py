"""What tests/mutate changes, and what it leaves as it is.

usage: test_mutate.py PROGRAM (not used)
"""
import os
from importlib.machinery import SourceFileLoader

HERE = os.path.dirname(os.path.abspath(__file__))
mutate = SourceFileLoader("mutate", os.path.join(HERE, "..", "mutate")).load_module()

SAMPLE = """/* a + b, 2.0 * c */
#define TWICE(x) (2.0 * (x) + \\
                  1.5)
static double f(double a, const double *b) // a < b
{
    assert(a > 0.5 && a - 1.5 < 9.0);
    const char *text = "a + b";
    if (a <= 4.0)
        return -a;
    return fmin(a + 2.0 * *b, 0.0);
}
"""
WANTED = {
    "if (a > 4.0)", "if (a <= 4.4)", "if (a <= 4000.0)", "return a;",
    "return fmax(a + 2.0 * *b, 0.0);", "return fmin(a - 2.0 * *b, 0.0);",
    "return fmin(a, 0.0);", "return fmin(a + 2.2 * *b, 0.0);",
    "return fmin(a + 2000.0 * *b, 0.0);", "return fmin(a + 2.0 / *b, 0.0);",
    "return fmin(a + 2.0, 0.0);",
}


def changed(text, slip):
    return text[:slip[0]] + slip[2] + text[slip[1]:]


def test_sample():
    got = set()
    for slip in mutate.slips_of(SAMPLE):
        new = changed(SAMPLE, slip).split("\n")
        differ = [line.strip() for line, old in zip(new, SAMPLE.split("\n")) if line != old]
        assert len(differ) == 1, differ
        got.add(differ[0])
    assert got == WANTED, (got - WANTED, WANTED - got)


def test_function_left_out():
    assert mutate.slips_of(SAMPLE, ["f"]) == []
    more = SAMPLE + SAMPLE.replace(" f(", " g(")
    assert len(mutate.slips_of(more, ["f"])) == len(mutate.slips_of(SAMPLE))


def test_model():
    """Every slip changes the code, and none what the compiler does not read or only prints."""
    slips = mutate.all_slips()
    assert len(slips) > 5000
    texts = {path: (mutate.ROOT / path).read_text() for path, _ in slips}
    for path, slip in slips:
        text = texts[path]
        assert changed(text, slip) != text, (path, slip)
        line = text[text.rfind("\n", 0, slip[0]) + 1:text.find("\n", slip[0])].lstrip()
        assert not line.startswith(("//", "/*", "#", "assert(", "snprintf(")), (path, line)


if __name__ == "__main__":
    test_sample()
    test_function_left_out()
    test_model()
