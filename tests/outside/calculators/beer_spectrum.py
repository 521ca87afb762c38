#!/usr/bin/python3
"""Writes beer.sp: transmission of beer (deLange's average spectrum, Beer-Lambert) for spec2cie. One set a line: SRM times cm."""
from math import exp

PATHS = (0, 10, 20, 40, 60, 100)  # SRM x cm
lines = range(380, 781, 10)


def ratio(nm):
    return 0.02465 * exp(-(nm - 430) / 17.591) + 0.97535 * exp(-(nm - 430) / 82.122)


head = ['SPECT  ', '', 'KEYWORD "MEAS_TYPE"', 'MEAS_TYPE "TRANSMISSION"', 'KEYWORD "SPECTRAL_BANDS"', 'SPECTRAL_BANDS "41"',
        'KEYWORD "SPECTRAL_START_NM"', 'SPECTRAL_START_NM "380.000000"', 'KEYWORD "SPECTRAL_END_NM"',
        'SPECTRAL_END_NM "780.000000"', 'KEYWORD "SPECTRAL_NORM"', 'SPECTRAL_NORM "100.000000"', '',
        'NUMBER_OF_FIELDS 41', 'BEGIN_DATA_FORMAT', ' '.join(f'SPEC_{nm}' for nm in lines), 'END_DATA_FORMAT', '',
        f'NUMBER_OF_SETS {len(PATHS)}', 'BEGIN_DATA']
rows = [' '.join(f'{100 * 10 ** (-path / 12.7 * ratio(nm)):.8f}' for nm in lines) for path in PATHS]
with open('beer.sp', 'w') as out:
    out.write('\n'.join(head + rows + ['END_DATA', '']))
