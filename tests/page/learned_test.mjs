// The kit as the gyles have shown it: a switch that is there once there is something to learn from, and what it changes.
import { judge } from './axe.mjs';
import { answered, expect, fits, inEveryDress, open, run, tabTo, until, textIn } from './drive.mjs';

// A gyle with readings by another device: less had boiled off than the kit says, and less was dissolved.
async function brewElsewhere(page, address, gyle) {
  const brief = { want: { volume: '10 L', alcohol: ['4 %', '5 %'] }, have: [{ item: 'pale ale malt' }, { item: 'Northern Brewer' }, { item: 'neutral ale yeast' }] };
  const send = async (path, data) => {
    const reply = await page.request.post(`${address}api/${path}`, { data });
    expect(reply.ok(), await reply.text());
  };
  await send('gyles', { gyle, key: `${gyle}.0`, at: '2026-11-20T09:00:00Z', brief });
  const { now } = await (await page.request.get(`${address}api/gyles/${gyle}`)).json();
  const reading = (key, stage, sight, value) => ({ version: 1, key: `${gyle}.${key}`, at: '2026-11-20T13:00:00Z', kind: 'reading', body: { sight, stage, value, at_celsius: 20 } });
  await send(`gyles/${gyle}/entries`, { entries: [
    reading(1, 'before-boil', 'gravity', 1 + 0.9 * (now.before['pre-boil-gravity'].value - 1)),
    reading(2, 'after-boil', 'volume', 1.1 * now.before['post-boil-volume'].value),
    reading(3, 'fermenter', 'gravity', 1 + 0.85 * (now.before['original-gravity'].value - 1)),
  ] });
}
async function example(page) {
  await page.click('text=Fill in the example parcel');
  await answered(page);
  await page.waitForTimeout(600);
}
const forecasts = (page) => textIn(page, '.forecasts');
async function settled(page, deed) {
  const before = Number(await page.getAttribute('#proposal', 'data-answers'));
  await deed();
  await answered(page, before);
}
let brewed = 0;

await run({
  'the switch comes with the first gyle that tells something, and changes the forecast': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360, hasTouch: true });
    await example(page);
    expect((await page.locator('.known-kit').count()) === 0, 'there is nothing to learn from, and still a switch');
    const stated = await forecasts(page);
    await brewElsewhere(page, address, `elsewhere-${++brewed}`);
    await page.waitForSelector('.known-kit input');
    expect((await forecasts(page)) === stated, 'the forecast changed by itself');
    await settled(page, () => page.locator('.known-kit label').click());
    const learned = await forecasts(page);
    expect(learned !== stated, 'the forecast is as before');
    await fits(page);
    // It stays so on this device.
    await page.waitForTimeout(400);
    await page.reload();
    await page.waitForSelector('.known-kit input:checked');
    await answered(page);
    expect((await forecasts(page)) === learned, 'another forecast after a reload');
    // And in the gyle that is begun.
    await page.getByRole('button', { name: 'Brew this' }).click();
    await page.waitForSelector('.standing');
    expect(/Reckoned with the kit as it had turned out/.test(await page.innerText('.around')), 'the day does not say so');
    const gyle = decodeURIComponent(new URL(page.url()).hash.slice('#/day/'.length));
    const { entries } = await (await page.request.get(`${address}api/gyles/${encodeURIComponent(gyle)}`)).json();
    expect(entries[0].body.learned === true, 'the gyle does not keep it');
    await page.goBack();
    await page.waitForSelector('.known-kit input');
    await settled(page, () => page.locator('.known-kit label').click());
    await page.waitForTimeout(600);
    expect((await forecasts(page)) === stated, 'the kit as stated does not come back');
    return page;
  },
  'another kit has not been brewed with': async ({ browser, address }) => {
    const page = await open(browser, address);
    await example(page);
    await brewElsewhere(page, address, `elsewhere-${++brewed}`);
    await page.waitForSelector('.known-kit input');
    // Kits go by their names; the page reads that of a brief it has kept.
    await page.evaluate(() => { const kept = JSON.parse(localStorage.getItem('oddgrist.brief.1')); kept.brief.kit.name = 'the new one'; kept.learned = true; addEventListener('pagehide', () => localStorage.setItem('oddgrist.brief.1', JSON.stringify(kept))); });
    await page.reload();
    await answered(page, 1);
    expect((await page.locator('.known-kit').count()) === 0, 'a kit nobody brewed with has a switch');
    return page;
  },
  'with the keyboard alone': async ({ browser, address }) => {
    const page = await open(browser, address);
    await example(page);
    await brewElsewhere(page, address, `elsewhere-${++brewed}`);
    await page.waitForSelector('.known-kit input');
    const stated = await forecasts(page);
    await page.focus('#brief-name');
    for (let i = 0; i < 140 && !(await page.evaluate(() => document.activeElement.matches('.known-kit input'))); ++i) await page.keyboard.press('Tab');
    await settled(page, () => page.keyboard.press('Space'));
    expect((await forecasts(page)) !== stated, 'nothing changed');
    await tabTo(page, 'What they taught', 3);
    await page.keyboard.press('Enter');
    await page.waitForSelector('.kit-figure');
    return page;
  },
  ...inEveryDress('axe finds nothing', async ({ page, address }) => {
    await example(page);
    await brewElsewhere(page, address, `elsewhere-${++brewed}`);
    await page.waitForSelector('.known-kit input');
    await settled(page, () => page.locator('.known-kit label').click());
    await judge(page, 'learned');
    await fits(page);
    if (process.env.SHOTS) await page.locator('.known-kit').scrollIntoViewIfNeeded().then(() => page.screenshot({ path: `${process.env.SHOTS}/learned-${page.viewportSize().width}.png` }));
    return page;
  }),
});
