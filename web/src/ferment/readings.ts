// Readings as they are typed, and as the program reads them: a table with commas (docs/file-format.md).
export const readingKinds = ['pitched', 'gravity', 'refraction', 'temperature', 'ph', 'pressure', 'dosed'] as const;
export type ReadingKind = (typeof readingKinds)[number];
export const containers = ['one-way-glass', 'returnable-glass', 'sparkling-wine-glass', 'pet', 'ball-lock-keg', 'draught-keg', 'unknown-glass'] as const;
export type Container = (typeof containers)[number];

export interface TypedReading { time: string; kind: ReadingKind; value: string; at: string }
export interface Ferment { readings: TypedReading[]; container: Container; warmest: number | null }

export const emptyFerment = (): Ferment => ({ readings: [{ time: '', kind: 'pitched', value: '', at: '' }], container: 'one-way-glass', warmest: null });
export const valued = (kind: ReadingKind): boolean => kind !== 'pitched' && kind !== 'dosed';

const quoted = (text: string): string => `"${text.trim().replace(/"/g, '""')}"`;
// "19,5" as some languages write it; a bare temperature is in °C.
const plain = (text: string): string => text.trim().replace(/^(\d+),(\d+)/, '$1.$2');
const degrees = (text: string): string => (/^[\d.]+$/.test(plain(text)) ? `${plain(text)} °C` : plain(text));

export function table(readings: TypedReading[]): string {
  const rows = readings.map(({ time, kind, value, at }) => {
    const figure = kind === 'temperature' ? degrees(value) : plain(value);
    return [time, kind, valued(kind) ? quoted(figure) : '', kind === 'gravity' && at.trim() !== '' ? quoted(degrees(at)) : ''].join(',');
  });
  return ['time,kind,value,at', ...rows, ''].join('\n');
}
