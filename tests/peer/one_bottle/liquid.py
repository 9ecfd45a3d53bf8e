"""The liquid: concentrations, what stands in equilibrium with it, and how bubbles rise in it."""
import numpy as np

from .matter import (G, M, Chemistry, acid_activity, density, tension_ratio, viscosity_ratio,
                     water_tension, water_viscosity)

# kg/mol of nitrate, N(III), HOONO, NO, NO2, H2O2, H2O: the order of the liquid's amounts
MASS = np.array([M["HNO3"], M["HNO2"], M["HNO3"], M["NO"], M["NO2"], M["H2O2"], M["H2O"]])


class Liquid:
    """Concentrations in M, equilibrium values, and the fluid."""

    def __init__(self, par, n, T):
        m = MASS[:, None] * n
        kg = m.sum(axis=0)
        w, wp = m[0] / kg, m[5] / kg
        # nitrous acid and dissolved gases weigh like nitric acid
        self.rho = density(m[:5].sum(axis=0) / kg, wp, T)
        self.V = kg / self.rho          # m3
        ratio = viscosity_ratio(w)
        self.mu = water_viscosity(T) * ratio
        self.sigma = water_tension(T) * tension_ratio(w)
        self.ch = ch = Chemistry(par, T, ratio)
        L = self.V * 1e3
        a, N3, self.HOONO, self.NO, self.NO2_pool, self.H2O2 = n[:6] / L
        # charge: h = [NO3-] + N3 Ka/(h + Ka)
        b = a - ch.Ka
        self.h = (b + np.sqrt(np.maximum(b * b + 4 * ch.Ka * (a + N3), 0))) / 2 + 1e-7
        self.HNO2 = N3 * self.h / (self.h + ch.Ka)
        molal = n[0] / (n[6] * M["H2O"])
        gamma, self.aw = acid_activity(molal)
        # activity of HNO3 = a_H a_NO3; h also counts the nitrite's hydrogen ions (reading of the C)
        self.a3 = self.h * L / (n[6] * M["H2O"]) * np.maximum(molal, 0) * gamma**2
        self.f_acid = 10**(-par["b_acid"] * a)
        self.NO2 = 2 * self.NO2_pool / (1 + np.sqrt(1 + 8 * ch.Kd * np.abs(self.NO2_pool)))
        # rounded at 1e-11 M, where the root would have no slope
        x = self.HNO2 * self.a3 / (ch.Khyd * self.aw)
        self.NO2_e = np.sqrt((x + np.sqrt(x * x + 1e-44)) / 2)
        self.NO_e = self.NO / ch.H["NO"]
        self.N2O3_e = (ch.K3 * ch.K5 * self.HNO2 * np.abs(self.HNO2)
                       / (self.aw * ch.H["NO"] * ch.H["NO2"]))
        self.HNO3_e = self.a3 / ch.KH3
        self.H2O_e = self.aw * ch.pw


def rise(liq, d):
    """Tomiyama, contaminated: the smaller of the viscous and the distorted velocity."""
    nu = liq.mu / liq.rho
    drho = liq.rho - 1.2
    Ar = 4 / 3 * G * d**3 * drho * liq.rho / liq.mu**2    # = Cd Re2
    x = np.log(Ar / 24)
    target = x
    for _ in range(6):
        e = 0.15 * np.exp(0.687 * x)
        x = x - (x + np.log1p(e) - target) / (1 + 0.687 * e / (1 + e))
    viscous = np.exp(x) * nu / d
    return np.minimum(viscous, np.sqrt(2 * liq.sigma / (liq.rho * d) + G * d * drho / liq.rho / 2))


def kL_bubble(par, liq, d, u, D):
    nu = liq.mu / liq.rho
    mobile = 2 * np.sqrt(D * u / (np.pi * d))
    rigid = D / d * (2 + 0.6 * np.sqrt(u * d / nu) * np.cbrt(nu / D))
    f = 1 / (1 + (par["kL_blend_diameter"] * 1e-3 / d)**4)
    return par["factor_kL"] * (f * mobile + (1 - f) * rigid)
