#!/usr/bin/env python3
"""Random unbalanced series with answers by statsmodels, for reference_test.go.

Run: /usr/bin/python3 unbalanced.py > unbalanced.json
Route: WLS of statsmodels on design matrices spelled out by patsy (levels against the
first, number columns centred at their weighted mean); sums of squares of a source are
differences of the weighted residual sums of squares of two such fits (sequential and
marginal), or of the fit with and without the source's columns with Sum contrasts (each
last). PRESS by fitting without each specimen in turn. Versions are written into the file.
"""
import json
import numpy as np
import patsy
import scipy
import statsmodels
import statsmodels.api as sm

SHAPES = [
    ["a"], ["a", "b"], ["a", "b", "a:b"], ["a", "x"], ["a", "x", "a:x"], ["x"], ["x", "z"], ["x", "z", "x:z"],
    ["a", "b", "a:b", "x"], ["a", "b", "c"], ["a", "b", "c", "a:b", "a:c", "b:c", "a:b:c"], ["a", "b", "a:b", "x", "a:x"],
]


def fit(y, columns, w):
    return sm.WLS(y, columns, weights=w).fit(method="qr")


def columns(data, terms, coding):
    word = {"a": f"C(a, {coding})", "b": f"C(b, {coding})", "c": f"C(c, {coding})", "x": "x", "z": "z"}
    formula = "1" + "".join(" + " + ":".join(word[v] for v in t.split(":")) for t in terms)
    m = patsy.dmatrix(formula, data)
    # patsy sorts number terms apart; take the columns back in the order of terms
    names = [""] + terms
    by = {}
    for s, t in zip(m.design_info.term_slices.values(), m.design_info.terms):
        name = ":".join(f.name() for f in t.factors)
        for k, v in word.items():
            name = name.replace(v, k)
        by[frozenset(name.split(":"))] = np.asarray(m)[:, s]
    return [by[frozenset([""]) if n == "" else frozenset(n.split(":"))] for n in names]


def case(rng, shape, weighted):
    terms = SHAPES[shape]
    # at least two specimens a combination, then some more anywhere
    cells = [(i, j, k) for i in range(3) for j in range(2) for k in range(2)]
    rows = [c for c in cells for _ in range(2)] + [cells[i] for i in rng.integers(0, 12, rng.integers(4, 20))]
    a, b, c = (np.array([r[i] for r in rows]) for i in range(3))
    n = len(rows)
    x, z = np.round(rng.normal(600, 40, n), 1), np.round(rng.normal(12, 1.5, n), 2)
    y = np.round(4000 + 300 * a + 150 * b * a - 100 * c + 3 * (x - 600) + 40 * z + rng.normal(0, 250, n), 0)
    w = np.round(rng.uniform(0.5, 3, n), 2) if weighted else np.ones(n)
    data = {"a": a, "b": b, "c": c, "x": x - np.average(x, weights=w), "z": z - np.average(z, weights=w)}
    own, summed = columns(data, terms, "Treatment"), columns(data, terms, "Sum")
    everything = np.hstack(own)
    f = fit(y, everything, w)
    ssr = lambda keep: fit(y, np.hstack(keep), w).ssr
    contains = lambda u, v: u != v and set(v.split(":")) <= set(u.split(":"))
    anova = {"sequential": [], "marginal": [], "each last": []}
    for i, t in enumerate(terms):
        anova["sequential"].append(ssr(own[:i + 1]) - ssr(own[:i + 2]))
        others = [own[0]] + [m for m, u in zip(own[1:], terms) if u != t and not contains(u, t)]
        anova["marginal"].append(ssr(others) - ssr(others + [own[i + 1]]))
        anova["each last"].append(ssr(summed[:i + 1] + summed[i + 2:]) - f.ssr)
    press = 0.0
    for i in range(n):
        keep = np.arange(n) != i
        g = fit(y[keep], everything[keep], w[keep])
        press += w[i] * (y[i] - everything[i] @ g.params) ** 2
    k = everything.shape[1] + 1
    return {
        "terms": terms, "y": y.tolist(), "a": a.tolist(), "b": b.tolist(), "c": c.tolist(),
        "x": x.tolist(), "z": z.tolist(), "weights": w.tolist() if weighted else None,
        "estimates": f.params.tolist(), "standard_errors": f.bse.tolist(), "p": f.pvalues.tolist(),
        "rss": f.ssr, "tss": f.centered_tss, "explained": f.rsquared, "adjusted": f.rsquared_adj,
        "unseen": 1 - press / f.centered_tss, "f": f.fvalue, "f_p": f.f_pvalue, "log_likelihood": f.llf,
        "aicc": -2 * f.llf + 2 * k + 2 * k * (k + 1) / (n - k - 1),
        "leverage": (w * np.einsum("ij,jk,ik->i", everything, f.normalized_cov_params, everything)).tolist(),
        "anova": anova, "df": [m.shape[1] for m in own[1:]],
    }


rng = np.random.default_rng(20260614)
cases = [case(rng, i % len(SHAPES), i % 2 == 1) for i in range(2 * len(SHAPES))]
cases += [case(rng, i % len(SHAPES), i % 2 == 0) for i in range(2 * len(SHAPES))]
print(json.dumps({
    "versions": {"statsmodels": statsmodels.__version__, "patsy": patsy.__version__, "numpy": np.__version__, "scipy": scipy.__version__},
    "cases": cases,
}))
