# Copyright 2026 The Ohmwright Authors. All rights reserved.
# Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.
"""Makes studentt.tsv: python3 studentt.py > studentt.tsv (needs mpmath).

The upper tail of Student's distribution is half the regularised incomplete beta
function I(z; nu/2, 1/2), z = nu/(nu + t^2), and the probability between 0 and t is
half of I(1 - z; 1/2, nu/2). mpmath evaluates them with 80 digits at the exact value
of each float64 argument; t is the root found by Newton steps on the logarithm. The
normal limit uses erfc and erf of mpmath. The Go code uses none of these functions.
"""
from mpmath import __version__, beta, betainc, erf, erfc, erfinv, exp, expm1, inf, log, log1p, mp, mpf, nstr, pi, sqrt

mp.dps = 80


def tail(t, nu):
    """Probability above t and the density there."""
    if nu == inf:
        return erfc(t / sqrt(2)) / 2, exp(-t * t / 2) / sqrt(2 * pi)
    z = nu / (nu + t * t)
    f = exp(-(nu + 1) / 2 * log1p(t * t / nu)) / (sqrt(nu) * beta(nu / 2, mpf(1) / 2))
    return betainc(nu / 2, mpf(1) / 2, 0, z, regularized=True) / 2, f


def middle(t, nu):
    """Probability between 0 and t and the density there."""
    if nu == inf:
        return erf(t / sqrt(2)) / 2, exp(-t * t / 2) / sqrt(2 * pi)
    x = t * t / (nu + t * t)
    f = exp(-(nu + 1) / 2 * log1p(t * t / nu)) / (sqrt(nu) * beta(nu / 2, mpf(1) / 2))
    return betainc(mpf(1) / 2, nu / 2, 0, x, regularized=True) / 2, f


def quantile(d, nu):
    """The t > 0 with probability d between 0 and t."""
    near = d < mpf("0.2")
    want, probability, sign = (d, middle, -1) if near else (mpf(1) / 2 - d, tail, 1)
    z = sqrt(2) * erfinv(2 * d)
    if nu == inf:
        t = z
    elif near:
        t = d * sqrt(nu) * beta(nu / 2, mpf(1) / 2)
    else:
        w = (z * (8 * nu + 1) / (8 * nu + 3)) ** 2 / nu
        t = sqrt(nu * expm1(w))
        s = (1 / (beta(nu / 2, mpf(1) / 2) * nu * want)) ** (1 / nu)
        if s > 3:
            t = sqrt(nu) * s
    for _ in range(200):
        p, f = probability(t, nu)
        step = sign * log(p / want) * p / (t * f)
        t *= exp(max(min(step, mpf(3)), mpf(-3)))
        if abs(step) < mpf(10) ** -40:
            return t
    raise RuntimeError("no convergence at d = %s, nu = %s" % (d, nu))


DOF = [0.1, 0.3, 0.5, 0.75, 0.9, 0.99, 1, 1.01, 1.5, 2, 2.7, 3, 4, 5, 7.5, 10, 16.8, 30, 60, 100, 247.3,
       1000, 4999, 5000, 5001, 1e4, 1e6, 1e8, 1e12, "inf"]
P = [1e-12, 1e-9, 1e-6, 1e-4, 0.01, 0.1, 0.25, 0.4, 0.49, 0.5000001, 0.51, 0.6, 0.75, 0.9, 0.95, 0.975, 0.99, 0.995,
     0.99865, 0.9999, 1 - 1e-6, 1 - 1e-9]
TWO_SIDED = [1e-12, 1e-6, 0.01, 0.5, 0.6827, 0.95, 0.9545, 0.99, 0.9973, 1 - 1e-6, 1 - 1e-12, 1 - 2.0**-53]


def main():
    print("# Student's t quantile and two-sided factor, made by studentt.py with mpmath %s, 80 digits inside, 25 printed." % __version__)
    print("# Columns: kind (quantile: probability p below t; factor: probability p between -t and t), degrees of")
    print("# freedom, p, t. The arguments stand for the float64 that they read as.")
    for nu in DOF:
        v = mpf(nu)
        name = "+Inf" if v == inf else repr(float(v))
        for p in P:
            d = mpf(p) - mpf(1) / 2
            t = quantile(abs(d), v) * (1 if d > 0 else -1)
            print("quantile", name, repr(p), nstr(t, 25, min_fixed=0, max_fixed=0), sep="\t")
        for p in TWO_SIDED:
            print("factor", name, repr(p), nstr(quantile(mpf(p) / 2, v), 25, min_fixed=0, max_fixed=0), sep="\t")


main()
