#!/usr/bin/env python3
"""Independent reference simulation of a solution-calorimetry experiment.

    python3 dewar_chain.py --trials N --seed S --variant A|B|C     one JSON line
    python3 dewar_chain.py --check                                 self-checks
    --set det.window=0.775,0.825 --set cal.runs=3               other numbers

One trial = one group: 2 calibration runs (TRIS in hydrochloric acid) and
3 determinations (NH4Cl in water) in the same vessel.  NATURE holds the true
values, LAB the readings, labels and tables; the two never mix.  Everything is
redrawn in every trial.  Units: g, mL, J, K (or deg C), s, mol, mol/kg.

NATURE
  weighing    load_tare = boat + d U(-1/2,1/2);  load_gross = load_tare + B m
              B = (1 - rho_a/rho_x) / (1 - rho_a/8.0)
              I = round_d((1+g) load + lambda_place + eps)
              recorded = I_gross - I_tare
  liquid      V = V_nom (1 + alpha (t-20)) + n_fill delta + sum_f eps_f
              mass = rho(t) (1+e_rho) V ; rinse water: mass v_r rho_water(t)
  solid       m_in = m - loss ;  n = m_in P_true / M_true
  heat cap.   C = C_vessel (1+eta) + mass c_liq(t) (1+e_liq)
                  + m_in [(1-leftover) c_solute + leftover c_solid] + rinse c_water(t)
                  c_solid = c_solute - slope/M, all three as tabulated
  curve       dT/dt = -k (T - T_env) + P/C + (Q/C) s'(t),  T(-fore) = t + D
              s(t) = 1 - (1 - t/td)^3 for 0<=t<=td, 1 afterwards
              T_env = t (true room temperature)
              base:     T_b(t) = T_env + D e^{-k tau} + (P/C) (1-e^{-k tau})/k,
                        tau = t + fore
              reaction: T_r(t) = (Q/C) e^{-k (t-b)} J(b),  b = min(t, td),
                        J(b) = int_0^b (3/td)(1-u/td)^2 e^{-k(b-u)} du
                        (Gauss-Legendre: the integrand is a parabola times
                        a slow exponential, 8 nodes reach machine precision)
              T_mix = T_b(0) ;  Q = -n (1-leftover) H(T_mix, molality)
  enthalpy    H(T,b) = H25 + slope (T-25) + Lphi(b) - Lphi(0) + e_L
              e_L normal, its u that of the table at the planned molality
              b = n (1-leftover) / (kg liquid + kg rinse);
              Lphi piecewise linear in sqrt(b) through (0,0)
  sensor      shown = round_d(T + offset + gain (T - t_stated)
                              + drift (t - t_start) + noise)

LAB
  lines through the fore and the after readings, both extrapolated to t = 0:
  DeltaT = after(0) - fore(0), T_lab = fore(0).
  liquid mass = V_nom rho(t_stated); n = m_rec P_label / M_table
  calibration    C_sys = -n H_ref(T_lab) / DeltaT
                 constant = mean(C_sys - (m_liq c_liq(t_stated) + m_rec c_sol))
  determination  C = constant + m_liq c_liq + m_rec c_sol ; H = -C DeltaT / n
                 result = mean(H - slope (T_lab-25) - Lphi(b))
  error = result - 14780 J/mol

Variant A: base case.  B: thermometer resolution 0 and noise 0, k = P = D = 0,
instant reaction.  C: base case with k = 2e-4 /s and D = +1 K, both fixed.
"""
import argparse
import json
import numpy as np

# ------------------------------------------------------------------ numbers
T_STATED, U_ROOM = 21.5, 0.5

BAL = dict(d=1e-4, eps=1e-4, lam=2e-4, gain=10e-6, rho_a=1.2e-3,
           u_rho_a=0.02e-3, rho_w=8.0, boat=2.5)
THERMO = dict(d=0.01, noise=3e-3, offset=0.2, gain=0.003, drift=0.1e-3 / 60.0)
VESSEL = dict(C=89.4, u_C=10.0, eta=0.02, k=3e-5, k_sig=0.5,
              P=5e-3, P_sig=0.7, D=0.0, u_D=0.3)
RECORD = dict(interval=10.0, fore=180.0, after=420.0, settle=150.0)
LIQUID = dict(V=150.0, n_fill=3, delta=0.05, eps_f=0.015, alpha=9.9e-6,
              rinse=0.2)
GRID = np.array([10.0, 15.0, 20.0, 25.0, 30.0])

CAL = dict(
    runs=2, window=(0.73, 0.77), loss=0.4e-3, td=35.0, td_sig=0.30,
    leftover=0.0, rho_x=1.353,
    M=121.136, u_M=0.0,
    H25=-245.76 * 121.136, u_H25=0.13 * 121.136,
    slope=1.435 * 121.136, u_slope=0.0115 * 121.136,
    Lphi=None, c_sol=2.64, u_c_sol=0.15,
    P_true=(0.998, 1.000), P_label=0.999, e_liq=0.0024, e_rho=5e-4, u_L=0.0,
    c=np.array([4.16722, 4.16128, 4.15736, 4.15477, 4.15320]),
    rho=np.array([1.001496, 1.000881, 0.999973, 0.998803, 0.997396]))

DET = dict(
    runs=3, window=(1.55, 1.65), loss=0.8e-3, td=45.0, td_sig=0.35,
    leftover=0.001, rho_x=1.519,
    M=53.489, u_M=0.00582,
    H25=14780.0, u_H25=0.0,
    slope=-129.0, u_slope=8.0,
    Lphi=np.array([(0.01, 170), (0.05, 318), (0.1, 398), (0.2, 478),
                   (0.5, 572), (1.0, 623)], float),
    c_sol=-0.84, u_c_sol=0.12,
    P_true=(0.995, 1.000), P_label=0.9975, e_liq=0.0005, e_rho=5e-6, u_L=None,
    c=np.array([4.195159, 4.188461, 4.184051, 4.181315, 4.179820]),
    rho=np.array([0.9997025, 0.9991026, 0.9982072, 0.9970476, 0.9956495]))

ACCEPTED = 14780.0
T975_2 = 4.302652729911275          # Student t, 2 degrees of freedom, 95 %


def setup(variant):
    """Instrument/vessel numbers of a variant, as independent copies."""
    s = dict(bal=dict(BAL), thermo=dict(THERMO), vessel=dict(VESSEL),
             rec=dict(RECORD), liq=dict(LIQUID), cal=dict(CAL), det=dict(DET),
             u_room=U_ROOM)
    if variant == "B":
        s["thermo"].update(d=0.0, noise=0.0)
        s["vessel"].update(k=0.0, P=0.0, D=0.0, u_D=0.0)
        s["cal"]["td"] = 0.0
        s["det"]["td"] = 0.0
    elif variant == "C":
        s["vessel"].update(k=2e-4, k_sig=0.0, D=1.0, u_D=0.0)
    elif variant != "A":
        raise ValueError("variant must be A, B or C")
    return s


# ------------------------------------------------------- small mathematics
def interp4(x, table, grid=GRID):
    """Local cubic (Lagrange) through the 4 nearest points of an equally spaced grid."""
    x, table = np.asarray(x, float), np.asarray(table)
    step = grid[1] - grid[0]
    i0 = np.clip(np.floor((x - grid[0]) / step).astype(int) - 1, 0, len(grid) - 4)
    idx = i0[..., None] + np.arange(4)
    gx, gy = grid[idx], table[idx]
    out = np.zeros_like(x)
    for a in range(4):
        w = np.ones_like(x)
        for b in range(4):
            if a != b:
                w = w * (x - gx[..., b]) / (gx[..., a] - gx[..., b])
        out = out + w * gy[..., a]
    return out


# standard uncertainty of the points of DET["Lphi"], J/mol
U_LPHI = np.array([10, 20, 25, 30, 40, 50], float)


def u_lphi(sub):
    """That of the heat of dilution at the molality of a run as planned."""
    if sub["u_L"] is not None:
        return sub["u_L"]
    mass = sum(sub["window"]) / 2
    b = mass * sub["P_label"] / sub["M"] / (LIQUID["V"] * float(interp4(T_STATED, sub["rho"])) * 1e-3)
    x = np.sqrt(np.concatenate([[0.0], sub["Lphi"][:, 0]]))
    return float(np.interp(np.sqrt(b), x, np.concatenate([[0.0], U_LPHI])))


def lphi(b, points):
    if points is None:
        return np.zeros_like(b)
    x = np.sqrt(np.concatenate([[0.0], points[:, 0]]))
    return np.interp(np.sqrt(b), x, np.concatenate([[0.0], points[:, 1]]))


def round_to(x, d):
    return x if d == 0 else np.rint(x / d) * d


def base_curve(time, fore, T_env, D, k, PC):
    """Curve without reaction; (1-e^{-x})/k taken stably, also at k = 0."""
    tau = time + fore
    x = k * tau
    with np.errstate(invalid="ignore", divide="ignore"):
        f = np.where(x == 0, 1.0, -np.expm1(-x) / np.where(x == 0, 1.0, x))
    return T_env + D * np.exp(-x) + PC * tau * f


_GX, _GW = np.polynomial.legendre.leggauss(8)
_GX, _GW = (_GX + 1) / 2, _GW / 2


def reaction_response(time, td, k):
    """Response at time >= 0 of the leaking vessel to unit total heating."""
    b = np.minimum(time, td)
    tds = np.where(td > 0, td, 1.0)
    J = np.zeros(np.broadcast(b, k).shape)
    for gx, gw in zip(_GX, _GW):
        u = gx * b
        J += gw * b * 3.0 / tds * (1 - u / tds) ** 2 * np.exp(-k * (b - u))
    J = np.where(td > 0, J, 1.0)
    return np.exp(-k * (time - b)) * J


def line_at_zero(times):
    """Weights w with w . y = intercept at t=0 of the least-squares line."""
    A = np.stack([np.ones_like(times), times], axis=1)
    return np.linalg.pinv(A)[0]


def rect(rng, half, size):
    return rng.uniform(-half, half, size)


# ------------------------------------------------------------ one leg
def run_leg(rng, N, s, sub, grp):
    """Nature and readings of one leg; returns only what the lab can see."""
    bal, th, ve, rec, liq = s["bal"], s["thermo"], s["vessel"], s["rec"], s["liq"]
    R = sub["runs"]
    col = lambda v: v[:, None]
    shape = (N, R)

    # course draws (one per trial)
    H25 = sub["H25"] + sub["u_H25"] * col(rng.standard_normal(N))
    slope = sub["slope"] + sub["u_slope"] * col(rng.standard_normal(N))
    c_sol = sub["c_sol"] + sub["u_c_sol"] * col(rng.standard_normal(N))
    M = sub["M"] + sub["u_M"] * col(rng.standard_normal(N))
    e_liq = sub["e_liq"] * col(rng.standard_normal(N))
    e_rho = sub["e_rho"] * col(rng.standard_normal(N))
    e_L = u_lphi(sub) * col(rng.standard_normal(N))
    P_true = col(rng.uniform(*sub["P_true"], N))

    # weighing by difference
    m = rng.uniform(*sub["window"], shape)
    rho_a = col(grp["rho_a"])
    B = (1 - rho_a / sub["rho_x"]) / (1 - rho_a / bal["rho_w"])
    tare = bal["boat"] + bal["d"] * rng.uniform(-0.5, 0.5, shape)
    gross = tare + B * m
    I = []
    for load in (tare, gross):
        lam = col(rect(rng, bal["lam"], N))          # one per group per place
        eps = bal["eps"] * rng.standard_normal(shape)
        I.append(round_to((1 + col(grp["g"])) * load + lam + eps, bal["d"]))
    m_rec = I[1] - I[0]

    # liquid
    t = col(grp["t"])
    eps_f = liq["eps_f"] * rng.standard_normal((N, R, liq["n_fill"])).sum(-1)
    V = liq["V"] * (1 + liq["alpha"] * (t - 20)) + liq["n_fill"] * col(grp["delta"]) + eps_f
    m_liq = interp4(t, sub["rho"]) * (1 + e_rho) * V
    m_rinse = interp4(t, DET["rho"]) * liq["rinse"] * rng.standard_exponential(shape)  # DET: water

    # solid, heat capacity, heat
    m_in = m - sub["loss"] * rng.standard_exponential(shape)
    n = m_in * P_true / M
    leftover = sub["leftover"] * rng.standard_exponential(shape)
    C = (col(grp["C"]) * (1 + ve["eta"] * rng.standard_normal(shape))
         + m_liq * interp4(t, sub["c"]) * (1 + e_liq)
         + m_in * ((1 - leftover) * c_sol + leftover * (sub["c_sol"] - sub["slope"] / sub["M"]))
         + m_rinse * interp4(t, DET["c"]))
    D = ve["D"] + ve["u_D"] * rng.standard_normal(shape)
    td = sub["td"] * np.exp(sub["td_sig"] * rng.standard_normal(shape))
    k, PC = col(grp["k"]), col(grp["P"]) / C
    fore = rec["fore"]
    T_mix = base_curve(0.0, fore, t, D, k, PC)
    b = n * (1 - leftover) / ((m_liq + m_rinse) * 1e-3)
    H = H25 + slope * (T_mix - 25) + lphi(b, sub["Lphi"]) + e_L
    Q = -n * (1 - leftover) * H

    # record
    t_fore = np.arange(-fore, 0.0, rec["interval"])
    t_after = np.arange(rec["settle"], rec["after"] + 1e-9, rec["interval"])
    times = np.concatenate([t_fore, t_after])
    nf = len(t_fore)
    x3 = lambda v: v[..., None]
    T = base_curve(times, fore, x3(np.broadcast_to(t, shape)), x3(D),
                   x3(np.broadcast_to(k, shape)), x3(PC))
    T[..., nf:] += x3(Q / C) * reaction_response(
        t_after, x3(td), x3(np.broadcast_to(k, shape)))
    shown = (T + grp["offset"][:, None, None]
             + grp["tgain"][:, None, None] * (T - T_STATED)
             + x3(rect(rng, th["drift"], shape)) * (times + fore))
    if th["noise"]:
        shown += th["noise"] * rng.standard_normal(shown.shape)
    shown = round_to(shown, th["d"])
    return m_rec, shown[..., :nf], shown[..., nf:], t_fore, t_after


def reduce_leg(obs, s, sub):
    """Lab: quantities of one leg from readings, labels and tables."""
    m_rec, fore, after, t_fore, t_after = obs
    T_lab = fore @ line_at_zero(t_fore)
    dT = after @ line_at_zero(t_after) - T_lab
    m_liq = s["liq"]["V"] * interp4(T_STATED, sub["rho"])
    n = m_rec * sub["P_label"] / sub["M"]
    b = n / (m_liq * 1e-3)
    H = sub["H25"] + sub["slope"] * (T_lab - 25) + lphi(b, sub["Lphi"])
    content = m_liq * interp4(T_STATED, sub["c"]) + m_rec * sub["c_sol"]
    return n, dT, H, content


def simulate(rng, N, s):
    bal, th, ve, liq = s["bal"], s["thermo"], s["vessel"], s["liq"]
    grp = dict(
        t=T_STATED + s["u_room"] * rng.standard_normal(N),
        g=rect(rng, bal["gain"], N),
        rho_a=bal["rho_a"] + bal["u_rho_a"] * rng.standard_normal(N),
        offset=rect(rng, th["offset"], N),
        tgain=rect(rng, th["gain"], N),
        C=ve["C"] + ve["u_C"] * rng.standard_normal(N),
        k=ve["k"] * np.exp(ve["k_sig"] * rng.standard_normal(N)),
        P=ve["P"] * np.exp(ve["P_sig"] * rng.standard_normal(N)),
        # symmetric triangular = mean of two rectangular draws
        delta=0.5 * (rect(rng, liq["delta"], N) + rect(rng, liq["delta"], N)))
    cal, det = s["cal"], s["det"]

    n, dT_c, H_ref, content = reduce_leg(run_leg(rng, N, s, cal, grp), s, cal)
    const = (-n * H_ref / dT_c - content).mean(1)

    n, dT_d, H_tab, content = reduce_leg(run_leg(rng, N, s, det, grp), s, det)
    H_obs = -(const[:, None] + content) * dT_d / n
    H_j = H_obs - (H_tab - det["H25"])         # to 25 C, infinite dilution
    return dict(H_j=H_j, const=const, dT_cal=dT_c.mean(1), dT_det=dT_d.mean(1))


# ------------------------------------------------------------ statistics
def summarise(x):
    n = len(x)
    mean, sd = x.mean(), x.std(ddof=1)
    kurt = np.mean((x - mean) ** 4) / sd ** 4
    out = dict(mean=mean, mean_se=sd / np.sqrt(n),
               sd=sd, sd_se=sd * np.sqrt((kurt - 1) / (4 * n)),
               skewness=np.mean((x - mean) ** 3) / sd ** 3, kurtosis=kurt)
    xs = np.sort(x)
    for name, p in (("q025", 0.025), ("median", 0.5), ("q975", 0.975)):
        out[name] = np.quantile(xs, p)
        # half width of the one-sigma order-statistic interval
        h = np.sqrt(n * p * (1 - p))
        lo, hi = int(max(0, n * p - h)), int(min(n - 1, n * p + h))
        out[name + "_se"] = (xs[hi] - xs[lo]) / 2
    return {k: float(v) for k, v in out.items()}


def change(s, settings):
    """Sets numbers by name: "det.runs=2", "thermo.noise=4e-3"."""
    for setting in settings:
        path, values = setting.split("=")
        part, key = path.split(".")
        numbers = tuple(float(v) for v in values.split(","))
        old = s[part][key]
        s[part][key] = numbers if len(numbers) > 1 else type(old)(numbers[0])


def run(trials, seed, variant, settings=(), chunk=10000):
    s = setup(variant)
    change(s, settings)
    sizes = [chunk] * (trials // chunk) + ([trials % chunk] if trials % chunk else [])
    seeds = np.random.SeedSequence(seed).spawn(len(sizes))
    parts = [simulate(np.random.default_rng(q), N, s) for q, N in zip(seeds, sizes)]
    r = {k: np.concatenate([p[k] for p in parts]) for k in parts[0]}
    err = r["H_j"].mean(1) - ACCEPTED
    sj = r["H_j"].std(axis=1, ddof=1)
    cover = float(np.mean(np.abs(err) <= T975_2 * sj / np.sqrt(3)))
    ms = lambda x: dict(mean=float(x.mean()), mean_se=float(x.std(ddof=1) / np.sqrt(len(x))),
                        sd=float(x.std(ddof=1)))
    return dict(variant=variant, trials=trials, seed=seed, error=summarise(err),
                constant=ms(r["const"]), dT_cal=ms(r["dT_cal"]), dT_det=ms(r["dT_det"]),
                s_within=dict(rms=float(np.sqrt(np.mean(sj ** 2))), median=float(np.median(sj))),
                coverage_t2=cover,
                coverage_t2_se=float(np.sqrt(cover * (1 - cover) / trials)))


def from_command_line(simulate, chunk=20000):
    """Prints the statistics of every array that `simulate(rng, trials)` gives: for the scripts beside this one."""
    ap = argparse.ArgumentParser(description="reference simulation, see module text")
    ap.add_argument("--trials", type=int, default=200000)
    ap.add_argument("--seed", type=int, default=1)
    a = ap.parse_args()
    rng = np.random.default_rng(a.seed)
    parts = [simulate(rng, min(chunk, a.trials - start)) for start in range(0, a.trials, chunk)]
    print(json.dumps(dict(trials=a.trials, seed=a.seed,
                          **{k: summarise(np.concatenate([p[k] for p in parts]))
                             for k in parts[0]})))


# ------------------------------------------------------------ self-checks
def check():
    from scipy.integrate import solve_ivp
    rng = np.random.default_rng(1)
    worst = 0.0
    for i in range(60):
        k = 0.0 if i % 10 == 0 else 3e-5 * np.exp(rng.normal(0, 1.2))
        td = 400.0 * rng.random() + 5 if i % 3 == 0 else 40 * np.exp(rng.normal(0, 0.4))
        PC, QC = 7e-6 * np.exp(rng.normal(0, 1)), rng.uniform(-1, 1.5) * 3
        env, D, fore = rng.normal(21.5, 0.5), rng.normal(0, 0.7), 180.0
        y, t0, sol = env + D, -fore, {}
        grid = np.concatenate([np.arange(-180.0, 0, 10), np.arange(0.0, 421, 10)])
        # integrate piecewise so that no step crosses a kink of s'
        for a, e, on in ((-fore, 0.0, 0), (0.0, td, 1), (td, max(td, 420.0), 0)):
            if e <= a:
                continue
            f = lambda t, T: -k * (T - env) + PC + on * QC * 3 / td * (1 - t / td) ** 2
            te = grid[(grid >= a) & (grid < e)] if e < 420 else grid[(grid >= a) & (grid <= e)]
            r = solve_ivp(f, (a, e), [y], method="DOP853", rtol=1e-12, atol=1e-12,
                          t_eval=np.append(te, e) if len(te) == 0 or te[-1] < e else te)
            sol.update(zip(te, r.y[0]))
            y = r.y[0, -1]
        ref = np.array([sol[g] for g in grid])
        ours = base_curve(grid, fore, env, D, k, PC)
        pos = grid >= 0
        ours[pos] += QC * reaction_response(grid[pos], np.array(td), k)
        worst = max(worst, np.abs(ours - ref).max())

    # null experiment: every error source off -> the lab must find 14780.
    s = setup("B")
    s["u_room"] = 0.0
    s["bal"].update(d=0.0, eps=0, lam=0, gain=0, rho_a=0, u_rho_a=0)
    s["thermo"].update(offset=0, gain=0, drift=0)
    s["vessel"].update(eta=0)
    s["liq"].update(delta=0, eps_f=0, alpha=0, rinse=0)
    for L in ("cal", "det"):
        s[L].update(loss=0, leftover=0, u_M=0, u_H25=0, u_slope=0, u_c_sol=0,
                    e_liq=0, e_rho=0, u_L=0, P_true=(s[L]["P_label"],) * 2)
    null = np.abs(simulate(np.random.default_rng(2), 2000, s)["H_j"] - ACCEPTED).max()
    # interpolation reproduces the grid
    g = max(np.abs(interp4(GRID, L[q]) - L[q]).max() for L in (CAL, DET) for q in ("c", "rho"))
    return dict(curve_max_abs_K=float(worst), null_error_max_J_per_mol=float(null),
                interp_nodes_max=float(g))


if __name__ == "__main__":
    ap = argparse.ArgumentParser(description="reference simulation, see module text")
    ap.add_argument("--trials", type=int, default=200000)
    ap.add_argument("--seed", type=int, default=1)
    ap.add_argument("--variant", choices="ABC", default="A")
    ap.add_argument("--check", action="store_true")
    ap.add_argument("--set", action="append", default=[], metavar="PART.KEY=VALUE")
    a = ap.parse_args()
    print(json.dumps(check() if a.check else run(a.trials, a.seed, a.variant, a.set)))
