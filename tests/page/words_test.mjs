// The languages have the same words, each is used, and the page's own copies agree with the program.
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { answered, expect, oddgrist, open, run } from './drive.mjs';

const source = fileURLToPath(new URL('../../web/src/', import.meta.url));
const read = (name) => readFileSync(source + name, 'utf8');
const words = (name) => new Map([...read(`words/${name}.ts`).matchAll(/^ {2}'([^']+)': '((?:[^'\\]|\\.)*)',$/gm)].map((match) => [match[1], match[2]]));
const holes = (text) => [...text.matchAll(/\{(\w+)\}/g)].map((match) => match[1]).sort().join();

await run({
  'every language has the same words with the same holes': async () => {
    const english = words('en');
    expect(english.size > 100, 'the English words were not found');
    for (const file of readdirSync(`${source}words`)) {
      const name = file.replace('.ts', '');
      if (name === 'index' || name === 'en') continue;
      const other = words(name);
      const missing = [...english.keys()].filter((key) => !other.has(key));
      const extra = [...other.keys()].filter((key) => !english.has(key));
      expect(missing.length + extra.length === 0, `${name}: missing ${missing}, extra ${extra}`);
      for (const [key, text] of english) expect(holes(text) === holes(other.get(key)), `${name}: ${key} has other holes`);
    }
  },
  'every word is used': async () => {
    const all = readdirSync(source, { recursive: true, withFileTypes: true }).filter((each) => each.isFile() && /\.tsx?$/.test(each.name));
    const text = all.filter((each) => !(each.path ?? each.parentPath).endsWith('words')).map((each) => readFileSync(`${each.path ?? each.parentPath}/${each.name}`, 'utf8')).join('\n');
    const patterns = [...text.matchAll(/`([a-z.]+\.)\$\{/g)].map((match) => match[1]);
    const endings = [...text.matchAll(/`\$\{\w+\}(\.[a-z.]+)`/g)].map((match) => match[1]);
    const unused = [...words('en').keys()].filter((key) => !text.includes(`'${key}'`) && !patterns.some((begin) => key.startsWith(begin)) && !endings.some((end) => key.endsWith(end)) && !['want.lowest', 'want.highest', 'language'].includes(key));
    expect(unused.length === 0, `never used: ${unused}`);
  },
  'the factors of the page are those of the program': async () => {
    const units = read('units.ts');
    const factor = (name) => Function(`return ${new RegExp(`${name} = ([^;]+);`).exec(units)[1]}`)();
    for (const [name, amount, unit] of [['litresInUsGallon', '1 US gal', 'L'], ['gramsInOunce', '1 oz', 'g'], ['ebcInSrm', '1 SRM', 'EBC'], ['barInPsi', '1 psi', 'bar']]) {
      const reply = JSON.parse(oddgrist('convert', amount, '--to', unit, '--json'));
      const value = JSON.stringify(reply).match(/"value":\s*([\d.]+)/g).map((each) => Number(each.split(':')[1]));
      expect(value.some((each) => Math.abs(each / factor(name) - 1) < 1e-4), `${name}: ${factor(name)} against ${JSON.stringify(reply)}`);
    }
  },
  'the example of the page is the example of the command line': async ({ browser, address }) => {
    const page = await open(browser, address);
    const reply = page.waitForResponse((response) => response.url().endsWith('/api/compose/warm') && response.status() === 200);
    await page.click('text=Fill in the example parcel');
    const { answer } = await (await reply).json();
    await answered(page);
    const file = JSON.parse(oddgrist('compose', fileURLToPath(new URL('../../examples/saltmarsh-round.toml', import.meta.url)), '--json'));
    const plain = ({ proposals, clashes, cautions, outcome }) => JSON.stringify({ outcome, clashes, cautions, proposals: proposals.map(({ trace, ...rest }) => rest) });
    expect(plain(answer) === plain(file), 'the answers differ');
    return page;
  },
});
