// What went otherwise than the sheet says: something left out, put in, lost, or worth a note.
import { useState } from 'preact/hooks';
import type { Amount, Entry, Ingredient, Stage, Step, What } from '../api';
import { BareField } from '../parts/bare_field';
import { LarderSearch } from '../parts/larder_search';
import { useAll } from '../state';
import { mass } from '../units';
import { t } from '../words';

const smallKinds = ['hop', 'yeast', 'bacterium', 'salt', 'acid', 'fining'];
const kinds = ['missed', 'added', 'lost', 'note'] as const;
type Kind = (typeof kinds)[number];
const places = ['grist', 'kettle', 'flame-out', 'fermenter', 'infusion'] as const;
const usualPlace: Record<Stage, (typeof places)[number]> = { planned: 'grist', mash: 'grist', 'before-boil': 'kettle', boil: 'kettle', 'after-boil': 'flame-out', fermenter: 'fermenter', package: 'fermenter' };

/** What the recipe has, with what was left out already taken away. */
function planned(held: Entry[]): Amount[] {
  const amounts = held.flatMap((entry) => (entry.kind === 'started' ? (entry.body.recipe?.amounts ?? []) : []));
  const missed = held.flatMap((entry) => (entry.kind === 'missed' ? [entry.body.amount] : []));
  const same = (one: Amount, other: Amount): boolean => one.what === other.what && one.into === other.into && (one.minutes_before_boil_end ?? 0) === (other.minutes_before_boil_end ?? 0);
  return amounts.filter(({ what }) => !what.startsWith('water')).map((amount) => ({ ...amount, kg: amount.kg - missed.filter((one) => same(one, amount)).reduce((sum, { kg }) => sum + kg, 0) })).filter(({ kg }) => kg > 1e-6);
}
const nameOf = (what: string): string => what.replace(/-/g, ' ');

function Missed({ held, save }: { held: Entry[]; save(what: What): void }) {
  const { system } = useAll().settings;
  const list = planned(held);
  const [chosen, setChosen] = useState(0);
  const [kg, setKg] = useState<number | null>(list[0]?.kg ?? null);
  const amount = list[chosen];
  if (amount === undefined) return <p class="hint">{t('deviate.nothing')}</p>;
  const sound = kg !== null && kg > 0 && kg <= amount.kg * (1 + 1e-9);
  return (
    <form onSubmit={(event) => { event.preventDefault(); if (sound) save({ kind: 'missed', body: { amount: { ...amount, kg: Math.min(kg, amount.kg) } } }); }}>
      <div class="field wide"><label for="missed-what">{t('deviate.missed.what')}</label>
        <select id="missed-what" value={chosen} onChange={(event) => { const index = Number(event.currentTarget.value); setChosen(index); setKg(list[index]?.kg ?? null); }}>
          {list.map((one, index) => <option key={index} value={index}>{mass(1000 * one.kg, system)} {nameOf(one.what)}{one.minutes_before_boil_end ? `, ${t('proposal.minutes', { n: one.minutes_before_boil_end })}` : ''}</option>)}
        </select>
      </div>
      <div class="fields"><BareField id="missed-kg" label={t('deviate.missed.kg')} typed={amount.kg < 0.2 ? 'small-mass' : 'mass'} value={kg} set={setKg} /></div>
      <div class="form-actions"><button type="submit" class="main-action" disabled={!sound}>{t('pad.save')}</button></div>
    </form>
  );
}

function Added({ step, save }: { step: Step | undefined; save(what: What): void }) {
  const [what, setWhat] = useState<Ingredient | null>(null);
  const [kg, setKg] = useState<number | null>(null);
  const [into, setInto] = useState<(typeof places)[number]>(usualPlace[step?.stage ?? 'planned']);
  const sound = what !== null && kg !== null && kg > 0;
  // Into the boiling kettle it goes at this moment: as long before its end as the step now due.
  const minutes = into === 'kettle' ? { minutes_before_boil_end: step?.to_go ?? 0 } : {};
  return (
    <form onSubmit={(event) => { event.preventDefault(); if (sound) save({ kind: 'added', body: { amount: { what: what.id, into, ...minutes, kg } } }); }}>
      {what === null ? <div class="finding"><LarderSearch id="added-search" label={t('larder.search')} take={setWhat} /></div> : <h4>{what.name} <button type="button" class="quiet" onClick={() => setWhat(null)}>{t('deviate.other')}</button></h4>}
      <div class="fields">
        <BareField id="added-kg" label={t('supply.amount.short')} typed={what !== null && smallKinds.includes(what.kind) ? 'small-mass' : 'mass'} value={kg} set={setKg} />
        <div class="field"><label for="added-into">{t('supply.route.short')}</label><select id="added-into" value={into} onChange={(event) => setInto(event.currentTarget.value as (typeof places)[number])}>{places.map((each) => <option key={each} value={each}>{t(`into.${each}`)}</option>)}</select></div>
      </div>
      <div class="form-actions"><button type="submit" class="main-action" disabled={!sound}>{t('pad.save')}</button></div>
    </form>
  );
}

function Lost({ step, save }: { step: Step | undefined; save(what: What): void }) {
  const stage = step?.stage ?? 'fermenter';
  const [litres, setLitres] = useState<number | null>(null);
  const sound = litres !== null && litres > 0;
  return (
    <form onSubmit={(event) => { event.preventDefault(); if (sound) save({ kind: 'lost', body: { stage, volume_l: litres } }); }}>
      <p class="hint">{t('deviate.lost.where', { stage: t(`stage.${stage}`) })}</p>
      <div class="fields"><BareField id="lost-litres" label={t('sight.volume')} typed="volume" value={litres} set={setLitres} /></div>
      <div class="form-actions"><button type="submit" class="main-action" disabled={!sound}>{t('pad.save')}</button></div>
    </form>
  );
}

function NoteForm({ save }: { save(what: What): void }) {
  const [text, setText] = useState('');
  return (
    <form onSubmit={(event) => { event.preventDefault(); if (text.trim() !== '') save({ kind: 'note', body: { text: text.trim() } }); }}>
      <div class="field wide"><label for="note-text">{t('entry.note')}</label><textarea id="note-text" rows={3} value={text} onInput={(event) => setText(event.currentTarget.value)} /></div>
      <div class="form-actions"><button type="submit" class="main-action" disabled={text.trim() === ''}>{t('pad.save')}</button></div>
    </form>
  );
}

export function Deviations({ step, held, write }: { step: Step | undefined; held: Entry[]; write(what: What): void }) {
  const [open, setOpen] = useState<Kind | null>(null);
  const save = (what: What): void => {
    write(what);
    setOpen(null);
  };
  return (
    <section class="deviations" aria-labelledby="deviations-heading">
      <h3 id="deviations-heading">{t('deviate.heading')}</h3>
      <div class="chips">{kinds.map((kind) => <button key={kind} type="button" class="chip" aria-expanded={open === kind} onClick={() => setOpen(open === kind ? null : kind)}>{t(`deviate.${kind}`)}</button>)}</div>
      {open === 'missed' && <Missed held={held} save={save} />}
      {open === 'added' && <Added step={step} save={save} />}
      {open === 'lost' && <Lost step={step} save={save} />}
      {open === 'note' && <NoteForm save={save} />}
    </section>
  );
}
