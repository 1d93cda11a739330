"""Reference answers for censored strengths: accelerated-failure regressions, Weibull and
log-normal, by maximum likelihood, with profile ranges.

Run with Debian's python3-scipy and numpy; writes strength.json beside itself, the versions
in it. Route: minus the log likelihood in (coefficients of ln load, ln spread), written with
scipy.stats.gumbel_l or norm logpdf and logsf; minimised by scipy.optimize.minimize (BFGS,
then Nelder-Mead from where it ended, tolerances 1e-12; along a profile BFGS alone). Standard errors from the inverse
of a central-difference Hessian. A profile range: scipy.optimize.brentq on the fall of the
likelihood, re-minimised over all other parameters with the quantity put in place of the
first coefficient that it holds.
"""
import json, math, os, sys
import numpy as np
import scipy
from scipy import optimize, stats

LAW = {"weibull": stats.gumbel_l, "lognormal": stats.norm}
Q = {"weibull": lambda p: math.log(-math.log1p(-p)), "lognormal": stats.norm.ppf}

def minus(theta, law, y, ended, X):
    s = math.exp(max(-50, min(theta[-1], 50)))
    z = (y - X @ theta[:-1]) / s
    ln = np.where(ended, law.logpdf(z) - math.log(s) - y, law.logsf(z))
    total = -ln.sum()
    return total if np.isfinite(total) else 1e10

def least(f, start, more=2):
    best = optimize.minimize(f, start, method="BFGS", options={"gtol": 1e-8})
    for _ in range(more):
        best = optimize.minimize(f, best.x, method="Nelder-Mead",
                                 options={"xatol": 1e-11, "fatol": 1e-12, "maxiter": 20000, "maxfev": 40000, "adaptive": True})
    return best

def hessian(f, x):
    n, h = len(x), np.maximum(1e-4, 1e-4 * np.abs(x))
    H = np.empty((n, n))
    for i in range(n):
        for j in range(n):
            e, g = np.zeros(n), np.zeros(n)
            e[i], g[j] = h[i], h[j]
            H[i, j] = (f(x + e + g) - f(x + e - g) - f(x - e + g) + f(x - e - g)) / (4 * h[i] * h[j])
    return H

def profile(f, best, w, q, conf):
    """Range of w.b + q.s; the first coefficient with a weight gives way."""
    k = next(i for i, a in enumerate(w) if a != 0)
    far = stats.chi2.ppf(conf, 1)
    def full(rest, c):
        s = math.exp(max(-50, min(rest[-1], 50)))
        others = np.insert(rest[:-1], k, 0.0)
        others[k] = (c - q * s - np.dot(w, others)) / w[k]
        return np.append(others, rest[-1])
    value = float(np.dot(w, best.x[:-1]) + q * math.exp(best.x[-1]))
    def fall(c, start):
        r = least(lambda rest: f(full(rest, c)), start, more=0)
        return 2 * (r.fun - best.fun) - far, r.x
    out = []
    for side in (-1, 1):
        start, c, step = np.delete(best.x, k), value, 0.05
        while True:
            c += side * step
            d, start = fall(c, start)
            if d > 0:
                break
            step *= 1.5
            if abs(c - value) > 30:
                c = None
                break
        if c is None:
            out.append(None)
            continue
        out.append(optimize.brentq(lambda x: fall(x, start)[0], min(value, c), max(value, c), xtol=1e-9, rtol=1e-10))
    return value, out

def made(seed, n, levels, shifts, spread, other, slope=0.0):
    """Loads whose smaller of two strengths shows; levels in turn, a number with a slope."""
    g = np.random.default_rng(seed)
    level = np.arange(n) % levels
    x = np.round(g.normal(0, 1, n), 2)
    glue = 6 + np.asarray(shifts)[level] + slope * x + spread * np.log(g.exponential(size=n))
    wood = other + 0.15 * g.normal(size=n)
    y = np.round(np.exp(np.minimum(glue, wood)), 1)
    return y, glue < wood, level, x

def case(name, y, ended, X, quantities):
    out = {"name": name, "load": list(map(float, y)), "ended": [bool(e) for e in ended], "columns": [list(map(float, c)) for c in X.T], "fits": {}}
    ln = np.log(y)
    for d, law in LAW.items():
        f = lambda t: minus(t, law, ln, ended, X)
        start = np.append(np.linalg.lstsq(X, ln, rcond=None)[0], math.log(ln.std() or 0.1))
        best = least(f, start)
        H = np.linalg.inv(hessian(f, best.x))
        se = np.sqrt(np.diag(H))[:-1]
        fit = {"coefficients": list(best.x[:-1]), "standard_errors": list(se), "spread": math.exp(best.x[-1]), "log_likelihood": -best.fun, "quantities": []}
        for w, p, conf in quantities:
            q = 0.0 if p is None else Q[d](p)
            value, (low, high) = profile(f, best, w, q, conf)
            fit["quantities"].append({"weights": w, "quantile": p, "confidence": conf, "value": value, "low": low, "high": high})
        out["fits"][d] = fit
    return out

here = os.path.dirname(os.path.abspath(__file__))
book = np.genfromtxt(os.path.join(here, "..", "published", "handbook", "weibull_censored.csv"), delimiter=",", names=True)
one = np.ones((20, 1))
cases = [case("handbook", book["time_h"], book["failed"] == 1, one, [([1.0], 0.5, 0.95), ([1.0], 0.05, 0.95), ([1.0], None, 0.9)])]

y, e, level, x = made(11, 60, 3, [0, 0.2, 0.35], 0.12, 6.1, 0.08)
X = np.column_stack([np.ones(60), level == 1, level == 2, x - x.mean()])
cases.append(case("three levels and a number", y, e, X, [([1.0, 0, 0, 0], 0.5, 0.95), ([1.0, 0, 1, 0], 0.05, 0.95),
    ([0.0, 1, 0, 0], None, 0.95), ([0.0, -1, 1, 0], None, 0.95), ([0.0, 0, 0, 1], None, 0.9)]))

y, e, level, x = made(20, 24, 2, [0, 0.5], 0.25, 6.0)
X = np.column_stack([np.ones(24), level == 1])
cases.append(case("few breaks", y, e, X, [([1.0, 0], 0.5, 0.95), ([1.0, 1], 0.5, 0.95), ([0.0, 1], None, 0.95)]))

def lower(f, w, q, conf, peak, a, b):
    """The lower end where the likelihood goes on rising with the quantity: from below."""
    k = next(i for i, x in enumerate(w) if x != 0)
    far = stats.chi2.ppf(conf, 1)
    def best(c):
        def at(rest):
            s = math.exp(max(-50, min(rest[-1], 50)))
            others = np.insert(rest[:-1], k, 0.0)
            others[k] = (c - q * s - np.dot(w, others)) / w[k]
            return f(np.append(others, rest[-1]))
        return min(least(at, start, more=2).fun for start in starts)
    return optimize.brentq(lambda c: 2 * (best(c) - peak) - far, a, b, xtol=1e-8, rtol=1e-9)

y = np.array([300, 322, 341, 350, 310, 329, 352, 360, 331, 349, 372, 380, 400, 410, 421, 390.0])
e = np.array([1, 1, 1, 0, 1, 1, 1, 0, 1, 1, 1, 0, 0, 0, 0, 0]) == 1
pair, thick = np.repeat([0, 1], 8) * 1.0, np.tile(np.repeat([0, 1], 4), 2) * 1.0
X = np.column_stack([np.ones(16), pair, thick, pair * thick])
endless = {"name": "endless", "load": list(y), "ended": [bool(x) for x in e], "columns": [list(c) for c in X.T], "fits": {}}
for d, law in LAW.items():
    f = lambda t: minus(t, law, np.log(y), e, X)
    # The peak lies at the far end: that of the joints that did break so, the others at no cost.
    some = (pair * thick) == 0
    peak = least(lambda t: minus(t, law, np.log(y[some]), e[some], X[some][:, :3]), np.array([5.8, 0.1, 0.1, -2.5]), more=4)
    starts = [np.array([5.8, 0.1, 0.1, -2.5]), np.array([0.08, 0.03, 0.1, -2.7])]
    fit = {"spread": math.exp(peak.x[-1]), "log_likelihood": -peak.fun, "quantities": []}
    for w, p, a, b in (([0, 0, 0, 1.0], None, -0.3, 0.3), ([0, 1.0, 0, 0.5], None, 0.0, 0.4), ([1.0, 1.0, 0.5, 0.5], 0.5, 5.8, 6.2)):
        fit["quantities"].append({"weights": w, "quantile": p, "confidence": 0.95, "low": lower(f, w, 0.0 if p is None else Q[d](p), 0.95, peak.fun, a, b)})
    endless["fits"][d] = fit
print(json.dumps(endless["fits"], indent=1))

json.dump({"endless": endless, "python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__, "cases": cases},
          open(os.path.join(here, "strength.json"), "w"), indent=1)
for c in cases:
    print(c["name"], sum(c["ended"]), "of", len(c["load"]))
    for d, f in c["fits"].items():
        print(" ", d, f["coefficients"], f["spread"], f["log_likelihood"])
        for q in f["quantities"]:
            print("    ", q["weights"], q["quantile"], q["value"], q["low"], q["high"])
