// One mistake: what is wrong and what to do, where it was made.
import type { Problem } from '../api';
import { state } from '../state';

/** A field's place in the brief is its id on the page. */
export const fieldId = (path: string): string => `field-${path.replace(/[[\].]+/g, '-')}`;

export function problemAt(path: string): Problem | undefined {
  return state.problems.find((problem) => problem.field === path);
}
export function ProblemNote({ id, problem }: { id: string; problem: Problem }) {
  return <p class="problem" id={id} lang="en">{problem.what}. {problem.remedy}.</p>;
}
