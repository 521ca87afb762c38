// The answer: what goes in, what comes of it, what stands in the way, what to mind.
import { BrewThis } from '../day/brew_this';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { composeOthers, runSheet, Trouble, type Addition, type Answer, type Caution, type Proposal as ProposalData } from '../api';
import type { Span } from '../brief';
import { unfinished } from '../brief';
import { measures, spanOf } from '../measures';
import { Glass } from '../parts/glass';
import { fieldId } from '../parts/problem_note';
import { change, state, useAll } from '../state';
import { bare, mass, shown, temperature, unitOf, volume } from '../units';
import { figure, t, type Word } from '../words';
import { ClashNote } from './clashes';
import { RunSheet } from './run_sheet';
import { takeWay, Ways } from './ways';
import { isKept, measureWord } from './want';

export function outcomeWord(answer: Answer | null): string {
  return answer === null ? t('proposal.heading') : t(`proposal.${answer.outcome}`);
}

const steps = ['mash', 'boil', 'flame-out', 'fermenter', 'infusion'];

function AmountRow({ addition, boilMinutes }: { addition: Addition; boilMinutes: number }) {
  const { system } = state.settings;
  const minutes = addition.minutes_before_boil_end;
  return (
    <li>
      <span class="amount">{mass(addition.amount, system)}</span>
      <span class="of">{addition.ingredient}
        {minutes !== undefined && <span class="aside">{minutes >= boilMinutes ? t('proposal.minutes.start') : t('proposal.minutes', { n: figure(minutes, 0) })}</span>}
        {addition.given && <span class="aside tag">{t('proposal.given')}</span>}
      </span>
    </li>
  );
}

function Amounts({ proposal }: { proposal: ProposalData }) {
  const { settings: { system }, brief } = state;
  const boilMinutes = Number.parseFloat(brief.kit['boil'] ?? '60') || 60;
  return (
    <section aria-labelledby="in-heading">
      <h3 id="in-heading">{t('proposal.in')}</h3>
      <div class="amounts">
        <div class="step">
          <h4>{t('proposal.water')}</h4>
          <ul>
            {proposal.waters.map((water) => (
              <li key={water.water}><span class="amount">{volume(water.mash_l + water.sparge_or_top_up_l, system)}</span>
                <span class="of">{water.water}<span class="aside">{t('proposal.water.mash', { amount: volume(water.mash_l, system) })}{water.sparge_or_top_up_l > 0.05 && `, ${t('proposal.water.rest', { amount: volume(water.sparge_or_top_up_l, system) })}`}</span></span></li>
            ))}
          </ul>
        </div>
        {steps.map((step) => {
          const here = proposal.additions.filter((addition) => addition.step === step);
          return here.length > 0 && (
            <div class="step" key={step}>
              <h4>{t(`route.${step}` as Word)}{step === 'mash' && <span class="aside">{t('proposal.strike')} {temperature(proposal.run_sheet.strike_temperature_c, system)}, {t('proposal.rest')} {temperature(proposal.rest_temperature_c, system)}</span>}{step === 'fermenter' && <span class="aside">{t('proposal.ferment')} {temperature(proposal.ferment_temperature_c, system)}</span>}</h4>
              <ul>{here.map((addition, index) => <AmountRow key={`${addition.id}-${index}`} addition={addition} boilMinutes={boilMinutes} />)}</ul>
            </div>
          );
        })}
        {proposal.purchases.length > 0 && (
          <div class="step">
            <h4>{t('proposal.buy')}</h4>
            <ul>{proposal.purchases.map((each) => <li key={each.ingredient}><span class="amount">{each.packets > 0 ? t('proposal.buy.packets', { n: each.packets, size: mass(each.packet_g, system) }) : mass(each.needed_g, system)}</span><span class="of">{each.ingredient}</span></li>)}</ul>
          </div>
        )}
      </div>
    </section>
  );
}

function Forecasts({ proposal }: { proposal: ProposalData }) {
  const { brief, settings: { system } } = state;
  return (
    <section aria-labelledby="out-heading">
      <h3 id="out-heading">{t('proposal.out')}</h3>
      <ul class="forecasts">
        {measures.map((measure) => {
          const estimate = measure.forecast(proposal);
          const wish = brief.want[measure.key];
          const wished = Array.isArray(wish) ? spanOf(wish as Span) : undefined;
          if (estimate === undefined || (wished === undefined && measure.quantity === 'mg')) return null;
          const ends = [estimate.low, estimate.high, ...(wished ?? [])];
          const spare = 0.35 * (Math.max(...ends) - Math.min(...ends)) || measure.step;
          const from = Math.min(...ends) - spare, to = Math.max(...ends) + spare;
          const at = (value: number): number => (100 * (value - from)) / (to - from);
          const kept = wished !== undefined && isKept(measure, estimate.value, ...wished);
          const text = (value: number): string => bare(value, measure.quantity, system);
          const likely = estimate.low < estimate.high ? t('proposal.likely', { low: text(estimate.low), high: text(estimate.high) }) : '';
          return (
            <li key={measure.key} class={wished === undefined ? 'unwished' : kept ? 'kept' : 'missed'}>
              <span class="name">{measureWord(measure)}</span>
              <span class="figure">{text(estimate.value)} <span class="aside">{measure.quantity === 'ph' ? '' : unitOf(measure.quantity, system)}</span></span>
              <svg viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true">
                <rect class="axis" x="0" y="5.500" width="100" height="1" />
                {wished && <rect class="wished" x={at(wished[0])} y="0" width={Math.max(0.5, at(wished[1]) - at(wished[0]))} height="12" />}
                <rect class="likely" x={at(estimate.low)} y="4" width={Math.max(0.5, at(estimate.high) - at(estimate.low))} height="4" />
                <rect class="value" x={at(estimate.value) - 0.6} y="0" width="1.200" height="12" />
              </svg>
              <span class="said">{likely}{wished && <>{likely && ', '}{t('proposal.wished', { low: text(wished[0]), high: text(wished[1]) })}: <strong>{t(kept ? 'proposal.kept' : 'proposal.missed')}</strong></>}</span>
            </li>
          );
        })}
      </ul>
      <p class="hint">{t('proposal.likely.note')}</p>
    </section>
  );
}

function Cautions({ cautions, refused }: { cautions: Caution[]; refused: boolean }) {
  return (
    <section aria-labelledby="mind-heading">
      <h3 id="mind-heading">{t(refused ? 'proposal.refusal' : 'proposal.mind')}</h3>
      <ul class="cautions">
        {cautions.map((caution) => (
          <li key={caution.text} class={`note ${caution.severity}`}>
            <strong>{t(`severity.${caution.severity}`)}</strong> <span lang="en">{caution.text}</span>
            <details><summary>{t('proposal.source', { source: '…' })}</summary><p lang="en">{caution.source}</p></details>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Why({ proposal }: { proposal: ProposalData }) {
  return (
    <section aria-labelledby="why-heading">
      <h3 id="why-heading">{t('proposal.why')}</h3>
      {proposal.bindings.length === 0 ? <p>{t('proposal.why.none')}</p> : <dl class="why" lang="en">{proposal.bindings.map((binding) => <div key={binding.what}><dt>{binding.what}</dt><dd>{binding.effect}</dd></div>)}</dl>}
    </section>
  );
}

/** What a screen reader hears when things have come to rest. */
function Spoken() {
  const { answers, answer, settings } = useAll();
  const [words, setWords] = useState('');
  useEffect(() => {
    const proposal = answer?.proposals[0];
    const rest = window.setTimeout(() => {
      const value = (of: 'alcohol' | 'ibu' | 'colour', estimate?: { value: number }): string => (estimate ? shown(estimate.value, of, settings.system) : '');
      setWords(answers === 0 || answer === null ? '' : proposal ? t('proposal.spoken', { outcome: outcomeWord(answer), alcohol: value('alcohol', proposal.forecast.abv_percent), bitterness: value('ibu', proposal.forecast.bitterness_ibu), colour: value('colour', proposal.forecast.colour_ebc) }) : outcomeWord(answer));
    }, 700);
    return () => clearTimeout(rest);
  }, [answers]);
  return <p class="unseen" role="status">{words}</p>;
}

function Standing() {
  const { standing, problems, brief, answer } = useAll();
  const focus = (id: string) => (event: Event): void => { event.preventDefault(); document.getElementById(id)?.focus(); };
  if (standing === 'unfinished') {
    const place = { volume: fieldId('want.volume'), grain: 'have-search', yeast: 'have-search' };
    return <div class="note"><h3>{t('proposal.unfinished')}</h3><ul>{unfinished(brief).map((each) => <li key={each}><a href={`#${place[each]}`} onClick={focus(place[each])}>{t(`proposal.unfinished.${each}`)}</a></li>)}</ul></div>;
  }
  if (standing === 'offline') return <p class="note caution" role="status">{t('proposal.offline')}</p>;
  if (standing === 'problems' || standing === 'fault') {
    return (
      <div class="note danger" role="alert">
        <h3>{t(standing === 'fault' ? 'proposal.fault' : 'proposal.problems')}</h3>
        <ul lang="en">{problems.map((problem) => <li key={`${problem.field}${problem.what}`}>{problem.field ? <a href={`#${fieldId(problem.field)}`} onClick={focus(fieldId(problem.field))}>{problem.what}</a> : problem.what}. {problem.remedy}.</li>)}</ul>
      </div>
    );
  }
  return standing === 'waiting' && answer === null ? <p class="hint">{t('proposal.waiting')}</p> : null;
}

async function sheetOf(way: number): Promise<Answer> {
  try {
    return await runSheet(state, way + 1);
  } catch (trouble) {
    // A program that was started anew knows the brief, but not its other ways. They are the same each time.
    if (way === 0 || !(trouble instanceof Trouble) || trouble.status !== 422) throw trouble;
    await composeOthers(state);
    return runSheet(state, way + 1);
  }
}

async function openSheet(way: number, print: boolean): Promise<void> {
  const reply = await sheetOf(way);
  change((all) => void (all.sheet = { way, lines: reply.sheet ?? [] }));
  if (print) requestAnimationFrame(() => window.print());
}

export function Proposal() {
  const { answer, way, standing, settings, answers, sheet } = useAll();
  const proposal = answer?.proposals[way];
  const current = standing === 'answered' || standing === 'waiting' || standing === 'idle';
  const colour = proposal && shown(proposal.forecast.colour_ebc.value, 'colour', settings.system);
  // Drawn anew with another answer, not with every move of a slider.
  const hangsOn = [answer, way, JSON.stringify(settings), state.brief.kit['boil']];
  const amounts = useMemo(() => proposal && <Amounts proposal={proposal} />, hangsOn);
  const reasons = useMemo(() => proposal && answer && <><Why proposal={proposal} /><Cautions cautions={answer.side_by_side?.others[way - 1]?.cautions ?? answer.cautions} refused={false} /></>, hangsOn);
  const ways = useMemo(() => <Ways />, []);
  return (
    <section id="proposal" tabIndex={-1} aria-labelledby="proposal-heading" data-answers={answers} class={current ? '' : 'stale'}>
      <div class="head">
        {proposal?.forecast.colour_srgb && <Glass colour={proposal.forecast.colour_srgb} label={t('proposal.glass', { colour: colour ?? '' })} />}
        <div>
          <h2 id="proposal-heading" class={answer && current ? answer.outcome : ''}>{current ? outcomeWord(answer) : t('proposal.heading')}</h2>
          {proposal && <p class="headline"><span>{shown(proposal.forecast.abv_percent.value, 'alcohol', settings.system)}</span> <span>{shown(proposal.forecast.bitterness_ibu.value, 'ibu', settings.system)}</span> <span>{colour}</span></p>}
        </div>
      </div>
      <Spoken />
      <Standing />
      {answer && !current && <p class="hint">{t('proposal.old')}</p>}
      {proposal && way > 0 && current && <div class="other-way"><p>{t('proposal.way', { n: way + 1 })}: <span lang="en">{proposal.name}</span></p> <button type="button" class="quiet" onClick={() => takeWay(0)}>{t('ways.back')}</button></div>}
      {answer && answer.clashes.length > 0 && <section aria-labelledby="clash-heading"><h3 id="clash-heading">{t('proposal.clashes')}</h3><ClashNote clashes={answer.clashes} /></section>}
      {answer?.outcome === 'refused' && <Cautions cautions={answer.cautions} refused />}
      {proposal && answer && (
        <>
          {amounts}
          <Forecasts proposal={proposal} />
          {ways}
          {reasons}
          <section aria-labelledby="sheet-heading" class="sheet-part">
            <h3 id="sheet-heading">{t('proposal.sheet')}</h3>
            {sheet && sheet.way === way && <RunSheet lines={sheet.lines} />}
            <div class="form-actions">
              {!sheet && <button type="button" class="main-action" onClick={() => void openSheet(way, false).catch(() => undefined)}>{t('proposal.sheet.open')}</button>}
              <button type="button" onClick={() => void openSheet(way, true).catch(() => undefined)}>{t('proposal.print')}</button>
              <BrewThis way={way} />
            </div>
          </section>
        </>
      )}
    </section>
  );
}
