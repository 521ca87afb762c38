// What a gyle's log comes to on the page: which entries hold, which steps are done, and when the next one is due. Times are those of the
// clock on the wall, so a timer survives a page that is closed and a device that sleeps.
import type { Entry, Step } from '../api';

const doneWord = 'Done: ';

/** Entries that hold: an entry holds unless a later one that holds itself mends or strikes it. Strikes are left out. */
export function holding(entries: Entry[]): Entry[] {
  const mended = new Set<string>();
  const held: Entry[] = [];
  for (const entry of [...entries].reverse()) {
    if (mended.has(entry.key)) continue;
    if (entry.mends !== undefined) mended.add(entry.mends);
    if (entry.kind !== 'struck') held.unshift(entry);
  }
  return held;
}
export const doneText = (step: Step): string => doneWord + step.name;
export function stepDone(entry: Entry): string | null {
  return entry.kind === 'note' && entry.body.text.startsWith(doneWord) ? entry.body.text.slice(doneWord.length) : null;
}
/** When each step was done, by its name, in milliseconds. */
export function doneTimes(held: Entry[]): Map<string, number> {
  const times = new Map<string, number>();
  for (const entry of held) {
    const name = stepDone(entry);
    if (name !== null) times.set(name, Date.parse(entry.at));
  }
  return times;
}
/** When a step is due (for one that takes a while: over), if its clock runs. */
export function dueAt(steps: Step[], index: number, done: Map<string, number>, boilMinutes: number): number | null {
  const step = steps[index];
  if (step === undefined) return null;
  if (step.to_go !== undefined) {
    const start = steps.find(({ reaches }) => reaches === 'boil');
    const began = start && done.get(start.name);
    return began === undefined ? null : began + (boilMinutes - step.to_go) * 60_000;
  }
  if (step.minutes === undefined) return null;
  const before = steps[index - 1];
  const began = before && done.get(before.name);
  return began === undefined ? null : began + step.minutes * 60_000;
}
/** Entries written at one tap share the beginning of their keys. */
export const groupOf = (key: string): string => key.replace(/\.\d+$/, '');
