// What the program can be asked, as docs/openapi.json has it. Every failure is a Trouble, with the problems the program names.
import type { Brief, Item, Kind } from './brief';
import { wire } from './brief';

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
}
export interface Ingredient { id: string; name: string; kind: Kind; traits: Record<string, number | boolean> }
export interface Packet {
  name: string;
  sound: boolean;
  findings: { severity: 'note' | 'doubtful' | 'wrong'; figure: string; message: string }[];
  hazards: { severity: Severity; text: string; instead: string }[];
}
export interface Problem { field?: string; what: string; remedy: string }

export class Trouble extends Error {
  constructor(readonly status: number, readonly problems: Problem[]) {
    super(problems[0]?.what ?? '');
  }
  /** The program was not reached at all. */
  get offline(): boolean { return this.status === 0; }
}

async function ask(path: string, body?: unknown): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(path, body === undefined ? {} : { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  } catch {
    throw new Trouble(0, []);
  }
  if (response.ok) return response;
  const details = (await response.json().catch(() => ({}))) as { problems?: Problem[] };
  throw new Trouble(response.status, details.problems ?? []);
}

export async function composeOpen(id: string, brief: Brief): Promise<Answer> {
  const reply = (await (await ask('/api/compose/warm', { id, brief: wire(brief) })).json()) as { answer: Answer };
  return reply.answer;
}
export async function runSheet(id: string, brief: Brief, proposal: number): Promise<Answer> {
  return (await (await ask('/api/sheet', { id, brief: wire(brief), proposal })).json()) as Answer;
}
export async function briefText(brief: Brief): Promise<string> {
  return (await ask('/api/brief/text', wire(brief))).text();
}
export async function findInLarder(words: string): Promise<{ ingredients: Ingredient[]; nearest?: string[] }> {
  return (await ask(`/api/larder?limit=8&q=${encodeURIComponent(words)}`)).json() as Promise<{ ingredients: Ingredient[]; nearest?: string[] }>;
}
export async function readPacket(item: Item): Promise<Packet> {
  const reply = (await (await ask('/api/packet', item)).json()) as { packets: Packet[] };
  return reply.packets[0] as Packet;
}
export async function pairDevice(code: string): Promise<void> {
  await ask('/api/pair', { code, name: navigator.userAgent.slice(0, 60) });
}
export async function isThere(): Promise<boolean> {
  return ask('/api/health').then(() => true, () => false);
}
