"""Writes checks.json: random series with the answers of general-purpose libraries.

Run with: /usr/bin/python3 checks.py > checks.json
Routes: Shapiro-Wilk by scipy.stats.shapiro (AS R94 with single-precision normal quantiles, so
good to about 5 figures of W and 3 of p), and again from the published polynomials with
scipy.stats.norm.ppf, to every digit; Brown-Forsythe by scipy.stats.levene(center='median');
leverage, deleted residuals and Cook's distance by statsmodels OLSInfluence; spread against fit by
statsmodels het_breuschpagan's F form on [1, fitted]; curvature by statsmodels OLS with the
square added; Grubbs from its definition with scipy.stats.t; several odd specimens from
Rosner's definition; series put together with the between variance by scipy.optimize.brentq
on the Paule-Mandel equation and the Hartung-Knapp formula by hand.
"""
import json
import math

import numpy
import scipy
import statsmodels
import statsmodels.api as sm
from scipy import optimize, stats
from statsmodels.stats.diagnostic import het_breuschpagan

rng = numpy.random.default_rng(20251125)


def shapiro_exact(x):
    x = numpy.sort(numpy.asarray(x))
    n = len(x)
    if n == 3:
        a = numpy.array([math.sqrt(0.5)])
    else:
        m = -stats.norm.ppf((numpy.arange(1, n // 2 + 1) - 0.375) / (n + 0.25))
        squares, u = 2 * (m**2).sum(), 1 / math.sqrt(n)
        a = numpy.zeros(n // 2)
        a[0] = numpy.polyval([-2.706056, 4.434685, -2.071190, -0.147981, 0.221157, 0], u) + m[0] / math.sqrt(squares)
        k, rest, left = 1, squares - 2 * m[0] ** 2, 1 - 2 * a[0] ** 2
        if n > 5:
            a[1] = numpy.polyval([-3.582633, 5.682633, -1.752461, -0.293762, 0.042981, 0], u) + m[1] / math.sqrt(squares)
            k, rest, left = 2, rest - 2 * m[1] ** 2, left - 2 * a[1] ** 2
        a[k:] = m[k:] * math.sqrt(left / rest)
    w = (a * (x[::-1][: n // 2] - x[: n // 2])).sum() ** 2 / ((x - x.mean()) ** 2).sum()
    if n == 3:
        return w, max(0, 6 / math.pi * (math.asin(math.sqrt(w)) - math.asin(math.sqrt(0.75))))
    y = math.log1p(-w)
    if n <= 11:
        end = -2.273 + 0.459 * n
        if y >= end:
            return w, 0
        y = -math.log(end - y)
        mu = numpy.polyval([-0.0006714, 0.025054, -0.39978, 0.5440], n)
        sd = math.exp(numpy.polyval([-0.0020322, 0.062767, -0.77857, 1.3822], n))
    else:
        ln = math.log(n)
        mu = numpy.polyval([0.0038915, -0.083751, -0.31082, -1.5861], ln)
        sd = math.exp(numpy.polyval([0.0030302, -0.082676, -0.4803], ln))
    return w, stats.norm.sf((y - mu) / sd)


def shapes():
    out = []
    for n in [3, 3, 4, 5, 6, 7, 9, 11, 12, 15, 20, 33, 64, 150, 800, 4000]:
        for kind in ("normal", "skew", "heavy"):
            x = {"normal": rng.normal, "skew": rng.exponential, "heavy": lambda size: rng.standard_t(3, size=size)}[kind](size=n)
            x = numpy.round(300 + 40 * x, 3)
            w, p = stats.shapiro(x)
            own = shapiro_exact(x)
            out.append({"values": x.tolist(), "w": float(w), "p": float(p), "exact_w": own[0], "exact_p": own[1]})
    return out


def spreads():
    out = []
    for _ in range(40):
        groups = [numpy.round(rng.normal(500, 20 * rng.uniform(0.5, 3), size=int(rng.integers(2, 12))), 1).tolist() for _ in range(int(rng.integers(2, 6)))]
        f, p = stats.levene(*groups, center="median")
        out.append({"groups": groups, "f": float(f), "p": float(p)})
    return out


def rosner(x, most, alpha):
    x, steps = list(x), []
    for _ in range(most):
        n = len(x)
        mean, sd = numpy.mean(x), numpy.std(x, ddof=1)
        far = int(numpy.argmax(numpy.abs(numpy.array(x) - mean)))
        t = stats.t.ppf(1 - alpha / (2 * n), n - 2)
        steps.append([abs(x[far] - mean) / sd, (n - 1) * t / math.sqrt((n - 2 + t * t) * n)])
        x.pop(far)
    return steps


def samples():
    out = []
    for _ in range(30):
        n = int(rng.integers(6, 40))
        x = rng.normal(100, 5, size=n)
        for _ in range(int(rng.integers(0, 4))):
            x[int(rng.integers(0, n))] += rng.normal(0, 30)
        out.append({"values": x.tolist(), "steps": rosner(x, 4, 0.05)})
    return out


def fits():
    out = []
    for _ in range(60):
        n = int(rng.integers(12, 50))
        a = rng.integers(0, 3, size=n)
        a[:3] = [0, 1, 2]
        x, z = rng.normal(600, 50, size=n), rng.uniform(5, 25, size=n)
        w = rng.uniform(0.5, 4, size=n) if rng.uniform() < 0.3 else None
        y = 300 + 0.4 * (x - 600) + 30 * a + 0.02 * rng.integers(0, 2) * (z - 15) ** 2 * 10 + rng.normal(0, 20, size=n) * (1 + 0.5 * a)
        X = numpy.column_stack([numpy.ones(n), a == 1, a == 2, x - x.mean(), z - z.mean()]).astype(float)
        if w is None:
            model = sm.OLS(y, X).fit()
        else:
            # Influence of the weighted fit is that of the rows times the roots of their weights.
            model = sm.OLS(y * numpy.sqrt(w), X * numpy.sqrt(w)[:, None]).fit()
        inf = model.get_influence()
        e = model.resid
        fitted = X @ model.params
        _, _, bp_f, bp_p = het_breuschpagan(e, sm.add_constant(fitted))
        bends = []
        for c in (x, z):
            centre = numpy.average(c, weights=w)
            Xc = numpy.column_stack([X, (c - centre) ** 2])
            m = sm.OLS(y, Xc).fit() if w is None else sm.WLS(y, Xc, weights=w).fit()
            bends.append([float(m.tvalues[-1] ** 2), float(m.pvalues[-1])])
        out.append({
            "y": y.tolist(), "a": a.tolist(), "x": x.tolist(), "z": z.tolist(), "weights": None if w is None else w.tolist(),
            "leverage": inf.hat_matrix_diag.tolist(), "deleted": inf.resid_studentized_external.tolist(),
            "distance": inf.cooks_distance[0].tolist(), "spread_f": float(bp_f), "spread_p": float(bp_p), "bends": bends,
        })
    return out


def together():
    out = []
    for _ in range(60):
        k = int(rng.integers(2, 9))
        se = rng.uniform(3, 30, size=k)
        y = rng.normal(50, math.sqrt(1) * rng.choice([0, 10, 60]), size=k) + rng.normal(0, se)
        q = lambda t2: (((y - (y / (se**2 + t2)).sum() / (1 / (se**2 + t2)).sum()) ** 2) / (se**2 + t2)).sum()
        t2 = 0.0
        if q(0) > k - 1:
            t2 = optimize.brentq(lambda v: q(v) - (k - 1), 0, 1e8, xtol=1e-13, rtol=1e-15, maxiter=1000)
        w = 1 / (se**2 + t2)
        mean = (w * y).sum() / w.sum()
        factor = max(1.0, (w * (y - mean) ** 2).sum() / (k - 1))
        se_mean = math.sqrt(factor / w.sum())
        t = stats.t.ppf(0.975, k - 1)
        wf = 1 / se**2
        out.append({
            "estimates": y.tolist(), "se": se.tolist(), "between": math.sqrt(t2), "mean": mean, "se_mean": se_mean,
            "low": mean - t * se_mean, "high": mean + t * se_mean, "p": float(2 * stats.t.sf(abs(mean / se_mean), k - 1)),
            "q": q(0), "q_p": float(stats.chi2.sf(q(0), k - 1)), "fixed": float((wf * y).sum() / wf.sum()), "fixed_se": float(1 / math.sqrt(wf.sum())),
        })
    return out


json.dump({
    "versions": {"numpy": numpy.__version__, "scipy": scipy.__version__, "statsmodels": statsmodels.__version__},
    "shapes": shapes(), "spreads": spreads(), "samples": samples(), "fits": fits(), "together": together(),
}, open("/dev/stdout", "w"))
