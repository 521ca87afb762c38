// Which clash belongs to which wish. The program names wishes in its own sentences, beginning with the measure; what fits no place of
// the brief is still said in the proposal, where all are.
import type { Answer } from '../api';
import { state } from '../state';
import { t } from '../words';

type Clash = Answer['clashes'][number];

export function clashesOf(mine: (words: string) => boolean): Clash[] {
  if (state.standing !== 'answered' && state.standing !== 'waiting') return [];
  return state.answer?.clashes.filter((clash) => clash.wishes.some(mine)) ?? [];
}
export function ClashNote({ clashes }: { clashes: Clash[] }) {
  return (
    <>
      {clashes.map((clash) => (
        <p key={clash.wishes.join()} class="clash">
          <span lang="en">{clash.wishes.join(' + ')}</span>{clash.least_change !== '' && <>. {t('proposal.cure', { change: clash.least_change })}</>}
        </p>
      ))}
    </>
  );
}
