// Runs the browser tests three files a processor at a time and reports as TAP: node run.mjs [FILE...]. Node 18 has no option for it on its command
// line. Each file has a bench, a clinic and a browser of its own; a browser waits more than it works.
import { readdirSync } from 'node:fs';
import { cpus } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { run } from 'node:test';
import { tap } from 'node:test/reporters';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const named = process.argv.slice(2).map((file) => resolve(file));
const files =
  named.length > 0
    ? named
    : readdirSync(here)
        .filter((name) => name.endsWith('.test.mjs'))
        .map((name) => join(here, name));
// The longest first, so that none of them is left alone at the end.
const longest = ['supplies', 'places', 'pages', 'stock'];
const rank = (file) => (longest.findIndex((name) => file.endsWith(`/${name}.test.mjs`)) + longest.length + 1) % (longest.length + 1);

const tests = run({ files: files.sort((a, b) => rank(a) - rank(b)), concurrency: 3 * cpus().length });
tests.on('test:fail', () => {
  process.exitCode = 1;
});
tests.compose(tap).pipe(process.stdout);
