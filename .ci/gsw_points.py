#!/usr/bin/env python3
"""Evaluate TEOS-10 (Debian's python3-gsw) at points read from standard input.

Input: one point a line, practical salinity and temperature (C, ITS-90).
Output: one line a point with density (kg/m3), conductivity (mS/cm), heat capacity
(J/(kg K)) and oxygen saturation (umol/kg), all at sea pressure 0, 17 digits.
"""

import sys

import gsw
import numpy as np

SP, t = np.loadtxt(sys.stdin, ndmin=2, unpack=True)
SA = gsw.SR_from_SP(SP)
columns = (
    gsw.rho_t_exact(SA, t, 0),
    gsw.C_from_SP(SP, t, 0),
    gsw.cp_t_exact(SA, t, 0),
    gsw.O2sol_SP_pt(SP, t),
)
np.savetxt(sys.stdout, np.column_stack(columns), fmt="%.17g")
