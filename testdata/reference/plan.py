"""Makes plan.json: chances of plans worked out with scipy alone (noncentral t and F, the
studentised range, Fisher's exact test over every pair of counts). Run: python3 plan.py"""
import json
import pathlib

import numpy
import scipy
from scipy import stats


def means(levels, n, d):
    cells = int(numpy.prod(levels))
    df = cells * (n - 1)
    overall, pair = 1.0, 1.0
    for k in levels:
        m = n * cells // k
        overall = min(overall, stats.ncf.sf(stats.f.isf(0.05, k - 1, df), k - 1, df, m * d * d / 2))
        t = stats.studentized_range.isf(0.05, k, df) / 2**0.5
        mu = d * (m / 2) ** 0.5
        pair = min(pair, stats.nct.sf(t, df, mu) + stats.nct.cdf(-t, df, mu))
    return {"levels": levels, "n": n, "d": d, "overall": overall, "pair": pair}


def blocked(levels, whole, blocks, each, sd, d):
    """Two levels of each factor d apart, judged in the textbook's strata: blocks of `each` of every
    combination that meets in one; a whole factor has a level a block. `blocks` are those of one
    combination of the whole factors. Expected mean squares are written out, stratum by stratum."""
    w = int(numpy.prod([k for k, is_whole in zip(levels, whole) if is_whole]))
    v = int(numpy.prod([k for k, is_whole in zip(levels, whole) if not is_whole]))
    size = v * each  # specimens a block
    n = w * blocks * size
    overall, pair = 1.0, 1.0
    for k, is_whole in zip(levels, whole):
        if is_whole:
            df = w * blocks - 1 - (w - 1)
            expected = 1 + size * sd**2  # of the mean square between blocks
        else:
            df = (n - 1) - (w * blocks - 1) - (v - 1) * w
            expected = 1
        m = n // k
        overall = min(overall, stats.ncf.sf(stats.f.isf(0.05, k - 1, df), k - 1, df, m * d * d / 2 / expected))
        t = stats.studentized_range.isf(0.05, k, df) / 2**0.5
        mu = d * (m / 2 / expected) ** 0.5
        pair = min(pair, stats.nct.sf(t, df, mu) + stats.nct.cdf(-t, df, mu))
    return {"levels": levels, "whole": whole, "n": blocks * each, "blocks": w * blocks, "each": each, "sd": sd, "d": d, "overall": overall, "pair": pair}


def shares(levels, n, a, b):
    alpha = 0.05 / (levels * (levels - 1) / 2)
    p, q = stats.binom.pmf(range(n + 1), n, a), stats.binom.pmf(range(n + 1), n, b)
    chance = sum(p[i] * q[j] for i in range(n + 1) for j in range(n + 1)
                 if stats.fisher_exact([[i, n - i], [j, n - j]])[1] <= alpha)
    return {"levels": levels, "n": n, "from": a, "to": b, "chance": chance}


def limit(n, cv, within):
    z = stats.norm.ppf(0.95)
    k = stats.nct.ppf(0.75, n - 1, z * n**0.5) / n**0.5
    q = 1 - z * cv
    c = q * (1 - within)
    return {"n": n, "cv": cv, "within": within, "chance": stats.nct.sf(k * n**0.5, n - 1, n**0.5 * (1 - c) / cv)}


out = {
    "made_with": f"scipy {scipy.__version__}, numpy {numpy.__version__}",
    "means": [means(*c) for c in (([2], 17, 1.0), ([2], 3, 2.5), ([3], 8, 1.2), ([4], 12, 1.0), ([5], 30, 0.5), ([2, 3], 6, 0.9), ([4, 2], 3, 1.5))],
    "blocked": [blocked(*c) for c in (([2], [False], 8, 1, 0.8, 1.5), ([3], [False], 5, 2, 2.0, 1.2), ([2], [True], 6, 3, 0.7, 1.5),
                                      ([4], [True], 5, 2, 1.0, 3.0), ([2, 3], [True, False], 6, 1, 0.9, 1.6), ([2, 2], [True, True], 4, 2, 0.5, 1.4),
                                      ([3, 2], [False, False], 4, 1, 1.0, 1.5))],
    "shares": [shares(*c) for c in ((2, 10, 0.8, 0.2), (2, 25, 0.2, 0.05), (3, 15, 0.7, 0.1))],
    "limits": [limit(*c) for c in ((5, 0.15, 0.1), (20, 0.15, 0.1), (60, 0.1, 0.05), (12, 0.2, 0.3))],
}
pathlib.Path(__file__).with_name("plan.json").write_text(json.dumps(out, indent=1) + "\n")
