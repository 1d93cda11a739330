"""Writes manytoone.json: chances that the largest of many correlated |t| passes c, by plain Monte Carlo.

Run with: /usr/bin/python3 manytoone.py   (some ten minutes of one core)
The correlations are those of the differences of levels from one of them in a fit with as
many covariates as named, on an invented design: few specimens a level, covariates that
partly go with the levels. Values are drawn from numpy's generator as L z / s and counted;
nothing is taken from a statistics routine. error is one standard error of the count.
"""
import json
import os
import numpy as np

DRAWS, BATCH = 100_000_000, 500_000


def correlation(rng, levels, covariates):
    sizes = rng.integers(2, 8, levels + 1)
    at = np.repeat(np.arange(levels + 1), sizes)
    shift = 1.2 * rng.standard_normal((levels + 1, covariates))
    x = np.column_stack([np.ones(len(at))] + [(at == l).astype(float) for l in range(1, levels + 1)]
                        + [shift[at] + rng.standard_normal((len(at), covariates))])
    c = np.linalg.inv(x.T @ x)[1:levels + 1, 1:levels + 1]
    sd = np.sqrt(np.diag(c))
    r = c / np.outer(sd, sd)
    return (r + r.T) / 2


def chances(rng, r, df, at):
    root = np.linalg.cholesky(r).astype(np.float32)
    seen = np.zeros(len(at), dtype=np.int64)
    for _ in range(DRAWS // BATCH):
        z = rng.standard_normal((len(r), BATCH), dtype=np.float32)
        largest = np.abs(root @ z).max(axis=0)
        largest /= np.sqrt(rng.chisquare(df, BATCH) / df)
        seen += [(largest > c).sum() for c in at]
    p = seen / DRAWS
    return p, np.sqrt(p * (1 - p) / DRAWS)


rng = np.random.default_rng(1955)
cases = []
for levels, covariates, df, at in ((7, 3, 12, (1.8, 2.9)), (12, 4, 30, (2.2, 2.9)), (12, 8, 18, (2.0, 3.0, 4.5))):
    r = correlation(rng, levels, covariates)
    p, error = chances(rng, r, df, at)
    cases.append({"levels": levels, "covariates": covariates, "df": df, "correlation": r.tolist(),
                  "tails": [{"at": c, "p": float(v), "error": float(e)} for c, v, e in zip(at, p, error)]})
out = {"made_with": "numpy %s, %d draws a case" % (np.__version__, DRAWS), "cases": cases}
with open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "manytoone.json"), "w") as f:
    json.dump(out, f, indent=1)
    f.write("\n")
