// A number typed with wet fingers: what was read, a keypad of its own, and the temperature of the sample.
import { useState } from 'preact/hooks';
import type { Sight, Step, What } from '../api';
import { state } from '../state';
import { litresInUsGallon, scaleOf, type System } from '../units';
import { figure, t } from '../words';

const sights = ['gravity', 'volume', 'temperature', 'refraction', 'ph', 'pressure', 'mass', 'taste'] as const;
type Sought = (typeof sights)[number];
const keys = ['7', '8', '9', '⌫', '4', '5', '6', '1', '2', '3', '.', '0'];

export function unitOfSight(sight: Sight, system: System): string {
  switch (sight) {
    case 'volume': return system === 'si' ? 'L' : 'US gal';
    case 'temperature': return system === 'si' ? '°C' : '°F';
    case 'gravity': return 'SG';
    case 'refraction': return '°Bx';
    case 'ph': return 'pH';
    case 'pressure': return system === 'si' ? 'bar' : 'psi';
    case 'mass': return system === 'si' ? 'kg' : 'lb';
    case 'taste': return '/ 10';
  }
}
const celsius = (value: number, system: System): number => (system === 'si' ? value : (value - 32) / 1.8);
// 1046 is 1.046: nobody types the point who does not have to.
function inBase(sight: Sought, value: number, system: System): number {
  if (sight === 'volume') return system === 'si' ? value : value * litresInUsGallon;
  if (sight === 'temperature') return celsius(value, system);
  if (sight === 'pressure' || sight === 'mass') return value * scaleOf(sight, system).factor;
  return sight === 'gravity' && value >= 700 && value <= 1600 ? value / 1000 : value;
}
/** What such a step asks for first. */
function sightOf(step: Step | undefined): Sought {
  const what = step?.expected[0]?.what ?? '';
  return what.includes('temperature') ? 'temperature' : what.includes('volume') ? 'volume' : 'gravity';
}

export function ReadingPad({ step, save, close }: { step: Step | undefined; save(what: What): void; close(): void }) {
  const { system } = state.settings;
  const [sight, setSight] = useState<Sought>(sightOf(step));
  const [typed, setTyped] = useState({ value: '', at: '' });
  const [weighed, setWeighed] = useState('');
  const [field, setField] = useState<'value' | 'at'>('value');
  const stage = step?.stage ?? 'planned';
  const hasAt = sight === 'gravity' || sight === 'volume';
  const set = (text: string): void => setTyped({ ...typed, [field]: text });
  const press = (key: string): void => {
    const now = typed[field];
    if (key === '⌫') set(now.slice(0, -1));
    else if (key !== '.' || !now.includes('.')) set(now + key);
  };
  const number = (text: string): number => (text.trim() === '' ? NaN : Number(text.replace(',', '.')));
  const value = number(typed.value);
  const at = number(typed.at);
  const possible = sight !== 'taste' || (value >= 0 && value <= 10);
  const sound = Number.isFinite(value) && possible && (!hasAt || typed.at.trim() === '' || Number.isFinite(at));
  const choose = (next: Sought): void => {
    setSight(next);
    setTyped({ value: '', at: '' });
    setField('value');
  };
  const finish = (): void => {
    if (!sound) return;
    const body = { sight, stage, value: inBase(sight, value, system), ...(hasAt && Number.isFinite(at) ? { at_celsius: celsius(at, system) } : {}), ...(sight === 'mass' && weighed.trim() !== '' ? { of: weighed.trim() } : {}) };
    save({ kind: 'reading', body });
  };
  const box = (name: 'value' | 'at', label: string, unit: string) => (
    <div class={`pad-line ${field === name ? 'typing' : ''}`}>
      <label for={`pad-${name}`}>{label}</label>
      <input id={`pad-${name}`} inputMode="none" autocomplete="off" value={typed[name]} onFocus={() => setField(name)} onInput={(event) => setTyped({ ...typed, [name]: event.currentTarget.value })} />
      <span class="unit">{unit}</span>
    </div>
  );
  return (
    <form class="pad" aria-label={t('day.reading')} onSubmit={(event) => { event.preventDefault(); finish(); }}>
      <div class="chips" role="group" aria-label={t('pad.what')}>
        {sights.map((each) => <button key={each} type="button" class="chip" aria-pressed={each === sight} onClick={() => choose(each)}>{t(`sight.${each}`)}</button>)}
      </div>
      <p class="hint">{t('pad.where', { stage: t(`stage.${stage}`) })}{step?.expected.map((reading) => <span key={reading.what} lang="en"> {reading.what}: {reading.words}.</span>)}</p>
      {box('value', t(`sight.${sight}`), unitOfSight(sight, system))}
      {sight === 'mass' && <div class="field wide"><label for="pad-of">{t('pad.of')}</label><input id="pad-of" autocomplete="off" value={weighed} onInput={(event) => setWeighed(event.currentTarget.value)} /></div>}
      {hasAt && box('at', t('pad.at'), unitOfSight('temperature', system))}
      <div class="pad-keys">
        {keys.map((key) => <button key={key} type="button" class={key === '0' ? 'wide' : ''} aria-label={key === '⌫' ? t('pad.back') : key === '.' ? t('pad.point') : key} onClick={() => press(key)}>{key === '.' ? figure(0.1, 1).charAt(1) : key}</button>)}
        <button type="submit" class="main-action" disabled={!sound}>{t('pad.save')}</button>
      </div>
      <div class="form-actions"><button type="button" onClick={close}>{t('pad.leave')}</button></div>
    </form>
  );
}
