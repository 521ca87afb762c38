// The round in hand: kept on this device and, as a log, in the store, so that several devices work on the same one. Every edit becomes
// entries, one for each part that it changed; those wait on the device until the program has them, or until one that was refused is
// dropped. What a judge marked is told to the
// other devices once all sheets are in.
import { findRounds, keptRound, Trouble, writeRound, type KeptRound, type Problem, type RoundEntry, type RoundLine } from '../api';
import { BackOff, faultOf, type Fault } from '../parts/faults';
import { change, fromDevice, newId, onDevice } from '../state';
import { emptyRound, type Marks, type Member, type Round } from './round';

type Waiting = { round: string; entry: RoundEntry };
const place = 'oddgrist.round.1';
const waitingPlace = 'oddgrist.round.waiting.1';
const restMilliseconds = 400; // of a hand that types
const notParts = ['id', 'closed', 'handed', 'members', 'marks'];

function begin(): Round {
  const kept = fromDevice<Partial<Round>>(place);
  const now: Round = { ...emptyRound(), ...kept };
  for (const member of now.members) member.id ??= newId(); // as older pages kept it
  return now;
}
const now = begin();
export const sending: { fault: Fault | null; refused: { key: string; problems: Problem[] } | null } = { fault: null, refused: null };
const backOff = new BackOff();
const loadBackOff = new BackOff();
let oneByOne = false;
let later = 0;
let waiting = fromDevice<Waiting[]>(waitingPlace) ?? [];
let inFlight = new Set<string>();
let acknowledged = 0; // counts batches
let timer = 0;

/** What can be changed by itself. Brewers are parts of their own: two devices may each add one. */
function partsOf(round: Round): Map<string, unknown> {
  const parts = new Map<string, unknown>(Object.entries(round).filter(([name]) => !notParts.includes(name)));
  parts.set('order', round.members.map(({ id }) => id));
  for (const member of round.members) parts.set(`member/${member.id}`, member);
  return parts;
}
function snapshot(round: Round): { id: string; closed: boolean; parts: Map<string, string>; sheets: Map<string, string> } {
  const text = (all: Iterable<[string, unknown]>): Map<string, string> => new Map([...all].map(([name, value]) => [name, JSON.stringify(value)]));
  return { id: round.id, closed: round.closed, parts: text(partsOf(round)), sheets: text(Object.entries(round.marks)) };
}

/** One that says the same thing later takes the place of an earlier one that has not been sent. */
function post(entry: RoundEntry): void {
  const about = ({ kind, body }: RoundEntry): string => (kind === 'part' ? `part ${body.part}` : kind === 'sheet' ? `sheet ${body.judge}` : kind);
  waiting = [...waiting.filter((each) => each.round !== now.id || inFlight.has(each.entry.key) || about(each.entry) !== about(entry)), { round: now.id, entry }];
  // What was refused has been changed.
  if (!waiting.some((each) => each.entry.key === sending.refused?.key)) sending.refused = null;
}
function postChanges(before: ReturnType<typeof snapshot>): void {
  const after = snapshot(now);
  const at = new Date().toISOString();
  const key = newId();
  let count = 0;
  const stamp = (): { key: string; at: string } => ({ key: `${key}.${count++}`, at });
  const value = (text: string | undefined): unknown => (text === undefined ? null : JSON.parse(text));
  for (const part of new Set([...before.parts.keys(), ...after.parts.keys()]))
    if (before.parts.get(part) !== after.parts.get(part)) post({ ...stamp(), kind: 'part', body: { part, value: value(after.parts.get(part)) } });
  for (const judge of new Set([...before.sheets.keys(), ...after.sheets.keys()]))
    if (before.sheets.get(judge) !== after.sheets.get(judge)) post({ ...stamp(), kind: 'sheet', body: { judge, marks: (value(after.sheets.get(judge)) ?? {}) as Marks[string] } });
  if (after.closed && !before.closed) post({ ...stamp(), kind: 'closed', body: {} });
}
function keep(): void {
  onDevice(place, now);
  onDevice(waitingPlace, waiting);
}

export const round = {
  now,
  edit(how: (now: Round) => void): void {
    const before = snapshot(now);
    change(() => {
      how(now);
      // Another round is begun: all that it has differs from an empty one.
      postChanges(before.id === now.id ? before : snapshot({ ...emptyRound(), id: now.id }));
    });
    keep();
    sendSoon(restMilliseconds);
  },
};
export const waitingCount = (): number => waiting.length;

// The store sorts keys.
const sorted = (value: unknown): string => JSON.stringify(value, (_name, inner: unknown) => (inner !== null && typeof inner === 'object' && !Array.isArray(inner) ? Object.fromEntries(Object.entries(inner).sort(([one], [other]) => (one < other ? -1 : 1))) : inner));
/** What is here stays if it says the same, so that nothing that hangs on it counts as changed. */
const unlessSame = <T>(here: T | undefined, there: T): T => (here !== undefined && sorted(here) === sorted(there) ? here : there);

/** What stands in the store, under what waits here. */
function take(kept: KeptRound): void {
  const unsent = new Map(waiting.filter((each) => each.round === kept.round).map(({ entry }) => [entry.kind === 'part' ? entry.body.part : `${entry.kind} ${entry.kind === 'sheet' ? entry.body.judge : ''}`, entry]));
  const parts = new Map(Object.entries(kept.parts));
  for (const { kind, body } of unsent.values()) if (kind === 'part') { if (body.value === null) parts.delete(body.part); else parts.set(body.part, body.value); }
  const order = (parts.get('order') ?? []) as string[];
  const members = [...parts].filter(([name]) => name.startsWith('member/')).map(([, member]) => member as Member).map((member) => unlessSame(now.members.find(({ id }) => id === member.id), member));
  const at = ({ id }: Member): number => (order.includes(id) ? order.indexOf(id) : order.length);
  const other = kept.round !== now.id;
  const marks: Marks = other ? {} : { ...now.marks };
  for (const { judge, marks: told } of kept.sheets) {
    if (told === undefined || unsent.has(`sheet ${judge}`)) continue;
    if (Object.keys(told).length > 0) marks[judge] = unlessSame(marks[judge], told);
    else delete marks[judge];
  }
  const here = new Map<string, unknown>(Object.entries(now));
  const plain = [...parts].filter(([name]) => name !== 'order' && !name.startsWith('member/')).map(([name, value]) => [name, unlessSame(here.get(name), value)] as const);
  Object.assign(now, emptyRound(), Object.fromEntries(plain), {
    id: kept.round, closed: kept.closed || unsent.has('closed '), members: members.sort((a, b) => at(a) - at(b)), marks,
    handed: kept.sheets.filter(({ beers }) => beers > 0).map(({ judge }) => judge),
  });
}

let asking = false;
let stale = false;
export async function load(id = now.id): Promise<void> {
  stale = true;
  if (asking && id === now.id) return;
  asking = true;
  while (stale) {
    stale = false;
    clearTimeout(later);
    try {
      const seen = acknowledged;
      const kept = await keptRound(id);
      // What was acknowledged meanwhile may not be in it.
      if (seen !== acknowledged) { stale = true; continue; }
      loadBackOff.reset();
      change(() => { take(kept); if (waiting.length === 0) sending.fault = null; });
      keep();
    } catch (trouble) {
      // A round that is not there has only not been written yet.
      const fault = faultOf(trouble);
      if (fault === 'missing') continue;
      change(() => void (sending.fault = fault));
      if (fault !== 'storeless' && fault !== 'away') later = window.setTimeout(() => void load(), loadBackOff.next(trouble));
    }
  }
  asking = false;
}
export function otherRounds(): Promise<RoundLine[]> {
  return findRounds().then((all) => all.filter((each) => each.round !== now.id), () => []);
}

function sendSoon(milliseconds: number): void {
  clearTimeout(timer);
  timer = window.setTimeout(() => void send(), milliseconds);
}
/** Somebody gives up a change the program will not have. */
export function dropRefused(): void {
  const { refused } = sending;
  if (refused === null) return;
  change(() => {
    waiting = waiting.filter(({ entry }) => entry.key !== refused.key);
    sending.refused = null;
  });
  keep();
  void send().then(() => load());
}
export async function send(): Promise<void> {
  const due = waiting.filter(({ entry }) => entry.key !== sending.refused?.key);
  const first = due[0];
  if (first === undefined || inFlight.size > 0) return;
  const batch = due.filter((each) => each.round === first.round).slice(0, oneByOne ? 1 : 100);
  inFlight = new Set(batch.map(({ entry }) => entry.key));
  let again = 0;
  try {
    await writeRound(first.round, batch.map(({ entry }) => entry));
    acknowledged += 1;
    backOff.reset();
    change(() => {
      waiting = waiting.filter(({ entry }) => !inFlight.has(entry.key));
      sending.fault = null;
    });
  } catch (trouble) {
    const fault = faultOf(trouble);
    const problems = trouble instanceof Trouble ? trouble.problems : [];
    if (fault === 'refused') {
      // The others that came with it are sent by themselves; a second one that is refused waits for its turn.
      if (batch.length === 1 && sending.refused === null) change(() => Object.assign(sending, { refused: { key: first.entry.key, problems }, fault: null }));
      else if (batch.length === 1) again = backOff.next(trouble);
      oneByOne = true;
    } else {
      change(() => void (sending.fault = fault));
      again = backOff.next(trouble);
    }
  }
  inFlight = new Set();
  keep();
  if (waiting.length === 0) oneByOne = false;
  if (again > 0) sendSoon(again);
  else void send();
}

/** Once, when the view is opened: what an older page kept on this device goes into the store. */
export function bringIn(): void {
  if (now.members.length > 0 && fromDevice<object>(place) !== null && fromDevice<Partial<Round>>(place)?.id === undefined) {
    postChanges(snapshot({ ...emptyRound(), id: now.id }));
    keep();
  }
  void send().then(() => load());
}
