// A round as the page edits it, and as the program reads it (docs/file-format.md, "A round").
import { said, saidOnly, supplyOnWire, type Item, type Supply } from '../brief';
import { newId } from '../state';

export const allergens = ['gluten-cereal', 'crustacean', 'egg', 'fish', 'peanut', 'soya', 'milk', 'tree-nut', 'celery', 'mustard', 'sesame', 'sulphite', 'lupin', 'mollusc'] as const;
export interface Member { id: string; name: string; kit: string; cannot: string[]; parcel: Supply[] }
export type Marks = Record<string, Record<string, Record<string, number>>>; // judge, code, criterion
export interface Round {
  id: string; // of its log in the store
  closed: boolean; // all sheets are in
  handed: string[]; // judges whose sheets are in the store
  name: string;
  straight: boolean;
  onlySound: boolean;
  drawSeed: number | null;
  codeSeed: number | null;
  guests: string; // names, with commas between
  criteria: string; // likewise
  kits: Record<string, string>[];
  members: Member[];
  pantry: Supply[];
  items: Item[];
  water: Record<string, string>;
  past: { name: string; brewed: Record<string, string> }[];
  drawn: Record<string, string> | null;
  marks: Marks;
}
export interface Bars { brewer: string; giver: string; words: string }
interface Beer { volume_l: number; abv_percent: number; bitterness_ibu: number; final_gravity_sg: number }
export interface Check {
  result: { parcels: { giver: string; allergens: string[]; findings: { brewers: string[]; kit: string; verdict: 'sound' | 'nearly' | 'beyond-kit' | 'refused'; reasons: string[]; beer?: Beer }[] }[] };
  bar_words: Bars[]; obstacle_words?: string; cure_words?: string[];
}
export interface Draw {
  result: { pairs: { brewer: string; giver: string }[]; evenness?: 'counted' | 'tried' | 'improvised'; ways?: number | null; proven_none?: boolean };
  obstacle_words?: string; cure_words?: string[];
}
export interface Sheets { result: { key: { code: string; brewer: string; giver?: string }[]; sheets: { judge: string; codes: string[] }[] } }
export interface Places {
  result: {
    groups: number;
    beers: { brewer: string; giver?: string; group: number; place: number; sheets: number; score: number; ahead: number; low: number | null; high: number | null; alike: string[] }[];
    judges: { judge: string; lean: number; sheets: number }[]; unscored: string[]; left_out: { what: string; remedy: string }[];
  };
}

export const emptyRound = (): Round => ({
  id: newId(), closed: false, handed: [],
  name: '', straight: true, onlySound: false, drawSeed: null, codeSeed: null, guests: '', criteria: '', kits: [{ name: 'kettle and bag', kettle: '16 L' }], members: [], pantry: [], items: [], water: {}, past: [], drawn: null, marks: {},
});
export const namesIn = (text: string): string[] => text.split(',').map((name) => name.trim()).filter((name) => name !== '');

export function roundOnWire(of: Round): object {
  const criteria = namesIn(of.criteria);
  const water = saidOnly(of.water);
  const brewing = new Set(of.members.map(({ name }) => name.trim()));
  // A draw made before somebody came or left holds no longer.
  const drawn = of.drawn !== null && Object.keys(of.drawn).length === brewing.size && Object.keys(of.drawn).every((name) => brewing.has(name)) ? of.drawn : undefined;
  return {
    round: {
      ...saidOnly({ name: of.name.trim() }), 'straight-swaps': of.straight, 'only-sound': of.onlySound, guests: namesIn(of.guests),
      ...(of.drawSeed === null ? {} : { 'draw-seed': of.drawSeed }), ...(of.codeSeed === null ? {} : { 'code-seed': of.codeSeed }),
    },
    kit: of.kits.map((kit) => saidOnly(kit)),
    have: of.pantry.map(supplyOnWire),
    item: of.items.map((item) => saidOnly(item)),
    ...(Object.values(water).some(said) ? { water: [{ name: 'tap', ...water }] } : {}),
    member: of.members.map(({ name, kit, cannot, parcel }) => ({ name: name.trim(), kit, 'cannot-handle': cannot, parcel: parcel.map(supplyOnWire) })),
    past: of.past,
    ...(drawn === undefined ? {} : { drawn }),
    criterion: criteria.map((name) => ({ name })),
    sheet: Object.entries(of.marks).map(([judge, beers]) => ({
      judge,
      scores: Object.fromEntries(Object.entries(beers).map(([code, marks]) => [code, criteria.length === 0 ? marks[''] : Object.fromEntries(criteria.flatMap((name) => (marks[name] === undefined ? [] : [[name, marks[name]]])))] as const).filter(([, mark]) => mark !== undefined && (typeof mark === 'number' || Object.keys(mark).length > 0))),
    })).filter(({ scores }) => Object.keys(scores).length > 0),
  };
}
