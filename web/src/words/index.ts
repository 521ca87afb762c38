// The words in the language chosen. Texts the program itself writes (cautions, clashes, what binds) are English; they are marked so.
import { de } from './de';
import { en, type Words } from './en';

export type Language = 'en' | 'de';
export type Word = keyof Words;
const languages: Record<Language, Words> = { en, de };
let chosen: Language = 'en';
// Making one takes a hundred times as long as using it.
const writers = new Map<string, Intl.NumberFormat>();

export function speak(language: Language): void {
  if (chosen === language && document.documentElement.lang === language) return;
  chosen = language;
  document.documentElement.lang = language;
}
export function isWord(key: string): key is Word {
  return key in en;
}
export function t(key: Word, fill: Record<string, string | number> = {}): string {
  return languages[chosen][key].replace(/\{(\w+)\}/g, (_, name: string) => String(fill[name] ?? ''));
}
/** A number as the language writes it. */
export function figure(value: number, decimals: number): string {
  const kept = `${chosen} ${decimals}`;
  let write = writers.get(kept);
  if (write === undefined) writers.set(kept, (write = new Intl.NumberFormat(chosen, { minimumFractionDigits: decimals, maximumFractionDigits: decimals, useGrouping: false })));
  return write.format(value);
}
/** A moment as the language writes it. Without a zone it is that of the clock on the wall. */
export function moment(time: string): string {
  return new Date(time).toLocaleString(chosen, { dateStyle: 'medium', timeStyle: 'short' });
}
export function dayOf(day: string): string {
  return new Date(`${day}T12:00`).toLocaleDateString(chosen, { dateStyle: 'medium' });
}
