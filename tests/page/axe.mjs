// axe-core, put into a page.
import { createRequire } from 'node:module';
import { expect } from './drive.mjs';

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

export async function judge(page, where) {
  // The page's own policy lets no foreign script in, so axe is put in through the debugger.
  await page.evaluate(await (await import('node:fs/promises')).readFile(axe, 'utf8'));
  // What is out of sight is drawn too, so that it is judged.
  await page.evaluate(() => document.querySelectorAll('section').forEach((each) => each.style.setProperty('content-visibility', 'visible')));
  const { violations, passes } = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
  expect(passes.length > 10, 'axe looked at nothing');
  const told = violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target, failureSummary }) => `${target} ${failureSummary}`).join(' | ').slice(0, 600)}`);
  expect(violations.length === 0, `${where}: ${told.join('\n')}`);
}
