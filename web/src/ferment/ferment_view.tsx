// What happens after the brew day: readings and what they say, gas forced into a keg, doses tried in glasses.
import { useState } from 'preact/hooks';
import { Trouble, watchReadings, type Problem, type Watch } from '../api';
import { unfinished } from '../brief';
import { BareField } from '../parts/bare_field';
import { ProblemNote } from '../parts/problem_note';
import { Rooms } from '../parts/rooms';
import { change, state, useAll } from '../state';
import { pressure } from '../units';
import { figure, moment, t } from '../words';
import { GasTimer } from './gas_timer';
import { BenchTrial } from './bench_trial';
import { Curve, CurveTable } from './curve';
import { containers, readingKinds, valued, type Container, type ReadingKind, type TypedReading } from './readings';

const examples: Record<ReadingKind, string> = { pitched: '', dosed: '', gravity: '1.020', refraction: '9.3 °Bx', temperature: '19.5 °C', ph: '4.4', pressure: '0.4 bar' };
const percent = (share: number): string => (share > 0 && share < 0.01 ? `< ${figure(1, 0)} %` : `${figure(100 * share, 0)} %`);

function ReadingRow({ reading, index }: { reading: TypedReading; index: number }) {
  const n = index + 1;
  const set = (how: (row: TypedReading) => void): void => change(({ ferment }) => {
    const row = ferment.readings[index];
    if (row !== undefined) how(row);
  });
  const at = (name: string): string => `reading-${n}-${name}`;
  return (
    <li class="supply">
      <fieldset class="field">
        <legend>{t('ferment.reading', { n })}</legend>
        <div class="fields">
          <div class="field"><label for={at('time')}>{t('ferment.time')}</label><input id={at('time')} type="datetime-local" value={reading.time} onInput={(event) => { const { value } = event.currentTarget; set((row) => void (row.time = value)); }} /></div>
          <div class="field"><label for={at('kind')}>{t('ferment.kind')}</label>
            <select id={at('kind')} value={reading.kind} onChange={(event) => { const { value } = event.currentTarget; set((row) => void (row.kind = value as ReadingKind)); }}>
              {readingKinds.map((kind) => <option key={kind} value={kind}>{t(`ferment.kind.${kind}`)}</option>)}
            </select>
          </div>
          {valued(reading.kind) && <div class="field"><label for={at('value')}>{t('ferment.value')}</label><input id={at('value')} class="count" autocomplete="off" placeholder={examples[reading.kind]} value={reading.value} onInput={(event) => { const { value } = event.currentTarget; set((row) => void (row.value = value)); }} /></div>}
          {reading.kind === 'gravity' && <div class="field"><label for={at('at')}>{t('ferment.at')}</label><input id={at('at')} class="count" autocomplete="off" placeholder="20 °C" value={reading.at} onInput={(event) => { const { value } = event.currentTarget; set((row) => void (row.at = value)); }} /></div>}
          <button type="button" class="remove" aria-label={t('ferment.remove', { n })} onClick={() => change(({ ferment }) => void ferment.readings.splice(index, 1))}>×</button>
        </div>
      </fieldset>
    </li>
  );
}

function Bottling({ bottling }: { bottling: NonNullable<Watch['bottling']> }) {
  const { system } = useAll().settings;
  return (
    <section aria-labelledby="bottling-heading">
      <h3 id="bottling-heading">{t('ferment.bottle')}</h3>
      <div class={`note ${bottling.verdict === 'danger' ? 'danger' : bottling.verdict === 'not-yet' ? 'caution' : ''}`}>
        <strong>{t(`ferment.bottle.${bottling.verdict}`)}</strong>
        <ul lang="en">{bottling.reasons.map((reason) => <li key={reason}>{reason}</li>)}</ul>
      </div>
      {bottling.containers.length > 0 && (
        <table>
          <caption>{t('ferment.pressure')}</caption>
          <thead><tr><th scope="col">{t('ferment.container')}</th><th scope="col">{t('ferment.likely')}</th><th scope="col">{t('ferment.bears')}</th><th scope="col">{t('ferment.over')}</th></tr></thead>
          <tbody>{bottling.containers.map(({ container, pressure_bar, rating_bar, over_rating }) => (
            <tr key={container}><th scope="row">{t(`container.${container}`)}</th><td>{pressure(pressure_bar.low, system)} – {pressure(pressure_bar.high, system)}</td><td>{pressure(rating_bar, system)}</td><td>{percent(over_rating)}</td></tr>
          ))}</tbody>
        </table>
      )}
    </section>
  );
}

function Verdict({ watch }: { watch: Watch }) {
  return (
    <>
      <h2>{t(`ferment.state.${watch.state}`)}</h2>
      <p class="headline">
        {watch.state !== 'cannot-tell' && <span>{t('ferment.sure', { share: percent(watch.chance) })}</span>}
        {watch.gravity_now_sg && <span>{t('ferment.now', { low: figure(watch.gravity_now_sg.low, 3), high: figure(watch.gravity_now_sg.high, 3) })}</span>}
        {watch.finished && <span>{t('ferment.done', { soonest: moment(watch.finished.soonest), latest: moment(watch.finished.latest) })}</span>}
      </p>
      <ul class="reasons" lang="en">{watch.reasons.map((reason) => <li key={reason}>{reason}</li>)}</ul>
      {watch.questions.map(({ reading, words }) => <p key={reading} class="note caution" lang="en">{words}</p>)}
      {watch.bottling && <Bottling bottling={watch.bottling} />}
      {watch.next && <section aria-labelledby="next-heading"><h3 id="next-heading">{t('ferment.next')}</h3><p><strong>{moment(watch.next.time)}</strong> <span lang="en">{watch.next.why}</span></p></section>}
      <section aria-labelledby="course-heading"><h3 id="course-heading">{t('ferment.course')}</h3><Curve watch={watch} /><p class="hint">{t('ferment.legend')}</p><CurveTable watch={watch} /></section>
    </>
  );
}

function Readings() {
  const { ferment, brief, learned, way } = useAll();
  const [watch, setWatch] = useState<{ says: Watch; of: string } | null>(null);
  const [problems, setProblems] = useState<Problem[]>([]);
  const [waiting, setWaiting] = useState(false);
  const ready = unfinished(brief).length === 0;
  const now = JSON.stringify([ferment, brief, learned, way]);
  const stale = watch !== null && watch.of !== now;
  const name = brief.name.trim() === '' ? t('brief.heading') : brief.name;
  const ask = async (): Promise<void> => {
    setWaiting(true);
    try {
      setWatch({ says: await watchReadings(state, way + 1, ferment), of: now });
      setProblems([]);
    } catch (trouble) {
      setWatch(null);
      const told = trouble instanceof Trouble ? trouble.problems : [];
      setProblems(told.length > 0 ? told : [{ what: t('ferment.fault'), remedy: t('ferment.again') }]);
    }
    setWaiting(false);
  };
  return (
    <div class="compose ferment">
      <section id="brief" tabIndex={-1} aria-labelledby="readings-heading">
        <h2 id="readings-heading">{t('ferment.heading')}</h2>
        <p class="hint">{ready ? t('ferment.of', { name }) : t('ferment.unfinished')}</p>
        <ol>{ferment.readings.map((reading, index) => <ReadingRow key={index} reading={reading} index={index} />)}</ol>
        <div class="form-actions"><button type="button" onClick={() => change(() => void ferment.readings.push({ time: '', kind: 'gravity', value: '', at: '' }))}>{t('ferment.add')}</button></div>
        <div class="fields">
          <div class="field"><label for="ferment-container">{t('ferment.into')}</label>
            <select id="ferment-container" value={ferment.container} onChange={(event) => { const value = event.currentTarget.value as Container; change(() => void (ferment.container = value)); }}>
              {containers.map((each) => <option key={each} value={each}>{t(`container.${each}`)}</option>)}
            </select>
          </div>
          <BareField id="ferment-warmest" label={t('ferment.warmest')} typed="temperature" value={ferment.warmest} usual={30} set={(value) => change(() => void (ferment.warmest = value))} />
        </div>
        <div class="form-actions"><button type="button" class="main-action" disabled={!ready || waiting} onClick={() => void ask()}>{t('ferment.ask')}</button></div>
      </section>
      <section id="proposal" tabIndex={0} class={stale ? 'stale' : ''} aria-label={t('ferment.verdict')} aria-live="polite" aria-busy={waiting}>
        {problems.map((problem, index) => <ProblemNote key={index} id={`ferment-problem-${index}`} problem={problem} />)}
        {stale && <p class="note caution"><strong>{t('ferment.stale')}</strong></p>}
        {watch && <p class="printed">{name}, {moment(new Date().toISOString())}</p>}
        {watch ? <Verdict watch={watch.says} /> : problems.length === 0 && <p class="hint">{t('ferment.none')}</p>}
      </section>
    </div>
  );
}

export function FermentView() {
  useAll();
  const at = location.hash.slice(1);
  const here = at === '/ferment/gas' || at === '/ferment/trial' ? at : '/ferment';
  return (
    <>
      <Rooms label={t('ferment.parts')} here={here} rooms={[['/ferment', t('ferment.heading')], ['/ferment/gas', t('gas.heading')], ['/ferment/trial', t('trial.heading')]]} />
      {here === '/ferment' ? <Readings /> : here === '/ferment/gas' ? <GasTimer /> : <BenchTrial />}
    </>
  );
}
