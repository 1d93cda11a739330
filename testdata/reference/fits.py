#!/usr/bin/env python3
"""Random uneven series with the answers of fits that the program is held to.

Run: /usr/bin/python3 fits.py > fits.json        (about a minute)

Every case is a CSV file, the commands typed, and what they must give: entry, path in the
entry, value, relative tolerance, and the size below which the tolerance is taken of that
size instead (a standard error for an effect near zero). Blank cells are missing.

Routes. Columns are spelled out here: levels against the first one met, numbers from their
(weighted) mean over the specimens used.
weighted   WLS of statsmodels.
uneven     HC2 of statsmodels' WLS. statsmodels has no degrees of freedom for it: those of a
           combination are from Bell and McCaffrey's definition, trace(G'G)^2 over the sum of
           squares of G'G, with n by n matrices, the spread taken as equal or, where the terms give
           each kind of specimens its own mean, as found in each kind (Welch 1947; the tests then
           after Johansen 1980, Biometrika 67); else the test of all terms, and of each source, is
           the approximate Hotelling T^2 of Pustejovsky and Tipton (2018), whose eta comes from
           the variance of every entry of the standardised covariance matrix.
resistant  RLM of statsmodels with TukeyBiweight(4.685), scale updated, covariance H1, on
           rows times the root of the weight, started from least absolute deviations by
           scipy's linear programming. RLM takes p from the normal distribution; here it is
           Student's with n - p degrees of freedom, as the program defines it.
blocked    restricted likelihood from its definition, with n by n matrices: starts on a
           grid, scipy's bounded search, then Newton steps on the analytic slope until it
           is below 1e-11. statsmodels' MixedLM is run beside on the cases it can fit, and how far its
           variance ratio comes from the answer here is written into the file: as a rule 1e-5,
           at worst more than the ratio itself, so it is no reference at 1e-6. Degrees of freedom are Satterthwaite's
           from his definition: derivatives of the variance and of the slope by central
           differences of fourth order. The log likelihood is that of orthonormal error contrasts
           (Harville 1974); MixedLM's lacks half the log determinant of X'X.
           F of a source: Wald's, denominator after Fai and Cornelius 1996, the contrasts
           made orthonormal in the covariance of weighted least squares.
"""
import itertools
import json
import sys
import warnings

import numpy as np
import scipy
import scipy.optimize as so
import scipy.stats as st
import statsmodels
import statsmodels.api as sm

warnings.simplefilter("ignore")
LEVELS = {"a": ["a1", "a2", "a3"], "b": ["b1", "b2"]}
SHAPES = [["a"], ["x"], ["a", "x"], ["a", "b"], ["a", "b", "a:b"], ["x", "z"], ["a", "x", "a:x"], ["a", "b", "x"],
          ["x", "x^2"], ["a", "ln(x)", "z"], ["b", "x", "z", "x:z"]]


def typed(terms):
    out = []
    for t in terms:
        if ":" in t:
            u, v = t.split(":")
            out = [o for o in out if o not in (u, v)] + [f"together({u}, {v})"]
        elif t == "x^2":
            out = [o for o in out if o != "x"] + ["x curved"]
        else:
            out.append(t)
    return ", ".join(out)


def spelled_order(terms):
    """The order in which the program lists the terms of typed(terms)."""
    out = []
    for word in typed(terms).split(", "):
        for t in terms:
            if t not in out and (t == word or word == "x curved" and t in ("x", "x^2")):
                out.append(t)
    for t in terms:  # together(u, v) is u, v, u:v in its own place
        if ":" in t:
            u, v = t.split(":")
            out = [o for o in out if o not in (u, v, t)] + [u, v, t]
    return out


def piece(d, name, w, coding):
    """Columns of one factor of a term, with the words of their rows."""
    if name in LEVELS:
        here = [l for l in LEVELS[name] if l in set(d[name])]
        base = (d[name] == here[0]).astype(float)
        cols = [(d[name] == l).astype(float) - (base if coding == "sum" else 0) for l in here[1:]]
        return cols, [f"{name}: {l}" for l in here[1:]]
    mean = {c: np.average(d[c], weights=w) for c in "xz"}
    if name == "x^2":
        return [(d["x"] - mean["x"]) ** 2], ["x²"]
    if name == "ln(x)":
        return [np.log(d["x"]) - np.log(mean["x"])], ["ln(x)"]
    return [d[name] - mean[name]], [name]


def design(d, terms, w, coding="base"):
    n = len(d["y"])
    groups, words = [np.ones((n, 1))], ["baseline"]
    for t in terms:
        parts = [piece(d, v, w, coding) for v in t.split(":")]
        cols, names = parts[0]
        if len(parts) == 2:
            cols = [u * v for u in parts[0][0] for v in parts[1][0]]
            names = [f"{u} × {v}" for u in parts[0][1] for v in parts[1][1]]
        groups.append(np.column_stack(cols))
        words += names
    return groups, words


def contains(u, v):
    return u != v and (set(v.split(":")) < set(u.split(":")) or (u, v) == ("x^2", "x"))


def source_name(t):
    return t.replace(":", " × ").replace("x^2", "x²")


def over(terms):
    """What a is combined with, to be averaged over; without it a would be told within each of its levels."""
    return "".join(" averaged over " + t[2:] for t in terms if t.startswith("a:"))


def directions(groups, terms, metric_root, adjustment, summed=None):
    """Rows L, on the coefficients of groups, whose zero each source tests: what the source's
    columns add to those it is adjusted for, in the metric whose root multiplies the rows."""
    X = np.hstack(groups)
    out = []
    for i, t in enumerate(terms):
        use = groups if adjustment == "marginal" else summed
        if adjustment == "marginal":
            before = [use[0]] + [g for g, u in zip(use[1:], terms) if u != t and not contains(u, t)]
        else:
            before = use[:i + 1] + use[i + 2:]
        B, O = metric_root @ np.hstack(before), metric_root @ use[i + 1]
        Q, _ = np.linalg.qr(B)
        rest = O - Q @ (Q.T @ O)
        rest -= Q @ (Q.T @ rest)
        U, _ = np.linalg.qr(rest)
        out.append(U.T @ metric_root @ X)
    return out


# ---- series -------------------------------------------------------------------------------

def series(rng, blocks, ties, heavy):
    cells = [(i, j) for i in range(3) for j in range(2)]
    rows = [c for c in cells for _ in range(3)] + [cells[i] for i in rng.integers(0, 6, rng.integers(6, 26))]
    rng.shuffle(rows)
    n = len(rows)
    d = {"a": np.array([LEVELS["a"][r[0]] for r in rows]), "b": np.array([LEVELS["b"][r[1]] for r in rows]),
         "x": np.round(rng.normal(600, 50, n), 1), "z": np.round(rng.normal(12, 2, n), 2),
         "w": np.round(rng.uniform(0.4, 4, n), 2)}
    boards = int(rng.integers(5, 11))
    d["board"] = np.array([f"p{k + 1}" for k in np.where(np.arange(n) < 2 * boards, np.arange(n) % boards, rng.integers(0, boards, n))])
    days = int(rng.integers(3, 5))
    d["day"] = np.array([f"d{k + 1}" for k in np.where(np.arange(n) < 2 * days, np.arange(n) // 2 % days, rng.integers(0, days, n))])
    y = 4000.0 + 2.5 * (d["x"] - 600) + 30 * (d["z"] - 12)
    y += 250 * (d["a"] == "a2") + 400 * (d["a"] == "a3") - 150 * (d["b"] == "b2") + 200 * (d["a"] == "a3") * (d["b"] == "b2")
    sd = 150 * (1 + (d["a"] == "a2")) if heavy == "uneven" else 150
    y += sd * (rng.standard_t(2.5, n) if heavy == "tails" else rng.normal(size=n))
    if blocks:
        for name, s in (("board", blocks[0]), ("day", blocks[1])):
            shift = {l: s * rng.normal() for l in sorted(set(d[name]))}
            y += np.array([shift[l] for l in d[name]])
    d["y"] = np.round(y, -1 if ties else 2)
    return d


def missing(rng, d, columns):
    gone = {}
    for c in columns:
        gone[c] = rng.random(len(d["y"])) < 0.04
    return gone


def text(d, gone):
    names = ["a", "b", "x", "z", "w", "board", "day", "y"]
    lines = [",".join(names)]
    for i in range(len(d["y"])):
        lines.append(",".join("" if c in gone and gone[c][i] else (str(d[c][i]) if d[c].dtype.kind == "U" else repr(float(d[c][i]))) for c in names))
    return "\n".join(lines) + "\n"


def used(d, gone, needed):
    keep = np.ones(len(d["y"]), bool)
    for c in needed:
        if c in gone:
            keep &= ~gone[c]
    return {c: v[keep] for c, v in d.items()}


def columns_of(terms):
    out = ["y"]
    for t in terms:
        for v in t.replace("ln(x)", "x").replace("x^2", "x").split(":"):
            if v not in out:
                out.append(v)
    return out


class Holds(list):
    def add(self, entry, path, want, tol, floor=0.0):
        self.append([entry, path, None if want is None or not np.isfinite(want) else float(want), tol, float(floor)])


def rows_of(h, entry, words, b, se, df, tol, tol_df):
    for j, word in enumerate(words):
        path = f"tables/terms/{word}/"
        t = b[j] / se[j]
        h.add(entry, path + "effect", b[j], tol, se[j])
        h.add(entry, path + "standard_error", se[j], tol)
        h.add(entry, path + "df", df[j], tol_df)
        h.add(entry, path + "t", t, tol, 1)
        h.add(entry, path + "p", 2 * st.t.sf(abs(t), df[j]), max(tol, tol_df), 0.01)
        half = st.t.ppf(0.975, df[j]) * se[j]
        h.add(entry, path + "low", b[j] - half, max(tol, tol_df), se[j])
        h.add(entry, path + "high", b[j] + half, max(tol, tol_df), se[j])


# ---- weighted and uneven spread -------------------------------------------------------------

def weighted(rng, i):
    terms = spelled_order(SHAPES[i % len(SHAPES)])
    d = series(rng, None, i % 4 == 0, "")
    if i % 3 == 0:
        d["w"][rng.integers(0, len(d["w"]), 2)] = 0
    gone = missing(rng, d, ["x", "a", "w", "y"])
    u = used(d, gone, columns_of(terms) + ["w"])
    zero = int((u["w"] == 0).sum())
    u = {c: v[u["w"] > 0] for c, v in u.items()}
    groups, words = design(u, terms, u["w"])
    X = np.hstack(groups)
    f = sm.WLS(u["y"], X, weights=u["w"]).fit(method="qr")
    n, p = X.shape
    h = Holds()
    h.add(2, "values/n", n, 1e-15)
    h.add(2, "specimens/used", n, 1e-15)
    h.add(2, "values/residual_sd", np.sqrt(f.scale), 1e-8)
    h.add(2, "values/explained", f.rsquared, 1e-8, 1)
    h.add(2, "values/explained_adjusted", f.rsquared_adj, 1e-8, 1)
    h.add(2, "values/f", f.fvalue, 1e-8)
    h.add(2, "values/p", f.f_pvalue, 1e-8, 1e-3)
    h.add(2, "values/log_likelihood", f.llf, 1e-8)
    k = p + 1
    h.add(2, "values/aicc", -2 * f.llf + 2 * k + 2 * k * (k + 1) / (n - k - 1), 1e-8)
    rows_of(h, 2, words, f.params, f.bse, [n - p] * p, 1e-8, 1e-8)
    commands = ["open s.csv", f"fit y on {typed(terms)} weighted by w", "anova of fit1"]
    ssr = lambda gs: sm.WLS(u["y"], np.hstack(gs), weights=u["w"]).fit(method="qr").ssr
    for t, g in zip(terms, groups[1:]):
        others = [groups[0]] + [o for o, v in zip(groups[1:], terms) if v != t and not contains(v, t)]
        ss = ssr(others) - ssr(others + [g])
        h.add(3, f"tables/sources/{source_name(t)}/sum_of_squares", ss, 1e-8, f.ssr)
    return {"kind": "weighted", "zero": zero, "csv": text(d, gone), "commands": commands, "holds": h}


def means_rows(u, terms, name, words, w):
    """Weights on the coefficients of each level's mean: numbers at their mean, the other
    category averaged level by level."""
    out = {}
    for l in LEVELS[name]:
        row = []
        for word in words:
            v = 1.0
            if word != "baseline":
                for part in word.split(" × "):
                    if part.startswith(name + ": "):
                        v *= part == f"{name}: {l}"
                    elif ": " in part:
                        v /= len(LEVELS[part.split(": ")[0]])
                    else:
                        v = 0.0
            row.append(v)
        out[l] = np.array(row)
    return out


def adjusted(h, entry, u, terms, words, b, variance, df_of, w, tol, tol_df):
    for l, row in means_rows(u, terms, "a", words, w).items():
        df = df_of(row)
        se = np.sqrt(variance(row))
        half = st.t.ppf(0.975, df) * se
        for key, v in (("mean", row @ b), ("standard_error", se), ("low", row @ b - half), ("high", row @ b + half)):
            h.add(entry, f"tables/means/{l}/{key}", v, tol if key in ("mean", "standard_error") else max(tol, tol_df))
        h.add(entry, f"tables/means/{l}/df", df, tol_df)


def pairs(h, entry, u, terms, words, b, variance, df_of, w, tol, tol_df):
    rows = means_rows(u, terms, "a", words, w)
    for l, m in itertools.combinations(LEVELS["a"], 2):
        row = rows[m] - rows[l]
        se, df = np.sqrt(variance(row)), df_of(row)
        path = f"tables/differences/{l}, {m}/"
        h.add(entry, path + "difference", row @ b, tol, se)
        h.add(entry, path + "standard_error", se, tol)
        h.add(entry, path + "df", df, tol_df)
        h.add(entry, path + "p", st.studentized_range.sf(np.sqrt(2) * abs(row @ b) / se, 3, df), 1e-6, 1e-2)


class Freedom:
    """Degrees of freedom under HC2 with a working model of the spread; X and y are weighted. Spread is taken as equal,
    but as it was found in each kind of specimens where there are as many kinds as columns of X."""

    def __init__(self, X, y):
        Q, R = np.linalg.qr(X)
        self.A = np.linalg.solve(R, Q.T)
        H = Q @ Q.T
        self.M, self.left = np.eye(len(X)) - H, 1 - np.diag(H)
        kinds, kind = np.unique(X, axis=0, return_inverse=True)
        self.spread, self.kinds = np.ones(len(X)), None
        if len(kinds) == X.shape[1]:
            self.kinds = [kind == k for k in range(len(kinds))]
            self.spread = np.array([np.var(y[k], ddof=1) for k in self.kinds])[kind]

    def df(self, l):
        g = self.M * (l @ self.A / np.sqrt(self.left))
        gg = g.T @ (self.spread[:, None] * g)
        return np.trace(gg) ** 2 / (gg ** 2).sum()

    def hotelling(self, L, b, C):
        q = len(L)
        W = L @ self.A
        if self.kinds:
            return self.johansen(L, b, C, W)
        root = np.linalg.inv(np.linalg.cholesky(W @ W.T))
        D = root @ W
        total = 0.0
        for s in range(q):
            for t in range(q):
                B = self.M * (D[s] * D[t] / self.left)  # d_st is y'M diag(…) M y
                total += 2 * np.trace(B @ B)
        eta = q * (q + 1) / total
        v = L @ b
        Q = v @ np.linalg.solve(L @ C @ L.T, v)
        nu = eta - q + 1
        if nu <= 0:
            return q, np.nan, np.nan, np.nan
        F = nu / (eta * q) * Q
        return q, F, nu, st.f.sf(F, q, nu)


    def johansen(self, L, b, C, W):
        q, v = len(L), L @ b
        whole = np.linalg.inv(L @ C @ L.T)
        a = 0.0
        for k in self.kinds:
            part = (W[:, k] * self.spread[k]) @ W[:, k].T @ whole
            a += (np.trace(part @ part) + np.trace(part) ** 2) / (2 * (k.sum() - 1))
        F, nu = v @ whole @ v / (q + 2 * a - 6 * a / (q + 2)), q * (q + 2) / (3 * a)
        return q, F, nu, st.f.sf(F, q, nu)


def uneven(rng, i):
    terms = spelled_order(SHAPES[i % len(SHAPES)])
    d = series(rng, None, i % 4 == 0, "uneven")
    gone = missing(rng, d, ["x", "b", "y"])
    by = i % 3 == 2
    u = used(d, gone, columns_of(terms) + (["w"] if by else []))
    w = u["w"] if by else np.ones(len(u["y"]))
    groups, words = design(u, terms, w)
    summed, _ = design(u, terms, w, "sum")
    X = np.hstack(groups)
    n, p = X.shape
    s = np.linalg.norm(X, axis=0)
    f = sm.WLS(u["y"], X / s, weights=w).fit(cov_type="HC2", use_t=True)
    C, b = f.cov_params() / np.outer(s, s), f.params / s
    h = Holds()
    plain = sm.WLS(u["y"], X, weights=w).fit(method="qr")
    h.add(2, "values/residual_sd", np.sqrt(plain.scale), 1e-8)
    h.add(2, "values/log_likelihood", plain.llf, 1e-8)
    free = Freedom(X * np.sqrt(w)[:, None] / s, u["y"] * np.sqrt(w))
    q, F, nu, P = free.hotelling(np.eye(p)[1:] / s, b * s, C * np.outer(s, s))
    for key, v in (("f", F), ("f_df1", q), ("f_df2", nu)):
        h.add(2, "values/" + key, v, 1e-8)
    h.add(2, "values/p", P, 1e-8, 1e-3)
    rows_of(h, 2, words, b, np.sqrt(np.diag(C)), [free.df(e) for e in np.eye(p)], 1e-8, 1e-8)
    commands = ["open s.csv", f"fit y on {typed(terms)} uneven spread" + (" weighted by w" if by else ""), "anova of fit1", "anova of fit1 each last"]
    root = np.diag(np.sqrt(w))
    for e, how in ((3, "marginal"), (4, "each last")):
        for t, L in zip(terms, directions(groups, terms, root, how, summed)):
            q, F, nu, P = free.hotelling(L / s, b * s, C * np.outer(s, s))
            path = f"tables/sources/{source_name(t)}/"
            h.add(e, path + "df", q, 1e-12)
            h.add(e, path + "f", F, 1e-8, 0.1)
            h.add(e, path + "p", P, 1e-8, 1e-2)
            h.add(e, path + "df_against", nu, 1e-8)
            h.add(e, path + "sum_of_squares", None, 0)
    if "a" in terms:
        commands += ["adjusted a of fit1" + over(terms), "compare a of fit1" + over(terms)]
        args = (u, terms, words, b, lambda r: r @ C @ r, lambda r: free.df(r / s), w, 1e-8, 1e-8)
        adjusted(h, 5, *args)
        pairs(h, 6, *args)
    return {"kind": "uneven", "csv": text(d, gone), "commands": commands, "holds": h}


# ---- resistant ------------------------------------------------------------------------------

def least_absolute(X, y):
    n, p = X.shape
    c = np.concatenate([np.zeros(2 * p), np.ones(2 * n)])
    A = np.hstack([X, -X, np.eye(n), -np.eye(n)])
    r = so.linprog(c, A_eq=A, b_eq=y, bounds=(0, None), method="highs")
    return r.x[:p] - r.x[p:2 * p]


def resistant(rng, i):
    terms = spelled_order(SHAPES[i % len(SHAPES)])
    while True:
        d = series(rng, None, False, "tails")
        gone = missing(rng, d, ["z", "y"])
        by = i % 3 == 1
        u = used(d, gone, columns_of(terms) + (["w"] if by else []))
        w = u["w"] if by else np.ones(len(u["y"]))
        groups, words = design(u, terms, w)
        X = np.hstack(groups)
        n, p = X.shape
        r = np.sqrt(w)
        s = np.linalg.norm(X * r[:, None], axis=0)
        unit = np.std(u["y"])  # so that the coefficients are near one and the tolerance means something
        A, v = X * r[:, None] / s, u["y"] * r / unit
        M = sm.robust.norms.TukeyBiweight(4.685)
        f = sm.RLM(v, A, M=M).fit(start_params=least_absolute(A, v), conv="coefs", tol=1e-11, maxiter=1500)
        if len(f.fit_history["params"]) < 1400:
            break  # else the scale goes round in circles: no fixed point to compare with
    b, se = f.params / s * unit, f.bse / s * unit
    h = Holds()
    h.add(2, "values/n", n, 1e-12)
    h.add(2, "values/residual_sd", f.scale * unit, 1e-6)
    for key in ("f", "explained", "explained_adjusted", "explained_unseen", "log_likelihood", "aicc", "p"):
        h.add(2, "values/" + key, None, 0)
    rows_of(h, 2, words, b, se, [n - p] * p, 1e-6, 1e-8)
    share = M.weights(f.resid / f.scale)
    commands = ["open s.csv", f"fit y on {typed(terms)} resistant" + (" weighted by w" if by else "")]
    return {"kind": "resistant", "csv": text(d, gone), "commands": commands, "holds": h, "played_down": int((share < 0.5).sum())}


# ---- blocked --------------------------------------------------------------------------------

class Blocked:
    def __init__(self, y, X, w, labels):
        self.y, self.X, self.w = y, X, w
        self.n, self.p = X.shape
        self.G = [(l[:, None] == l[None, :]).astype(float) for l in labels]
        self.ratios = self.solve()
        self.kept = [k for k, r in enumerate(self.ratios) if r > 0]
        H = np.diag(1 / w) + sum((self.ratios[k] * self.G[k] for k in self.kept), np.zeros((self.n, self.n)))
        P, _ = self.projector(H)
        self.s2 = y @ P @ y / (self.n - self.p)
        self.phi = np.array([self.s2] + [self.s2 * self.ratios[k] for k in self.kept])
        self.b = np.linalg.solve(self.X.T @ np.linalg.solve(self.V(self.phi), self.X), self.X.T @ np.linalg.solve(self.V(self.phi), y))
        self.A = np.linalg.inv(self.hessian() / 2)

    def projector(self, V):
        Vi = np.linalg.inv(V)
        VX = Vi @ self.X
        return Vi - VX @ np.linalg.solve(self.X.T @ VX, VX.T), Vi

    def profile(self, ratios, slope=True):
        H = np.diag(1 / self.w) + sum(r * G for r, G in zip(ratios, self.G))
        P, Vi = self.projector(H)
        Py = P @ self.y
        q = self.y @ Py
        d = np.linalg.slogdet(H)[1] + np.linalg.slogdet(self.X.T @ Vi @ self.X)[1] + (self.n - self.p) * np.log(q)
        if not slope:
            return d
        g = [np.sum(P * G) - (self.n - self.p) * (Py @ G @ Py) / q for G in self.G]
        return d, np.array(g)

    def solve(self):
        K = len(self.G)
        best, at = np.inf, None
        for start in itertools.product([0.0, 0.05, 0.5, 3.0, 20.0], repeat=K):
            d = self.profile(start, False)
            if d < best:
                best, at = d, np.array(start)
        r = so.minimize(self.profile, at, jac=True, bounds=[(0, 1e6)] * K, method="L-BFGS-B", options={"ftol": 1e-15, "gtol": 1e-9, "maxiter": 500})
        ratios = r.x
        d, g = self.profile(ratios)
        free = [k for k in range(K) if not (ratios[k] < 1e-4 and (self.profile(np.where(np.arange(K) == k, 0, ratios))[1][k] > 0))]
        ratios = np.where(np.isin(np.arange(K), free), ratios, 0.0)
        for _ in range(60):
            g = self.profile(ratios)[1][free]
            if len(free) == 0 or np.max(np.abs(g) * ratios[free]) < 1e-11:
                break
            J = np.zeros((len(free), len(free)))
            for j, k in enumerate(free):
                e = 1e-4 * ratios[k]
                up, dn = ratios.copy(), ratios.copy()
                up[k] += e
                dn[k] -= e
                J[:, j] = (self.profile(up)[1][free] - self.profile(dn)[1][free]) / (2 * e)
            step = np.linalg.solve(J, -g)
            for j, k in enumerate(free):
                ratios[k] = max(ratios[k] + step[j], ratios[k] / 10)
        g = self.profile(ratios)[1]
        assert all(abs(g[k]) * ratios[k] < 1e-9 for k in free) and all(g[k] > -1e-9 for k in range(K) if k not in free), (ratios, g)
        return ratios

    def V(self, phi):
        return phi[0] * np.diag(1 / self.w) + sum((s * self.G[k] for s, k in zip(phi[1:], self.kept)), np.zeros((self.n, self.n)))

    def slope(self, phi):
        P, _ = self.projector(self.V(phi))
        Py = P @ self.y
        parts = [np.diag(1 / self.w)] + [self.G[k] for k in self.kept]
        return np.array([np.sum(P * G) - Py @ G @ Py for G in parts])

    def differences(self, f):
        """Derivatives of f in phi by central differences of fourth order."""
        cols = []
        for k in range(len(self.phi)):
            e = 2e-3 * self.phi[k]
            at = lambda m: f(self.phi + m * e * (np.arange(len(self.phi)) == k))
            cols.append((8 * (at(1) - at(-1)) - (at(2) - at(-2))) / (12 * e))
        return np.array(cols)

    def hessian(self):
        H = self.differences(self.slope)
        return (H + H.T) / 2

    def C(self, phi=None):
        V = self.V(self.phi if phi is None else phi)
        return np.linalg.inv(self.X.T @ np.linalg.solve(V, self.X))

    def df(self, row, extra=0.0):
        if not self.kept:
            return self.n - self.p
        v = lambda phi: row @ self.C(phi) @ row + extra * phi.sum()
        g = self.differences(v)
        return 2 * v(self.phi) ** 2 / (g @ self.A @ g)

    def log_likelihood(self):
        """Of error contrasts K'y with K'K = I (Harville 1974), so with ln|X'X|.

        statsmodels' MixedLM leaves that out: its llf is lower by half of it (0.13.5).
        """
        V = self.V(self.phi)
        XVX = self.X.T @ np.linalg.solve(V, self.X)
        r = self.y - self.X @ self.b
        logs = np.linalg.slogdet(V)[1] + np.linalg.slogdet(XVX)[1] - np.linalg.slogdet(self.X.T @ self.X)[1]
        return -0.5 * ((self.n - self.p) * np.log(2 * np.pi) + logs + r @ np.linalg.solve(V, r))

    def test(self, L):
        S = np.linalg.inv(self.X.T @ (self.w[:, None] * self.X))
        R = np.linalg.cholesky(L @ S @ L.T)
        L = np.linalg.solve(R, L)
        C = self.C()
        values, vectors = np.linalg.eigh(L @ C @ L.T)
        q = len(L)
        F = np.sum((vectors.T @ (L @ self.b)) ** 2 / values) / q
        dfs = [self.df(vectors[:, k] @ L) for k in range(q)]
        if q == 1:
            nu = dfs[0]
        else:
            E = sum(v / (v - 2) for v in dfs if v > 2)
            nu = 2 * E / (E - q) if E > q else min(dfs)
        return q, F, nu, st.f.sf(F, q, nu)


FAR = []


def blocked(rng, i):
    terms = spelled_order(SHAPES[i % len(SHAPES)])
    form = ["board", "board", "board, day", "day, board within day", "board within day"][i % 5]
    sizes = [(150, 60), (80, 100), (250, 0), (0, 0)][i // 5 % 4]
    by = i % 7 == 3
    d = series(rng, sizes, i % 6 == 0, "")
    gone = missing(rng, d, ["x", "board", "y"])
    needed = ["board"] if form == "board" else ["board", "day"]
    u = used(d, gone, columns_of(terms) + needed + (["w"] if by else []))
    w = u["w"] if by else np.ones(len(u["y"]))
    groups, words = design(u, terms, w)
    summed, _ = design(u, terms, w, "sum")
    X = np.hstack(groups)
    scale = np.linalg.norm(X, axis=0)
    labels = {"board": u["board"], "day": u["day"], "board within day": np.char.add(np.char.add(u["board"], "/"), u["day"])}
    names = form.split(", ")
    f = Blocked(u["y"], X / scale, w, [labels[k] for k in names])
    if form == "board" and not by and f.kept and f.ratios[0] > 0.05:
        m = sm.MixedLM(u["y"], X / scale, groups=u["board"]).fit(reml=True, method=["bfgs", "lbfgs"])
        FAR.append(abs(m.cov_re[0, 0] / m.scale / f.ratios[0] - 1))
    b = f.b / scale
    total = f.phi.sum()
    row = lambda r: np.asarray(r) / scale
    se = np.array([np.sqrt(row(e) @ f.C() @ row(e)) for e in np.eye(len(b))])
    dfs = [f.df(row(e)) for e in np.eye(len(b))]
    tol, tol_df = 1e-6, 1e-6
    h = Holds()
    h.add(2, "values/n", f.n, 1e-12)
    h.add(2, "values/residual_sd", np.sqrt(f.s2), tol)
    # Differs from statsmodels by definition, see Blocked.log_likelihood.
    h.add(2, "values/log_likelihood", f.log_likelihood() - 0.0, 1e-8)
    h.add(2, "values/aicc", None, 0)
    fixed = u["y"] - X @ b
    h.add(2, "values/explained", 1 - (w * fixed ** 2).sum() / (w * (u["y"] - np.average(u["y"], weights=w)) ** 2).sum(), tol, 1)
    for k, name in enumerate(names):
        s = f.ratios[k] * f.s2
        h.add(2, f"tables/blocks/{name}/sd", np.sqrt(s), tol)
        h.add(2, f"tables/blocks/{name}/proportion", s / total, tol)
    rows_of(h, 2, words, b, se, dfs, tol, tol_df)
    q, F, nu, P = f.test(np.eye(len(b))[1:] / scale)
    for key, v in (("f", F), ("f_df1", q), ("f_df2", nu)):
        h.add(2, "values/" + key, v, tol_df)
    h.add(2, "values/p", P, tol_df, 1e-3)
    zero = [terms_zero(word, u, w) for word in words]
    h.add(2, "values/at_zero", np.array(zero) @ b, tol)
    h.add(2, "values/at_zero_standard_error", np.sqrt(row(zero) @ f.C() @ row(zero)), tol)
    commands = ["open s.csv", f"fit y on {typed(terms)} blocked by {form}" + (" weighted by w" if by else ""), "anova of fit1", "anova of fit1 each last"]
    Vi = np.linalg.inv(f.V(f.phi))
    root = np.linalg.cholesky(Vi).T
    for e, how in ((3, "marginal"), (4, "each last")):
        for t, L in zip(terms, directions(groups, terms, root, how, summed)):
            q, F, nu, P = f.test(L / scale)
            path = f"tables/sources/{source_name(t)}/"
            h.add(e, path + "df", q, 1e-12)
            h.add(e, path + "f", F, tol_df, 0.1)
            h.add(e, path + "df_against", nu, tol_df)
            h.add(e, path + "p", P, tol_df, 1e-2)
            h.add(e, path + "share", None, 0)
    if "a" in terms:
        commands += [line + over(terms) for line in ("adjusted a of fit1", "compare a of fit1", "predict fit1 given a a2")]
        args = (u, terms, words, b, lambda r: row(r) @ f.C() @ row(r), lambda r: f.df(row(r)), w, tol, tol_df)
        adjusted(h, 5, *args)
        pairs(h, 6, *args)
        r = means_rows(u, terms, "a", words, w)["a2"]
        v, df = row(r) @ f.C() @ row(r) + total, f.df(row(r), 1.0)
        half = st.t.ppf(0.975, df) * np.sqrt(v)
        h.add(7, "tables/predicted/a a2/mean", r @ b, tol)
        h.add(7, "tables/predicted/a a2/specimen_low", r @ b - half, tol_df)
        h.add(7, "tables/predicted/a a2/specimen_high", r @ b + half, tol_df)
    return {"kind": "blocked", "dropped": [n for k, n in enumerate(names) if f.ratios[k] == 0],
            "csv": text(d, gone), "commands": commands, "holds": h}


def terms_zero(word, u, w):
    """A column's value with every number column at 0 (ln at 1) and the first levels."""
    v = 1.0
    if word == "baseline":
        return v
    for part in word.split(" × "):
        mean = {c: np.average(u[c], weights=w) for c in "xz"}
        if ": " in part:
            v = 0.0
        elif part == "x²":
            v *= mean["x"] ** 2
        elif part == "ln(x)":
            v *= -np.log(mean["x"])
        else:
            v *= -mean[part]
    return v


def main():
    rng = np.random.default_rng(20261125)
    cases = []
    for make, many in ((weighted, 50), (uneven, 50), (resistant, 50), (blocked, 105)):
        for i in range(many):
            cases.append(make(rng, i))
    json.dump({"versions": {"python": sys.version.split()[0], "statsmodels": statsmodels.__version__, "numpy": np.__version__, "scipy": scipy.__version__},
               "mixedlm": {"cases": len(FAR), "ratio_off_by_median": float(np.median(FAR)), "ratio_off_by_most": float(np.max(FAR))},
               "cases": cases}, sys.stdout, ensure_ascii=False)
    print()


main()
