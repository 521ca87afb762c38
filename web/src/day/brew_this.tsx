// From a proposal to a gyle. What it is called is settled at the first tap, so that a second one does not begin another.
import { useState } from 'preact/hooks';
import { startGyle, Trouble, type Problem } from '../api';
import { ProblemNote } from '../parts/problem_note';
import { newId, state } from '../state';
import { t } from '../words';

function beginning(): { gyle: string; key: string; at: string } {
  const plain = state.brief.name.toLowerCase().normalize('NFKD').replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '').slice(0, 60);
  const key = newId();
  return { gyle: `${plain || 'gyle'}-${key.slice(0, 4)}`, key: `${key}.0`, at: new Date().toISOString() };
}

export function BrewThis({ way }: { way: number }) {
  const [begin, setBegin] = useState<(ReturnType<typeof beginning> & { of: string }) | null>(null);
  const [problems, setProblems] = useState<Problem[]>([]);
  const [waiting, setWaiting] = useState(false);
  const start = async (): Promise<void> => {
    const of = `${way} ${state.learned} ${JSON.stringify(state.brief)}`;
    const begun = begin?.of === of ? begin : { ...beginning(), of };
    setBegin(begun);
    setWaiting(true);
    try {
      const { of: _of, ...said } = begun;
      await startGyle(said, state, way + 1);
      location.hash = `/day/${encodeURIComponent(begun.gyle)}`;
    } catch (trouble) {
      const told = trouble instanceof Trouble ? trouble.problems : [];
      setProblems(told.length > 0 ? told : [{ what: t('ferment.fault'), remedy: t('ferment.again') }]);
      setWaiting(false);
    }
  };
  return (
    <>
      <button type="button" class="main-action" disabled={waiting} onClick={() => void start()}>{t('day.brew')}</button>
      {problems.map((problem, index) => <ProblemNote key={index} id={`brew-problem-${index}`} problem={problem} />)}
    </>
  );
}
