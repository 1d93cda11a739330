"""Writes modes.json: failure modes, their odds and tables of counts, by general-purpose libraries.

Run with: /usr/bin/python3 modes.py > modes.json
Routes: odds by scipy.optimize (BFGS, then Newton with numerical second derivatives) on the
likelihood written out, and on it plus half the log determinant of the information (Firth
1993); ranges by brentq on the best likelihood with one coefficient held; several modes by
the same and beside it by statsmodels MNLogit; exact ranges of a proportion by
scipy.stats.beta (Clopper & Pearson 1934); tables by listing every table with the same
totals, and 2 x 2 ones by scipy.stats.fisher_exact too.
"""
import itertools
import json
import math
import sys

import numpy
import scipy
import statsmodels
import statsmodels.api as sm
from scipy import optimize, stats

rng = numpy.random.default_rng(20251126)


def parts(theta, x, modes):
    eta = numpy.hstack([numpy.zeros((len(x), 1)), x @ theta.reshape(modes - 1, -1).T])
    top = eta.max(axis=1, keepdims=True)
    e = numpy.exp(eta - top)
    return eta, top[:, 0] + numpy.log(e.sum(axis=1)), e / e.sum(axis=1, keepdims=True)


def information(theta, x, modes):
    _, _, p = parts(theta, x, modes)
    q, d = p[:, 1:], x.shape[1]
    out = numpy.zeros((d * (modes - 1),) * 2)
    for a in range(modes - 1):
        for b in range(modes - 1):
            w = q[:, a] * ((a == b) - q[:, b])
            out[a * d:(a + 1) * d, b * d:(b + 1) * d] = (x * w[:, None]).T @ x
    return out


def loglik(theta, x, y, modes, penalised):
    eta, norm, _ = parts(theta, x, modes)
    value = (eta[numpy.arange(len(y)), y] - norm).sum()
    if penalised:
        sign, det = numpy.linalg.slogdet(information(theta, x, modes))
        value += 0.5 * det if sign > 0 else -1e300
    return value


def best(f, start):
    """The largest value of f and where: BFGS, then Newton on central differences."""
    t = numpy.asarray(start, float)
    if len(t) == 0:
        return f(t), t
    t = optimize.minimize(lambda t: -f(t), t, method="BFGS", options={"gtol": 1e-6}).x
    n, h = len(t), 1e-4
    for _ in range(6):
        e = numpy.eye(n) * h
        g = numpy.array([(8 * (f(t + v) - f(t - v)) - (f(t + 2 * v) - f(t - 2 * v))) / (12 * h) for v in e])
        c = numpy.array([[(f(t + u + v) - f(t + u - v) - f(t - u + v) + f(t - u - v)) / (4 * h * h) for u in e] for v in e])
        new = t - numpy.linalg.solve(c, g)
        if not f(new) >= f(t) - 1e-9:
            break
        step, t = abs(new - t).max(), new
        if step < 1e-5:
            break
    return f(t), t


def odds(x, y, modes, penalised):
    size = x.shape[1] * (modes - 1)
    f = lambda t: loglik(t, x, y, modes, penalised)
    top, theta = best(f, numpy.zeros(size))
    se = numpy.sqrt(numpy.diag(numpy.linalg.inv(information(theta, x, modes))))
    far = stats.chi2.ppf(0.95, 1) / 2
    out = {"theta": theta.tolist(), "se": se.tolist(), "low": [], "high": [], "p": [], "log_likelihood": top}
    for j in range(size):
        latest = [numpy.delete(theta, j)]
        def held(c):
            rest = lambda r: numpy.insert(r, j, c)
            value, latest[0] = best(lambda r: f(rest(r)), latest[0])
            return value
        for key, side in (("low", -1), ("high", 1)):
            latest[0], end = numpy.delete(theta, j), theta[j] + side * 2 * se[j]
            while top - held(end) < far:
                end += side * se[j]
            out[key].append(optimize.brentq(lambda c: top - held(c) - far, theta[j], end, xtol=1e-9))
        out["p"].append(stats.chi2.sf(2 * max(0, top - held(0.0)), 1))
    d = x.shape[1]
    null = lambda r: f(numpy.concatenate([numpy.concatenate([[v], numpy.zeros(d - 1)]) for v in r]))
    out["overall_p"] = stats.chi2.sf(2 * (top - best(null, numpy.zeros(modes - 1))[0]), (d - 1) * (modes - 1))
    return out


def odds_case(n, d, modes, separated):
    z = numpy.round(rng.normal(size=(n, d - 1)), 3)
    z[:, 0] = rng.integers(0, 2, n)
    x = numpy.hstack([numpy.ones((n, 1)), z])
    true = rng.normal(size=(modes - 1, d)) * 0.7
    _, _, p = parts(true.ravel(), x, modes)
    y = numpy.array([rng.choice(modes, p=row) for row in p])
    if separated:
        y[z[:, 0] == 1] = modes - 1
        y[:modes] = numpy.arange(modes)
        x[:modes, 1] = 0
    case = {"x": x.tolist(), "y": y.tolist(), "modes": modes, "separated": separated}
    case.update(odds(x, y, modes, separated))
    if not separated:
        m = sm.MNLogit(y, x).fit(disp=0, method="newton", maxiter=100)
        assert numpy.allclose(m.params.T.ravel(), case["theta"], atol=1e-6), "two routes differ"
    return case


def all_tables(rows, columns):
    if len(columns) == 1:
        yield [tuple(rows)]
        return
    for column in itertools.product(*(range(r + 1) for r in rows[:-1])):
        last = columns[0] - sum(column)
        if 0 <= last <= rows[-1]:
            full = column + (last,)
            for rest in all_tables([r - c for r, c in zip(rows, full)], columns[1:]):
                yield [full] + rest


def table_case(counts):
    counts = numpy.array(counts)
    rows, columns = counts.sum(axis=1).tolist(), counts.sum(axis=0).tolist()
    fixed = sum(map(math.lgamma, [r + 1 for r in rows])) + sum(map(math.lgamma, [c + 1 for c in columns])) - math.lgamma(sum(rows) + 1)
    ln = lambda t: fixed - sum(math.lgamma(v + 1) for line in t for v in line)
    limit, every, unlikely = ln(counts.tolist()) + 1e-7, 0.0, 0.0
    for t in all_tables(rows, columns):
        p = ln(t)
        every += math.exp(p)
        unlikely += math.exp(p) if p <= limit else 0
    assert abs(every - 1) < 1e-9
    if counts.shape == (2, 2):
        assert abs(stats.fisher_exact(counts)[1] - unlikely) < 1e-9, "two routes differ"
    chi, p, df, _ = stats.chi2_contingency(counts, correction=False)
    return {"counts": counts.tolist(), "exact": unlikely, "chi_square": chi, "df": int(df), "p": p}


def random_table(r, c, n):
    while True:
        t = rng.multinomial(n, rng.dirichlet(numpy.ones(r * c))).reshape(r, c)
        if t.sum(axis=0).all() and t.sum(axis=1).all():
            return t


proportions = []
for k, n in [(0, 7), (7, 7), (3, 11), (1, 40), (25, 31)]:
    for level in (0.9, 0.95):
        tail = (1 - level) / 2
        proportions.append({"k": k, "n": n, "confidence": level,
                            "low": 0.0 if k == 0 else stats.beta.ppf(tail, k, n - k + 1),
                            "high": 1.0 if k == n else stats.beta.isf(tail, k + 1, n - k)})

json.dump({
    "versions": {"python": sys.version.split()[0], "numpy": numpy.__version__, "scipy": scipy.__version__, "statsmodels": statsmodels.__version__},
    "proportions": proportions,
    "tables": [table_case(random_table(2, 2, n)) for n in (8, 15, 30, 60, 90)] +
              [table_case(random_table(r, c, n)) for r, c, n in [(2, 3, 14), (3, 2, 20), (3, 3, 15), (3, 3, 18), (2, 4, 20), (4, 2, 18),
               (3, 4, 14), (4, 3, 15), (2, 5, 16), (5, 2, 24), (2, 6, 14), (3, 5, 12), (4, 4, 12)]] +
              [table_case([[3, 0], [0, 3]]), table_case([[2, 2, 2], [2, 2, 2]]), table_case([[5, 0, 0], [0, 4, 0], [0, 0, 3]])],
    "odds": [odds_case(40, 2, 2, False), odds_case(60, 3, 2, False), odds_case(30, 3, 2, True), odds_case(50, 2, 2, True),
             odds_case(70, 2, 3, False), odds_case(60, 2, 3, True)],
}, sys.stdout, indent=1)
