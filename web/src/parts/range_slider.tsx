// A slider with two ends: two native sliders over one line, so that touch, keys and screen readers work as everywhere. Under the line, on
// the same scale, stands what the beer is forecast to be.
import type { Estimate } from '../api';
import { t } from '../words';

interface Props {
  label: string;
  from: number;
  to: number;
  step: number;
  low: number;
  high: number;
  words(value: number): string;
  forecast: Estimate | undefined;
  kept: boolean;
  set(low: number, high: number): void;
}

export function RangeSlider({ label, from, to, step, low, high, words, forecast, kept, set }: Props) {
  const first = Math.min(from, low);
  const last = Math.max(to, high);
  const at = (value: number): number => (100 * (Math.min(last, Math.max(first, value)) - first)) / (last - first);
  const percent = (value: number): string => `${at(value)}%`;
  const width = (from_: number, to_: number): string => `${Math.max(0, at(to_) - at(from_))}%`;
  const end = (which: 'lowest' | 'highest', value: number, move: (to: number) => void) => (
    <input
      type="range" min={first} max={last} step={step} value={value} class={which}
      aria-label={t(`want.${which}`, { what: label })} aria-valuetext={words(value)}
      style={{ zIndex: which === 'lowest' && at(low) > 50 ? 3 : 2 }}
      onInput={(event) => move(Number(event.currentTarget.value))}
    />
  );
  return (
    <div class="range">
      <div class="rail">
        <div class="wished" style={{ left: percent(low), width: width(low, high) }} />
      </div>
      {end('lowest', low, (value) => set(Math.min(value, high), high))}
      {end('highest', high, (value) => set(low, Math.max(value, low)))}
      {forecast && (
        <div class={`forecast ${kept ? 'kept' : 'missed'}`} aria-hidden="true">
          <div class="likely" style={{ left: percent(forecast.low), width: width(forecast.low, forecast.high) }} />
          <div class="value" style={{ left: percent(forecast.value) }} />
        </div>
      )}
    </div>
  );
}
