"""Boundaries of a series in stages, and chances to come to them, for models/stages and models/plan.

Boundaries: the box of a multivariate normal (scipy's, by Genz) outside which the error spent lies, stage by
stage. Chances: the same with a drift, and, for t and F at workshop size, counts over simulated series.
Debian's python3-scipy 1.10.1, python3-numpy 1.24.2.
"""
import numpy as np
from scipy import optimize, stats

N = stats.norm


def spent(shape, t, alpha=0.05):
    return 4 * N.sf(N.isf(alpha / 4) / np.sqrt(t)) if shape == "late" else alpha * t


def covariance(at):
    return np.array([[np.sqrt(min(a, b) / max(a, b)) for b in at] for a in at])


def inside(z, at, drift=0.0):
    """The chance that every look stays within its boundary."""
    z, at = np.asarray(z, float), np.asarray(at, float)
    mean = drift * np.sqrt(at)
    if len(z) == 1:
        return N.cdf(z[0] - mean[0]) - N.cdf(-z[0] - mean[0])
    return stats.multivariate_normal.cdf(z, mean, covariance(at), maxpts=400_000, abseps=1e-7, releps=1e-7,
                                         lower_limit=-z)


def boundaries(shape, at):
    z = []
    for i, t in enumerate(at):
        z.append(optimize.brentq(lambda x: 1 - inside(z[:i] + [x], at[:i + 1]) - spent(shape, t), 1.0, 8.0, xtol=1e-6))
    return z


def counted(levels, perstage, stages, difference, p, series=400_000, seed=20251129):
    """Shares of series with p below a stage's own by each stage; sd 1, the other levels midway."""
    draw = np.random.default_rng(seed)
    mean = np.zeros(levels)
    mean[0], mean[-1] = -difference / 2, difference / 2
    out = np.zeros(stages)
    for _ in range(10):
        n = series // 10
        x = draw.standard_normal((n, levels, perstage * stages)) + mean[None, :, None]
        over = np.zeros(n, bool)
        for k in range(stages):
            y = x[:, :, :perstage * (k + 1)]
            m, means = y.shape[2], y.mean(2)
            within = ((y - means[:, :, None]) ** 2).sum((1, 2)) / (levels * (m - 1))
            f = m * means.var(1, ddof=1) / within
            over |= stats.f.sf(f, levels - 1, levels * (m - 1)) < p[k]
            out[k] += over.sum()
    return out / series


def walks(dimensions, stages, shape, series=2_000_000, seed=5):
    """The p of each look, of random walks in several dimensions by their chi-square, that spends what is due."""
    draw = np.random.default_rng(seed)
    at = np.zeros((series, dimensions))
    alive, used, out = np.ones(series, bool), 0.0, []
    for k in range(stages):
        at += draw.standard_normal((series, dimensions))
        p = stats.chi2.sf((at ** 2).sum(1) / (k + 1), dimensions)
        due = spent(shape, (k + 1) / stages) - used
        n = int(round(due * series))
        out.append(np.sort(p[alive])[n - 1] if n else 0.0)
        alive &= p > out[-1]
        used += due
    return out


if __name__ == "__main__":
    for dimensions, stages in ((2, 2), (3, 3), (5, 5), (9, 3)):
        for shape in ("late", "even"):
            print(dimensions, "dimensions,", stages, "stages,", shape, np.round(walks(dimensions, stages, shape), 4))
    for shape in ("late", "even"):
        for at in ([0.5, 1], [1 / 3, 2 / 3, 1], [0.3, 0.55, 1], [0.25, 0.5, 0.75, 1]):
            z = boundaries(shape, at)
            by = [1 - inside(z[:i + 1], at[:i + 1], 3.0) for i in range(len(at))]
            print(shape, np.round(at, 4), "z", np.round(z, 4), "drift 3 by then", np.round(by, 4))
    for levels, perstage, stages, difference in ((2, 4, 2, 1.5), (2, 8, 3, 0.9), (4, 5, 3, 1.3)):
        for shape in ("late", "even"):
            p = 2 * N.sf(boundaries(shape, [(i + 1) / stages for i in range(stages)]))
            print(levels, perstage, stages, difference, shape, np.round(counted(levels, perstage, stages, difference, p), 4))
