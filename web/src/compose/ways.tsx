// Other ways to brew the same brief. They are looked for when asked, and go away with the brief they were found for.
import { useEffect, useState } from 'preact/hooks';
import { composeOthers } from '../api';
import { change, state, usePart } from '../state';
import { t } from '../words';
import { Reasons } from './reasons';
import { SideBySide } from './side_by_side';

const briefNow = (): string => JSON.stringify([state.brief, state.learned]);
let askedFor = ''; // the brief they were last looked for; empty: not asked

export function takeWay(way: number): void {
  change((all) => {
    all.way = way;
    all.sheet = null;
  });
  document.getElementById('proposal-heading')?.scrollIntoView({ block: 'center' });
  document.getElementById('proposal')?.focus({ preventScroll: true });
}

export function Ways() {
  const { answer, answers, way, standing } = usePart((all) => [all.answers, all.way, all.standing, all.settings, all.answer?.side_by_side !== undefined]);
  const [looking, setLooking] = useState(false);
  const [failed, setFailed] = useState(false);
  const current = standing === 'answered' || standing === 'waiting';
  const beside = current ? answer?.side_by_side : undefined;
  const look = async (): Promise<void> => {
    askedFor = briefNow();
    setLooking(true);
    setFailed(false);
    try {
      const found = await composeOthers(state);
      if (askedFor === briefNow() && state.answer !== null) change((all) => void (all.answer = found));
    } catch {
      askedFor = '';
      setFailed(true);
    }
    setLooking(false);
  };
  // An answer to the same brief may come again: when its choice has settled, or the program was away. It brings no other ways along.
  useEffect(() => {
    if (askedFor === '' || looking || beside !== undefined || !current) return;
    if (askedFor === briefNow()) void look();
    else askedFor = '';
  }, [answers]);
  const said = (): string => {
    if (looking) return t('ways.looking');
    if (failed) return t('ways.failed');
    if (beside === undefined) return '';
    return way > 0 ? t('ways.taken.spoken', { way: t('proposal.way', { n: way + 1 }) }) : t('ways.found', { n: beside.others.length });
  };
  if (!current) return null;
  return (
    <section aria-labelledby="ways-heading" class="ways-part">
      <h3 id="ways-heading">{t('ways.heading')}</h3>
      {beside === undefined && !looking && <p class="hint">{t('ways.hint')}</p>}
      <p class="hint" role="status">{said()}</p>
      {beside === undefined && <button type="button" class="quiet" aria-disabled={looking} onClick={() => { if (!looking) void look(); }}>{t('ways.find')}</button>}
      {beside !== undefined && answer !== null && (
        <>
          {beside.others.length > 0 && <SideBySide answer={answer} others={beside.others} way={way} take={takeWay} />}
          {beside.why_so_few !== '' && <p lang="en">{beside.why_so_few}</p>}
          {answer.why && <Reasons why={answer.why} />}
        </>
      )}
    </section>
  );
}
