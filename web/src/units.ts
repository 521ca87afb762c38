// How quantities are shown. Inside the page they are as the answer has them: grams, litres, °C, EBC. The factors are exact by definition
// (src/quantity/units.cpp gives the sources); tests/page holds them against `oddgrist convert`.
import { figure } from './words';

export type System = 'si' | 'us';
export type Quantity = 'alcohol' | 'ibu' | 'colour' | 'gravity' | 'ph' | 'mg';

export const litresInUsGallon = 3.785411784;
export const gramsInOunce = 28.349523125;
export const ebcInSrm = 250 / 127;
export const barInPsi = 0.45359237 * 9.80665 / 0.0254 ** 2 / 1e5;
export const millilitresInUsOunce = 1000 * litresInUsGallon / 128;

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
export function pressure(bar: number, system: System): string {
  return system === 'si' ? `${figure(bar, 1)} bar` : `${figure(bar / barInPsi, 0)} psi`;
}
/** A small volume: a dose, a glass. */
export function dose(millilitres: number, system: System): string {
  if (system === 'si') return `${trimmed(millilitres, millilitres < 10 ? 2 : millilitres < 100 ? 1 : 0)} mL`;
  const ounces = millilitres / millilitresInUsOunce;
  return ounces < 1 ? `${trimmed(millilitres, millilitres < 10 ? 2 : 1)} mL` : `${trimmed(ounces, 1)} US fl oz`;
}

// What is typed as a bare number: in which unit, and how it comes to the unit the program has.
export type Typed = 'pressure' | 'temperature' | 'volume' | 'dose' | 'mass' | 'small-mass' | 'alcohol' | 'gravity' | 'gas' | 'sugar' | 'plain';
interface Scale { unit: string; decimals: number; factor: number; zero: number }
const plain = (unit: string, decimals: number, factor = 1, zero = 0): Scale => ({ unit, decimals, factor, zero });
export function scaleOf(typed: Typed, system: System): Scale {
  const si = system === 'si';
  switch (typed) {
    case 'pressure': return si ? plain('bar', 2) : plain('psi', 1, barInPsi);
    case 'temperature': return si ? plain('°C', 1) : plain('°F', 1, 1 / 1.8, 32);
    case 'volume': return si ? plain('L', 2) : plain('US gal', 2, litresInUsGallon);
    case 'mass': return si ? plain('kg', 3) : plain('lb', 3, 16 * gramsInOunce / 1000);
    case 'small-mass': return si ? plain('g', 1, 0.001) : plain('oz', 2, gramsInOunce / 1000);
    case 'dose': return plain('mL', 2);
    case 'alcohol': return plain('% vol', 2);
    case 'gravity': return plain('SG', 4);
    case 'gas': return plain('vol', 2);
    case 'sugar': return plain('g/L', 1);
    case 'plain': return plain('', 3);
  }
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
