"""What the source and the carrier send, mol/s of the seven pools, from the resolved case."""
import numpy as np

from .film import HNO3, H2O, INERT, NO, NO2, O2

AIR_O2 = 0.2095
# log10(p/mmHg) = A - B/T over 65 and 70 wt% acid (lines through the handbook's vapour table)
_VAPOUR = {0.65: ((8.5420, 2437.8), (8.5653, 2309.9)), 0.70: ((8.4188, 2327.7), (8.3939, 2280.8))}


def _over_condensate(w, T):
    """(p HNO3, p H2O) in Pa over 65 to 70 wt% acid, logarithms linear between the two rows."""
    if not 0.65 <= w <= 0.70:
        raise ValueError("the peer knows condensates of 65 to 70 wt% only")
    x = (w - 0.65) / 0.05
    out = []
    for i in (0, 1):
        lo, hi = (_VAPOUR[k][i] for k in (0.65, 0.70))
        out.append(133.322 * 10**((1 - x) * (lo[0] - lo[1] / T) + x * (hi[0] - hi[1] / T)))
    return out


def _step(t, ramp):
    u = np.clip(t / ramp, 0, 1)
    return u * u * (3 - 2 * u)


class Source:
    def __init__(self, case):
        s, c = case["source"], case["carrier"]
        self.s, self.c = s, c
        self.dur = s["duration_s"]
        self.ramp = min(1.0, 0.25 * self.dur)
        n = np.zeros(7)
        kind = s["kind"]
        if kind == "metered":
            n[NO2], n[NO], n[O2] = s["NO2_fraction"], s["NO_fraction"], s["O2_fraction"]
            n[INERT] = 1 - n.sum()
            n *= s["flow_mol_s"] * self.dur
        elif kind == "metal":
            # z NO2 or z/3 NO per mole of metal
            e = s["metal_mol"] * s["metal_valence"]
            n[NO2] = s["NO2_route_fraction"] * e
            n[NO] = (1 - s["NO2_route_fraction"]) * e / 3
        elif kind == "acid vapour":
            # 4 HNO3 -> 4 NO2 + O2 + 2 H2O; the gas leaves with the vapour of the condensate
            x = s["decomposed_fraction"] * s["acid_made_mol"]
            n[NO2], n[O2] = x, x / 4
            p3, pw = _over_condensate(s["condensate_mass_fraction"], s["condenser_temperature_K"])
            if c["gas"] != "none":
                raise ValueError("the peer knows acid vapour without a carrier only")
            dry = case["surroundings_pressure_Pa"] - p3 - pw
            n[HNO3], n[H2O] = 1.25 * x * p3 / dry, 1.25 * x * pw / dry
        else:
            raise ValueError("unknown source " + kind)
        self.total = n
        self.sine = s["shape"] == "rise and fall"
        self.end = self.dur + (0 if self.sine else self.ramp)
        until = c["until_s"]
        self.air_end = self.end
        if c["gas"] != "none":
            self.until = np.inf if until is None else until
            if np.isfinite(self.until):
                self.air_end = max(self.end, self.until + self.ramp)
        self.run_end = self.air_end + case["standing_s"]
        stops = {self.end, self.run_end}
        if not self.sine:
            stops |= {self.ramp, self.dur}
        if c["gas"] != "none":
            stops |= {c["from_s"], c["from_s"] + self.ramp}
            if np.isfinite(self.until):
                stops |= {self.until, self.until + self.ramp}
        self.stops = sorted(t for t in stops if 0 < t <= self.run_end)

    def flow(self, t):
        if self.sine:
            f = np.pi / 2 / self.dur * np.sin(np.pi * t / self.dur) if 0 < t < self.dur else 0.0
        else:
            f = (_step(t, self.ramp) - _step(t - self.dur, self.ramp)) / self.dur
        n = f * self.total
        mean = self.total / self.dur
        if self.c["gas"] != "none":
            s = _step(t - self.c["from_s"], self.ramp)
            if np.isfinite(self.until):
                s = s - _step(t - self.until, self.ramp)
            O = {"air": AIR_O2, "nitrogen": 0.0, "oxygen": 1.0}[self.c["gas"]]
            air = np.zeros(7)
            air[O2], air[INERT] = O, 1 - O
            air *= self.c["flow_mol_s"]
            n = n + s * air
            mean = mean + air
        # a vanishing flow of the mean gas keeps the composition defined when nothing flows
        y = n + 1e-6 * mean
        return n, y / y.sum()
