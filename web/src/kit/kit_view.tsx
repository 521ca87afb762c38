// What the gyles say of a kit: each figure as it is stated and as it was learned, on one scale.
import { useEffect, useState } from 'preact/hooks';
import { findKits, kitKnown, type Estimate, type KitKnown } from '../api';
import { gyleInAddress } from '../day/day_view';
import { faultOf, type Fault } from '../parts/faults';
import { hear } from '../parts/hear';
import { state, useAll } from '../state';
import { litresInUsGallon, temperature, volume } from '../units';
import { figure, t } from '../words';

type Figure = KitKnown['figures'][number];

// The page's units where it knows the program's; other units stand as the program has them.
function words(value: number, unit: string): string {
  const { system } = state.settings;
  if (unit === 'share') return `${figure(100 * value, 1)} %`;
  if (system === 'us' && unit === 'L') return volume(value, system);
  if (system === 'us' && unit === '°C') return temperature(value, system);
  if (system === 'us' && unit === 'L/h') return `${figure(value / litresInUsGallon, 2)} US gal/h`;
  const size = Math.abs(value);
  return `${figure(value, size >= 100 ? 0 : size >= 10 ? 1 : 2)} ${unit}`.trim();
}

function Bar({ band, from, to, name }: { band: Estimate; from: number; to: number; name: string }) {
  const at = (value: number): number => (100 * (value - from)) / (to - from);
  return (
    <svg viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true" class={name}>
      <rect class="axis" x="0" y="5.5" width="100" height="1" />
      <rect class="likely" x={at(band.low)} y="3" width={Math.max(0.6, at(band.high) - at(band.low))} height="6" />
      <rect class="value" x={at(band.value) - 0.5} y="0" width="1" height="12" />
    </svg>
  );
}

function FigureRow({ one }: { one: Figure }) {
  const { stated, learned, unit } = one;
  const ends = [stated.low, stated.high, learned.low, learned.high];
  const spare = 0.08 * (Math.max(...ends) - Math.min(...ends)) || 1;
  const from = Math.min(...ends) - spare, to = Math.max(...ends) + spare;
  const span = (band: Estimate): string => t('proposal.likely', { low: words(band.low, unit), high: words(band.high, unit) });
  const share = figure(100 * Math.abs(one.narrower), 0);
  return (
    <li class="kit-figure">
      <h4 lang="en">{one.figure}{one.yeast && <span class="aside"> {one.yeast}</span>}</h4>
      <div class="kit-bar"><span>{t('kit.stated')}</span> <strong>{words(stated.value, unit)}</strong> <span class="aside">{span(stated)}</span><Bar band={stated} from={from} to={to} name="stated" /></div>
      <div class="kit-bar"><span>{t('kit.learned')}</span> <strong>{words(learned.value, unit)}</strong> <span class="aside">{span(learned)}</span><Bar band={learned} from={from} to={to} name="learned" /></div>
      <p class="hint">{one.gyles === 0 ? t('kit.untold') : `${t(one.narrower >= 0 ? 'kit.narrower' : 'kit.wider', { share })} ${t('kit.told', { n: one.gyles })}`}{one.let_go > 0 && ` ${t('kit.let-go', { n: one.let_go })}`}</p>
    </li>
  );
}

function OneKit({ kit }: { kit: string }) {
  const [known, setKnown] = useState<KitKnown | null>(null);
  const [trouble, setTrouble] = useState<Fault | null>(null);
  useEffect(() => {
    const load = (): void => void kitKnown(kit).then((now) => { setKnown(now); setTrouble(null); }, (why) => setTrouble(faultOf(why)));
    load();
    return hear('gyle', load);
  }, [kit]);
  if (known === null) return <p class="hint" role="status">{t(trouble === null ? 'kit.loading' : trouble === 'missing' ? 'kit.missing' : trouble === 'away' ? 'day.unreached' : `fault.${trouble}`)}</p>;
  const told = [...known.figures].sort((a, b) => Number(b.gyles > 0) - Number(a.gyles > 0));
  return (
    <>
      <h2>{known.kit}</h2>
      <p class="hint">{t('kit.read', { n: known.told_by.length, all: known.gyles.length })}</p>
      <div class="form-actions"><a class="button" href="#/kit">{t('kit.all')}</a></div>
      {known.did_not_fit.length > 0 && (
        <section aria-labelledby="strange-heading"><h3 id="strange-heading">{t('kit.strange')}</h3>
          <p class="note caution">{t('kit.strange.how')} {known.did_not_fit.map((gyle) => <span key={gyle}><a href={`#/gyles/${encodeURIComponent(gyle)}`}>{gyle}</a> </span>)}</p>
        </section>
      )}
      {known.left_out.length > 0 && <p class="note caution">{t('kit.left-out', { names: known.left_out.join(', ') })}</p>}
      {known.read_next.length > 0 && (
        <section aria-labelledby="useful-heading"><h3 id="useful-heading">{t('kit.next')}</h3>
          <p class="hint">{t('kit.next.how')}</p>
          <ol class="useful">{known.read_next.slice(0, 4).map(({ sight, stage, takes_off }) => <li key={`${sight} ${stage}`}><strong>{t(`sight.${sight}`)}, {t(`stage.${stage}`)}</strong> <span class="aside">{t('kit.next.off', { share: figure(100 * takes_off, 0) })}</span></li>)}</ol>
        </section>
      )}
      <section aria-labelledby="figures-heading"><h3 id="figures-heading">{t('kit.figures')}</h3>
        {told.length === 0 ? <p class="hint">{t('kit.nothing')}</p> : <><p class="hint">{t('kit.bars')}</p><ul class="kit-figures">{told.map((one) => <FigureRow key={`${one.figure} ${one.yeast ?? ''}`} one={one} />)}</ul></>}
      </section>
    </>
  );
}

function List() {
  const [kits, setKits] = useState<Awaited<ReturnType<typeof findKits>> | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  useEffect(() => {
    const load = (): void => void findKits().then((now) => { setKits(now); setFault(null); }, (why) => setFault(faultOf(why)));
    load();
    return hear('gyle', load);
  }, []);
  return (
    <>
      <h2>{t('nav.kit')}</h2>
      <p class="hint">{t('kit.about')}</p>
      <p class="hint" role="status">{fault !== null ? t(fault === 'away' ? 'day.unreached' : `fault.${fault}`) : kits !== null && kits.length === 0 ? t('kit.none') : ''}</p>
      <ul class="gyles">{kits?.map(({ kit, gyles }) => <li key={kit}><a href={`#/kit/${encodeURIComponent(kit)}`}>{kit}</a> <span class="aside">{t('kit.gyles', { n: gyles })}</span></li>)}</ul>
    </>
  );
}

export function KitView() {
  useAll();
  const named = gyleInAddress('/kit');
  return <section id="proposal" tabIndex={-1} class="gyles-room" aria-label={t('nav.kit')}>{named ? <OneKit kit={named} /> : <List />}</section>;
}
