// The gyle in hand: its log and its sheet, kept on the device, so that the day goes on without a network.
import { gyleLog, gyleMoves, gyleSheet, type DaySheet, type Entry, type Gyle, type Move, type What } from '../api';
import { BackOff, faultOf, type Fault } from '../parts/faults';
import { change, fromDevice, newId, onDevice, state } from '../state';
import { holding, groupOf } from './log';
import { t } from '../words';
import { post, send, waitingFor, whenArrived } from './outbox';

interface Day {
  gyle: string;
  kept: Gyle | null;
  sheet: DaySheet | null;
  fault: Fault | null; // of the last try to read it
  missing: boolean; // there is no such gyle
  moves: Move[] | null;
  asking: boolean; // for moves
}
const place = 'oddgrist.day.1';
const blank = { fault: null, missing: false, moves: null, asking: false };
export const day: Day = { gyle: '', kept: null, sheet: null, ...fromDevice<Partial<Day>>(place), ...blank };

const backOff = new BackOff();
let later = 0;
let loading = false;
let stale = false;
let wanted = false; // moves are to be looked for once the readings have arrived

export function openGyle(gyle: string): void {
  if (gyle !== day.gyle) change(() => Object.assign(day, { gyle, kept: null, sheet: null, ...blank }));
  void load();
}
export async function load(): Promise<void> {
  stale = true;
  if (loading) return;
  loading = true;
  while (stale && day.gyle !== '') {
    stale = false;
    clearTimeout(later);
    const { gyle } = day;
    try {
      const [found, sheet] = await Promise.all([gyleLog(gyle), gyleSheet(gyle, state.settings.system)]);
      if (gyle !== day.gyle) continue;
      // What was acknowledged while this reply was on its way is not in it; a log only grows, so nothing is wrong with having both.
      const known = new Set(found.entries.map(({ key }) => key));
      const kept = { ...found, entries: [...found.entries, ...(day.kept?.entries ?? []).filter(({ key }) => !known.has(key))] };
      backOff.reset();
      change(() => Object.assign(day, { kept, sheet, fault: null, missing: false }));
      onDevice(place, { gyle, kept, sheet });
      if (wanted && waitingFor(gyle).length === 0) void askMoves();
    } catch (trouble) {
      const fault = faultOf(trouble);
      change(() => Object.assign(day, { fault, missing: fault === 'missing' }));
      // What is busy now is not later; without a connection the listener comes back by itself.
      if (fault !== 'missing' && fault !== 'away') later = window.setTimeout(() => void load(), backOff.next(trouble));
    }
  }
  loading = false;
}
export function entriesNow(): Entry[] {
  const kept = day.kept?.entries ?? [];
  const known = new Set(kept.map(({ key }) => key));
  return [...kept, ...waitingFor(day.gyle).filter(({ key }) => !known.has(key))];
}
/** Everything written at one tap, in its order. */
export function write(whats: What[], at = new Date().toISOString()): void {
  const group = newId();
  post(day.gyle, whats.map((what, index) => ({ version: 1, key: `${group}.${index}`, at, ...what })));
  if (whats.some(({ kind }) => ['reading', 'missed', 'added', 'lost'].includes(kind))) {
    wanted = true;
    change(() => void (day.moves = null));
  }
}
/** What the next undoing takes back: all that was written at the last tap and still holds. */
export function lastGroup(held: Entry[]): Entry[] {
  const last = held.filter(({ kind }) => kind !== 'started').at(-1);
  return last === undefined ? [] : held.filter(({ key, kind }) => kind !== 'started' && groupOf(key) === groupOf(last.key));
}
export function undo(): void {
  const group = newId();
  const at = new Date().toISOString();
  post(day.gyle, lastGroup(holding(entriesNow())).reverse().map(({ key }, index) => ({ version: 1, key: `${group}.${index}`, at, mends: key, kind: 'struck', body: { why: 'undone' } })));
}
export async function askMoves(): Promise<void> {
  wanted = false;
  const { gyle } = day;
  change(() => Object.assign(day, { asking: true }));
  const moves = await gyleMoves(gyle, state.settings.system).catch(() => null);
  change(() => Object.assign(day, { asking: false, moves: gyle === day.gyle ? moves : day.moves }));
}

whenArrived((gyle, came) => {
  if (gyle !== day.gyle || day.kept === null) return;
  const entries = came as Entry[];
  const known = new Set(day.kept.entries.map(({ key }) => key));
  day.kept = { ...day.kept, entries: [...day.kept.entries, ...entries.filter(({ key }) => !known.has(key))] };
  onDevice(place, { gyle, kept: day.kept, sheet: day.sheet });
  void load();
});

/** Why the gyle is not to be seen (yet). */
export function whyNot(): string {
  if (day.missing) return t('day.missing');
  if (day.fault === null) return t('day.loading');
  return day.fault === 'away' ? t('day.unreached') : t(`fault.${day.fault}`);
}

/** Hears what other devices write. Returns what ends it. */
export function listen(): () => void {
  let source: EventSource | null = null;
  let timer = 0;
  const open = (): void => {
    source = new EventSource('/api/changes');
    source.onopen = () => { void send(); void load(); };
    source.onerror = () => {
      if (source?.readyState !== EventSource.CLOSED) return;
      clearTimeout(timer);
      timer = window.setTimeout(open, 3000);
    };
    source.addEventListener('change', (event) => {
      const { topic, subject } = JSON.parse(String(event.data)) as { topic: string; subject: string };
      if (topic === 'gyle' && (subject === day.gyle || subject === '')) void load();
    });
    source.addEventListener('all', () => void load());
  };
  open();
  return () => {
    clearTimeout(timer);
    source?.close();
  };
}
