#!/usr/bin/python3
"""Boiling points and latent heats by IAPWS-IF97, library python3-iapws."""
from iapws import IAPWS97

for kpa in (50, 60, 70, 80, 90, 95, 101.325, 110):
    print(f"{kpa} kPa boils at {IAPWS97(P=kpa / 1000, x=0).T - 273.15:.4f} C")
for celsius in (20, 40, 60, 80, 90, 95, 100):
    liquid, steam = IAPWS97(T=celsius + 273.15, x=0), IAPWS97(T=celsius + 273.15, x=1)
    print(f"{celsius} C: {liquid.P * 10:.6f} bar, latent heat {steam.h - liquid.h:.3f} kJ/kg, steam {steam.rho:.6f} kg/m3")
