"""Reference figures for what sentences and tables of whole sessions tell.

Run with Debian's python3-scipy and python3-numpy; writes answers.json beside itself, the
versions in it: series, commands, and the figures that must come of them. Routes:

fits          normal equations in numpy, scipy.stats.t; a number column from its smallest to
              its largest value seen; a bend is the middle less the mean of the two ends
all pairs     scipy.stats.studentized_range (Tukey 1953, Kramer 1956), Games & Howell (1976)
against one   the integral of Dunnett (1955) by Gauss-Legendre in numpy, its point by brentq
against a figure  scipy.stats.t; several levels: the largest of unrelated t, by quad
ranked        scipy.stats.mannwhitneyu (exact), Holm's rule; the shift is the median of all
              differences, its range their order statistics by the counted distribution of
              the rank sum at the level Bonferroni leaves
ratios        Fieller (1954)
how many more noncentral t (scipy.stats.nct) to show a difference worth having, and an
              integral over the chi distribution to rule one out; the least number by search
same          two one-sided t by Welch (1947); of a share Sasabuchi's t of the ratio
limits        scipy.stats.nct
modes         counting, scipy.stats.beta (Clopper & Pearson 1934), brentq on a likelihood
until         likelihood of Weibull and lognormal breaks and lower bounds, scipy.optimize
series        Paule & Mandel (1982) by brentq; one make-up by numpy.linalg.lstsq in each series
plans         scipy.stats.ncf, nct

Sentences show a number with two digits of half its range, a range with two digits of its
width, an end that is not zero never as zero, a probability and a share with two digits; shown(), span(), chance() and share() here
write that rule down a second time.
"""
import functools, itertools, json, math, os, sys
import numpy as np
import scipy
from scipy import integrate, optimize, special, stats

rng = np.random.default_rng(20261128)
cases = []


# ---- how numbers are shown

def power(x, digits):
    return 0 if x == 0 else int(f"{abs(x):.{digits - 1}e}".split("e")[1])


def places(x, digits):
    return max(0, digits - 1 - power(x, digits))


def fixed(x, d):
    text = f"{x:.{max(d, 0)}f}"
    if float(text) == 0:
        text = text.lstrip("-")
    return text.replace("-", "\u2212")


def exact(x):
    """Decimals that x needs with fifteen digits."""
    text = f"{abs(x):.14e}"
    digits, e = text.split("e")
    return max(0, len(digits.replace(".", "").rstrip("0")) - 1 - int(e))


def shown(x, half=None):
    if half is None:
        return fixed(x, min(places(x, 4), exact(x)))
    return fixed(x, min(places(x, 4), places(half, 2)))


def span(low, high, least=0):
    """Both ends; one that would look like zero and is none has one digit of its own, a share from 0.01 % on."""
    d = places(high - low, 2)

    def end(x):
        if float(f"{x:.{d}f}") == 0 and abs(x) > max(1e-9 * (high - low), least):
            return fixed(x, places(x, 1))
        return fixed(x, d)

    return [end(low), end(high)]


def share(p, half=None):
    """A share from 0 to 1, as a percentage."""
    p *= 100
    near = 100 - p if 50 < p < 100 else p
    d = min(places(near, 2), 2)
    if half is not None:
        return fixed(p, min(d, places(100 * half, 2)))
    if exact(p) <= 1:
        d = exact(p)
    return fixed(p, d)


def chance(p):
    if p < 0.0001:
        return "0.0001"
    if p >= 0.995:
        return "0.99" if p < 1 else "1"
    return fixed(p, max(2, places(p, 2)))


def ratio(x):
    return fixed(x, places(x, 3))


def rounded(n):
    step = 1
    while n // step >= 100:
        step *= 10
    return str(-(-n // step) * step)


def gap(value, low, high, p, conf=0.95, fraction=False):
    """The numbers of a difference: size, level, both ends, probability."""
    half = (high - low) / 2
    if fraction:
        one = lambda x: share(x, half)
        ends = span(100 * low, 100 * high)
    else:
        one = lambda x: shown(x, half)
        ends = span(low, high)
    if low < 0 < high:
        ends = [one(x) if float(one(x)) or fraction else fixed(x, places(x, 1)) for x in (-low, high)]
    elif high <= 0:
        ends = span(-100 * high, -100 * low) if fraction else span(-high, -low)
    return [one(abs(value)), f"{100 * conf:g}"] + ends + [chance(p)]


# ---- the answer

def answer(low, high, low90, high90, worth):
    differs, inside = low > 0 or high < 0, low90 > -worth and high90 < worth
    return {(True, True): "differs, by less than is worth having", (True, False): "differs",
            (False, True): "no difference worth having", (False, False): "cannot tell"}[differs, inside]


def t_range(est, se, df, conf=0.95, of=1):
    c = stats.t.isf((1 - conf) / 2 / of, df)
    return est - c * se, est + c * se


def t_p(est, se, df, of=1):
    return min(1, of * 2 * stats.t.sf(abs(est / se), df))


def inside(limit, c90, df):
    """The chance that |Z| + c90 S < limit, S the sd over its truth with df."""
    if limit <= 0:
        return 0.0
    top = limit / c90
    lo, hi = max(0, 1 - 9 / math.sqrt(2 * df)), min(top, 1 + 9 / math.sqrt(2 * df))
    if hi <= lo:
        return 0.0
    x, w = np.polynomial.legendre.leggauss(100)
    x, w = lo + (hi - lo) / 2 * (x + 1), (hi - lo) / 2 * w
    return float(((2 * special.ndtr(limit - c90 * x) - 1) * stats.chi.pdf(x * math.sqrt(df), df) * math.sqrt(df) * w).sum())


def passes(c, df, nc):
    return stats.nct.sf(c, df, nc) + stats.nct.cdf(-c, df, nc)


def more_in_all(worth, se, df, n, conf=0.95, of=1):
    """Specimens in all that would settle one difference."""
    c, c90 = stats.t.isf((1 - conf) / 2 / of, df), stats.t.isf(0.05 / of, df)

    def ok(times):
        d, limit = df * times, worth / se * math.sqrt(times)
        c, c90 = stats.t.isf((1 - conf) / 2 / of, d), stats.t.isf(0.05 / of, d)
        return passes(c, d, limit) >= 0.8 and inside(limit, c90, d) >= 0.8
    lo, hi = 1e-3, 1.0
    while not ok(hi):
        lo, hi = hi, hi * 1.5
    while hi / lo > 1 + 1e-5:
        mid = math.sqrt(lo * hi)
        lo, hi = (lo, mid) if ok(mid) else (mid, hi)
    return math.ceil(hi * n)


def more_a_level(worth, sd, df_of, crit):
    """Specimens a level that would settle a pair; crit(conf, df) is the family's."""
    n = 2
    while df_of(n) < 1:
        n += 1

    def ok(n):
        d, limit = df_of(n), worth / sd * math.sqrt(n / 2)
        return passes(crit(0.95, d), d, limit) >= 0.8 and inside(limit, crit(0.90, d), d) >= 0.8
    step = 1
    while not ok(n + step):
        step *= 2
    lo, hi = n, n + step
    if ok(lo):
        return lo
    while hi - lo > 1:
        mid = (lo + hi) // 2
        lo, hi = (lo, mid) if ok(mid) else (mid, hi)
    return hi


def settles(n, have, size):
    """The numbers of what would settle an answer: how many, how many there are, and the size.

    Neither is said where there are as many already, nor past twenty times as many."""
    return [size] if n <= have or n > 20 * have else [rounded(n), str(have), size]


# ---- series

def csv(head, rows):
    return "\n".join([",".join(head)] + [",".join(str(c) for c in r) for r in rows]) + "\n"


class Case:
    def __init__(self, name, files, commands):
        self.out = {"name": name, "files": files, "commands": commands, "want": []}
        cases.append(self.out)
        self.entry = 0

    def at(self, entry):
        self.entry = entry
        return self

    def finding(self, match, numbers, *words, where="findings"):
        """One sentence matches, and the numbers in it are these ("*": any)."""
        self.out["want"].append({"entry": self.entry, "in": where, "match": match, "numbers": numbers, "words": list(words)})
        return self

    def caution(self, match, numbers, *words):
        return self.finding(match, numbers, *words, where="cautions")

    def silent(self, match, where="cautions"):
        self.out["want"].append({"entry": self.entry, "in": where, "absent": match})
        return self

    def first(self, match):
        self.out["want"].append({"entry": self.entry, "in": "findings", "first": match})
        return self

    def cell(self, table, row, column, value, digits=9):
        self.out["want"].append({"entry": self.entry, "table": table, "row": row, "column": column, "value": value, "digits": digits})
        return self

    def value(self, name, value, digits=9):
        self.out["want"].append({"entry": self.entry, "name": name, "value": value, "digits": digits})
        return self

    def rows(self, table, n):
        self.out["want"].append({"entry": self.entry, "table": table, "count": n})
        return self


pins = np.array(["none"] * 7 + ["single"] * 8 + ["pair"] * 9)
rail = np.array([["thin", "thick"][int(rng.integers(2))] for _ in pins])
density = np.array([int(rng.integers(560, 701)) for _ in pins], float)
gapmm = np.array([round(float(rng.uniform(0.1, 0.9)), 2) for _ in pins])
effect = {"none": 0, "single": 70, "pair": 95}
load = np.array([round(float(400 + effect[p] + 0.7 * (d - 630) - 60 * (g - .5) - 900 * (g - .5) ** 2 + 25 * (r == "thick") +
                             60 * (p == "pair") * (r == "thick") + rng.normal(0, 22)), 1) for p, r, d, g in zip(pins, rail, density, gapmm)])
JOINTS = csv(["Specimen", "Load (N)", "Pins", "Rail", "Density (kg/m3)", "Gap (mm)"],
             [[i + 1, load[i], pins[i], rail[i], int(density[i]), gapmm[i]] for i in range(len(pins))])
OPEN = "open joints.csv; levels of pins are none, single, pair; levels of rail are thin, thick; "
N = len(load)
LEVELS = ["none", "single", "pair"]


class Fit:
    def __init__(self, y, columns):
        """columns: name -> column; the baseline is put before them."""
        self.names = ["baseline"] + list(columns)
        self.X = np.column_stack([np.ones(len(y))] + list(columns.values()))
        self.y, self.n = y, len(y)
        inv = np.linalg.inv(self.X.T @ self.X)
        self.b = inv @ self.X.T @ y
        self.e = y - self.X @ self.b
        self.df = self.n - self.X.shape[1]
        self.s2 = float(self.e @ self.e) / self.df
        self.s = math.sqrt(self.s2)
        self.cov = inv * self.s2
        self.h = np.einsum("ij,jk,ik->i", self.X, inv, self.X)
        self.explained = 1 - self.e @ self.e / ((y - y.mean()) @ (y - y.mean()))
        self.unseen = 1 - ((self.e / (1 - self.h)) ** 2).sum() / ((y - y.mean()) @ (y - y.mean()))

    def combine(self, **weights):
        w = np.array([weights.get(n, 0.0) for n in self.names])
        return float(w @ self.b), math.sqrt(float(w @ self.cov @ w))


def number(x):
    return x - x.mean()


def pin_columns(f=None):
    return {"single": (pins == "single") * 1.0, "pair": (pins == "pair") * 1.0}


def decided(low, high, worth):
    """The confidence of the interval that decided, where the one told reaches further than the size."""
    return ["90"] if low <= -worth or high >= worth else []


def told(case, match, est, se, df, worth, n, word, conf=0.95, of=1, fraction=False, p=None):
    """A difference by t, with its answer and how many would settle it."""
    low, high = t_range(est, se, df, conf, of)
    low90, high90 = t_range(est, se, df, 0.90, of)
    p = t_p(est, se, df, of) if p is None else p
    a = answer(low, high, low90, high90, worth)
    if fraction:
        numbers = gap(math.expm1(est), math.expm1(low), math.expm1(high), p, conf, True)
        size = share(math.expm1(worth))
    else:
        numbers = gap(est, low, high, p, conf)
        size = shown(worth, worth)
    if a == "cannot tell":
        numbers += settles(more_in_all(worth, se, df, n, conf, of), n, size)
    elif a != "differs":
        numbers += [size] + (decided(math.expm1(low), math.expm1(high), math.expm1(worth)) if fraction else decided(low, high, worth))
    case.finding(match, numbers, word, a)


def tukey_p(t, k, df):
    return float(stats.studentized_range.sf(abs(t) * math.sqrt(2), k, df))


NODES = {n: np.polynomial.legendre.leggauss(n) for n in (80, 120, 200, 400)}


def range_cdf(q, k, df):
    """The studentised range by the double integral, which is quicker than scipy's."""
    s, ws = NODES[80]
    z, wz = NODES[120]
    lo, hi = max(0, 1 - 9 / math.sqrt(2 * df)), 1 + 9 / math.sqrt(2 * df)
    s, ws = lo + (hi - lo) / 2 * (s + 1), (hi - lo) / 2 * ws
    z, wz = 8 * z, 8 * wz
    inner = k * stats.norm.pdf(z) * wz * (special.ndtr(z) - special.ndtr(z - q * s[:, None])) ** (k - 1)
    return float((inner.sum(axis=1) * stats.chi.pdf(s * math.sqrt(df), df) * math.sqrt(df) * ws).sum())


@functools.lru_cache(None)
def tukey_crit(conf, k, df):
    return float(optimize.brentq(lambda q: range_cdf(q, k, df) - conf, 0.5, 60, xtol=1e-12)) / math.sqrt(2)


assert abs(stats.studentized_range.sf(tukey_crit(0.95, 3, 20) * math.sqrt(2), 3, 20) - 0.05) < 1e-9


# ---- 1 number columns and all pairs of a fit

f = Fit(load, {"density": number(density)} | pin_columns())
c = Case("numbers and levels of a fit", {"joints.csv": JOINTS}, OPEN + "fit load on density, pins; anova of fit1; adjusted pins of fit1; "
         "compare pins of fit1 against none; predict fit1 given density 640, pins none or pair or single; predict fit1 given density 690; "
         "anova load on density, pins sequential").at(4)
base = f.b[0]
worth = 0.1 * load.mean()
seen = density.max() - density.min()
est, se = f.combine(density=seen)
low, high = t_range(est, se, f.df)
ends = [f"{density.min():g}", f"{density.max():g}"]
a = answer(low, high, *t_range(est, se, f.df, 0.9), worth)
rise = ends + gap(est, low, high, t_p(est, se, f.df))
assert a == "differs"
c.finding("density seen", rise, "rises by", a)


def pair_of(f, first, second):
    w = {first: -1.0, second: 1.0}
    w.pop("none", None)
    return f.combine(**w)


crit = tukey_crit(0.95, 3, f.df)
pairs = {}
for i, j in itertools.combinations(LEVELS, 2):
    est, se = pair_of(f, i, j)
    pairs[i, j] = (est, se, tukey_p(est / se, 3, f.df))
clear = max(pairs, key=lambda q: abs(pairs[q][0] / pairs[q][1]))
est, se, p = pairs[clear]
assert clear == ("none", "pair") and est > 0
tukey = gap(est, est - crit * se, est + crit * se, p)
c.finding("With pins pair, load is .* than with none", tukey, "all pairs", "higher", "differs")
c.finding("of the variation", [share(f.explained), shown(f.s), share(f.unseen)])
c.value("residual_sd", f.s).value("explained", f.explained).value("explained_unseen", f.unseen).value("residual_df", f.df)
c.value("f", f.explained / 3 / ((1 - f.explained) / f.df))
loglik = -f.n / 2 * (math.log(2 * math.pi * (f.e @ f.e) / f.n) + 1)
c.value("log_likelihood", loglik)
k = 5
c.value("aicc", -2 * loglik + 2 * k + 2 * k * (k + 1) / (f.n - k - 1))
c.cell("terms", ["density"], "effect", f.b[1]).cell("terms", ["density"], "t", f.b[1] / math.sqrt(f.cov[1, 1]))
# analysis of variance: each adjusted for the other; sums of squares by fits without
total = ((load - load.mean()) ** 2).sum()
rest = f.e @ f.e
without = {"density": Fit(load, pin_columns()), "pins": Fit(load, {"density": number(density)})}
ss = {k: g.e @ g.e - rest for k, g in without.items()}
c.at(5)
for k, df1 in (("density", 1), ("pins", 2)):
    F = ss[k] / df1 / f.s2
    c.cell("sources", [k], "sum_of_squares", ss[k]).cell("sources", [k], "f", F).cell("sources", [k], "df", df1)
    c.cell("sources", [k], "p", stats.f.sf(F, df1, f.df), 7).cell("sources", [k], "share", ss[k] / total)
c.finding("variation", [share(ss["density"] / total), share(ss["pins"] / total), share(rest / total)])
# of one number column the F test's own p, and of several levels the clearest pair's
c.finding("density seen", rise, "rises by", "differs").finding("With pins pair", tukey, "differs")
c.at(6)
for level in LEVELS:
    est, se = f.combine(**({"baseline": 1.0} | ({} if level == "none" else {level: 1.0})))
    low, high = t_range(est, se, f.df)
    c.cell("means", [level], "mean", est).cell("means", [level], "low", low).cell("means", [level], "high", high)
c.finding("With pins pair", tukey, "all pairs", "differs")


# ---- Dunnett

def dunnett_cdf(c, lam, df):
    s, ws = NODES[80]
    z, wz = NODES[120]
    lo, hi = max(0, 1 - 9 / math.sqrt(2 * df)), 1 + 9 / math.sqrt(2 * df)
    s, ws = lo + (hi - lo) / 2 * (s + 1), (hi - lo) / 2 * ws
    z, wz = 8 * z, 8 * wz
    inner = np.ones((len(s), len(z)))
    for l in lam:
        r = math.sqrt(1 - l * l)
        inner = inner * (special.ndtr((c * s[:, None] + l * z) / r) - special.ndtr((-c * s[:, None] + l * z) / r))
    over = (inner * (stats.norm.pdf(z) * wz)).sum(axis=1)
    return float((over * stats.chi.pdf(s * math.sqrt(df), df) * math.sqrt(df) * ws).sum())


def dunnett_crit(conf, lam, df):
    return optimize.brentq(lambda c: dunnett_cdf(c, lam, df) - conf, 0.5, 12, xtol=1e-11)


c.at(7)
(e1, s1), (e2, s2) = f.combine(single=1.0), f.combine(pair=1.0)
rho = float(f.cov[2, 3]) / s1 / s2
assert rho > 0
lam = [math.sqrt(rho)] * 2
crit = dunnett_crit(0.95, lam, f.df)
c.value("critical", crit, 6)
for level, est, se in (("single", e1, s1), ("pair", e2, s2)):
    p = 1 - dunnett_cdf(abs(est / se), lam, f.df)
    low, high = est - crit * se, est + crit * se
    c.cell("differences", ["none", level], "low", low, 6).cell("differences", ["none", level], "p", p, 4)
    assert low > 0
    c.finding(f"With pins {level}", gap(est, low, high, p), "all levels", "differs")
c.first("With pins pair")

# ---- predictions
c.at(8)
at = {"none": {}, "single": {"single": 1.0}, "pair": {"pair": 1.0}}
for level in LEVELS:
    est, se = f.combine(**({"baseline": 1.0, "density": 640 - density.mean()} | at[level]))
    one = math.sqrt(se * se + f.s2)
    row = [f"density 640 kg/m3, pins {level}"]
    c.cell("predicted", row, "mean", est).cell("predicted", row, "low", t_range(est, se, f.df)[0])
    c.cell("predicted", row, "specimen_low", t_range(est, one, f.df)[0]).cell("predicted", row, "specimen_high", t_range(est, one, f.df)[1])
    if level == "none":
        low, high = t_range(est, se, f.df)
        c.finding("^Expected", ["640", shown(est, (high - low) / 2), "95"] + span(low, high) + span(*t_range(est, one, f.df)))
low, high = t_range(e2, s2, f.df, of=2)
c.finding("^With", ["640"] + [gap(e2, low, high, t_p(e2, s2, f.df, 2))[0], "640"] + gap(e2, low, high, t_p(e2, s2, f.df, 2))[1:], "higher", "differs", "named")
c.at(9)
est, se = f.combine(density=690 - density.mean())
low, high = t_range(est, se, f.df)
c.out["want"].append({"entry": c.entry, "in": "findings", "absent": "average specimen"})
c.at(10)
first = Fit(load, {"density": number(density)})
seq = total - first.e @ first.e
c.cell("sources", ["density"], "sum_of_squares", seq).cell("sources", ["pins"], "sum_of_squares", total - seq - rest)

# ---- 2 a bend, and two levels

g = number(gapmm)
f = Fit(load, {"density": number(density), "gap": g, "gap2": g * g, "thick": (rail == "thick") * 1.0})
worth = 0.1 * load.mean()
c = Case("a bend and two levels", {"joints.csv": JOINTS}, OPEN + "fit load on density, gap curved, rail; "
         "fit load on density, gap curved, rail worth 300 N; anova of fit2").at(4)
lo, hi = g.min(), g.max()
mid = (lo + hi) / 2
bend = f.combine(gap2=mid * mid - (lo * lo + hi * hi) / 2)
whole = f.combine(gap=hi - lo, gap2=hi * hi - lo * lo)
told(c, "Halfway along the gap", *bend, f.df, worth, N, "above")
out = c.out["want"]
told(c, "density seen", *f.combine(density=seen), f.df, worth, N, "rises by")
out[-1]["numbers"] = ends + out[-1]["numbers"]
told(c, "gap seen .*to the", *whole, f.df, worth, N, "falls by" if whole[0] < 0 else "rises by")
out[-1]["numbers"] = [f"{gapmm.min():g}", f"{gapmm.max():g}"] + out[-1]["numbers"]
est, se = f.combine(thick=1.0)
low, high = t_range(est, se, f.df)
a = answer(low, high, *t_range(est, se, f.df, .9), worth)
numbers = gap(est, low, high, t_p(est, se, f.df))
counts = {l: int((rail == l).sum()) for l in ("thin", "thick")}
sd = se / math.sqrt(1 / counts["thin"] + 1 / counts["thick"])
crit2 = lambda conf, d: stats.t.isf((1 - conf) / 2, d)
assert a == "cannot tell" and est > 0
more = settles(more_a_level(worth, sd, lambda n: 2 * n - (N - f.df), crit2), min(counts.values()), shown(worth, worth))
numbers += more
c.finding("With rail thick", numbers, "higher", a)
c.at(5)
for name, est_se, word in (("Halfway along the gap", bend, "above"), ("With rail thick", (est, se), "higher")):
    low, high = t_range(*est_se, f.df)
    a = answer(low, high, *t_range(*est_se, f.df, .9), 300)
    c.finding(name, gap(est_se[0], low, high, t_p(*est_se, f.df)) + ["300"], word, a)
# the F test of a term that is one difference has its own p
c.at(6).finding("With rail thick", gap(est, *t_range(est, se, f.df), t_p(est, se, f.df)) + more)

# ---- 3 combined terms

P = pin_columns()
T = (rail == "thick") * 1.0
f = Fit(load, P | {"thick": T, "single:thick": P["single"] * T, "pair:thick": P["pair"] * T, "density": number(density)})
c = Case("combined terms", {"joints.csv": JOINTS}, OPEN + "fit load on together(pins, rail), density; fit load on together(density, gap), pins").at(4)
rows = {k: f.combine(**{k: 1.0}) for k in ("single:thick", "pair:thick")}
lead = max(rows, key=lambda k: abs(rows[k][0] / rows[k][1]))
worth = 0.1 * load.mean()
est, se = rows[lead]
told(c, "together", est, se, f.df, worth, N, "more than" if est > 0 else "less than", of=2)
answers = [answer(*t_range(*r, f.df, of=2), *t_range(*r, f.df, .9, of=2), worth) for r in rows.values()]
assert lead == "pair:thick" and "all its rows", answers
c.out["want"][-1]["match"] = "pins: pair × rail: thick"
f = Fit(load, P | {"density": number(density), "gap": g, "density:gap": number(density) * g})
worth = 0.1 * load.mean()
told(c.at(5), "density × gap", *f.combine(**{"density:gap": seen * (gapmm.max() - gapmm.min())}), f.df, worth, N,
     "more than" if f.b[-1] > 0 else "less than")

# ---- 4 a logarithm

L = np.log(load)
f = Fit(L, {"density": number(density)} | P | {"thick": T})
c = Case("ratios of a logarithm", {"joints.csv": JOINTS}, OPEN + "fit ln(load) on density, pins, rail; compare ln(load) by pins").at(4)
worth = math.log1p(0.1)
told(c, "density seen", *f.combine(density=seen), f.df, worth, N, "rises by", fraction=True)
c.out["want"][-1]["numbers"] = ends + c.out["want"][-1]["numbers"]
crit = tukey_crit(0.95, 3, f.df)
est, se = f.combine(pair=1.0)
c.finding("With pins pair", gap(math.expm1(est), math.expm1(est - crit * se), math.expm1(est + crit * se), tukey_p(est / se, 3, f.df), fraction=True), "all pairs", "higher", "differs")
est, se = f.combine(thick=1.0)
low, high = t_range(est, se, f.df)
numbers = gap(math.expm1(est), math.expm1(low), math.expm1(high), t_p(est, se, f.df), fraction=True)
a = answer(low, high, *t_range(est, se, f.df, .9), worth)
if a == "cannot tell":
    sd = se / math.sqrt(1 / counts["thin"] + 1 / counts["thick"])
    numbers += settles(more_a_level(worth, sd, lambda n: 2 * n - (N - f.df), crit2), min(counts.values()), "10")
c.finding("With rail thick", numbers, "higher", a)


# ---- 5 comparisons

def groups(y, by=pins, levels=LEVELS):
    return [y[by == l] for l in levels]


def pooled(v):
    df = sum(map(len, v)) - len(v)
    return math.sqrt(sum(((x - x.mean()) ** 2).sum() for x in v) / df), df


def family(case, v, names, worth, crit, tail, df_all, fraction=False, table=True, rows=None, base=0, label="all pairs", family_crit=None, digits=6):
    """Every difference of a family: sentences in order of their clearness, and rows."""
    s, df = pooled(v)
    found = []
    for i, j in rows or itertools.combinations(range(len(v)), 2):
        est = v[j].mean() - v[i].mean()
        se = s * math.sqrt(1 / len(v[i]) + 1 / len(v[j]))
        low, high, p = est - crit * se, est + crit * se, tail(abs(est / se))
        c90 = family_crit(0.90, df)
        a = answer(low, high, est - c90 * se, est + c90 * se, worth)
        row = [names[i], names[j]]
        case.cell("differences", row, "difference", est).cell("differences", row, "low", low, digits).cell("differences", row, "high", high, digits)
        case.cell("differences", row, "p", p, 4).cell("differences", row, "statistic", est / se)
        show = optimize.brentq(lambda nc: passes(crit, df, nc) - 0.8, 0.1, 20)
        case.cell("differences", row, "detectable", show * se, 5)
        if not fraction:
            m0, m1, v0, v1 = v[i].mean(), v[j].mean(), s * s / len(v[i]), s * s / len(v[j])
            A, B, C = m0 ** 2 - crit ** 2 * v0, m0 * m1, m1 ** 2 - crit ** 2 * v1
            root = math.sqrt(B * B - A * C)
            case.cell("differences", row, "percent", 100 * est / m0).cell("differences", row, "percent_low", 100 * ((B - root) / A - 1), digits)
            case.cell("differences", row, "percent_high", 100 * ((B + root) / A - 1), digits)
        else:
            case.cell("differences", row, "percent_high", 100 * math.expm1(high), digits)
        if est < 0:
            big, small, e, lo, hi = names[i], names[j], -est, -high, -low
        else:
            big, small, e, lo, hi = names[j], names[i], est, low, high
        if fraction:
            numbers = gap(math.expm1(e), math.expm1(lo), math.expm1(hi), p, fraction=True)
            size = share(math.expm1(worth))
        else:
            numbers, size = gap(e, lo, hi, p), shown(worth, worth)
        if a == "cannot tell":
            n = more_a_level(worth, s, lambda n: len(v) * n - len(v), family_crit)
            numbers += settles(n, min(len(v[i]), len(v[j])), size)
        elif a != "differs":
            numbers += [size]
        case.finding(f"With pins {big}, .* than with {small}", numbers, "higher", a, label)
        case.cell("differences", row, "answer", a)
        found.append((abs(est / se), big))
    case.first("With pins " + max(found)[1])
    return found


v = groups(load)
s, df = pooled(v)
c = Case("comparisons", {"joints.csv": JOINTS}, OPEN + "compare load by pins; compare load by pins against none; compare load by pins ranked; "
         "compare load by pins uneven spread; compare load with 450 N; compare load with 450 N by pins; compare ln(load) by pins; "
         "average load by pins; compare load by pins against pair; compare load by pins for pins is not single; compare load by pins confidence 90%").at(4)
crit = tukey_crit(0.95, 3, df)
worth = 0.1 * load.mean()
c.value("critical", crit, 6).value("worth", worth)
family(c, v, LEVELS, worth, crit, lambda t: tukey_p(t, 3, df), df, family_crit=lambda conf, d: tukey_crit(conf, 3, d))
F = stats.f_oneway(*v)
c.cell("overall", [], "statistic", F.statistic).cell("overall", [], "p", F.pvalue, 8)
c.at(5)
lam = [math.sqrt(len(x) / (len(x) + len(v[0]))) for x in v[1:]]
equal = [math.sqrt(.5)] * 2
crit = dunnett_crit(0.95, lam, df)
c.value("critical", crit, 6)
# how many more are needed is worked out for as many at every level
rows = [(0, 1), (0, 2)]
for i, j in rows:
    est, se = v[j].mean() - v[0].mean(), s * math.sqrt(1 / len(v[0]) + 1 / len(v[j]))
    low, high, p = est - crit * se, est + crit * se, 1 - dunnett_cdf(abs(est / se), lam, df)
    c90 = dunnett_crit(0.90, lam, df)
    a = answer(low, high, est - c90 * se, est + c90 * se, worth)
    numbers = gap(est, low, high, p)
    if a == "cannot tell":
        more = more_a_level(worth, s, lambda n: 3 * n - 3, lambda conf, d: dunnett_crit(conf, equal, d))
        numbers += settles(more, min(len(v[i]), len(v[j])), shown(worth, worth))
    c.finding(f"With pins {LEVELS[j]}", numbers, a, "all levels").cell("differences", ["none", LEVELS[j]], "p", p, 4)
    c.cell("differences", ["none", LEVELS[j]], "high", high, 6)
c.rows("differences", 2)
# ranked
c.at(6)
H = stats.kruskal(*v)
c.cell("overall", [], "statistic", H.statistic).cell("overall", [], "p", H.pvalue, 8)
raw = {(i, j): stats.mannwhitneyu(v[i], v[j], alternative="two-sided", method="exact").pvalue for i, j in itertools.combinations(range(3), 2)}
order = sorted(raw, key=raw.get)
holm, running = {}, 0.0
for at_, q in enumerate(order):
    running = max(running, min(1, (3 - at_) * raw[q]))
    holm[q] = running


def rank_counts(m, n):
    """How many arrangements have each Mann-Whitney count."""
    # by the usual recurrence on the last of the joined values
    def f(a, b, memo={}):
        if (a, b) in memo:
            return memo[a, b]
        if a == 0 or b == 0:
            r = {0: 1}
        else:
            r = {}
            for u, w in f(a - 1, b).items():
                r[u + b] = r.get(u + b, 0) + w
            for u, w in f(a, b - 1).items():
                r[u] = r.get(u, 0) + w
        memo[a, b] = r
        return r
    return f(m, n)


for i, j in itertools.combinations(range(3), 2):
    d = np.sort((v[j][:, None] - v[i][None, :]).ravel())
    shift = float(np.median(d))
    counts_ = rank_counts(len(v[i]), len(v[j]))
    all_ = sum(counts_.values())
    below, kk = 0, 0
    while below + counts_[kk] <= all_ * 0.05 / 2 / 3:
        below += counts_[kk]
        kk += 1
    low, high = (d[kk - 1], d[len(d) - kk]) if kk else (-math.inf, math.inf)
    row = [LEVELS[i], LEVELS[j]]
    c.cell("differences", row, "difference", shift).cell("differences", row, "low", low).cell("differences", row, "high", high)
    c.cell("differences", row, "p", holm[i, j], 9)
    assert shift > 0
    c.finding(f"With pins {LEVELS[j]}, .* than with {LEVELS[i]}", gap(shift, low, high, holm[i, j]) + ([] if low > 0 else ["*", str(min(len(v[i]), len(v[j]))), shown(worth, worth)]), "all pairs")
    ranks = stats.rankdata(np.concatenate([v[i], v[j]]))
    c.cell("differences", row, "statistic", ranks[len(v[i]):].sum())
c.first("With pins pair, .* with none")
# uneven spread
c.at(7)
for i, j in itertools.combinations(range(3), 2):
    a_, b_ = v[i].var(ddof=1) / len(v[i]), v[j].var(ddof=1) / len(v[j])
    est, se = v[j].mean() - v[i].mean(), math.sqrt(a_ + b_)
    d = (a_ + b_) ** 2 / (a_ ** 2 / (len(v[i]) - 1) + b_ ** 2 / (len(v[j]) - 1))
    cr = tukey_crit(.95, 3, d)
    row = [LEVELS[i], LEVELS[j]]
    c.cell("differences", row, "df", d).cell("differences", row, "low", est - cr * se, 6).cell("differences", row, "p", tukey_p(est / se, 3, d), 5)
    numbers = gap(est, est - cr * se, est + cr * se, tukey_p(est / se, 3, d))
    if est - cr * se < 0:  # Welch's degrees of freedom with as many at both levels
        va, vb = v[i].var(ddof=1), v[j].var(ddof=1)
        more = more_a_level(worth, math.sqrt((va + vb) / 2), lambda n: (va + vb) ** 2 / (va ** 2 + vb ** 2) * (n - 1), lambda conf, d: tukey_crit(conf, 3, d))
        numbers += settles(more, min(len(v[i]), len(v[j])), shown(worth, worth))
    c.finding(f"With pins {LEVELS[j]}, .* than with {LEVELS[i]}", numbers, "all pairs")
# a figure
c.at(8)
est, se = load.mean() - 450, load.std(ddof=1) / math.sqrt(N)
low, high = t_range(est, se, N - 1)
a = answer(low, high, *t_range(est, se, N - 1, .9), worth)
numbers = gap(est, low, high, t_p(est, se, N - 1))
numbers.insert(1, "450")
c.finding("^The mean of load", numbers + ([] if a == "differs" else ["*", str(N), shown(worth, worth)] if a == "cannot tell" else [shown(worth, worth)] + decided(low, high, worth)), "higher" if est > 0 else "lower", a)


def unrelated(t, k, df):
    """The chance that the largest of k unrelated |t| with one sd passes t."""
    g_ = lambda s_: (2 * stats.norm.cdf(t * s_) - 1) ** k * stats.chi.pdf(s_ * math.sqrt(df), df) * math.sqrt(df)
    return 1 - integrate.quad(g_, 0, 1 + 12 / math.sqrt(2 * df), limit=400, epsabs=1e-12)[0]


c.at(9)
@functools.lru_cache(None)
def unrelated_crit(conf, df):
    return optimize.brentq(lambda t: unrelated(t, 3, df) - (1 - conf), 1, 20, xtol=1e-9)


crit = unrelated_crit(0.95, df)
c.value("critical", crit, 6)
for x, level in zip(v, LEVELS):
    est, se = x.mean() - 450, s / math.sqrt(len(x))
    numbers = gap(est, est - crit * se, est + crit * se, unrelated(abs(est / se), 3, df))
    numbers.insert(1, "450")
    differs = abs(est) > crit * se
    c.finding(f"With pins {level}", numbers + ([] if differs else settles(more_a_level(worth, s / math.sqrt(2), lambda n: 3 * n - 3, unrelated_crit), len(x), shown(worth, worth))), "higher" if est > 0 else "lower", "all levels", "differs" if differs else "cannot tell")
# on the logarithm
c.at(10)
lv = groups(L)
ls, ldf = pooled(lv)
crit = tukey_crit(0.95, 3, ldf)
family(c, lv, LEVELS, math.log1p(.1), crit, lambda t: tukey_p(t, 3, ldf), ldf, fraction=True, family_crit=lambda conf, d: tukey_crit(conf, 3, d))
c.at(11)
for x, level in zip(v, LEVELS):
    m, sd = x.mean(), x.std(ddof=1)
    c.cell("groups", [level], "mean", m).cell("groups", [level], "sd", sd).cell("groups", [level], "cv", sd / m)
    c.cell("groups", [level], "median", float(np.median(x))).cell("groups", [level], "low", t_range(m, sd / math.sqrt(len(x)), len(x) - 1)[0])
    c.cell("groups", [level], "high", t_range(m, sd / math.sqrt(len(x)), len(x) - 1)[1])
# against the last level: second less first is negative
c.at(12)
lam = [math.sqrt(len(x) / (len(x) + len(v[2]))) for x in v[:2]]
crit = dunnett_crit(0.95, lam, df)
worth = 0.1 * load.mean()
for j in (0, 1):
    est, se = v[j].mean() - v[2].mean(), s * math.sqrt(1 / len(v[2]) + 1 / len(v[j]))
    low, high, p = est - crit * se, est + crit * se, 1 - dunnett_cdf(abs(est / se), lam, df)
    c.cell("differences", ["pair", LEVELS[j]], "difference", est).cell("differences", ["pair", LEVELS[j]], "low", low, 6)
    c.finding(f"With pins pair, .* than with {LEVELS[j]}", gap(-est, -high, -low, p) + ([] if high < 0 else ["*", shown(worth, worth)]), "higher")
# two levels are one difference: the t test and no allowance
c.at(13)
two = [v[0], v[2]]
s2_, d2_ = pooled(two)
est, se = v[2].mean() - v[0].mean(), s2_ * math.sqrt(1 / len(v[0]) + 1 / len(v[2]))
tt = stats.ttest_ind(v[2], v[0])
c.finding("With pins pair", gap(est, *t_range(est, se, d2_), tt.pvalue), "differs").cell("differences", ["none", "pair"], "p", tt.pvalue, 8)
c.out["want"][-2]["not"] = "allowed|adjusted"
c.at(14)
crit = tukey_crit(0.90, 3, df)
est, se = v[2].mean() - v[0].mean(), s * math.sqrt(1 / len(v[0]) + 1 / len(v[2]))
c.finding("With pins pair, .* with none", gap(est, est - crit * se, est + crit * se, tukey_p(est / se, 3, df), conf=0.90), "differs")

# ---- 6 the three answers at both edges, with one difference by t

m = Fit(load, {"density": number(density)} | P | {"thick": T})
est, se = m.combine(thick=1.0)
lo90, hi90 = t_range(est, se, m.df, 0.90)
edge = max(abs(lo90), abs(hi90))
p = t_p(est, se, m.df)
over, under = 100 * (1 - p) + 0.02, 100 * (1 - p) - 0.02
w = lambda x: f"worth {x:.6f} N"
F_ = "fit load on density, pins, rail "
c = Case("answers at both edges", {"joints.csv": JOINTS}, OPEN +
         f"{F_}confidence {over:.4f}% {w(edge * 1.0001)}; {F_}confidence {over:.4f}% {w(edge * 0.9999)}; "
         f"{F_}confidence {under:.4f}% {w(edge * 1.0001)}; {F_}confidence {under:.4f}% {w(edge * 0.9999)}")
for at_, want in ((4, "no difference worth having"), (5, "cannot tell"), (6, "differs, by less than is worth having"), (7, "differs\\.$")):
    c.at(at_).finding("With rail thick.*: " + want, None)

# ---- 7 within a margin

c = Case("the same within a margin", {"joints.csv": JOINTS}, OPEN + "same load by pins within 60 N; same ln(load) by pins within 20%; same load by pins within 10%; "
         "same load by pins within 200 N; same load by pins within 60 N against pair").at(4)


def welch(a, b, k=1.0):
    a_, b_ = k * k * a.var(ddof=1) / len(a), b.var(ddof=1) / len(b)
    d = (a_ + b_) ** 2 / (a_ ** 2 / (len(a) - 1) + b_ ** 2 / (len(b) - 1))
    return b.mean() - k * a.mean(), math.sqrt(a_ + b_), d


def alike(margin, variance):
    ok = lambda n: inside(margin / math.sqrt(variance / n), stats.t.isf(.05, 2 * (n - 1)), 2 * (n - 1)) >= .8
    n = 2
    while not ok(n):
        n += 1
    return n


def same(case, v, low_margin, high_margin, margin, fraction=False, known=None):
    out = []
    for i, j in itertools.combinations(range(3), 2):
        est, se, d = welch(v[i], v[j])
        low, high = t_range(est, se, d, .90)
        p = max(stats.t.sf((est - low_margin) / se, d), stats.t.cdf((est - high_margin) / se, d))
        row = [LEVELS[i], LEVELS[j]]
        case.cell("pairs", row, "difference", est).cell("pairs", row, "low", low).cell("pairs", row, "high", high).cell("pairs", row, "p", p, 7)
        a = "same" if low > low_margin and high < high_margin else "different" if high < low_margin or low > high_margin else "cannot tell"
        case.cell("pairs", row, "answer", a)
        numbers = gap(math.expm1(est), math.expm1(low), math.expm1(high), p, .9, True) if fraction else gap(est, low, high, p, .9)
        numbers.insert(-1, margin)
        if a == "cannot tell":
            numbers += settles(alike(min(-low_margin, high_margin), v[i].var(ddof=1) + v[j].var(ddof=1)), min(len(v[i]), len(v[j])), "")[:-1]
        case.finding(f"With pins {LEVELS[j]}, .* than with pins {LEVELS[i]}", numbers, a, "higher" if est > 0 else "lower")
        out.append((abs(est), j, i))
    best = max(out)
    case.first(f"With pins {LEVELS[best[1]]}, .* than with pins {LEVELS[best[2]]}")


same(c, v, -60, 60, "60")
same(c.at(5), lv, math.log(.8), math.log(1.2), "20", fraction=True)
m10 = 0.1 * load.mean()
c.at(6)
for i, j in itertools.combinations(range(3), 2):
    c.cell("pairs", [LEVELS[i], LEVELS[j]], "margin_high", m10).cell("pairs", [LEVELS[i], LEVELS[j]], "margin_low", -m10)
same(c, v, -m10, m10, shown(m10, m10))
same(c.at(7), v, -200, 200, "200")
c.at(8).rows("pairs", 2)

# ---- 8 characteristic values, shares, checks, plans, series

c = Case("limits, shares, checks, plans", {"joints.csv": JOINTS}, OPEN + "characteristic load by pins; characteristic load by pins lognormal exceeded by 90% confidence 90%; "
         "share out load on density, pins; check load by pins; plan load by pins detecting 10%; agree load by pins; "
         "agree compare load by rail against thin by pins; fit load on density, pins; fit load on pins; rivals fit1, fit2; "
         "fit load on density, gap; check of fit3").at(4)
k_of = lambda n, q, conf: stats.nct.ppf(conf, n - 1, stats.norm.ppf(q) * math.sqrt(n)) / math.sqrt(n)
limits = []
for x, level in zip(v, LEVELS):
    k = k_of(len(x), .95, .75)
    used = max(x.std(ddof=1), .05 * x.mean())
    limits.append(x.mean() - k * used)
    c.cell("limits", [level], "k", k, 8).cell("limits", [level], "limit", limits[-1], 8)
c.finding("joints exceed", ["95", shown(limits[0]), "7", shown(limits[1]), "8", shown(limits[2]), "9", "75"])
c.at(5)
limits = []
for x, level in zip(lv, LEVELS):
    k = k_of(len(x), .90, .90)
    limits.append(math.exp(x.mean() - k * max(x.std(ddof=1), .05)))
    c.cell("limits", [level], "limit", limits[-1], 8)
c.finding("joints exceed", ["90", shown(limits[0]), "7", shown(limits[1]), "8", shown(limits[2]), "9", "90"])
# shares: the gain of each, averaged over both orders
f = Fit(load, {"density": number(density)} | P)
alone = {"density": without["pins"].explained, "pins": without["density"].explained}
last = {"density": f.explained - alone["pins"], "pins": f.explained - alone["density"]}
shares = {k: (alone[k] + last[k]) / 2 for k in alone}
c.at(6)
for k, terms in (("density", 1), ("pins", 2)):
    c.cell("shares", [k], "share", shares[k]).cell("shares", [k], "alone", alone[k]).cell("shares", [k], "beyond_rest", last[k])
    c.cell("shares", [k], "by_chance", terms / (N - 1))
lead = max(shares, key=shares.get)
other = min(shares, key=shares.get)
by = {"density": 1 / (N - 1), "pins": 2 / (N - 1)}
c.finding("^Of the variation", [share(f.explained), share(shares[lead]), "95", "*", "*", share(by[lead]), "*"], lead)
c.finding(f"^{other} gets", [share(shares[other]), "95", "*", "*", share(by[other]), "*"])


def oddest(f):
    r = f.e / np.sqrt(f.s2 * (1 - f.h))
    i = int(np.argmax(abs(r)))
    t = r[i] * math.sqrt((f.df - 1) / (f.df - r[i] ** 2))
    n = f.n
    q = stats.t.isf(.05 / 2 / n, f.df - 1)
    critical = math.sqrt((n - 1) / n) * math.sqrt(f.df) / math.sqrt((f.df - 1) / (q * q) + 1)
    return abs(r[i]) * math.sqrt((n - 1) / n), f.df - 1, min(1, n * 2 * stats.t.sf(abs(t), f.df - 1)), critical


def checks(case, f, names):
    G, d, p, critical = oddest(f)
    row = ["Grubbs, the furthest specimen"]
    case.cell("tests", row, "statistic", G).cell("tests", row, "df", d).cell("tests", row, "p", p, 7).value("grubbs_critical", critical, 8)
    if names:
        left = [f.e[pins == l] for l in LEVELS]
        lev = stats.levene(*left, center="median")
        case.cell("tests", ["Brown–Forsythe, spread by pins"], "statistic", lev.statistic).cell("tests", ["Brown–Forsythe, spread by pins"], "p", lev.pvalue, 8)


c.at(7)
checks(c, Fit(load, P), True)
# plan: the smaller of the chance of the F test with two levels apart and the rest midway, and of the pair's own
delta, sd = .1 * load.mean(), s


def plan(n, sd):
    d = 3 * n - 3
    overall = stats.ncf.sf(stats.f.isf(.05, 2, d), 2, d, n * delta ** 2 / 2 / sd ** 2)
    pair_ = passes(tukey_crit(.95, 3, d), d, delta / sd * math.sqrt(n / 2))
    return min(overall, pair_), overall, pair_


n = 2
while plan(n, sd)[0] < .8:
    n += 1
c.at(8)
high = sd * math.sqrt(df / stats.chi2.ppf(.2, df))
c.finding("^Make", [str(n), str(3 * n), shown(delta), share(plan(n, sd)[0]), shown(sd)])
c.finding("were it", [shown(high), share(plan(n, high)[0])])
c.value("n", 3 * n).value("sd", sd).value("chance", plan(n, sd)[0], 6).cell("sizes", [n], "chance_overall", plan(n, sd)[1], 6).cell("sizes", [n], "chance_pair", plan(n, sd)[2], 6)
c.cell("sizes", [n], "chance_if_spread_high", plan(n, high)[0], 6)


def paule_mandel(y, se2):
    y, se2 = np.array(y), np.array(se2)
    q = lambda t2: ((y - (y / (se2 + t2)).sum() / (1 / (se2 + t2)).sum()) ** 2 / (se2 + t2)).sum() - (len(y) - 1)
    t2 = 0.0 if q(0) <= 0 else optimize.brentq(q, 0, 1e7, xtol=1e-12)
    w = 1 / (se2 + t2)
    mean = (w * y).sum() / w.sum()
    k = len(y)
    s2 = (w * (y - mean) ** 2).sum() / (k - 1) / w.sum()
    return mean, t2, q(0) + k - 1, w


def together(y, se2):
    mean, t2, q, w = paule_mandel(y, se2)
    k = len(y)
    return dict(mean=mean, between=math.sqrt(t2), q=q, p=stats.chi2.sf(q, k - 1), w=w / w.sum(), raw=w)


c.at(9)
# the rails differ from series to series: each is brought to the share of thick ones in all,
# by the line through its own two means
y, se2, own_df = [], [], []
for level in LEVELS:
    at = np.array(pins) == level
    X = np.column_stack([np.ones(at.sum()), (rail[at] == "thick") * 1.0])
    b = np.linalg.lstsq(X, load[at], rcond=None)[0]
    e = load[at] - X @ b
    to = np.array([1, (rail == "thick").mean()])
    own_df.append(len(e) - 2)
    y.append(to @ b)
    se2.append(e @ e / own_df[-1] * (to @ np.linalg.inv(X.T @ X) @ to))
r = together(y, se2)
c.value("between_sd", r["between"], 7).value("q", r["q"], 8).value("p", r["p"], 7).value("mean", r["mean"], 8)
for level, w_ in zip(LEVELS, r["w"]):
    c.cell("series", [level], "weight", w_, 7)
c.finding("3 series", ["3", shown(r["between"]), chance(r["p"])], "do not tell one story")
half = stats.t.isf(.025, 2) / math.sqrt(r["raw"].sum())
fixed_w = 1 / np.array(se2)
fm = (fixed_w * np.array(y)).sum() / fixed_w.sum()
fixed_df = 1 / ((fixed_w / fixed_w.sum()) ** 2 / np.array(own_df)).sum()  # Satterthwaite (1946)
fh = stats.t.isf(.025, fixed_df) / math.sqrt(fixed_w.sum())
c.value("low", r["mean"] - half, 7).value("fixed_low", fm - fh, 8)
c.finding("^Together", [shown(r["mean"], half), "95"] + span(r["mean"] - half, r["mean"] + half) + span(fm - fh, fm + fh))
r2 = together(y[:2], se2[:2])
half2 = stats.t.isf(.025, 1) / math.sqrt(r2["raw"].sum())
c.finding("what the series before it", [shown(half2), shown(half)], "narrowed" if half < .95 * half2 else "widened" if half > 1.05 * half2 else "left")
# rivals: AICc weights
c.at(13)
a1, a2 = [(-2 * (-N / 2 * (math.log(2 * math.pi * (q.e @ q.e) / N) + 1)) + 2 * k + 2 * k * (k + 1) / (N - k - 1)) for q, k in ((f, 5), (without["density"], 4))]
w1 = 1 / (1 + math.exp(-(a2 - a1) / 2))
c.cell("models", ["fit1"], "weight", w1).cell("models", ["fit2"], "aicc", a2)
c.finding("support", [share(w1), share(1 - w1)], "do not settle" if w1 < 0.9 else "best").out["want"][-1]["strip"] = "fit\\d"
F = ss["density"] / f.s2
c.finding("beyond", [chance(stats.f.sf(F, 1, f.df))], "more than chance").out["want"][-1]["strip"] = "fit\\d"
c.cell("steps", [], "statistic", F).cell("steps", [], "p", stats.f.sf(F, 1, f.df), 7)
c.at(15)
f = Fit(load, {"density": number(density), "gap": g})
checks(c, f, False)
for name, x in (("density", number(density)), ("gap", g)):
    more = Fit(load, {"density": number(density), "gap": g, "square": x * x})
    F = (f.e @ f.e - more.e @ more.e) / more.s2
    c.cell("tests", [f"curvature along {name}"], "statistic", F, 7).cell("tests", [f"curvature along {name}"], "p", stats.f.sf(F, 1, more.df), 7)

# ---- 9 specimens set aside: both sides of each threshold

base_a = np.array([401, 388, 412, 395, 405, 391, 408, 399, 403, 398.0])
base_b = base_a + 120


def aside_csv(a, b, extra):
    rows = [[x, "plain"] for x in a] + [[x, "pinned"] for x in b] + [[repr(float(extra)), "pinned"]]
    return csv(["Specimen", "Load (N)", "Pins"], [[i + 1] + r for i, r in enumerate(rows)])


def t_two(a, b):
    s, d = pooled([a, b])
    est, se = b.mean() - a.mean(), s * math.sqrt(1 / len(a) + 1 / len(b))
    return est, se, d


est, se, d = t_two(base_a, base_b)
half = stats.t.isf(.025, d) * se
edge = base_b.mean() + (len(base_b) + 1) * half  # there the mean moves by half the range
ASIDE = "open s.csv; levels of pins are plain, pinned; set aside specimen 21 because \"knot\"; compare load by pins"
for name, x, told_ in (("a move just under half the range is not told", edge - .01, False), ("a move just over half the range is told", edge + .01, True)):
    e2, s2, d2 = t_two(base_a, np.append(base_b, x))
    low, high = t_range(e2, s2, d2)
    assert low > 0
    c = Case("set aside: " + name, {"s.csv": aside_csv(base_a, base_b, x)}, ASIDE).at(4)
    c.finding("With pins pinned", gap(est, est - half, est + half, t_p(est, se, d)), "differs")
    if told_:
        c.caution("set aside", ["21"] + gap(e2, low, high, t_p(e2, s2, d2)), "differs")
    else:
        c.silent("set aside")
# the answer itself: with it back the range just reaches zero, though the estimate hardly moves
near = base_a + 8.0


def p_with(x):
    return t_p(*t_two(base_a, np.append(near, x)))


assert t_p(*t_two(base_a, near)) < .05
cut = optimize.brentq(lambda x: p_with(x) - .05, near.mean() - 15, near.mean())
for name, x, told_ in (("an answer that stays is not told", cut + .01, False), ("an answer that changes is told", cut - .01, True)):
    e1, s1, d1 = t_two(base_a, near)
    e2, s2, d2 = t_two(base_a, np.append(near, x))
    assert abs(e2 - e1) < .5 * stats.t.isf(.025, d1) * s1
    c = Case("set aside: " + name, {"s.csv": aside_csv(base_a, near, x)}, ASIDE + " worth 1 N").at(4)
    if told_:
        c.caution("set aside", ["21"] + gap(e2, *t_range(e2, s2, d2), t_p(e2, s2, d2)) + ["1.0"], "cannot tell", "far more specimens than a workshop would make")
    else:
        c.silent("set aside")
# a characteristic value: a move of more than half of what lies between its limits from below and above
x0 = np.array([310, 350, 420, 388, 402, 365, 340, 377, 395, 412, 430, 358.0])
lower = lambda x: x.mean() - k_of(len(x), .95, .75) * x.std(ddof=1)
upper = lambda x: x.mean() - k_of(len(x), .95, .25) * x.std(ddof=1)
half = (upper(x0) - lower(x0)) / 2
edge = optimize.brentq(lambda z: lower(x0) - lower(np.append(x0, z)) - half, 150, x0.mean())
for name, z, told_ in (("a limit that moves just under half its range", edge + .05, False), ("a limit that moves just over half its range", edge - .05, True)):
    c = Case("set aside: " + name, {"s.csv": csv(["Specimen", "Load (N)", "Pins"], [[i + 1, repr(float(q)), "plain"] for i, q in enumerate(np.append(x0, z))])},
             "open s.csv; set aside specimen 13 because \"knot\"; characteristic load by pins").at(3)
    c.cell("limits", ["plain"], "limit", lower(x0), 8)
    if told_:
        c.caution("set aside", ["13", "95", shown(lower(np.append(x0, z)))])
    else:
        c.silent("set aside")
# several: all together are tried, and each alone
far = np.append(base_b, [base_b.mean() + 7 * stats.t.isf(.025, d) * se, base_b.mean() + 7 * stats.t.isf(.025, d) * se])
e3, s3, d3 = t_two(base_a, far)
rows = [[x, "plain"] for x in base_a] + [[x, "pinned"] for x in base_b] + [[repr(float(x)), "pinned"] for x in far[-2:]]
c = Case("set aside: together they matter, singly they do not", {"s.csv": csv(["Specimen", "Load (N)", "Pins"], [[i + 1] + r for i, r in enumerate(rows)])},
         ASIDE.replace("specimen 21", "specimen 21, 22")).at(4)
assert abs(e3 - est) > stats.t.isf(.025, d) * se and abs(t_two(base_a, far[:-1])[0] - est) < stats.t.isf(.025, d) * se
c.caution("set aside", ["21", "22"] + gap(e3, *t_range(e3, s3, d3), t_p(e3, s3, d3)), "differs")
c.out["want"].append({"entry": 4, "in": "cautions", "match": "set aside", "times": 1})

# ---- 10 thresholds

y9 = [400, 412, 391, 405, 398, 420, 409, 395, 402.0]
for n, few in ((6, True), (7, False)):
    c = Case(f"{n} specimens and two figures leave {n - 2}", {"s.csv": csv(["Load (N)", "Gap (mm)"], [[y9[i], [1, 2, 4, 3, 6, 5, 8, 7, 9][i]] for i in range(n)])},
             "open s.csv; fit load on gap").at(2)
    if few:
        c.finding("only .* more specimens? than figures fitted", [str(n - 2)])
    else:
        c.silent("figures fitted", where="findings")
base1 = np.array([1, -1, 1, -1, 1, -1, 1, -1, 1, -1, 1, -1.0]) + np.linspace(-.3, .3, 12)
base1 -= base1.mean()
base2 = np.array([1, 1, -1, -1, 1, 1, -1, -1, 1, 1, -1, -1.0])
base2 -= base2.mean()
base2 -= (base2 @ base1) / (base1 @ base1) * base1
base1, base2 = base1 / math.sqrt(base1 @ base1), base2 / math.sqrt(base2 @ base2)
yy = np.array([400, 412, 391, 405, 398, 420, 409, 395, 402, 417, 388, 401.0])


def pair_csv(r, n=12):
    second = r * base1 + math.sqrt(1 - r * r) * base2
    assert abs(np.corrcoef(base1, second)[0, 1] - r) < 1e-12
    return csv(["Load (N)", "Gap (mm)", "Play (mm)"], [[yy[i], repr(float(5 + base1[i])), repr(float(9 + second[i]))] for i in range(12)])


for r, said in ((.8999, False), (.9001, True)):
    c = Case(f"an association of {r}", {"s.csv": pair_csv(r)}, "open s.csv; fit load on gap, play; check of fit1").at(2)
    if said:
        c.finding("changed together", [ratio(r)], "In doubt")
    else:
        c.silent("went together|changed together|confounded", where="findings")
    c.at(3).cell("varied_together", ["gap", "play"], "strength", r)
    c.finding("together|confounded", [ratio(r)], "can hardly" if r >= .9 else "in part")
for r, listed in ((.4999, 0), (.5001, 1)):
    Case(f"an association of {r}", {"s.csv": pair_csv(r)}, "open s.csv; fit load on gap, play; check of fit1").at(3).rows("varied_together", listed)
# with six specimens chance alone gives two numbers the square root of 2/5
six1 = np.array([1, -1, 1, -1, 1, -1.0])
six2 = np.array([1, 1, -2, 1, 1, -2.0])
six1, six2 = six1 / math.sqrt(6), six2 - six2.mean()
six2 -= (six2 @ six1) * six1
six2 /= math.sqrt(six2 @ six2)
for r, listed in ((math.sqrt(.4) - .0002, 0), (math.sqrt(.4) + .0002, 1)):
    second = r * six1 + math.sqrt(1 - r * r) * six2
    Case(f"six specimens and an association of {r:.4f}", {"s.csv": csv(["Load (N)", "Gap (mm)", "Play (mm)"],
         [[y9[i], repr(float(5 + six1[i])), repr(float(9 + second[i]))] for i in range(6)])}, "open s.csv; fit load on gap, play; check of fit1").at(3).rows("varied_together", listed)

# ---- 11 ways of breaking

way = np.array(["glue"] * 6 + ["wood"] * 4 + ["glue"] * 3 + ["wood"] * 12)
lev = np.array(["none"] * 10 + ["pair"] * 15)
u = [repr(round(float(x), 1)) for x in rng.uniform(300, 500, 25)]
MODES = csv(["Joint", "Pins", "Failure", "Load (N)"], [[i + 1, lev[i], way[i], u[i]] for i in range(25)])
c = Case("odds, shares and counts of ways of breaking", {"s.csv": MODES}, "open s.csv; odds failure is glue on pins; modes failure by pins; count failure by pins; "
         "odds failure is glue on pins worth 60; plan failure is glue by pins from 60% to 20%").at(2)
p0, p1 = .6, .2
llk = lambda a, b: 6 * math.log(a) + 4 * math.log(1 - a) + 3 * math.log(b) + 12 * math.log(1 - b)
expit = lambda z: 1 / (1 + math.exp(-z))
best = llk(p0, p1)


def profile(b):
    r_ = optimize.minimize_scalar(lambda a: -llk(expit(a), expit(a + b)), bounds=(-8, 8), method="bounded", options={"xatol": 1e-12})
    return 2 * (best + r_.fun)


bhat = math.log(.25) - math.log(1.5)
q95 = stats.chi2.isf(.05, 1)
low = optimize.brentq(lambda b: profile(b) - q95, bhat - 6, bhat)
high = optimize.brentq(lambda b: profile(b) - q95, bhat, bhat + 6)
p = stats.chi2.sf(profile(0.0), 1)
counted = lambda level: [str(int(np.sum((lev == level) & (way == "glue")))), str(int(np.sum(lev == level)))]
odds = [share(p1), *counted("pair"), share(p0), *counted("none"), ratio(math.exp(bhat)), "95", ratio(math.exp(low)), ratio(math.exp(high)), chance(p)]
c.finding("^With pins pair", odds, "differs")
c.finding("likelihood ratio", ["25", chance(p)])
c.at(5).finding("^With pins pair", odds + ["60"], "differs, by less")
c.at(3)
exact_range = lambda x, n: (stats.beta.ppf(.025, x, n - x + 1), stats.beta.ppf(.975, x + 1, n - x))
a_, b_ = exact_range(6, 10), exact_range(12, 15)
c.finding("commonest", [share(.6), "10", "95"] + span(100 * a_[0], 100 * a_[1]) + [share(.8), "15"] + span(100 * b_[0], 100 * b_[1]))
c.at(4)
_, p = stats.fisher_exact([[6, 4], [3, 12]])
c.value("p_exact", p)
c.finding("failure goes with pins|ailure .* with pins", [chance(p), "6", "10", "12", "15"])
chi = stats.chi2_contingency([[6, 4], [3, 12]], correction=False)
c.value("chi_square", chi[0]).value("p_chi_square", chi[1], 8)


# ---- 12 the strength of one way of breaking

t_none = np.array([362.1, 341.0, 398.4, 377.7, 350.2, 420.3, 333.8, 389.9, 371.5, 405.6])
t_pair = np.array([431.4, 470.8, 452.9, 415.0, 498.1, 463.3, 441.7, 480.2, 425.5, 455.6])
glue_n = np.array([1, 1, 0, 1, 1, 1, 1, 0, 1, 1], bool)
glue_p = np.array([1, 0, 1, 1, 0, 1, 1, 1, 0, 1], bool)
UNTIL = csv(["Joint", "Load (N)", "Pins", "Failure"], [[i + 1, x, "none", "glue" if b else "wood"] for i, (x, b) in enumerate(zip(t_none, glue_n))] +
            [[i + 11, x, "pair", "glue" if b else "wood"] for i, (x, b) in enumerate(zip(t_pair, glue_p))])
c = Case("the strength until glue gives way", {"s.csv": UNTIL}, "open s.csv; mark failure as failure; fit load until failure is glue on pins; fit load until failure is glue on pins lognormal; modes failure by pins under load; "
         "fit load until failure is glue on pins confidence 99.995%").at(3)
Y = np.log(np.concatenate([t_none, t_pair]))
D = np.concatenate([glue_n, glue_p])
X = np.concatenate([np.zeros(10), np.ones(10)])


def ll(kind, mu0, mu1, s):
    z = (Y - np.where(X == 0, mu0, mu1)) / s
    if kind == "weibull":
        f_, S = z - np.exp(z), -np.exp(z)
    else:
        f_, S = stats.norm.logpdf(z), stats.norm.logsf(z)
    return float(np.where(D, f_ - math.log(s) - Y, S).sum())


def maximum(kind, fixed=None, start=None):
    """fixed: theta -> (mu0, mu1, s) of the free parameters."""
    g_ = fixed or (lambda th: (th[0], th[1], math.exp(th[2])))
    start = [5.9, 6.1, -2.3] if start is None else start
    best = None
    for _ in range(3):
        r_ = optimize.minimize(lambda th: -ll(kind, *g_(th)), start, method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-12, "maxiter": 4000, "maxfev": 4000})
        start = r_.x
    return -r_.fun, r_.x


AIC = {}
for entry, kind in ((3, "weibull"), (4, "lognormal")):
    c.at(entry)
    q = math.log(math.log(2)) if kind == "weibull" else 0.0
    top, th = maximum(kind)
    s_ = math.exp(th[2])
    AIC[kind] = -2 * top + 6 + 2 * 3 * 4 / (20 - 4)
    med = [math.exp(th[0] + q * s_), math.exp(th[1] + q * s_)]
    ranges = []
    for lev_ in (0, 1):
        def dev(m, lev_=lev_):
            # the level's ln median is m: its place is m - q s
            g_ = (lambda th: (m - q * math.exp(th[1]), th[0], math.exp(th[1]))) if lev_ == 0 else (lambda th: (th[0], m - q * math.exp(th[1]), math.exp(th[1])))
            return 2 * (top - maximum(kind, g_, [th[1 - lev_], th[2]])[0])
        m = math.log(med[lev_])
        lo = optimize.brentq(lambda x: dev(x) - q95, m - .3, m, xtol=1e-9)
        hi = optimize.brentq(lambda x: dev(x) - q95, m, m + .4, xtol=1e-9)
        ranges.append((math.exp(lo), math.exp(hi)))
    for lev_, name in enumerate(("none", "pair")):
        c.cell("strengths", [name], "median", med[lev_], 5).cell("strengths", [name], "low", ranges[lev_][0], 5).cell("strengths", [name], "high", ranges[lev_][1], 5)
    numbers = []
    for lev_ in (0, 1):
        numbers += [shown(med[lev_], (ranges[lev_][1] - ranges[lev_][0]) / 2)] + (["95"] if lev_ == 0 else []) + span(*ranges[lev_])
    c.finding("^Had nothing else given way", numbers, "This is so if", "in another|others")
    dev = lambda b: 2 * (top - maximum(kind, lambda th: (th[0], th[0] + b, math.exp(th[1])), [th[0], th[2]])[0])
    b = th[1] - th[0]
    lo = optimize.brentq(lambda x: dev(x) - q95, b - .3, b, xtol=1e-9)
    hi = optimize.brentq(lambda x: dev(x) - q95, b, b + .4, xtol=1e-9)
    c.finding("^With pins pair", gap(math.expm1(b), math.expm1(lo), math.expm1(hi), stats.chi2.sf(dev(0.0), 1), fraction=True), "higher", "differs")
    c.cell("terms", ["pins: pair"], "p", stats.chi2.sf(dev(0.0), 1), 5)
    if kind == "weibull":
        # An interval that holds zero: the number goes by its own length, whatever the curvature at
        # the peak says. By normal theory so many times the specimens show a difference of 10 %, and rule it out
        # where none is there, each with a chance of 0.8.
        z_ = stats.norm.isf(2.5e-5)
        far = stats.chi2.isf(5e-5, 1)
        ends_ = [optimize.brentq(lambda x: dev(x) - far, b - 1, b, xtol=1e-9), optimize.brentq(lambda x: dev(x) - far, b, b + 1.5, xtol=1e-9)]
        at_se = math.log(1.1) / ((ends_[1] - ends_[0]) / 2 / z_)
        assert ends_[0] < 0 < ends_[1]
        shows = lambda t: stats.norm.sf(z_ - at_se * math.sqrt(t)) + stats.norm.cdf(-z_ - at_se * math.sqrt(t))
        rules_out = lambda t: 2 * stats.norm.cdf(at_se * math.sqrt(t) - stats.norm.isf(.05)) - 1
        times_ = optimize.brentq(lambda t: min(shows(t), rules_out(t)) - .8, 1e-3, 1e4)
        numbers_ = gap(math.expm1(b), math.expm1(ends_[0]), math.expm1(ends_[1]), stats.chi2.sf(dev(0.0), 1), .99995, fraction=True)
        numbers_[1] = "99.99"  # said as more than that
        c.at(6).finding("^With pins pair", numbers_ + settles(math.ceil(times_ * len(D)), len(D), "10"), "higher", "cannot tell")
        c.at(entry)
    c.value("log_likelihood", top, 8).value("aicc", AIC[kind], 7)
    c.finding("lower bound", [str(int(D.sum())), str(int((~D).sum()))])
apart = abs(AIC["weibull"] - AIC["lognormal"])
for entry, own in ((3, "weibull"), (4, "lognormal")):
    other = {"weibull": "lognormal", "lognormal": "weibull"}[own]
    word = "hardly" if apart < 2 else "suits" if AIC[own] < AIC[other] else "would suit"
    c.at(entry).finding("AICc", [ratio(apart)], word)


def bounds(t, d, conf=.95):
    o = np.sort(t)
    low = o[(len(t) - 1) // 2]
    ends_ = np.sort(t[d])
    need = len(t) // 2 + 1
    high = ends_[need - 1] if len(ends_) >= need else None
    least = 0
    while stats.binom.cdf(least, len(t), .5) <= (1 - conf) / 2:
        least += 1
    rl = o[least - 1]
    kk = len(t) - least + 1
    rh = ends_[kk - 1] if len(ends_) >= kk else None
    return low, high, rl, rh


c.at(3)
for name, t, d in (("none", t_none, glue_n), ("pair", t_pair, glue_p)):
    low, high, rl, rh = bounds(t, d)
    c.cell("bounds", [name], "median_low", low).cell("bounds", [name], "median_high", high)

# ---- boards of one level each: what counts is boards, and with as many specimens on each the
# restricted likelihood gives the one-way table of the boards' means (Cochran & Cox, Experimental
# Designs, on subsamples within experimental units), with boards less levels degrees of freedom.
# A number that is one value a board is the straight line through the boards' means.

own = np.random.default_rng(147)
levels_ = ["none", "single", "pair"]
pins_b = np.repeat(levels_, 4)
dens_b = np.array([601, 633, 655, 688, 612, 640, 661, 679, 598, 627, 650, 690.0])
loads_b = np.array([[round(400 + 15 * levels_.index(p) + b + own.normal(0, 9), 1) for _ in range(3)] for p, b in zip(pins_b, own.normal(0, 22, 12))])
BOARDS = csv(["Load (N)", "Pins", "Board", "Density (kg/m3)"], [[x, p, f"B{i + 1}", int(d)] for i, (p, d) in enumerate(zip(pins_b, dens_b)) for x in loads_b[i]])
c = Case("boards of one level each", {"boards.csv": BOARDS}, "open boards.csv; levels of pins are none, single, pair; "
         "fit load on pins blocked by board worth 60 N; fit load on density blocked by board worth 30 N; "
         "fit load on pins blocked by board worth 60 N for pins is not single; fit load on pins blocked by board worth 2 N; "
         "fit load on pins blocked by board worth 60 N for pins is not single confidence 90%").at(3)
means_b = loads_b.mean(axis=1)
bm = {p: means_b[pins_b == p] for p in levels_}


def board_pairs(names, worth, conf, crit):
    """The clearest pair of boards' means, and the boards per level that would settle all pairs together: when none
    differs each stays inside with a part of the chance that one does not (Bonferroni's inequality)."""
    k = len(names)
    df = 4 * k - k
    s_ = math.sqrt(sum(x.var(ddof=1) * 3 for x in (bm[p] for p in names)) / df)
    se = s_ * math.sqrt(2 / 4)
    best = max(itertools.combinations(names, 2), key=lambda q: abs(bm[q[0]].mean() - bm[q[1]].mean()))
    est = bm[best[1]].mean() - bm[best[0]].mean()
    cr = crit(conf, df)
    assert est > 0 and est < cr * se
    p = tukey_p(est / se, k, df) if k > 2 else t_p(est, se, df)
    n = 2
    pairs = k * (k - 1) // 2
    while not (passes(crit(conf, k * n - k), k * n - k, worth / s_ * math.sqrt(n / 2)) >= 0.8 and
               inside(worth / s_ * math.sqrt(n / 2), crit(0.90, k * n - k), k * n - k) >= 1 - 0.2 / pairs):
        n += 1
        if n > 80:
            break
    numbers = settles(n, 4, shown(worth, worth))
    if pairs > 1:  # one answer for all pairs names how many they are
        numbers.insert(len(numbers) - 1, str(pairs))
    return best, gap(est, est - cr * se, est + cr * se, p, conf) + numbers


assert all(np.ptp(loads_b[i]) > 0 for i in range(12)) and np.mean([x.var(ddof=1) for x in bm.values()]) > loads_b.var(axis=1, ddof=1).mean() / 3
of3, of2 = (lambda conf, d: tukey_crit(conf, 3, d)), crit2
for at_, names, worth_, conf_, crit_ in ((3, levels_, 60, .95, of3), (5, ["none", "pair"], 60, .95, of2), (6, levels_, 2, .95, of3), (7, ["none", "pair"], 60, .90, of2)):
    best, numbers = board_pairs(names, worth_, conf_, crit_)
    c.at(at_).finding(f"With pins {best[1]}, load .* than with {best[0]}", numbers, "higher", "cannot tell",
                      "boards per level, of which" if worth_ == 60 else "far more boards than a workshop would make")
f = Fit(means_b, {"density": number(dens_b)})
est, se = f.combine(density=float(np.ptp(dens_b)))
told(c.at(4), "density seen", est, se, f.df, 30, 12, "boards in all, of which")
c.out["want"][-1]["numbers"] = [f"{dens_b.min():g}", f"{dens_b.max():g}"] + c.out["want"][-1]["numbers"]

here = os.path.dirname(os.path.abspath(__file__))


def plain(x):
    if isinstance(x, dict):
        return {k: plain(v) for k, v in x.items()}
    if isinstance(x, (list, tuple)):
        return [plain(v) for v in x]
    if isinstance(x, (np.floating, np.integer)):
        return x.item()
    return x


with open(os.path.join(here, "answers.json"), "w", encoding="utf-8") as out:
    json.dump({"versions": {"python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__}, "cases": plain(cases)}, out, indent=1, ensure_ascii=False)
    out.write("\n")
