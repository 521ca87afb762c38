// Asks the program again whenever the brief changes: at once, but never twice at the same time. What changes while an answer is on its way
// is asked when it has come; so the page is as fast as the program, and no faster.
import { composeOpen, isThere, Trouble } from './api';
import { unfinished, type Brief } from './brief';
import { change, state } from './state';

let flying = false;
let stale = false;
let settle = false; // the next question is for a whole new choice, not only for other amounts
let watching = 0;
let resting = 0;
const restMilliseconds = 350; // how long the hand must lie still before everything is chosen anew

export function editBrief(how: (brief: Brief) => void): void {
  change((all) => {
    how(all.brief);
    all.sheet = null;
  });
  ask();
}

export function ask(): void {
  clearTimeout(resting);
  settle = false;
  stale = true;
  void fly();
}

function settleSoon(): void {
  clearTimeout(resting);
  resting = window.setTimeout(() => {
    settle = true;
    stale = true;
    void fly();
  }, restMilliseconds);
}

async function fly(): Promise<void> {
  if (flying || !stale) return;
  stale = false;
  if (unfinished(state.brief).length > 0) {
    change((all) => {
      all.standing = 'unfinished';
      all.answer = null;
      all.problems = [];
    });
    return;
  }
  flying = true;
  if (state.standing !== 'answered') change((all) => void (all.standing = 'waiting'));
  try {
    const { answer, settled } = await composeOpen(state, settle);
    if (!settled && !stale) settleSoon();
    change((all) => {
      all.answer = answer;
      all.answers += 1;
      all.way = Math.min(all.way, Math.max(0, answer.proposals.length - 1));
      all.standing = unfinished(all.brief).length > 0 ? 'unfinished' : 'answered';
      all.problems = [];
    });
  } catch (trouble) {
    const known = trouble instanceof Trouble ? trouble : new Trouble(500, []);
    change((all) => {
      all.standing = known.offline ? 'offline' : known.status === 401 ? 'unpaired' : known.status === 422 ? 'problems' : 'fault';
      all.problems = known.problems;
    });
    if (known.offline || known.status === 429) waitForIt();
  } finally {
    flying = false;
  }
  void fly();
}

function waitForIt(): void {
  clearTimeout(watching);
  watching = window.setTimeout(() => void isThere().then((there) => (there ? ask() : waitForIt())), 2000);
}
