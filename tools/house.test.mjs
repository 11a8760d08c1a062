// What ./run and ./test share, with a dpkg-query of the test's own.
import test from 'node:test';
import assert from 'node:assert/strict';
import { execFileSync, spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

const house = resolve(dirname(fileURLToPath(import.meta.url)), '..');

/** Runs bash lines as ./run does, with house.sh read in and the programs given as name to text put before all others. */
function bash(lines, programs = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'house-'));
  try {
    const bin = join(folder, 'bin');
    mkdirSync(bin);
    for (const [name, text] of Object.entries(programs)) {
      writeFileSync(join(bin, name), `#!/bin/bash\n${text}\n`);
      chmodSync(join(bin, name), 0o755);
    }
    const script = `set -euo pipefail\n. '${house}/tools/house.sh'\n${lines}\n`;
    const env = { ...process.env, PENSTOCK_BUILD: folder, PATH: `${bin}:${process.env.PATH}` };
    return execFileSync('bash', ['-c', script], { encoding: 'utf8', env })
      .split('\n')
      .filter((line) => line !== '');
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const listed = (list) =>
  readFileSync(join(house, `tools/packages/${list}.txt`), 'utf8')
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'));

test('packages: a machine that never heard of any of them lacks them all', () => {
  const missing = bash('missing_packages browser wasm', { 'dpkg-query': 'exit 1' });
  assert.deepEqual(missing, [...listed('browser'), ...listed('wasm')].sort());
});

test('packages: what is installed is not missing, what was removed is', () => {
  const known = "printf 'installed poppler-utils\\nnot-installed clang-19\\ninstalled lld-19\\n'; exit 1";
  const missing = bash('missing_packages browser wasm', { 'dpkg-query': known });
  assert.ok(!missing.includes('poppler-utils') && !missing.includes('lld-19'));
  assert.ok(missing.includes('clang-19'));
});

test('packages: node from elsewhere is left alone', () => {
  const programs = { 'dpkg-query': 'exit 1', node: 'true', npm: 'true' };
  const missing = bash('missing_packages build', programs);
  assert.ok(!missing.includes('nodejs') && !missing.includes('npm'));
  assert.ok(missing.includes('g++'));
});

test('packages: each list is sorted, and no package stands in two', () => {
  const names = ['build', 'test', 'wasm', 'browser'].map((list) => listed(list).map((line) => line.split(' ')[0]));
  for (const list of names) assert.deepEqual(list, [...list].sort());
  const all = names.flat();
  assert.equal(new Set(all).size, all.length);
});

test('./test and ./run name the word that they do not know, and fail', () => {
  for (const [program, status] of [
    ['test', 1],
    ['run', 1],
  ]) {
    const run = spawnSync('bash', [join(house, program), 'sunshine'], { encoding: 'utf8' });
    assert.equal(run.status, status, program);
    assert.match(run.stderr, /sunshine/);
    assert.doesNotMatch(run.stdout, /0 failed/);
  }
});
