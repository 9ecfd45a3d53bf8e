"""Gas equilibrium and what goes through an interface; atm, mol/L, kmol/(m2 s)."""
import numpy as np

NO, NO2, HNO2, HNO3, O2, INERT, H2O = range(7)


class Gas:
    """Molecules in a gas of given pools n (any unit) at pressure P.

    With c = atm per unit of pool and a, b the pressures of NO and NO2:
        n_NO c = a (1 + K3 b)          n_NO2 c = b + 2 K4 b2 + K3 a b
        P = (n_NO + others) c + b + K4 b2      (NO* keeps its number of molecules)
    Newton for (b, c).
    """

    def __init__(self, n, P, K4, K3):
        S = n.sum(axis=0)
        n1, n2 = n[NO], n[NO2]
        rest = S - n2
        c = P / S
        B = n2 * c
        b = 2 * B / (1 + np.sqrt(1 + 8 * K4 * np.abs(B)))
        for _ in range(30):
            q = 1 + K3 * b
            a = n1 * c / q
            f1 = b + 2 * K4 * b * np.abs(b) + K3 * a * b - n2 * c
            f2 = rest * c + b + K4 * b * np.abs(b) - P
            j11 = 1 + 4 * K4 * np.abs(b) + K3 * a / q
            j12 = K3 * b * n1 / q - n2
            j21 = 1 + 2 * K4 * np.abs(b)
            det = j11 * rest - j12 * j21
            db = (f1 * rest - j12 * f2) / det
            dc = (j11 * f2 - j21 * f1) / det
            b, c = b - db, c - dc
            # Newton squares the error: a last step of 1e-8 leaves rounding
            if (np.abs(db) <= 1e-8 * np.abs(b) + 1e-22).all() and (
                    np.abs(dc) <= 1e-8 * np.abs(c)).all():
                break
        self.P, self.c = P, c
        self.pNO = n1 * c / (1 + K3 * b)
        self.pNO2 = b
        self.pN2O4 = K4 * b * np.abs(b)
        self.pN2O3 = K3 * self.pNO * b
        self.pool = n * c

    def rows(self, which):
        """The same for some of the gases."""
        part = object.__new__(Gas)
        for name in ("P", "c", "pNO", "pNO2", "pN2O4", "pN2O3"):
            setattr(part, name, getattr(self, name)[which])
        part.pool = self.pool[:, which]
        return part


def weighted(D, parts):
    """Mole-weighted mean of a pool's diffusivities."""
    top = bottom = 0.0
    for name, p in parts:
        p = np.abs(p) + 1e-15
        top, bottom = top + p * D[name], bottom + p
    return top / bottom


def nitrogen_dioxide(liq, c, kL):
    """Hydrolysis and physical uptake at the interface concentration c (M): (J_h, J_p, slope).

    Both are driven from the bulk's equilibrium e: the reversible film
    J_f^2 = 4 k2 (c - e)^2 (D1 (c + 2 e)/3 + Kd D4 (c + e)^2), first integral of
    F'' = 2 k2 (c^2 - e^2), F = D1 c + 2 Kd D4 c^2, and diffusion J_d = kL (F - F_e)/D1, added in
    squares. What the bulk holds beyond equilibrium only diffuses, by the share that diffusion has.
    """
    ch, e = liq.ch, liq.NO2_e
    m, sign = np.abs(c), np.where(c < 0, -1.0, 1.0)
    D1, KD = ch.D["NO2"] / 3, ch.Kd * ch.D["N2O4"]
    react = 4 * ch.k2 * liq.f_acid**2 * (D1 * (m + 2 * e) + KD * (m + e)**2)
    d_react = 4 * ch.k2 * liq.f_acid**2 * (D1 + 2 * KD * (m + e)) * sign
    diffuse, d_diffuse = kL * (1 + 2 * ch.Kd * (m + e)), 2 * kL * ch.Kd * sign
    both = np.sqrt(react + diffuse**2)
    d_both = (d_react / 2 + diffuse * d_diffuse) / both
    beyond = kL * (liq.NO2_pool - e - 2 * ch.Kd * e**2)
    share, d_share = diffuse / both, (d_diffuse - diffuse * d_both / both) / both
    h = (c - e) * react / both
    p = (c - e) * diffuse * share - beyond * share
    slope = both + (c - e) * d_both - beyond * d_share
    return h, p, slope


def fluxes(g, liq, kG, kL, RT, blow=True):
    """Into the liquid: dict of NO, N2O3, hyd, pool (both N), HNO2, HNO3, H2O.

    kG: dict of pools, kL: dict NO, NO2, HNO2, all m/s.
    High flux: kG of NO2* times the reciprocal log mean of 1 - y, y the molecules of the NO2* pool
    (reading of the C: the description says log-mean factor and leaves open which molecules; NO, HNO2,
    HNO3 and water keep their plain kG).
    """
    ch = liq.ch
    K4, K3 = ch.K4, ch.K3
    g1, g2 = kG["NO"] / RT, kG["NO2"] / RT
    A1 = kL["NO"] * ch.H["NO"]
    A3 = ch.H["N2O3"] * np.sqrt(ch.k3 * ch.D["N2O3"] + kL["NO"]**2)
    P1, P2 = g.pool[NO], g.pool[NO2]
    yb = (g.pNO2 + g.pN2O4 + g.pN2O3) / g.P
    stay_b = np.maximum(1 - yb, 5e-3)
    b = np.array(np.broadcast_to(g.pNO2, P2.shape), dtype=float)
    for _ in range(60):
        # NO at the interface is linear once b is known
        den = g1 * (1 + K3 * b) + A1 + A3 * K3 * b
        a = (g1 * P1 + A1 * liq.NO_e + A3 * liq.N2O3_e) / den
        da = -a * K3 * (g1 + A3) / den
        p3, dp3 = K3 * a * b, K3 * (a + b * da)
        P2i = b + 2 * K4 * b * np.abs(b) + p3
        dP2 = 1 + 4 * K4 * np.abs(b) + dp3
        if blow:
            yi = (b + K4 * b * np.abs(b) + p3) / g.P
            stay = np.maximum(1 - yi, 5e-3)
            r = stay / stay_b - 1
            near = np.abs(r) < 1e-4
            rs = np.where(near, 1.0, r)
            th = np.where(near, 1 - r / 2 + r * r / 3, np.log1p(rs) / rs) / stay_b
            dth = np.where(near, -.5 + 2 * r / 3, 1 / (rs * (1 + rs)) - np.log1p(rs) / rs**2)
            dth = -dth / stay_b**2 * (1 + 2 * K4 * np.abs(b) + dp3) / g.P
        else:
            th, dth = 1.0, 0.0
        h, p, slope = nitrogen_dioxide(liq, ch.H["NO2"] * b, kL["NO2"])
        F = g2 * th * (P2 - P2i) - h - p - A3 * (p3 - liq.N2O3_e)
        dF = (g2 * (dth * (P2 - P2i) - th * dP2) - slope * ch.H["NO2"] - A3 * dp3)
        step = F / dF
        new = b - step
        new = np.where((b > 0) & (new < -1e-9 * np.abs(P2)), 0.2 * b, new)
        done = np.abs(new - b) <= 1e-8 * np.abs(b) + 1e-20
        b = new
        if done.all():
            break
    den = g1 * (1 + K3 * b) + A1 + A3 * K3 * b
    a = (g1 * P1 + A1 * liq.NO_e + A3 * liq.N2O3_e) / den
    h, p, _ = nitrogen_dioxide(liq, ch.H["NO2"] * b, kL["NO2"])
    return dict(NO=A1 * (a - liq.NO_e), N2O3=A3 * (K3 * a * b - liq.N2O3_e), hyd=h, pool=p,
                HNO2=(g.pool[HNO2] - liq.HNO2 / ch.H["HNO2"])
                / (RT / kG["HNO2"] + 1 / (kL["HNO2"] * ch.H["HNO2"])),
                HNO3=kG["HNO3"] / RT * (g.pool[HNO3] - liq.HNO3_e),
                H2O=kG["H2O"] / RT * (g.pool[H2O] - liq.H2O_e))


def gas_reactions(ch, g):
    """Per volume of gas, kmol/(m3 s): (loss of NO by oxidation, events NO + NO2 + H2O -> 2 HNO2).

    -d[NO]/dt = 2 k [NO]^2 [O2], molecules of NO only (not N2O3)."""
    RT = ch.RT
    c1, cO = g.pNO / RT, g.pool[O2] / RT   # kmol/m3 = mol/L
    ox = 2 * ch.k_ox * c1 * np.abs(c1) * np.maximum(cO, 0)
    p = g.pool[HNO2]
    form = ch.k_g2 * (g.pNO * g.pNO2 * np.maximum(g.pool[H2O], 0) - p * np.abs(p) / ch.Kg2)
    return ox, form
