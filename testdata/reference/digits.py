"""Fits least-squares problems with numpy and statsmodels in float64, for `measure digits`.

Reads JSON on standard input and writes JSON on standard output. A problem has a name, columns
of numbers as written (the constant column is added here), a response, and either is a
regression or one-way (the first column is the group). Answers: coefficients and their
standard deviations, or F. Where a problem asks for it, the answer in exact fractions of the
numbers as written goes along.
"""
import json
import sys
from fractions import Fraction

import numpy
import statsmodels
import statsmodels.api as sm


def by_numpy(x, y):
    b, _, _, _ = numpy.linalg.lstsq(x, y, rcond=None)
    e = y - x @ b
    s2 = e @ e / (len(y) - x.shape[1])
    r = numpy.linalg.qr(x, mode="r")
    inverse = numpy.linalg.inv(r)
    return b, numpy.sqrt(s2 * (inverse**2).sum(axis=1)), e


def exact(columns, y):
    """Coefficients and variances by the normal equations in fractions."""
    x = [[Fraction(1)] + [Fraction(c[i]) for c in columns] for i in range(len(y))]
    y = [Fraction(v) for v in y]
    p = len(x[0])
    m = [[sum(r[i] * r[j] for r in x) for j in range(p)] + [sum(r[i] * v for r, v in zip(x, y))] + [Fraction(i == j) for j in range(p)] for i in range(p)]
    for i in range(p):
        pivot = m[i][i]
        m[i] = [v / pivot for v in m[i]]
        for k in range(p):
            if k != i and m[k][i]:
                f = m[k][i]
                m[k] = [a - f * b for a, b in zip(m[k], m[i])]
    b = [m[i][p] for i in range(p)]
    rss = sum((v - sum(bi * ri for bi, ri in zip(b, r))) ** 2 for r, v in zip(x, y))
    variance = rss / (len(y) - p)
    return [float(v) for v in b], [root(variance * m[i][p + 1 + i]) for i in range(p)]


def root(q):
    """The square root of a fraction, rounded once."""
    scale = 1 << 400
    n = q.numerator * q.denominator * scale * scale
    r = 1 << ((n.bit_length() + 1) // 2)
    while True:
        s = (r + n // r) // 2
        if s >= r:
            return float(Fraction(r, scale * q.denominator))
        r = s


def oneway_f(groups, y, fit):
    levels = sorted(set(groups), key=groups.index)
    x = numpy.column_stack([numpy.ones(len(y))] + [[1.0 if g == l else 0.0 for g in groups] for l in levels[1:]])
    if fit == "statsmodels":
        return float(sm.OLS(y, x).fit().fvalue)
    _, _, e = by_numpy(x, y)
    within, total = e @ e, ((y - y.mean()) ** 2).sum()
    return float((total - within) / (len(levels) - 1) / (within / (len(y) - len(levels))))


out = []
for p in json.load(sys.stdin):
    y = numpy.array([float(v) for v in p["y"]])
    if p["one_way"]:
        out.append({"numpy": [oneway_f(p["columns"][0], y, "numpy")], "statsmodels": [oneway_f(p["columns"][0], y, "statsmodels")]})
        continue
    x = numpy.column_stack([numpy.ones(len(y))] + [[float(v) for v in c] for c in p["columns"]])
    b, se, _ = by_numpy(x, y)
    fit = sm.OLS(y, x).fit()
    answer = {"numpy": list(b) + list(se), "statsmodels": list(fit.params) + list(fit.bse)}
    if p["exact"]:
        b, se = exact(p["columns"], p["y"])
        answer["exact"] = b + se
    out.append(answer)

json.dump({"versions": "numpy %s, statsmodels %s" % (numpy.__version__, statsmodels.__version__), "answers": out}, sys.stdout)
