#!/usr/bin/python3
"""The trials of a dilution plan in numpy, as a reference for tests and budget.

Usage: trials_numpy.py [trials] [seed] [runs]

Prints one JSON object: the percentiles of the number of full-size changes, the
last change trimmed for 90 % of the trials, how many trials need how many changes,
and the best time of the runs (five) in seconds. The case is the one of the Go
benchmark: 640 L +- 8 %, 60 +- 8 ug/L down to 3.1 ug/L with water of 1 +- 0.5 ug/L,
changes of 288 L. Uncertainties are expanded (k = 2); values are drawn again
unless positive, the volume unless larger than the change.
"""
import json
import sys
import time

import numpy as np

VOLUME, START, NEW, TARGET, CHANGE, CONFIDENCE = (640.0, 51.2), (60.0, 8.0), (1.0, 0.5), 3.1, 288.0, 0.9


def draw(rng, amount, above, n):
    value, expanded = amount
    x = rng.normal(value, expanded / 2, n)
    while True:
        bad = ~(x > above)
        k = np.count_nonzero(bad)
        if k == 0:
            return x
        x[bad] = rng.normal(value, expanded / 2, k)


def trials(n, seed):
    rng = np.random.default_rng(seed)
    volume = draw(rng, VOLUME, CHANGE, n)
    start = draw(rng, START, 0, n)
    new = draw(rng, NEW, 0, n)
    limit = TARGET * (1 + 1e-9)
    kept = 1 - CHANGE / volume
    with np.errstate(invalid="ignore", divide="ignore"):
        count = np.ceil(np.log((limit - new) / (start - new)) / np.log(kept))
        count = np.where(start <= limit, 0, np.where(new >= TARGET, np.inf, np.maximum(count, 1)))
        left = new + (start - new) * kept ** (count - 1)
        last = volume * (left - TARGET) / (left - new)
    rank = lambda q: int(np.ceil(q * n - 1e-9)) - 1
    order = np.partition(count, [rank(0.5), rank(0.9), rank(0.95)])
    p50, p90, p95 = (order[rank(q)] for q in (0.5, 0.9, 0.95))
    sized = order[rank(CONFIDENCE)]
    own = last[count == sized]
    trimmed = np.partition(own, rank(CONFIDENCE) - np.count_nonzero(count < sized))[rank(CONFIDENCE) - np.count_nonzero(count < sized)]
    values, numbers = np.unique(count, return_counts=True)
    return {
        "p50": int(p50), "p90": int(p90), "p95": int(p95), "last_l": float(trimmed),
        "counts": {str(int(v)) if np.isfinite(v) else "never": int(k) for v, k in zip(values, numbers)},
    }


def main():
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    runs = int(sys.argv[3]) if len(sys.argv) > 3 else 5
    best = np.inf
    for _ in range(runs):
        begin = time.perf_counter()
        result = trials(n, seed)
        best = min(best, time.perf_counter() - begin)
    result["seconds"] = best
    print(json.dumps(result))


if __name__ == "__main__":
    main()
