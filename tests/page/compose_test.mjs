// From an empty page to a recipe: by clicks and typing on a phone and on a desk, and with the keyboard alone.
import { answered, expect, open, run, serve, until, textIn } from './drive.mjs';

async function add(page, side, words, amount) {
  await page.fill(`#${side}-search`, words);
  await page.click(`#${side}-search-list li:first-child`);
  const row = page.locator(`section[aria-labelledby="${side}-heading"] .supply`).last();
  if (amount) await row.getByLabel(/^Amount/).first().fill(amount);
}

async function composeByHand(page) {
  await add(page, 'given', 'smoked wheat', '350');
  await page.click('section[aria-labelledby="given-heading"] >> text=Type a packet');
  for (const [label, text] of [['What is it called?', 'plum jam'], ['Its list of ingredients', 'plums, sugar, pectin'], ['Energy', '1020'], ['Fat', '0'], ['Carbohydrate', '60'], ['of which sugars', '60'], ['Protein', '0'], ['Salt', '0']])
    await page.getByLabel(label, { exact: true }).fill(text);
  await page.click('text=Read the label and add it');
  await page.waitForSelector('.supply >> text=plum jam');
  await page.getByLabel('Amount of plum jam', { exact: true }).fill('200');
  await page.getByLabel('Beer in the fermenter', { exact: true }).fill('10');
  await page.click('text=+ Alcohol');
  await page.click('text=+ Bitterness');
  await add(page, 'have', 'pale ale malt');
  await add(page, 'have', 'northern brewer');
  await add(page, 'have', 'neutral ale yeast');
  await page.waitForSelector('#proposal .amounts .amount');
}

const byHand = (width) => async ({ browser, address }) => {
  const page = await open(browser, address, { width, height: 760, hasTouch: width < 500 });
  await composeByHand(page);
  await until(page, () => document.querySelector('#proposal h2').textContent === 'Every wish kept');
  const text = await textIn(page, '#proposal');
  for (const word of ['350 g', 'plum jam', 'neutral ale yeast', 'IBU', '% vol', 'strike at']) expect(text.includes(word), `the proposal does not say "${word}"`);
  expect(!/NaN|undefined|null/.test(text), 'the proposal shows a hole');
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  expect(wide <= 0, `the page is ${wide} px wider than the screen`);
  const small = await page.evaluate(() => [...document.querySelectorAll('button, select, input:not([type=range], [type=checkbox])')].filter((each) => each.getBoundingClientRect().height < 44 && each.getBoundingClientRect().height > 0).map((each) => each.outerHTML.slice(0, 80)));
  expect(small.length === 0, `too small for a thumb: ${small}`);
  return page;
};

await run({
  'from an empty page to a recipe, 360 px': byHand(360),
  'from an empty page to a recipe, 1280 px': byHand(1280),

  'with the keyboard alone': async ({ browser, address }) => {
    const page = await open(browser, address);
    const press = (key) => page.keyboard.press(key);
    // Forward with Tab until the element is reached; fails if it cannot be.
    const reach = async (matches, what) => {
      for (let i = 0; i < 120; ++i) {
        await press('Tab');
        if (await page.evaluate(matches)) return;
      }
      throw new Error(`Tab never reaches ${what}`);
    };
    const type = (text) => page.keyboard.type(text);
    const take = async (words, name) => {
      await type(words);
      await until(page, (wanted) => document.querySelector('[role=option][aria-selected=true]')?.textContent.startsWith(wanted), name);
      await press('Enter');
    };
    await reach(() => document.activeElement.id === 'given-search', 'the search');
    await take('smoked wheat', 'smoked wheat malt');
    await until(page, () => document.activeElement.id.includes('given-1-amount'));
    await type('300');
    await reach(() => document.activeElement.id === 'field-want-volume', 'the volume');
    await type('8');
    await reach(() => document.activeElement.textContent === '+ Bitterness', 'the wish for bitterness');
    await press('Enter');
    await reach(() => document.activeElement.id === 'have-search', 'the second search');
    for (const [words, name] of [['pale ale', 'pale ale malt'], ['northern', 'Northern Brewer'], ['neutral ale', 'neutral ale yeast']]) {
      await take(words, name);
      await reach(() => document.activeElement.id === 'have-search', 'the second search again');
    }
    await page.waitForSelector('#proposal .amounts .amount');
    for (let i = 0; i < 60 && !(await page.evaluate(() => document.activeElement.className === 'highest')); ++i) await press('Shift+Tab');
    const before = await page.getAttribute('input.highest', 'aria-valuetext');
    await press('ArrowRight');
    expect((await page.getAttribute('input.highest', 'aria-valuetext')) !== before, 'an arrow key does not move the slider');
    const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle);
    expect(outline !== 'none', 'one does not see where the keyboard is');
    return page;
  },

  'a wrong input says where, what and what to do': async ({ browser, address }) => {
    const page = await open(browser, address);
    await page.click('text=Fill in the example parcel');
    await answered(page);
    await page.getByLabel('Amount of smoked wheat malt', { exact: true }).fill('-5');
    const field = page.locator('#field-given-1-amount');
    await until(page, () => document.getElementById('field-given-1-amount').getAttribute('aria-invalid') === 'true');
    const note = await page.innerText(`#${await field.getAttribute('aria-describedby')}`);
    expect(/given\[1\]\.amount/.test(note) && note.split('. ').length >= 2, `the note says: ${note}`);
    expect((await textIn(page, '#proposal')).includes('cannot be read yet'), 'the proposal passes the mistake over');
    await page.click('#proposal .note.danger a');
    expect(await field.evaluate((each) => each === document.activeElement), 'the link does not lead to the field');
    await field.fill('350');
    await until(page, () => document.querySelector('#proposal h2').textContent === 'Every wish kept');
    return page;
  },

  'a label that contradicts itself is not taken': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360 });
    await page.click('section[aria-labelledby="given-heading"] >> text=Type a packet');
    for (const [label, text] of [['What is it called?', 'odd jam'], ['Energy', '9000'], ['Fat', '1'], ['Carbohydrate', '60'], ['of which sugars', '60'], ['Protein', '0'], ['Salt', '0']])
      await page.getByLabel(label, { exact: true }).fill(text);
    await page.click('text=Read the label and add it');
    await page.waitForSelector('.packet [role=alert] li');
    expect((await page.locator('.supply').count()) === 0, 'it was taken');
    return page;
  },

  'a clash is said at the wish': async ({ browser, address }) => {
    const page = await open(browser, address);
    await page.click('text=Fill in the example parcel');
    await answered(page);
    await page.getByLabel('Beer in the fermenter', { exact: true }).fill('15');
    await until(page, () => document.querySelector('#proposal h2').textContent === 'The nearest there is', null, 60000);
    // Sought once the hand rests: what is shown first only has its amounts fitted.
    await until(page, () => document.querySelectorAll('#brief .clash').length > 0, null, 60000);
    return page;
  },

  'what is unsafe is refused with the reason': async ({ browser, address }) => {
    const page = await open(browser, address);
    await page.click('section[aria-labelledby="given-heading"] >> text=Type a packet');
    for (const [label, text] of [['What is it called?', 'ground apricot kernels'], ['Its list of ingredients', 'apricot kernels'], ['Energy', '2400'], ['Fat', '45'], ['Carbohydrate', '20'], ['of which sugars', '8'], ['Fibre', '12'], ['Protein', '20'], ['Salt', '0.1']])
      await page.getByLabel(label, { exact: true }).fill(text);
    await page.click('text=Read the label and add it');
    await page.getByLabel('Amount of ground apricot kernels', { exact: true }).fill('100');
    await page.getByLabel('Beer in the fermenter', { exact: true }).fill('10');
    await add(page, 'have', 'pale ale malt');
    await add(page, 'have', 'neutral ale yeast');
    await until(page, () => document.querySelector('#proposal h2').textContent === 'Not safe to brew');
    expect((await page.locator('#proposal .amount').count()) === 0, 'amounts are shown all the same');
    expect((await textIn(page, '#proposal')).includes('cyanide'), 'the reason is not said');
    return page;
  },

  'the brief is still there after a reload, and when the program has ended': async ({ browser }) => {
    const own = await serve();
    const page = await open(browser, own.address);
    await page.click('text=Fill in the example parcel');
    await answered(page);
    await page.evaluate(async () => { await navigator.serviceWorker.ready; });
    await page.reload();
    await page.waitForSelector('#proposal .amount');
    expect((await own.end()) === 0, 'the program ended badly');
    await page.reload();
    await page.waitForSelector('#proposal .amount');
    await page.waitForSelector('text=No connection to the program');
    page.complaints = page.complaints.filter((each) => !/ERR_CONNECTION_REFUSED/.test(each));
    return page;
  },

  'the run sheet is written and printed without the rest': async ({ browser, address }) => {
    const page = await open(browser, address);
    await page.click('text=Fill in the example parcel');
    await answered(page);
    await page.click('text=Write the run sheet');
    await page.waitForSelector('.sheet li');
    expect((await page.locator('.sheet li').count()) > 8, 'the sheet is short');
    await page.emulateMedia({ media: 'print' });
    expect(await page.isHidden('#brief'), 'the brief is printed too');
    expect(await page.isVisible('.sheet'), 'the sheet is not printed');
    return page;
  },
});
