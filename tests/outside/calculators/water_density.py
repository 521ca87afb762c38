#!/usr/bin/python3
"""Density and enthalpy of liquid water at one atmosphere by IAPWS-95, library python3-iapws 1.5.3 (Debian)."""
from iapws import IAPWS95

for celsius in (0.01, 1, 4, 5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 99):
    water = IAPWS95(T=celsius + 273.15, P=0.101325)
    print(f"{celsius} C: {water.rho:.4f} kg/m3, {water.h:.3f} kJ/kg")
