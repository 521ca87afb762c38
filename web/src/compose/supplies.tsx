// What was given, or what is in the house: a search box and a list.
import { useState } from 'preact/hooks';
import type { Ingredient } from '../api';
import type { Side, Supply } from '../brief';
import { editBrief } from '../live';
import { LarderSearch, kindWord } from '../parts/larder_search';
import { fieldId, problemAt, ProblemNote } from '../parts/problem_note';
import { QuantityField } from '../parts/quantity_field';
import { state, usePart } from '../state';
import { t } from '../words';
import { clashesOf, ClashNote } from './clashes';
import { PacketForm } from './packet_form';

const routes = ['mash', 'boil', 'flame-out', 'fermenter', 'infusion'] as const;
const metric = ['g', 'kg', 'oz', 'lb'];
const american = ['oz', 'lb', 'g', 'kg'];

type Sense = 'all' | 'least' | 'most' | 'some';
export function readUse(use: string | undefined): { sense: Sense; from: string; to: string } {
  if (use?.startsWith('at least ')) return { sense: 'least', from: use.slice(9), to: '' };
  if (use?.startsWith('at most ')) return { sense: 'most', from: '', to: use.slice(8) };
  if (use?.includes(' to ')) return { sense: 'some', from: use.split(' to ')[0] ?? '', to: use.split(' to ')[1] ?? '' };
  return { sense: 'all', from: '', to: '' };
}
export function writeUse(sense: Sense, from: string, to: string): string {
  if (sense === 'least') return `at least ${from}`;
  if (sense === 'most') return `at most ${to}`;
  return sense === 'some' ? `${from} to ${to}` : 'all';
}

export function Must({ supply, path, units, set }: { supply: Supply; path: string; units: string[]; set(use: string): void }) {
  const { sense, from, to } = readUse(supply.use);
  const problem = problemAt(`${path}.use`);
  const what = supply.item;
  const begin: Record<Sense, string> = { all: 'all', least: `at least ${supply.amount}`, most: `at most ${supply.amount}`, some: `0 g to ${supply.amount}` };
  return (
    <>
      <div class="field">
        <label for={fieldId(`${path}.use`)}>{t('supply.use.short')}</label>
        <select id={fieldId(`${path}.use`)} aria-label={t('supply.use', { what })} value={sense} aria-invalid={problem !== undefined} onChange={(event) => set(begin[event.currentTarget.value as Sense])}>
          {(['all', 'least', 'most', 'some'] as const).map((each) => <option key={each} value={each}>{t(`supply.use.${each}`)}</option>)}
        </select>
        {problem && <ProblemNote id={`${fieldId(path)}-use-problem`} problem={problem} />}
      </div>
      {(sense === 'least' || sense === 'some') && <QuantityField path={`${path}.from`} label={t('supply.use.from', { what })} short="≥" value={from} units={units} set={(value) => set(writeUse(sense, value, to))} />}
      {(sense === 'most' || sense === 'some') && <QuantityField path={`${path}.to`} label={t('supply.use.to', { what })} short="≤" value={to} units={units} set={(value) => set(writeUse(sense, from, value))} />}
    </>
  );
}

function Row({ side, index, supply }: { side: Side; index: number; supply: Supply }) {
  const { settings } = state;
  const path = `${side}[${index + 1}]`;
  const units = settings.system === 'si' ? metric : american;
  const edit = (how: (supply: Supply) => void): void => editBrief((brief) => { const mine = brief[side][index]; if (mine) how(mine); });
  const alpha = supply.alpha ?? ['', ''];
  const what = supply.item;
  const itemProblem = problemAt(`${path}.item`) ?? problemAt(side) ?? undefined;
  return (
    <li class="supply">
      <div class="supply-name">
        <h4>{what}</h4> <span class="aside">{kindWord(supply.kind)}</span>
        <button type="button" class="remove" aria-label={t('supply.remove', { what })} onClick={() => editBrief((brief) => { brief[side].splice(index, 1); if (![...brief.given, ...brief.have].some((each) => each.item === what)) brief.item = brief.item.filter((item) => item.name !== what); })}>×</button>
      </div>
      <div class="fields">
        <QuantityField path={`${path}.amount`} label={t('supply.amount', { what })} short={t('supply.amount.short')} value={supply.amount} units={units} placeholder={side === 'have' ? t('supply.unlimited') : ''} problem={problemAt(`${path}.amount`)} set={(value) => edit((mine) => void (mine.amount = value))} />
        {side === 'given' && <Must supply={supply} path={path} units={units} set={(use) => edit((mine) => void (mine.use = use))} />}
        {(supply.kind === 'food' || supply.kind === 'sugar') && (
          <div class="field">
            <label for={fieldId(`${path}.route`)}>{t('supply.route.short')}</label>
            <select id={fieldId(`${path}.route`)} aria-label={t('supply.route', { what })} value={supply.route ?? ''} onChange={(event) => { const route = event.currentTarget.value; edit((mine) => void (mine.route = route)); }}>
              <option value="">{t('supply.route.usual')}</option>
              {routes.map((each) => <option key={each} value={each}>{t(`route.${each}`)}</option>)}
            </select>
          </div>
        )}
        {supply.kind === 'hop' && side === 'given' && (
          <fieldset class="field pair-of">
            <legend>{t('supply.alpha.short')}</legend>
            {([0, 1] as const).map((end) => (
              <QuantityField key={end} path={`${path}.alpha${end}`} label={`${t('supply.alpha', { what })} ${end + 1}`} short={end === 0 ? '≥' : '≤'} value={alpha[end]} units={['%']} problem={end === 1 ? problemAt(`${path}.alpha`) : undefined} set={(value) => edit((mine) => { const both: [string, string] = [...alpha]; both[end] = value; mine.alpha = both; })} />
            ))}
          </fieldset>
        )}
      </div>
      {itemProblem && <ProblemNote id={`${fieldId(path)}-problem`} problem={itemProblem} />}
      <ClashNote clashes={clashesOf((words) => words.includes(what) || words.includes(`of ${what}`))} />
    </li>
  );
}

export function Supplies({ side }: { side: Side }) {
  const { brief } = usePart((all) => [all.brief[side], all.settings, all.problems, all.standing === 'answered' || all.standing === 'waiting', all.answer?.clashes]);
  const [packet, setPacket] = useState(false);
  const list = brief[side];
  const add = (name: string, ingredient: Pick<Ingredient, 'kind'> & { traits?: Ingredient['traits'] }): void => {
    const { kind, traits } = ingredient;
    const alpha: [string, string] | undefined = side === 'given' && kind === 'hop' && traits?.['home_dried'] === true ? [`${traits['alpha_acid_low_percent']} %`, `${traits['alpha_acid_high_percent']} %`] : undefined;
    editBrief((now) => now[side].push({ item: name, kind, amount: '', ...(alpha ? { alpha } : {}) }));
    // After the drawing, which waits in the same queue, and before anything the brewer does next.
    queueMicrotask(() => document.getElementById(fieldId(`${side}[${list.length}].amount`))?.focus());
  };
  return (
    <section class="part" aria-labelledby={`${side}-heading`}>
      <h3 id={`${side}-heading`}>{t(`${side}.heading`)}</h3>
      <p class="question">{t(`${side}.question`)}</p>
      {list.length === 0 && !packet && <p class="hint">{t(`${side}.none`)}</p>}
      <ul class="supplies">{list.map((supply, index) => <Row key={`${supply.item}-${index}`} side={side} index={index} supply={supply} />)}</ul>
      {packet ? (
        <PacketForm done={() => setPacket(false)} keep={(item) => { setPacket(false); editBrief((now) => void (now.item = [...now.item.filter((each) => each.name !== item.name), item])); add(item.name, { kind: 'food' }); }} />
      ) : (
        <div class="finding">
          <LarderSearch id={`${side}-search`} label={t(`${side}.search`)} take={(ingredient) => add(ingredient.name, ingredient)} />
          <button type="button" class="quiet" onClick={() => setPacket(true)}>{t('search.packet')}</button>
        </div>
      )}
    </section>
  );
}
