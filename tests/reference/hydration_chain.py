#!/usr/bin/env python3
"""Independent reference simulation of a hydration enthalpy from two dissolutions.

    python3 hydration_chain.py --trials N --seed S       one JSON line

One trial = one group: 3 calibration runs (hot water into cold water), 2 runs of
anhydrous copper sulfate and 2 of its pentahydrate, all in the same Dewar.
Written from the equations alone; weighing, delivery, curve, sensor and lines
are those of dewar_chain.py.  Units: g, mL, J, K (or deg C), s, mol, mol/kg.

NATURE
  calibration   cold water m_c at T_cold, hot water m_h (measured out at room
                temperature) at T_hot - loss:
                C = C_vessel (1+eta) + (m_c + m_h) c,  Q = m_h c (T_hot - loss - T_mix)
  anhydrous     a share f stays behind as a crust of hydrate:
                Q = -n (1-f) [h + Lphi(b)] - n f (h - h_hydrate), both at T_mix,
                b = n (1-f) / (kg liquid + kg rinse)
  hydrate       the share w of its mass is lost as water in the bottle:
                n = m p / (M (1-w)), of which a = w M / (5 M_water) is anhydrous:
                Q = -n [(1-a) h + a h_anhydrous + Lphi(b)]
                Both legs end in the same solution: what is not known of Lphi is one number z in units of
                the table's uncertainty at the planned molality of each.
  heat cap.     of dissolved solid c_solute, of a crust that of the hydrate, c_solute - slope / M, less that
                of the water which it holds; rinse water has the density and heat capacity of water at t
  each h        H25 + slope (T_mix - 25); the slope of a crust or of the anhydrous
                share is the tabulated one
LAB
  constant = mean( m_h c (T_hot shown - T_end) / DeltaT - m_c c ),  T_end = T_lab + DeltaT
  each leg   H = mean( -(constant + m_liq c + m c_sol) DeltaT / n - slope (T_lab-25) - Lphi(b) )
  error = H_anhydrous - H_hydrate - (-79100 J/mol)
"""
import numpy as np
from dewar_chain import (DET, base_curve, from_command_line, interp4, line_at_zero,
                         reaction_response, rect, round_to)

T_STATED, U_ROOM = 21.5, 0.7
M_WATER = 18.015
VESSEL = dict(C=89.4, u_C=10.0, eta=0.02, k=3e-5, k_sig=0.5, P=5e-3, P_sig=0.7, u_D=0.3)
BAL = dict(d=0.01, eps=0.01, lam=0.02, gain=1e-4, rho_a=1.2e-3, u_rho_a=0.02e-3, boat=2.5)
THERMO = dict(d=0.01, noise=3e-3, offset=0.2, gain=0.003, drift=0.1e-3 / 60.0)
PIPETTE = dict(V=50.0, delta=0.1, eps=0.015, alpha=9.9e-6)
E_WATER, RINSE = 0.0005, 0.2
ANHYDROUS = dict(window=(2.3, 2.5), loss=0.010, td=60.0, td_sig=0.4, leftover=0.01, w=0.0,
                 H25=-73100.0, slope=-229.0, u_slope=45.0, c_sol=-0.81, u_c_sol=0.28,
                 M=159.602, u_M=0.012, P_true=(0.98, 1.0), P_label=0.99, rho=3.60)
HYDRATE = dict(window=(7.2, 7.6), loss=0.020, td=80.0, td_sig=0.4, leftover=0.0, w=0.001,
               H25=6000.0, slope=-42.0, u_slope=45.0, c_sol=0.99, u_c_sol=0.18,
               M=249.677, u_M=0.013, P_true=(0.98, 1.02), P_label=1.0, rho=2.286)
LPHI = np.array([(0.0, 0.0), (0.01, 2880.0), (0.02, 3590.0), (0.05, 4350.0), (0.1, 4780.0),
                 (0.2, 5220.0), (0.5, 6080.0)])
ACCEPTED = ANHYDROUS["H25"] - HYDRATE["H25"]
FORE = np.arange(-180.0, 0.0, 10.0)
AFTER = np.arange(180.0, 480.1, 10.0)
TIMES = np.concatenate([FORE, AFTER])

rho = lambda t: interp4(t, DET["rho"])      # water
heat = lambda t: interp4(t, DET["c"])
U_LPHI = np.array([0.0, 300.0, 350.0, 400.0, 450.0, 500.0, 600.0])
u_lphi = lambda b: float(np.interp(np.sqrt(b), np.sqrt(LPHI[:, 0]), U_LPHI))
lphi = lambda b: np.interp(np.sqrt(b), np.sqrt(LPHI[:, 0]), LPHI[:, 1])


def table(sub, t):
    """Tabulated enthalpy of dissolving at infinite dilution."""
    return sub["H25"] + sub["slope"] * (t - 25.0)


def simulate(rng, N):
    col = lambda v: v[:, None]
    normal = lambda size: rng.standard_normal(size)
    g = dict(t=T_STATED + U_ROOM * normal(N), gain=rect(rng, BAL["gain"], N),
             rho_a=BAL["rho_a"] + BAL["u_rho_a"] * normal(N),
             offset=rect(rng, THERMO["offset"], N), scale=rect(rng, THERMO["gain"], N),
             C=VESSEL["C"] + VESSEL["u_C"] * normal(N),
             k=VESSEL["k"] * np.exp(VESSEL["k_sig"] * normal(N)),
             P=VESSEL["P"] * np.exp(VESSEL["P_sig"] * normal(N)),
             delta=0.5 * (rect(rng, PIPETTE["delta"], N) + rect(rng, PIPETTE["delta"], N)),
             e=E_WATER * normal(N))
    t, k = col(g["t"]), col(g["k"])
    c_true = heat(t) * (1 + col(g["e"]))
    e_rho, z = col(5e-6 * normal(N)), col(normal(N))
    lab_mass = lambda V: V * rho(np.array(T_STATED))
    c_lab = heat(np.array(T_STATED))

    def delivered(n, runs):
        p = PIPETTE
        V = n * p["V"] * (1 + p["alpha"] * (t - 20)) + n * col(g["delta"])
        return rho(t) * (1 + e_rho) * (V + p["eps"] * normal((N, runs, n)).sum(-1))

    def read(C, D, law):
        """What the lines make of a run: T_lab and DeltaT; `law` gives the rise after mixing."""
        x = lambda v: np.broadcast_to(v, C.shape)[..., None]
        T = base_curve(TIMES, 180.0, x(t), x(D), x(k), x(col(g["P"]) / C))
        T[..., len(FORE):] += law(x)
        drift = rect(rng, THERMO["drift"], C.shape)
        shown = (T + g["offset"][:, None, None] + g["scale"][:, None, None] * (T - T_STATED)
                 + drift[..., None] * (TIMES + 180) + THERMO["noise"] * normal(T.shape))
        shown = round_to(shown, THERMO["d"])
        before = shown[..., :len(FORE)] @ line_at_zero(FORE)
        return before, shown[..., len(FORE):] @ line_at_zero(AFTER) - before

    # calibration
    shape = (N, 3)
    m_c, m_h = delivered(2, 3), delivered(1, 3)
    C = col(g["C"]) * (1 + VESSEL["eta"] * normal(shape)) + (m_c + m_h) * c_true
    cold, hot = 21.5 + 0.3 * normal(shape), 41.0 + normal(shape)
    D = cold - t
    T_mix = base_curve(0.0, 180.0, t, D, k, col(g["P"]) / C)
    Q = m_h * c_true * (hot - 0.15 * rng.standard_exponential(shape) - T_mix)
    T_lab, dT = read(C, D, lambda x: x(Q / C) * np.exp(-x(k) * AFTER))
    hot_shown = round_to(hot + col(g["offset"]) + col(g["scale"]) * (hot - T_STATED)
                         + THERMO["noise"] * normal(shape), THERMO["d"])
    const = (lab_mass(50) * c_lab * (hot_shown - T_lab - dT) / dT - lab_mass(100) * c_lab).mean(1)

    out = dict(constant=const)
    for name, sub in (("anhydrous", ANHYDROUS), ("hydrate", HYDRATE)):
        shape = (N, 2)
        slope = sub["slope"] + sub["u_slope"] * col(normal(N))
        c_sol = sub["c_sol"] + sub["u_c_sol"] * col(normal(N))
        M = sub["M"] + sub["u_M"] * col(normal(N))
        P = col(rng.uniform(*sub["P_true"], N))
        w = sub["w"] * np.exp(0.6 * col(normal(N)))
        m = rng.uniform(*sub["window"], shape)
        air = col(g["rho_a"])
        tare = BAL["boat"] + BAL["d"] * rng.uniform(-0.5, 0.5, shape)
        shown = [round_to((1 + col(g["gain"])) * load + col(rect(rng, BAL["lam"], N))
                          + BAL["eps"] * normal(shape), BAL["d"])
                 for load in (tare, tare + m * (1 - air / sub["rho"]) / (1 - air / 8.0))]
        m_rec = shown[1] - shown[0]
        m_liq, m_rinse = delivered(3, 2), RINSE * rho(t) * rng.standard_exponential(shape)
        m_in = m - sub["loss"] * rng.standard_exponential(shape)
        n = m_in * P / (M * (1 - w))
        a = w * M / (5 * M_WATER)
        f = sub["leftover"] * rng.standard_exponential(shape)
        C = (col(g["C"]) * (1 + VESSEL["eta"] * normal(shape)) + m_liq * c_true
             + m_in * (1 - f) * c_sol + m_rinse * heat(t))
        if sub is ANHYDROUS:
            ratio = HYDRATE["M"] / ANHYDROUS["M"]
            c_crust = HYDRATE["c_sol"] - HYDRATE["slope"] / HYDRATE["M"]
            C = C + m_in * f * (ratio * c_crust - (ratio - 1) * c_true)
        planned = sum(sub["window"]) / 2 * sub["P_label"] / sub["M"] / (lab_mass(150) * 1e-3)
        D = VESSEL["u_D"] * normal(shape)
        T_mix = base_curve(0.0, 180.0, t, D, k, col(g["P"]) / C)
        # of a crust, or of the share that has lost its water
        forming = table(ANHYDROUS, T_mix) - table(HYDRATE, T_mix)
        h = sub["H25"] + slope * (T_mix - 25) + a * forming
        Q = -n * (1 - f) * (h + z * u_lphi(planned) + lphi(n * (1 - f) / ((m_liq + m_rinse) * 1e-3)))
        crust = -n * f * forming
        td = sub["td"] * np.exp(sub["td_sig"] * normal(shape))
        T_lab, dT = read(C, D, lambda x: x(Q / C) * reaction_response(AFTER, x(td), x(k))
                         + x(crust / C) * np.exp(-x(k) * AFTER))
        n_lab = m_rec * sub["P_label"] / sub["M"]
        H = -(const[:, None] + lab_mass(150) * c_lab + m_rec * sub["c_sol"]) * dT / n_lab
        H -= sub["slope"] * (T_lab - 25) + lphi(n_lab / (lab_mass(150) * 1e-3))
        out[name], out[name + "_rise"] = H.mean(1), dT.mean(1)
    out["error"] = out["anhydrous"] - out["hydrate"] - ACCEPTED
    return out


if __name__ == "__main__":
    from_command_line(simulate)
