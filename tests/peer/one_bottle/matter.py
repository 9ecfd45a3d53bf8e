"""Constants at a temperature, and properties of water and nitric acid.

Units here: mol/L (M), atm, m, s, K, J; a flux is kmol/(m2 s), since m/s x mol/L = kmol/(m2 s).
"""
import numpy as np
from scipy.interpolate import PchipInterpolator

ATM = 101325.0
G = 9.80665
R_J = 8.314462618
R_M3 = R_J / ATM * 1e3  # m3 atm/(kmol K)
T0 = 298.15

M = dict(HNO3=0.063012, HNO2=0.047013, H2O=0.018015, H2O2=0.034014, NO=0.030006, NO2=0.046005)


class Table:
    """Values of the constants by key; `at` applies exp(B (1/T - 1/298.15))."""

    def __init__(self, values):
        self.v = dict(values)

    def __getitem__(self, key):
        return self.v[key]

    def at(self, key, T):
        return self.v[key] * np.exp(self.v[key + "_B"] * (1.0 / T - 1.0 / T0))


# ---------------------------------------------------------------------------- water

def water_vapour_atm(T):
    """Buck 1996 over liquid water."""
    t = T - 273.15
    return 611.21 * np.exp((18.678 - t / 234.5) * t / (257.14 + t)) / ATM


def water_density(T):
    """Kell 1975, kg/m3."""
    t = T - 273.15
    p = ((((-2.8054253e-10 * t + 1.0556302e-7) * t - 4.6170461e-5) * t - 0.0079870401) * t
         + 16.945176) * t + 999.83952
    return p / (1 + 0.01687985 * t)


def water_viscosity(T):
    """IAPWS 2008 line at 0.1 MPa, Pa s. (The description names an older line 1-2 % lower when cold; the
    C took this better one, and so does the peer.)"""
    x = T / 300.0
    return 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40)


def water_tension(T):
    t = 1 - T / 647.096
    return 0.2358 * t**1.256 * (1 - 0.625 * t)


# ---------------------------------------------------------------------------- solutions

def _laliberte(c, w, T):
    t = T - 273.15
    app = (c[0] * w + c[1]) * np.exp(1e-6 * (t + c[4])**2) / (w + c[2] + c[3] * t)
    return 1.0 / ((1 - w) / water_density(T) + w / app)


# Laliberte 2009, J. Chem. Eng. Data 54, 1725 (data file); within 0.0015 g/cm3 of the CRC row
_ACID = (0.272070788161643, -0.399605969016834, -2.33691977745914, 0.00662112384275969,
         -3089.01794099058)
_PEROXIDE = (1245.67858462509, 1565.31293687729, 0.986168814056093, 0.00271435211005942,
             200.77493156052)


def density(w_acid, w_peroxide, T):
    """kg/m3; what is mixed shares the volume each would give alone at the same total share."""
    s = w_acid + w_peroxide
    s1 = np.maximum(s, 1e-12)
    v = w_acid / s1 / _laliberte(_ACID, s, T) + w_peroxide / s1 / _laliberte(_PEROXIDE, s, T)
    return np.where(s > 1e-12, 1.0 / np.where(s > 1e-12, v, 1.0), water_density(T))


# CRC Handbook 102nd ed., 20 degC, mPa s; 50 wt% from memory
_VISCOSITY = PchipInterpolator([0, .05, .10, .20, .30, .40, .50],
                               np.array([1.002, 1.018, 1.044, 1.141, 1.311, 1.561, 1.8]) / 1.002)


def viscosity_ratio(w):
    return _VISCOSITY(np.clip(w, 0, .5))


def tension_ratio(w):
    """72.75, 65, 41 mN/m at 0, 50, 100 wt%."""
    a, b = (65 - 72.75) / 72.75, (41 - 72.75) / 72.75
    q = 2 * b - 4 * a  # through (0,0), (.5,a), (1,b)
    return 1 + q * w * w + (b - q) * w


# Parker 1965: heat released on diluting one mole from m to infinity, kJ/mol, as printed
_DILUTION = PchipInterpolator(
    [0, .25, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5506, 6, 7, 8, 9, 10, 15, 20],
    [0, .35, .506, .506, .527, .582, .665, .791, .958, 1.109, 1.31, 1.54, 1.749, 2.251, 2.791,
     3.368, 3.933, 6.883, 9.498])


def dilution_J_mol(m):
    return 1e3 * _DILUTION(np.clip(m, 0, 20))


def acid_activity(m):
    """(mean activity coefficient, water activity) of HNO3 at molality m."""
    m = np.maximum(m, 1e-9)
    r = np.sqrt(m)
    gamma = 10**(-0.509 * r / (1 + 1.5 * r) + 0.0645 * m - 0.00146 * m * m)
    x = 1 + 1.5 * r
    bracket = np.where(m < 1e-4, 1.5**3 * m * r / 3, x - 2 * np.log(x) - 1 / x)
    phi = 1 + np.log(10) * (-0.509 / (1.5**3 * m) * bracket + 0.0645 * m / 2
                            - 0.00146 * 2 / 3 * m * m)
    return gamma, np.exp(-0.03603 * m * phi)


# ---------------------------------------------------------------------------- chemistry

class Chemistry:
    """Everything that depends on temperature (and the acid's viscosity) only."""

    def __init__(self, par, T, ratio=1.0):
        self.T = T
        at = par.at
        self.RT = R_M3 * T  # m3 atm/kmol
        self.K4, self.K3, self.Kg2 = at("K_N2O4", T), at("K_N2O3", T), at("K_HNO2_gas", T)
        self.k_ox = at("k_NO_oxidation", T)   # L2/(mol2 s), per event
        self.k_g2 = par["k_HNO2_gas"]         # kmol/(m3 s atm3)
        t = (T / T0)**1.81
        self.Dg = {s: par["D_%s_air" % s] * t
                   for s in ("NO", "NO2", "N2O4", "N2O3", "HNO2", "HNO3", "H2O", "O2")}
        self.pw = water_vapour_atm(T)
        self.H = {s: at("H_" + s, T) for s in ("NO", "NO2", "N2O4", "N2O3", "HNO2")}
        self.KH3 = at("KH_HNO3", T)
        f = T / T0 * water_viscosity(T0) / water_viscosity(T) / ratio
        self.D = {s: par["D_%s_water" % s] * f for s in ("NO", "NO2", "N2O4", "N2O3", "HNO2")}
        self.k2, self.k5 = at("k2_NO2", T), at("k5_HNO2", T)
        self.k3 = at("khyd_N2O3", T)
        self.Kd = self.H["N2O4"] * self.K4 / self.H["NO2"]**2   # L/mol: [N2O4] = Kd [NO2]^2
        # one cycle: NO + NO2 + H2O(g) = 2 HNO2(g) with the Henry constants, then 3 HNO2 = ...
        self.K5 = self.H["NO"] * self.H["NO2"] / (self.Kg2 * self.H["HNO2"]**2 * self.pw)
        self.Khyd = at("K3_HNO2", T) * self.H["NO"]**2 / self.K5**2
        self.Ka = at("Ka_HNO2", T)
        self.kp = at("k_HNO2_H2O2", T)
        self.kq = at("k_HOONO", T)
