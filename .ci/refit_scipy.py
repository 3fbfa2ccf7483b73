#!/usr/bin/python3
"""The refit of an incident by SciPy, as a reference for tests.

Reads a JSON list of cases on standard input, prints a JSON list of fits. A case:

  volume, volume_u    net volume in L and its expanded uncertainty
  doses               [hour, litres, ug/L of the new water]
  observations        [hour, doses made before, ug/L, standard deviation, below]
  model               dilution, still-adding, coming-back or taken-out
  rate, rate_sd       prior of ln(rate per hour) for coming-back

Everything is written anew: the two compartments are stepped with a matrix exponential
instead of closed forms, the least sum of squares is SciPy's trust-region search from
several starts, and standard errors are the roots of the diagonal of inv(J'J) with J by
finite differences of SciPy's. A fit: start, volume, source, ratio, rate, clean (null
where the model has none), each [value, standard error], and cost, the sum of squares.
"""
import json
import sys

import numpy as np
from scipy.linalg import expm
from scipy.optimize import least_squares

NAMES = ["start", "volume", "source", "ratio", "rate", "clean"]
FREE = {
    "dilution": ["start", "volume"],
    "still-adding": ["start", "volume", "source"],
    "coming-back": ["start", "volume", "ratio", "rate"],
    "taken-out": ["start", "volume", "clean"],
}


def levels(p, case):
    """The level at each observation; rate is ln(per hour)."""
    volume = p["volume"]
    a, ratio = np.exp(p["rate"]), p["ratio"]
    loss = p["clean"] / volume
    # State: dissolved ug, bound ug, 1.
    m = np.array([
        [-loss - a * ratio, a, 1000 * p["source"]],
        [a * ratio, -a, 0.0],
        [0.0, 0.0, 0.0],
    ])
    state = np.array([p["start"] * volume, ratio * p["start"] * volume, 1.0])
    now, made, out = 0.0, 0, []
    for hour, before, *_ in case["observations"]:
        while made < before:
            at, litres, fresh = case["doses"][made]
            state = expm(m * (at - now)) @ state
            now = at
            state[0] += litres * (fresh - state[0] / volume)
            made += 1
        state = expm(m * (hour - now)) @ state
        now = hour
        out.append(state[0] / volume)
    return np.array(out)


def fit(case):
    free = FREE[case["model"]]
    base = {"start": 0.0, "volume": case["volume"], "source": 0.0, "ratio": 0.0, "rate": case["rate"], "clean": 0.0}
    obs = case["observations"]
    y, sd = np.array([o[2] for o in obs]), np.array([o[3] for o in obs])
    below = np.array([bool(o[4]) for o in obs])
    size = {"start": max(y), "volume": case["volume"], "source": max(y) * case["volume"] / 1e5, "ratio": 1.0, "rate": 1.0, "clean": case["volume"] / 24}

    def rows(x):
        p = dict(base, **{n: v * size[n] for n, v in zip(free, x)})
        r = (levels(p, case) - y) / sd
        r = np.where(below, np.maximum(0, r), r)
        more = [(p["volume"] - case["volume"]) / (case["volume_u"] / 2)]
        if "rate" in free:
            more.append((p["rate"] - case["rate"]) / case["rate_sd"])
        return np.concatenate([r, more])

    lower = [0.0 if n in ("start", "ratio", "clean") else -np.inf for n in free]
    lower[free.index("volume")] = 0.25
    best = None
    starts = [(0.2, case["rate"]), (1.0, case["rate"]), (0.2, np.log(0.03)), (1.0, np.log(0.4)), (0.02, case["rate"])]
    for guess, rate in starts:
        x0 = [{"start": 1.0, "volume": 1.0, "source": 0.0, "ratio": guess, "rate": rate, "clean": guess}[n] for n in free]
        s = least_squares(rows, x0, bounds=(lower, np.inf), jac="3-point", xtol=1e-14, ftol=1e-14, gtol=1e-14, x_scale=1.0, max_nfev=2000)
        if best is None or s.cost < best.cost:
            best = s
        if "ratio" not in free and "clean" not in free:
            break
    cov = np.linalg.pinv(best.jac.T @ best.jac)
    out = {n: None for n in NAMES}
    for k, n in enumerate(free):
        out[n] = [best.x[k] * size[n], float(np.sqrt(cov[k, k])) * size[n]]
    out["cost"] = 2 * best.cost
    return out


json.dump([fit(c) for c in json.load(sys.stdin)], sys.stdout)
