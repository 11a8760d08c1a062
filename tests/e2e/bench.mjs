// A bench to test on: the real program on a clinic of its own, Debian's chromium, and what every page must keep.
import assert from 'node:assert/strict';
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import AxeBuilder from '@axe-core/playwright';
import { chromium } from 'playwright-core';

const house = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
const penstock = resolve(process.env.PENSTOCK ?? join(house, 'build/penstock'));
const chromiumPath = process.env.CHROMIUM ?? '/usr/bin/chromium';

const sleep = (ms) => new Promise((done) => setTimeout(done, ms));

function addressOf(child) {
  return new Promise((found, failed) => {
    let said = '';
    const listen = (bytes) => {
      said += bytes;
      const match = /http:\/\/127\.0\.0\.1:\d+/.exec(said);
      if (match) found(match[0]);
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    child.on('exit', (code) => failed(new Error(`penstock serve ended with ${code}: ${said}`)));
    setTimeout(() => failed(new Error(`penstock serve printed no address: ${said}`)), 20_000).unref();
  });
}

/** Serves a clinic from a folder of its own. `demo`: Harbour Street's people are in it. */
export async function startBench({ demo = false } = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'penstock-web-'));
  const data = join(folder, 'clinic.penstock');
  if (demo) {
    const filled = spawnSync(penstock, ['demo', '--data', data], { encoding: 'utf8' });
    assert.equal(filled.status, 0, filled.stderr);
  }
  let child;
  let base = '';
  const start = async () => {
    child = spawn(penstock, ['serve', '--data', data, '--port', base === '' ? '0' : new URL(base).port], { stdio: ['ignore', 'pipe', 'pipe'] });
    base = await addressOf(child);
  };
  const halt = async () => {
    if (!child || child.exitCode !== null) return;
    const ended = new Promise((done) => child.once('exit', done));
    child.kill('SIGTERM');
    await Promise.race([ended, sleep(5000)]);
    if (child.exitCode === null) child.kill('SIGKILL');
  };
  await start();
  return {
    get base() {
      return base;
    },
    start,
    halt,
    async stop() {
      await halt();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

export const startBrowser = () => chromium.launch({ executablePath: chromiumPath, args: ['--no-sandbox', '--lang=en-GB'] });

/** A page that notes what must never happen: errors, refused styles or scripts, requests to anywhere else. */
export async function openPage(browser, bench, { width = 1366, height = 900, ...more } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, locale: 'en-GB', ...more });
  const page = await context.newPage();
  page.complaints = [];
  page.on('pageerror', (error) => page.complaints.push(error.message));
  page.on('console', (message) => {
    const text = message.text();
    // A refusal is an answer with a status; the browser notes each of them.
    if (message.type() === 'error' && !/Failed to load resource/.test(text)) page.complaints.push(text);
  });
  page.on('request', (request) => {
    if (!request.url().startsWith(bench.base) && !/^(data|blob):/.test(request.url())) page.complaints.push(`asked elsewhere: ${request.url()}`);
  });
  page.at = async (path) => {
    await page.goto(bench.base + path);
    await page.locator('main h1').first().waitFor();
  };
  return page;
}

export async function axeFindsNothing(page, what) {
  const { violations } = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']).analyze();
  const found = violations.flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.target.join(' ')} ${node.failureSummary ?? ''}`));
  assert.deepEqual(found, [], `accessibility of ${what}`);
}

export async function nothingSideways(page, what) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(over <= 0, `${what} scrolls sideways by ${over} pixels`);
}

export function keptQuiet(page, what) {
  assert.deepEqual(page.complaints, [], what);
}

export const json = async (bench, path) => (await fetch(bench.base + path)).json();

export async function postJson(bench, path, body) {
  const answer = await fetch(bench.base + path, { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) });
  return { status: answer.status, body: await answer.json() };
}

/** The one person that a search finds. */
export async function personNamed(bench, name) {
  const { people } = await json(bench, `/api/people?${new URLSearchParams({ q: name, page: '1' })}`);
  assert.ok(people.length >= 1, `nobody is called ${name}`);
  return people[0].id;
}

/** Fills the fields of a form by their labels. */
export async function fill(within, fields) {
  for (const [label, value] of Object.entries(fields)) {
    const field = within.getByLabel(label, { exact: false }).first();
    const tag = await field.evaluate((element) => element.tagName);
    if (tag === 'SELECT') await field.selectOption({ label: value });
    else await field.fill(value);
  }
}

/** A clinic that is named, with one registered person. */
export async function nameClinic(bench) {
  const named = await postJson(bench, '/api/clinic', {
    clinic: 'Harbour Street Clinic', user: 'Marit Oyelaran', zone: 'Europe/Berlin', phone: '030 555 0142', emergency: '112',
  });
  assert.equal(named.status, 200, JSON.stringify(named.body));
}

export async function register(bench, { name = 'Mirela Okonkwo', born = '1958-06-04', number = 'HS 04172' } = {}) {
  const id = crypto.randomUUID().replaceAll('-', '');
  const facts = [{ id: crypto.randomUUID(), what: 'person registered', full_name: name, born, number, zone: 'Europe/Berlin', background: {} }];
  const done = await postJson(bench, '/api/people', { id, facts, confirmed: true });
  assert.equal(done.status, 200, JSON.stringify(done.body));
  return id;
}

let sequence = 0;

/** Facts straight into a journal, as somebody at another desk would write them. */
export async function recordElsewhere(bench, person, facts) {
  const { version } = await json(bench, `/api/people/${person}`);
  const done = await postJson(bench, `/api/people/${person}/facts`, {
    seen_version: version, confirmed: true, facts: facts.map((fact) => ({ id: crypto.randomUUID(), sequence: ++sequence, ...fact })),
  });
  assert.equal(done.status, 200, JSON.stringify(done.body));
}

export async function factsCalled(bench, person, what) {
  const first = await json(bench, `/api/people/${person}/journal?page=1`);
  const rows = [...first.rows];
  for (let page = 2; page <= first.pages; ++page) rows.push(...(await json(bench, `/api/people/${person}/journal?page=${page}`)).rows);
  return rows.filter((row) => row.fact.what === what);
}
