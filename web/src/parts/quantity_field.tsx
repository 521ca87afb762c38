// A number and its unit. The number may bring its unit along ("12 oz"), then that one counts.
import { t } from '../words';
import type { Problem } from '../api';
import { fieldId, ProblemNote } from './problem_note';

interface Props {
  path: string; // its place in the brief: "given[2].amount"
  label: string;
  short?: string; // what is seen, if the label says more than there is room for
  value: string;
  units: string[];
  placeholder?: string;
  problem?: Problem | undefined;
  set(value: string): void;
}

export function split(value: string, units: string[]): [string, string] {
  const unit = [...units].sort((a, b) => b.length - a.length).find((each) => value.endsWith(` ${each}`));
  return unit === undefined ? [value, ''] : [value.slice(0, -unit.length - 1), unit];
}

export function QuantityField({ path, label, short, value, units, placeholder, problem, set }: Props) {
  const id = fieldId(path);
  const [number, unit] = split(value, units);
  const first = units[0] ?? '';
  const brings = unit === '' && /[a-zA-Z%°]/.test(number);
  const write = (text: string): void => {
    // A decimal comma is a point on the wire; "1,234.5" is left for the program to question.
    const plain = /^\s*\d+,\d+\s*$/.test(text) ? text.replace(',', '.') : text;
    set(plain.trim() === '' ? '' : /[a-zA-Z%°]/.test(plain) ? plain : `${plain.trim()} ${unit === '' ? first : unit}`);
  };
  return (
    <div class="field">
      <label for={id}>{short ?? label}</label>
      <span class="quantity">
        <input id={id} inputMode="decimal" autocomplete="off" value={number} placeholder={placeholder} aria-label={short === undefined ? undefined : label} aria-invalid={problem !== undefined} aria-describedby={problem ? `${id}-problem` : undefined} onInput={(event) => write(event.currentTarget.value)} />
        {units.length > 1 && !brings && (
          <select aria-label={t('supply.unit', { what: label })} value={unit === '' ? first : unit} onChange={(event) => number !== '' && set(`${number} ${event.currentTarget.value}`)}>
            {units.map((each) => <option key={each} value={each}>{each}</option>)}
          </select>
        )}
        {units.length === 1 && !brings && <span class="unit">{first}</span>}
      </span>
      {problem && <ProblemNote id={`${id}-problem`} problem={problem} />}
    </div>
  );
}
