"""Writes noncentralf_mpmath.csv: both tails of the noncentral F by high-precision quadrature.

Run with: /usr/bin/python3 noncentralf_mpmath.py > noncentralf_mpmath.csv
The density (with Kummer's function, Johnson, Kotz & Balakrishnan 1995, 30.7) is integrated
over ln f; nothing is taken from a statistics routine.
"""
import mpmath
from mpmath import mp, mpf, quad, exp, log, log1p, loggamma, hyp1f1, nstr

mp.dps = 30
ORIGIN = "COMPUTED: mpmath %s quadrature of the density (noncentralf_mpmath.py)" % mpmath.__version__


def density(d1, d2, ncp):
    """Of u = ln f."""
    lnc = loggamma((d1 + d2) / 2) - loggamma(d1 / 2) - loggamma(d2 / 2) + d1 / 2 * log(d1 / d2) - ncp / 2

    def g(u):
        r = d1 * exp(u) / d2
        return exp(lnc + d1 / 2 * u - (d1 + d2) / 2 * log1p(r)) * hyp1f1((d1 + d2) / 2, d1 / 2, ncp / 2 * r / (1 + r))

    return g


def one_side(g, start, step):
    """Integral of g from start in steps until the pieces no longer count."""
    total, at, small = mpf(0), start, 0
    while small < 2:
        top = max(g(at), g(at + step))  # quad stops by absolute size
        piece = top * abs(quad(lambda u: g(u) / top, [at, at + step])) if top else mpf(0)
        total += piece
        at += step
        small = small + 1 if piece < total * mpf(10) ** -25 else 0
        step *= mpf("1.1")
    return total


print("distribution,quantity,parameters,argument,value,trusted_digits,origin")
for d1, d2, ncp in [(1, 8, 3), (2, 12, 4.5), (3, 56, 11), (5, 4, 0.25), (3, 3, 40), (11, 200, 90), (2.5, 7.75, 6), (1, 1000, 250), (4, 20, 1e-6)]:
    a, b, c = mpf(d1), mpf(d2), mpf(ncp)
    g = density(a, b, c)
    mean = (a + c) / a
    for f in [mean / 20, mean / 3, mean, 3 * mean, 12 * mean]:
        f = mpf(float(f))
        up, down = one_side(g, log(f), mpf("0.15")), one_side(g, log(f), mpf("-0.15"))
        assert abs(up + down - 1) < mpf(10) ** -20, (d1, d2, ncp, f)
        for quantity, value in (("tail", up), ("cdf", down)):
            if value > mpf(10) ** -200:
                print(",".join(["noncentral_F", quantity, "df1=%s;df2=%s;ncp=%s" % (d1, d2, ncp), repr(float(f)), nstr(value, 17), "13", ORIGIN]))
