"""Writes dist_mpmath.csv: tails and points of distributions by quadrature of the densities.

Run with: /usr/bin/python3 dist_mpmath.py > dist_mpmath.csv   (a few minutes)
Single integrals in 30 digits by mpmath's quadrature; double ones in double precision by
composite Gauss-Legendre rules of 40 points a piece, good to 12 digits. Nothing is taken
from a statistics routine.
"""
import sys
import mpmath
import numpy as np
import scipy
from scipy.optimize import brentq
from scipy.special import erfc as erfc_array
from scipy.special import gammaln
from mpmath import mp, mpf, quad, exp, log, log1p, sqrt, pi, erfc, gamma, loggamma, findroot, nstr

mp.dps = 30
ORIGIN = "COMPUTED: mpmath %s quadrature of the densities (dist_mpmath.py)" % mpmath.__version__
DOUBLE = "COMPUTED: Gauss-Legendre double integral with numpy %s and scipy %s erfc (dist_mpmath.py)" % (
    np.__version__, scipy.__version__)
NODES, WEIGHTS = np.polynomial.legendre.leggauss(40)


def scaled(f, start, width, pieces, grow=mpf(1.5)):
    """Integral of a falling f from start: f is divided by its size so that quad's absolute stop works."""
    top = f(start)
    edges = [start]
    for _ in range(pieces):
        edges.append(edges[-1] + width)
        width *= grow
    return top * quad(lambda x: f(x) / top, edges)


def row(dist, quantity, parameters, argument, value, digits=13, origin=ORIGIN):
    text = nstr(value, 17) if isinstance(value, mpf) else repr(float(value))
    print(",".join([dist, quantity, parameters, argument, text, str(digits), origin]))
    sys.stdout.flush()


def phi(z):
    return exp(-z * z / 2) / sqrt(2 * pi)


def tail(z):
    return erfc(z / sqrt(2)) / 2


def t_density(df):
    c = exp(loggamma((df + 1) / 2) - loggamma(df / 2)) / sqrt(df * pi)
    return lambda x: c * exp(-(df + 1) / 2 * log1p(x * x / df))


def t_two_sided(t, df):
    # In u = ln x the power tail falls exponentially.
    g = t_density(df)
    f = lambda u: exp(u) * g(exp(u))
    return 2 * scaled(f, log(t), min(mpf(1) / 4, 1 / (1 + t * t / (1 + t * t / df))), 24)


def f_tail(x, a, b):
    lnc = loggamma((a + b) / 2) - loggamma(a / 2) - loggamma(b / 2) + a / 2 * log(a / b)
    f = lambda u: exp(lnc + a / 2 * u - (a + b) / 2 * log1p(a / b * exp(u)))
    slope = (a + b) / 2 * (a / b * x) / (1 + a / b * x) - a / 2
    width = min(mpf(1) / 4, 1 / abs(slope) if slope else mpf(1), 2 / sqrt(a * b / (a + b)))
    return scaled(f, log(x), width, 24)


def chi_square_tail(x, df):
    return mp.gammainc(df / 2, x / 2, regularized=True)


def over_chi(f, df, low, high, pieces=24):
    """Expected value of f(s), s² chi-square over df, between the given s."""
    c = log(2) + df / 2 * log(df / 2) - loggamma(df / 2)
    g = lambda u: exp(c + df * u - df * exp(2 * u) / 2) * f(exp(u))
    edges = [log(low) + (log(high) - log(low)) * mpf(k) / pieces for k in range(pieces + 1)]
    top = max(g(e) for e in edges)
    return top * quad(lambda u: g(u) / top, edges, maxdegree=4)


def pieces(low, high, n):
    """Points and weights of n Gauss-Legendre pieces between low and high."""
    edges = np.linspace(low, high, n + 1)
    half = (edges[1:] - edges[:-1]) / 2
    x = (edges[:-1] + half)[:, None] + half[:, None] * NODES
    return x.ravel(), (half[:, None] * WEIGHTS).ravel()


def upper(z):
    return erfc_array(z / np.sqrt(2)) / 2


def range_tail(w, k):
    z, weight = pieces(-w / 2 - 9, -w / 2 + 9, 12)
    above = upper(z)
    part = -above ** (k - 1) * np.expm1((k - 1) * np.log1p(-upper(z + w) / above))
    return np.sum(weight * k * np.exp(-z * z / 2) / np.sqrt(2 * np.pi) * part)


def any_beyond(w, loads):
    z, weight = pieces(0, w + 9, 24)
    inside = sum(np.log1p(-upper((w - l * z) / np.sqrt(1 - l * l)) - upper((w + l * z) / np.sqrt(1 - l * l)))
                 for l in loads)
    return 2 * np.sum(weight * np.exp(-z * z / 2) / np.sqrt(2 * np.pi) * -np.expm1(inside))


def any_beyond_factors(w, loads):
    """The same for values that share several factors: loads has a row a value."""
    loads = np.array(loads)
    own = np.sqrt(1 - np.sum(loads ** 2, axis=1))
    z, weight = pieces(-8, 8, 2)
    grids = np.meshgrid(*[z] * loads.shape[1], indexing="ij")
    weights = np.ones(grids[0].shape)
    for k, g in enumerate(grids):
        shape = [1] * len(grids)
        shape[k] = -1
        weights = weights * (weight * np.exp(-z * z / 2) / np.sqrt(2 * np.pi)).reshape(shape)
    inside = np.ones(grids[0].shape)
    for row_, sd in zip(loads, own):
        mean = sum(l * g for l, g in zip(row_, grids))
        inside *= 1 - upper((w - mean) / sd) - upper((w + mean) / sd)
    return np.sum(weights * (1 - inside))


def any_beyond_chain(w, shared, step, m):
    """The same for values that share one factor and are else a chain, step apart correlated."""
    z, weight = pieces(-8.5, 8.5, 3)
    total = 0.0
    for z0, w0 in zip(z, weight):
        mean = np.sqrt(shared) * z0
        y, wy = pieces((-w - mean) / np.sqrt(1 - shared), (w - mean) / np.sqrt(1 - shared), 1)
        density = np.exp(-y * y / 2) / np.sqrt(2 * np.pi)
        sd = np.sqrt(1 - step ** 2)
        move = np.exp(-((y[None, :] - step * y[:, None]) / sd) ** 2 / 2) / (sd * np.sqrt(2 * np.pi))
        for _ in range(m - 1):
            density = (wy * density) @ move
        total += w0 * np.exp(-z0 * z0 / 2) / np.sqrt(2 * np.pi) * (1 - np.sum(wy * density))
    return total


def mixed(known, df, rate, n=60):
    """Expected value of known(s), known falling as exp(-rate s²/2), s² chi-square over df."""
    centre = -np.log1p(rate / df) / 2
    spread = 10 / np.sqrt(2 * df)
    u, weight = pieces(centre - spread - 36 / df, max(centre, 0) + spread, n)
    density = np.exp(np.log(2) + df / 2 * np.log(df / 2) - gammaln(df / 2) + df * u - df * np.exp(2 * u) / 2)
    return np.sum(weight * density * np.array([known(s) for s in np.exp(u)]))


def studentised_tail(q, k, df):
    return mixed(lambda s: range_tail(q * s, k), df, q * q / 2)


def many_tail(c, loads, df):
    return mixed(lambda s: any_beyond(c * s, loads), df, c * c)


def noncentral_tail(t, df, mu):
    spread = exp(10 / sqrt(2 * df))
    return over_chi(lambda s: tail(t * s - mu), df, exp(-36 / df) / spread, spread, 60)


def inside_chance(limit, critical, df):
    spread = exp(10 / sqrt(2 * df))
    high = min(spread, limit / critical)
    return over_chi(lambda s: 1 - 2 * tail(limit - critical * s), df, exp(-36 / df) / spread, high, 40)


print("distribution,quantity,parameters,argument,value,trusted_digits,origin")
for z in ("-3", "0.5", "2", "5.5", "10", "20", "37"):
    row("normal", "tail", "", z, tail(mpf(z)))
for t, df in (("0.01", "3"), ("0.7", "12.5"), ("2", "1"), ("2.2", "10"), ("4", "0.5"), ("12", "7.3"), ("40", "5"),
              ("3", "1000"), ("6", "30000"), ("30", "1e6"), ("2", "1e8"), ("9", "1e8"), ("35", "1e8"), ("1e9", "3")):
    row("t", "two_sided", "df=" + df, t, t_two_sided(mpf(t), mpf(df)))
for f, a, b in (("0.01", "3", "7"), ("0.6", "2.5", "9.5"), ("1", "5", "5"), ("2.2969", "9", "90"), ("9.59", "2", "12"),
                ("500", "3", "40"), ("40", "3", "1e6"), ("1.02", "1e5", "1e6"), ("1.2", "1e4", "2e4"), ("1e5", "1", "6")):
    row("f", "tail", "d1=%s;d2=%s" % (a, b), f, f_tail(mpf(f), mpf(a), mpf(b)))
for x, df in (("0.01", "1"), ("3", "7.5"), ("16.919", "9"), ("100", "1"), ("700", "4"), ("1100", "1000"), ("1", "30")):
    row("chi_square", "tail", "df=" + df, x, chi_square_tail(mpf(x), mpf(df)))
for p, df in (("0.4", "3"), ("0.3", "1e8"), ("0.05", "0.7"), ("0.025", "16"), ("1e-6", "1000"), ("1e-10", "1000"),
              ("1e-10", "30000"), ("1e-10", "1e8"), ("1e-20", "12"), ("1e-100", "2.5"), ("1e-200", "1e6")):
    goal = mpf(p)
    start = sqrt(-2 * log(goal))
    if mpf(df) < 100:
        start = (goal ** (-1 / mpf(df))) / 2 + mpf(1) / 4
    root = findroot(lambda u: log(t_two_sided(exp(u), mpf(df)) / (2 * goal)), (log(start), log(start) + mpf("0.01")))
    row("t", "upper_point", "df=" + df, p, exp(root))
for q, k, df in (("3.5", 3, "7.5"), ("4.046", 4, "16"), ("12", 4, "16"), ("40", 5, "9"), ("9", 8, "2.5"), ("6", 12, "200"),
                 ("4", 100, "50")):
    row("studentised_range", "tail", "k=%d;df=%s" % (k, df), q, studentised_tail(float(q), k, float(df)), 12, DOUBLE)
for p, k, df in (("0.05", 3, "7.5"), ("0.1", 6, "33.3"), ("1e-6", 4, "20")):
    root = brentq(lambda u: np.log(studentised_tail(np.exp(u), k, float(df)) / float(p)), 0.5, 4, xtol=1e-14, rtol=1e-14)
    row("studentised_range", "point", "k=%d;df=%s" % (k, df), p, np.exp(root), 12, DOUBLE)
# Levels of 3, 5, 9 and 4 specimens against one of 7: loads sqrt(n / (n + 7)).
uneven = [np.sqrt(n / (n + 7)) for n in (3, 5, 9, 4)]
for c, df in (("0.5", "23"), ("2.5", "23"), ("5", "23"), ("3", "4.5"), ("12", "23"), ("2.6", "500")):
    row("many_to_one", "tail", "n0=7;n1=3;n2=5;n3=9;n4=4;df=" + df, c, many_tail(float(c), uneven, float(df)), 12, DOUBLE)
two = [[0.7, 0.3], [0.6, -0.4], [0.8, 0.1], [0.5, 0.5], [0.65, -0.2]]
three = [[0.7, 0.3, 0.1], [0.6, -0.4, 0.2], [0.75, 0.1, -0.3], [0.5, 0.5, 0.3], [0.65, -0.2, -0.1], [0.7, 0, 0.4]]
many = [[0.45 + 0.03 * (7 * i % 11), 0.45 * np.cos(2 * i + 1), 0.35 * np.sin(3 * i)] for i in range(12)]
many = [[round(float(l), 3) for l in r] for r in many]
for loads, c, df in ((two, "1.5", "30"), (two, "2.6", "30"), (two, "6", "30"), (three, "2.6", "30"), (many[:8], "2.8", "15"),
                     (many, "2", "40"), (many, "3", "40")):
    names = ";".join("l%d%d=%g" % (i, k, l) for i, r in enumerate(loads) for k, l in enumerate(r))
    value = mixed(lambda s: any_beyond_factors(float(c) * s, loads), float(df), float(c) ** 2, 3)
    row("many_to_one_factors", "tail", names + ";df=" + df, c, value, 9, DOUBLE)
for c, m, shared, step, df in (("2.5", 5, 0.3, 0.5, 30), ("1.2", 5, 0.3, 0.5, 30), ("2", 12, 0.3, 0.5, 30), ("2.9", 12, 0.3, 0.5, 30),
                               ("2.8", 9, 0.2, 0.8, 12), ("2.8", 9, 0.4, -0.6, 100), ("5", 12, 0.3, 0.5, 30)):
    value = mixed(lambda s: any_beyond_chain(float(c) * s, shared, step, m), float(df), float(c) ** 2, 3)
    row("many_to_one_chain", "tail", "m=%d;shared=%g;step=%g;df=%d" % (m, shared, step, df), c, value, 9, DOUBLE)
for t, df, mu in (("45", "5", "45"), ("60", "5", "45"), ("5", "10", "-10"), ("-3", "10", "-2"), ("30", "3", "1"),
                  ("2.1", "1e5", "3"), ("120", "40", "100")):
    row("noncentral_t", "tail", "df=%s;ncp=%s" % (df, mu), t, noncentral_tail(mpf(t), mpf(df), mpf(mu)), 12)
for limit, c, df in (("4", "1.7", "30"), ("4", "1.7", "2"), ("3", "2.9", "8"), ("6", "2.5", "5000")):
    row("inside", "chance", "critical=%s;df=%s" % (c, df), limit, inside_chance(mpf(limit), mpf(c), mpf(df)), 12)
