// A number typed without its unit, which stands behind it and follows the units chosen. `value` is in the program's unit; null: nothing, or
// nothing that is a number.
import { useEffect, useState } from 'preact/hooks';
import type { Problem } from '../api';
import { state } from '../state';
import { scaleOf, type Typed } from '../units';
import { ProblemNote } from './problem_note';

interface Props {
  id: string;
  label: string;
  typed: Typed;
  value: number | null;
  usual?: number; // what the program takes where nothing is typed
  problem?: Problem | undefined;
  set(value: number | null): void;
}

export const numberIn = (text: string): number | null => {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() === '' || !Number.isFinite(value) ? null : value;
};

export function BareField({ id, label, typed, value, usual, problem, set }: Props) {
  const { system } = state.settings;
  const { unit, decimals, factor, zero } = scaleOf(typed, system);
  const write = (one: number): string => String(Number((one / factor + zero).toFixed(decimals)));
  const written = value === null ? '' : write(value);
  const [text, setText] = useState(written);
  // Another unit, or a value that did not come from here.
  useEffect(() => {
    const here = numberIn(text);
    const same = here === null ? value === null : value !== null && Math.abs((here - zero) * factor - value) < 1e-9 * Math.max(1, Math.abs(value));
    if (!same) setText(written);
  }, [system, value]);
  const type = (next: string): void => {
    setText(next);
    const here = numberIn(next);
    set(here === null ? null : (here - zero) * factor);
  };
  const bad = text.trim() !== '' && numberIn(text) === null;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <span class="quantity">
        <input id={id} inputMode="decimal" autocomplete="off" value={text} placeholder={usual === undefined ? '' : write(usual)} aria-invalid={bad || problem !== undefined} aria-describedby={problem ? `${id}-problem` : undefined} onInput={(event) => type(event.currentTarget.value)} />
        {unit !== '' && <span class="unit">{unit}</span>}
      </span>
      {problem && <ProblemNote id={`${id}-problem`} problem={problem} />}
    </div>
  );
}
