// Builds the page into build/web: four files with fixed names (the server tags them, so nothing needs a hash in its name), each with its
// gzip beside it, and a service worker that knows them by a hash over all.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { defineConfig } from 'vite';

const out = fileURLToPath(new URL('../build/web', import.meta.url));

// Licences ask that their text goes where the code goes: one file with the notice of each package that is in the bundle.
function notices() {
  return {
    name: 'oddgrist-notices',
    generateBundle() {
      const packages = new Set();
      for (const id of this.getModuleIds()) {
        const inside = /^(.*\/node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(id.replace(/^\0/, '').replaceAll('\\', '/'));
        if (inside) packages.add(inside[1]);
      }
      const texts = [...packages].sort().map((folder) => {
        const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
        const file = readdirSync(folder).find((entry) => /^(licen[cs]e|copying)(\.|$)/i.test(entry));
        if (!file) throw new Error(`${name} is in the page and brings no licence text`);
        return `${name} ${version} (${license})\n\n${readFileSync(join(folder, file), 'utf8').trim()}\n`;
      });
      const head = 'The page of Oddgrist (Apache License 2.0) holds code of these works.\n';
      this.emitFile({ type: 'asset', fileName: 'notices.txt', source: [head, ...texts].join('\n' + '-'.repeat(72) + '\n\n') });
    },
  };
}

function finish() {
  return {
    name: 'oddgrist-finish',
    closeBundle() {
      const names = readdirSync(out).filter((name) => name !== 'sw.js' && !name.endsWith('.gz')).sort();
      const hash = createHash('sha256');
      for (const name of names) hash.update(name).update(readFileSync(join(out, name)));
      const files = names.map((name) => (name === 'index.html' ? '/' : `/${name}`));
      const worker = readFileSync(new URL('service_worker.js', import.meta.url), 'utf8')
        .replace('__VERSION__', hash.digest('hex').slice(0, 16))
        .replace('[/* FILES */]', JSON.stringify(files));
      writeFileSync(join(out, 'sw.js'), worker);
      for (const name of [...names, 'sw.js']) writeFileSync(join(out, `${name}.gz`), gzipSync(readFileSync(join(out, name)), { level: 9 }));
    },
  };
}

export default defineConfig({
  root: fileURLToPath(new URL('.', import.meta.url)),
  esbuild: { jsx: 'automatic', jsxImportSource: 'preact' },
  build: {
    outDir: out,
    emptyOutDir: true,
    target: ['es2021', 'chrome100', 'firefox100', 'safari15'],
    modulePreload: false,
    cssCodeSplit: false,
    assetsInlineLimit: 0,
    reportCompressedSize: false,
    rollupOptions: { output: { entryFileNames: 'page.js', inlineDynamicImports: true, assetFileNames: 'page[extname]' } },
  },
  plugins: [notices(), finish()],
});
