// A bench to test on: the real program on a clinic of its own at the tests' own hour, Debian's chromium, and what every page must keep.
import assert from 'node:assert/strict';
import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { afterEach, beforeEach } from 'node:test';
import { fileURLToPath } from 'node:url';
import AxeBuilder from '@axe-core/playwright';
import axeCore from 'axe-core';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { chromium } from 'playwright-core';

const house = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
const penstock = resolve(process.env.PENSTOCK ?? join(house, 'build/penstock'));
// The shell without a window: the same engine, in three quarters of the time.
const chromiumPath = process.env.CHROMIUM ?? '/usr/bin/chromium-headless-shell';

/** The surroundings that give a program the tests' clock (PENSTOCK_TEST_CLOCK), and by how much that is ahead of this machine's. */
const surroundings = Object.fromEntries(
  execFileSync(join(house, 'tools/at_clock.sh'), ['env', '-0'], { encoding: 'utf8' })
    .split('\0')
    .filter((line) => line !== '')
    .map((line) => [line.slice(0, line.indexOf('=')), line.slice(line.indexOf('=') + 1)]),
);
const ahead_ms = parseInt(surroundings.FAKETIME, 10) * 1000;
/** Neither the clinic's zone nor the server's: what the browser's zone changed on a page would be a mistake. */
const browserZone = 'America/St_Johns';

/** What is said under a key of the catalogue: tests look for keys, so that words may change. Holes are filled as given. */
const catalogue = JSON.parse(readFileSync(join(house, 'data/words/en.json'), 'utf8'));
function filled(text, key, args) {
  assert.ok(text !== undefined, `the catalogue has no text ${key}`);
  return text.replaceAll('*', '').replace(/\{([^}:]*)(?::([^|}]*)\|?([^}]*))?\}/g, (hole, name, one, many) => {
    const value = args[name] ?? hole;
    return one === undefined ? value : `${value} ${Number(value) === 1 ? one : many}`;
  });
}
/** What the pages say themselves: section `pages`. */
export const say = (key, args = {}) => filled(catalogue.pages[key], key, args);
/** What the server says: a sentence, a name, or of an error `CODE.what` and `CODE.do_this`. */
export function sentence(key, args = {}) {
  const [, code, part] = /^(.*)\.(what|do_this)$/.exec(key) ?? [];
  return filled(catalogue.sentences[key] ?? catalogue.names[key] ?? catalogue.errors[code]?.[part], key, args);
}

const sleep = (ms) => new Promise((done) => setTimeout(done, ms));

function addressOf(child) {
  return new Promise((found, failed) => {
    let said = '';
    const listen = (bytes) => {
      said += bytes;
      const match = /(http:\/\/127\.0\.0\.1:\d+)\/\?start=([0-9a-f]{32})/.exec(said);
      if (match) found({ base: match[1], token: match[2] });
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    child.on('exit', (code) => failed(new Error(`penstock serve ended with ${code}: ${said}`)));
    setTimeout(() => failed(new Error(`penstock serve printed no address: ${said}`)), 20_000).unref();
  });
}

/** Opened within a test, and closed with it: a page that stays asks the server again every minute. */
let opened = null;

/** The token that each server printed with its address, by that address; the cookie that it becomes. */
const tokens = new Map();
const cookieOf = (base) => ({ name: `penstock-${new URL(base).port}`, value: tokens.get(base) ?? '', url: base });
const letIn = (context, base) => context.addCookies([cookieOf(base)]);

/** As `fetch`, with the cookie of the server that is asked. */
const fetchOutside = globalThis.fetch;
globalThis.fetch = (url, { headers, ...init } = {}) => {
  const { origin } = new URL(url);
  const { name, value } = cookieOf(origin);
  return fetchOutside(url, { ...init, headers: { ...headers, ...(tokens.has(origin) ? { cookie: `${name}=${value}` } : {}) } });
};

/** Serves a clinic from a folder of its own. `demo`: Harbour Street's people are in it. `people`: so many, invented beyond the first. */
export async function startBench({ demo = false, people = 0 } = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'penstock-web-'));
  const data = join(folder, 'clinic.penstock');
  if (demo) {
    const filled = spawnSync(penstock, ['demo', '--data', data, ...(people > 0 ? ['--people', String(people)] : [])], {
      encoding: 'utf8',
      env: surroundings,
    });
    assert.equal(filled.status, 0, filled.stderr);
  }
  let child;
  let base = '';
  const start = async () => {
    const port = base === '' ? '0' : new URL(base).port;
    child = spawn(penstock, ['serve', '--data', data, '--port', port], { stdio: ['ignore', 'pipe', 'pipe'], env: surroundings });
    const address = await addressOf(child);
    base = address.base;
    tokens.set(base, address.token);
    // Who had it open before it was started again opens the new address.
    await Promise.all((opened ?? []).map((context) => letIn(context, base)));
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
    /** As it was printed, with the start token. */
    get address() {
      return `${base}/?start=${tokens.get(base)}`;
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

beforeEach(() => {
  opened = [];
});
afterEach(async () => {
  await Promise.all(opened.map((context) => context.close()));
  opened = null;
});

/** By the address of a bench: from a path to its call that takes JSON, with what the description of the calls accepts as a body. */
const described = new Map();
export async function describedBy(bench) {
  if (!described.has(bench.base)) {
    const { paths, components } = await (await fetch(`${bench.base}/api/openapi.json`)).json();
    const judge = new Ajv2020({ strict: false, validateFormats: false, allErrors: true, multipleOfPrecision: 6 });
    judge.addSchema({ $id: 'urn:penstock:calls', paths, components });
    const whole = (part) => encodeURIComponent(part.replace(/~/g, '~0').replace(/\//g, '~1'));
    const calls = Object.keys(paths)
      .filter((pattern) => Object.keys(paths[pattern].post?.requestBody?.content ?? {}).join() === 'application/json')
      // "/api/dial" before "/api/{verb}".
      .sort((a, b) => a.includes('{') - b.includes('{'))
      .map((pattern) => {
        let judged = null;
        return {
          fits: new RegExp(`^${pattern.replace(/\{\w+\}/g, '[^/]+')}$`),
          // A file's tests send to a few of them; reading all takes seconds.
          get accepts() {
            return (judged ??= judge.compile({
              $ref: `urn:penstock:calls#/paths/${whole(pattern)}/post/requestBody/content/${whole('application/json')}/schema`,
            }));
          },
        };
      });
    described.set(bench.base, (pathname) => calls.find(({ fits }) => fits.test(pathname)));
  }
  return described.get(bench.base);
}

/** A page that notes what must never happen: errors, refused styles or scripts, requests to anywhere else. */
export async function openPage(browser, bench, { width = 1366, height = 900, ...more } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, locale: 'en-GB', timezoneId: browserZone, ...more });
  opened?.push(context);
  await letIn(context, bench.base);
  await context.clock.install({ time: Date.now() + ahead_ms });
  const page = await context.newPage();
  page.complaints = [];
  const unanswered = new Set();
  page.on('request', (request) => unanswered.add(request));
  for (const end of ['requestfinished', 'requestfailed']) page.on(end, (request) => unanswered.delete(request));
  page.on('pageerror', (error) => page.complaints.push(error.message));
  page.on('console', (message) => {
    const text = message.text();
    // A refusal is an answer with a status; the browser notes each of them.
    if (message.type() === 'error' && !/Failed to load resource/.test(text)) page.complaints.push(text);
  });
  page.on('request', (request) => {
    if (!request.url().startsWith(bench.base) && !/^(data|blob):/.test(request.url()))
      page.complaints.push(`asked elsewhere: ${request.url()}`);
  });
  // What was taken from the pages stands in the description of the calls, field by field.
  const callFor = await describedBy(bench);
  page.on('response', (response) => {
    const request = response.request();
    if (request.method() !== 'POST' || !response.ok()) return;
    const { pathname } = new URL(request.url());
    const call = callFor(pathname);
    // Nothing where a test stood in between and held it back.
    const sent = request.postDataJSON();
    if (!call || !sent || call.accepts(sent)) return;
    // Of a fact only what its own kind says, not each other kind's refusal of its name.
    const { facts = [] } = sent;
    const kinds = facts.map(({ what }) => `/fact-${what.replaceAll(' ', '-')}/`);
    const why = call.accepts.errors.filter(
      ({ schemaPath }) => !/\/fact-/.test(schemaPath) || kinds.some((kind) => schemaPath.includes(kind)),
    );
    page.complaints.push(`sent to ${pathname}, and not described: ${JSON.stringify(why)}`);
  });
  /** Until every request is answered, and what came with them is drawn. */
  page.still = async () => {
    do await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
    while (unanswered.size > 0);
  };
  page.at = async (path) => {
    await page.goto(bench.base + path);
    await page.locator('main h1').first().waitFor();
    await page.still();
  };
  return page;
}

/** Shortly after an answer a press is taken for the second half of a double click (web/src/recorder.ts). */
export const settled = (page) => page.locator('html:not([data-busy])').waitFor({ state: 'attached' });

/** The text of each page of what would be printed. */
export async function printed(page) {
  await page.evaluate(() => document.fonts.ready);
  await page.still();
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
  const text = spawnSync('pdftotext', ['-layout', '-', '-'], { input: pdf, encoding: 'utf8' });
  assert.equal(text.status, 0, text.stderr);
  return text.stdout
    .split('\f')
    .slice(0, -1)
    .map((one) => one.replace(/\s+/g, ' '));
}

/** On paper nothing is left that could be pressed, filled in or followed to another page of the bench; on the screen there is. */
export async function nothingToPress(page, what) {
  const toPress = page.locator('button, [role=button], input, select, textarea, nav, .act, .tabs, .skip').filter({ visible: true });
  await page.emulateMedia({ media: 'screen' });
  assert.ok((await toPress.count()) > 0, `${what} on the screen`);
  await page.emulateMedia({ media: 'print' });
  assert.deepEqual(await toPress.evaluateAll((all) => all.map((one) => one.outerHTML.slice(0, 120))), [], `${what} on paper`);
  await page.emulateMedia({ media: null });
}

const accessibility = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/**
 * Names a document as axe sees it: markup, what fields hold, focus, size and style sheets (their names hold their digests), and axe's own version. Ids,
 * which are new at each run, are known by the order in which they first stand there; of figures only where they stand.
 */
async function asAxeSeesIt(page) {
  const { markup, held } = await page.evaluate(() => ({
    markup: document.documentElement.outerHTML,
    held: JSON.stringify([
      [...document.querySelectorAll('input, select, textarea')].map(({ value, checked, disabled }) => [value, checked, disabled]),
      [...document.querySelectorAll('*')].indexOf(document.activeElement),
      [innerWidth, innerHeight, matchMedia('print').matches],
    ]),
  }));
  const ids = new Map();
  const known = (id) => ids.get(id) ?? ids.set(id, `id${ids.size}`).get(id);
  const same = markup.replace(/\b[0-9a-f]{32}\b/g, known).replace(/>[^<]*</g, (text) => text.replace(/\d+/g, '0'));
  return createHash('sha256')
    .update(JSON.stringify([axeCore.version, accessibility, same, held]))
    .digest('hex');
}

/** What was found clean is not looked at again, here or in a later run on this machine: the names of such documents, one a file. */
const foundClean = join(house, 'build/axe-clean');

export async function axeFindsNothing(page, what) {
  const clean = join(foundClean, await asAxeSeesIt(page));
  if (existsSync(clean)) return;
  // In the page itself, which has no frames, and with the violations alone put together: the same rules in a third of the time.
  const options = { runOnly: { type: 'tag', values: accessibility }, resultTypes: ['violations'] };
  const { violations } = await new AxeBuilder({ page }).options(options).setLegacyMode(true).analyze();
  const found = violations.flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.target.join(' ')} ${node.failureSummary ?? ''}`));
  assert.deepEqual(found, [], `accessibility of ${what}`);
  mkdirSync(foundClean, { recursive: true });
  writeFileSync(clean, what);
}

/**
 * Looks at pages of one sort that differ by whom they are about: at each that has an element which no page looked at before had, by its tag, class,
 * role, type and attributes for assistive technology, and those of what it stands in.
 */
export function axeByMarkup() {
  const seen = new Set();
  return async (page, what, { always = false } = {}) => {
    const marks = await page.evaluate(() => {
      const mark = (element) =>
        [
          element.localName,
          ...[...element.classList].sort(),
          ...[...element.attributes]
            .filter(({ name }) => /^(role|type|lang|hidden|disabled|required|tabindex)$|^aria-|^data-level/.test(name))
            .map(({ name, value }) =>
              /^aria-(label|labelledby|describedby|controls|valuetext|valuenow)$/.test(name) ? name : `${name}=${value}`,
            )
            .sort(),
        ].join(' ');
      return [...new Set([...document.body.querySelectorAll('*')].map((element) => `${mark(element.parentElement)} > ${mark(element)}`))];
    });
    const isNew = marks.some((one) => !seen.has(one));
    if (!isNew && !always) return false;
    for (const one of marks) seen.add(one);
    await axeFindsNothing(page, what);
    return true;
  };
}

export async function nothingSideways(page, what) {
  const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  assert.ok(over <= 0, `${what} scrolls sideways by ${over} pixels`);
}

/** A walk that several tests ask about is walked by the first of them. */
export function measuredOnce(measure) {
  let measured = null;
  return () => (measured ??= measure());
}

/** What scrolls sideways, by width: each page is loaded once, in the middle of the sizes, and then given every width. */
export async function sidewaysAt(page, sizes, paths, until = 'main h1') {
  const over = new Map(sizes.map(([width]) => [width, []]));
  for (const path of paths) {
    await page.at(path);
    await page.locator(until).last().waitFor();
    await addSideways(page, sizes, path, over);
  }
  return over;
}

/** The same for the page that is open. */
export async function addSideways(page, sizes, what, over) {
  const before = page.viewportSize();
  for (const [width, height] of sizes) {
    await page.setViewportSize({ width, height });
    const by = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    if (by > 0) over.get(width).push(`${what} by ${by} pixels`);
  }
  await page.setViewportSize(before);
}

export function keptQuiet(page, what) {
  assert.deepEqual(page.complaints, [], what);
}

export const json = async (bench, path) => (await fetch(bench.base + path)).json();

/** A day so many days after today, by the clinic's clock. */
export async function dayAhead(bench, days) {
  const { now } = await json(bench, '/api/clinic');
  return new Date(Date.parse(`${now.slice(0, 10)}T12:00Z`) + days * 86_400_000).toISOString().slice(0, 10);
}

export async function allPeople(bench) {
  const first = await json(bench, '/api/people?q=&page=1');
  const rest = [];
  for (let at = 2; at <= first.pages; ++at) rest.push(...(await json(bench, `/api/people?q=&page=${at}`)).people);
  return [...first.people, ...rest];
}

/** The plain text of what is said with some of it in bold. */
export const plain = (rich) => rich.map((run) => (typeof run === 'string' ? run : run.b)).join('');

export async function postJson(bench, path, body) {
  const answer = await fetch(bench.base + path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
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
    clinic: 'Harbour Street Clinic',
    user: 'Marit Oyelaran',
    zone: 'Europe/Berlin',
    phone: '030 555 0142',
    emergency: '112',
  });
  assert.equal(named.status, 200, JSON.stringify(named.body));
}

export async function register(bench, { name = 'Mirela Okonkwo', born = '1958-06-04', number = 'HS 04172' } = {}) {
  const id = crypto.randomUUID().replaceAll('-', '');
  const facts = [
    { id: crypto.randomUUID(), what: 'person registered', full_name: name, born, number, zone: 'Europe/Berlin', background: {} },
  ];
  const done = await postJson(bench, '/api/people', { id, facts, confirmed: true });
  assert.equal(done.status, 200, JSON.stringify(done.body));
  return id;
}

let sequence = 0;

/** Facts straight into a journal, as somebody at another desk would write them. */
export async function recordElsewhere(bench, person, facts) {
  const { version } = await json(bench, `/api/people/${person}`);
  const done = await postJson(bench, `/api/people/${person}/facts`, {
    seen_version: version,
    confirmed: true,
    facts: facts.map((fact) => ({ id: crypto.randomUUID(), sequence: ++sequence, ...fact })),
  });
  assert.equal(done.status, 200, JSON.stringify(done.body));
}

export async function factsCalled(bench, person, what) {
  const first = await json(bench, `/api/people/${person}/journal?page=1`);
  const rows = [...first.rows];
  for (let page = 2; page <= first.pages; ++page) rows.push(...(await json(bench, `/api/people/${person}/journal?page=${page}`)).rows);
  return rows.filter((row) => row.fact.what === what);
}

const known = new Set();

/**
 * The fact of this kind that came last. Two that happen within one second stand in the order of their identities, which are chance:
 * so one that was not there at the last look comes before all that were.
 */
export async function newest(bench, person, what) {
  const rows = await factsCalled(bench, person, what);
  assert.ok(rows.length > 0, `no ${what}`);
  const last = rows.find(({ id }) => !known.has(id)) ?? rows[0];
  for (const { id } of rows) known.add(id);
  return last.fact;
}
