// Everything is served by the program itself: no inlined data, no script that a strict policy would refuse.
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

import { defineConfig } from 'vite';

// A compressed copy beside each file that gains by it: the program sends it as it is. gzip, because that is what browsers take
// without TLS, and Node has it.
const compress = {
  name: 'compress',
  writeBundle({ dir }) {
    for (const entry of readdirSync(dir, { recursive: true, withFileTypes: true })) {
      if (!/\.(js|css|html|svg|json|txt|webmanifest)$/.test(entry.name)) continue;
      const path = join(entry.parentPath ?? entry.path, entry.name);
      const plain = readFileSync(path);
      const small = gzipSync(plain, { level: 9 });
      if (small.length < plain.length * 0.9) writeFileSync(`${path}.gz`, small);
    }
  },
};

// The front end's own part of the catalogue; the program holds the rest of it.
const catalogue = new URL('../data/words/en.json', import.meta.url);
const words = {
  name: 'words',
  resolveId: (id) => (id === 'virtual:words' ? '\0words' : undefined),
  load(id) {
    if (id !== '\0words') return undefined;
    this.addWatchFile(catalogue.pathname);
    return `export default ${JSON.stringify(JSON.parse(readFileSync(catalogue, 'utf8')).pages)};`;
  },
};

export default defineConfig({
  base: '/',
  plugins: [words, compress],
  build: {
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    cssCodeSplit: false,
    reportCompressedSize: false,
  },
  server: {
    host: '127.0.0.1',
    proxy: { '/api': `http://127.0.0.1:${process.env.PENSTOCK_PORT ?? '4650'}` },
  },
});
