#!/usr/bin/python3
"""Carbon dioxide shared between beer and headspace: the balance solved by SciPy's brentq, not in closed form.

deLange's solubility; ideal gas; the beer does not expand (so compare with closed_at = temperature)."""
from math import exp
from scipy.optimize import brentq

for volumes, beer, head, celsius in ((2.4, 0.5, 0.02, 20), (2.4, 0.5, 0.05, 20), (3.0, 0.33, 0.015, 4), (4.0, 0.75, 0.03, 30),
                                     (2.0, 18.0, 1.5, 12)):
    mass = volumes * beer * 44.009 / 22.41396954

    def held(bar):
        psia = bar / 0.0689475729
        dissolved = psia * (0.01821 + 0.090115 * exp(-(celsius * 1.8 + 32 - 32) / 43.11)) - 0.003342
        return dissolved * beer * 44.009 / 22.41396954 + bar * head * 44.009 / (0.0831446262 * (celsius + 273.15))

    bar = brentq(lambda p: held(p) - mass, 0.001, 50, xtol=1e-13)
    print(f"{volumes} volumes, {beer} L + {head} L, {celsius} C: {bar:.6f} bar absolute, {bar - 1.01325:.6f} gauge")
