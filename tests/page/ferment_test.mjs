// Readings typed on the page are held against the brief's forecast, and what comes of it is what the program said.
import { answered, expect, open, run, until } from './drive.mjs';

// As the page's clock has it, so many hours ago.
const ago = (hours) => {
  const at = new Date(Date.now() - hours * 3600e3);
  return new Date(at.getTime() - at.getTimezoneOffset() * 60e3).toISOString().slice(0, 16);
};

export async function typeReadings(page, words = 'Fill in the example parcel') {
  await page.click(`text=${words}`);
  await answered(page);
  await page.click('nav a[href="#/ferment"]');
  await page.fill('#reading-1-time', ago(240));
  const rows = [[238, '1.055'], [120, '1.030'], [48, '1.014'], [1, '1.014']];
  for (const [index, [hours, value]] of rows.entries()) {
    await page.click('.ferment .form-actions button:not(.main-action)');
    await page.fill(`#reading-${index + 2}-time`, ago(hours));
    await page.fill(`#reading-${index + 2}-value`, value);
    await page.fill(`#reading-${index + 2}-at`, '20');
  }
}
const judged = async (page) => {
  const reply = page.waitForResponse((response) => response.url().endsWith('/api/watch'));
  await page.focus('.ferment .main-action');
  await page.keyboard.press('Enter');
  const watch = await (await reply).json();
  await page.waitForSelector('#proposal h2');
  return watch;
};

await run({
  'readings give the verdict, the curve and the table the program gave': async ({ browser, address }) => {
    const page = await open(browser, address);
    await typeReadings(page);
    const watch = await judged(page);
    const names = { finished: 'Finished', slow: 'Slow', stuck: 'Stuck', refermenting: 'Fermenting again', 'as-expected': 'As expected' };
    expect((await page.innerText('#proposal h2')) === names[watch.state], `the verdict is not ${watch.state}`);
    const bottle = { yes: 'Yes', 'not-yet': 'Not yet', danger: 'Danger: it can burst' };
    expect((await page.innerText('#proposal .note strong')) === bottle[watch.bottling.verdict], 'another word on closing up');
    const text = await page.innerText('#proposal');
    for (const reason of [...watch.reasons, ...watch.bottling.reasons]) expect(text.includes(reason), `no word of: ${reason}`);
    const marks = await page.locator('.course .read, .course .questioned').count();
    expect(marks === watch.watched.length && marks === 4, `${marks} readings are drawn`);
    expect((await page.locator('#course-heading ~ table tbody tr').count()) === 4, 'the table has other readings than the curve');
    return page;
  },
  'a mistake in a reading is said': async ({ browser, address }) => {
    const page = await open(browser, address);
    await typeReadings(page);
    await page.fill('#reading-3-value', 'much');
    await page.click('.ferment .main-action');
    await page.waitForSelector('#proposal .problem');
    expect((await page.innerText('#proposal .problem')).includes('much'), 'the mistake is not quoted');
    return page;
  },
  'a verdict says when it is of other readings, and of which warmth': async ({ browser, address }) => {
    const page = await open(browser, address);
    await typeReadings(page);
    const cool = await judged(page);
    expect((await page.locator('#proposal.stale').count()) === 0, 'stale at once');
    await page.fill('#ferment-warmest', '20');
    await page.waitForSelector('#proposal.stale .note.caution');
    const asked = page.waitForRequest((request) => request.url().endsWith('/api/watch'));
    const colder = await judged(page);
    expect((await asked).postDataJSON().warmest_c === 20, 'the warmest is not sent');
    const pressure = (watch) => watch.bottling.containers[0].pressure_bar.high;
    expect(pressure(colder) < pressure(cool), 'colder, it presses no less');
    await page.waitForSelector('#proposal:not(.stale)');
    await page.getByRole('button', { name: /^Units/ }).click();
    expect((await page.innerText('#bottling-heading ~ table')).includes(' psi'), 'no psi');
    await until(page, () => document.getElementById('ferment-warmest').value === '68');
    await page.emulateMedia({ media: 'print' });
    expect(await page.isVisible('.printed') && !(await page.isVisible('#reading-1-time')), 'print shows the wrong half');
    return page;
  },
  'readings are still there after a reload': async ({ browser, address }) => {
    const page = await open(browser, address);
    await typeReadings(page);
    await new Promise((done) => setTimeout(done, 400)); // the page writes them a moment later
    await page.reload();
    await page.waitForSelector('#reading-5-value');
    expect((await page.inputValue('#reading-3-value')) === '1.030', 'the reading is another');
    return page;
  },
  'the view fits a phone': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360 });
    await typeReadings(page);
    await judged(page);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    expect(wide <= 360, `${wide} px wide`);
    return page;
  },
});
