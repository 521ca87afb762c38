// What is wished for. Each wish is a slider with two ends; the forecast stands under it on the same scale, and what it clashes with below.
import type { Span } from '../brief';
import { editBrief } from '../live';
import { measures, spanOf, writeSpan, type Measure } from '../measures';
import { fieldId, problemAt, ProblemNote } from '../parts/problem_note';
import { QuantityField } from '../parts/quantity_field';
import { RangeSlider } from '../parts/range_slider';
import { useAll } from '../state';
import { bare, shown, unitOf } from '../units';
import { t, type Word } from '../words';
import { clashesOf, ClashNote } from './clashes';

export const measureWord = (measure: Measure): string => t(`measure.${measure.key}` as Word);

function WishRow({ measure, wish }: { measure: Measure; wish: Span }) {
  const { answer, way, settings, standing } = useAll();
  const [low, high] = spanOf(wish);
  const proposal = standing === 'answered' || standing === 'waiting' ? answer?.proposals[way] : undefined;
  const forecast = proposal && measure.forecast(proposal);
  const words = (value: number): string => shown(value, measure.quantity, settings.system);
  const name = measureWord(measure);
  const path = `want.${measure.key}`;
  const problem = problemAt(path);
  const kept = forecast !== undefined && isKept(measure, forecast.value, low, high);
  return (
    <li class="wish" id={fieldId(path)}>
      <div class="wish-line">
        <h4>{name}</h4>
        <span class="figure">{t('want.span', { low: bare(low, measure.quantity, settings.system), high: bare(high, measure.quantity, settings.system) })} <span class="aside">{unitOf(measure.quantity, settings.system)}</span></span>
        <button type="button" class="remove" aria-label={t('want.remove', { what: name })} onClick={() => editBrief((brief) => void delete brief.want[measure.key])}>×</button>
      </div>
      <RangeSlider label={name} from={measure.from} to={measure.to} step={measure.step} low={low} high={high} words={words} forecast={forecast} kept={kept} set={(newLow, newHigh) => editBrief((brief) => void (brief.want[measure.key] = writeSpan(measure, newLow, newHigh)))} />
      {problem && <ProblemNote id={`${fieldId(path)}-problem`} problem={problem} />}
      <ClashNote clashes={clashesOf((sentence) => sentence.startsWith(measure.english))} />
    </li>
  );
}

/** Judged on the figures as they are shown, so that what stands on the page never contradicts itself. */
export function isKept(measure: Measure, value: number, low: number, high: number): boolean {
  const seen = (number: number): number => Number(bare(number, measure.quantity, 'si').replace(',', '.'));
  return seen(value) >= seen(low) && seen(value) <= seen(high);
}

function Count({ path, word, set, value }: { path: 'most-malts' | 'most-hops'; word: Word; value: unknown; set(value: string): void }) {
  const problem = problemAt(`want.${path}`);
  const id = fieldId(`want.${path}`);
  return (
    <div class="field">
      <label for={id}>{t(word)}</label>
      <input id={id} inputMode="numeric" autocomplete="off" class="count" value={value === undefined ? '' : String(value)} aria-invalid={problem !== undefined} aria-describedby={problem ? `${id}-problem` : undefined} onInput={(event) => set(event.currentTarget.value)} />
      {problem && <ProblemNote id={`${id}-problem`} problem={problem} />}
      <ClashNote clashes={clashesOf((sentence) => sentence.startsWith('at most') && sentence.includes(path === 'most-malts' ? 'malt' : 'hop') && !sentence.includes(' of '))} />
    </div>
  );
}

export function Want() {
  const { brief, settings } = useAll();
  const wished = measures.filter((measure) => Array.isArray(brief.want[measure.key]));
  const others = measures.filter((measure) => !wished.includes(measure));
  const setCount = (key: string, text: string): void => editBrief((now) => { if (text.trim() === '') delete now.want[key]; else now.want[key] = /^\d+$/.test(text.trim()) ? Number(text) : text; });
  return (
    <section class="part" aria-labelledby="want-heading">
      <h3 id="want-heading">{t('want.heading')}</h3>
      <p class="question">{t('want.question')}</p>
      <QuantityField path="want.volume" label={t('want.volume')} value={String(brief.want['volume'] ?? '')} units={settings.system === 'si' ? ['L', 'US gal'] : ['US gal', 'L']} problem={problemAt('want.volume')} set={(value) => editBrief((now) => { if (value === '') delete now.want['volume']; else now.want['volume'] = value; })} />
      <ClashNote clashes={clashesOf((sentence) => sentence.startsWith('volume'))} />
      <ul class="wishes">{wished.map((measure) => <WishRow key={measure.key} measure={measure} wish={brief.want[measure.key] as Span} />)}</ul>
      <div class="chips" role="group" aria-label={t('want.add')}>
        {others.map((measure) => (
          <button key={measure.key} type="button" class="chip" onClick={() => editBrief((now) => void (now.want[measure.key] = writeSpan(measure, ...measure.usual)))}>+ {measureWord(measure)}</button>
        ))}
      </div>
      <div class="fields">
        <Count path="most-malts" word="want.malts" value={brief.want['most-malts']} set={(text) => setCount('most-malts', text)} />
        <Count path="most-hops" word="want.hops" value={brief.want['most-hops']} set={(text) => setCount('most-hops', text)} />
      </div>
    </section>
  );
}
