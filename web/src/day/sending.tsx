// How what was written down fares on its way to the program, and what can be done about an entry that was refused.
import { type Fault } from '../parts/faults';
import { ProblemNote } from '../parts/problem_note';
import { t } from '../words';
import { dropRefused, sending, waitingCount } from './outbox';

/** `reading`: the fault of the last try to read what is shown. */
export function Sending({ reading }: { reading: Fault | null }) {
  const waiting = waitingCount();
  const { refused, fault } = sending;
  const why = fault ?? reading;
  return (
    <div class="sending" role="status">
      {refused !== null ? (
        <>
          {refused.problems.map((problem, index) => <ProblemNote key={index} id={`refused-${index}`} problem={problem} />)}
          <p>{t('day.refused')}</p>
          <button type="button" class="quiet" onClick={dropRefused}>{t('day.drop')}</button>
        </>
      ) : waiting > 0 ? <><span class="waiting">{t('day.waiting', { n: waiting })}</span>{why !== null && <span class="why"> {t(`fault.${why}`)} {t('fault.kept')}</span>}</> : why === null ? t('day.sent') : why === 'away' ? t('day.away') : t(`fault.${why}`)}
    </div>
  );
}
