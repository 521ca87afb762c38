// axe-core finds nothing, in both themes and both languages, empty and full, on a phone and on a desk; and motion stops where it is unwanted.
import { judge } from './axe.mjs';
import { answered, expect, fits, open, run, textIn } from './drive.mjs';

const tests = {};
for (const theme of ['light', 'dark']) {
  for (const width of [360, 1280]) {
    tests[`axe finds nothing, ${theme}, ${width} px`] = async ({ browser, address }) => {
      const page = await open(browser, address, { width, theme, reducedMotion: 'reduce' });
      await judge(page, 'empty');
      await page.click('section[aria-labelledby="given-heading"] >> text=Type a packet');
      await page.click('text=Read the label and add it');
      await page.waitForSelector('.problem');
      await judge(page, 'packet form with problems');
      await page.click('text=Leave it');
      await page.click('text=Fill in the example parcel');
      await answered(page);
      await page.evaluate(() => document.querySelectorAll('details').forEach((each) => (each.open = true)));
      await page.click('text=Write the run sheet');
      await page.waitForSelector('.sheet li');
      await judge(page, 'answered, everything open');
      await page.fill('#have-search', 'malt');
      await page.waitForSelector('#have-search-list li');
      await judge(page, 'searching');
      await page.fill('#have-search', '');
      await page.fill('#field-given-1-amount', 'x');
      await page.waitForSelector('#proposal .note.danger');
      await judge(page, 'with a mistake');
      await page.fill('#field-given-1-amount', '500');
      await page.click('nav a[href="#/ferment"]');
      await page.fill('#reading-1-time', '2026-11-02T17:30');
      await page.click('text=Add a reading');
      await page.fill('#reading-2-time', '2026-11-06T18:00');
      await page.fill('#reading-2-value', '1.020');
      await judge(page, 'readings typed');
      await page.click('text=Judge it now');
      await page.waitForSelector('.course');
      await page.evaluate(() => document.querySelectorAll('details').forEach((each) => (each.open = true)));
      await judge(page, 'readings judged');
      return page;
    };
  }
}

tests['axe finds nothing in German'] = async ({ browser, address }) => {
  const page = await open(browser, address, { width: 360, language: 'de-DE' });
  await page.click('text=Beispielpaket eintragen');
  await answered(page);
  expect((await page.innerText('#proposal h2')) === 'Jeder Wunsch erfüllt', 'it does not speak German');
  await judge(page, 'German');
  return page;
};
tests['every room fits a phone in German, and axe finds nothing'] = async ({ browser, address }) => {
  const page = await open(browser, address, { width: 360, language: 'de-DE', theme: 'dark' });
  await page.click('text=Beispielpaket eintragen');
  await answered(page);
  await page.click('nav a[href="#/ferment"]');
  await page.click('nav a[href="#/ferment/gas"]');
  await page.click('text=Zeit berechnen');
  await page.waitForSelector('#proposal .timer');
  await fits(page);
  await judge(page, 'gas, German');
  await page.click('nav a[href="#/ferment/trial"]');
  await page.click('text=Gläser planen');
  await page.waitForSelector('.glasses');
  await page.click('.chips button');
  await page.click('text=Alle haben verkostet');
  await page.waitForSelector('.liked');
  await page.click('text=Nur für den, der einschenkt');
  await fits(page);
  await judge(page, 'trial, German');
  await page.click('nav a[href="#/larder"]');
  await page.fill('#larder-search', 'hazelnut paste');
  await page.waitForSelector('#larder-search-list li');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#take-kg');
  await page.fill('#take-kg', '0,5');
  await page.locator('.packet').getByRole('button', { name: 'Einräumen' }).click();
  await page.waitForSelector('.stock-line');
  await fits(page);
  await judge(page, 'larder, German');
  await page.click('nav a[href="#/kit"]');
  await page.waitForSelector('h2');
  await judge(page, 'kits, German');
  await page.click('nav a[href="#/round"]');
  await page.click('text=Beispielrunde eintragen');
  await page.click('text=Jedes Paket prüfen');
  await page.waitForSelector('.parcels');
  await page.evaluate(() => document.querySelectorAll('details').forEach((each) => (each.open = true)));
  await fits(page);
  await judge(page, 'round, German');
  return page;
};
tests['nothing moves where motion is unwanted'] = async ({ browser, address }) => {
  const page = await open(browser, address, { reducedMotion: 'reduce' });
  await page.click('text=Fill in the example parcel');
  await answered(page);
  const moving = await page.evaluate(() => [...document.querySelectorAll('*')].filter((each) => parseFloat(getComputedStyle(each).transitionDuration) > 0 || getComputedStyle(each).animationName !== 'none').length);
  expect(moving === 0, `${moving} elements move`);
  return page;
};
tests['the theme can be chosen against the device'] = async ({ browser, address }) => {
  const page = await open(browser, address, { theme: 'light' });
  const ground = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
  const light = await ground();
  const button = page.getByRole('button', { name: /^Colours/ });
  await button.click();
  await button.click();
  expect((await ground()) !== light, 'dark is not dark');
  return page;
};
tests['units change at a tap'] = async ({ browser, address }) => {
  const page = await open(browser, address, { width: 360 });
  await page.click('text=Fill in the example parcel');
  await answered(page);
  await page.getByRole('button', { name: /^Units/ }).click();
  const text = await textIn(page, '#proposal');
  for (const unit of [' lb', ' oz', 'US gal', 'SRM', '°F']) expect(text.includes(unit), `no ${unit}`);
  for (const unit of [' kg', ' EBC', '°C']) expect(!(await textIn(page, '#proposal .amounts')).includes(unit), `still ${unit}`);
  return page;
};

await run(tests);
