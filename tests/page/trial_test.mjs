// The bench trial: nobody sees what a glass holds unless they open it, and the dose that is liked is the one the program gives.
import { judge } from './axe.mjs';
import { answered, expect, fits, inEveryDress, open, run, tabTo, until } from './drive.mjs';

async function room(page) {
  await page.click('nav a[href="#/ferment"]');
  await page.click('nav a[href="#/ferment/trial"]');
  await page.waitForSelector('#trial-glass');
}
async function planned(page, how = () => page.click('text=Plan the glasses')) {
  const reply = page.waitForResponse((response) => response.url().endsWith('/api/trial') && response.status() === 200);
  await how();
  return (await reply).json();
}
const pick = (page, letter) => page.getByRole('button', { name: `Glass ${letter} was liked best` }).click();
const reveal = (page) => planned(page, () => page.click('text=Everybody has tasted'));

await run({
  'the brief’s infusion in glasses, and the dose that is liked': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360 });
    await page.click('text=Fill in the example parcel');
    await answered(page);
    await room(page);
    const trial = await planned(page);
    expect((await page.locator('.glasses li').count()) === trial.glasses.length, 'not a glass for each dose');
    expect(!(await page.isVisible('.pouring table')), 'the key lies open');
    expect(!(await page.innerText('.tasting')).includes('mL into'), 'the tasters see a dose');
    const letter = trial.glasses[2].letter;
    await pick(page, letter);
    await pick(page, letter);
    await pick(page, trial.glasses[5].letter);
    expect((await page.locator('.liked').count()) === 0, 'the dose is told while others still taste');
    const { picked } = await reveal(page);
    await page.waitForSelector('.liked');
    expect(picked.letter === letter, 'the middle pick is another');
    const liked = await page.innerText('.liked');
    expect(liked.includes(`glass ${letter}`), 'the liked glass is not named');
    expect(liked.includes(picked.batch_dose_ml.toFixed(picked.batch_dose_ml < 100 ? 1 : 0).replace(/\.0$/, '')), `no dose for the batch: ${liked}`);
    await fits(page);
    await page.emulateMedia({ media: 'print' });
    expect(!(await page.isVisible('.pouring')) && (await page.isVisible('.glasses')), 'the paper for the tasters has the key on it');
    await page.emulateMedia({ media: null });
    await page.click('text=Only for whoever pours');
    expect(await page.isVisible('.pouring table'), 'the key does not open');
    await page.emulateMedia({ media: 'print' });
    expect(await page.isVisible('.pouring table'), 'opened, the key is not printed');
    return page;
  },
  'a beer typed by hand; what bursts a bottle is said': async ({ browser, address }) => {
    const page = await open(browser, address);
    await room(page);
    await page.click('text=Plan the glasses');
    await page.waitForSelector('#proposal .problem');
    await page.fill('#trial-strength', '20');
    await page.fill('#trial-sugar', '400');
    await page.fill('#trial-doses', '1 10');
    const trial = await planned(page);
    expect(trial.glasses.length === 3, 'not the doses typed');
    const worst = trial.glasses[2];
    expect(worst.bottle === 'refuse', 'so much sugar does no harm');
    await pick(page, worst.letter);
    await reveal(page);
    await page.waitForSelector('.liked .note.danger');
    await page.click('text=Another order');
    await page.waitForSelector('#proposal.stale');
    return page;
  },
  'with the keyboard alone': async ({ browser, address }) => {
    const page = await open(browser, address);
    const enter = async (name) => {
      await tabTo(page, name, 120);
      await page.keyboard.press('Enter');
    };
    await enter('Fill in the example parcel');
    await answered(page);
    await page.waitForTimeout(400);
    await page.reload(); // from the top
    await page.waitForSelector('nav a');
    await enter('||Ferment');
    await page.waitForSelector('.parts');
    await enter('Bench trial');
    await page.waitForSelector('#trial-glass');
    await tabTo(page, 'trial-glass|');
    await page.keyboard.press('Control+A');
    await page.keyboard.type('80');
    const trial = await planned(page, () => enter('Plan the glasses'));
    expect(trial.glass_ml === 80, 'the glass typed is another');
    await page.waitForSelector('.glasses');
    const liked = trial.glasses[2].letter;
    for (const letter of [liked, liked, trial.glasses[1].letter]) {
      await enter(`Glass ${letter} was liked best`);
      await until(page, (all) => document.querySelector('#picks-heading').parentElement.querySelector('[role=status]').textContent.includes(all), letter);
    }
    const { picked } = await planned(page, () => enter('Everybody has tasted'));
    expect(picked.letter === liked, 'the middle pick is another');
    await page.waitForSelector('.liked');
    await enter('Only for whoever pours');
    expect(await page.isVisible('.pouring table'), 'the key does not open');
    return page;
  },
  ...inEveryDress('axe finds nothing', async ({ page }) => {
    await page.click('text=Fill in the example parcel');
    await answered(page);
    await room(page);
    await judge(page, 'trial, empty');
    const trial = await planned(page);
    await pick(page, trial.glasses[1].letter);
    await reveal(page);
    await page.click('text=Only for whoever pours');
    await judge(page, 'trial, planned');
    await fits(page);
    return page;
  }),
});
