// The brief as the page edits it: the brief file as JSON (docs/schema/brief.schema.json), with a little the page notes for itself, which
// `wire` leaves out. What a key means, and whether a text is sound, only the program says.
export type Kind = 'malt' | 'adjunct' | 'sugar' | 'hop' | 'yeast' | 'bacterium' | 'salt' | 'acid' | 'fining' | 'food';

export interface Supply {
  item: string;
  kind: Kind; // the page's own note
  amount: string; // '' is not said
  use?: string;
  route?: string;
  alpha?: [string, string];
}
export interface Item {
  name: string;
  declared?: string;
  packet: Record<string, string>;
}
export type Span = [string, string] | [number, number];
export interface Brief {
  name: string;
  kit: Record<string, string>;
  want: Record<string, string | number | Span>;
  given: Supply[];
  have: Supply[];
  item: Item[];
  water: Record<string, string>;
}
/** What the program calls a kit that has no name. */
export const usualKit = 'one kettle and a bag';
export type Side = 'given' | 'have';

export function emptyBrief(): Brief {
  return { name: '', kit: { kettle: '16 L', mash: 'bag' }, want: {}, given: [], have: [], item: [], water: {} };
}

export const said = (value: unknown): boolean => value !== '' && value !== undefined;
export const saidOnly = <T extends object>(from: T): Partial<T> =>
  Object.fromEntries(Object.entries(from).filter(([, value]) => said(value))) as Partial<T>;

export function supplyOnWire({ kind: _kind, alpha, ...rest }: Supply): object {
  const both = alpha !== undefined && alpha.every(said);
  return saidOnly({ ...rest, alpha: both ? alpha : alpha?.find(said) });
}

export function wire(brief: Brief): object {
  const water = saidOnly(brief.water);
  return {
    ...saidOnly({ name: brief.name.trim() }),
    kit: saidOnly(brief.kit),
    want: saidOnly(brief.want),
    given: brief.given.map(supplyOnWire),
    have: brief.have.map(supplyOnWire),
    item: brief.item.map((item) => saidOnly(item)),
    water: Object.keys(water).length > 0 ? [{ name: 'tap', ...water }] : [],
  };
}

/** What has to be there before it is worth asking the program. */
export function unfinished(brief: Brief): ('volume' | 'grain' | 'yeast')[] {
  const kinds = [...brief.given, ...brief.have].map((supply) => supply.kind);
  const missing: ('volume' | 'grain' | 'yeast')[] = [];
  if (!said(brief.want['volume'])) missing.push('volume');
  if (!kinds.some((kind) => kind === 'malt' || kind === 'sugar')) missing.push('grain');
  if (!kinds.includes('yeast')) missing.push('yeast');
  return missing;
}
