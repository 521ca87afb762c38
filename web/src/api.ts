// What the program can be asked, as docs/openapi.json has it. Every failure is a Trouble, with the problems the program names.
import type { Brief, Item, Kind } from './brief';
import { wire } from './brief';
import { table, type Container, type Ferment } from './ferment/readings';

export interface Estimate { value: number; low: number; high: number }
export interface Addition {
  ingredient: string; id: string; kind: Kind; amount: number; step: string; given: boolean; minutes_before_boil_end?: number;
}
export interface Proposal {
  name: string;
  forecast: {
    original_gravity_sg: Estimate; final_gravity_sg: Estimate; abv_percent: Estimate; bitterness_ibu: Estimate; colour_ebc: Estimate;
    fermenter_volume_l: Estimate; mash_ph?: Estimate; colour_srgb?: string;
  };
  additions: Addition[];
  purchases: { ingredient: string; needed_g: number; packets: number; packet_g: number }[];
  waters: { water: string; mash_l: number; sparge_or_top_up_l: number }[];
  yeast: string;
  character: { words: string };
  cost: number; // 0: the brief states none
  rest_temperature_c: number;
  ferment_temperature_c: number;
  run_sheet: { strike_temperature_c: number; mash_liquor_l: number; liquor_l: number; liquor_mg_per_l: Record<string, number> };
  bindings: { what: string; effect: string }[];
}
export type Severity = 'note' | 'caution' | 'danger' | 'refuse';
export interface Caution { severity: Severity; text: string; source: string }
export interface SheetLine {
  phase: string; clock: string; action: string; warning: string;
  expected: { what: string; value: number; unit: string; words: string }[];
}
export interface Answer {
  name: string;
  outcome: 'met' | 'nearest' | 'refused';
  proposals: Proposal[];
  clashes: { wishes: string[]; least_change: string }[];
  cautions: Caution[];
  sheet?: SheetLine[];
  side_by_side?: { why_so_few: string; others: { proposal: number; differs: string; gains: string[]; gives_up: string[]; cautions: Caution[] }[] };
  why?: {
    one_more: {
      ingredient: string; step: string; minutes_before_boil_end?: number; more_g: number; original_gravity_sg: number; final_gravity_sg: number;
      abv_percent: number; bitterness_ibu: number; colour_ebc: number; mash_ph: number; volume_l: number; hurts: string;
    }[];
    left_out: { ingredient: string; reason: string }[];
  };
}
export interface Ingredient { id: string; name: string; kind: Kind; traits: Record<string, number | boolean> }
export interface Packet {
  name: string;
  sound: boolean;
  findings: { severity: 'note' | 'doubtful' | 'wrong'; figure: string; message: string }[];
  contains: string[];
  may_contain: string[];
  hazards: Hazard[];
}
export interface Band { low: number; median: number; high: number }
export type FermentState = 'cannot-tell' | 'unread' | 'lag' | 'as-expected' | 'slow' | 'stuck' | 'finished' | 'refermenting';
export interface Watch {
  hour: number;
  state: FermentState;
  chance: number;
  reasons: string[];
  questions: { reading: number; words: string }[];
  gravity_now_sg?: Band;
  finished?: { soonest: string; median: string; latest: string } | null;
  next?: { time: string; why: string } | null;
  bottling?: {
    verdict: 'not-yet' | 'yes' | 'danger'; reasons: string[];
    containers: { container: Container; rating_bar: number; pressure_bar: Band; over_rating: number }[];
  };
  watched?: { reading: number; time: string; hour: number; gravity_sg: number; deviation_sg: number; questioned: boolean }[];
  curve?: { hour: number; gravity_sg: Band }[];
}
export interface GasPoint { hour: number; low: number; usual: number; high: number }
export interface Gas {
  state: 'refused' | 'not-reachable' | 'under-way' | 'check-now' | 'turn-down-now';
  refusals: string[]; dangers: string[]; wanted_volumes: number; high_gauge_bar: number; keg_rating_bar: number; began: string;
  now?: GasPoint; serving_gauge_bar?: number; never_turned_down_volumes?: number; day_too_long_volumes?: number; next_check?: string;
  readings?: { time: string; volumes: number; questioned: boolean }[];
  turn_down?: { soonest: string; usual: string; latest: string; hours: number };
  curve?: GasPoint[];
}
export interface TrialGlass {
  letter: string; dose_ml: number; batch_dose_ml: number; batch_dose_g: number; steep_g: number; gravity_sg: number; abv_percent: number;
  later_volumes: number; bottle_gauge_bar: number; bottle: 'sound' | 'near-limit' | 'refuse';
}
export interface Trial { glass_ml: number; batch_l: number; seed: number; order: string; bottle_c: number; glasses: TrialGlass[]; picked?: TrialGlass }
export interface Hazard { severity: 'caution' | 'danger' | 'refuse'; text: string; instead: string; source: string }
export interface StockLine {
  ingredient: string; name: string; kind?: Kind; grams: number; opened_on?: string; best_before?: string; changed_at: string; hazards: Hazard[];
}
export type StockWhat =
  | { kind: 'took-in'; body: { ingredient: string; kg: number; best_before?: string; remark?: string } }
  | { kind: 'used' | 'counted'; body: { ingredient: string; kg: number; gyle?: string } }
  | { kind: 'opened'; body: { ingredient: string; on: string } }
  | { kind: 'best-before'; body: { ingredient: string; day: string } }
  | { kind: 'struck'; body: { why: string } };
export type StockEntry = { key: string; at: string; holds: boolean; mends?: string } & StockWhat;
export interface KitKnown {
  kit: string; gyles: string[]; told_by: string[]; did_not_fit: string[]; left_out: string[];
  figures: { figure: string; unit: string; yeast?: string; stated: Estimate; learned: Estimate; narrower: number; gyles: number; let_go: number }[];
  read_next: { sight: Sight; stage: Stage; takes_off: number }[];
}
export interface Problem { field?: string; what: string; remedy: string }

export class Trouble extends Error {
  /** `kind`: the last part of the problem's type. `retryAfter`: seconds the program asks to wait. */
  constructor(readonly status: number, readonly problems: Problem[], readonly kind = '', readonly retryAfter = 0) {
    super(problems[0]?.what ?? '');
  }
  /** The program was not reached at all. */
  get offline(): boolean { return this.status === 0; }
}

let toldOfStore: (readOnly: boolean) => void = () => undefined;
/** Hears with every reply whether the store is only read, because it was found damaged. */
export function whenToldOfStore(how: typeof toldOfStore): void {
  toldOfStore = how;
}

async function ask(path: string, body?: unknown, signal?: AbortSignal): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(path, { signal: signal ?? null, ...(body === undefined ? {} : { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }) });
  } catch {
    throw new Trouble(0, []);
  }
  // Who is not paired is not told, and neither is a question about health.
  if (response.status !== 401 && path !== '/api/health') toldOfStore(response.headers.get('Oddgrist-Store') === 'read-only');
  if (response.ok) return response;
  const details = (await response.json().catch(() => ({}))) as { type?: string; problems?: Problem[] };
  throw new Trouble(response.status, details.problems ?? [], details.type?.split('/').at(-1) ?? '', Number(response.headers.get('Retry-After')) || 0);
}

/** A brief as it is asked about: with what its kit has taught, or as it is stated. */
export interface OpenBrief { id: string; brief: Brief; learned: boolean }
export const asked = ({ id, brief, learned }: OpenBrief): object => ({ id, brief: wire(brief), ...(learned ? { learned } : {}) });

// Settled: everything was chosen anew. Otherwise only the amounts were fitted to ranges that have moved.
export async function composeOpen(open: OpenBrief, settle: boolean): Promise<{ answer: Answer; settled: boolean }> {
  return (await ask('/api/compose/warm', { ...asked(open), settle })).json() as Promise<{ answer: Answer; settled: boolean }>;
}
/** The settled answer with other ways to brew it. The program keeps them until the brief changes. */
export async function composeOthers(open: OpenBrief): Promise<Answer> {
  return (await ask('/api/compose/others', asked(open))).json() as Promise<Answer>;
}
export async function runSheet(open: OpenBrief, proposal: number): Promise<Answer> {
  return (await (await ask('/api/sheet', { ...asked(open), proposal })).json()) as Answer;
}
export async function watchReadings(open: OpenBrief, proposal: number, { readings, container, warmest }: Ferment): Promise<Watch> {
  return (await ask('/api/watch', { ...asked(open), proposal, readings: table(readings), container, ...(warmest === null ? {} : { warmest_c: warmest }) })).json() as Promise<Watch>;
}
/** A brief or a round as the text of its file. */
export async function fileText(document: object): Promise<string> {
  return (await ask('/api/brief/text', document)).text();
}
export async function findInLarder(words: string): Promise<{ ingredients: Ingredient[]; nearest?: string[]; hazards?: Hazard[] }> {
  return (await ask(`/api/larder?limit=8&q=${encodeURIComponent(words)}`)).json() as Promise<{ ingredients: Ingredient[]; nearest?: string[]; hazards?: Hazard[] }>;
}
export async function readPacket(item: Item): Promise<Packet> {
  const reply = (await (await ask('/api/packet', item)).json()) as { packets: Packet[] };
  return reply.packets[0] as Packet;
}
export async function reckonGas(plan: object): Promise<Gas> {
  return (await ask('/api/gas', plan)).json() as Promise<Gas>;
}
export async function planTrial(plan: object): Promise<Trial> {
  return (await ask('/api/trial', plan)).json() as Promise<Trial>;
}
export async function lookUp(id: string): Promise<{ ingredient: Ingredient & { allergens: string[] }; hazards: Hazard[]; notice: string }> {
  return (await ask(`/api/larder/${encodeURIComponent(id)}`)).json() as Promise<{ ingredient: Ingredient & { allergens: string[] }; hazards: Hazard[]; notice: string }>;
}
export async function stockNow(): Promise<{ stock: StockLine[]; notice: string }> {
  return (await ask('/api/stock')).json() as Promise<{ stock: StockLine[]; notice: string }>;
}
export async function stockLog(): Promise<StockEntry[]> {
  return ((await (await ask('/api/stock/entries')).json()) as { entries: StockEntry[] }).entries;
}
export type StockWrite = { version: 1; key: string; at: string; mends?: string } & StockWhat;
export async function writeStock(entries: StockWrite[]): Promise<void> {
  await inGoodTime((signal) => ask('/api/stock/entries', { entries }, signal));
}
export async function findKits(): Promise<{ kit: string; gyles: number }[]> {
  return ((await (await ask('/api/kits')).json()) as { kits: { kit: string; gyles: number }[] }).kits;
}
export async function kitKnown(kit: string): Promise<KitKnown> {
  return (await ask(`/api/kits/${encodeURIComponent(kit)}`)).json() as Promise<KitKnown>;
}
export async function askRound<T>(what: 'check' | 'draw' | 'sheets' | 'rank', round: object): Promise<T> {
  return (await ask(`/api/round/${what}`, { round })).json() as Promise<T>;
}
export interface RoundLine { round: string; name: string; closed: boolean; changed_at: string }
export interface KeptRound { round: string; closed: boolean; parts: Record<string, unknown>; sheets: { judge: string; beers: number; marks?: Record<string, Record<string, number>> }[] }
export type RoundEntry = { key: string; at: string } & (
  | { kind: 'part'; body: { part: string; value: unknown } }
  | { kind: 'sheet'; body: { judge: string; marks: Record<string, Record<string, number>> } }
  | { kind: 'closed'; body: object });
const roundPath = (round: string, rest = ''): string => `/api/rounds/${encodeURIComponent(round)}${rest}`;
export async function findRounds(): Promise<RoundLine[]> {
  return ((await (await ask('/api/rounds')).json()) as { rounds: RoundLine[] }).rounds;
}
export async function keptRound(round: string): Promise<KeptRound> {
  return (await ask(roundPath(round))).json() as Promise<KeptRound>;
}
export async function writeRound(round: string, entries: RoundEntry[]): Promise<void> {
  await inGoodTime((signal) => ask(roundPath(round, '/entries'), { entries: entries.map((entry) => ({ version: 1, ...entry })) }, signal));
}
export async function pairDevice(by: { code: string } | { link: string }): Promise<void> {
  await ask('/api/pair', { ...by, name: navigator.userAgent.slice(0, 60) });
}
export interface Device { id: string; name: string; paired: string; seen: string; this: boolean }
export async function findDevices(): Promise<Device[]> {
  return ((await (await ask('/api/devices')).json()) as { devices: Device[] }).devices;
}
export async function shutOut(device: string): Promise<void> {
  await ask(`/api/devices/${encodeURIComponent(device)}/shut-out`, {});
}
/** What the reply says of the store is heard by `whenToldOfStore`. */
export async function askAfterStore(): Promise<void> {
  await ask('/api/store');
}
export async function isThere(): Promise<boolean> {
  return ask('/api/health').then(() => true, () => false);
}

// Gyles
export type Stage = 'planned' | 'mash' | 'before-boil' | 'boil' | 'after-boil' | 'fermenter' | 'package';
export type Sight = 'volume' | 'gravity' | 'refraction' | 'temperature' | 'ph' | 'pressure' | 'mass' | 'taste';
export interface Amount { what: string; into: string; minutes_before_boil_end?: number; kg: number }
export type What =
  | { kind: 'started'; body: { name: string; recipe?: { amounts: Amount[] }; learned?: boolean } }
  | { kind: 'reached'; body: { stage: Stage } }
  | { kind: 'reading'; body: { sight: Sight; stage: Stage; value: number; at_celsius?: number; of?: string } }
  | { kind: 'added' | 'missed'; body: { amount: Amount } }
  | { kind: 'lost'; body: { stage: Stage; volume_l: number } }
  | { kind: 'changed'; body: { boil_minutes?: number; carbonation_volumes?: number; priming_sucrose_g?: number; ferment_at_celsius?: number; of?: string } }
  | { kind: 'note'; body: { text: string } }
  | { kind: 'struck'; body: { why: string } };
export type Entry = { version: 1; key: string; at: string; mends?: string } & What;
type Figures = Record<string, { value: number | null; low: number | null; high: number | null }>;
export interface GyleNow {
  name: string; stage: Stage; boil_minutes: number; before: Figures; now: Figures; trouble: string[];
  readings: { key: string; questioned: boolean; figure?: string; value?: number; expected?: number; slips?: string[]; why?: string }[];
}
export interface Gyle { gyle: string; entries: Entry[]; now: GyleNow }
export interface Step extends SheetLine { name: string; stage: Stage; reaches?: Stage; minutes?: number; to_go?: number }
export interface DaySheet { gyle: string; name: string; boil_minutes: number; sheet: Step[] }
export interface Move {
  words: string; minds: string[];
  move: { parts: unknown[]; gain: number; chance_worse: number; work_minutes: number; money: number; outlook: Figures; entries: ({ version: 1 } & What)[] };
}
export interface GyleLine { gyle: string; name: string; stage: Stage; started_at: string; changed_at: string; entries: number }

const gylePath = (gyle: string, rest = ''): string => `/api/gyles/${encodeURIComponent(gyle)}${rest}`;
export async function findGyles(words: string): Promise<{ gyles: GyleLine[]; all: number }> {
  return (await ask(`/api/gyles?q=${encodeURIComponent(words)}`)).json() as Promise<{ gyles: GyleLine[]; all: number }>;
}
export async function startGyle(begin: { gyle: string; key: string; at: string }, open: OpenBrief, proposal: number): Promise<void> {
  await ask('/api/gyles', { ...begin, ...asked(open), proposal });
}
export async function gyleLog(gyle: string): Promise<Gyle> {
  return (await ask(gylePath(gyle))).json() as Promise<Gyle>;
}
export async function gyleSheet(gyle: string, units: string): Promise<DaySheet> {
  return (await ask(gylePath(gyle, `/sheet?units=${units}`))).json() as Promise<DaySheet>;
}
export async function gyleMoves(gyle: string, units: string): Promise<Move[]> {
  return ((await (await ask(gylePath(gyle, `/moves?units=${units}`))).json()) as { moves: Move[] }).moves;
}
/** The program writes an entry once, however often it is sent. Without an answer in good time it counts as not reached. */
async function inGoodTime(asking: (signal: AbortSignal) => Promise<unknown>): Promise<void> {
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), 10_000);
  try {
    await asking(patience.signal);
  } finally {
    clearTimeout(timer);
  }
}
export async function writeEntries(gyle: string, entries: Entry[]): Promise<void> {
  await inGoodTime((signal) => ask(gylePath(gyle, '/entries'), { entries }, signal));
}
