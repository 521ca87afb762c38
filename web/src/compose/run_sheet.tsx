// The day, step by step, with a box to tick and a space for each reading. This is what is printed.
import type { SheetLine } from '../api';
import { t } from '../words';

export function RunSheet({ lines }: { lines: SheetLine[] }) {
  return (
    <ol class="sheet" lang="en">
      {lines.map((line, index) => (
        <li key={index}>
          <label><input type="checkbox" /> <span class="clock">{line.phase}{line.clock && `, ${line.clock}`}</span> {line.action}</label>
          {line.expected.map((reading) => <p key={reading.what} class="reading">{reading.what}: {reading.words} <span class="blank">{t('proposal.reading')}</span></p>)}
          {line.warning && <p class="note danger">{line.warning}</p>}
        </li>
      ))}
    </ol>
  );
}
