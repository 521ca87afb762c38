// Where a device that is not paired ends up. The QR code on the terminal brings a link along in the address, which pairs by itself; it is
// behind the #, so it is in no request and no log, and it is taken out of the address at once.
import { useEffect, useState } from 'preact/hooks';
import { pairDevice, Trouble, type Problem } from './api';
import { ask } from './live';
import { ProblemNote } from './parts/problem_note';
import { t } from './words';

function takeLink(): string | undefined {
  const link = /^#pair=([\w-]{22})$/.exec(location.hash)?.[1];
  if (link !== undefined) history.replaceState(null, '', '#');
  return link;
}

export function Pair() {
  const [code, setCode] = useState('');
  const [problem, setProblem] = useState<Problem | null>(null);
  const pair = async (by: { code: string } | { link: string }): Promise<void> => {
    try {
      await pairDevice(by);
      ask();
    } catch (trouble) {
      setProblem(trouble instanceof Trouble ? (trouble.problems[0] ?? null) : null);
    }
  };
  useEffect(() => {
    const link = takeLink();
    if (link !== undefined) void pair({ link });
  }, []);
  return (
    <form class="pair" onSubmit={(event) => { event.preventDefault(); void pair({ code }); }}>
      <h2>{t('pair.heading')}</h2>
      <p>{t('pair.text')}</p>
      <label for="pair-code">{t('pair.code')}</label>
      <input id="pair-code" class="code" autocomplete="off" autocapitalize="characters" value={code} aria-describedby={problem ? 'pair-problem' : undefined} onInput={(event) => setCode(event.currentTarget.value)} />
      {problem && <ProblemNote id="pair-problem" problem={problem} />}
      <button type="submit" class="main-action">{t('pair.go')}</button>
    </form>
  );
}
