// Gas forced into a keg at high pressure: how long until it has to be turned down, and what can go wrong. Plan and answer are kept on the
// device, so the time left is there after a reload and without a network.
import { useEffect, useState } from 'preact/hooks';
import { reckonGas, Trouble, type Gas, type Problem } from '../api';
import { allowSound } from '../day/alarm';
import { BareField } from '../parts/bare_field';
import { Chart, path } from '../parts/chart';
import { ProblemNote } from '../parts/problem_note';
import { Timer } from '../parts/timer';
import { keptOnDevice, useAll, wallTime } from '../state';
import { barInPsi, pressure } from '../units';
import { figure, moment, t } from '../words';

interface Read { time: string; gauge: number | null; temperature: number | null }
type By = 'rest' | 'shaken' | 'stone';
interface Plan {
  wanted: number | null; start: number | null; temperature: number | null; high: number | null; rating: number | null; altitude: number | null;
  by: By; began: string; readings: Read[]; answer: Gas | null; of: string;
}
const gas = keptOnDevice<Plan>('oddgrist.gas.1', () => ({ wanted: 2.5, start: null, temperature: 4, high: 40 * barInPsi, rating: null, altitude: null, by: 'rest', began: '', readings: [], answer: null, of: '' }));

// What has been left empty is left to the program.
function question({ wanted, start, temperature, high, rating, altitude, by, began, readings }: Plan): object {
  const said = (key: string, value: number | null): object => (value === null ? {} : { [key]: value });
  return {
    ...said('wanted_volumes', wanted), ...said('start_volumes', start), ...said('temperature_c', temperature), ...said('high_gauge_bar', high),
    ...said('keg_rating_bar', rating), ...said('altitude_m', altitude), by, ...(began === '' ? {} : { began }),
    readings: readings.map(({ time, gauge, temperature: at }) => ({ time, gauge_bar: gauge, ...said('temperature_c', at) })),
  };
}

function Course({ answer }: { answer: Gas }) {
  const { curve = [], now, wanted_volumes } = answer;
  if (curve.length < 2 || now === undefined) return null;
  const hours = curve[curve.length - 1]?.hour ?? 1;
  const top = Math.ceil(Math.max(...curve.map(({ high }) => high), wanted_volumes));
  const step = Math.max(6, 6 * Math.ceil(hours / 36));
  return (
    <Chart label={t('gas.curve')} x={[0, hours]} y={[0, top]} under={t('gas.hours')}
      across={Array.from({ length: Math.floor(hours / step) + 1 }, (_, i): [number, string] => [i * step, String(i * step)])}
      lines={Array.from({ length: top + 1 }, (_, i): [number, string] => [i, figure(i, 0)])}
      draw={(x, y) => (
        <>
          <polygon class="band" points={path([...curve.map(({ hour, low }): [number, number] => [x(hour), y(low)]), ...[...curve].reverse().map(({ hour, high }): [number, number] => [x(hour), y(high)])])} />
          <polyline class="middle" points={path(curve.map(({ hour, usual }) => [x(hour), y(usual)]))} />
          <line class="wanted" x1={x(0)} x2={x(hours)} y1={y(wanted_volumes)} y2={y(wanted_volumes)} />
          <line class="now" x1={x(Math.min(now.hour, hours))} x2={x(Math.min(now.hour, hours))} y1={y(0)} y2={y(top)} />
        </>
      )} />
  );
}

function Says({ answer, stale }: { answer: Gas; stale: boolean }) {
  const { system } = useAll().settings;
  const { turn_down, now } = answer;
  const soonest = turn_down === undefined ? null : Date.parse(turn_down.soonest);
  return (
    <>
      <h2 class={answer.state === 'refused' ? 'refused' : ''}>{t(`gas.state.${answer.state}`)}</h2>
      {stale && <p class="note caution"><strong>{t('gas.stale')}</strong></p>}
      {answer.refusals.map((refusal) => <p key={refusal} class="note refuse"><strong>{t('severity.refuse')}</strong> <span lang="en">{refusal}</span></p>)}
      {turn_down && soonest !== null && (
        <>
          <p class="hint">{t('gas.until')}</p>
          <Timer due={soonest} mark={`gas ${turn_down.soonest}`} place="oddgrist.gas-rung.1" awake={false} />
          <table>
            <tbody>
              <tr><th scope="row">{t('gas.soonest')}</th><td><strong>{moment(turn_down.soonest)}</strong></td></tr>
              <tr><th scope="row">{t('gas.usual')}</th><td>{moment(turn_down.usual)}</td></tr>
              <tr><th scope="row">{t('gas.latest')}</th><td>{moment(turn_down.latest)}</td></tr>
              <tr><th scope="row">{t('gas.down-to')}</th><td><strong>{pressure(answer.serving_gauge_bar ?? 0, system)}</strong></td></tr>
              {now && <tr><th scope="row">{t('gas.now')}</th><td>{t('want.span', { low: figure(now.low, 2), high: figure(now.high, 2) })} vol</td></tr>}
              {answer.day_too_long_volumes !== undefined && <tr><th scope="row">{t('gas.too-long')}</th><td>{figure(answer.day_too_long_volumes, 1)} vol</td></tr>}
              {answer.never_turned_down_volumes !== undefined && <tr><th scope="row">{t('gas.never')}</th><td>{figure(answer.never_turned_down_volumes, 1)} vol</td></tr>}
              {answer.next_check && <tr><th scope="row">{t('gas.check')}</th><td>{moment(answer.next_check)}</td></tr>}
            </tbody>
          </table>
          {(answer.readings ?? []).filter(({ questioned }) => questioned).map(({ time, volumes }) => <p key={time} class="note caution">{t('gas.doubted', { time: moment(time), volumes: figure(volumes, 1) })}</p>)}
        </>
      )}
      {answer.dangers.map((danger) => <p key={danger} class="note danger"><strong>{t('severity.danger')}</strong> <span lang="en">{danger}</span></p>)}
      {turn_down && <section aria-labelledby="gas-course"><h3 id="gas-course">{t('ferment.course')}</h3><Course answer={answer} /><p class="hint">{t('gas.legend')}</p></section>}
    </>
  );
}

export function GasTimer() {
  useAll();
  const { now: plan, edit } = gas;
  const [problems, setProblems] = useState<Problem[]>([]);
  const [waiting, setWaiting] = useState(false);
  const of = JSON.stringify(question(plan));
  const ask = async (): Promise<void> => {
    setWaiting(true);
    try {
      const answer = await reckonGas({ ...question(plan), now: wallTime() });
      edit((now) => { now.answer = answer; now.of = of; });
      setProblems([]);
    } catch (trouble) {
      const told = trouble instanceof Trouble ? trouble.problems : [];
      setProblems(told.length > 0 ? told : [{ what: t('ferment.fault'), remedy: t('gas.kept') }]);
    }
    setWaiting(false);
  };
  // What is shown was reckoned when it was asked; after a reload it is asked again for the present.
  useEffect(() => { if (plan.answer !== null && plan.of === of) void ask(); }, []);
  const begin = (): void => {
    allowSound();
    edit((now) => void (now.began = wallTime()));
  };
  const at = (field: string): Problem | undefined => problems.find((problem) => problem.field === field);
  const named = ['wanted_volumes', 'start_volumes', 'temperature_c', 'high_gauge_bar', 'keg_rating_bar', 'altitude_m', 'began'];
  const row = (index: number, how: (read: Read) => void): void => edit((now) => { const read = now.readings[index]; if (read !== undefined) how(read); });
  return (
    <div class="compose ferment">
      <section id="brief" tabIndex={-1} aria-labelledby="gas-heading">
        <h2 id="gas-heading">{t('gas.heading')}</h2>
        <p class="hint">{t('gas.about')}</p>
        <p class="note danger"><strong>{t('severity.danger')}</strong> {t('gas.danger')}</p>
        <div class="fields">
          <BareField id="gas-wanted" label={t('gas.wanted')} typed="gas" value={plan.wanted} usual={2.5} problem={at('wanted_volumes')} set={(value) => edit((now) => void (now.wanted = value))} />
          <BareField id="gas-temperature" label={t('gas.temperature')} typed="temperature" value={plan.temperature} usual={4} problem={at('temperature_c')} set={(value) => edit((now) => void (now.temperature = value))} />
          <BareField id="gas-high" label={t('gas.high')} typed="pressure" value={plan.high} usual={40 * barInPsi} problem={at('high_gauge_bar')} set={(value) => edit((now) => void (now.high = value))} />
          <BareField id="gas-rating" label={t('gas.rating')} typed="pressure" value={plan.rating} usual={4} problem={at('keg_rating_bar')} set={(value) => edit((now) => void (now.rating = value))} />
          <div class="field"><label for="gas-by">{t('gas.by')}</label>
            <select id="gas-by" value={plan.by} onChange={(event) => { const by = event.currentTarget.value as By; edit((now) => void (now.by = by)); }}>
              {(['rest', 'shaken', 'stone'] as const).map((by) => <option key={by} value={by}>{t(`gas.by.${by}`)}</option>)}
            </select>
          </div>
          <BareField id="gas-start" label={t('gas.start')} typed="gas" value={plan.start} usual={0.84} problem={at('start_volumes')} set={(value) => edit((now) => void (now.start = value))} />
          <BareField id="gas-altitude" label={t('gas.altitude')} typed="plain" value={plan.altitude} usual={0} problem={at('altitude_m')} set={(value) => edit((now) => void (now.altitude = value))} />
          <div class="field"><label for="gas-began">{t('gas.began')}</label><input id="gas-began" type="datetime-local" value={plan.began} onInput={(event) => { const began = event.currentTarget.value; edit((now) => void (now.began = began)); }} />{at('began') && <ProblemNote id="gas-began-problem" problem={at('began') as Problem} />}</div>
        </div>
        <div class="form-actions"><button type="button" onClick={begin}>{t('gas.begin')}</button></div>
        <h3>{t('gas.readings')}</h3>
        <p class="hint">{t('gas.readings.how')}</p>
        <ol>
          {plan.readings.map((read, index) => (
            <li class="supply" key={index}>
              <fieldset class="field"><legend>{t('ferment.reading', { n: index + 1 })}</legend>
                <div class="fields">
                  <div class="field"><label for={`gas-read-${index + 1}-time`}>{t('ferment.time')}</label><input id={`gas-read-${index + 1}-time`} type="datetime-local" value={read.time} onInput={(event) => { const time = event.currentTarget.value; row(index, (one) => void (one.time = time)); }} /></div>
                  <BareField id={`gas-read-${index + 1}-gauge`} label={t('gas.gauge')} typed="pressure" value={read.gauge} set={(value) => row(index, (one) => void (one.gauge = value))} />
                  <BareField id={`gas-read-${index + 1}-at`} label={t('gas.temperature')} typed="temperature" value={read.temperature} set={(value) => row(index, (one) => void (one.temperature = value))} />
                  <button type="button" class="remove" aria-label={t('ferment.remove', { n: index + 1 })} onClick={() => edit((now) => void now.readings.splice(index, 1))}>×</button>
                </div>
              </fieldset>
            </li>
          ))}
        </ol>
        <div class="form-actions">
          <button type="button" onClick={() => edit((now) => void now.readings.push({ time: wallTime(), gauge: null, temperature: null }))}>{t('ferment.add')}</button>
          <button type="button" class="main-action" disabled={waiting} onClick={() => { allowSound(); void ask(); }}>{t('gas.ask')}</button>
        </div>
      </section>
      <section id="proposal" tabIndex={0} class={plan.answer !== null && plan.of !== of ? 'stale' : ''} aria-label={t('gas.says')} aria-live="polite" aria-busy={waiting}>
        {problems.filter(({ field }) => field === undefined || !named.includes(field)).map((problem, index) => <ProblemNote key={index} id={`gas-problem-${index}`} problem={problem} />)}
        {plan.answer === null ? <p class="hint">{t('gas.none')}</p> : <Says answer={plan.answer} stale={plan.of !== of} />}
      </section>
    </div>
  );
}
