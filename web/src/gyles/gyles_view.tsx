// What was brewed: a list to search, and the log of one in words.
import { useEffect, useState } from 'preact/hooks';
import { findGyles, type Entry, type GyleLine } from '../api';
import { day, entriesNow, listen, openGyle, whyNot } from '../day/day';
import { gyleInAddress } from '../day/day_view';
import { holding, stepDone } from '../day/log';
import { unitOfSight } from '../day/reading_pad';
import { StandingTable } from '../day/standing';
import { faultOf, type Fault } from '../parts/faults';
import { state, useAll } from '../state';
import { mass, pressure, temperature, volume } from '../units';
import { figure, t } from '../words';

const when = (time: string): string => new Date(time).toLocaleString(state.settings.language, { dateStyle: 'medium', timeStyle: 'short' });

function words(entry: Entry): string {
  const { system } = state.settings;
  switch (entry.kind) {
    case 'started': return entry.body.name;
    case 'reached': return t(`stage.${entry.body.stage}`);
    case 'reading': {
      const { sight, stage, value, at_celsius } = entry.body;
      const said = sight === 'volume' ? volume(value, system) : sight === 'pressure' ? pressure(value, system) : sight === 'mass' ? `${mass(1000 * value, system)}${entry.body.of ? ` ${entry.body.of}` : ''}` : sight === 'temperature' ? temperature(value, system) : `${figure(value, sight === 'gravity' ? 3 : sight === 'ph' ? 2 : 1)} ${unitOfSight(sight, system)}`;
      return `${t(`sight.${sight}`)} ${said}${at_celsius === undefined ? '' : `, ${temperature(at_celsius, system)}`}, ${t(`stage.${stage}`)}`;
    }
    case 'added':
    case 'missed': return `${mass(1000 * entry.body.amount.kg, system)} ${entry.body.amount.what.replace(/-/g, ' ')}`;
    case 'lost': return `${volume(entry.body.volume_l, system)}, ${t(`stage.${entry.body.stage}`)}`;
    case 'changed': return Object.entries(entry.body).map(([what, value]) => `${what.replace(/_/g, ' ')} ${figure(Number(value), 1)}`).join(', ');
    case 'note': return stepDone(entry) ?? entry.body.text;
    case 'struck': return '';
  }
}

function Log({ entries }: { entries: Entry[] }) {
  const held = new Set(holding(entries).map(({ key }) => key));
  return (
    <ol class="log">
      {entries.map((entry) => {
        const text = <>{t(entry.kind === 'note' && stepDone(entry) !== null ? 'entry.done' : `entry.${entry.kind}`)}{words(entry) && <>: <span lang="en">{words(entry)}</span></>}</>;
        return <li key={entry.key}><time dateTime={entry.at} class="aside">{when(entry.at)}</time> <span>{held.has(entry.key) || entry.kind === 'struck' ? text : <del>{text}</del>}</span></li>;
      })}
    </ol>
  );
}

function OneGyle({ gyle }: { gyle: string }) {
  useEffect(() => openGyle(gyle), [gyle]);
  useEffect(listen, []);
  const { kept } = day;
  if (kept === null || kept.gyle !== gyle) return <p class="hint">{whyNot()}</p>;
  return (
    <>
      <h2>{kept.now.name || gyle}</h2>
      <p class="hint">{t(`stage.${kept.now.stage}`)}</p>
      <div class="form-actions"><a class="button main-action" href={`#/day/${encodeURIComponent(gyle)}`}>{t('nav.day')}</a> <a class="button" href="#/gyles">{t('gyles.all')}</a></div>
      <section aria-labelledby="log-heading"><h3 id="log-heading">{t('gyles.log')}</h3><Log entries={entriesNow()} /></section>
      <StandingTable gyle={kept} />
    </>
  );
}

function List() {
  const [text, setText] = useState('');
  const [found, setFound] = useState<GyleLine[] | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  useEffect(() => {
    let current = true;
    void findGyles(text).then(({ gyles }) => { if (current) { setFound(gyles); setFault(null); } }, (trouble) => { if (current) setFault(faultOf(trouble)); });
    return () => { current = false; };
  }, [text]);
  return (
    <>
      <h2>{t('nav.gyles')}</h2>
      <div class="field wide"><label for="gyles-search">{t('gyles.search')}</label><input id="gyles-search" type="search" autocomplete="off" value={text} onInput={(event) => setText(event.currentTarget.value)} /></div>
      <p class="hint" role="status">{fault !== null ? t(fault === 'away' ? 'day.unreached' : `fault.${fault}`) : found !== null && found.length === 0 ? t(text === '' ? 'gyles.none' : 'gyles.empty') : ''}</p>
      <ul class="gyles">
        {found?.map((line) => <li key={line.gyle}><a href={`#/gyles/${encodeURIComponent(line.gyle)}`}>{line.name || line.gyle}</a> <span class="aside">{t(`stage.${line.stage}`)}, {when(line.started_at)}, {t('gyles.entries', { n: line.entries })}</span></li>)}
      </ul>
    </>
  );
}

export function GylesView() {
  useAll();
  const named = gyleInAddress('/gyles');
  return <section id="proposal" tabIndex={-1} class="gyles-room" aria-label={t('nav.gyles')}>{named ? <OneGyle gyle={named} /> : <List />}</section>;
}
