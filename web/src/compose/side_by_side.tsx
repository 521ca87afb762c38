// One column for each way. In a row all stand on one scale, and the wish goes as a band behind all of them.
import type { ComponentChildren } from 'preact';
import type { Answer, Proposal } from '../api';
import type { Span } from '../brief';
import { measures, spanOf, type Measure } from '../measures';
import { Glass } from '../parts/glass';
import { state } from '../state';
import { bare, shown, unitOf } from '../units';
import { figure, t } from '../words';
import { isKept, measureWord } from './want';

type Other = NonNullable<Answer['side_by_side']>['others'][number];
const compared = ['alcohol', 'bitterness', 'colour', 'final-gravity'];
const height = 72; // px, of a strip

/** A heading across all columns, then a cell for each. */
function Row({ heading, columns, cells, kind = '' }: { heading: ComponentChildren; columns: number; cells: ComponentChildren[]; kind?: string }) {
  return (
    <tbody class={kind}>
      <tr><th colSpan={columns} scope="rowgroup"><span class="row-head">{heading}</span></th></tr>
      <tr>{cells.map((cell, index) => <td key={index}>{cell}</td>)}</tr>
    </tbody>
  );
}

function MeasureRow({ measure, proposals }: { measure: Measure; proposals: Proposal[] }) {
  const { brief, settings: { system } } = state;
  const wish = brief.want[measure.key];
  const wished = Array.isArray(wish) ? spanOf(wish as Span) : undefined;
  const estimates = proposals.map((proposal) => measure.forecast(proposal));
  const ends = [...estimates.flatMap((each) => (each ? [each.low, each.high] : [])), ...(wished ?? [])];
  const spare = 0.12 * (Math.max(...ends) - Math.min(...ends)) || measure.step;
  const low = Math.min(...ends) - spare, high = Math.max(...ends) + spare;
  const at = (value: number): number => (height * (high - value)) / (high - low);
  const text = (value: number): string => bare(value, measure.quantity, system);
  const cells = estimates.map((estimate) => {
    if (estimate === undefined) return '–';
    const fate = wished === undefined ? 'unwished' : isKept(measure, estimate.value, ...wished) ? 'kept' : 'missed';
    return (
      <div class={`strip ${fate}`}>
        <svg height={height} aria-hidden="true">
          {wished && <rect class="wished" x="0" width="100%" y={at(wished[1])} height={Math.max(1, at(wished[0]) - at(wished[1]))} />}
          <svg x="14" overflow="visible">
            <rect class="likely" x="-4" width="8" y={at(estimate.high)} height={Math.max(1, at(estimate.low) - at(estimate.high))} />
            <rect class="value" x="-13" width="26" y={at(estimate.value) - 1.5} height="3" />
          </svg>
        </svg>
        <p class="figure">{text(estimate.value)}{fate === 'missed' && <span class="aside"> {t('proposal.missed')}</span>}</p>
        {estimate.low < estimate.high && <p class="aside">{t('want.span', { low: text(estimate.low), high: text(estimate.high) })}</p>}
      </div>
    );
  });
  return <Row heading={<>{measureWord(measure)} <span class="aside">{unitOf(measure.quantity, system)}{wished && <>, {t('proposal.wished', { low: text(wished[0]), high: text(wished[1]) })}</>}</span></>} columns={proposals.length} cells={cells} kind="measured" />;
}

// Far below the head of its column, so the eye is told once more whose it is.
const sentences = (other: Other, lines: string[]): ComponentChildren => (
  <>
    <p class="aside" aria-hidden="true">{t('proposal.way', { n: other.proposal })}</p>
    {lines.length === 0 ? <p>{t('ways.nothing')}</p> : <ul lang="en">{lines.map((line) => <li key={line}>{line}</li>)}</ul>}
  </>
);

export function SideBySide({ answer: { proposals }, others, way, take }: { answer: Answer; others: Other[]; way: number; take(way: number): void }) {
  const { system } = state.settings;
  const shownMeasures = measures.filter((measure) => compared.includes(measure.key)).sort((a, b) => compared.indexOf(a.key) - compared.indexOf(b.key));
  return (
    <>
      <div class="ways-frame" role="group" aria-labelledby="ways-heading" tabIndex={0}>
        <table class="ways" style={{ minWidth: `${proposals.length * 8.75}rem` }}>
          <thead>
            <tr>
              {proposals.map((proposal, index) => (
                <th key={index} scope="col" class={index === way ? 'taken' : ''}>
                  <span class="way-head">{proposal.forecast.colour_srgb && <Glass colour={proposal.forecast.colour_srgb} label={t('proposal.glass', { colour: shown(proposal.forecast.colour_ebc.value, 'colour', system) })} />}<span>{t('proposal.way', { n: index + 1 })}</span></span>
                  <span class="differs">{index === 0 && <>{t('ways.one')}: </>}<span lang="en">{index === 0 ? proposal.character.words : others[index - 1]?.differs}</span></span>
                </th>
              ))}
            </tr>
            <tr>
              {proposals.map((_, index) => (
                <td key={index}>{index === way ? <span class="shown">{t('ways.taken')}</span> : <button type="button" class="quiet" aria-label={`${t('ways.take')}: ${t('proposal.way', { n: index + 1 })}`} onClick={() => take(index)}>{t('ways.take')}</button>}</td>
              ))}
            </tr>
          </thead>
          {shownMeasures.map((measure) => <MeasureRow key={measure.key} measure={measure} proposals={proposals} />)}
          <Row heading={t('ways.gains')} columns={proposals.length} cells={['', ...others.map((other) => sentences(other, other.gains))]} />
          <Row heading={t('ways.gives-up')} columns={proposals.length} cells={['', ...others.map((other) => sentences(other, other.gives_up))]} />
          {proposals.some((proposal) => proposal.cost > 0) && <Row heading={t('ways.cost')} columns={proposals.length} cells={proposals.map((proposal) => <p class="figure">{figure(proposal.cost, 2)}</p>)} />}
        </table>
      </div>
      <p class="hint">{t('ways.note')}</p>
    </>
  );
}
