#!/usr/bin/env python3
"""Seeded series with a jump or a kink, and what a full search makes of them.

Run: /usr/bin/python3 place.py > place.json        (about a minute)

Every place is tried by a least-squares fit of its own (numpy's lstsq on rows times the root of
the weight): a step at the middle of every gap with max(4, n/10) specimens on each side; a kink at
every value with as many strictly on each side, at 400 points of every gap between two such
values, and from the best of those on by scipy's bounded scalar search. Size and its standard
error at a place are those of that fit, the place counted as a parameter. The interval of the size
with the place left open: the 2.5 % and 97.5 % points (scipy's brentq) of the mixture of Student's
t distributions at all gaps, each with the share (gap's length) * S^(-m/2), m
the specimens less the coefficients.
"""
import json
import math
import sys

import numpy as np
import scipy
import scipy.optimize as so
import scipy.stats as st


def fit(y, w, base, column):
    X = np.column_stack(base + [column]) if column is not None else np.column_stack(base)
    r = np.sqrt(w)
    b, _, rank, _ = np.linalg.lstsq(X * r[:, None], y * r, rcond=None)
    e = (y - X @ b) * r
    return float(e @ e), b, X * r[:, None], rank


def column(kind, x, c):
    return (x > c).astype(float) if kind == "step" else np.maximum(x - c, 0)


def main():
    rng = np.random.default_rng(20261129)
    cases = []
    for kind in ("step", "kink"):
        for n in (18, 30, 47, 60):
            for layout in ("grid", "any"):
                for size in (0.0, 1.0, 3.0):
                    weighted, grouped = bool(rng.integers(2)), bool(rng.integers(2))
                    x = 5 + 3.0 * (np.arange(n) % 9) if layout == "grid" else np.round(rng.uniform(5, 32, n), 2)
                    at = 11 + 12 * rng.random()
                    y = 300 + 30 * rng.standard_normal(n)
                    y = y + 30 * size * column(kind, x, at) * (1 if kind == "step" else 0.08)
                    base = [np.ones(n)]
                    if kind == "kink":
                        base.append(x - x.mean())
                    if grouped:
                        g = (rng.permutation(n) % 3)
                        base += [(g == 1).astype(float), (g == 2).astype(float)]
                        y = y + 40 * (g == 1)
                    w = rng.uniform(0.5, 3, n) if weighted else np.ones(n)
                    y = np.round(y, 1)
                    cases.append(solve(kind, x, y, w, base, weighted))
    versions = {"python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__}
    print('{"versions": ' + json.dumps(versions) + ',\n"cases": [')
    print(",\n".join(json.dumps(c) for c in cases))
    print("]}")


def solve(kind, x, y, w, base, weighted):
    n = len(x)
    least = max(4, math.ceil(0.1 * n))
    values = np.unique(x)
    rss0, _, _, rank = fit(y, w, base, None)
    df = n - rank - 2
    S = lambda c: fit(y, w, base, column(kind, x, c))[0]
    out = {"kind": kind, "x": x.tolist(), "y": y.tolist(), "base": [b.tolist() for b in base], "rss0": rss0}
    if weighted:
        out["w"] = w.tolist()
    if kind == "step":
        gaps = [(a, b) for a, b in zip(values, values[1:]) if (x <= a).sum() >= least and (x > a).sum() >= least]
        rss = [S((a + b) / 2) for a, b in gaps]
        k = int(np.argmin(rss))
        at, best = sum(gaps[k]) / 2, rss[k]
        parts = []
        for (a, b), s in zip(gaps, rss):
            _, beta, X, _ = fit(y, w, base, column(kind, x, (a + b) / 2))
            se = math.sqrt(s / df * np.linalg.inv(X.T @ X)[-1, -1])
            parts.append((math.log(b - a) - (df + 1) / 2 * math.log(s / best), beta[-1], se))
        share = np.exp([p[0] for p in parts])
        share /= share.sum()
        size = parts[k][1]
        below = lambda v: sum(h * st.t.cdf((v - m) / se, df) for h, (_, m, se) in zip(share, parts))
        spread = max(abs(p[1]) + 60 * p[2] for p in parts)
        low, high = (so.brentq(lambda v: below(v) - q, -spread, spread, xtol=1e-12) for q in (0.025, 0.975))
        out.update(places=[[(a + b) / 2, s] for (a, b), s in zip(gaps, rss)], low=low, high=high)
    else:
        ok = [v for v in values[1:-1] if (x < v).sum() >= least and (x > v).sum() >= least]
        tried = [(S(v), v) for v in ok]
        for a, b in zip(ok, ok[1:]):
            inner = np.linspace(a, b, 402)[1:-1]
            s = [S(c) for c in inner]
            k = int(np.argmin(s))
            step = inner[1] - inner[0]
            r = so.minimize_scalar(S, bounds=(max(a, inner[k] - step), min(b, inner[k] + step)), method="bounded",
                                   options={"xatol": 1e-12})
            tried += [(s[k], inner[k]), (float(r.fun), float(r.x))]
        best, at = min(tried)
        size = fit(y, w, base, column(kind, x, at))[1][-1]
    out.update(at=float(at), rss=float(best), size=float(size))
    return out


main()
