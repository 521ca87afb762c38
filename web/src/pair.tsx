// Where a device that is not paired ends up. The QR code on the terminal brings the code along in the address.
import { useState } from 'preact/hooks';
import { pairDevice, Trouble, type Problem } from './api';
import { ask } from './live';
import { ProblemNote } from './parts/problem_note';
import { t } from './words';

export function Pair() {
  const [code, setCode] = useState(/pair=(\w+)/.exec(location.hash)?.[1] ?? '');
  const [problem, setProblem] = useState<Problem | null>(null);
  const pair = async (): Promise<void> => {
    try {
      await pairDevice(code);
      history.replaceState(null, '', '#');
      ask();
    } catch (trouble) {
      setProblem(trouble instanceof Trouble ? (trouble.problems[0] ?? null) : null);
    }
  };
  return (
    <form class="pair" onSubmit={(event) => { event.preventDefault(); void pair(); }}>
      <h2>{t('pair.heading')}</h2>
      <p>{t('pair.text')}</p>
      <label for="pair-code">{t('pair.code')}</label>
      <input id="pair-code" class="code" autocomplete="off" autocapitalize="characters" value={code} aria-describedby={problem ? 'pair-problem' : undefined} onInput={(event) => setCode(event.currentTarget.value)} />
      {problem && <ProblemNote id="pair-problem" problem={problem} />}
      <button type="submit" class="main-action">{t('pair.go')}</button>
    </form>
  );
}
