// The store is busy, full, damaged or gone: nothing that was written down is lost, each is told as what it is, and only what was refused can
// be dropped. The faults are real ones: another program holds the file, or a digit in it has changed.
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { answered, expect, open, run, serve, until } from './drive.mjs';

// Holds the store as another program would, until it is let go.
async function hold(file) {
  const script = 'import sqlite3,sys\nc=sqlite3.connect(sys.argv[1],isolation_level=None)\nc.execute("BEGIN IMMEDIATE")\nprint("held",flush=True)\nsys.stdin.read()\n';
  const other = spawn('python3', ['-c', script, file], { stdio: ['pipe', 'pipe', 'inherit'] });
  await new Promise((resolve, reject) => { other.stdout.once('data', resolve); other.once('exit', reject); });
  return () => new Promise((resolve) => { other.once('exit', resolve); other.stdin.end(); });
}
async function change(file, sql) {
  const script = 'import sqlite3,sys\nc=sqlite3.connect(sys.argv[1])\nc.executescript(sys.argv[2])\nc.close()\n';
  const other = spawn('python3', ['-c', script, file, `DROP TRIGGER entry_is_never_changed; ${sql}; CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'no'); END;`], { stdio: 'inherit' });
  expect((await new Promise((resolve) => other.once('exit', resolve))) === 0, 'the store was not changed');
}
// A program with a store of its own that others can lay hands on.
const withStore = (test) => async ({ browser }) => {
  const folder = mkdtempSync(join(tmpdir(), 'oddgrist-faults-'));
  const file = join(folder, 'store.db');
  const own = await serve('--store', file);
  try {
    const page = await open(browser, own.address, { width: 360, height: 760, serviceWorkers: 'block' });
    await test({ page, browser, file, address: own.address });
    const complaints = page.complaints.filter((each) => !/status of 50[037]/.test(each));
    expect(complaints.length === 0, complaints.join('; '));
    await page.context().close();
  } finally {
    await own.end();
    rmSync(folder, { recursive: true, force: true });
  }
};
async function begin(page) {
  await page.click('text=Fill in the example parcel');
  await answered(page);
  await page.getByRole('button', { name: 'Brew this' }).click();
  await page.waitForSelector('.present .do');
  return decodeURIComponent(new URL(page.url()).hash.slice('#/day/'.length));
}
async function done(page) {
  const before = await page.innerText('.present .do');
  await page.getByRole('button', { name: 'Done', exact: true }).click();
  await until(page, (text) => document.querySelector('.present .do')?.innerText !== text, before);
}
async function read(page, digits) {
  await page.getByRole('button', { name: 'Reading', exact: true }).click();
  for (const digit of digits) await page.getByRole('button', { name: digit, exact: true }).click();
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.waitForSelector('.present .do');
}
const says = (page, words) => until(page, (wanted) => document.querySelector('.sending')?.innerText.includes(wanted), words);
const sent = (page) => says(page, 'All sent');
const entries = async (page, address, gyle) => (await (await page.request.get(`${address}api/gyles/${encodeURIComponent(gyle)}`)).json()).entries;
const noDrop = async (page) => expect((await page.getByRole('button', { name: /^Drop/ }).count()) === 0, 'dropping is offered for what would be taken later');

// Answers each request to write with this, until told to stop.
async function answering(page, status, kind, retryAfter) {
  let asked = 0;
  await page.route('**/entries', (route) => {
    if (route.request().method() !== 'POST') return route.continue();
    asked += 1;
    return route.fulfill({ status, contentType: 'application/problem+json', headers: retryAfter ? { 'Retry-After': String(retryAfter) } : {}, body: JSON.stringify({ type: `/problems/${kind}`, title: kind, status, detail: 'no', problems: [{ what: 'no', remedy: 'wait' }] }) });
  });
  return { count: () => asked, stop: () => page.unroute('**/entries') };
}
async function openRound(page, address) {
  await page.goto(`${address}#/round`);
  await page.waitForSelector('#round-name');
}
const roundSays = (page, words) => until(page, (wanted) => document.querySelector('.round-room [role=status]')?.textContent.includes(wanted), words);

await run({
  'a busy store: readings and done steps wait, and arrive when it is free': withStore(async ({ page, file, address }) => {
    const gyle = await begin(page);
    await done(page);
    await sent(page);
    const before = (await entries(page, address, gyle)).length;
    const release = await hold(file);
    await done(page);
    await read(page, '1050');
    await says(page, 'The store is busy.');
    await noDrop(page);
    // Reading goes on meanwhile, at once.
    const asked = Date.now();
    expect((await entries(page, address, gyle)).length === before, 'something was written');
    expect(Date.now() - asked < 1500, `a question waited ${Date.now() - asked} ms for the busy store`);
    await page.reload();
    await page.waitForSelector('.sending .waiting');
    await release();
    await sent(page);
    const came = (await entries(page, address, gyle)).slice(before).map(({ kind }) => kind);
    expect(came.includes('note') && came.includes('reading'), `only ${came} came`);
  }),

  'a busy store: the marks of a round wait, and arrive when it is free': withStore(async ({ page, browser, file, address }) => {
    await openRound(page, address);
    await page.click('text=Fill in the example round');
    await page.fill('#round-name', 'Before');
    const reply = page.waitForResponse((response) => response.url().endsWith('/api/round/sheets'));
    await page.getByRole('button', { name: 'Give out codes', exact: true }).click();
    const [code] = (await (await reply).json()).result.sheets.find(({ judge }) => judge === 'Nell').codes;
    await roundSays(page, 'Kept in the store.');
    const release = await hold(file);
    await page.selectOption('#round-judge', 'Nell');
    await page.getByLabel(`${code} mark`).fill('7');
    await page.keyboard.press('Tab');
    await page.fill('#round-name', 'While it was busy');
    await roundSays(page, 'The store is busy.');
    await noDrop(page);
    await page.reload();
    await page.waitForSelector('#round-name');
    expect((await page.inputValue('#round-name')) === 'While it was busy', 'the page forgot it');
    await release();
    await roundSays(page, 'Kept in the store.');
    const other = await open(browser, address);
    await openRound(other, address);
    await other.click('text=Other rounds');
    await other.waitForSelector('text=While it was busy');
    const { rounds } = await (await page.request.get(`${address}api/rounds`)).json();
    const kept = await (await page.request.get(`${address}api/rounds/${encodeURIComponent(rounds[0].round)}`)).json();
    expect(kept.sheets.some(({ judge, beers }) => judge === 'Nell' && beers === 1), `the mark is lost: ${JSON.stringify(kept.sheets)}`);
    await other.context().close();
  }),

  'a busy store: what was taken in waits, and arrives when it is free': withStore(async ({ page, file, address }) => {
    await page.goto(`${address}#/larder`);
    await page.waitForSelector('#larder-search');
    const release = await hold(file);
    await page.fill('#larder-search', 'Golding');
    await page.waitForSelector('#larder-search-list li');
    await page.keyboard.press('Enter');
    await page.waitForSelector('#take-kg');
    await page.fill('#take-kg', '80');
    await page.keyboard.press('Enter');
    await says(page, 'The store is busy.');
    await noDrop(page);
    await page.reload();
    await page.waitForSelector('.sending .waiting');
    await release();
    await until(page, () => /80 g/.test(document.querySelector('#proposal')?.innerText ?? ''));
    await until(page, () => document.querySelector('.sending') === null);
  }),

  'a full disk, and whatever else is no refusal, keeps the entries and says what it is': withStore(async ({ page, address }) => {
    const gyle = await begin(page);
    await sent(page);
    for (const [status, kind, words] of [[507, 'full', 'The disk of the program is full'], [500, 'damaged', 'The store is damaged'], [500, 'fault', 'The program has a fault'], [503, 'no-store', 'This program has no store'], [404, 'not-found', 'The program does not know this']]) {
      const before = (await entries(page, address, gyle)).length;
      const fault = await answering(page, status, kind, 1);
      await done(page);
      await says(page, words);
      await says(page, '1 waiting to be sent');
      await noDrop(page);
      await fault.stop();
      await page.reload();
      await sent(page);
      expect((await entries(page, address, gyle)).length > before, `after ${kind} the entry is lost`);
    }
  }),

  'Retry-After is kept to': withStore(async ({ page }) => {
    await begin(page);
    await sent(page);
    const fault = await answering(page, 503, 'busy', 30);
    await done(page);
    await says(page, 'The store is busy.');
    await page.waitForTimeout(8000);
    expect(fault.count() === 1, `asked ${fault.count()} times in 8 s`);
    await fault.stop();
  }),

  'a change of a round that is refused stays until it is changed or dropped': withStore(async ({ page, address }) => {
    await openRound(page, address);
    await page.click('text=Fill in the example round');
    await roundSays(page, 'Kept in the store.');
    const refusal = await answering(page, 422, 'round');
    await page.fill('#round-name', 'Refused');
    await page.getByRole('button', { name: 'Drop this change' }).waitFor();
    await page.reload();
    await page.waitForSelector('#round-name');
    expect((await page.inputValue('#round-name')) === 'Refused', 'it was dropped by itself');
    await page.getByRole('button', { name: 'Drop this change' }).waitFor();
    await refusal.stop();
    // Changing it sends it again.
    await page.fill('#round-name', 'Accepted');
    await roundSays(page, 'Kept in the store.');
    await answering(page, 422, 'round');
    await page.fill('#round-name', 'Refused again');
    await page.getByRole('button', { name: 'Drop this change' }).click();
    await until(page, () => document.querySelector('#round-name').value === 'Accepted');
  }),

  'a damaged store is said on every screen, and what is written down waits': withStore(async ({ page, file, address }) => {
    await begin(page);
    await done(page);
    await sent(page);
    expect((await page.locator('.read-only').count()) === 0, 'damage is said of a sound store');
    await change(file, `UPDATE entry SET body = replace(body, 'Done: ', 'Gone: ') WHERE kind = 'note'`);
    await done(page);
    await says(page, 'The store is damaged and can only be read.');
    await noDrop(page);
    for (const room of ['compose', 'larder', 'kit', 'gyles', 'round', 'day']) {
      await page.goto(`${address}#/${room}`);
      await page.reload();
      await page.waitForSelector('.read-only');
      expect((await page.locator('.read-only').count()) === 1 && (await page.isVisible('.read-only')), `the ${room} does not say it once`);
    }
    await change(file, `UPDATE entry SET body = replace(body, 'Gone: ', 'Done: ') WHERE kind = 'note'`);
  }),
});
