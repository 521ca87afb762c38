// How quantities are shown. Inside the page they are as the answer has them: grams, litres, °C, EBC. The factors are exact by definition
// (src/quantity/units.cpp gives the sources); tests/page holds them against `oddgrist convert`.
import { figure } from './words';

export type System = 'si' | 'us';
export type Quantity = 'alcohol' | 'ibu' | 'colour' | 'gravity' | 'ph' | 'mg';

export const litresInUsGallon = 3.785411784;
export const gramsInOunce = 28.349523125;
export const ebcInSrm = 250 / 127;

const trimmed = (value: number, decimals: number): string => {
  const text = figure(value, decimals);
  return /[.,]/.test(text) ? text.replace(/[.,]?0+$/, '') : text;
};

export function mass(grams: number, system: System): string {
  if (system === 'si') {
    if (grams >= 1000) return `${trimmed(grams / 1000, 3)} kg`;
    return `${trimmed(grams, grams < 20 ? 1 : 0)} g`;
  }
  const ounces = grams / gramsInOunce;
  if (ounces < 16) return `${trimmed(ounces, ounces < 1 ? 2 : 1)} oz`;
  const pounds = Math.floor(Math.round(ounces * 10) / 160);
  const rest = ounces - 16 * pounds;
  return rest < 0.05 ? `${pounds} lb` : `${pounds} lb ${trimmed(rest, 1)} oz`;
}
export function volume(litres: number, system: System): string {
  return system === 'si' ? `${figure(litres, 1)} L` : `${figure(litres / litresInUsGallon, 2)} US gal`;
}
export function temperature(celsius: number, system: System): string {
  return system === 'si' ? `${figure(celsius, 1)} °C` : `${figure(celsius * 1.8 + 32, 0)} °F`;
}

/** A value of a measure without its unit, and the unit. */
export function bare(value: number, quantity: Quantity, system: System): string {
  switch (quantity) {
    case 'alcohol': return figure(value, 1);
    case 'ibu': return figure(value, 0);
    case 'colour': return figure(system === 'si' ? value : value / ebcInSrm, 0);
    case 'gravity': return figure(value, 3);
    case 'ph': return figure(value, 2);
    case 'mg': return figure(value, 0);
  }
}
export function unitOf(quantity: Quantity, system: System): string {
  switch (quantity) {
    case 'alcohol': return '% vol';
    case 'ibu': return 'IBU';
    case 'colour': return system === 'si' ? 'EBC' : 'SRM';
    case 'gravity': return 'SG';
    case 'ph': return 'pH';
    case 'mg': return 'mg/L';
  }
}
export function shown(value: number, quantity: Quantity, system: System): string {
  return quantity === 'ph' ? bare(value, quantity, system) : `${bare(value, quantity, system)} ${unitOf(quantity, system)}`;
}
