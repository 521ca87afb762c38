// Before, now, and at the end: what was foretold, and what it comes to by what was done and read.
import type { Gyle, Move, Stage } from '../api';
import { state } from '../state';
import { shown, temperature, volume } from '../units';
import { figure, isWord, t } from '../words';

const here: Record<Stage, string[]> = {
  planned: [], mash: ['mash-volume', 'mash-ph'], 'before-boil': ['pre-boil-volume', 'pre-boil-gravity'], boil: ['pre-boil-volume', 'pre-boil-gravity'],
  'after-boil': ['post-boil-volume', 'post-boil-gravity'], fermenter: ['fermenter-volume', 'original-gravity'], package: ['packaged-volume', 'final-gravity'],
};
const atTheEnd = ['original-gravity', 'final-gravity', 'alcohol', 'bitterness', 'colour', 'packaged-volume'];
const nameOf = (name: string): string => { const key = `figure.${name}`; return isWord(key) ? t(key) : name; };

export function figureWords(name: string, value: number | null | undefined): string {
  if (value === null || value === undefined) return '–';
  const { system } = state.settings;
  if (name.endsWith('volume')) return volume(value, system);
  if (name.endsWith('gravity')) return figure(value, 3);
  if (name.endsWith('temperature')) return temperature(value, system);
  if (name === 'mash-ph') return figure(value, 2);
  if (name === 'alcohol') return shown(value, 'alcohol', system);
  if (name === 'bitterness') return shown(value, 'ibu', system);
  if (name === 'colour') return shown(value, 'colour', system);
  return `${figure(value, 1)} vol`;
}

export function StandingTable({ gyle: { now, entries } }: { gyle: Gyle }) {
  const learned = entries.some((entry) => entry.kind === 'started' && entry.body.learned === true);
  const rows = (names: string[]) => names.map((name) => {
    const current = now.now[name];
    return (
      <tr key={name}>
        <th scope="row">{nameOf(name)}</th>
        <td>{figureWords(name, now.before[name]?.value)}</td>
        <td><strong>{figureWords(name, current?.value)}</strong> <span class="aside">{t('proposal.likely', { low: figureWords(name, current?.low), high: figureWords(name, current?.high) })}</span></td>
      </tr>
    );
  });
  const group = (title: string, names: string[]) => names.length > 0 && (
    <tbody><tr><th colSpan={3} scope="rowgroup">{title}</th></tr>{rows(names)}</tbody>
  );
  return (
    <section aria-labelledby="standing-heading">
      <h3 id="standing-heading">{t('day.standing')}</h3>
      {learned && <p class="hint">{t('day.learned')}</p>}
      <table class="standing">
        <thead><tr><td></td><th scope="col">{t('day.before')}</th><th scope="col">{t('day.now')}</th></tr></thead>
        {group(t(`stage.${now.stage}`), here[now.stage])}
        {group(t('day.end'), atTheEnd)}
      </table>
      {now.readings.filter(({ questioned }) => questioned).map((reading) => (
        <p key={reading.key} class="note caution">
          {reading.figure === undefined ? <span lang="en">{reading.why}</span> : t('day.questioned', { what: nameOf(reading.figure), value: figureWords(reading.figure, reading.value), expected: figureWords(reading.figure, reading.expected) })}
          {reading.slips && reading.slips.length > 0 && <span lang="en"> {reading.slips.join('; ')}.</span>}
        </p>
      ))}
      {now.trouble.map((trouble) => <p key={trouble} class="note caution" lang="en">{trouble}</p>)}
    </section>
  );
}

export function Moves({ moves, asking, ask, take }: { moves: Move[] | null; asking: boolean; ask(): void; take(move: Move | null): void }) {
  const nothing = moves?.find(({ move }) => move.parts.length === 0);
  return (
    <section aria-labelledby="moves-heading" aria-live="polite" aria-busy={asking}>
      <h3 id="moves-heading">{t('moves.heading')}</h3>
      {moves === null && <div class="form-actions"><button type="button" disabled={asking} onClick={ask}>{t(asking ? 'moves.asking' : 'moves.ask')}</button></div>}
      <ol class="moves">
        {moves?.map(({ words, minds, move }, index) => {
          const doesNothing = move.parts.length === 0;
          const changed = atTheEnd.filter((name) => doesNothing || figureWords(name, move.outlook[name]?.value) !== figureWords(name, nothing?.move.outlook[name]?.value));
          return (
            <li key={index}>
              <p class="move-words">{doesNothing ? t('moves.nothing') : <span lang="en">{words}</span>}</p>
              <p class="aside">{changed.map((name) => `${nameOf(name)} ${figureWords(name, move.outlook[name]?.value)}`).join(', ')}</p>
              {!doesNothing && <p class="aside">{t('moves.cost', { minutes: figure(move.work_minutes, 0), worse: figure(100 * move.chance_worse, 0) })}{move.money > 0 && ` ${t('moves.money', { money: figure(move.money, 2) })}`}</p>}
              {minds.map((mind) => <p key={mind} class="note caution" lang="en">{mind}.</p>)}
              <button type="button" class={index === 0 ? 'main-action' : ''} onClick={() => take(doesNothing ? null : { words, minds, move })}>{t(doesNothing ? 'moves.leave' : 'moves.take')}</button>
            </li>
          );
        })}
      </ol>
    </section>
  );
}
