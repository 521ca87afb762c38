// What can be wished for: how far its slider goes, how a value is written in the brief, and where the answer has its forecast.
import type { Span } from './brief';
import type { Estimate, Proposal } from './api';
import type { Quantity } from './units';

export interface Measure {
  key: string; // of the brief, and of the word measure.KEY
  english: string; // as the program's own sentences name it
  quantity: Quantity;
  from: number;
  to: number;
  step: number;
  usual: [number, number]; // where a new wish begins
  write(value: number): string | number;
  forecast(proposal: Proposal): Estimate | undefined;
}

const plain = (value: number, decimals: number): string => value.toFixed(decimals);
const ion = (key: string, to: number, usual: [number, number]): Measure => ({
  key, english: key, quantity: 'mg', from: 0, to, step: 5, usual,
  write: (value) => `${plain(value, 0)} mg/L`,
  forecast: (proposal) => {
    const value = proposal.run_sheet.liquor_mg_per_l[key];
    return value === undefined ? undefined : { value, low: value, high: value };
  },
});

export const measures: Measure[] = [
  { key: 'alcohol', english: 'alcohol', quantity: 'alcohol', from: 0, to: 12, step: 0.1, usual: [4.5, 5.5], write: (value) => `${plain(value, 1)} %`, forecast: (p) => p.forecast.abv_percent },
  { key: 'bitterness', english: 'bitterness', quantity: 'ibu', from: 0, to: 100, step: 1, usual: [20, 30], write: (value) => `${plain(value, 0)} IBU`, forecast: (p) => p.forecast.bitterness_ibu },
  { key: 'colour', english: 'colour', quantity: 'colour', from: 2, to: 80, step: 1, usual: [10, 20], write: (value) => `${plain(value, 0)} EBC`, forecast: (p) => p.forecast.colour_ebc },
  { key: 'original-gravity', english: 'original gravity', quantity: 'gravity', from: 1.02, to: 1.12, step: 0.001, usual: [1.045, 1.055], write: (value) => plain(value, 3), forecast: (p) => p.forecast.original_gravity_sg },
  { key: 'final-gravity', english: 'final gravity', quantity: 'gravity', from: 0.995, to: 1.04, step: 0.001, usual: [1.008, 1.014], write: (value) => plain(value, 3), forecast: (p) => p.forecast.final_gravity_sg },
  { key: 'mash-ph', english: 'mash pH', quantity: 'ph', from: 4.8, to: 6.2, step: 0.05, usual: [5.2, 5.6], write: (value) => Number(plain(value, 2)), forecast: (p) => p.forecast.mash_ph },
  ion('calcium', 300, [50, 120]), ion('magnesium', 100, [5, 30]), ion('sodium', 300, [0, 100]), ion('chloride', 400, [40, 120]), ion('sulphate', 600, [40, 150]),
];

export function spanOf(wish: Span): [number, number] {
  return [Number.parseFloat(String(wish[0])), Number.parseFloat(String(wish[1]))];
}
export function writeSpan(measure: Measure, low: number, high: number): Span {
  return [measure.write(low), measure.write(high)] as Span;
}
