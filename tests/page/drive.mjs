// Starts the program on a free port and a browser on its page, runs named tests one after the other, and says how each went.
import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

const binary = process.env.ODDGRIST_BINARY;
if (!binary) throw new Error('ODDGRIST_BINARY does not name the program');

export const oddgrist = (...words) => execFileSync(binary, words, { encoding: 'utf8' });

export async function serve(...options) {
  const state = mkdtempSync(join(tmpdir(), 'oddgrist-page-'));
  const program = spawn(binary, ['serve', '--port', '0', '--json', '--state', state, ...(options.includes('--store') ? [] : ['--store', join(state, 'store.db')]), ...options], { stdio: ['ignore', 'pipe', 'inherit'] });
  const greeting = await new Promise((resolve, reject) => {
    let text = '';
    program.stdout.on('data', (bytes) => { text += bytes; if (text.includes('\n')) resolve(JSON.parse(text)); });
    program.on('exit', (code) => reject(new Error(`oddgrist serve ended with ${code}: ${text}`)));
  });
  const ended = new Promise((resolve) => program.on('exit', resolve));
  const end = async (signal = 'SIGINT') => {
    program.kill(signal);
    const code = await ended;
    rmSync(state, { recursive: true, force: true });
    return code;
  };
  return { address: greeting.addresses[0], greeting, end };
}

export const launch = () => chromium.launch({ executablePath: '/usr/bin/chromium', args: process.getuid?.() === 0 ? ['--no-sandbox'] : [] });

// A page of its own, nothing kept from before. Whatever the browser complains about fails the test.
export async function open(browser, address, { width = 1280, height = 800, theme = 'light', language = 'en-GB', ...more } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: theme, locale: language, ...more });
  const page = await context.newPage();
  page.complaints = [];
  page.on('pageerror', (error) => page.complaints.push(String(error)));
  page.on('console', (message) => { if (message.type() === 'error' && !/status of 4\d\d/.test(message.text())) page.complaints.push(message.text()); });
  await page.goto(address);
  await page.waitForSelector('main');
  return page;
}

// Asks again and again until it is so. The browser library's own way evaluates text in the page, which the page's policy forbids.
export async function until(page, truth, argument, milliseconds = 30000) {
  const end = Date.now() + milliseconds;
  while (!(await page.evaluate(truth, argument))) {
    if (Date.now() > end) throw new Error(`never came true: ${truth}`);
    await new Promise((done) => setTimeout(done, 20));
  }
}
export const answered = (page, before = 0) => until(page, (count) => Number(document.getElementById('proposal')?.dataset.answers ?? 0) > count, before);

export function expect(truth, what) {
  if (!truth) throw new Error(what);
}

/** What is written somewhere, out of sight or not: the browser's own text leaves out what it has not laid out. */
export const textIn = (page, place) => page.evaluate((selector) => {
  const words = document.createTreeWalker(document.querySelector(selector), NodeFilter.SHOW_TEXT);
  const found = [];
  while (words.nextNode()) found.push(words.currentNode.data);
  return found.join(' ').replace(/\s+/g, ' ');
}, place);

// Nothing is wider than the screen, nothing too small for a thumb, and no value is missing.
export async function fits(page) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
  expect(wide <= 0, `the page is ${wide} px wider than the screen`);
  const small = await page.evaluate(() => [...document.querySelectorAll('button, select, input:not([type=range], [type=checkbox])')].filter((each) => each.getBoundingClientRect().height < 44 && each.getBoundingClientRect().height > 0).map((each) => each.outerHTML.slice(0, 80)));
  expect(small.length === 0, `too small for a thumb: ${small}`);
  expect(!/NaN|undefined|\bnull\b/.test(await textIn(page, 'main')), 'the page shows a hole');
}

/** Each of the two themes on a phone and on a desk, as one test each. */
export function inEveryDress(name, test) {
  const tests = {};
  for (const theme of ['light', 'dark']) {
    for (const width of [360, 1280]) tests[`${name}, ${theme}, ${width} px`] = async (given) => test({ ...given, page: await open(given.browser, given.address, { width, theme, reducedMotion: 'reduce', hasTouch: width < 500 }) });
  }
  return tests;
}

/** Goes on with Tab until what is named has the focus. */
export async function tabTo(page, name, most = 80) {
  for (let i = 0; i < most; ++i) {
    await page.keyboard.press('Tab');
    const here = await page.evaluate(() => { const at = document.activeElement; return at === null ? '' : `${at.id}|${at.getAttribute('aria-label') ?? ''}|${at.innerText ?? ''}`; });
    if (here.includes(name)) return;
  }
  throw new Error(`Tab never comes to ${name}`);
}

export async function run(tests) {
  const server = await serve();
  const browser = await launch();
  let failed = 0;
  for (const [name, test] of Object.entries(tests)) {
    try {
      const page = await test({ browser, address: server.address, server });
      if (page) {
        expect(page.complaints.length === 0, `the browser complains: ${page.complaints.join('; ')}`);
        await page.context().close();
      }
      console.log(`ok      ${name}`);
    } catch (error) {
      failed += 1;
      console.log(`FAILED  ${name}: ${error.stack ?? error}`);
    }
  }
  await browser.close();
  const code = await server.end();
  if (code !== 0) { failed += 1; console.log(`FAILED  oddgrist serve ended with ${code}`); }
  if (Object.keys(tests).length === 0) failed += 1;
  process.exit(failed === 0 ? 0 : 1);
}
