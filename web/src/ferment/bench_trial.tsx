// Doses of an infusion in glasses of the beer, tasted blind. Which glass holds what stays covered until somebody who pours opens it.
import { useState } from 'preact/hooks';
import { asked, planTrial, Trouble, type Problem, type Trial, type TrialGlass } from '../api';
import { unfinished } from '../brief';
import { BareField, numberIn } from '../parts/bare_field';
import { ProblemNote } from '../parts/problem_note';
import { keptOnDevice, state, useAll } from '../state';
import { dose, mass, pressure, temperature, volume } from '../units';
import { figure, t } from '../words';

interface Bench {
  of: 'brief' | 'typed'; abv: number | null; gravity: number | null; strength: number | null; sugar: number | null; glass: number | null;
  batch: number | null; doses: string; seed: number; picks: string; shown: boolean; answer: Trial | null; asked: string;
}
const anyNumber = (): number => 1 + (crypto.getRandomValues(new Uint32Array(1))[0] as number) % 999_999;
const bench = keptOnDevice<Bench>('oddgrist.trial.1', () => ({ of: 'brief', abv: 5, gravity: 1.012, strength: null, sugar: null, glass: 100, batch: null, doses: '', seed: anyNumber(), picks: '', shown: false, answer: null, asked: '' }));

function question(plan: Bench): object {
  const said = (key: string, value: number | null): object => (value === null ? {} : { [key]: value });
  const liquor = { ...said('strength_percent', plan.strength), ...said('sugar_g_per_l', plan.sugar) };
  const doses = plan.doses.split(/[;\s]+/).map(numberIn).filter((each): each is number => each !== null);
  return {
    ...(plan.of === 'brief' ? { ...asked(state), proposal: state.way + 1 } : { beer: { abv_percent: plan.abv, gravity_sg: plan.gravity } }),
    ...(Object.keys(liquor).length > 0 ? { liquor } : {}), ...said('glass_ml', plan.glass), ...said('batch_l', plan.batch),
    ...(doses.length > 0 ? { doses_ml: doses } : {}), seed: plan.seed,
  };
}

function Liked({ glass, trial }: { glass: TrialGlass; trial: Trial }) {
  const { system } = useAll().settings;
  return (
    <section aria-labelledby="liked-heading" class="liked">
      <h3 id="liked-heading">{t('trial.liked', { letter: glass.letter })}</h3>
      <p class="do">{glass.dose_ml > 0 ? t('trial.dose', { dose: dose(glass.batch_dose_ml, system), batch: volume(trial.batch_l, system) }) : t('trial.nothing')}</p>
      {glass.steep_g > 0 && <p>{t('trial.steep', { amount: mass(glass.steep_g, system) })}</p>}
      <p>{t('trial.then', { gravity: figure(glass.gravity_sg, 3), alcohol: figure(glass.abv_percent, 1) })}</p>
      <p class={`note ${glass.bottle === 'refuse' ? 'danger' : glass.bottle === 'near-limit' ? 'caution' : ''}`}><strong>{t(`trial.bottle.${glass.bottle}`)}</strong> {t('trial.pressure', { pressure: pressure(glass.bottle_gauge_bar, system), at: temperature(trial.bottle_c, system), later: figure(glass.later_volumes, 2) })}</p>
    </section>
  );
}

function Plan({ trial, picked, show }: { trial: Trial; picked(picks: string): void; show(): void }) {
  const { now: plan } = bench;
  const { system } = useAll().settings;
  const letters = [...trial.order].sort();
  return (
    <>
      <section aria-labelledby="taste-heading" class="tasting">
        <h2 id="taste-heading">{t('trial.taste')}</h2>
        <p class="hint">{t('trial.taste.how', { n: letters.length, glass: dose(trial.glass_ml, system) })}</p>
        <ul class="glasses">{[...trial.order].map((letter) => <li key={letter}><strong>{letter}</strong> <span class="blank">{t('trial.score')}</span></li>)}</ul>
      </section>
      <section aria-labelledby="picks-heading">
        <h3 id="picks-heading">{t('trial.picks')}</h3>
        <p class="hint">{t('trial.picks.how')}</p>
        <div class="chips">{letters.map((letter) => <button key={letter} type="button" class="chip" aria-label={t('trial.pick', { letter })} onClick={() => picked(plan.picks + letter)}>{letter}</button>)}</div>
        <p role="status">{plan.picks === '' ? t('trial.picks.none') : t('trial.picks.so-far', { picks: [...plan.picks].join(', ') })} {plan.picks !== '' && <button type="button" class="quiet" onClick={() => picked(plan.picks.slice(0, -1))}>{t('trial.picks.back')}</button>}</p>
      </section>
      {plan.picks !== '' && !plan.shown && <div class="form-actions"><button type="button" onClick={show}>{t('trial.reveal')}</button></div>}
      {trial.picked && plan.shown && <Liked glass={trial.picked} trial={trial} />}
      <details class="pouring">
        <summary>{t('trial.pour')}</summary>
        <table>
          <caption>{t('trial.pour.how')}</caption>
          <thead><tr><th scope="col">{t('trial.glass')}</th><th scope="col">{t('trial.in-glass')}</th><th scope="col">{t('trial.in-batch')}</th><th scope="col">{t('trial.bottle', { at: temperature(trial.bottle_c, system) })}</th></tr></thead>
          <tbody>{[...trial.glasses].sort((a, b) => a.letter.localeCompare(b.letter)).map((glass) => (
            <tr key={glass.letter}><th scope="row">{glass.letter}</th><td>{glass.dose_ml > 0 ? dose(glass.dose_ml, system) : t('trial.control')}</td><td>{glass.dose_ml > 0 ? dose(glass.batch_dose_ml, system) : '–'}</td><td class={glass.bottle === 'refuse' ? 'wrong' : ''}>{pressure(glass.bottle_gauge_bar, system)}, {t(`trial.short.${glass.bottle}`)}</td></tr>
          ))}</tbody>
        </table>
      </details>
      <div class="form-actions"><button type="button" onClick={() => window.print()}>{t('trial.print')}</button></div>
    </>
  );
}

export function BenchTrial() {
  const { brief } = useAll();
  const { now: plan, edit } = bench;
  const [problems, setProblems] = useState<Problem[]>([]);
  const [waiting, setWaiting] = useState(false);
  const ready = unfinished(brief).length === 0;
  const own = plan.of === 'typed' || !ready;
  const of = JSON.stringify(question({ ...plan, of: own ? 'typed' : 'brief' }));
  // What was liked is shown only once everybody has tasted, so that nobody tastes after it.
  const ask = async (shown = false): Promise<void> => {
    setWaiting(true);
    try {
      // Which glass the tasters together liked is the program's to say.
      const trial = await planTrial({ ...question({ ...plan, of: own ? 'typed' : 'brief' }), picks: shown ? plan.picks : '' });
      edit((now) => { now.answer = trial; now.asked = of; now.shown = shown && trial.picked !== undefined; });
      setProblems([]);
    } catch (trouble) {
      const told = trouble instanceof Trouble ? trouble.problems : [];
      setProblems(told.length > 0 ? told : [{ what: t('ferment.fault'), remedy: t('ferment.again') }]);
    }
    setWaiting(false);
  };
  const trial = plan.answer;
  const stale = trial !== null && plan.asked !== of;
  const again = (): void => edit((now) => { now.seed = anyNumber(); now.picks = ''; now.shown = false; });
  return (
    <div class="compose ferment trial">
      <section id="brief" tabIndex={-1} aria-labelledby="trial-heading">
        <h2 id="trial-heading">{t('trial.heading')}</h2>
        <p class="hint">{t('trial.about')}</p>
        <div class="field wide"><label for="trial-of">{t('trial.of')}</label>
          <select id="trial-of" value={own ? 'typed' : 'brief'} disabled={!ready} onChange={(event) => { const which = event.currentTarget.value as Bench['of']; edit((now) => void (now.of = which)); }}>
            <option value="brief">{t('trial.of.brief', { name: brief.name.trim() === '' ? t('brief.heading') : brief.name })}</option>
            <option value="typed">{t('trial.of.typed')}</option>
          </select>
        </div>
        <div class="fields">
          {own && <BareField id="trial-abv" label={t('measure.alcohol')} typed="alcohol" value={plan.abv} set={(value) => edit((now) => void (now.abv = value))} />}
          {own && <BareField id="trial-gravity" label={t('measure.final-gravity')} typed="gravity" value={plan.gravity} set={(value) => edit((now) => void (now.gravity = value))} />}
          <BareField id="trial-strength" label={t('trial.strength')} typed="alcohol" value={plan.strength} set={(value) => edit((now) => void (now.strength = value))} />
          <BareField id="trial-sugar" label={t('trial.sugar')} typed="sugar" value={plan.sugar} set={(value) => edit((now) => void (now.sugar = value))} />
          <BareField id="trial-glass" label={t('trial.glass.size')} typed="dose" value={plan.glass} usual={100} set={(value) => edit((now) => void (now.glass = value))} />
          <BareField id="trial-batch" label={t('trial.batch')} typed="volume" value={plan.batch} set={(value) => edit((now) => void (now.batch = value))} />
          <div class="field"><label for="trial-doses">{t('trial.doses')}</label><input id="trial-doses" autocomplete="off" value={plan.doses} placeholder="0.5; 1; 2" onInput={(event) => { const doses = event.currentTarget.value; edit((now) => void (now.doses = doses)); }} /></div>
        </div>
        {!own && <p class="hint">{t('trial.as-planned')}</p>}
        <div class="form-actions">
          <button type="button" class="main-action" disabled={waiting} onClick={() => void ask()}>{t('trial.ask')}</button>
          <button type="button" onClick={again}>{t('trial.again')}</button>
        </div>
      </section>
      <section id="proposal" tabIndex={0} class={stale ? 'stale' : ''} aria-label={t('trial.says')} aria-live="polite" aria-busy={waiting}>
        {problems.map((problem, index) => <ProblemNote key={index} id={`trial-problem-${index}`} problem={problem} />)}
        {stale && <p class="note caution"><strong>{t('trial.stale')}</strong></p>}
        {trial === null ? <p class="hint">{t('trial.none')}</p> : <Plan trial={trial} picked={(picks) => edit((now) => { now.picks = picks; now.shown = false; })} show={() => void ask(true)} />}
      </section>
    </div>
  );
}
