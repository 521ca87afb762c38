// The brew day: from an empty store to a printed run sheet by hand; a network that goes away in the middle of the boil; two devices on one
// gyle; a page closed while a timer runs.
import { judge } from './axe.mjs';
import { answered, expect, fits, open, run, until } from './drive.mjs';

async function begin(page) {
  await page.click('text=Fill in the example parcel');
  await answered(page);
  await page.waitForSelector('#proposal .amounts .amount');
  await page.getByRole('button', { name: 'Brew this' }).click();
  await page.waitForSelector('.present .do');
  return decodeURIComponent(new URL(page.url()).hash.slice('#/day/'.length));
}
const doing = (page) => page.innerText('.present .do');
async function done(page) {
  const before = await doing(page);
  await page.getByRole('button', { name: 'Done', exact: true }).click();
  await until(page, (text) => document.querySelector('.present .do')?.innerText !== text, before);
}
async function doUntil(page, words) {
  for (let i = 0; i < 40; ++i) {
    if ((await doing(page)).includes(words)) return;
    await done(page);
  }
  throw new Error(`the sheet never says "${words}"`);
}
async function read(page, digits) {
  await page.getByRole('button', { name: 'Reading', exact: true }).click();
  for (const digit of digits) await page.getByRole('button', { name: digit, exact: true }).click();
  await page.getByRole('button', { name: 'Write it down' }).click();
  await page.waitForSelector('.present .do');
}
const sent = (page) => until(page, () => document.querySelector('.sending')?.innerText === 'All sent');
const log = (page, address, gyle) => page.request.get(`${address}api/gyles/${encodeURIComponent(gyle)}`).then((reply) => reply.json());
// Asks the program until its log is so.
async function logged(page, address, gyle, truth) {
  for (let tries = 0; tries < 200; ++tries) {
    const found = await log(page, address, gyle);
    if (truth(found)) return found;
    await page.waitForTimeout(50);
  }
  throw new Error(`the log never says: ${truth}`);
}
const byHand = (width) => async ({ browser, address }) => {
  const page = await open(browser, address, { width, height: 760, hasTouch: width < 500 });
  const gyle = await begin(page);
  await fits(page);
  expect((await page.innerText('.present')).includes('scalds'), 'the danger is not at its step');
  expect((await page.locator('.next li').count()) === 3, 'not three steps next');
  await doUntil(page, 'Read the kettle before boiling');
  await page.getByRole('button', { name: 'Reading', exact: true }).click();
  await fits(page);
  await page.getByRole('button', { name: 'Leave it', exact: true }).click();
  await read(page, '1040');
  await page.waitForSelector('.moves li');
  const moves = await page.innerText('.moves');
  expect(moves.includes('Do nothing') && moves.includes('min of work'), `no moves to choose from: ${moves}`);
  await fits(page);
  await page.getByRole('button', { name: 'Do this' }).first().click();
  await until(page, () => document.querySelector('.moves li') === null);
  const { entries, now } = await logged(page, address, gyle, (found) => found.entries.some(({ kind }) => kind === 'changed' || kind === 'added'));
  const reading = entries.find(({ kind }) => kind === 'reading');
  expect(Math.abs(reading.body.value - 1.04) < 1e-9 && reading.body.stage === 'before-boil', `read as ${JSON.stringify(reading)}`);
  expect(now.stage === 'before-boil', `it stands ${now.stage}`);
  const last = entries.at(-1).key;
  await page.getByRole('button', { name: /^Undo/ }).click();
  await logged(page, address, gyle, (found) => found.entries.some(({ kind, mends }) => kind === 'struck' && mends === last));
  await sent(page);
  // The browser's own printing window cannot be answered from here: that it is asked for is enough, the sheet is printed below.
  await page.evaluate(() => { window.print = () => { window.asked = true; }; });
  await page.getByRole('button', { name: 'Print the run sheet' }).click();
  expect(await page.evaluate(() => window.asked === true), 'printing was not asked for');
  await page.emulateMedia({ media: 'print' });
  const printed = await page.innerText('.printed');
  for (const words of ['Saltmarsh harvest ale', 'Rolling boil', 'Flame out', 'Pitch: neutral ale yeast', 'scalds', 'gravity']) expect(printed.includes(words), `the printed sheet does not say ${words}`);
  expect(!(await page.isVisible('.present')) && !(await page.isVisible('.top')), 'more than the sheet is printed');
  const pdf = await page.pdf({ format: 'A4' });
  expect(pdf.subarray(0, 5).toString() === '%PDF-' && pdf.length > 10000, 'it cannot be printed');
  await page.emulateMedia({ media: 'screen' });
  await page.click('text=The log in words');
  await page.waitForSelector('.log li');
  const words = await page.innerText('.log');
  expect(words.includes('Gravity 1.040 SG, before the boil') && words.includes('Undone'), words);
  await fits(page);
  await page.click('text=All gyles');
  await page.fill('#gyles-search', 'saltmarsh harvest');
  await until(page, () => document.querySelectorAll('.gyles li').length > 0);
  await page.fill('#gyles-search', 'no such beer');
  await until(page, () => document.querySelectorAll('.gyles li').length === 0);
  return page;
};

const axed = (theme, width, language, [brew, fill, reading, save]) => async ({ browser, address }) => {
  const page = await open(browser, `${address}#/day`, { width, theme, language, reducedMotion: 'reduce' });
  await page.waitForSelector('main');
  await judge(page, 'no gyle');
  await page.goto(`${address}#/gyles`);
  await page.waitForSelector('#gyles-search');
  await judge(page, 'the list');
  await page.goto(`${address}#/compose`);
  await page.click(`text=${fill}`);
  await answered(page);
  await page.getByRole('button', { name: brew }).click();
  await page.waitForSelector('.present .do');
  await judge(page, 'a step with a danger');
  for (let i = 0; i < 20 && (await page.locator('.timer').count()) === 0; ++i) {
    const before = await doing(page);
    await page.click('.big-actions .main-action');
    await until(page, (text) => document.querySelector('.present .do')?.innerText !== text, before);
  }
  await judge(page, 'a timer');
  await page.getByRole('button', { name: reading, exact: true }).click();
  await judge(page, 'the keypad');
  await page.click('.pad .chip >> nth=4');
  await page.getByRole('button', { name: '9', exact: true }).click();
  await page.getByRole('button', { name: save }).click();
  await page.waitForSelector('.moves li');
  await until(page, () => document.querySelector('.standing + .note') !== null);
  await judge(page, 'moves and a questioned reading');
  await page.click('.around a.button');
  await page.waitForSelector('.log li');
  await judge(page, 'the log');
  return page;
};
const english = ['Brew this', 'Fill in the example parcel', 'Reading', 'Write it down'];
const german = ['Das brauen', 'Beispielpaket eintragen', 'Messung', 'Aufschreiben'];

await run({
  'axe finds nothing, light, 360 px': axed('light', 360, 'en-GB', english),
  'axe finds nothing, dark, 1280 px': axed('dark', 1280, 'en-GB', english),
  'axe finds nothing, dark, 360 px, German': axed('dark', 360, 'de-DE', german),

  'from an empty store to a printed run sheet, 360 px': byHand(360),
  'from an empty store to a printed run sheet, 1280 px': byHand(1280),

  'the network goes in the middle of the boil and comes back': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360, height: 760 });
    const gyle = await begin(page);
    await doUntil(page, 'Rolling boil');
    await done(page);
    await sent(page);
    await until(page, () => navigator.serviceWorker.ready.then(() => navigator.serviceWorker.controller !== null));
    const before = (await log(page, address, gyle)).entries.length;
    await page.context().setOffline(true);
    const first = await doing(page);
    await done(page);
    await read(page, '1050');
    await done(page);
    await until(page, () => /^\d+ waiting to be sent$/.test(document.querySelector('.sending .waiting')?.innerText ?? ''));
    const step = await doing(page);
    await page.reload();
    await page.waitForSelector('.present .do');
    expect((await doing(page)) === step, `after a reload without a network: "${await doing(page)}" instead of "${step}"`);
    const waiting = Number.parseInt(await page.innerText('.sending .waiting'), 10);
    expect(waiting >= 3, `${waiting} waiting`);
    await page.context().setOffline(false);
    await sent(page);
    const { entries } = await log(page, address, gyle);
    const came = entries.slice(before);
    expect(came.length === waiting, `${came.length} came of ${waiting}`);
    expect(new Set(entries.map(({ key }) => key)).size === entries.length, 'a key came twice');
    expect(came[0].kind === 'note' && first.startsWith(came[0].body.text.replace(/^Done: \w+: /, '')), `not in order: ${first}, ${JSON.stringify(came)}`);
    expect(came.map(({ kind }) => kind).join().startsWith('note,reading,note'), `not in order: ${JSON.stringify(came)}`);
    const times = came.map(({ at }) => at);
    expect(JSON.stringify(times) === JSON.stringify([...times].sort()), `not in order: ${times}`);
    const complaints = page.complaints.filter((each) => !/ERR_INTERNET_DISCONNECTED|ERR_FAILED|ERR_NETWORK/.test(each));
    expect(complaints.length === 0, complaints.join('; '));
    await page.context().close();
  },

  'an answer that gets lost on its way writes nothing twice': async ({ browser, address }) => {
    // Requests are looked at on their way, which a service worker would hide.
    const page = await open(browser, address, { serviceWorkers: 'block' });
    const gyle = await begin(page);
    let lost = 0;
    await page.route('**/entries', async (route) => {
      if (lost >= 2) return route.continue();
      lost += 1;
      await route.fetch();
      return route.abort();
    });
    const before = (await log(page, address, gyle)).entries.length;
    await done(page);
    await until(page, () => document.querySelector('.sending .waiting') !== null);
    await done(page);
    await sent(page);
    const { entries } = await log(page, address, gyle);
    expect(lost === 2 && entries.length === before + 2, `${lost} answers lost, ${entries.length - before} entries of 2`);
    expect(entries.at(-2).at <= entries.at(-1).at, 'not in order');
    await page.context().close();
  },

  'a reading in US units, and one the program refuses': async ({ browser, address }) => {
    const page = await open(browser, address, { width: 360, height: 760 });
    const gyle = await begin(page);
    await page.getByRole('button', { name: /^Units/ }).click();
    await until(page, () => document.querySelector('.standing').innerText.includes('US gal'));
    const readTemperature = async (digits) => {
      await page.getByRole('button', { name: 'Reading', exact: true }).click();
      await page.getByRole('button', { name: 'Temperature', exact: true }).click();
      for (const digit of digits) await page.getByRole('button', { name: digit, exact: true }).click();
      await page.getByRole('button', { name: 'Write it down' }).click();
    };
    await readTemperature('153');
    const { entries } = await logged(page, address, gyle, (found) => found.entries.length === 2);
    expect(Math.abs(entries[1].body.value - (153 - 32) / 1.8) < 1e-9, `153 °F became ${entries[1].body.value} °C`);
    await readTemperature('999');
    await page.waitForSelector('.sending .problem');
    const text = await page.innerText('.sending');
    expect(text.includes('999') || /-40 to 150/.test(text), `it does not say what is wrong: ${text}`);
    await done(page);
    await page.getByRole('button', { name: 'Drop this entry' }).click();
    const after = await logged(page, address, gyle, (found) => found.entries.length === 3);
    expect(after.entries[2].kind === 'note', 'what was written after the refused entry is lost');
    await sent(page);
    return page;
  },

  'two devices on one gyle see what the other writes': async ({ browser, address }) => {
    const one = await open(browser, address);
    const gyle = await begin(one);
    const other = await open(browser, `${address}#/day/${encodeURIComponent(gyle)}`, { width: 360 });
    await other.waitForSelector('.present .do');
    expect((await doing(other)) === (await doing(one)), 'they begin differently');
    await done(one);
    await until(other, (text) => document.querySelector('.present .do').innerText === text, await doing(one));
    await done(other);
    await until(one, (text) => document.querySelector('.present .do').innerText === text, await doing(other));
    expect(other.complaints.length === 0, other.complaints.join('; '));
    await other.context().close();
    return one;
  },

  'a timer goes on while the page is closed, and sounds at its end': async ({ browser, address }) => {
    const page = await open(browser, address);
    await begin(page);
    await doUntil(page, 'Heat off, lid on');
    const left = async () => { const [minutes, seconds] = (await page.innerText('.timer .digits')).split(':').slice(-2).map(Number); return 60 * minutes + seconds + 3600 * ((await page.innerText('.timer .digits')).split(':').length - 2); };
    const end = () => page.innerText('.timer span:last-child');
    const until_ = await end();
    const before = await left();
    await page.waitForTimeout(2200);
    await page.reload();
    await page.waitForSelector('.timer .digits');
    const after = await left();
    expect((await end()) === until_ && before - after >= 2 && before - after <= 15, `${before} s were left, now ${after} s`);
    // As after a long sleep: the clock on the wall is past the end, and the page looks again.
    await page.evaluate(() => {
      window.rung = 0;
      navigator.vibrate = () => { window.rung += 1; return true; };
      const now = Date.now;
      Date.now = () => now() + 3 * 3600_000;
      document.dispatchEvent(new Event('visibilitychange'));
    });
    await until(page, () => document.querySelector('.timer.over') !== null && window.rung === 1);
    return page;
  },
});
