// The larder: what the catalogue knows, what is in the house, and what was taken in and out.
import { useEffect, useState } from 'preact/hooks';
import { lookUp, stockLog, stockNow, Trouble, type Hazard, type Packet, type Problem, type StockEntry, type StockLine, type StockWhat } from '../api';
import type { Item, Kind } from '../brief';
import { PacketForm } from '../compose/packet_form';
import { larder, post, sending, waitingCount, whenArrived } from '../day/outbox';
import { Sending } from '../day/sending';
import { editBrief } from '../live';
import { BareField } from '../parts/bare_field';
import { Hazards } from '../parts/hazards';
import { hear } from '../parts/hear';
import { kindWord, LarderSearch } from '../parts/larder_search';
import { ProblemNote } from '../parts/problem_note';
import { newId, useAll, wallTime } from '../state';
import { mass } from '../units';
import { dayOf, isWord, moment, t } from '../words';

interface Found { name: string; ingredient: string; kind?: Kind; allergens: string[]; mayHold: string[]; hazards: Hazard[]; item?: Item; findings?: string[] }
type Deed = 'took-in' | 'used' | 'counted';
// What is weighed by the gram.
const small = (kind: Kind | undefined): boolean => kind !== undefined && ['hop', 'yeast', 'salt', 'acid', 'fining'].includes(kind);
const deeds = ['took-in', 'used', 'counted'] as const;
const allergenWord = (name: string): string => { const key = `allergen.${name}`; return isWord(key) ? t(key) : name; };

function ofPacket(item: Item, read: Packet): Found {
  return { name: item.name, ingredient: item.name, kind: 'food', allergens: read.contains, mayHold: read.may_contain, hazards: read.hazards, item, findings: read.findings.map(({ message }) => message) };
}

function Holds({ found }: { found: Found }) {
  return (
    <>
      {found.allergens.length > 0 && <p class="note caution"><strong>{t('larder.contains')}</strong> {found.allergens.map(allergenWord).join(', ')}</p>}
      {found.mayHold.length > 0 && <p class="note caution"><strong>{t('larder.may-contain')}</strong> {found.mayHold.map(allergenWord).join(', ')}</p>}
      <Hazards hazards={found.hazards} />
      {found.findings?.map((finding) => <p key={finding} class="note" lang="en">{finding}</p>)}
      {found.allergens.length + found.mayHold.length + found.hazards.length === 0 && <p class="hint">{t('larder.no-hazard')}</p>}
    </>
  );
}

function TakeIn({ found, write, close }: { found: Found; write(what: StockWhat): void; close(): void }) {
  const [kg, setKg] = useState<number | null>(null);
  const [best, setBest] = useState('');
  const { ingredient, kind } = found;
  const intoBrief = (): void => {
    editBrief((brief) => {
      if (found.item) brief.item = [...brief.item.filter(({ name }) => name !== found.name), found.item];
      brief.given.push({ item: found.name, kind: kind ?? 'food', amount: kg === null ? '' : `${Number((1000 * kg).toFixed(1))} g` });
    });
    location.hash = '/compose';
  };
  return (
    <form class="packet" aria-labelledby="take-heading" onSubmit={(event) => { event.preventDefault(); if (kg !== null && kg > 0) { write({ kind: 'took-in', body: { ingredient, kg, ...(best === '' ? {} : { best_before: best }) } }); close(); } }}>
      <h3 id="take-heading">{found.name} <span class="aside">{kind && kindWord(kind)}</span></h3>
      <Holds found={found} />
      <div class="fields">
        <BareField id="take-kg" label={t('larder.amount')} typed={small(kind) ? 'small-mass' : 'mass'} value={kg} set={setKg} />
        <div class="field"><label for="take-best">{t('larder.best-before')}</label><input id="take-best" type="date" value={best} onInput={(event) => setBest(event.currentTarget.value)} /></div>
      </div>
      <div class="form-actions">
        <button type="submit" class="main-action" disabled={kg === null || kg <= 0}>{t('larder.took-in')}</button>
        <button type="button" onClick={intoBrief}>{t('larder.given')}</button>
        <button type="button" onClick={close}>{t('packet.cancel')}</button>
      </div>
    </form>
  );
}

function Stock({ line, write }: { line: StockLine; write(what: StockWhat): void }) {
  const { system } = useAll().settings;
  const [deed, setDeed] = useState<Deed | null>(null);
  const [kg, setKg] = useState<number | null>(null);
  const { ingredient } = line;
  const name = line.kind === undefined && !line.name.includes(' ') ? line.name.replace(/-/g, ' ') : line.name;
  const today = wallTime().slice(0, 10);
  const past = line.best_before !== undefined && line.best_before < today;
  const finish = (): void => {
    if (deed === null || kg === null || kg < 0) return;
    write({ kind: deed, body: { ingredient, kg } });
    setDeed(null);
    setKg(null);
  };
  return (
    <li class="supply">
      <div class="stock-line"><h3>{name}</h3> <span class="aside">{line.kind ? kindWord(line.kind) : t('larder.own')}</span><strong class={`figure ${line.grams < 0 ? 'wrong' : ''}`}>{line.grams < 0 ? `−${mass(-line.grams, system)}` : mass(line.grams, system)}</strong></div>
      <p class="hint">
        {line.opened_on && <span>{t('larder.opened-on', { day: dayOf(line.opened_on) })} </span>}
        {line.best_before && <span class={past ? 'wrong' : ''}>{t(past ? 'larder.past' : 'larder.best', { day: dayOf(line.best_before) })} </span>}
        {line.grams < 0 && t('larder.below')}
      </p>
      <Hazards hazards={line.hazards} />
      {deed === null ? (
        <div class="form-actions">
          {deeds.map((each) => <button key={each} type="button" aria-label={`${t(`larder.${each}`)}: ${name}`} onClick={() => setDeed(each)}>{t(`larder.${each}`)}</button>)}
          <button type="button" aria-label={`${t('larder.opened')}: ${name}`} onClick={() => write({ kind: 'opened', body: { ingredient, on: today } })}>{t('larder.opened')}</button>
        </div>
      ) : (
        <form onSubmit={(event) => { event.preventDefault(); finish(); }}>
          <div class="fields"><BareField id={`stock-${ingredient}`} label={t(`larder.${deed}.amount`, { what: name })} typed={small(line.kind) ? 'small-mass' : 'mass'} value={kg} set={setKg} /></div>
          <div class="form-actions"><button type="submit" class="main-action" disabled={kg === null || kg < 0}>{t('pad.save')}</button><button type="button" onClick={() => setDeed(null)}>{t('packet.cancel')}</button></div>
        </form>
      )}
    </li>
  );
}

// What gyles took is in their own logs; it is told, but mended there.
function Log({ entries, write }: { entries: StockEntry[]; write(what: StockWhat, mends?: string): void }) {
  const { system } = useAll().settings;
  const words = (entry: StockEntry): string => {
    if (entry.kind === 'struck') return '';
    const name = entry.body.ingredient.replace(/-/g, ' ');
    if (entry.kind === 'opened') return `${name}, ${dayOf(entry.body.on)}`;
    if (entry.kind === 'best-before') return `${name}, ${dayOf(entry.body.day)}`;
    const { kg } = entry.body;
    return `${kg < 0 ? '−' : ''}${mass(1000 * Math.abs(kg), system)} ${name}${entry.kind === 'used' && entry.body.gyle ? `, ${entry.body.gyle}` : ''}`;
  };
  return (
    <ol class="log">
      {entries.slice(0, 20).map((entry) => {
        const text = <>{t(`stock.${entry.kind}`)}: {words(entry)}</>;
        return (
          <li key={entry.key}>
            <time dateTime={entry.at} class="aside">{moment(entry.at)}</time> <span>{entry.holds ? text : <del>{text}</del>}</span>
            {entry.holds && entry.kind !== 'struck' && !entry.key.startsWith('stock/') && <button type="button" class="quiet" aria-label={`${t('day.undo')}: ${words(entry)}`} onClick={() => write({ kind: 'struck', body: { why: 'undone' } }, entry.key)}>{t('day.undo')}</button>}
          </li>
        );
      })}
    </ol>
  );
}

export function LarderView() {
  useAll();
  const [stock, setStock] = useState<StockLine[] | null>(null);
  const [log, setLog] = useState<StockEntry[]>([]);
  const [problems, setProblems] = useState<Problem[]>([]);
  const [found, setFound] = useState<Found | null>(null);
  const [packet, setPacket] = useState(false);
  const [words, setWords] = useState('');
  const tell = (trouble: unknown): void => {
    const told = trouble instanceof Trouble ? trouble.problems : [];
    setProblems(told.length > 0 ? told : [{ what: t('ferment.fault'), remedy: t('ferment.again') }]);
  };
  const load = async (): Promise<void> => {
    try {
      const [now, entries] = await Promise.all([stockNow(), stockLog()]);
      setStock(now.stock);
      setLog(entries);
    } catch (trouble) {
      tell(trouble);
    }
  };
  useEffect(() => {
    void load();
    const ends = [hear('larder', () => void load()), whenArrived((gyle) => { if (gyle === larder) void load(); })];
    return () => ends.forEach((end) => end());
  }, []);
  const write = (what: StockWhat, mends?: string): void => {
    setProblems([]);
    post(larder, [{ version: 1, key: newId(), at: new Date().toISOString(), ...(mends === undefined ? {} : { mends }), ...what }]);
  };
  const look = (id: string): void => void lookUp(id).then(({ ingredient, hazards }) => setFound({ name: ingredient.name, ingredient: ingredient.id, kind: ingredient.kind, allergens: ingredient.allergens, mayHold: [], hazards }), tell);
  const brewWithIt = (): void => {
    editBrief((brief) => {
      for (const { name, kind, grams } of stock ?? []) {
        if (kind === undefined || grams <= 0 || [...brief.have, ...brief.given].some(({ item }) => item === name)) continue;
        brief.have.push({ item: name, kind, amount: `${Number(grams.toFixed(1))} g` });
      }
    });
    location.hash = '/compose';
  };
  const shown = (stock ?? []).filter(({ name, ingredient }) => words.toLowerCase().split(/\s+/).every((word) => `${name} ${ingredient}`.toLowerCase().includes(word)));
  const below = shown.filter(({ grams }) => grams < 0);
  return (
    <div class="compose larder">
      <section id="brief" tabIndex={-1} aria-labelledby="find-heading">
        <h2 id="find-heading">{t('larder.find')}</h2>
        <p class="hint">{t('larder.find.how')}</p>
        {packet ? (
          <PacketForm heading="h3" done={() => setPacket(false)} keep={(item, read) => { setPacket(false); setFound(ofPacket(item, read)); }} />
        ) : (
          <div class="finding">
            <LarderSearch id="larder-search" label={t('larder.search')} take={(ingredient) => look(ingredient.id)} />
            <button type="button" class="quiet" onClick={() => { setFound(null); setPacket(true); }}>{t('search.packet')}</button>
          </div>
        )}
        {found && <TakeIn key={found.ingredient} found={found} write={write} close={() => setFound(null)} />}
        <h3>{t('larder.log')}</h3>
        {log.length === 0 ? <p class="hint">{t('larder.log.none')}</p> : <Log entries={log} write={write} />}
      </section>
      <section id="proposal" tabIndex={-1} aria-labelledby="stock-heading">
        <h2 id="stock-heading">{t('larder.stock')}</h2>
        {(waitingCount() > 0 || sending.refused !== null) && <Sending reading={null} />}
        <div role="alert">{problems.map((problem, index) => <ProblemNote key={index} id={`larder-problem-${index}`} problem={problem} />)}</div>
        {stock !== null && stock.length > 6 && <div class="field wide"><label for="stock-search">{t('gyles.search')}</label><input id="stock-search" type="search" autocomplete="off" value={words} onInput={(event) => setWords(event.currentTarget.value)} /></div>}
        <p class="hint" role="status">{stock === null ? (problems.length === 0 ? t('larder.loading') : '') : stock.length === 0 ? t('larder.none') : shown.length === 0 ? t('larder.empty') : ''}</p>
        <ul class="supplies">{shown.filter(({ grams }) => grams >= 0).map((line) => <Stock key={line.ingredient} line={line} write={write} />)}</ul>
        {below.length > 0 && <details open={words !== ''}><summary>{t('larder.owed', { n: below.length })}</summary><ul class="supplies">{below.map((line) => <Stock key={line.ingredient} line={line} write={write} />)}</ul></details>}
        {stock !== null && stock.length > 0 && <div class="form-actions"><button type="button" class="main-action" onClick={brewWithIt}>{t('larder.brew')}</button></div>}
        <p class="hint">{t('larder.notice')}</p>
      </section>
    </div>
  );
}
