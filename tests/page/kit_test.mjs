// What went otherwise on the brew day is written down at a tap, and what the readings taught about the kit is drawn.
import { judge } from './axe.mjs';
import { answered, expect, fits, inEveryDress, open, run, tabTo, until } from './drive.mjs';

async function begin(page) {
  await page.click('text=Fill in the example parcel');
  await answered(page);
  await page.getByRole('button', { name: 'Brew this' }).click();
  await page.waitForSelector('.present .do');
  return decodeURIComponent(new URL(page.url()).hash.slice('#/day/'.length));
}
async function logged(page, address, gyle, truth) {
  for (let tries = 0; tries < 600; ++tries) {
    const found = await page.request.get(`${address}api/gyles/${encodeURIComponent(gyle)}`).then((reply) => reply.json());
    if (truth(found.entries)) return found;
    await page.waitForTimeout(50);
  }
  throw new Error(`the log never says: ${truth}`);
}
const tap = (page, name) => page.locator('.deviations').getByRole('button', { name, exact: true }).click();
const doing = (page) => page.innerText('.present .do');
async function doUntil(page, words) {
  for (let i = 0; i < 40 && !(await doing(page)).includes(words); ++i) {
    const before = await doing(page);
    await page.getByRole('button', { name: 'Done', exact: true }).click();
    await until(page, (text) => document.querySelector('.present .do')?.innerText !== text, before);
  }
}
async function read(page, sight, digits, at) {
  await page.getByRole('button', { name: 'Reading', exact: true }).click();
  await page.locator('.pad').getByRole('button', { name: sight, exact: true }).click();
  await page.fill('#pad-value', digits);
  if (at !== undefined) await page.fill('#pad-at', at);
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.waitForSelector('.present .do');
}
async function dayWithReadings(page, address) {
  const gyle = await begin(page);
  await doUntil(page, 'Read the kettle before boiling');
  await read(page, 'Gravity', '1046', '20');
  await read(page, 'Volume', '11', '70');
  await logged(page, address, gyle, (entries) => entries.filter(({ kind }) => kind === 'reading').length === 2);
  return gyle;
}
async function openKit(page) {
  await page.click('nav a[href="#/kit"]');
  await page.waitForSelector('.gyles a');
  const reply = page.waitForResponse((response) => response.url().includes('/api/kits/'));
  await page.click('.gyles a');
  const known = await (await reply).json();
  await page.waitForSelector('.kit-figure');
  return known;
}

await run({
  'left out, put in, lost and noted at a tap': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360, hasTouch: true });
    const gyle = await begin(page);
    await tap(page, 'Left out');
    await page.selectOption('#missed-what', { index: 1 });
    await fits(page);
    await page.locator('.deviations').getByRole('button', { name: 'Write it down' }).click();
    await logged(page, address, gyle, (entries) => entries.some(({ kind }) => kind === 'missed'));
    await tap(page, 'Put in');
    await page.fill('#added-search', 'sucrose');
    if ((await page.locator('#added-search-list li').count()) === 0) await page.fill('#added-search', 'sugar');
    await page.waitForSelector('#added-search-list li');
    await page.keyboard.press('Enter');
    await page.fill('#added-kg', '0.25');
    await page.selectOption('#added-into', 'kettle');
    await page.locator('.deviations').getByRole('button', { name: 'Write it down' }).click();
    const { entries } = await logged(page, address, gyle, (all) => all.some(({ kind }) => kind === 'added'));
    const { amount } = entries.find(({ kind }) => kind === 'added').body;
    expect(amount.into === 'kettle' && Math.abs(amount.kg - 0.25) < 1e-9, `something else went in: ${JSON.stringify(amount)}`);
    await tap(page, 'Lost');
    await page.fill('#lost-litres', '0.4');
    await page.locator('.deviations').getByRole('button', { name: 'Write it down' }).click();
    await logged(page, address, gyle, (all) => all.some(({ kind, body }) => kind === 'lost' && body.volume_l === 0.4));
    await tap(page, 'Note');
    await page.fill('#note-text', 'lid off for ten minutes');
    await page.locator('.deviations').getByRole('button', { name: 'Write it down' }).click();
    await logged(page, address, gyle, (all) => all.some(({ kind, body }) => kind === 'note' && body.text === 'lid off for ten minutes'));
    // Undone like everything else.
    await page.getByRole('button', { name: /^Undo/ }).click();
    await logged(page, address, gyle, (all) => all.some(({ kind }) => kind === 'struck'));
    return page;
  },
  'pressure, weight and taste can be read, in the units chosen': async ({ browser, address }) => {
    const page = await open(browser, address);
    const gyle = await begin(page);
    await page.getByRole('button', { name: /^Units/ }).click();
    await read(page, 'Pressure', '14.5');
    await read(page, 'Weight', '10');
    await page.getByRole('button', { name: 'Reading', exact: true }).click();
    await page.locator('.pad').getByRole('button', { name: 'Taste', exact: true }).click();
    await page.fill('#pad-value', '11');
    expect(await page.isDisabled('.pad .main-action'), 'a taste of 11 of 10 is taken');
    await page.fill('#pad-value', '8');
    await page.getByRole('button', { name: 'Write it down' }).click();
    const { entries } = await logged(page, address, gyle, (all) => all.filter(({ kind }) => kind === 'reading').length === 3);
    const value = (sight) => entries.find(({ kind, body }) => kind === 'reading' && body.sight === sight).body.value;
    expect(Math.abs(value('pressure') - 0.99974) < 1e-4 && Math.abs(value('mass') - 4.5359237) < 1e-6 && value('taste') === 8, 'other values arrived');
    return page;
  },
  'what the readings taught about the kit is what the program says': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360 });
    await dayWithReadings(page, address);
    const known = await openKit(page);
    expect(known.told_by.length >= 1, 'nothing was learned');
    expect((await page.locator('.kit-figure').count()) === known.figures.length, 'not every figure is drawn');
    const text = await page.innerText('#proposal');
    for (const { figure, narrower, gyles } of known.figures.filter((each) => each.gyles > 0)) {
      expect(text.includes(figure), `no word of ${figure}`);
      expect(text.includes(`${Math.abs(100 * narrower).toFixed(0)} % ${narrower >= 0 ? 'narrower' : 'wider'}. Gyles that tell of it: ${gyles}.`), `not how narrow ${figure} became`);
    }
    await fits(page);
    return page;
  },
  'with the keyboard alone': async ({ browser, address }) => {
    const page = await open(browser, address);
    await dayWithReadings(page, address);
    await page.reload();
    await page.waitForSelector('.present .do');
    const enter = async (name) => {
      await tabTo(page, name, 120);
      await page.keyboard.press('Enter');
    };
    await enter('|Kit');
    await page.waitForSelector('.gyles a');
    await enter('one kettle and a bag');
    await page.waitForSelector('.kit-figure');
    expect(/Gyles with readings: [1-9]/.test(await page.innerText('#proposal')), 'nothing was learned');
    await enter('All kits');
    await until(page, () => document.querySelector('.kit-figure') === null && document.querySelector('.gyles a') !== null);
    return page;
  },
  ...inEveryDress('axe finds nothing', async ({ page, address }) => {
    await page.click('nav a[href="#/kit"]');
    await page.waitForSelector('h2');
    await judge(page, 'kits');
    await page.click('nav a[href="#/compose"]');
    await dayWithReadings(page, address);
    for (const name of ['Left out', 'Put in', 'Lost', 'Note']) {
      await tap(page, name);
      await judge(page, `day, ${name}`);
    }
    await openKit(page);
    await judge(page, 'one kit');
    await fits(page);
    return page;
  }),
});
