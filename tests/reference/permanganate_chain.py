#!/usr/bin/env python3
"""Independent reference simulation of a solution-calorimetry experiment.

    python3 permanganate_chain.py [--trials N] [--seed S]       all variants, text
    python3 permanganate_chain.py --variant A|B|C [--json]      one of them
    python3 permanganate_chain.py --check                       self-checks
    python3 permanganate_chain.py --sensitivity                 what choices matter

One trial = one group: 2 calibration runs (TRIS in hydrochloric acid) and
3 determinations (potassium permanganate, dissolved beforehand in a small
portion of acid, let into acid iron(II)) in the same vessel.  NATURE holds the
true values, LAB the readings, labels and tables; the two never mix.
Everything is redrawn in every trial.  Units: g, mL, J, K (or deg C), s, mol.

Scopes: [c] course, [g] group, [r] run, [x] reading; course and group are both
drawn once in a trial.

NATURE
  weighing    load_tare = boat + d U(-1/2,1/2);  load_gross = load_tare + B m
              B = (1 - rho_a/rho_x) / (1 - rho_a/8.0)
              I = round_d((1+g) load + lambda_place + eps)
              recorded = I_gross - I_tare
  liquids     V = V_nom (1 + alpha (t-20)) + n_fill delta + sum_f eps_f
              mass = rho(t) (1 + e_rho) V;  delta of the 50 mL pipette is one for both legs
              portion: 25 mL graduated pipette, filled once to 15 mL
              rinse water: mass v_r rho_water(t)
  stock       N = m p (1-x) / (M (1-w)),  V_f = V_nom (1 + alpha (t-20)) + delta + eps
              iron(II) in the vessel N V / V_f with V the run's own 150 mL
              it suffices for L = N V / (5 V_f) moles of permanganate
  charge      m_in = m - transfer loss - spill
              with chance 4 % (1-held_back) of charge and portion, else all
              n = m_in P / M
              s = 1 - (1 - wait/td)^3 for td > wait, else 1
              n0 = n s dissolved at the break,  n1 = n - n0 residue
  extent      xi0 = min(n0, L),  xi1 = min(n1, L - xi0)
  enthalpy    h = h25 + shift + slope (T_mix - 25)
  heat        at the break  Q0 = -xi0 h + m' c' D' + side
              by the residue's law  Q1 = -xi1 h - n1 h_s
              D' = portion less vessel temperature, side = heat of dilution
  heat cap.   C = C_vessel (1+eta) + m c (1+e) + m' c' (1+e') + m_s c_solute
                  + rinse c_water(t)
  curve       dT/dt = -k (T - t) + P/C + dQ/dt / C,  T(-fore) = t + D
              base     T_b = t + D e^{-k tau} + (P/C) (1-e^{-k tau})/k, tau = time+fore
              mixing   R = r (e^{-kt} - e^{-rt}) / (r - k),  r = 1/(3 s)
              residue  cube-root law with the time td - wait:
                       R = e^{-k (t-b)} int_0^b (3/T)(1-u/T)^2 e^{-k(b-u)} du,
                       b = min(t, T) (Gauss-Legendre)
              T_mix = T_b(0)
  calibration n = (m - loss) P / M, Q = -n H(T_mix), cube-root law with td
  sensor      shown = round_d(T + offset + gain (T - t_stated)
                              + drift (time - start) + noise)

LAB
  least-squares lines through the fore readings (before mixing) and the after
  readings (from settle on), both carried to t = 0:
  DeltaT = after(0) - fore(0), T_lab = fore(0).
  liquid mass = V_nom rho(t_stated); n = m_rec P_label / M_table
  contents       sum of m_liq c(t_stated) + m_rec c_solute
  calibration    constant = mean(-n H_ref(T_lab) / DeltaT - contents)
  determination  H_j = -((constant + contents) DeltaT - side_stated) / n
                       - slope (T_lab - 25)
  result = mean of H_j;  error = result - (h25 + shift), per trial
"""
import argparse
import json
import time as clock
from concurrent.futures import ProcessPoolExecutor

import numpy as np

# ------------------------------------------------------------------ numbers
T_STATED = 20.5
E_RHO = 5e-4      # of all tables of densities here
GRID = np.array([10.0, 15.0, 20.0, 25.0, 30.0])
C_WATER = np.array([4.195159, 4.188461, 4.184051, 4.181315, 4.179820])
RHO_WATER = np.array([0.9997025, 0.9991026, 0.9982072, 0.9970476, 0.9956495])
HCL = dict(e=0.0024, c=np.array([4.16722, 4.16128, 4.15736, 4.15477, 4.15320]),
           rho=np.array([1.001496, 1.000881, 0.999973, 0.998803, 0.997396]))
ACID05 = dict(e=0.0025, c=np.array([3.99773, 4.00594, 4.01047, 4.01261, 4.01320]),
              rho=np.array([1.032698, 1.031700, 1.030421, 1.028895, 1.027146]))
ACID10 = dict(e=0.0030, c=np.array([3.83449, 3.85155, 3.85967, 3.86249, 3.86221]),
              rho=np.array([1.064668, 1.063297, 1.061663, 1.059797, 1.057726]))
M_TRIS = 4 * 12.011 + 11 * 1.008 + 14.007 + 3 * 15.999
M_KMNO4 = 39.0983 + 54.938043 + 4 * 15.999
M_FESO4 = 55.845 + 32.06 + 4 * 15.999 + 7 * (2 * 1.008 + 15.999)
# Mn2+ + 5 Fe3+ + 4 H2O less MnO4- + 5 Fe2+ + 8 H+
H_REACTION = (-220.8 + 5 * -49.0 + 4 * -285.83) * 1e3 - (-541.4 + 5 * -90.0) * 1e3


def setup(variant="A"):
    """All numbers of a variant."""
    s = dict(
        u_room=0.5,
        bal=dict(d=1e-4, eps=1e-4, lam=2e-4, gain=10e-6, rho_a=1.2e-3,
                 u_rho_a=0.02e-3, rho_w=8.0, boat=2.5),
        thermo=dict(d=1e-3, noise=0.5e-3, offset=0.05, gain=0.001,
                    drift=0.02e-3 / 60.0),
        vessel=dict(C=89.4, u_C=10.0, eta=0.02, k=3e-5, k_sig=0.5,
                    P=5e-3, P_sig=0.7, D=0.0, u_D=0.2),
        rec=dict(interval=10.0, fore=180.0, after=480.0, settle=180.0),
        liq=dict(V=150.0, n_fill=3, delta=0.05, eps_f=0.015, rinse=0.2),
        alpha=9.9e-6,
        cal=dict(runs=2, window=(0.88, 0.92), loss=0.4e-3, spill=0.0,
                 rho_x=1.353, M=M_TRIS, u_M=0.0, liquid=HCL,
                 H25=-245.76 * M_TRIS, u_H25=0.13 * M_TRIS,
                 slope=1.435 * M_TRIS, u_slope=0.0115 * M_TRIS,
                 c_sol=2.64, u_c_sol=0.15, P_true=(0.998, 1.0), P_label=0.999,
                 td=35.0, td_sig=0.30),
        det=dict(runs=3, window=(0.185, 0.195), loss=0.0, spill=0.5e-3,
                 rho_x=2.70, M=M_KMNO4, u_M=0.0023, liquid=ACID05,
                 H25=H_REACTION, u_H25=0.0, slope=200.0, u_slope=150.0,
                 u_shift=60e3, h_s=43.4e3, h_s_slope=0.0,
                 c_sol=1.3, u_c_sol=1.0, P_true=(0.99, 1.0), P_label=0.995,
                 td=600.0, td_sig=0.38, wait=900.0, t_mix=3.0,
                 p_held=0.04, held=0.05, held_sig=0.6, u_Dp=0.1,
                 side=8.0, u_side=4.0),
        portion=dict(V=15.0, delta=0.2, eps=0.03, liquid=ACID10),
        stock=dict(m=2.70, M=M_FESO4, P_true=(0.99, 1.01), x=0.005, x_sig=0.6,
                   w=0.003, w_sig=0.6, V=200.0, delta=0.15, eps=0.03, nu=5.0,
                   buoyancy=False, rho_x=1.895),
        k_by_C=None)
    if variant == "B":
        s["det"]["td"] = 2400.0
    elif variant == "C":
        s["stock"]["m"] = 2.25
    elif variant != "A":
        raise ValueError("variant must be A, B or C")
    return s


# ------------------------------------------------------- small mathematics
def interp4(x, table):
    """Local cubic (Lagrange) through the 4 nearest grid points."""
    x = np.asarray(x, float)
    i0 = np.where(x < GRID[2], 0, 1)
    idx = i0[..., None] + np.arange(4)
    gx, gy = GRID[idx], table[idx]
    out = np.zeros_like(x)
    for a in range(4):
        w = np.ones_like(x)
        for b in range(4):
            if a != b:
                w = w * (x - gx[..., b]) / (gx[..., a] - gx[..., b])
        out = out + w * gy[..., a]
    return out


def round_to(x, d):
    return x if d == 0 else np.rint(x / d) * d


def base_curve(time, fore, T_env, D, k, PC):
    """Curve without reaction; (1-e^{-x})/k taken stably, also at k = 0."""
    tau = time + fore
    x = k * tau
    xs = np.where(x == 0, 1.0, x)
    f = np.where(x == 0, 1.0, -np.expm1(-x) / xs)
    return T_env + D * np.exp(-x) + PC * tau * f


_GX, _GW = np.polynomial.legendre.leggauss(6)
_GX, _GW = (_GX + 1) / 2, _GW / 2


def cube_root_response(time, td, k):
    """Answer at time >= 0 of the leaking vessel to unit heat, cube-root law."""
    b = np.minimum(time, td)
    J = np.zeros(np.broadcast(b, k).shape)
    for gx, gw in zip(_GX, _GW):
        u = gx * b
        J += gw * b * 3.0 / td * (1 - u / td) ** 2 * np.exp(-k * (b - u))
    return np.exp(-k * (time - b)) * J


def first_order_response(time, tau, k):
    """The same for heat that comes by first order with the time constant tau."""
    if tau == 0:
        return np.exp(-k * time)
    r = 1.0 / tau
    return r * (np.exp(-k * time) - np.exp(-r * time)) / (r - k)


def line_at_zero(times):
    """Weights w with w . y = intercept at t=0 of the least-squares line."""
    A = np.stack([np.ones_like(times), times], axis=1)
    return np.linalg.pinv(A)[0]


def rect(rng, half, size):
    return rng.uniform(-half, half, size)


def triangular(rng, half, size):
    """Symmetric triangular: mean of two rectangular draws."""
    return 0.5 * (rect(rng, half, size) + rect(rng, half, size))


def log_normal(rng, median, sigma, size):
    return median * np.exp(sigma * rng.standard_normal(size))


def col(v):
    return np.asarray(v)[:, None]


def x3(v, shape):
    return np.broadcast_to(v, shape)[..., None]


# ------------------------------------------------------------ steps of a run
def weigh(rng, bal, grp, m, rho_x):
    """Recorded mass of the true mass m, weighed by difference."""
    N, R = m.shape
    rho_a = col(grp["rho_a"])
    B = (1 - rho_a / rho_x) / (1 - rho_a / bal["rho_w"])
    tare = bal["boat"] + bal["d"] * rng.uniform(-0.5, 0.5, (N, R))
    shown = []
    for load in (tare, tare + B * m):
        lam = col(rect(rng, bal["lam"], N))          # one per group per place
        eps = bal["eps"] * rng.standard_normal((N, R))
        shown.append(round_to((1 + col(grp["g"])) * load + lam + eps, bal["d"]))
    return shown[1] - shown[0]


def deliver(rng, s, grp, shape):
    """True volume of the vessel's liquid, three fillings of one pipette."""
    liq = s["liq"]
    eps = liq["eps_f"] * rng.standard_normal(shape + (liq["n_fill"],)).sum(-1)
    return (liq["V"] * (1 + s["alpha"] * (col(grp["t"]) - 20))
            + liq["n_fill"] * col(grp["delta"]) + eps)


def record(rng, s, grp, shape, D, C, heats):
    """Readings (fore, after) of each run; heats = [(Q, response function)]."""
    th, rec = s["thermo"], s["rec"]
    fore = rec["fore"]
    t_fore = np.arange(-fore, 0.0, rec["interval"])
    t_after = np.arange(rec["settle"], rec["after"] + 1e-9, rec["interval"])
    times, nf = np.concatenate([t_fore, t_after]), len(t_fore)
    k = np.broadcast_to(leak(s, grp, C), shape)
    T = base_curve(times, fore, x3(col(grp["t"]), shape), x3(D, shape),
                   x3(k, shape), x3(col(grp["P"]) / C, shape))
    for Q, respond in heats:
        hit = Q != 0
        T[hit, nf:] += (Q / C)[hit][:, None] * respond(t_after, hit, k[hit][:, None])
    T += (grp["offset"][:, None, None]
          + grp["tgain"][:, None, None] * (T - T_STATED)
          + x3(rect(rng, th["drift"], shape), shape) * (times + fore))
    if th["noise"]:
        T += th["noise"] * rng.standard_normal(T.shape)
    T = round_to(T, th["d"])
    T_lab = T[..., :nf] @ line_at_zero(t_fore)
    return T_lab, T[..., nf:] @ line_at_zero(t_after) - T_lab


def leak(s, grp, C):
    """Rate constant of the leak; optionally of one conductance for all contents."""
    k = col(grp["k"])
    return k if s["k_by_C"] is None else k * s["k_by_C"] / C


def mixing_temperature(s, grp, D, C):
    fore = s["rec"]["fore"]
    return base_curve(0.0, fore, col(grp["t"]), D, leak(s, grp, C), col(grp["P"]) / C)


def course(rng, N, sub):
    n01 = lambda: col(rng.standard_normal(N))
    return dict(H25=sub["H25"] + sub["u_H25"] * n01(),
                slope=sub["slope"] + sub["u_slope"] * n01(),
                c_sol=sub["c_sol"] + sub["u_c_sol"] * n01(),
                M=sub["M"] + sub["u_M"] * n01(),
                e_liq=sub["liquid"]["e"] * n01(), e_rho=E_RHO * n01(),
                P=col(rng.uniform(*sub["P_true"], N)))


# ------------------------------------------------------------ the two legs
def calibration(rng, N, s, grp):
    sub, ve, liq = s["cal"], s["vessel"], s["liq"]
    shape = (N, sub["runs"])
    cs = course(rng, N, sub)
    m = rng.uniform(*sub["window"], shape)
    m_rec = weigh(rng, s["bal"], grp, m, sub["rho_x"])
    m_liq = (interp4(col(grp["t"]), sub["liquid"]["rho"]) * (1 + cs["e_rho"])
             * deliver(rng, s, grp, shape))
    rinse = liq["rinse"] * interp4(col(grp["t"]), RHO_WATER) * rng.standard_exponential(shape)
    m_in = m - sub["loss"] * rng.standard_exponential(shape)
    C = (col(grp["C"]) * (1 + ve["eta"] * rng.standard_normal(shape))
         + m_liq * interp4(col(grp["t"]), sub["liquid"]["c"]) * (1 + cs["e_liq"])
         + m_in * cs["c_sol"] + rinse * interp4(col(grp["t"]), C_WATER))
    D = ve["D"] + ve["u_D"] * rng.standard_normal(shape)
    td = log_normal(rng, sub["td"], sub["td_sig"], shape)
    T_mix = mixing_temperature(s, grp, D, C)
    Q = -m_in * cs["P"] / cs["M"] * (cs["H25"] + cs["slope"] * (T_mix - 25))
    T_lab, dT = record(rng, s, grp, shape, D, C, [
        (Q, lambda t, hit, k: cube_root_response(t, td[hit][:, None], k))])
    return m_rec, T_lab, dT


def determination(rng, N, s, grp):
    sub, ve, liq, po, st = s["det"], s["vessel"], s["liq"], s["portion"], s["stock"]
    shape = (N, sub["runs"])
    t = col(grp["t"])
    cs = course(rng, N, sub)
    shift = sub["u_shift"] * col(rng.standard_normal(N))
    side = sub["side"] + sub["u_side"] * col(rng.standard_normal(N))
    e_po = po["liquid"]["e"] * col(rng.standard_normal(N))

    # stock: bottle once a course, flask once a group
    p_st = col(rng.uniform(*st["P_true"], N))
    x = col(log_normal(rng, st["x"], st["x_sig"], N))
    w = col(log_normal(rng, st["w"], st["w_sig"], N))
    m_st = st["m"]
    if st["buoyancy"]:
        rho_a = col(grp["rho_a"])
        m_st = m_st * (1 - rho_a / s["bal"]["rho_w"]) / (1 - rho_a / st["rho_x"])
    N_st = m_st * p_st * (1 - x) / (st["M"] * (1 - w))
    V_f = (st["V"] * (1 + s["alpha"] * (t - 20)) + col(triangular(rng, st["delta"], N))
           + st["eps"] * col(rng.standard_normal(N)))

    # liquids
    V = deliver(rng, s, grp, shape)
    m_liq = interp4(t, sub["liquid"]["rho"]) * (1 + cs["e_rho"]) * V
    rinse = liq["rinse"] * interp4(t, RHO_WATER) * rng.standard_exponential(shape)
    V_po = (po["V"] * (1 + s["alpha"] * (t - 20)) + col(rect(rng, po["delta"], N))
            + po["eps"] * rng.standard_normal(shape))

    # charge
    m = rng.uniform(*sub["window"], shape)
    m_rec = weigh(rng, s["bal"], grp, m, sub["rho_x"])
    m_in = (m - sub["loss"] * rng.standard_exponential(shape)
            - sub["spill"] * rng.standard_exponential(shape))
    incomplete = rng.random(shape) < sub["p_held"]
    held = np.minimum(log_normal(rng, sub["held"], sub["held_sig"], shape), 1.0)
    keep = np.where(incomplete, 1 - held, 1.0)
    m_in = m_in * keep
    m_po = (interp4(t, po["liquid"]["rho"]) * V_po * keep
            * (1 + E_RHO * col(rng.standard_normal(N))))
    n = m_in * cs["P"] / cs["M"]
    td = log_normal(rng, sub["td"], sub["td_sig"], shape)
    left = np.where(td > sub["wait"], 1 - sub["wait"] / td, 0.0) ** 3
    rest = np.where(left > 0, td - sub["wait"], 1.0)
    n1 = n * left
    n0 = n - n1
    L = N_st * V / V_f / st["nu"]
    xi0 = np.minimum(n0, L)
    xi1 = np.minimum(n1, L - xi0)

    # contents, temperature, heat
    c_po = interp4(t, po["liquid"]["c"]) * (1 + e_po)
    C = (col(grp["C"]) * (1 + ve["eta"] * rng.standard_normal(shape))
         + m_liq * interp4(t, sub["liquid"]["c"]) * (1 + cs["e_liq"])
         + m_po * c_po + m_in * cs["c_sol"] + rinse * interp4(t, C_WATER))
    D = ve["D"] + ve["u_D"] * rng.standard_normal(shape)
    T_mix = mixing_temperature(s, grp, D, C)
    h = cs["H25"] + shift + cs["slope"] * (T_mix - 25)
    h_s = sub["h_s"] + sub["h_s_slope"] * (T_mix - 25)
    Q0 = -xi0 * h + m_po * c_po * sub["u_Dp"] * rng.standard_normal(shape) + side
    Q1 = -xi1 * h - n1 * h_s
    T_lab, dT = record(rng, s, grp, shape, D, C, [
        (Q0, lambda t_, hit, k: first_order_response(t_, sub["t_mix"], k)),
        (Q1, lambda t_, hit, k: cube_root_response(t_, rest[hit][:, None], k))])
    truth = (cs["H25"] + shift)[:, 0]
    return m_rec, T_lab, dT, truth, L / n, left


def simulate(rng, N, s):
    bal, th, ve = s["bal"], s["thermo"], s["vessel"]
    grp = dict(t=T_STATED + s["u_room"] * rng.standard_normal(N),
               g=rect(rng, bal["gain"], N),
               rho_a=bal["rho_a"] + bal["u_rho_a"] * rng.standard_normal(N),
               offset=rect(rng, th["offset"], N),
               tgain=rect(rng, th["gain"], N),
               C=ve["C"] + ve["u_C"] * rng.standard_normal(N),
               k=log_normal(rng, ve["k"], ve["k_sig"], N),
               P=log_normal(rng, ve["P"], ve["P_sig"], N),
               delta=triangular(rng, s["liq"]["delta"], N))
    lab_mass = lambda q, V: V * interp4(T_STATED, q["rho"])
    lab_heat = lambda q, V: lab_mass(q, V) * interp4(T_STATED, q["c"])

    cal = s["cal"]
    m_rec, T_lab, dT_c = calibration(rng, N, s, grp)
    contents = lab_heat(cal["liquid"], s["liq"]["V"]) + m_rec * cal["c_sol"]
    Q = -m_rec * cal["P_label"] / cal["M"] * (cal["H25"] + cal["slope"] * (T_lab - 25))
    const = (Q / dT_c - contents).mean(1)

    det = s["det"]
    m_rec, T_lab, dT_d, truth, ratio, left = determination(rng, N, s, grp)
    contents = (lab_heat(det["liquid"], s["liq"]["V"])
                + lab_heat(s["portion"]["liquid"], s["portion"]["V"])
                + m_rec * det["c_sol"])
    n = m_rec * det["P_label"] / det["M"]
    H_j = (-((const[:, None] + contents) * dT_d - det["side"]) / n
           - det["slope"] * (T_lab - 25))
    return dict(error=(H_j.mean(1) - truth) / 1e3, const=const, dT_cal=dT_c,
                dT_det=dT_d, margin=ratio - 1, short=ratio < 1, residue=left > 0,
                truth=truth / 1e3)


# ------------------------------------------------------------ statistics
def mean_sd(x):
    n = len(x)
    mean, sd = x.mean(), x.std(ddof=1)
    kurt = np.mean((x - mean) ** 4) / sd ** 4 if sd > 0 else 1.0
    return dict(mean=float(mean), mean_se=float(sd / np.sqrt(n)), sd=float(sd),
                sd_se=float(sd * np.sqrt(max(kurt - 1, 0) / (4 * n))))


def quantile(xs, p):
    """Quantile of sorted values; standard error from its order statistics."""
    n = len(xs)
    h = np.sqrt(n * p * (1 - p))
    lo, hi = int(max(0, n * p - h)), int(min(n - 1, n * p + h))
    return float(np.quantile(xs, p)), float((xs[hi] - xs[lo]) / 2)


def by_run(x):
    """Over trials: the mean over runs; over runs: single values (first run)."""
    out = mean_sd(x.mean(1))
    one = mean_sd(x[:, 0])
    out.update(run_sd=one["sd"], run_sd_se=one["sd_se"])
    return out


def part(job):
    seed, N, variant = job
    return simulate(np.random.default_rng(seed), N, setup(variant))


def run(trials, seed, variant, pool, chunk=10000):
    sizes = [chunk] * (trials // chunk) + ([trials % chunk] if trials % chunk else [])
    seeds = np.random.SeedSequence([seed, ord(variant)]).spawn(len(sizes))
    jobs = [(q, N, variant) for q, N in zip(seeds, sizes)]
    parts = list(pool.map(part, jobs))
    r = {k: np.concatenate([p[k] for p in parts]) for k in parts[0]}
    error = mean_sd(r["error"])
    xs = np.sort(r["error"])
    for name, p in (("q025", 0.025), ("median", 0.5), ("q975", 0.975)):
        error[name], error[name + "_se"] = quantile(xs, p)
    return dict(variant=variant, trials=trials, seed=seed, error=error,
                constant=mean_sd(r["const"]), dT_cal=by_run(r["dT_cal"]),
                dT_det=by_run(r["dT_det"]), margin=by_run(r["margin"]),
                least=mean_sd(r["margin"].min(1)),
                short=by_run(r["short"].astype(float)),
                any_short=mean_sd(r["short"].any(1).astype(float)),
                residue=by_run(r["residue"].astype(float)),
                truth=mean_sd(r["truth"]))


TITLES = dict(A="as stated", B="coarse powder: t_d median 40 min",
              C="stock mass 2.25 g")


def text(r):
    rows = [("mean error", "kJ/mol", "error", "mean"), ("sd of error", "kJ/mol", "error", "sd"),
            ("2.5 % quantile of error", "kJ/mol", "error", "q025"),
            ("median of error", "kJ/mol", "error", "median"),
            ("97.5 % quantile of error", "kJ/mol", "error", "q975"),
            ("mean calibration constant", "J/K", "constant", "mean"),
            ("  its sd over trials", "J/K", "constant", "sd"),
            ("mean calibration rise", "K", "dT_cal", "mean"),
            ("  sd of the trial's mean", "K", "dT_cal", "sd"),
            ("  sd of a single run", "K", "dT_cal", "run_sd"),
            ("mean determination rise", "K", "dT_det", "mean"),
            ("  sd of the trial's mean", "K", "dT_det", "sd"),
            ("  sd of a single run", "K", "dT_det", "run_sd"),
            ("mean margin L/n - 1", "%", "margin", "mean"),
            ("  sd of a single run", "%", "margin", "run_sd"),
            ("mean of a trial's least margin", "%", "least", "mean"),
            ("runs in which iron runs out", "%", "short", "mean"),
            ("trials with such a run", "%", "any_short", "mean"),
            ("runs with residue at the break", "%", "residue", "mean")]
    out = [f"variant {r['variant']}: {TITLES[r['variant']]}; {r['trials']} trials, seed {r['seed']}"]
    for name, unit, key, stat in rows:
        f = 100.0 if unit == "%" else 1.0
        out.append(f"  {name:32s} {f * r[key][stat]:14.6f} +- {f * r[key][stat + '_se']:.6f} {unit}")
    return "\n".join(out)


# ------------------------------------------------------------ self-checks
def quiet(s):
    """Every error source off, so that the lab must find the target."""
    s["u_room"] = 0.0
    s["alpha"] = 0.0
    s["bal"].update(d=0.0, eps=0, lam=0, gain=0, rho_a=0, u_rho_a=0)
    s["thermo"].update(d=0.0, noise=0.0, offset=0, gain=0, drift=0)
    s["vessel"].update(eta=0, k=0.0, P=0.0, u_D=0.0)
    s["liq"].update(delta=0, eps_f=0, rinse=0)
    s["portion"].update(delta=0, eps=0)
    for q in ("cal", "det"):
        s[q].update(loss=0, spill=0, u_M=0, u_H25=0, u_slope=0, u_c_sol=0,
                    P_true=(s[q]["P_label"],) * 2)
        s[q]["liquid"] = dict(s[q]["liquid"], e=0.0)
    s["portion"]["liquid"] = dict(s["portion"]["liquid"], e=0.0)
    s["det"].update(p_held=0.0, td_sig=0.0, u_Dp=0.0, u_side=0.0)
    s["stock"].update(P_true=(1.0, 1.0), x_sig=0.0, w_sig=0.0, delta=0, eps=0)
    return s


def check():
    from scipy.integrate import solve_ivp
    rng = np.random.default_rng(1)
    worst = 0.0
    for i in range(40):
        k = 0.0 if i % 10 == 0 else 3e-5 * np.exp(rng.normal(0, 1.5))
        T = rng.uniform(5, 3000)
        PC, q0, q1 = 6e-6, rng.uniform(-1, 2), rng.uniform(-1, 2)
        env, D, fore = rng.normal(20.5, 0.5), rng.normal(0, 0.5), 180.0
        after = np.arange(180.0, 481.0, 10.0)
        y, sol = env + D, {}
        for a, e, on in ((-fore, 0.0, 0), (0.0, T, 1), (T, 481.0, 2)):
            e = min(e, 481.0)
            if e <= a:
                continue
            f = lambda t, y: (-k * (y - env) + PC + (on > 0) * q0 / 3 * np.exp(-t / 3)
                              + (on == 1) * q1 * 3 / T * (1 - t / T) ** 2)
            te = after[(after >= a) & (after < e)]
            o = solve_ivp(f, (a, e), [y], method="DOP853", rtol=1e-12, atol=1e-12,
                          max_step=20.0, t_eval=np.append(te, e))
            sol.update(zip(te, o.y[0]))
            y = o.y[0, -1]
        ours = (base_curve(after, fore, env, D, k, PC)
                + q0 * first_order_response(after, 3.0, k)
                + q1 * cube_root_response(after, T, k))
        worst = max(worst, np.abs(ours - np.array([sol[t] for t in after])).max())
    out = dict(curve_max_abs_K=float(worst))
    # all errors off: the lab must find h25 + shift, whatever the shift
    r = simulate(np.random.default_rng(2), 500, quiet(setup("A")))
    out["null_error_max_kJ_per_mol"] = float(np.abs(r["error"]).max())
    # all errors off, but the iron fixed at 0.9 of what is needed: extent 0.9
    s = quiet(setup("A"))
    s["det"].update(u_shift=0.0, window=(0.19, 0.19))
    n = 0.19 * 0.995 / M_KMNO4
    s["stock"].update(m=0.9 * n * 5 * 200 / 150 * M_FESO4, x=0.0, w=0.0)
    r = simulate(np.random.default_rng(3), 500, s)
    expect = -0.1 * (H_REACTION + 200.0 * -4.5) / 1e3
    out["short_error_less_expected"] = float(np.abs(r["error"] - expect).max())
    # all errors off, residue that dissolves within the settling time: -n1 h_s
    s = quiet(setup("A"))
    s["det"].update(u_shift=0.0, td=1000.0)
    r = simulate(np.random.default_rng(4), 500, s)
    out["late_error_less_expected"] = float(np.abs(r["error"] - 0.1 ** 3 * 43.4).max())
    return out


def sensitivity(trials=200000, seed=7):
    """Change of the error's statistics by choices, with common random numbers."""
    def base(variant):
        return lambda: setup(variant)

    def alter(variant, f):
        def g():
            s = setup(variant)
            f(s)
            return s
        return g
    cases = [("A", "h_s with its slope", lambda s: s["det"].update(h_s_slope=-177.8)),
             ("B", "h_s with its slope", lambda s: s["det"].update(h_s_slope=-177.8)),
             ("A", "one leak conductance (k C = k0 507 J/K)", lambda s: s.update(k_by_C=507.0)),
             ("B", "one leak conductance (k C = k0 507 J/K)", lambda s: s.update(k_by_C=507.0)),
             ("A", "no molar-mass errors", lambda s: s["det"].update(u_M=0.0)),
             ("A", "tabulated h of the target drawn", lambda s: s["det"].update(u_H25=4.09e3)),
             ("A", "instantaneous mixing", lambda s: s["det"].update(t_mix=0.0)),
             ("C", "stock weighed in air", lambda s: s["stock"].update(buoyancy=True)),
             ("C", "iron(II) sulfate 99.0 % to 100.5 %",
              lambda s: s["stock"].update(P_true=(0.99, 1.005)))]
    for variant, name, f in cases:
        res = []
        for make in (base(variant), alter(variant, f)):
            rngs = [np.random.default_rng(q) for q in
                    np.random.SeedSequence(seed).spawn(trials // 10000)]
            q = [simulate(g, 10000, make()) for g in rngs]
            e = np.concatenate([p["error"] for p in q])
            sh = np.concatenate([p["short"] for p in q]).mean()
            res.append((e.mean(), e.std(ddof=1), *np.quantile(e, (0.025, 0.975)), 100 * sh))
        d = np.subtract(res[1], res[0])
        print(f"{variant} {name:44s} mean {d[0]:+.4f}  sd {d[1]:+.4f}  q025 {d[2]:+.4f}"
              f"  q975 {d[3]:+.4f} kJ/mol  short {d[4]:+.3f} %", flush=True)


if __name__ == "__main__":
    ap = argparse.ArgumentParser(description="reference simulation, see module text")
    ap.add_argument("--trials", type=int, default=2000000)
    ap.add_argument("--seed", type=int, default=1)
    ap.add_argument("--variant", choices="ABC")
    ap.add_argument("--json", action="store_true")
    ap.add_argument("--check", action="store_true")
    ap.add_argument("--sensitivity", action="store_true")
    a = ap.parse_args()
    if a.check:
        print(json.dumps(check()))
    elif a.sensitivity:
        sensitivity()
    else:
        with ProcessPoolExecutor(2) as pool:
            for v in a.variant or "ABC":
                t0 = clock.time()
                r = run(a.trials, a.seed, v, pool)
                print(json.dumps(r) if a.json else text(r), flush=True)
