"""Layer (d): the monotone curve and the chances of chi-square against SciPy's.

usage: test_numerics.py ASK
"""
import random
import sys

sys.dont_write_bytecode = True
from scipy import interpolate, stats  # noqa: E402
from judges import Score  # noqa: E402

# both are exact but for rounding; a curve may pass near zero, so 1 is added to it
ROUNDING = 1e-10


def curves(score, draw):
    """SciPy's PCHIP is the same method, Fritsch and Butland's, written by others."""
    for n in range(60):
        x, y = [0.0], [draw.random()]
        for _ in range(draw.randint(2, 9)):
            x.append(x[-1] + 0.1 + draw.random())
            y.append(draw.random() if n % 3 else y[-1] + draw.random())
        judge = interpolate.PchipInterpolator(x, y)
        slope = judge.derivative()
        at = [draw.uniform(x[0], x[-1]) for _ in range(20)]
        rows = " ".join("%.17g %.17g" % row for row in zip(x, y))
        for a, (value, steep) in zip(at, score.answers(["curve %.17g %s" % (a, rows) for a in at])):
            score.relative("curve", "%.4f" % a, 1 + value, 1 + float(judge(a)), ROUNDING)
            score.relative("its slope", "%.4f" % a, 9 + steep, 9 + float(slope(a)), ROUNDING)


def main():
    score = Score(sys.argv[1])
    curves(score, random.Random(1984))
    asked = [(x, k) for k in (1, 2, 3, 4, 7, 12, 31) for x in (0.0, 0.01, 0.7, 3.0, 11.0, 40.0)]
    for (x, k), (chance,) in zip(asked, score.answers(["chi_square %r %d" % a for a in asked])):
        score.relative("chi-square", "%g, %d" % (x, k), chance, stats.chi2.sf(x, k), ROUNDING)
    score.end(2400)


if __name__ == "__main__":
    main()
