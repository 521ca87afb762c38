// A round from an empty page to its places: parcels checked, drawn, tasted blind, marked. All of it is what the program says.
import { fileURLToPath } from 'node:url';
import { judge } from './axe.mjs';
import { expect, fits, inEveryDress, oddgrist, open, run, tabTo, until } from './drive.mjs';

const file = fileURLToPath(new URL('../../examples/rounds/saltmarsh-autumn.toml', import.meta.url));
const room = async (page) => {
  await page.click('nav a[href="#/round"]');
  await page.waitForSelector('#round-name');
};
async function ask(page, button, what) {
  const reply = page.waitForResponse((response) => response.url().endsWith(`/api/round/${what}`));
  await page.getByRole('button', { name: button, exact: true }).click();
  const answer = await reply;
  expect(answer.status() === 200, await answer.text());
  return (await answer.json()).result;
}
const check = (page) => ask(page, 'Check each parcel', 'check');
const draw = (page) => ask(page, 'Draw', 'draw');
const codes = (page) => ask(page, 'Give out codes', 'sheets');
async function close(page) {
  await page.getByRole('button', { name: 'All sheets are in' }).click();
  await page.getByRole('button', { name: 'Really? Every mark can then be seen' }).click();
}
const rank = (page) => ask(page, 'Find the places', 'rank');
async function mark(page, sheets) {
  for (const { judge: name, codes: list } of sheets.sheets) {
    await page.selectOption('#round-judge', name);
    for (const [i, code] of list.entries()) await page.getByLabel(`${code} mark`).fill(String(4 + (code.charCodeAt(0) + i) % 5));
    await page.keyboard.press('Tab');
  }
}
const written = (page) => until(page, () => document.querySelector('.round-room [role=status]').textContent === 'Kept in the store.');
async function take(page, name) {
  await page.click('text=Other rounds');
  await page.getByRole('button', { name, exact: true }).click();
  await until(page, (wanted) => document.querySelector('#round-name').value === wanted, name);
}
async function example(page) {
  await room(page);
  await page.click('text=Fill in the example round');
}
const same = (one, other, what) => {
  const plain = ({ file: _file, ...rest }) => JSON.stringify(rest);
  expect(plain(one) === plain(other), `${what} differs from the command line`);
};

const byHand = (width) => async ({ browser, address }) => {
  const page = await open(browser, address, { width, hasTouch: width < 500 });
  await room(page);
  await page.click('text=What everybody has');
  for (const words of ['pale ale malt', 'Golding', 'neutral ale yeast']) {
    await page.fill('#find-have', words);
    await page.waitForSelector('#find-have-list li');
    await page.keyboard.press('Enter');
    await until(page, (name) => document.querySelector('.round-room').innerText.includes(name), words);
  }
  for (const [index, [name, item]] of [['Bea', 'honey'], ['Cal', 'rye malt'], ['Dot', 'smoked wheat malt']].entries()) {
    const n = index + 1;
    await page.click('text=Add a brewer');
    await page.fill(`#member-${n}-name`, name);
    await page.fill(`#find-member-${n}-parcel`, item);
    await page.waitForSelector(`#find-member-${n}-parcel-list li`);
    await page.keyboard.press('Enter');
    await page.fill(`#field-member-${n}-parcel-1-amount`, '250');
  }
  await page.locator('.member').first().locator('label', { hasText: 'tree nuts' }).click();
  await check(page);
  await page.waitForSelector('.parcels li');
  expect((await page.locator('.parcels > li').count()) === 3, 'not three parcels');
  await page.fill('#round-draw-seed', '20261004');
  const { pairs } = await draw(page);
  await page.waitForSelector('.pairs li');
  for (const { brewer, giver } of pairs) expect((await page.innerText('.pairs')).includes(`${brewer} brews with the parcel of ${giver}`), 'another draw is shown');
  await page.fill('#round-code-seed', '5081');
  const sheets = await codes(page);
  await page.waitForSelector('.marks');
  expect(!(await page.isVisible('.steward table')), 'the key lies open');
  await mark(page, sheets);
  await fits(page);
  await close(page);
  const places = await rank(page);
  await page.waitForSelector('.places li');
  expect((await page.locator('.places li').count()) === places.beers.length && places.left_out.length === 0, 'not every beer has a place');
  for (const { brewer, place } of places.beers) expect(new RegExp(`${place}\\s+${brewer}`).test(await page.innerText('.places')), `${brewer} stands elsewhere`);
  await page.emulateMedia({ media: 'print' });
  expect(await page.isVisible('.judges') && !(await page.isVisible('.steward')) && !(await page.isVisible('.pairs')), 'the paper gives the beers away');
  await page.emulateMedia({ media: null });
  await page.reload();
  await page.waitForSelector('#round-name');
  expect((await page.innerText('.pairs')).includes('Bea brews'), 'the draw is gone after a reload');
  return page;
};

await run({
  'by hand from empty to places, on a phone': byHand(360),
  'the same on a desk': byHand(1280),
  'the example is that of the command line, in every step': async ({ browser, address }) => {
    const page = await open(browser, address);
    await example(page);
    const said = (what) => JSON.parse(oddgrist('round', what, file, '--json'));
    same(await check(page), said('check'), 'the check');
    same(await draw(page), said('draw'), 'the draw');
    // Saved as a file, the command line reads it and says the same, drawn and all.
    const download = page.waitForEvent('download');
    await page.click('text=Save as a file');
    const saved = await (await download).path();
    same(JSON.parse(oddgrist('round', 'sheets', saved, '--json')), await codes(page), 'the saved round');
    return page;
  },
  'by keys alone': async ({ browser, address }) => {
    const page = await open(browser, address);
    for (const name of ['Round', 'Fill in the example round', 'Check each parcel']) {
      await tabTo(page, name);
      await page.keyboard.press('Enter');
    }
    await page.waitForSelector('.parcels');
    await tabTo(page, 'Draw', 200);
    await page.keyboard.press('Enter');
    await page.waitForSelector('.pairs');
    return page;
  },
  'what bars a parcel is said': async ({ browser, address }) => {
    const page = await open(browser, address);
    await example(page);
    await check(page);
    await page.click('text=Why somebody does not get a parcel');
    expect((await page.innerText('#proposal')).includes('which Bea cannot handle'), 'the allergen is not said');
    return page;
  },
  'two devices work on one round': async ({ browser, address }) => {
    const one = await open(browser, address), other = await open(browser, address, { width: 360, hasTouch: true });
    await example(one);
    await one.fill('#round-name', 'Two devices');
    await written(one);
    await room(other);
    await take(other, 'Two devices');
    expect((await other.locator('.member').count()) === 6 && (await other.inputValue('#round-guests')) === 'Nell', 'not the whole round arrives');
    // Both add a brewer at the same moment, and neither is lost.
    await Promise.all([one, other].map((page) => page.click('text=Add a brewer')));
    await one.fill('#member-7-name', 'Gus');
    await other.locator('.member').nth(6).locator('input').first().fill('Hal');
    for (const page of [one, other]) await until(page, () => { const names = [...document.querySelectorAll('.member summary h4')].map((each) => each.textContent); return names.includes('Gus') && names.includes('Hal'); });
    // Without a network the edit waits on the device.
    await one.context().setOffline(true);
    await one.fill('#round-criteria', 'smell, taste');
    await until(one, () => /No connection/.test(document.querySelector('.round-room [role=status]').textContent));
    await other.fill('#round-guests', 'Nell, Olwen');
    await written(other);
    await one.context().setOffline(false);
    await until(one, () => document.querySelector('#round-guests').value === 'Nell, Olwen');
    await until(other, () => document.querySelector('#round-criteria').value === 'smell, taste');
    for (const page of [one, other]) expect(page.complaints.filter((each) => !/ERR_INTERNET_DISCONNECTED/.test(each)).length === 0, page.complaints.join('; '));
    await fits(other);
    await other.context().close();
    await one.context().close();
  },
  'what was marked elsewhere is seen once all sheets are in': async ({ browser, address }) => {
    const one = await open(browser, address, { width: 360 }), other = await open(browser, address);
    await example(one);
    await one.fill('#round-name', 'Blind');
    const sheets = await codes(one);
    const [code] = sheets.sheets.find(({ judge: name }) => name === 'Nell').codes;
    await one.selectOption('#round-judge', 'Nell');
    await one.getByLabel(`${code} mark`).fill('7');
    await one.keyboard.press('Tab');
    await written(one);
    await one.waitForTimeout(500);
    expect((await one.inputValue(`[aria-label="${code} mark"]`)) === '7', 'what was written went away when it had arrived');
    const told = [];
    other.on('response', (response) => { if (/api\/rounds\//.test(response.url())) void response.text().then((text) => told.push(text), () => undefined); });
    await room(other);
    await take(other, 'Blind');
    await codes(other);
    await other.selectOption('#round-judge', 'Nell');
    await until(other, () => /filled in on another device/.test(document.querySelector('#proposal').textContent));
    expect((await other.locator('.marks input').count()) === 0, 'the sheet can be written over');
    expect(told.length > 0 && told.every((text) => !/"marks"/.test(text)), `the program told marks: ${told}`);
    expect((await other.getByRole('button', { name: 'Find the places' }).count()) === 0, 'places before all sheets are in');
    await fits(other);
    if (process.env.SHOTS) for (const [page, width] of [[one, 360], [other, 1280]]) { await page.locator('#rank-heading').scrollIntoViewIfNeeded(); await page.screenshot({ path: `${process.env.SHOTS}/round-${width}.png` }); }
    await close(one);
    await until(other, (name) => document.querySelector(`[aria-label="${name} mark"]`)?.value === '7', code);
    const { beers } = await rank(other);
    expect(beers.length > 0, 'nothing has a place');
    await one.context().close();
    return other;
  },
  'a mistake is said': async ({ browser, address }) => {
    const page = await open(browser, address);
    await example(page);
    await page.click('.member >> nth=0');
    await page.fill('#field-member-1-parcel-1-amount', 'lots');
    await page.getByRole('button', { name: 'Check each parcel' }).click();
    await page.waitForSelector('#proposal .problem');
    expect((await page.innerText('#proposal .problem')).includes('lots'), 'the mistake is not quoted');
    return page;
  },
  'a mark beyond ten is not taken': async ({ browser, address }) => {
    const page = await open(browser, address);
    await example(page);
    const sheets = await codes(page);
    await page.selectOption('#round-judge', 'Nell');
    await page.getByLabel(`${sheets.sheets.find(({ judge: name }) => name === 'Nell').codes[0]} mark`).fill('12');
    await page.keyboard.press('Tab');
    await close(page);
    await page.getByRole('button', { name: 'Find the places' }).click();
    await until(page, () => /\b10\b/.test(document.querySelector('#rank-heading').parentElement.querySelector('.problem')?.innerText ?? ''));
    expect((await page.locator('.places li').count()) === 0, 'places in spite of it');
    return page;
  },
  ...inEveryDress('axe finds nothing', async ({ page }) => {
    await room(page);
    await judge(page, 'round, empty');
    await example(page);
    await check(page);
    await draw(page);
    await mark(page, await codes(page));
    await close(page);
    await rank(page);
    await page.waitForSelector('.places li');
    await page.evaluate(() => document.querySelectorAll('details').forEach((each) => (each.open = true)));
    await judge(page, 'round, everything open');
    await fits(page);
    return page;
  }),
});
