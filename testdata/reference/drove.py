"""Reference answers for what drove a load: the joint tests, their correction, the shares and the sizes.

Run with Debian's python3-numpy and python3-statsmodels; writes drove.json beside itself, the versions in
it: series as a CSV file, and a row for each factor. Routes:

fit      statsmodels OLS on dummy columns; the terms are those that the series was made with, whose
         effects are so large that a search has to find them; a number with three values has its square too
p        statsmodels f_test that every coefficient of a factor is zero, those of its combined term and of
         its square too; then multipletests(method="holm") over the factors
share    every order of the terms in which a combined term, or a square, comes after its parts, one
         numpy.linalg.lstsq a set of terms; a factor has its own terms' and half of a combined one's
size     statsmodels t_test of a number from the smallest of its values with a tenth of the specimens at or
         below it to that with nine tenths; of levels, and of a number with three values, the clearest pair
         by its |t|. Of factors that are told as one
"""
import itertools, json, math, os, sys
import numpy as np
import statsmodels, statsmodels.api as sm
from statsmodels.stats.multitest import multipletests

rng = np.random.default_rng(20261129)
LEVELS = {"pins": ["none", "pair"], "glue": ["hide", "pva", "epoxy"], "place": ["shed", "store"]}


def columns(data, term):
    """Term: names joined by ':'; 'density*density' the square of the centred number."""
    if "*" in term:
        x = data[term.split("*")[0]]
        return [(x - x.mean()) ** 2]
    parts = []
    for name in term.split(":"):
        if name in LEVELS:
            parts.append([(data[name] == l).astype(float) for l in range(1, len(LEVELS[name]))])
        else:
            parts.append([data[name] - data[name].mean()])
    return [np.prod(c, axis=0) for c in itertools.product(*parts)]


def factors(term):
    return sorted(set(term.replace("*", ":").split(":")))


def allowed(order, terms):
    for i, t in enumerate(order):
        needs = [n for n in terms if n in factors(t) and n != t]
        if not set(needs) <= set(order[:i]):
            return False
    return True


def shares(data, terms, y):
    known = {}

    def explained(subset):
        key = frozenset(subset)
        if key not in known:
            x = np.column_stack([np.ones(len(y))] + [c for t in subset for c in columns(data, t)])
            fitted = x @ np.linalg.lstsq(x, y, rcond=None)[0]
            known[key] = 1 - ((y - fitted) ** 2).sum() / ((y - y.mean()) ** 2).sum()
        return known[key]

    gain, orders = dict.fromkeys(terms, 0.0), 0
    for order in itertools.permutations(terms):
        if not allowed(order, terms):
            continue
        orders += 1
        for i, t in enumerate(order):
            gain[t] += explained(order[:i + 1]) - explained(order[:i])
    return {t: g / orders for t, g in gain.items()}


def clearest(fit, pairs):
    return abs(float(max((fit.t_test(c) for c in pairs), key=lambda t: abs(float(t.tvalue))).effect))


def tenths(x):
    s = sorted(x)
    return s[math.ceil(0.1 * len(s)) - 1], s[math.ceil(0.9 * len(s)) - 1]


def case(extra):
    n = 45
    data = {name: rng.integers(0, len(l), n) for name, l in LEVELS.items()}
    data["density"] = np.round(rng.uniform(500, 700, n))
    data["thickness"] = rng.choice([18.0, 24.0, 34.0], n)
    data["moisture"] = np.round(rng.uniform(8, 16, n), 1)
    y = 400 + 0.15 * (data["density"] - 600) + 35 * data["pins"] + 30 * rng.standard_normal(n)
    if extra == "pins:place":
        y += 160 * data["pins"] * data["place"]
    if extra == "moisture*moisture":
        y -= 9 * (data["moisture"] - 12) ** 2
    y = np.round(y, 1)
    names = list(LEVELS) + ["thickness", "density", "moisture"]
    terms = names + ["thickness*thickness"] + ([extra] if extra else [])
    x, own = [np.ones(n)], [[]]
    for t in terms:
        for c in columns(data, t):
            x.append(c)
            own.append(factors(t))
    fit = sm.OLS(y, np.column_stack(x)).fit()
    width = len(own)

    def row(i, value=1.0):
        r = np.zeros(width)
        r[i] = value
        return r

    tests = [fit.f_test(np.array([row(i) for i in range(width) if name in own[i]])) for name in names]
    joined = multipletests([float(t.pvalue) for t in tests], method="holm")[1]
    parted = shares(data, terms, y)
    rows = []
    for name, p in zip(names, joined):
        share = sum(s / len(factors(t)) for t, s in parted.items() if name in factors(t))
        size = None
        first = own.index([name])
        if name not in factors(extra or ""):
            if name in LEVELS:
                k = len(LEVELS[name])
                level = [np.zeros(width)] + [row(first + i) for i in range(k - 1)]
                pairs = [b - a for a, b in itertools.combinations(level, 2)]
                size = clearest(fit, pairs)
            elif name == "thickness":
                mean, square = data[name].mean(), own.index([name], first + 1)
                level = [row(first, v - mean) + row(square, (v - mean) ** 2) for v in (18, 24, 34)]
                pairs = [b - a for a, b in itertools.combinations(level, 2)]
                size = clearest(fit, pairs)
            else:
                low, high = tenths(data[name])
                size = float(fit.t_test(row(first, high - low)).effect)
        rows.append({"Factor": name, "P": float(p), "Share": share, "Size": size})
    head = "specimen," + ",".join(names) + ",load (N)"
    lines = [head] + [f"S{i + 1:02d}," + ",".join(LEVELS[m][data[m][i]] if m in LEVELS else f"{data[m][i]:g}"
                                                  for m in names) + f",{y[i]:.1f}" for i in range(n)]
    return {"Made": extra or "additive", "CSV": "\n".join(lines) + "\n", "Rows": rows,
            "Explained": float(fit.rsquared), "SD": float(np.sqrt(fit.scale)), "DF": float(fit.df_resid)}


cases = [case(extra) for _ in range(3) for extra in (None, "pins:place", "moisture*moisture")]
out = {"Versions": {"python": sys.version.split()[0], "numpy": np.__version__, "statsmodels": statsmodels.__version__},
       "Cases": cases}
with open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "drove.json"), "w") as f:
    json.dump(out, f, indent=1)
    f.write("\n")
