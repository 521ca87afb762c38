// The larder: found, put in, taken out, counted, opened, undone; what is dangerous is said; another device sees it.
import { judge } from './axe.mjs';
import { expect, fits, inEveryDress, open, run, serve, tabTo, until } from './drive.mjs';

const room = async (page) => {
  await page.click('nav a[href="#/larder"]');
  await page.waitForSelector('#larder-search');
};
async function find(page, words) {
  await page.fill('#larder-search', words);
  await page.waitForSelector('#larder-search-list li');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#take-kg');
}
async function putIn(page, words, amount) {
  await find(page, words);
  await page.fill('#take-kg', amount);
  await page.locator('.packet').getByRole('button', { name: 'Put in' }).click();
}
const has = (page, name, amount) => until(page, ([what, much]) => [...document.querySelectorAll('.stock-line')].some((line) => line.innerText.includes(what) && line.innerText.includes(much)), [name, amount]);
const deed = (page, name, what) => page.getByRole('button', { name: `${what}: ${name}` }).click();
async function typeKernels(page) {
  await page.click('text=Type a packet’s label');
  await page.fill('#packet-name', 'garden kernels');
  await page.fill('#packet-declared', 'apricot kernels, hazelnuts');
  for (const [field, value] of [['energy', '2400'], ['fat', '50'], ['carbohydrate', '10'], ['sugars', '5'], ['fibre', '8'], ['protein', '20'], ['salt', '0']]) await page.fill(`#field-item-1-packet-${field}`, value);
  await page.click('text=Read the label and add it');
}

const wholeJob = (width, malt) => async ({ browser, address }) => {
  const page = await open(browser, address, { width, hasTouch: width < 500 });
  await room(page);
  await putIn(page, malt, '2');
  await has(page, malt, '2 kg');
  await deed(page, malt, 'Take out');
  await page.getByLabel(`How much ${malt} was taken`).fill('0.5');
  await page.click('text=Write it down');
  await has(page, malt, '1.5 kg');
  await deed(page, malt, 'Count');
  await page.getByLabel(`How much ${malt} is there`).fill('1.2');
  await page.click('text=Write it down');
  await has(page, malt, '1.2 kg');
  await deed(page, malt, 'Opened today');
  await until(page, () => document.querySelector('#proposal').innerText.includes('Opened '));
  await fits(page);
  // The count undone, what was taken counts again.
  await page.getByRole('button', { name: `Undo: 1.2 kg ${malt}` }).click();
  await has(page, malt, '1.5 kg');
  await page.getByRole('button', { name: `Undo: 2 kg ${malt}` }).click();
  await until(page, () => document.querySelector('.log del') !== null);
  await putIn(page, malt, '1');
  await page.getByRole('button', { name: /^Units/ }).click();
  await until(page, () => / lb| oz/.test(document.querySelector('.stock-line').innerText));
  return page;
};

await run({
  'put in, taken out, counted, opened, undone on a phone': wholeJob(360, 'chocolate malt'),
  'the same on a desk': wholeJob(1280, 'smoked wheat malt'),
  'a packet: its hazards and allergens are said, and it goes in under its own name': async ({ browser, address }) => {
    const page = await open(browser, address);
    await room(page);
    await typeKernels(page);
    await page.waitForSelector('#take-kg');
    const said = await page.innerText('.packet');
    expect(said.includes('Refused') && said.includes('cyanide') && said.includes('Instead:'), 'the danger is not said');
    expect(said.includes('tree nuts'), 'the allergen is not said');
    await page.fill('#take-kg', '0.3');
    await page.locator('.packet').getByRole('button', { name: 'Put in' }).click();
    await has(page, 'garden kernels', '300 g');
    return page;
  },
  'another device sees it; what is in the house goes into the brief': async ({ browser, address }) => {
    const page = await open(browser, address);
    const other = await open(browser, address, { width: 360 });
    await room(page);
    await room(other);
    await putIn(page, 'rye malt', '3');
    await has(other, 'rye malt', '3 kg');
    await other.click('text=Into the brief as');
    await other.waitForSelector('#brief-name');
    expect((await other.innerText('#brief')).includes('rye malt'), 'it is not in the brief');
    await other.context().close();
    return page;
  },
  'by keys alone': async ({ browser, address }) => {
    const page = await open(browser, address);
    await tabTo(page, 'Larder');
    await page.keyboard.press('Enter');
    await page.waitForSelector('#larder-search');
    await tabTo(page, 'larder-search');
    await page.keyboard.type('Golding');
    await page.waitForSelector('#larder-search-list li');
    await page.keyboard.press('Enter');
    await page.waitForSelector('#take-kg');
    await tabTo(page, 'take-kg');
    await page.keyboard.type('80');
    await page.keyboard.press('Enter');
    await has(page, 'Golding', '80 g');
    await tabTo(page, 'Opened today: Golding');
    await page.keyboard.press('Enter');
    await until(page, () => document.querySelector('#proposal').innerText.includes('Opened '));
    return page;
  },
  'a store that is not there is said': async ({ browser }) => {
    const server = await serve('--store', '/proc/no-store/here.db');
    const page = await open(browser, server.address);
    await room(page);
    await page.waitForSelector('#proposal .problem');
    await server.end();
    page.complaints.length = 0; // its events are gone with it
    return page;
  },
  ...inEveryDress('axe finds nothing', async ({ page }) => {
    await room(page);
    await judge(page, 'larder');
    await typeKernels(page);
    await page.waitForSelector('#take-kg');
    await judge(page, 'larder, packet read');
    await page.fill('#take-kg', '0.3');
    await page.locator('.packet').getByRole('button', { name: 'Put in' }).click();
    await has(page, 'garden kernels', 'g');
    await deed(page, 'garden kernels', 'Take out');
    await judge(page, 'larder, taking out');
    await fits(page);
    return page;
  }),
});
