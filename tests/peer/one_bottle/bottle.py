"""One bottle: bubbles by Radau collocation, liquid, headspace, wall; BDF of SciPy."""
import time

import numpy as np
from scipy.integrate import solve_ivp

from .film import Gas, HNO2, HNO3, H2O, INERT, NO, NO2, O2, fluxes, gas_reactions, weighted
from .liquid import MASS, Liquid, kL_bubble, rise
from .matter import (ATM, G, M, R_J, R_M3, T0, Chemistry, Table, density, dilution_J_mol,
                     water_vapour_atm)
from .source import Source

# Radau IIA of three stages: nodes, Butcher matrix
_S6 = np.sqrt(6.0)
RADAU = np.array([[(88 - 7 * _S6) / 360, (296 - 169 * _S6) / 1800, (-2 + 3 * _S6) / 225],
                    [(296 + 169 * _S6) / 1800, (88 + 7 * _S6) / 360, (-2 - 3 * _S6) / 225],
                    [(16 - _S6) / 36, (16 + _S6) / 36, 1 / 9]])
UPWIND = np.array([[1.0]])  # plain first-order slices, for comparison only

POOLS = ("NO", "NO2", "HNO2", "HNO3", "O2", "INERT", "H2O")
# J/(mol K) near 300 K (JANAF, from memory); choice of the C, the description names none
CP_GAS = np.array([29.9, 37.2, 45.5, 53.3, 29.4, 29.1, 33.6])
CP_N2O4, CP_N2O3 = 77.3, 65.6
CP_WATER = 4181.0
CLOCK = time.process_time  # of all threads; other work on the machine is not in it


class Bottle:
    """Options switch single assumptions, to see what each is worth: glass_J_K (heat capacity of the
    glass), blow (log-mean factor), wall (slower near the wall), pool_NO (N2O3 in the diffusivity of
    NO*), head_at_liquid and head_add_K (temperature of the headspace), formation (contact while a
    bubble forms), upwind (first-order slices), whole_head=False (only the slow reactions heat the headspace)."""

    def __init__(self, case, values, elements=4, **options):
        if len(case["train"]) != 1 or case["train"][0]["kind"] != "bottle":
            raise ValueError("the peer knows one bottle only")
        self.case, self.s = case, case["train"][0]
        self.par = Table(values)
        self.src = Source(case)
        self.opt = dict(glass_J_K=None, blow=True, wall=True, pool_NO=True, head_at_liquid=False,
                        formation=False, upwind=False, head_add_K=0.0, whole_head=True)
        self.opt.update(options)
        self.K = elements
        edge = (np.arange(elements + 1) / elements)**1.5
        butcher = RADAU
        if self.opt["upwind"]:
            butcher, edge = UPWIND, np.arange(elements + 1) / elements
        self.slope, self.weights, self.stages = np.linalg.inv(butcher), butcher[-1], len(butcher)
        self.w = np.diff(edge)[:, None, None]                   # (K,1,1)
        self.xi = edge[:-1, None, None] + self.w * butcher.sum(axis=1)[None, :, None]
        self.nb = 7 * self.stages * elements
        s, p = self.s, self.par
        self.area = np.pi / 4 * s["inner_diameter_m"]**2
        self.P = case["surroundings_pressure_Pa"] / ATM
        self.Troom = case["surroundings_temperature_K"]
        glass = p["glass_heat_250mL"] * (s["volume_m3"] / 250e-6)**(2 / 3)
        self.glass = glass if self.opt["glass_J_K"] is None else self.opt["glass_J_K"]
        k = 1e3
        self.hg = np.array([p["dHf_NO_gas"], p["dHf_NO2_gas"], p["dHf_HNO2_gas"],
                            p["dHf_HNO3_gas"], 0, 0, p["dHf_H2O_gas"]]) * k
        # dissolved NO and NO2 by the slope of their Henry constants: dH = -R B
        self.hl = np.array([p["dHf_HNO3_aq"] * k, p["dHf_HNO2_aq"] * k, p["dHf_HOONO_aq"] * k,
                            self.hg[0] - R_J * p["H_NO_B"], self.hg[1] - R_J * p["H_NO2_B"],
                            p["dHf_H2O2_aq"] * k, p["dHf_H2O_liquid"] * k])
        wet = 0.5 * water_vapour_atm(self.Troom) / self.P   # room air half humid: reading of the C
        self.room = np.array([0, 0, 0, 0, .2095 * (1 - wet), .7905 * (1 - wet), wet])

    # ------------------------------------------------------------------- enthalpies

    def h_pool(self, T):
        return self.hg[:, None] + CP_GAS[:, None] * (T - T0)

    def dimer_J(self, g, T):
        """Enthalpy of association per unit of pool content c, J."""
        n4, n3 = g.pN2O4 / g.c, g.pN2O3 / g.c
        p = self.par
        h4 = 1e3 * p["dHf_N2O4_gas"] + CP_N2O4 * (T - T0)
        h3 = 1e3 * p["dHf_N2O3_gas"] + CP_N2O3 * (T - T0)
        hNO = self.hg[0] + CP_GAS[0] * (T - T0)
        hNO2 = self.hg[1] + CP_GAS[1] * (T - T0)
        return n4 * (h4 - 2 * hNO2) + n3 * (h3 - hNO - hNO2)

    def H_liquid(self, n, T):
        m = MASS[:, None] * n
        kg = m.sum(axis=0)
        w = m[0] / kg
        C = CP_WATER * kg * (1 - 1.11 * w + 0.82 * w * w)
        mol = n[0] / (n[6] * M["H2O"])
        return (self.hl[:, None] * n).sum(axis=0) + n[0] * dilution_J_mol(mol) + C * (T - T0), C

    # ------------------------------------------------------------------- the wall

    def UA(self, liq, level, uG):
        s, p = self.s, self.par
        if s["UA_W_K"] is not None:
            return s["UA_W_K"] + 0 * level
        nu = liq.mu / liq.rho
        k = 0.607
        Pr = CP_WATER * liq.mu / k
        deck = 0.1 * liq.rho * CP_WATER * uG * (np.maximum(uG, 1e-12)**3 / (nu * G) * Pr**2)**-0.25
        inside = np.maximum(deck, p["h_inside_least"])
        liquid_bath = s["bath"] != "air"
        out = p["h_air"]
        if liquid_bath:
            out = (p["h_bath_stirred"] if s["bath_stirred"] else
                   p["h_ice_still"] if s["bath"] == "ice water" else p["h_water_still"])
        A = np.pi * s["inner_diameter_m"] * np.minimum(level, s["volume_m3"] / self.area)
        A = A + (self.area if liquid_bath else 0)
        return p["factor_UA"] * A / (1 / inside + s["wall_thickness_m"] / p["glass_conductivity"]
                                     + 1 / out)

    def bath_T(self, Q):
        s = self.s
        if s["bath"] != "ice water":
            return s["bath_temperature_K"] + 0 * Q
        melt = s["ice_kg"] * self.par["ice_fusion"] * 1e3
        return 273.15 + np.maximum(Q - melt, 0) / (4186 * (s["ice_kg"] + s["bath_water_kg"]))

    # ------------------------------------------------------------------- tip

    def birth(self, liq, Q):
        s, p = self.s, self.par
        kind = s["tip"]
        if kind in ("bubble diameter", "fixed diameter"):
            d = s["bubble_diameter_m"] + 0 * Q
        elif kind in ("open tube", "holes"):
            q = Q / (s["holes"] if kind == "holes" else 1)
            d = ((6 * s["bore_m"] * liq.sigma / (liq.rho * G))**(4 / 3)
                 + 81 * liq.mu / liq.rho * q / (np.pi * G)
                 + (135 * q * q / (4 * np.pi**2 * G))**0.8)**0.25
        else:
            raise ValueError("the peer knows no frits")
        return d * p["factor_bubble_diameter"]

    # ------------------------------------------------------------------- right-hand side

    def rates(self, t, Y):
        one = Y.ndim == 1
        if one:
            Y = Y[:, None]
        s, par, opt = self.s, self.par, self.opt
        k = Y.shape[1]
        N = Y[:self.nb].reshape(7, self.K, self.stages, k)
        z = Y[self.nb:]
        nl, T, Qb, nh = z[:7], z[7], z[8], z[9:16]
        flow, y = self.src.flow(t)
        F = flow.sum()

        liq = Liquid(par, nl, T)
        ch = liq.ch
        level = liq.V / self.area
        depth = (s["depth_m"] + 0 * level if s["depth_m"] is not None
                 else np.maximum(level - s["tip_clearance_m"], 0))
        Pl = self.P + liq.rho * G * depth / ATM
        RTm = R_M3 * T * 1e-3            # m3 atm/mol
        fed = np.broadcast_to(y[:, None], (7, k))
        tip = Gas(fed, Pl, ch.K4, ch.K3)
        Q = F * RTm / tip.c              # c: atm per mole of pools in one mole
        d0 = self.birth(liq, Q)
        Pb = Pl + 4 * liq.sigma / d0 / ATM
        V0 = np.pi / 6 * d0**3
        # all gases at once: the nodes of the path, a fresh bubble, the top one burst, the headspace
        m = self.K * self.stages
        B = N.reshape(7, m, k).copy()
        total = B.sum(axis=0)
        B[INERT] += 1e-6 + 0.5 * (np.sqrt(total**2 + 1e-6) - total)   # something stays a gas
        Pn = self.P + (liq.rho * G * depth * (1 - self.xi.reshape(m, 1))
                       + 4 * liq.sigma / d0) / ATM
        Th = T if opt["head_at_liquid"] else (T + self.Troom) / 2
        Th = Th + opt["head_add_K"]
        cg = Chemistry(par, Th)
        contents = np.concatenate([B, fed[:, None], B[:, -1:], nh[:, None]], axis=1)
        P0 = np.full((1, k), self.P)
        last = np.arange(m + 3)[:, None] == m + 2
        gas = Gas(contents, np.concatenate([Pn, Pb[None], P0, P0]),
                  np.where(last, cg.K4, ch.K4), np.where(last, cg.K3, ch.K3))
        g, gt, gh = gas.rows(slice(0, m)), gas.rows(m + 1), gas.rows(m + 2)
        n0 = V0 * gas.c[m] / RTm         # mol of pools in a fresh bubble
        rate_b = F / n0                  # bubbles per second

        # bubbles
        V = n0 * RTm / g.c
        floor = par["bubble_diameter_floor"] * 1e-3
        d = np.cbrt(6 / np.pi * V + floor**3)
        u = rise(liq, d)
        if opt["wall"]:
            u = u * (1 - (d / s["inner_diameter_m"])**2)**1.5
        plume = {"holes": par["plume_holes"], "frit": par["plume_frit"]}.get(s["tip"],
                                                                            par["plume_tube"])
        u_all = (u + plume * np.cbrt(G * Q / np.maximum(depth, 1e-3))) / par["factor_residence"]
        if opt["formation"]:   # 0.6 of the time a bubble takes to form
            u_all = depth / (depth / u_all + 0.6 / (rate_b + 1e-3))
        Sh = par["Sh_bubble"] * par["factor_kG"] / d / Pn
        D1 = ch.Dg["NO"]
        if opt["pool_NO"]:
            D1 = weighted(ch.Dg, (("NO", g.pNO), ("N2O3", g.pN2O3)))
        D2 = weighted(ch.Dg, (("NO2", g.pNO2), ("N2O4", 2 * g.pN2O4), ("N2O3", g.pN2O3)))

        # the surface of the bottle and its wet wall: the last row of the coefficients
        Vg = R_M3 * Th * 1e-3 / gh.c
        Vh = np.maximum(s["volume_m3"] - liq.V, 1e-6)
        uG = Q / self.area
        stir = uG / (uG + 2e-6)          # bubbling or quiet: reading of the C
        kG_s = par["factor_kG"] * (stir * par["kG_surface"] + (1 - stir) * par["kG_quiet"])
        ren = 2 * np.sqrt(par["surface_velocity"] / (np.pi * s["inner_diameter_m"]))
        kG, kL = {}, {}
        for q, D in (("NO", D1), ("NO2", D2), ("HNO2", ch.Dg["HNO2"]), ("HNO3", ch.Dg["HNO3"]),
                     ("H2O", ch.Dg["H2O"])):
            kG[q] = np.concatenate([Sh * D, kG_s[None]])
        for q in ("NO", "NO2", "HNO2"):
            flat = par["factor_kL"] * (stir * ren * np.sqrt(ch.D[q])
                                       + (1 - stir) * par["kL_quiet"])
            kL[q] = np.concatenate([kL_bubble(par, liq, d, u, ch.D[q]), flat[None]])
        both = np.r_[0:m, m + 2]
        RT = np.where(np.arange(m + 1)[:, None] == m, cg.RT, ch.RT)
        J = fluxes(gas.rows(both), liq, kG, kL, RT, opt["blow"])
        A = np.pi * d * d * 1e3          # kmol -> mol
        take = {q: A * J[q][:m] for q in J}  # mol/s of one bubble
        As = (self.area + par["wet_wall_share"] * 4 * Vh / s["inner_diameter_m"]) * 1e3
        E = {q: As * J[q][m] for q in J}
        ox, form = (x * V * 1e3 for x in gas_reactions(ch, g))
        hox, hform = (x * Vg * 1e3 for x in gas_reactions(cg, gh))
        loss = np.empty_like(B)
        loss[NO] = take["NO"] + take["N2O3"] + ox + form
        loss[NO2] = take["hyd"] + take["pool"] + take["N2O3"] - ox + form
        loss[HNO2] = take["HNO2"] - 2 * form
        loss[HNO3] = take["HNO3"]
        loss[O2] = ox / 2
        loss[INERT] = 0
        loss[H2O] = take["H2O"] + form
        start = np.concatenate([np.broadcast_to(fed[:, None, :], (7, 1, k)), N[:, :-1, -1]], axis=1)
        slope = np.einsum("ij,pejk->peik", self.slope, N - start[:, :, None, :])
        grid = (7, self.K, self.stages, k)
        u_all = u_all.reshape(grid[1:])
        dN = -u_all / (self.w * np.maximum(depth, 1e-3)) * slope - (loss / n0).reshape(grid)
        # integrals over the path, mol/s of all bubbles
        share = (rate_b * depth * self.w * self.weights[None, :, None] / u_all).reshape(m, k)
        S = {q: (share * take[q]).sum(axis=0) for q in take}
        into = flow[:, None] - (share * loss).sum(axis=1)

        # the bulk's reactions, mol/s
        L = liq.V * 1e3
        hyd = ch.k2 * liq.f_acid**2 * (liq.NO2 * np.abs(liq.NO2) - liq.NO2_e**2) * L
        dec = ch.k5 * (liq.HNO2 * np.abs(liq.HNO2) - liq.NO * liq.NO2 * liq.aw / ch.K5) * L
        per = ch.kp * liq.h * (liq.HNO2 * liq.H2O2 - par["K_HOONO"] * liq.HOONO) * L
        iso = (ch.kq + par["k_HOONO_HNO2"] * liq.HNO2 * liq.h) * liq.HOONO * L
        sat = ch.H["NO"] * (self.P + liq.rho * G * level / 2 / ATM)
        x = liq.NO / sat - 1
        # effervescence above a threshold rounded over a tenth of the saturation (choice of the C)
        over = np.where(x > 0.1, x - 0.05, np.where(x > 0, 100 * x**3 * (1 - 5 * x), 0))
        fizz = par["k_effervescence"] * sat * over * L

        in_hyd = S["hyd"] + E["hyd"]
        dl = np.stack([
            in_hyd / 2 + S["HNO3"] + E["HNO3"] + hyd + iso,
            in_hyd / 2 + 2 * (S["N2O3"] + E["N2O3"]) + S["HNO2"] + E["HNO2"] + hyd - 2 * dec - per,
            per - iso,
            S["NO"] + E["NO"] + dec - fizz,
            S["pool"] + E["pool"] - 2 * hyd + dec,
            -per,
            S["H2O"] + E["H2O"] - in_hyd / 2 - S["N2O3"] - E["N2O3"] - hyd + dec + per])

        dh = into.copy()
        dh[NO] += fizz - E["NO"] - E["N2O3"] - hox - hform
        dh[NO2] += hox - hform - E["hyd"] - E["pool"] - E["N2O3"]
        dh[HNO2] += 2 * hform - E["HNO2"]
        dh[HNO3] -= E["HNO3"]
        dh[O2] -= hox / 2
        dh[H2O] -= hform + E["H2O"]
        # the flow out keeps the volume
        sh = nh.sum(axis=0)
        Nout = dh.sum(axis=0) + sh * (1 - Vh / Vg) / 0.5
        yh = nh / sh
        case = self.case
        bore = np.pi / 4 * case["vent_bore_m"]**2 / case["vent_length_m"]
        Dv = np.stack([cg.Dg[q] for q in ("NO", "NO2", "HNO2", "HNO3", "O2", "O2", "H2O")])
        kd = Dv * bore * self.P / (R_M3 * Th * 1e-3)
        # flow and diffusion along the bore, the room at its mouth
        pe = Nout / kd
        small = np.abs(pe) < 1e-6
        pes = np.clip(np.where(small, 1.0, pe), -500, 500)
        bern = np.where(small, 1 - pe / 2, pes / np.expm1(pes))
        out = Nout * yh + kd * bern * (yh - self.room[:, None])
        dh = dh - out

        # heat
        hp = self.h_pool(T)
        Tf = self.case["source"]["temperature_K"]
        cf = Chemistry(par, Tf)
        gf = Gas(y[:, None], self.P, cf.K4, cf.K3)
        h_feed = (y * (self.hg + CP_GAS * (Tf - T0))).sum() + self.dimer_J(gf, Tf)
        gas_W = F * h_feed - (into * hp).sum(axis=0) - F * self.dimer_J(gt, T)
        # what the surface takes from the headspace brings the enthalpy of its mixture
        n2 = gh.pool[NO2]
        part4 = 2 * gh.pN2O4 / (np.abs(n2) + 1e-14)
        h2 = hp[NO2] + part4 * (0.5e3 * par["dHf_N2O4_gas"] - self.hg[1])
        gas_W = gas_W + (E["NO"] * hp[NO] + E["N2O3"] * par["dHf_N2O3_gas"] * 1e3
                         + (E["hyd"] + E["pool"]) * h2 + E["HNO2"] * hp[HNO2]
                         + E["HNO3"] * hp[HNO3] + E["H2O"] * hp[H2O] - fizz * hp[NO])
        head_W = -(hox * (self.hg[1] - self.hg[0])
                   + hform * (2 * self.hg[2] - self.hg[0] - self.hg[1] - self.hg[6]))
        # enthalpy that leaves by the vent, for the balance of the whole
        out_W = (out * self.h_pool(Th)).sum(axis=0) + out.sum(axis=0) / sh * self.dimer_J(gh, Th)
        if opt["whole_head"]:
            # not the two slow reactions alone: all the headspace gas gives off, with its dimers
            e = 1e-4 * sh / (np.abs(dh).max(axis=0) + 1e-30)
            H = [(n * self.h_pool(Th)).sum(axis=0) + self.dimer_J(Gas(n, self.P, cg.K4, cg.K3), Th)
                 for n in (nh + e * dh, nh - e * dh)]
            head_W = F * h_feed - gas_W - out_W - (H[0] - H[1]) / (2 * e)
        head_in = par["headspace_heat_share"] * head_W
        wall_W = self.UA(liq, level, uG) * (T - self.bath_T(Qb))
        eps = 1e-3 * nl[6] / (np.abs(dl).max(axis=0) + 1e-30)
        up, C = self.H_liquid(nl + eps * dl, T)
        down, _ = self.H_liquid(nl - eps * dl, T)
        Cp = self.H_liquid(nl, T)[1]
        own_W = (up - down) / (2 * eps)
        dT = (gas_W + head_in - wall_W - own_W) / (Cp + self.glass)
        dQ = np.where(s["bath"] == "ice water",
                      wall_W + par["bath_room_UA"] * (self.Troom - self.bath_T(Qb)), 0 * T)
        dZ = np.concatenate([dl, dT[None], dQ[None], dh, out,
                             wall_W[None], head_W[None], gas_W[None], out_W[None],
                             F * h_feed * np.ones((1, k))])
        R = np.concatenate([dN.reshape(self.nb, k), dZ])
        return R[:, 0] if one else R

    # ------------------------------------------------------------------- run

    def start(self):
        s = self.s
        T = s["liquid_temperature_K"]
        if T is None:
            T = 273.15 if s["bath"] == "ice water" else s["bath_temperature_K"]
        w, wp = s["acid_mass_fraction"], s["peroxide_mass_fraction"]
        kg = s["liquid_m3"] * float(density(np.array(w), np.array(wp), T))
        N = np.zeros((7, self.K, self.stages))
        N[INERT] = 1
        Th = (T + self.Troom) / 2
        nh = self.room * self.P * (s["volume_m3"] - s["liquid_m3"]) / (R_M3 * Th * 1e-3)
        nl = [kg * w / M["HNO3"], 0, 0, 0, 0, kg * wp / M["H2O2"], kg * (1 - w - wp) / M["H2O"]]
        return np.concatenate([N.ravel(), nl, [T, 0], nh, np.zeros(7), np.zeros(5)])

    def tolerances(self):
        fed = self.src.total[:4].sum()
        rich = max(fed / (self.src.total.sum() + 1e-30), 1e-9)
        if self.case["carrier"]["gas"] != "none":
            rich = min(rich, fed / self.src.dur / self.case["carrier"]["flow_mol_s"])
        a = np.full((7, self.K, self.stages), 1e-7)
        a[:4] = 1e-7 * rich
        liq = np.array([1e-8, 1e-8, 1e-8, 1e-9, 1e-10, 1e-8, 0]) * fed
        liq[6] = 1e-6
        liq[5] += 1e-12
        head = np.full(7, 1e-8 * fed)
        head[4:] = 1e-8
        out = np.full(7, 1e-7 * fed)
        out[4:] = 1e-6
        return np.concatenate([a.ravel(), liq, [1e-4, 1.0], head, out, np.full(5, 1.0)])


    def ledger(self, start, end):
        """Heat over the run, J. What the headspace gas gave off in all follows from enthalpies of
        formation at the ends: it is the heat of its two slow reactions, of dimers that formed in
        it, and of cooling."""
        def head(z):
            Th = (z[7:8] + self.Troom) / 2 + self.opt["head_add_K"]
            c = Chemistry(self.par, Th)
            n = z[9:16, None]
            g = Gas(n, self.P, c.K4, c.K3)
            return ((n * self.h_pool(Th)).sum(axis=0) + self.dimer_J(g, Th))[0]

        def liquid(z):
            return self.H_liquid(z[:7, None], z[7:8])[0][0] + self.glass * (z[7] - T0)

        wall, reactions, gas, out, fed = end[23:28]
        head_all = fed - gas - out - (head(end) - head(start))
        to_liquid = self.par["headspace_heat_share"] * reactions
        stored = liquid(end) - liquid(start)
        return dict(wall_J=wall, headspace_reactions_J=reactions, headspace_J=head_all, gas_J=gas,
                    stored_J=stored, fed_J=fed, out_J=out,
                    liquid_closure_J=gas + to_liquid - wall - stored)


def run(case, values, elements=4, rtol=1e-6, method="BDF", **options):
    """kept, HNO2, ... as amounts (mol N) and the peak temperature (K) of a resolved case."""
    b = Bottle(case, values, elements, **options)
    began = CLOCK()
    y, t = b.start(), 0.0
    tol = b.tolerances()
    calls = steps = 0
    peak, t_peak = y[b.nb + 7], 0.0
    for stop in b.src.stops:
        sol = solve_ivp(b.rates, (t, stop), y, method=method, rtol=rtol, atol=tol,
                        vectorized=True, first_step=min(1e-4, (stop - t) / 10))
        if not sol.success:
            raise RuntimeError("peer at t = %g s: %s" % (sol.t[-1], sol.message))
        Ts = sol.y[b.nb + 7]
        if Ts.max() > peak:
            peak, t_peak = Ts.max(), sol.t[Ts.argmax()]
        y, t = sol.y[:, -1], stop
        calls += sol.nfev
        steps += len(sol.t)
    z = y[b.nb:]
    fed = b.src.total[:4].sum()
    held, head, out = z[:7], z[9:16], z[16:23]
    start = b.start()[b.nb:]
    return dict(fed=fed, kept=z[0] - start[0], HNO2=z[1], HOONO=z[2], NO_aq=z[3], NO2_aq=z[4],
                H2O2=z[5], escaped=dict(zip(POOLS[:4], out[:4])), escaped_total=out[:4].sum(),
                in_flight=head[:4].sum(), peak_K=peak, peak_s=t_peak, end_K=z[7],
                closure=1 - (held[:5].sum() - start[0] + out[:4].sum() + head[:4].sum()) / fed,
                heat=b.ledger(start, z),
                steps=steps, calls=calls, seconds=CLOCK() - began)
