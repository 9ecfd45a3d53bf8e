"""Water by the program against IAPWS-95 and its releases on viscosity and tension (python3-iapws).

usage: test_water.py ASK

Tolerances: what the form in use is known for, no finer than the judge itself.
"""
import csv
import pathlib
import sys

sys.dont_write_bytecode = True
from iapws import IAPWS95  # noqa: E402
from iapws._iapws import _Ice, _Tension  # noqa: E402
from iapws.iapws97 import _PSat_T  # noqa: E402

from judges import Score  # noqa: E402

TREE = pathlib.Path(__file__).resolve().parents[2]
ATM_MPA = 0.101325
M_H2O = 0.018015268
TEMPERATURES_C = (0.1, 4, 10, 15, 20, 25, 30, 40, 50, 60, 70, 80)
# quantity: (judge of (T_K, water at 1 atm), tolerance, why)
QUANTITIES = {
    "water_density": (lambda T, w: w.rho, 1e-5),  # Kell 1975; what the judge states is 1e-6
    "water_vapour_pressure": (lambda T, w: _PSat_T(T) * 1e6, 1e-3),  # Buck 1981
    "water_viscosity": (lambda T, w: w.mu, 1e-4),  # the release of 2008 for 1 bar: copied rightly
    "water_surface_tension": (lambda T, w: _Tension(T), 1e-9),  # the very release: copied rightly
    "water_heat_capacity": (lambda T, w: w.cp * 1e3, 1e-3),
}


def main():
    score = Score(sys.argv[1])
    kelvin = [t + 273.15 for t in TEMPERATURES_C]
    water = [IAPWS95(T=T, P=ATM_MPA) for T in kelvin]
    for quantity, (judge, tolerance) in QUANTITIES.items():
        ours = score.answers(["quantity %s %.10g" % (quantity, T) for T in kelvin])
        for T, w, (x,) in zip(kelvin, water, ours):
            score.relative(quantity, "%.1f degC" % (T - 273.15), x, judge(T, w), tolerance)
    # heat of evaporation at 25 degC: vapour over water is no ideal gas, 0.04 kJ of 44
    (gas,), (liquid,) = score.answers(["quantity dHf_H2O_gas", "quantity dHf_H2O_liquid"])
    steam, drop = IAPWS95(T=298.15, x=1), IAPWS95(T=298.15, x=0)
    score.relative("heat of evaporation", "25 degC", gas - liquid,
                   (steam.h - drop.h) * 1e3 * M_H2O, 1e-3)
    with open(TREE / "params/constants.csv", encoding="utf-8") as f:
        fusion, = (1e3 * float(row[1]) for row in csv.reader(f) if row[0] == "ice_fusion")  # kJ/kg
    score.relative("heat of fusion of ice", "0 degC", fusion,
                   (IAPWS95(T=273.15, P=ATM_MPA).h - _Ice(273.15, ATM_MPA)["h"]) * 1e3, 1e-3)
    score.end(60)


if __name__ == "__main__":
    main()
