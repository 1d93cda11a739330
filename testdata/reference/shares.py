"""Reference answers for parting what terms explain, by brute force over all orders.

Run with Debian's python3-numpy and python3-statsmodels; writes shares.json beside itself,
the versions in it. Every permutation of the terms in which a combined term (or a square)
comes after its parts is walked through; each step is one numpy.linalg.lstsq of the response
on dummy columns, or, for a mode, one statsmodels Logit by Newton's method. Cases of a mode
in which levels separate have factors of levels only and no combined terms but saturated
ones: there ln L comes up to the sum over cells of n p ln p where the fit is saturated.
"""
import itertools, json, math, os, sys
import numpy as np
import statsmodels, statsmodels.api as sm

rng = np.random.default_rng(77)


def columns(data, term):
    """Term: names joined by ':'; 'x*x' the square of the centred number."""
    parts = []
    for name in term.split(":"):
        if name == "x*x":
            parts.append([(data["x"] - data["x"].mean()) ** 2])
        elif name in ("x", "z"):
            parts.append([data[name] - data[name].mean()])
        else:
            parts.append([(data[name] == l).astype(float) for l in range(1, data[name].max() + 1)])
    return [np.prod(c, axis=0) for c in itertools.product(*parts)]


def needs(term, terms):
    names = set(term.split(":"))
    out = [t for t in terms if t != term and set(t.split(":")) < names]
    return out + (["x"] if term == "x*x" and "x" in terms else [])


def allowed(order, terms):
    return all(set(needs(t, terms)) <= set(order[:i]) for i, t in enumerate(order))


def part(value, terms):
    orders = [o for o in itertools.permutations(terms) if allowed(o, terms)]
    known = {}
    def v(s):
        s = frozenset(s)
        if s not in known:
            known[s] = value([t for t in terms if t in s])
        return known[s]
    out = []
    for t in terms:
        gains = [v(o[:o.index(t) + 1]) - v(o[:o.index(t)]) for o in orders]
        first = needs(t, terms)
        last = [u for u in terms if u != t and t not in needs(u, terms)]
        out.append([float(np.mean(gains)), v(first + [t]) - v(first), v(last + [t]) - v(last)])
    return {"orders": len(orders), "rows": out, "explained": v(terms)}


def measure(data, terms, y, w):
    r = np.sqrt(w)
    total = (w * (y - (w * y).sum() / w.sum()) ** 2).sum()
    def value(some):
        if not some:
            return 0.0
        x = np.column_stack([np.ones(len(y))] + [c for t in some for c in columns(data, t)])
        b = np.linalg.lstsq(x * r[:, None], y * r, rcond=None)[0]
        return 1 - (w * (y - x @ b) ** 2).sum() / total
    return part(value, terms)


def mode(data, terms, m):
    p = m.mean()
    null = len(m) * (p * math.log(p) + (1 - p) * math.log(1 - p))
    def value(some):
        if not some:
            return 0.0
        x = np.column_stack([np.ones(len(m))] + [c for t in some for c in columns(data, t)])
        return 1 - sm.Logit(m, x).fit(disp=0, method="newton", maxiter=100, tol=1e-12).llf / null
    return part(value, terms)


def saturated(data, m):
    """Terms a, b, a:b with separated cells: the last is saturated, a and b alone are cells."""
    p = m.mean()
    null = len(m) * (p * math.log(p) + (1 - p) * math.log(1 - p))
    def cells(keys):
        total = 0.0
        for k in set(keys):
            here = m[[x == k for x in keys]]
            q = here.mean()
            if 0 < q < 1:
                total += len(here) * (q * math.log(q) + (1 - q) * math.log(1 - q))
        return total
    return {"a": 1 - cells(list(data["a"])) / null, "b": 1 - cells(list(data["b"])) / null,
            "all": 1 - cells(list(zip(data["a"], data["b"]))) / null}


SHAPES = [["a"], ["a", "b"], ["a", "x"], ["a", "b", "a:b"], ["a", "b", "x"], ["x", "x*x", "a"], ["a", "b", "a:b", "x"],
          ["a", "x", "a:x", "z"], ["a", "b", "x", "z"], ["a", "b", "c", "a:b", "a:c", "b:c", "a:b:c"], ["a", "b", "c", "x", "z"]]


def series(n):
    d = {"a": rng.integers(0, 3, n), "b": rng.integers(0, 2, n), "c": rng.integers(0, 2, n)}
    for f in "abc":
        d[f][:3] = [0, 1, 2 if f == "a" else 1]
    d["x"] = np.round(rng.normal(600, 40, n), 1)
    d["z"] = np.round(0.02 * d["x"] + rng.normal(0, 1, n) + d["b"], 2)
    return d


def plain(d):
    return {k: v.tolist() for k, v in d.items()}


measures, modes, separated = [], [], []
for case in range(66):
    terms = SHAPES[case % len(SHAPES)]
    n = int(rng.integers(24, 45))
    d = series(n)
    y = np.round(100 + 10 * d["a"] - 6 * d["b"] * (d["a"] == 1) + 0.1 * d["x"] + rng.normal(0, 8, n), 2)
    w = rng.integers(1, 5, n).astype(float) if case % 3 == 0 else np.ones(n)
    measures.append({"data": plain(d), "terms": terms, "y": y.tolist(), "weights": w.tolist(), "answer": measure(d, terms, y, w)})
for case in range(24):
    terms = [s for s in SHAPES if len(s) < 5][case % 9]
    while True:
        n = int(rng.integers(60, 90))
        d = series(n)
        m = (rng.random(n) < 1 / (1 + np.exp(-(d["a"] - 1 + 0.02 * (d["x"] - 600))))).astype(float)
        try:
            answer = mode(d, terms, m)
        except Exception:
            continue  # separated: drawn again
        if all(math.isfinite(v) for row in answer["rows"] for v in row):
            break
    modes.append({"data": plain(d), "terms": terms, "mode": m.tolist(), "answer": answer})
for case in range(12):
    n = 24
    d = series(n)
    m = ((d["a"] == 2) | (rng.random(n) < 0.4)).astype(float)
    m[(d["a"] == 1) & (d["b"] == 0)] = 0
    if 0 < m.mean() < 1:
        separated.append({"data": plain(d), "mode": m.tolist(), "answer": saturated(d, m)})

out = {"versions": {"python": sys.version.split()[0], "numpy": np.__version__, "statsmodels": statsmodels.__version__},
       "measures": measures, "modes": modes, "separated": separated}
with open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "shares.json"), "w") as f:
    json.dump(out, f)
