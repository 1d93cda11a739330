"""Reference answers for comparisons of levels on random uneven series.

Run with Debian's python3-scipy, python3-statsmodels and numpy; writes comparisons.json
beside itself, the versions in it. Routes:

welch, games_howell   from the formulas of Welch (1951) and Games & Howell (1976) in numpy,
                      with scipy.stats.studentized_range for the tail and, by brentq on
                      that tail, the critical value
sidak                 scipy.stats.ttest_ind(equal_var=False), joined by 1 - (1 - p)^m
kruskal               scipy.stats.kruskal
rank p                every arrangement of the shared ranks by itertools where they are at
                      most 200 000, else the choices counted by their sum in whole numbers of
                      any length; held to scipy.stats.mannwhitneyu(method="exact") where no ranks
                      are shared; joined by statsmodels multipletests(method="holm")
shift                 numpy.median of all differences
shift range           the order statistics of all differences that the distribution of the
                      rank sum of untied values allows, that distribution by the recursion of
                      Mann & Whitney (1947) in whole numbers
reshuffle p           every way to deal out the labels (within blocks where there are such)
                      by itertools, each fitted by numpy.linalg.lstsq on dummy columns
levene                scipy.stats.levene(center="median")
figure                scipy.stats.ttest_1samp; several levels: the integral of
                      (2 Phi(c s) - 1)^k over s by scipy.integrate.quad
"""
import fractions, functools, itertools, json, math, os, sys
import numpy as np
import scipy, statsmodels
from scipy import integrate, optimize, stats
from statsmodels.stats.multitest import multipletests

rng = np.random.default_rng(20240611)


def together(p, m):
    """Sidak's joint probability of m tests."""
    return 1.0 if p >= 1 else -math.expm1(m * math.log1p(-p))


def pooled(values):
    df = sum(len(v) for v in values) - len(values)
    return math.sqrt(sum(((v - v.mean()) ** 2).sum() for v in values) / df), df


def uneven(values):
    k = len(values)
    n = np.array([len(v) for v in values])
    mean = np.array([v.mean() for v in values])
    var = np.array([v.var(ddof=1) for v in values])
    w = n / var
    centre = (w * mean).sum() / w.sum()
    rest = ((1 - w / w.sum()) ** 2 / (n - 1)).sum()
    f = (w * (mean - centre) ** 2).sum() / (k - 1) / (1 + 2 * (k - 2) / (k * k - 1) * rest)
    df2 = (k * k - 1) / (3 * rest)
    out = {"f": f, "df2": df2, "p": stats.f.sf(f, k - 1, df2), "pairs": [], "sidak": []}
    for i, j in itertools.combinations(range(k), 2):
        a, b = var[i] / n[i], var[j] / n[j]
        se = math.sqrt(a + b)
        df = (a + b) ** 2 / (a * a / (n[i] - 1) + b * b / (n[j] - 1))
        t = (mean[j] - mean[i]) / se
        tail = lambda q: stats.studentized_range.sf(q, k, df)
        if k == 2:
            q = math.sqrt(2) * stats.t.ppf(0.975, df)
        elif j == i + 1 and i == 0:  # it takes seconds: the first pair alone
            top = math.sqrt(2) * stats.t.ppf(1 - 0.025 / (k * (k - 1) / 2), df)
            q = optimize.brentq(lambda q: tail(q) - 0.05, 2, top, xtol=1e-10, rtol=1e-11)
        else:
            q = math.nan
        p = tail(math.sqrt(2) * abs(t)) if k > 2 else 2 * stats.t.sf(abs(t), df)
        half = q / math.sqrt(2) * se
        out["pairs"].append([mean[j] - mean[i], se, df, p, mean[j] - mean[i] - half, mean[j] - mean[i] + half])
    for j in range(1, k):
        r = stats.ttest_ind(values[j], values[0], equal_var=False)
        out["sidak"].append(together(r.pvalue, k - 1))
    return out


@functools.lru_cache(None)
def ways(m, n):
    """In how many arrangements of m and n untied values U is 0, 1, ... (Mann & Whitney 1947)."""
    if m == 0 or n == 0:
        return [1]
    out = [0] * (m * n + 1)
    for u, w in enumerate(ways(m - 1, n)):
        out[u + n] += w
    for u, w in enumerate(ways(m, n - 1)):
        out[u] += w
    return out


def rank_tail(r, n, away):
    """The chance that the sum of n of these ranks lies as far from its mean as away, in whole numbers."""
    twice = [round(2 * x) for x in r]
    counts = [{} for _ in range(n + 1)]
    counts[0][0] = 1
    for t in twice:
        for j in range(n, 0, -1):
            for total, w in counts[j - 1].items():
                counts[j][total + t] = counts[j].get(total + t, 0) + w
    beyond = sum(w for total, w in counts[n].items()
                 if abs(fractions.Fraction(total) - fractions.Fraction(n * sum(twice), len(twice))) >= round(2 * away))
    return float(fractions.Fraction(beyond, math.comb(len(twice), n)))


def ranked(values):
    k = len(values)
    h = stats.kruskal(*values)
    rows, raw = [], []
    m = k * (k - 1) // 2
    for i, j in itertools.combinations(range(k), 2):
        a, b = values[i], values[j]
        r = stats.rankdata(np.concatenate([a, b]))
        expected = len(b) * (len(r) + 1) / 2
        w = r[len(a):].sum()
        differences = np.sort((b[None, :] - a[:, None]).ravel())
        mn = len(a) * len(b)
        p = rank_tail(r, len(b), abs(w - expected))
        if math.comb(len(r), len(b)) <= 200000:
            sums = np.array([sum(r[list(q)]) for q in itertools.combinations(range(len(r)), len(b))])
            assert abs(p - (np.abs(sums - expected) >= abs(w - expected)).mean()) < 1e-12
        if len(set(r)) == len(r):
            assert abs(p - stats.mannwhitneyu(a, b, alternative="two-sided", method="exact").pvalue) < 1e-12
        lower, limit = 0, fractions.Fraction(25, 1000 * m) * math.comb(len(r), len(b))
        c = 0
        for one in ways(len(a), len(b)):
            lower += one
            if lower > limit:
                break
            c += 1
        raw.append(p)
        low, high = (differences[c - 1], differences[mn - c]) if c >= 1 else (None, None)
        rows.append([float(w), float(np.median(differences)), low, high])
    adjusted = multipletests(raw, method="holm")[1]
    return {"h": h.statistic, "p": h.pvalue, "rows": [row + [p] for row, p in zip(rows, adjusted)]}


def dealt(labels, blocks):
    """Every way to give out the labels within blocks."""
    groups = [np.flatnonzero(blocks == b) for b in np.unique(blocks)]
    ways = [sorted(set(itertools.permutations(labels[g]))) for g in groups]
    for choice in itertools.product(*ways):
        new = labels.copy()
        for g, c in zip(groups, choice):
            new[g] = c
        yield new


def tests(y, labels, blocks, k):
    base = [(blocks == b).astype(float) for b in np.unique(blocks)]
    x = np.column_stack(base + [(labels == l).astype(float) for l in range(1, k)])
    beta, _, rank, _ = np.linalg.lstsq(x, y, rcond=None)
    left = ((y - x @ beta) ** 2).sum()
    df = len(y) - rank
    xb = np.column_stack(base)
    whole = ((y - xb @ np.linalg.lstsq(xb, y, rcond=None)[0]) ** 2).sum()
    cov = np.linalg.inv(x.T @ x) * left / df
    e, c = np.append(0, beta[len(base):]), np.zeros((k, k))
    c[1:, 1:] = cov[len(base):, len(base):]
    t = [(e[j] - e[i]) / math.sqrt(c[i, i] + c[j, j] - 2 * c[i, j]) for i, j in itertools.combinations(range(k), 2)]
    d = [e[j] - e[i] for i, j in itertools.combinations(range(k), 2)]
    return np.array(t), d, (whole - left) / (k - 1) / (left / df)


def reshuffled(y, labels, blocks, k):
    t, d, f = tests(y, labels, blocks, k)
    largest, fs = [], []
    for new in dealt(labels, blocks):
        s, _, g = tests(y, new, blocks, k)
        largest.append(np.abs(s).max())
        fs.append(g)
    largest, fs = np.array(largest), np.array(fs)
    return {"arrangements": len(largest), "differences": d, "t": list(t),
            "p": [float((largest >= abs(x) * (1 - 1e-9) - 1e-10).mean()) for x in t],
            "f": f, "f_p": float((fs >= f * (1 - 1e-9)).mean())}


def modulus(t, k, df):
    """Chance that the largest of k unrelated |t| with one sd passes t."""
    density = lambda s: math.exp(math.log(2) + df / 2 * math.log(df / 2) - math.lgamma(df / 2) + (df - 1) * math.log(s) - df * s * s / 2)
    inside = lambda s: -math.expm1(k * math.log1p(-2 * stats.norm.sf(t * s)))
    return integrate.quad(lambda s: density(s) * inside(s), 1e-9, 1, epsabs=1e-13, epsrel=1e-12, limit=400)[0] + \
        integrate.quad(lambda s: density(s) * inside(s), 1, 1 + 20 / math.sqrt(df), epsabs=1e-13, epsrel=1e-12, limit=400)[0]


def figure(values, c):
    s, df = pooled(values)
    t = [(v.mean() - c) / (s / math.sqrt(len(v))) for v in values]
    p = [modulus(abs(x), len(values), df) for x in t] if len(values) > 1 else [stats.ttest_1samp(values[0], c).pvalue]
    own = [together(stats.ttest_1samp(v, c).pvalue, len(values)) for v in values]
    f = float(np.mean(np.square(t)))
    return {"figure": c, "t": t, "p": p, "own_p": own, "f": f, "f_p": stats.f.sf(f, len(values), df)}


def clean(x):
    """Plain numbers, null where there is none."""
    if isinstance(x, dict):
        return {k: clean(v) for k, v in x.items()}
    if isinstance(x, (list, tuple)):
        return [clean(v) for v in x]
    if isinstance(x, (float, np.floating)):
        return None if math.isnan(x) else float(x)
    return x


cases = []
for case in range(120):
    k = 2 + case % 4
    most = 30 if case % 10 == 9 else 7
    sizes = rng.integers(2, most, size=k)
    coarse = case % 3 == 0
    values = []
    for l in range(k):
        v = rng.normal(100 + 6 * l * rng.random(), 4 + 8 * rng.random(), size=sizes[l])
        values.append(np.round(v / 4) * 4 if coarse else np.round(v, 6))
    if any(v.std() == 0 for v in values):
        values = [v + np.arange(len(v)) for v in values]
    one = {"values": [list(v) for v in values], "uneven": uneven(values), "ranked": ranked(values),
           "levene": list(stats.levene(*values, center="median")) if min(sizes) > 2 else None,
           "figure": figure(values, 97.5)}
    cases.append(one)
    print(case, end=" ", flush=True, file=sys.stderr)

shuffles = []
for case in range(40):
    k = 2 + case % 2
    blocked = case % 4 >= 2
    n = 8 if k == 2 else 6
    y = np.round(rng.normal(100, 10, size=n if not blocked else 9), 2)
    if case % 5 == 0:
        y = np.round(y / 8) * 8
    if blocked:
        blocks = np.repeat([0, 1, 2], 3)
        labels = np.concatenate([rng.permutation([0, 1, (k - 1 if b else 0)]) for b in range(3)])
    else:
        blocks, labels = np.zeros(n, dtype=int), np.sort(np.append(np.arange(k), rng.integers(0, k, size=n - k)))
    if any(np.ptp(y[labels == l]) > 0 for l in range(k)):
        shuffles.append({"y": list(y), "labels": labels.tolist(), "blocks": blocks.tolist(), "levels": k,
                         "answer": reshuffled(y, labels, blocks, k)})

out = {"versions": {"python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__,
                    "statsmodels": statsmodels.__version__}, "cases": cases, "shuffles": shuffles}
with open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "comparisons.json"), "w") as f:
    json.dump(clean(out), f)
