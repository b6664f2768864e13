#!/usr/bin/env python3
"""Independent reference simulation of a neutralisation in a mug with a heater.

    python3 mug_chain.py --trials N --seed S       one JSON line

One trial = one group: 2 runs of a heater in 100 mL of water, and 3 runs in which
50 mL of sodium hydroxide meet 50 mL of hydrochloric acid.  Written from the
equations alone; small mathematics from dewar_chain.py; lines back to mixing.
Units: g, mL, J, K (or deg C), s, mol.

NATURE
  heater       Q = U I t_h (1 - loss), evenly over t_h: after t_h the vessel has
               (Q/C) (e^{-k (t-t_h)} - e^{-k t}) / (k t_h)
  meeting      xi = min(n_OH, n_H), n = c V (delivered);  C = C_vessel (1+eta) + sum m c
               + n_OH M c_products + m_rinse c_water(t); each m = rho(t) (1 + e) V with the error of its table
               Q = -xi [H25 + slope (T_mix-25)] + m' c' (T_portion - T_mix)
  mixing       first order with 4 s: (Q/C) r (e^{-k t} - e^{-r t}) / (r - k)
LAB
  constant = mean( U I t_h / DeltaT - m c ) with the values on meters and watch
  H = -(constant + sum m c + n M c_products) DeltaT / n - slope (T_lab-25),
  n = label's concentration times nominal volume;  error = mean(H) + 55815 J/mol
"""
import numpy as np
from dewar_chain import (DET, base_curve, from_command_line, interp4, line_at_zero, rect,
                         round_to)

T_STATED = 21.0
GRID = np.array([10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
ACID = dict(e=0.0025, e_rho=5e-4, c=[4.06117, 4.05685, 4.05438, 4.05308, 4.05267, 4.05286, 4.05388],
            rho=[1.008641, 1.007966, 1.007004, 1.005788, 1.004343, 1.002692, 1.000853])
BASE = dict(e=0.002, e_rho=5e-4, c=[4.0500, 4.0550, 4.0590, 4.0636, 4.0680, 4.0720, 4.0760],
            rho=[1.021377, 1.020714, 1.019749, 1.018515, 1.017038, 1.015339, 1.013436])
H25, SLOPE, U_SLOPE, C_PRODUCTS, U_PRODUCTS = -55815.0, 186.0, 10.0, 4.65, 0.5
M = 22.98977 + 15.999 + 1.008
FORE = np.arange(-180.0, 0.0, 10.0)
AFTER = np.arange(150.0, 480.1, 10.0)
TIMES = np.concatenate([FORE, AFTER])


def simulate(rng, N):
    col = lambda v: v[:, None]
    normal = lambda size: rng.standard_normal(size)
    triangular = lambda half: col(0.5 * (rect(rng, half, N) + rect(rng, half, N)))
    water = lambda t, q: interp4(np.asarray(t, float), DET[q])
    t = col(T_STATED + 0.5 * normal(N))
    offset, scale = col(rect(rng, 0.2, N)), col(rect(rng, 0.003, N))
    vessel = col(80.0 * np.exp(0.35 * normal(N)))
    k, P = col(3e-4 * np.exp(0.4 * normal(N))), col(5e-3 * np.exp(0.7 * normal(N)))

    def volume(nominal, n, mark, scatter, shape):
        return (n * nominal * (1 + 9.9e-6 * (t - 20)) + n * mark
                + scatter * normal(shape + (n,)).sum(-1))

    def read(C, D, law):
        x = lambda v: np.broadcast_to(v, C.shape)[..., None]
        T = base_curve(TIMES, 180.0, x(t), x(D), x(k), x(P / C))
        T[..., len(FORE):] += law(x)
        drift = rect(rng, 0.1e-3 / 60, C.shape)
        shown = round_to(T + x(offset) + x(scale) * (T - T_STATED) + drift[..., None] * (TIMES + 180)
                         + 3e-3 * normal(T.shape), 0.01)
        before = shown[..., :len(FORE)] @ line_at_zero(FORE)
        return before, shown[..., len(FORE):] @ line_at_zero(AFTER) - before

    rinse = lambda shape: 0.3 * rng.standard_exponential(shape) * water(t, "rho") * water(t, "c")
    # heater
    shape, mark = (N, 2), triangular(0.1)
    C = (vessel * (1 + 0.08 * normal(shape)) + rinse(shape)
         + volume(50.0, 2, mark, 0.015, shape) * water(t, "rho") * water(t, "c")
         * (1 + col(0.0005 * normal(N))) * (1 + col(5e-6 * normal(N))))
    U, I = col(12 + 0.03 * normal(N)), col(1.8 + 0.01 * normal(N))
    on, loss = 90 + 0.5 * normal(shape), col(0.003 * np.exp(0.5 * normal(N)))
    Q = U * I * on * (1 - loss)
    _, dT = read(C, 0.2 * normal(shape), lambda x: x(Q / C) * (
        np.exp(-x(k) * (AFTER - x(on))) - np.exp(-x(k) * AFTER)) / (x(k) * x(on)))
    constant = (12 * 1.8 * 90 / dT
                - 100 * water(T_STATED, "rho") * water(T_STATED, "c")).mean(1)
    # acid and base
    shape = (N, 3)
    V_acid = volume(25.0, 2, triangular(0.06), 0.01, shape)
    V_base = volume(50.0, 1, triangular(0.1), 0.015, shape)
    n_acid = col(0.52 + 0.003 * normal(N)) * V_acid * 1e-3
    n_base = col(0.5 + 0.002 * normal(N)) * V_base * 1e-3
    slope, products = SLOPE + U_SLOPE * col(normal(N)), C_PRODUCTS + U_PRODUCTS * col(normal(N))
    heat = lambda q, V: (V * interp4(t, q["rho"], GRID) * interp4(t, q["c"], GRID)
                         * (1 + col(q["e"] * normal(N))) * (1 + col(q["e_rho"] * normal(N))))
    portion = heat(BASE, V_base)
    C = (vessel * (1 + 0.08 * normal(shape)) + heat(ACID, V_acid) + portion
         + n_base * M * products + rinse(shape))
    D = 0.2 * normal(shape)
    T_mix = base_curve(0.0, 180.0, t, D, k, P / C)
    Q = (-np.minimum(n_acid, n_base) * (H25 + slope * (T_mix - 25))
         + portion * 0.1 * normal(shape))
    r = 1 / 4.0
    T_lab, dT = read(C, D, lambda x: x(Q / C) * r * (
        np.exp(-x(k) * AFTER) - np.exp(-r * AFTER)) / (r - x(k)))
    n = 0.5 * 50e-3
    known = lambda q: 50 * interp4(T_STATED, q["rho"], GRID) * interp4(T_STATED, q["c"], GRID)
    H = (-(col(constant) + known(ACID) + known(BASE) + n * M * C_PRODUCTS) * dT / n
         - SLOPE * (T_lab - 25))
    return dict(error=H.mean(1) - H25, constant=constant, determination_rise=dT.mean(1))


if __name__ == "__main__":
    from_command_line(simulate)
