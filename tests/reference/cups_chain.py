#!/usr/bin/env python3
"""Independent reference simulation of urea in two foam cups, read twice.

    python3 cups_chain.py --trials N --seed S       one JSON line

One trial = one group: 2 calibration runs (potassium chloride) and 2 of urea,
each in 120 g of weighed water.  Written from the equations alone; small
mathematics from dewar_chain.py.  Units: g, J, K (or deg C), s, mol, mol/kg.

NATURE
  heat cap.  C = C_vessel (1+eta) + 120 g c(t) (1+e) + m_in c_solute + m_rinse c(t)
  heat       Q = -n [h + slope (T_mix-25) + Lphi(b) - Lphi(b_table) + e_L],  b = n / (kg water + kg rinse)
             e_L normal, its u the difference of those of the table at the planned and the tabulated molality
  curve      dT/dt = -k (T - T_env) + P/C + (Q/C) r e^{-r t}, hence after mixing
             (Q/C) r (e^{-k t} - e^{-r t}) / (r - k)
  readings   at -15 s and at 180 s; weighing and display as in dewar_chain.py
LAB
  DeltaT = second less first reading, T_lab = first reading; contents taken as alike:
  C_sys = mean( -n H_ref(T_lab, b) / DeltaT );  H = -C_sys DeltaT / n, brought to 25 deg C
  and to the tabulated state;  n = m_rec P_label / M, b = n / 0.12 kg
  error = mean(H) - 15290 J/mol
"""
import numpy as np
from dewar_chain import DET, base_curve, from_command_line, interp4, rect, round_to

T_STATED, WATER, T_READ, FORE = 22.0, 120.0, 180.0, 15.0
KCL = dict(window=(0.97, 1.03), loss=0.002, rate=0.05, H25=17584.0, u_H25=15.5, slope=-153.0,
           u_slope=10.0, c_sol=-1.35, u_c_sol=0.2, M=74.5483, u_M=0.0058, rho=1.988, b0=0.111,
           Lphi=[(0.01, 164), (0.02, 214), (0.05, 286), (0.111, 337), (0.2, 344), (0.5, 233),
                 (1.0, -44)], u_Lphi=[5, 6, 8, 12, 20, 40, 60])
UREA = dict(window=(2.3, 2.5), loss=0.003, rate=0.06, H25=15290.0, u_H25=0.0, slope=-5.0,
            u_slope=8.0, c_sol=1.47, u_c_sol=0.1, M=60.0560, u_M=0.0018, rho=1.323, b0=0.0,
            Lphi=[(0.1, -35), (0.5, -170), (1.0, -335)], u_Lphi=[5, 20, 40])
P_TRUE, P_LABEL = (0.99, 1.005), 0.9975


def lphi(sub, b):
    points = np.array([(0.0, 0.0)] + sub["Lphi"], float)
    at = lambda b: np.interp(np.sqrt(b), np.sqrt(points[:, 0]), points[:, 1])
    return at(b) - at(sub["b0"])


def u_lphi(sub):
    root = np.sqrt(np.array([0.0] + [b for b, _ in sub["Lphi"]]))
    at = lambda b: np.interp(np.sqrt(b), root, [0.0] + sub["u_Lphi"])
    return abs(at(sum(sub["window"]) / 2 * P_LABEL / sub["M"] / (WATER * 1e-3)) - at(sub["b0"]))


def simulate(rng, N):
    col = lambda v: v[:, None]
    normal = lambda size: rng.standard_normal(size)
    c = lambda t: interp4(np.asarray(t, float), DET["c"])
    t = col(T_STATED + normal(N))
    gain, air = col(rect(rng, 30e-6, N)), col(1.2e-3 + 0.02e-3 * normal(N))
    offset, scale = col(rect(rng, 0.2, N)), col(rect(rng, 0.003, N))
    vessel = col(20.0 * np.exp(0.5 * normal(N)))
    k, P = col(2e-4 * np.exp(0.45 * normal(N))), col(5e-3 * np.exp(0.7 * normal(N)))
    e = col(0.0005 * normal(N))
    out = {}
    for name, sub in (("calibration", KCL), ("determination", UREA)):
        shape = (N, 2)
        H25 = sub["H25"] + sub["u_H25"] * col(normal(N))
        slope = sub["slope"] + sub["u_slope"] * col(normal(N))
        c_sol = sub["c_sol"] + sub["u_c_sol"] * col(normal(N))
        M = sub["M"] + sub["u_M"] * col(normal(N))
        e_L = u_lphi(sub) * col(normal(N))
        purity = col(rng.uniform(*P_TRUE, N))
        m = rng.uniform(*sub["window"], shape)
        tare = 2.5 + 1e-3 * rng.uniform(-0.5, 0.5, shape)
        shown = [round_to((1 + gain) * load + col(rect(rng, 2e-3, N)) + 1e-3 * normal(shape), 1e-3)
                 for load in (tare, tare + m * (1 - air / sub["rho"]) / (1 - air / 8.0))]
        m_rec = shown[1] - shown[0]
        rinse = 0.3 * interp4(t, DET["rho"]) * rng.standard_exponential(shape)
        m_in = m - sub["loss"] * rng.standard_exponential(shape)
        n = m_in * purity / M
        C = (vessel * (1 + 0.1 * normal(shape)) + WATER * c(t) * (1 + e) + m_in * c_sol
             + rinse * c(t))
        D, PC = 0.5 * normal(shape), P / C
        T_mix = base_curve(0.0, FORE, t, D, k, PC)
        Q = -n * (H25 + slope * (T_mix - 25) + e_L + lphi(sub, n / ((WATER + rinse) * 1e-3)))
        r = sub["rate"] * np.exp(0.35 * normal(shape))
        rise = Q / C * r * (np.exp(-k * T_READ) - np.exp(-r * T_READ)) / (r - k)
        drift = rect(rng, 0.1e-3 / 60, shape)
        read = lambda T, tau: round_to(T + offset + scale * (T - T_STATED) + drift * tau
                                       + 3e-3 * normal(shape), 0.01)
        first = read(base_curve(-FORE, FORE, t, D, k, PC), 0.0)
        dT = read(base_curve(T_READ, FORE, t, D, k, PC) + rise, FORE + T_READ) - first
        n_lab = m_rec * P_LABEL / sub["M"]
        more = sub["slope"] * (first - 25) + lphi(sub, n_lab / (WATER * 1e-3))
        out[name + "_rise"] = dT.mean(1)
        if name == "calibration":
            out["constant"] = (-n_lab * (sub["H25"] + more) / dT).mean(1)
        else:
            H = -out["constant"][:, None] * dT / n_lab - more
            out["error"] = H.mean(1) - sub["H25"]
    return out


if __name__ == "__main__":
    from_command_line(simulate)
