// node highs.mjs FOLDER GAP: solves every core (NAME.lp) of a folder with HiGHS, each for the seconds in NAME.seconds. One line each:
//   name optimal|stopped milliseconds objective column0 column1 ...
// What is timed (processor time) is the solve alone: not node's start, not the reading of the file.
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import load from 'highs';

const [folder, gap] = process.argv.slice(2);
if (!gap) {
  console.error('usage: node highs.mjs FOLDER GAP');
  process.exit(2);
}
const highs = await load();
for (const file of readdirSync(folder).filter((name) => name.endsWith('.lp')).sort()) {
  const seconds = Number(readFileSync(join(folder, file.replace(/\.lp$/, '.seconds')), 'utf8'));
  const model = highs.createModel({ format: 'lp', data: readFileSync(join(folder, file), 'utf8') });
  try {
    model.options.set({ output_flag: false, mip_rel_gap: Number(gap), time_limit: 5 * seconds });
    const began = process.cpuUsage();
    const spent = () => { const { user, system } = process.cpuUsage(began); return (user + system) / 1000; };
    // time_limit goes by the clock on the wall, which a busy machine spoils.
    model.run({ [highs.constants.callbackType.mipInterrupt](event) { if (spent() > 1000 * seconds) event.interrupt(); } });
    const milliseconds = spent();
    const optimal = model.getModelStatus() === 7;  // kOptimal of the HiGHS C interface
    const columns = model.getSolution().colValue;
    const inOrder = [];
    for (let c = 0; c < columns.length; c++) inOrder.push(columns[model.getColByName(`c${c}`)]);
    const found = Number.isFinite(model.getObjectiveValue()) && inOrder.every(Number.isFinite);
    console.log([file.replace(/\.lp$/, ''), optimal ? 'optimal' : 'stopped', milliseconds,
      ...(found ? [model.getObjectiveValue(), ...inOrder] : [])].join(' '));
  } finally {
    model.dispose();
  }
}
