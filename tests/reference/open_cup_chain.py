#!/usr/bin/env python3
"""Two salts in an open cup after hot and cold water: an independent simulation.

Written from the documents alone, to check another program's numbers. One trial is one group that does
everything once; all scopes (reading, run, group, course) are drawn anew in each trial.

TIMES. t = 0 is the mixing. Readings at -120, -105, ..., -15 s and at 15, 30, ..., 420 s; t0 = -120 s.

NATURE
  room         T_room ~ N(22 C, 1 K), group. Liquids and glass have it when they are measured out.
  volume       V = V_nom [1 + alpha (T_room - 20)] + delta + eps; delta rectangular +-1 mL, one for each
               cylinder and group (the 50 mL cylinder fills cold and hot water, the 100 mL one both salts'
               water); eps ~ N(0, 0.2 mL) for each filling; alpha = 9.9e-6 1/K.
  water        m = rho(T_room) (1 + e_rho) V, c = c_p(T_room) (1 + e_c); e_rho, e_c course; tables linear
               between their points. Rinse water ~ Exp(0.3 mL) in each run, part of contents and solvent.
  solid        m tipped in ~ U(window), less a loss ~ Exp(20 mg); purity p ~ U(assay limits), course;
               n = m p / M. A share f ~ Exp(0.5 %) of the nitrate never dissolves.
  contents     C = C_v (1 + eta) + (m_liquid + m_hot + m_rinse) c + m (1 - f) c_solute + m f c_solid; C_v
               log-normal about 15 J/K, group; eta ~ N(0, 15 %), run; c_solute normal, course. The library
               lists no c_solid: here c_solute - s / M of the tables (of the salt, s being the change of heat
               capacity on dissolving), which a first version without it (--set solid=none) left at zero.
  start        salts: T_0 = T_room + U(0.3 K, 1.7 K); calibration: T_0 = T_cold ~ N(21.5 C, 0.5 K).
               Surroundings T_env = T_room.
  vessel       C dT/dt = -k C (T - T_env) + P + dQ/dt; k, P log-normal, group. Without the heat
               x(u) = A + B e^(-k u), u = t - t0, A = T_env + P / (C k), B = T_0 - A.
  heat         hot water: Q = m_hot c (T_hot - loss - T(0)) at once, T_hot ~ N(42 C, 1 K), loss ~ Exp(0.2 K).
               salts: Q = -n (1 - f) h, h = h25 + (s + ds)(T(0) - 25) + L(b) + z u_L(b),
               b = n (1 - f) / (m_liquid + m_rinse), L and u_L linear in sqrt(b); ds, z course.
  sensor       tau dy/dt = x - y, lambda = 1/tau, y(t0) = x(t0); without the heat
               y = A + B [lambda e^(-k u) - k e^(-lambda u)] / (lambda - k);
               with it Q/C times
                 at once:      lambda / (lambda - k) (e^(-k t) - e^(-lambda t));
                 first order:  lambda r { e^(-k t)/[(r-k)(lambda-k)] + e^(-r t)/[(k-r)(lambda-r)]
                               + e^(-lambda t)/[(k-lambda)(r-lambda)] };
                 cube root:    lambda / (lambda - k) [R_k(t) - R_lambda(t)],
                               R_x(t) = e^(-x (t - t')) (3 t'/t_d) int_0^1 (a + b v)^2 e^(-x t' v) dv,
                               t' = min(t, t_d), b = t'/t_d, a = 1 - b.
               shown = round_0.1( y + offset + gain (y - 22) + drift (t - t0) + noise ).
               The hot water is read once with the same thermometer, without lag and drift.
  log-normal   "v, q log-normal": v exp(q z), z standard normal (v is the median).

LAB (22 C for its tables, nominal volumes and masses, middle of the assay's range)
  dT_i  = extreme reading after mixing - last reading before; highest or lowest by the direction in which
          the record between mixing and 120 s departs most from the line through the readings before.
  K_i   = m_hot c (T_hot,shown - T_i) / dT_i - (m_cold + m_hot) c, K = mean over the calibration runs
          (vessel alone: contents are exchanged), T_i the last reading before mixing.
  dH_j  = -(K + m c + m_s c_solute) dT_j / n_j - [s (T_j - 25) + L(n_j / m)], leg = mean over j.
  result = leg of the nitrate - leg of the chloride; error against 34890 - 14780 J/mol.
  claim = result +- t(0.975, nu) u, u^2 = sum s_k^2/n_k, nu = u^4 / sum [(s_k^2/n_k)^2 / (n_k - 1)],
          nu a real number; no scatter at all: the claim does not hold
          (`no_scatter` is the share of such groups; claim_holds / (1 - no_scatter) leaves them out).
"""
import argparse
import json
import sys
import time

import numpy as np

T_TAB = np.array([5.0, 10, 15, 20, 25, 30, 35, 40, 45])
CP = np.array([4.205038, 4.195159, 4.188461, 4.184051, 4.181315, 4.179820, 4.179258, 4.179415, 4.180142])
RHO = np.array([0.9999666, 0.9997025, 0.9991026, 0.9982072, 0.9970476, 0.9956495, 0.9940333, 0.9922164, 0.9902129])
B_TAB = np.sqrt(np.array([0.0, 0.01, 0.05, 0.1, 0.2, 0.5, 1.0]))
ROOM = 22.0
SALT = {
    "determination": dict(h=34890.0, s=-144.0, us=10.0, c=-0.47, uc=0.12, M=101.1023, uM=0.0018, p=(0.99, 1.0),
                          m=4.0, half=0.2, law="first", time=15.0, left=0.005,
                          L=np.array([0, 101.0, 16, -153, -495, -1380, -2540]), uL=np.array([0, 10.0, 15, 30, 70, 220, 450])),
    "chloride": dict(h=14780.0, s=-129.0, us=8.0, c=-0.84, uc=0.12, M=53.4890, uM=0.0058, p=(0.995, 1.0),
                     m=3.0, half=0.2, law="cube", time=40.0, left=0.0,
                     L=np.array([0, 170.0, 318, 398, 478, 572, 623]), uL=np.array([0, 10.0, 20, 25, 30, 40, 50])),
}
TRUE = SALT["determination"]["h"] - SALT["chloride"]["h"]
# Readings of the documents that they leave open; the first of each is the one in the docstring.
OPTIONS = dict(
    lognormal="median",       # median, sigma = q | mean: mean and coefficient of variation | medcv: median and coefficient
    last_before=-15.0,        # time of the last reading before mixing: -15 | 0
    cal_env="room",           # surroundings of a calibration run: room | cold-diff (T_cold less the start difference)
                              # | room-diff (T_room less it)
    cal_start="cold",         # cold | cold+diff
    det_env="room",           # room: T_0 = room + diff | shifted: T_0 = room, T_env = room - diff
    hot_read="thermometer",   # thermometer | nogain (no scale error) | true
    hot_round=1,
    lab_T="last",             # temperature of mixing in the lab: last | line (line before at t = 0)
    rate="time",              # first order: r = 1/time | half (ln 2 / time)
    nu="real",                # degrees of freedom: real | floor
    solid="slope",            # heat capacity of undissolved solid: slope (c_solute - s / M) | none
)


def lognormal(rng, n, v, q, opt):
    z = rng.standard_normal(n)
    if opt["lognormal"] == "median":
        return v * np.exp(q * z)
    s = np.sqrt(np.log1p(q * q))
    return v * np.exp(s * z - (0.5 * s * s if opt["lognormal"] == "mean" else 0.0))


def r_cube(x, t, td, nodes):
    """R_x(t) of the cube-root law; x, td arrays, t a number; nodes: Gauss-Legendre on (0, 1), or None: closed form."""
    tt = np.minimum(t, td)
    b = tt / td
    a = 1.0 - b
    z = x * tt
    if nodes is not None:
        v, w = nodes
        total = np.zeros_like(z)
        for vi, wi in zip(v, w):
            total += wi * (a + b * vi) ** 2 * np.exp(-z * vi)
    else:
        e = np.exp(-z)
        p0 = (1.0 - e) / z
        p1 = (p0 - e) / z
        p2 = (2.0 * p1 - e) / z
        total = a * a * p0 + 2.0 * a * b * p1 + b * b * p2
    return 3.0 * b * total * np.exp(-x * (t - tt))


_GL = np.polynomial.legendre.leggauss(12)
NODES = ((_GL[0] + 1.0) / 2.0, _GL[1] / 2.0)


def spread_apart(x, y):
    """x, moved by a ten-millionth where it is closer to y than that (divided differences)."""
    return np.where(np.abs(x - y) < 1e-7 * y, y * (1.0 + 1e-7), x)


def answer_heat(law, par, k, lam, times):
    """What the lagging thermometer shows of a unit rise Q/C, at each of the times after mixing."""
    out = np.empty((len(times), k.size))
    if law == "once":
        for i, t in enumerate(times):
            out[i] = lam / (lam - k) * (np.exp(-k * t) - np.exp(-lam * t))
    elif law == "first":
        r = spread_apart(spread_apart(par, lam), k)
        ck = lam * r / ((r - k) * (lam - k))
        cr = lam * r / ((k - r) * (lam - r))
        cl = lam * r / ((k - lam) * (r - lam))
        for i, t in enumerate(times):
            out[i] = ck * np.exp(-k * t) + cr * np.exp(-r * t) + cl * np.exp(-lam * t)
    else:
        td = par
        end = None
        for i, t in enumerate(times):
            if end is None and np.all(td <= t):
                end = (r_cube(k, td, td, NODES), r_cube(lam, td, td, None))
            if end is None:
                rk, rl = r_cube(k, t, td, NODES), r_cube(lam, t, td, None)
            else:
                rk, rl = end[0] * np.exp(-k * (t - td)), end[1] * np.exp(-lam * (t - td))
            out[i] = lam / (lam - k) * (rk - rl)
    return out


def quiet(T0, Tenv, P, C, k, u):
    A = Tenv + P / (C * k)
    return A + (T0 - A) * np.exp(-k * u)


def quiet_lagged(T0, Tenv, P, C, k, lam, u):
    A = Tenv + P / (C * k)
    return A + (T0 - A) * (lam * np.exp(-k * u) - k * np.exp(-lam * u)) / (lam - k)


def sqrt_table(values, b):
    return np.interp(np.sqrt(np.maximum(b, 0.0)), B_TAB, values)


FORE = -15.0 * np.arange(8, 0, -1)
AFTER = 15.0 * np.arange(1, 29)


def show(rng, T, g, drift_term, n):
    shown = T + g["offset"] + g["gain"] * (T - ROOM) + drift_term + 0.01 * rng.standard_normal(n)
    return 0.1 * np.rint(shown / 0.1)


def record(rng, n, g, T0, Tenv, C, rise, law, par, opt):
    """Reduced record: change of temperature and temperature of mixing, as the lab has them."""
    k, lam, P = g["k"], g["lam"], g["P"]
    drift = rng.uniform(-0.2e-3 / 60.0, 0.2e-3 / 60.0, n)
    t0 = -120.0
    fore = FORE + 15.0 if opt["last_before"] == 0 else FORE
    if opt["last_before"] == 0:
        fore = np.concatenate([[-120.0], fore])
    before = np.empty((len(fore), n))
    for i, t in enumerate(fore):
        before[i] = show(rng, quiet_lagged(T0, Tenv, P, C, k, lam, t - t0), g, drift * (t - t0), n)
    heat = answer_heat(law, par, k, lam, AFTER)
    after = np.empty((len(AFTER), n))
    for i, t in enumerate(AFTER):
        T = quiet_lagged(T0, Tenv, P, C, k, lam, t - t0) + rise * heat[i]
        after[i] = show(rng, T, g, drift * (t - t0), n)
    tm = fore.mean()
    slope = ((fore - tm)[:, None] * before).sum(0) / ((fore - tm) ** 2).sum()
    level = before.mean(0)
    far = np.zeros(n)
    for i, t in enumerate(AFTER):
        if t < 120.0:
            d = after[i] - (level + slope * (t - tm))
            far = np.where(np.abs(d) > np.abs(far), d, far)
    last = before[-1]
    dT = np.where(far > 0, after.max(0), after.min(0)) - last
    return dT, last if opt["lab_T"] == "last" else level - slope * tm


def trials(rng, n, opt):
    N, U, E = rng.standard_normal, rng.uniform, rng.standard_exponential
    g = dict(
        room=ROOM + N(n), offset=U(-0.5, 0.5, n), gain=U(-0.005, 0.005, n),
        k=lognormal(rng, n, 4e-4, 0.4, opt), P=lognormal(rng, n, 5e-3, 0.7, opt),
        Cv=lognormal(rng, n, 15.0, 0.6, opt), lam=1.0 / lognormal(rng, n, 8.0, 0.3, opt),
        d50=U(-1.0, 1.0, n), d100=U(-1.0, 1.0, n), e_c=5e-4 * N(n), e_rho=5e-6 * N(n))
    rho = np.interp(g["room"], T_TAB, RHO) * (1.0 + g["e_rho"])
    cw = np.interp(g["room"], T_TAB, CP) * (1.0 + g["e_c"])
    glass = 1.0 + 9.9e-6 * (g["room"] - 20.0)
    lrho, lcw = np.interp(ROOM, T_TAB, RHO), np.interp(ROOM, T_TAB, CP)

    def fill(v, d):
        return rho * (v * glass + d + 0.2 * N(n))

    out = {}
    const = np.zeros(n)
    dmean = np.zeros(n)
    wrong = np.zeros(n, bool)
    for _ in range(3):
        cold, hot, rinse = fill(50.0, g["d50"]), fill(50.0, g["d50"]), rho * 0.3 * E(n)
        Tc, Th, loss = 21.5 + 0.5 * N(n), 42.0 + N(n), 0.2 * E(n)
        diff = U(0.3, 1.7, n)
        T0 = Tc + diff if opt["cal_start"] == "cold+diff" else Tc
        env = {"room": g["room"], "cold-diff": Tc - diff, "room-diff": g["room"] - diff}[opt["cal_env"]]
        C = g["Cv"] * (1.0 + 0.15 * N(n)) + (cold + hot + rinse) * cw
        Tmix = quiet(T0, env, g["P"], C, g["k"], 120.0)
        rise = hot * cw * (Th - loss - Tmix) / C
        dT, Ti = record(rng, n, g, T0, env, C, rise, "once", None, opt)
        if opt["hot_read"] == "true":
            seen = Th
        else:
            gain = g["gain"] if opt["hot_read"] == "thermometer" else 0.0
            seen = Th + g["offset"] + gain * (Th - ROOM) + 0.01 * N(n)
            if opt["hot_round"]:
                seen = 0.1 * np.rint(seen / 0.1)
        const += (50.0 * lrho * lcw * (seen - Ti) / dT - 100.0 * lrho * lcw) / 3.0
        dmean += dT / 3.0
        wrong |= ~(dT > 1e-9)
    out["constant"] = const
    out["dT_calibration"] = dmean

    u2 = np.zeros(n)
    u4 = np.zeros(n)
    for leg, s in SALT.items():
        slope = s["s"] + s["us"] * N(n)
        csol = s["c"] + s["uc"] * N(n)
        z = N(n)
        p = U(*s["p"], n)
        M = s["M"] + s["uM"] * N(n)
        values = []
        dmean = np.zeros(n)
        for _ in range(2):
            water, rinse = fill(100.0, g["d100"]), rho * 0.3 * E(n)
            m = U(s["m"] - s["half"], s["m"] + s["half"], n) - 0.02 * E(n)
            f = s["left"] * E(n)
            par = lognormal(rng, n, s["time"], 0.3, opt)
            if s["law"] == "first":
                par = (1.0 if opt["rate"] == "time" else np.log(2.0)) / par
            mol = m * p / M
            solid = s["c"] - s["s"] / s["M"] if opt["solid"] == "slope" else 0.0
            C = (g["Cv"] * (1.0 + 0.15 * N(n)) + (water + rinse) * cw + m * (1.0 - f) * csol + m * f * solid)
            diff = U(0.3, 1.7, n)
            T0, env = (g["room"] + diff, g["room"]) if opt["det_env"] == "room" else (g["room"], g["room"] - diff)
            Tmix = quiet(T0, env, g["P"], C, g["k"], 120.0)
            b = mol * (1.0 - f) / (water + rinse) * 1000.0
            h = s["h"] + slope * (Tmix - 25.0) + sqrt_table(s["L"], b) + z * sqrt_table(s["uL"], b)
            rise = -mol * (1.0 - f) * h / C
            dT, Tj = record(rng, n, g, T0, env, C, rise, s["law"], par, opt)
            lm = 100.0 * lrho
            ln = s["m"] * 0.5 * (s["p"][0] + s["p"][1]) / s["M"]
            lC = const + lm * lcw + s["m"] * s["c"]
            values.append(-lC * dT / ln - s["s"] * (Tj - 25.0) - sqrt_table(s["L"], np.array(1000.0 * ln / lm)))
            dmean += dT / 2.0
            wrong |= ~(dT < -1e-9)
        a, bb = values
        out[leg] = (a + bb) / 2.0
        out["dT_" + leg] = dmean
        v = (a - bb) ** 2 / 4.0
        u2 += v
        u4 += v * v
    out["error"] = out["determination"] - out["chloride"] - TRUE
    with np.errstate(all="ignore"):
        nu = np.clip(u2 * u2 / u4, 1.0, 2.0)
    if opt["nu"] == "floor":
        nu = np.floor(nu)
    half = np.interp(1.0 / nu, INV_NU, T_Q) * np.sqrt(u2)
    out["claim_half_width"] = np.where(u2 > 0, half, 0.0)
    out["claim_holds"] = (np.abs(out["error"]) <= out["claim_half_width"]) & (u2 > 0)
    out["no_scatter"] = ~(u2 > 0)
    out["wrong_sign"] = wrong
    return out


def t_quantile(nu, p=0.975):
    from scipy import special
    return special.stdtrit(nu, p)


INV_NU = np.linspace(0.5, 1.0, 4001)
T_Q = t_quantile(1.0 / INV_NU)


def simulate(n, seed, opt, chunk=10000):
    parts = []
    seeds = np.random.SeedSequence(seed).spawn((n + chunk - 1) // chunk)
    done = 0
    for s in seeds:
        c = min(chunk, n - done)
        parts.append(trials(np.random.Generator(np.random.SFC64(s)), c, opt))
        done += c
    return {key: np.concatenate([p[key] for p in parts]) for key in parts[0]}


def statistics(x, batches=100):
    """Mean, sd and quantiles with standard errors: moments by formula, quantiles by batches."""
    n = x.size
    if x.dtype == bool:
        p = x.mean()
        return {"share": float(p), "se": float(np.sqrt(p * (1 - p) / n)), "count": int(x.sum())}
    mean, sd = x.mean(), x.std(ddof=1)
    kurt = ((x - mean) ** 4).mean() / sd ** 4
    out = {"mean": [float(mean), float(sd / np.sqrt(n))],
           "sd": [float(sd), float(sd * np.sqrt(max(kurt - 1.0, 0.0) / (4.0 * n)))]}
    q = np.quantile(x, [0.025, 0.5, 0.975])
    m = n // batches
    qb = np.quantile(x[:m * batches].reshape(batches, m), [0.025, 0.5, 0.975], axis=1)
    for name, v, se in zip(("q2.5", "q50", "q97.5"), q, qb.std(1, ddof=1) / np.sqrt(batches)):
        out[name] = [float(v), float(se)]
    return out


def check():
    """The curve and the lagging thermometer against an integrator."""
    from scipy.integrate import solve_ivp
    rng = np.random.default_rng(1)
    worst = 0.0
    for case in range(60):
        law = ("once", "first", "cube")[case % 3]
        k, lam = 4e-4 * np.exp(0.6 * rng.standard_normal()), np.exp(0.5 * rng.standard_normal()) / 8.0
        P, C, T0, Te = 5e-3, 440.0, 23.0, 22.0
        rise = 10.0 if law == "once" else -3.0
        par = {"once": 1.0, "first": (lam if case == 1 else np.exp(0.5 * rng.standard_normal()) / 15.0),
               "cube": 40.0 * np.exp(0.4 * rng.standard_normal())}[law]

        def rate(t):
            if t < 0 or law == "once":
                return 0.0
            if law == "first":
                return par * np.exp(-par * t)
            return 3.0 / par * (1.0 - t / par) ** 2 if t < par else 0.0

        def f(t, y):
            return [P / C - k * (y[0] - Te) + rise * rate(t), lam * (y[0] - y[1])]

        pieces = [(-120.0, 0.0), (0.0, par), (par, 420.0)] if law == "cube" else [(-120.0, 0.0), (0.0, 420.0)]
        y = np.array([T0, T0])
        seen = {}
        for a, b in pieces:
            if a == 0.0 and law == "once":
                y = y + np.array([rise, 0.0])
            sol = solve_ivp(f, (a, b), y, method="DOP853", rtol=1e-12, atol=1e-12, max_step=1.0, dense_output=True)
            for t in np.concatenate([FORE, AFTER]):
                if a <= t <= b:
                    seen[t] = sol.sol(t)[1]
            y = sol.y[:, -1]
        one = np.ones(1)
        heat = answer_heat(law, par * one, k * one, lam * one, AFTER)[:, 0]
        for t in FORE:
            worst = max(worst, abs(quiet_lagged(T0, Te, P, C, k, lam, t + 120.0) - seen[t]))
        for t, h in zip(AFTER, heat):
            worst = max(worst, abs(quiet_lagged(T0, Te, P, C, k, lam, t + 120.0) + rise * h - seen[t]))
    print("largest difference of 60 curves from the integrator: %.2g K" % worst)
    return worst < 1e-7


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("--trials", type=int, default=1000000)
    ap.add_argument("--seed", type=int, default=1)
    ap.add_argument("--check", action="store_true")
    ap.add_argument("--set", action="append", default=[], metavar="OPTION=VALUE")
    ap.add_argument("--save")
    a = ap.parse_args()
    if a.check:
        sys.exit(0 if check() else 1)
    opt = dict(OPTIONS)
    for item in a.set:
        key, value = item.split("=")
        if key not in opt:
            sys.exit("no such option: " + key)
        opt[key] = type(OPTIONS[key])(value)
    start = time.time()
    x = simulate(a.trials, a.seed, opt)
    if a.save:
        np.savez(a.save, **x)
    out = {"trials": a.trials, "seed": a.seed, "options": opt, "seconds": round(time.time() - start, 1),
           "true": TRUE, "not_finite": int((~np.isfinite(x["error"])).sum())}
    for key, column in x.items():
        out[key] = statistics(column)
    print(json.dumps(out))


if __name__ == "__main__":
    main()
