// Takes the pictures of docs/guide, each view on a phone (dark) and on a desk (light): `./dev guide`, or node guide.mjs FOLDER. Goes through the
// whole job as the guide tells it, so a step that no longer works ends it with a failure.
import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { answered, launch, open, serve, until } from './drive.mjs';

const folder = process.argv[2] ?? fileURLToPath(new URL('../../docs/guide/', import.meta.url));
mkdirSync(folder, { recursive: true });
const ago = (hours) => { const at = new Date(Date.now() - hours * 3600e3); return new Date(at.getTime() - at.getTimezoneOffset() * 60e3).toISOString().slice(0, 16); };
const views = [];

async function walk(browser, address, { width, height, theme }) {
  const page = await open(browser, address, { width, height, theme, reducedMotion: 'reduce' });
  const picture = async (name, at) => {
    if (at !== undefined && width < 900) await page.evaluate((where) => document.querySelector(where)?.scrollIntoView(), at);
    await page.waitForTimeout(200);
    await page.screenshot({ path: `${folder}/${name}-${width}.jpg`, type: 'jpeg', quality: 50 });
    if (!views.includes(name)) views.push(name);
    console.log(`${name}-${width}.jpg`);
  };
  const go = async (path) => {
    await page.click(`nav a[href="#${path}"]`);
    await page.evaluate(() => window.scrollTo(0, 0));
  };

  // What is in the house.
  await go('/larder');
  for (const [words, amount] of [['pale ale malt', '5'], ['hazelnut paste', '0.3']]) {
    await page.fill('#larder-search', words);
    await page.waitForSelector('#larder-search-list li');
    await page.keyboard.press('Enter');
    await page.waitForSelector('#take-kg');
    await page.fill('#take-kg', amount);
    if (words === 'hazelnut paste') await picture('larder');
    await page.locator('.packet').getByRole('button', { name: 'Put in' }).click();
    await until(page, () => document.querySelector('#take-kg') === null);
  }

  // The brief and the proposal.
  await go('/compose');
  await page.click('text=Fill in the example parcel');
  await answered(page);
  await page.waitForTimeout(800);
  await page.evaluate(() => window.scrollTo(0, 0));
  await picture('compose');
  await picture('proposal', '#proposal');
  await page.click('text=Look for other ways');
  await page.waitForSelector('.ways');
  await picture('ways', '.ways');

  // The brew day.
  await page.getByRole('button', { name: 'Brew this' }).click();
  await page.waitForSelector('.present .do');
  const doing = () => page.innerText('.present .do');
  const doUntil = async (words) => {
    for (let i = 0; i < 40 && !(await doing()).includes(words); ++i) {
      const before = await doing();
      await page.getByRole('button', { name: 'Done', exact: true }).click();
      await until(page, (text) => document.querySelector('.present .do')?.innerText !== text, before);
    }
  };
  await doUntil('Heat off');
  await page.evaluate(() => window.scrollTo(0, 0));
  await picture('day');
  await doUntil('Read the kettle before boiling');
  const read = async (sight, digits, at, show) => {
    await page.getByRole('button', { name: 'Reading', exact: true }).click();
    await page.locator('.pad').getByRole('button', { name: sight, exact: true }).click();
    await page.fill('#pad-value', digits);
    await page.fill('#pad-at', at);
    if (show) await picture('reading');
    await page.getByRole('button', { name: 'Write it down' }).click();
    await page.waitForSelector('.present .do');
  };
  await read('Gravity', '1041', '20', true);
  await read('Volume', '11.6', '70', false);
  await page.waitForSelector('.moves li', { timeout: 60000 });
  await picture('moves', '#moves-heading');
  await go('/gyles');
  await page.waitForSelector('.gyles a');
  await page.click('.gyles a');
  await page.waitForSelector('.log li');
  await picture('gyles');

  // Afterwards.
  await go('/ferment');
  await page.fill('#reading-1-time', ago(240));
  for (const [index, [hours, value]] of [[238, '1.055'], [120, '1.024'], [48, '1.014'], [1, '1.014']].entries()) {
    await page.getByRole('button', { name: 'Add a reading' }).click();
    await page.fill(`#reading-${index + 2}-time`, ago(hours));
    await page.fill(`#reading-${index + 2}-value`, value);
    await page.fill(`#reading-${index + 2}-at`, '20');
  }
  await page.click('text=Judge it now');
  await page.waitForSelector('.course');
  await page.evaluate(() => window.scrollTo(0, 0));
  await picture('ferment', '#proposal');
  await go('/ferment/gas');
  await page.fill('#gas-began', ago(6));
  await page.click('text=Reckon the time');
  await page.waitForSelector('#proposal .timer');
  await picture('gas', '#proposal');
  await go('/ferment/trial');
  await page.click('text=Plan the glasses');
  await page.waitForSelector('.glasses');
  for (const letter of ['B', 'B', 'C']) await page.getByRole('button', { name: `Glass ${letter} was liked best` }).click();
  await page.click('text=Everybody has tasted');
  await page.waitForSelector('.liked');
  await picture('trial', '#proposal');
  await go('/kit');
  await page.waitForSelector('.gyles a');
  await page.click('.gyles a');
  await page.waitForSelector('.kit-figure');
  await picture('kit', '#figures-heading');

  // The round the parcel comes from.
  await go('/round');
  await page.click('text=Fill in the example round');
  await page.click('text=Check each parcel');
  await page.waitForSelector('.parcels');
  await page.getByRole('button', { name: 'Draw', exact: true }).click();
  await page.waitForSelector('.pairs');
  await page.evaluate(() => document.getElementById('draw-heading').scrollIntoView());
  await picture('round');
  await page.click('text=Give out codes');
  await page.waitForSelector('.marks');
  for (const judge of ['Ida', 'Bea', 'Cal', 'Dot', 'Emrys', 'Fern', 'Nell']) {
    await page.selectOption('#round-judge', judge);
    for (const [i, field] of (await page.locator('.marks input').all()).entries()) {
      const code = await field.getAttribute('aria-label');
      await field.fill(String(5 + (code.charCodeAt(0) + code.charCodeAt(2)) % 4 + (i % 2) * 0.5));
    }
    await page.keyboard.press('Tab');
  }
  await page.getByRole('button', { name: 'All sheets are in' }).click();
  await page.getByRole('button', { name: 'Really? Every mark can then be seen' }).click();
  await page.click('text=Find the places');
  await page.waitForSelector('.places');
  await page.evaluate(() => document.getElementById('rank-heading').scrollIntoView());
  await picture('places');
  if (page.complaints.length > 0) throw new Error(page.complaints.join('; '));
  await page.context().close();
}

const server = await serve();
const browser = await launch();
try {
  await walk(browser, server.address, { width: 360, height: 720, theme: 'dark' });
  await walk(browser, server.address, { width: 1280, height: 800, theme: 'light' });
  console.log(`${views.length} views`);
} finally {
  await browser.close();
  await server.end();
}
