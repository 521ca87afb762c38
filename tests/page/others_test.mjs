// Other ways to brew the example parcel: side by side, why the first is as it is, and one of the others taken.
import { judge } from './axe.mjs';
import { answered, expect, fits, inEveryDress, open, run, tabTo, until, textIn } from './drive.mjs';

async function lookedFor(browser, address, how = {}) {
  const page = how.page ?? (await open(browser, address, how));
  await page.click('text=Fill in the example parcel');
  await answered(page);
  await until(page, () => document.querySelector('#proposal h2').textContent === 'Every wish kept');
  await page.click('text=Look for other ways');
  await page.waitForSelector('.ways');
  return page;
}
const sheetOf = async (page) => {
  await page.click('text=Write the run sheet');
  await page.waitForSelector('.sheet li');
  return textIn(page, '.sheet');
};
const amounts = (page) => textIn(page, '.amounts');

await run({
  ...inEveryDress('the ways stand side by side', async ({ page }) => {
    await lookedFor(null, null, { page });
    expect((await page.locator('.ways thead th').count()) === 4, 'there are not four columns');
    expect((await page.locator('.ways tbody.measured').count()) === 4, 'not all of the measures are there');
    // In a row all are drawn on one scale: the band of the wish is the same in each.
    const bands = await page.evaluate(() => [...document.querySelectorAll('.ways tbody.measured')].map((row) => [...row.querySelectorAll('.wished')].map((band) => `${band.getAttribute('y')} ${band.getAttribute('height')}`)));
    for (const row of bands) expect(row.length === 4 && new Set(row).size === 1, `the wish is drawn in different places: ${row}`);
    const told = await textIn(page, '.ways');
    expect(/Gains/.test(told) && /Gives up/.test(told) && /weighing/.test(told), `what is gained and given up is not said: ${told}`);
    await page.click('.reasons-part summary');
    const why = await textIn(page, '.reasons-part');
    expect(/100 g more pale ale malt/.test(why) && /Alcohol \+0\.23 % vol/.test(why) && /chocolate malt/.test(why), `it is not said why: ${why}`);
    await fits(page);
    await judge(page, 'other ways');
    return page;
  }),

  ...Object.fromEntries([360, 1280].map((width) => [`the second is taken, its run sheet is its own, and it is brewed, ${width} px`, async ({ browser, address }) => {
    const page = await lookedFor(browser, address, { width });
    const first = { sheet: await sheetOf(page), amounts: await amounts(page) };
    await page.click('.ways thead button >> nth=0');
    await until(page, () => document.querySelector('.other-way') !== null);
    expect(/Way 2/.test(await page.innerText('.other-way')), 'it is not said which way is shown');
    expect(await page.evaluate(() => { const { top, bottom } = document.getElementById('proposal-heading').getBoundingClientRect(); return top >= 0 && bottom <= window.innerHeight; }), 'what was taken is out of sight');
    expect(/Way 2 is shown/.test(await textIn(page, '.ways-part [role=status]')), 'nobody is told');
    expect((await amounts(page)) !== first.amounts, 'the amounts are those of the first');
    expect((await sheetOf(page)) !== first.sheet, 'the run sheet is that of the first');
    await fits(page);
    await page.click('text=Brew this');
    await until(page, () => location.hash.startsWith('#/day/'));
    await page.goBack();
    await page.click('text=Back to the first');
    expect((await amounts(page)) === first.amounts, 'the first does not come back');
    return page;
  }])),

  'they go away with the brief they were found for': async ({ browser, address }) => {
    const page = await lookedFor(browser, address);
    await page.click('.ways thead button >> nth=1');
    await page.waitForSelector('.other-way');
    const before = Number(await page.getAttribute('#proposal', 'data-answers'));
    await page.getByLabel('Bitterness, highest', { exact: true }).press('ArrowRight');
    await answered(page, before);
    expect((await page.locator('.ways, .other-way').count()) === 0, 'ways of another brief are shown');
    // Found for the new brief, they stay when its choice has settled.
    await page.click('text=Look for other ways');
    await page.waitForSelector('.ways');
    await page.waitForTimeout(900);
    await page.waitForSelector('.ways');
    return page;
  },

  'a program that has forgotten them finds them again for the run sheet': async ({ browser, address }) => {
    const page = await lookedFor(browser, address);
    await page.click('.ways thead button >> nth=0');
    await page.waitForSelector('.other-way');
    // As many other open briefs as the program keeps.
    await page.evaluate(async () => {
      const brief = { want: { volume: '5 L' }, have: [{ item: 'pale ale malt' }, { item: 'neutral ale yeast' }] };
      for (let i = 0; i < 64; ++i) await fetch('/api/compose/warm', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ id: `somebody-${i}`, brief }) });
    });
    const refused = page.waitForResponse((response) => response.url().endsWith('/api/sheet') && response.status() === 422);
    await page.click('text=Write the run sheet');
    await refused;
    await page.waitForSelector('.sheet li');
    return page;
  },

  'with the keyboard alone': async ({ browser, address }) => {
    const page = await open(browser, address);
    await page.click('text=Fill in the example parcel');
    await answered(page);
    await tabTo(page, 'Look for other ways', 140);
    await page.keyboard.press('Enter');
    await page.waitForSelector('.ways');
    await tabTo(page, 'Take this way: Way 3', 140);
    await page.keyboard.press('Enter');
    await until(page, () => document.activeElement.id === 'proposal');
    expect(/Way 3/.test(await page.innerText('.other-way')), 'the third is not shown');
    return page;
  },
});
