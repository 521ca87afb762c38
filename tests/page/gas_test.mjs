// Gas forced into a keg: the time to turn it down is the program's, is there after a reload and without a network, and its dangers are said.
import { judge } from './axe.mjs';
import { expect, fits, inEveryDress, open, run, tabTo, until } from './drive.mjs';

const room = async (page) => {
  await page.click('nav a[href="#/ferment"]');
  await page.click('nav a[href="#/ferment/gas"]');
  await page.waitForSelector('#gas-wanted');
};
async function reckoned(page) {
  const reply = page.waitForResponse((response) => response.url().endsWith('/api/gas'));
  await page.click('text=Reckon the time');
  return (await reply).json();
}
const shown = (time) => new Date(time).toLocaleString('en', { dateStyle: 'medium', timeStyle: 'short' });

await run({
  'the time left is the program’s, and stays after a reload': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360 });
    await room(page);
    expect((await page.innerText('#brief')).includes('Carbon dioxide chokes'), 'the danger is not said before anything is asked');
    await page.click('text=It is on now');
    const gas = await reckoned(page);
    expect(gas.state === 'under-way', `it is ${gas.state}`);
    await page.waitForSelector('#proposal .timer');
    const text = await page.innerText('#proposal');
    for (const time of [gas.turn_down.soonest, gas.turn_down.usual, gas.turn_down.latest]) expect(text.includes(shown(time)), `no word of ${time}`);
    for (const danger of gas.dangers) expect(text.includes(danger), `no word of: ${danger}`);
    await fits(page);
    await page.reload();
    await page.waitForSelector('#proposal .timer');
    expect((await page.innerText('#proposal')).includes(shown(gas.turn_down.soonest)), 'another time after the reload');
    await page.fill('#gas-wanted', '3');
    await page.waitForSelector('#proposal.stale');
    return page;
  },
  'a reading of the gauge moves the time': async ({ browser, address }) => {
    const page = await open(browser, address);
    await room(page);
    const ago = (hours) => { const at = new Date(Date.now() - hours * 3600e3); return new Date(at.getTime() - at.getTimezoneOffset() * 60e3).toISOString().slice(0, 16); };
    await page.fill('#gas-began', ago(18));
    const before = await reckoned(page);
    await page.click('text=Add a reading');
    await page.fill('#gas-read-1-gauge', '0.8');
    const after = await reckoned(page);
    expect(after.readings.length === 1 && after.turn_down.usual < before.turn_down.usual, 'fuller than foreseen, it is not ready sooner');
    return page;
  },
  'too much pressure for the keg is refused': async ({ browser, address }) => {
    const page = await open(browser, address);
    await room(page);
    await page.fill('#gas-high', '6');
    const gas = await reckoned(page);
    expect(gas.state === 'refused', 'it is not refused');
    await page.waitForSelector('#proposal .note.refuse');
    expect((await page.innerText('#proposal h2')) === 'Do not do it so', 'not said large');
    expect((await page.locator('#proposal .timer').count()) === 0, 'a timer runs for what must not be done');
    await page.fill('#gas-wanted', '99');
    await page.click('text=Reckon the time');
    await page.waitForSelector('#gas-wanted-problem');
    return page;
  },
  'units change at a tap and the question stays': async ({ browser, address }) => {
    const page = await open(browser, address);
    await room(page);
    const first = await reckoned(page);
    await page.getByRole('button', { name: /^Units/ }).click();
    await until(page, () => document.getElementById('gas-high').value === '40' && document.getElementById('gas-temperature').value === '39.2');
    expect((await page.innerText('#proposal table')).includes(' psi'), 'the answer is not in US units');
    const second = await reckoned(page);
    expect(Math.abs(second.turn_down.hours - first.turn_down.hours) < 0.01, 'it asks something else');
    return page;
  },
  'without a network what was reckoned last stays': async ({ browser, address }) => {
    const page = await open(browser, address);
    await room(page);
    await page.click('text=It is on now');
    await reckoned(page);
    await page.waitForSelector('#proposal .timer');
    await page.context().setOffline(true);
    await page.click('text=Reckon the time');
    await page.waitForSelector('#proposal .problem');
    expect(await page.isVisible('#proposal .timer'), 'the timer is gone');
    page.complaints.length = 0; // the browser says that it is offline
    return page;
  },
  'by keys alone': async ({ browser, address }) => {
    const page = await open(browser, address);
    await tabTo(page, 'Ferment');
    await page.keyboard.press('Enter');
    await page.waitForSelector('nav.parts');
    await tabTo(page, 'Gas timer');
    await page.keyboard.press('Enter');
    await tabTo(page, 'It is on now');
    await page.keyboard.press('Enter');
    await tabTo(page, 'Reckon the time');
    await page.keyboard.press('Enter');
    await page.waitForSelector('#proposal .timer');
    return page;
  },
  ...inEveryDress('axe finds nothing', async ({ page }) => {
    await room(page);
    await page.click('text=Add a reading');
    await judge(page, 'gas, empty');
    await page.fill('#gas-read-1-gauge', '0.8');
    await page.click('text=It is on now');
    await page.click('text=Reckon the time');
    await page.waitForSelector('.course');
    await judge(page, 'gas, reckoned');
    await fits(page);
    await page.fill('#gas-high', '6');
    await page.click('text=Reckon the time');
    await until(page, () => document.querySelector('#proposal .note.refuse') !== null);
    await judge(page, 'gas, refused');
    return page;
  }),
});
