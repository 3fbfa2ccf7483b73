#!/usr/bin/env python3
"""The pH of seawater from alkalinity and DIC, by SciPy's root finding.

A second program for the checks of package salinity: its own transcription of the
constants (Lueker, Dickson & Keeling 2000; Dickson 1990; Millero 1995; Uppstroem 1974;
mol per kg of seawater, total pH scale) and a charge balance written in moles of each
species, solved for the logarithm of [H+] by scipy.optimize.brentq.

Input: one point a line, practical salinity, temperature (C), alkalinity and dissolved
inorganic carbon (mmol/kg). Output: one pH a line, 17 digits.
"""

import sys

import numpy as np
from scipy.optimize import brentq


def constants(S, t):
    T = t + 273.15
    ln = np.log(T)
    K1 = 10.0 ** (-(3633.86 / T - 61.2172 + 9.67770 * ln - 0.011555 * S + 0.0001152 * S**2))
    K2 = 10.0 ** (-(471.78 / T + 25.9290 - 3.16967 * ln - 0.01781 * S + 0.0001122 * S**2))
    KB = np.exp(
        (-8966.90 - 2890.53 * S**0.5 - 77.942 * S + 1.728 * S**1.5 - 0.0996 * S**2) / T
        + (148.0248 + 137.1942 * S**0.5 + 1.62142 * S)
        + (-24.4344 - 25.085 * S**0.5 - 0.2474 * S) * ln
        + 0.053105 * S**0.5 * T
    )
    KW = np.exp(148.9652 - 13847.26 / T - 23.6521 * ln + (118.67 / T - 5.977 + 1.0495 * ln) * S**0.5 - 0.01615 * S)
    return K1, K2, KB, KW, 0.0004157 * S / 35


def charge(log_h, S, t, A, C):
    K1, K2, KB, KW, B = constants(S, t)
    H = np.exp(log_h)
    bicarbonate = C / (H / K1 + 1 + K2 / H)
    carbonate = bicarbonate * K2 / H
    return bicarbonate + 2 * carbonate + B / (1 + H / KB) + KW / H - H - A


for line in sys.stdin:
    S, t, A, C = map(float, line.split())
    root = brentq(charge, np.log(1e-11), np.log(1e-4), args=(S, t, A / 1000, C / 1000), xtol=1e-14, rtol=8.9e-16)
    print(f"{-root / np.log(10):.17g}")
