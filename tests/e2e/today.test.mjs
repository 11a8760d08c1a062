// Today, worked by hand: how many presses it takes from a row to what is recorded, and what a crowd sees.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import {
  axeFindsNothing,
  dayAhead,
  factsCalled,
  json,
  keptQuiet,
  nameClinic,
  newest,
  nothingSideways,
  openPage,
  recordElsewhere,
  register,
  say,
  sentence,
  settled,
  startBench,
  startBrowser,
} from './bench.mjs';

let bench;
let browser;

before(async () => {
  bench = await startBench();
  browser = await startBrowser();
  await nameClinic(bench);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

/** Counts what a hand does: each press and each choice. */
function hand() {
  let presses = 0;
  return {
    press: async (it) => {
      presses += 1;
      await it.click();
    },
    choose: async (it, value) => {
      presses += 1;
      await it.selectOption(value);
    },
    get presses() {
      return presses;
    },
  };
}

const rowOf = (page, name) => page.locator('.need', { hasText: name });
const outcomeOf = (page) => page.getByLabel(sentence('form/contact made/outcome'));
const record = (page) => page.getByRole('button', { name: sentence('form-button/contact made'), exact: true });

/** Somebody with a call that was agreed for yesterday, when nobody said what became of it. */
async function withCall(name, number) {
  const person = await register(bench, { name, number });
  const yesterday = await dayAhead(bench, -1);
  const facts = [{ what: 'appointment made', meeting: 'call', at: `${yesterday}T09:00:00+02:00`, why: 'review', with: 'Femi Adair' }];
  await recordElsewhere(bench, person, facts);
  return person;
}

test('a call that was agreed is closed from Today in three presses, whatever came of it', async () => {
  const person = await withCall('Noor Halvorsen', 'HS 04173');
  const [{ id: agreed }] = await factsCalled(bench, person, 'appointment made');
  const page = await openPage(browser, bench);
  for (const outcome of ['no answer', 'message left', 'no answer', 'reached']) {
    await page.at('/');
    const by = hand();
    await by.press(rowOf(page, 'Noor').getByRole('link', { name: sentence('watch_act.contact_due') }));
    await outcomeOf(page).waitFor();
    await by.choose(outcomeOf(page), outcome);
    await by.press(record(page));
    await page.waitForURL((url) => url.pathname === '/'); // where it came from, and there it is said
    await page.locator('.carried', { hasText: say('outcome.recorded', { label: sentence('form/contact made') }) }).waitFor();
    assert.ok(by.presses <= 3, `${by.presses} presses`);
    const made = await newest(bench, person, 'contact made');
    assert.deepEqual([made.outcome, made.meeting, made.appointment], [outcome, 'call', agreed]);
  }
  await page.at('/');
  assert.equal(await rowOf(page, 'Noor').count(), 0);
  keptQuiet(page, 'calls');
});

test('a form that was opened from a row of Today leads back to that row, recorded or not', async () => {
  const people = await Promise.all(
    Array.from({ length: 12 }, (_, at) => withCall(`Ansel Quill${String.fromCharCode(65 + at)}`, `HS 05${100 + at}`)),
  );
  const page = await openPage(browser, bench, { height: 600 });
  await page.at('/');
  const row = rowOf(page, 'Ansel QuillK');
  const id = people[10];
  for (const leave of [
    async () => {
      await outcomeOf(page).selectOption('no answer');
      await record(page).click();
    },
    () => page.getByRole('link', { name: say('form.cancel') }).click(),
  ]) {
    await row.getByRole('link', { name: sentence('watch_act.contact_due') }).click();
    await outcomeOf(page).waitFor();
    await leave();
    await page.waitForURL((url) => url.pathname === '/' && url.hash === `#row-${id}`);
    await row.waitFor();
    await page.still();
    const box = await row.boundingBox();
    assert.ok(box.y >= 0 && box.y < 600, `the row lies at ${box.y}`);
    assert.equal(await page.evaluate(() => document.activeElement.id), `row-${id}`);
  }
  await page.goto(`${bench.base}/people/${id}/record/note?then=//elsewhere.example/`);
  assert.equal(await page.getByRole('link', { name: say('form.cancel') }).getAttribute('href'), `/people/${id}`, 'nowhere else');
});

test('a third call that nobody answers names whom to phone, with the number', async () => {
  const person = await withCall('Zdenka Marsh', 'HS 04174');
  await recordElsewhere(bench, person, [
    { what: 'contact noted', role: 'carer', full_name: 'Ada Marsh', phone: '030 555 0178' },
    ...Array.from({ length: 3 }, () => ({ what: 'contact made', meeting: 'call', outcome: 'no answer' })),
  ]);
  const page = await openPage(browser, bench);
  await page.at('/');
  const row = await rowOf(page, 'Zdenka').innerText();
  assert.match(row, /Ada Marsh/);
  assert.match(row, /030 555 0178/);
  assert.match(row, /Femi Adair/);
  await axeFindsNothing(page, 'Today');
});

test('what nobody follows up is taken with one press, and stands among mine', async () => {
  const person = await register(bench, { name: 'Odile Ward', number: 'HS 04190' });
  const yesterday = await dayAhead(bench, -1);
  await recordElsewhere(bench, person, [{ what: 'appointment made', meeting: 'call', at: `${yesterday}T09:00:00+02:00`, why: 'review' }]);
  const page = await openPage(browser, bench);
  await page.at('/');
  const row = rowOf(page, 'Odile');
  await row.getByText(sentence('today.nobody')).waitFor();
  const take = row.getByRole('button', { name: say('today.take') });
  await take.click();
  await row.getByText('Marit Oyelaran').waitFor();
  assert.equal((await newest(bench, person, 'follow-up taken')).with, 'Marit Oyelaran');
  assert.equal(await take.count(), 0);
  await page.locator('.whose').getByRole('link', { name: /Mine/ }).click();
  await page.waitForURL((url) => url.search === '?whose=me');
  await row.waitFor();
  assert.equal(await row.locator('.others').count(), 0);
  // Late, and somebody else's: it stays in sight, and says that it is not hers.
  await rowOf(page, 'Zdenka').locator('.others').waitFor();
  await axeFindsNothing(page, 'mine of Today');
  keptQuiet(page, 'taking it');
});

test('where a call is due, the glucose that it asks for is one press away', async () => {
  const page = await openPage(browser, bench);
  await page.at('/');
  await rowOf(page, 'Zdenka')
    .getByRole('link', { name: sentence('today.glucose') })
    .click();
  await page.getByRole('heading', { name: sentence('form/glucose noted') }).waitFor();
});

test('every way that Today offers leads to a page with something to do on it', async () => {
  const full = await startBench({ demo: true });
  try {
    const page = await openPage(browser, full);
    const today = await json(full, '/api/today');
    const needs = today.groups.flatMap((group) => group.needs);
    assert.equal(new Set(needs.map(({ name }) => name)).size, needs.length, 'one row a person');
    const ways = needs.flatMap(({ action, beside, also }) => [action.href, beside?.href, ...also.map(({ href }) => href)]);
    for (const way of new Set(ways.filter(Boolean))) {
      await page.at(way);
      await page.locator('main :is(a, button):visible').first().waitFor();
      const { hash } = new URL(page.url());
      if (hash !== '') assert.equal(await page.locator(hash).count(), 1, `nothing at ${way}`);
      assert.equal(await page.getByText(say('lost.title')).count(), 0, way);
    }
    keptQuiet(page, 'ways from Today');
  } finally {
    await full.stop();
  }
});

test('a crowd has columns in the place of the drawings, and everything that is open by reason', async () => {
  const crowd = await startBench({ demo: true, people: 240 });
  try {
    const page = await openPage(browser, crowd);
    await page.at('/');
    await page.locator('.crowd .need').first().waitFor();
    assert.ok((await page.locator('.need').count()) <= 14);
    assert.equal(await page.locator('.need .gl').count(), 0);
    await axeFindsNothing(page, 'Today of a crowd');
    for (const width of [1366, 1024, 820, 390]) {
      await page.setViewportSize({ width, height: 900 });
      await nothingSideways(page, `a crowd at ${width}`);
    }
    const [first] = (await json(crowd, '/api/today')).open;
    await page.locator('.open').getByRole('link', { name: first.reason }).click();
    await page.getByRole('link', { name: say('today.all') }).waitFor();
    assert.equal(new URL(page.url()).search, new URL(first.href, crowd.base).search);
    keptQuiet(page, 'a crowd');
  } finally {
    await crowd.stop();
  }
});
