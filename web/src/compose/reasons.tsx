// Why the first recipe is as it is: what a little more of each thing would do, and what was left in the cupboard.
import type { Answer } from '../api';
import { state } from '../state';
import { ebcInSrm, litresInUsGallon, mass, unitOf } from '../units';
import { figure, t, type Word } from '../words';

type Why = NonNullable<Answer['why']>;

/** The changes that can be seen, each with its sign. */
function changes(more: Why['one_more'][number]): string[] {
  const { system } = state.settings;
  const si = system === 'si';
  const rows: [string, number, number, string][] = [
    [t('measure.alcohol'), more.abv_percent, 2, unitOf('alcohol', system)],
    [t('measure.bitterness'), more.bitterness_ibu, 1, unitOf('ibu', system)],
    [t('measure.colour'), si ? more.colour_ebc : more.colour_ebc / ebcInSrm, 1, unitOf('colour', system)],
    [t('measure.original-gravity'), more.original_gravity_sg, 4, ''],
    [t('measure.final-gravity'), more.final_gravity_sg, 4, ''],
    [t('measure.mash-ph'), more.mash_ph, 2, ''],
    [t('measure.volume'), si ? more.volume_l : more.volume_l / litresInUsGallon, 2, si ? 'L' : 'US gal'],
  ];
  return rows.filter(([, value, decimals]) => Number(value.toFixed(decimals)) !== 0).map(([name, value, decimals, unit]) => `${name} ${value > 0 ? '+' : '−'}${figure(Math.abs(value), decimals)}${unit && ` ${unit}`}`);
}

export function Reasons({ why }: { why: Why }) {
  const { system } = state.settings;
  return (
    <details class="part reasons-part">
      <summary>{t('why.heading')}</summary>
      <h4>{t('why.more')}</h4>
      <ul class="little-more">
        {why.one_more.map((more, index) => {
          const moved = changes(more);
          return (
            <li key={index}>
              <p><strong>{t('why.more.of', { amount: mass(more.more_g, system) })}</strong> <span lang="en">{more.ingredient}</span> <span class="aside">{t(`route.${more.step}` as Word)}{more.minutes_before_boil_end !== undefined && `, ${t('proposal.minutes', { n: figure(more.minutes_before_boil_end, 0) })}`}</span></p>
              <p class="moved">{moved.length === 0 ? t('why.more.none') : moved.map((each, at) => <span key={each}>{each}{at + 1 < moved.length && ', '}</span>)}</p>
              {more.hurts !== '' && <p class="aside">{t('why.suffers')}: <span lang="en">{more.hurts}</span></p>}
            </li>
          );
        })}
      </ul>
      {why.left_out.length > 0 && (
        <>
          <h4>{t('why.left-out')}</h4>
          <dl class="why" lang="en">{why.left_out.map((out) => <div key={out.ingredient}><dt>{out.ingredient}</dt><dd>{out.reason}</dd></div>)}</dl>
        </>
      )}
    </details>
  );
}
