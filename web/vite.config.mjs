// Builds the page into build/web: four files with fixed names (the server tags them, so nothing needs a hash in its name), each with its
// gzip beside it, and a service worker that knows them by a hash over all.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { defineConfig } from 'vite';

const out = fileURLToPath(new URL('../build/web', import.meta.url));

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
  plugins: [finish()],
});
