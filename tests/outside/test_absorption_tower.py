"""Which way, and how steeply, the loss of an absorber goes: the stack-loss data (statsmodels).

usage: test_absorption_tower.py NOXWASH

Twenty-one days of a plant that oxidises ammonia to nitric acid (Brownlee 1965, as shipped with
python3-statsmodels): share of the nitrogen that leaves the absorption tower unabsorbed, against the
rate of operation (air flow), the temperature of the cooling water and the strength of the
circulating acid. Beside it six bottles in a row fed with the like gas, the acid getting weaker from
the first to the last as it does in a tower, and losing about as much (1.75 % there).

To be compared: the signs; the steepness d ln(loss)/d ln(flow) and d ln(loss)/dT against the 95 %
limits of the regression; that acid half a per cent stronger or weaker is not to be seen. Not to be
compared: the loss itself. The tower's size, trays, pressure and gas are not in the data.
"""
import math
import os
import pathlib
import sys

sys.dont_write_bytecode = True
import numpy  # noqa: E402
import statsmodels.api as sm  # noqa: E402
from statsmodels.datasets import stackloss  # noqa: E402

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "notebooks"))

BOTTLES = 6
# The flow is a known miss. In the bottles it only shortens the gas's time: bubbles, pressure and
# temperature stay. In the plant it is the rate of the whole works, and warms the tower too.
FLOW_IS_A_KNOWN_MISS = True


def case(flow=1.0, celsius=21.0, acid=40.0):
    stages = [{"volume": "1 L", "inner diameter": "80 mm", "liquid": "250 mL",
               "acid": "%.12g wt%%" % (acid * (1 - i / (BOTTLES - 1))),
               "tip": {"kind": "bubble diameter", "bubble diameter": "3 mm"},
               "bath": {"kind": "water", "temperature": "%g degC" % celsius, "stirred": True}}
              for i in range(BOTTLES)]
    return {"source": {"kind": "metered", "shape": "steady", "flow": "%g L/min" % flow,
                       "NO2": "6 %", "NO": "3 %", "O2": "10 %", "duration": "60 min"},
            "train": stages, "surroundings": {"temperature": "%g degC" % celsius},
            "after": {"standing": "0 min"}}


def loss(**changes):
    import noxwash
    return noxwash.estimate(case(**changes)).headline["escaped_fraction"]


def main():
    os.environ["NOXWASH"] = os.path.abspath(sys.argv[1])
    data = stackloss.load_pandas().data
    assert len(data) == 21
    # air flow as a logarithm; acid in wt%: the column holds (wt% - 50) * 10
    inputs = sm.add_constant(numpy.column_stack([numpy.log(data["AIRFLOW"]), data["WATERTEMP"],
                                                 data["ACIDCONC"] / 10]))
    fit = sm.OLS(numpy.log(data["STACKLOSS"]), inputs).fit()
    limits = numpy.asarray(fit.conf_int())
    base = loss()
    ours = (None, math.log(loss(flow=1.2) / base) / math.log(1.2),
            math.log(loss(celsius=26) / base) / 5, math.log(loss(acid=41) / base))
    names = (None, "d ln loss / d ln flow", "d ln loss / dT, 1/K", "d ln loss / d acid, 1/wt%")
    print("loss here %.2f %%, there %.2f %%" % (100 * base, data["STACKLOSS"].mean() / 10))
    bad = 0
    for i in (1, 2, 3):
        inside = limits[i][0] <= ours[i] <= limits[i][1]
        sign = ours[i] > 0 and limits[i][0] > 0 if i < 3 else limits[i][0] < 0 < limits[i][1]
        missed = i == 1 and FLOW_IS_A_KNOWN_MISS
        good = bool(sign) and bool(inside) != missed
        bad += not good
        print("%-26s ours %8.4f, data %8.4f (%.4f to %.4f)%s%s" % (
            names[i], ours[i], numpy.asarray(fit.params)[i], *limits[i],
            " known miss" if missed and not inside else "", "" if good else "   <-- DIFFERS"))
    if not 0.005 < base < 0.05:
        print("the loss here is no longer like the tower's")
        bad += 1
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
