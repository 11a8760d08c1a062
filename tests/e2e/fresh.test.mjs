// What an open page says is true no longer than the record is as it was: it is taken back, and never printed as it stood.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import {
  allPeople,
  json,
  keptQuiet,
  openPage,
  postJson,
  printed,
  recordElsewhere,
  say,
  sentence,
  startBench,
  startBrowser,
} from './bench.mjs';

let bench;
let browser;
let people;

before(async () => {
  bench = await startBench({ demo: true });
  browser = await startBrowser();
  people = await allPeople(bench);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

const hypo = { what: 'glucose noted', value: { value: 3.5, unit: 'mmol/L' } };
const minute = 60_000;

const well = { low_now: 'no', not_eating: 'no', drowsy: 'no', ketones: 'not measured', travelling: 'no', missed: 'no' };

/** So many people to whom a number may be said on the phone. */
async function withNumber(count) {
  const found = [];
  for (const person of people) {
    const { body } = await postJson(bench, '/api/phone', { person: person.id, ...well });
    if (body.read_back && body.card.state === 'dial') found.push(person);
    if (found.length === count) return found;
  }
  assert.fail(`${found.length} people have a number`);
}

async function askFor(page, { name, number }) {
  await page.at('/phone');
  await page.getByLabel(say('people.search')).fill(number);
  await page.getByRole('button', { name }).first().click();
  await page.getByRole('button', { name: say('phone.none_of_these') }).click();
  await page.locator('.read-back').waitFor();
  await page.still();
}

test('H07 H53 the phone desk takes its answer back once the record has changed, and asked again it says why there is no number', async () => {
  const page = await openPage(browser, bench);
  const [person] = await withNumber(1);
  await askFor(page, person);
  await page.clock.fastForward(2 * minute);
  await page.still();
  assert.equal(await page.locator('.read-back').count(), 1, 'nothing has changed');
  await recordElsewhere(bench, person.id, [hypo]);
  await page.clock.fastForward(minute + 1000);
  await page.locator('.answer-side').getByText(say('phone.gone_changed')).waitFor();
  assert.equal(await page.locator('.read-back, .next').count(), 0, 'a number, and the sentence to say');
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  await page.locator('.next').waitFor();
  await page.still();
  assert.equal(await page.getByText(say('phone.gone_changed')).count(), 0);
  assert.doesNotMatch(await page.locator('.answer-side .next').innerText(), /Dial \d/);
  keptQuiet(page, 'the phone desk');
});

test('H53 the phone desk says no number that is older than ten minutes, or while the server does not answer', async () => {
  const page = await openPage(browser, bench);
  const [person] = await withNumber(1);
  await askFor(page, person);
  let answers = false;
  await page.route('**/api/people/*', (route) => (answers ? route.continue() : route.abort()));
  await page.clock.fastForward(minute + 1000);
  await page.locator('.answer-side').getByText(say('plan.no_number')).waitFor();
  assert.equal(await page.locator('.read-back').count(), 0, 'while the server does not answer');
  answers = true;
  await page.clock.fastForward(minute + 1000);
  await page.locator('.read-back').waitFor();
  await page.clock.fastForward(9 * minute);
  await page.locator('.answer-side').getByText(say('phone.gone_old')).waitFor();
  assert.equal(await page.locator('.read-back, .next').count(), 0, 'after ten minutes');
});

const answer = (page, question, said) =>
  page
    .getByRole('group', { name: say(question) })
    .getByLabel(say(said), { exact: true })
    .check();

test('H53 a yes to the first questions is not lost with the page: leaving asks until the call is recorded', async () => {
  const page = await openPage(browser, bench);
  const [person] = await withNumber(1);
  const asked = [];
  page.on('dialog', (dialog) => {
    asked.push(dialog.message());
    void dialog.dismiss();
  });
  await askFor(page, person);
  await answer(page, 'phone.vomiting', 'phone.yes');
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  await page.locator('.next.refused').waitFor();
  await page.still();
  await page.getByRole('link', { name: say('phone.open') }).click();
  assert.deepEqual(asked, [say('phone.leave')]);
  await page.getByRole('button', { name: say('caller.other') }).click();
  assert.equal(asked.length, 2, 'nor with another caller');
  assert.equal(await page.locator('.next.refused').count(), 1, 'the answer stays');
  await page.getByRole('button', { name: say('phone.note_record') }).click();
  await page.still();
  await page.getByRole('link', { name: say('phone.open') }).click();
  await page.locator('.next.refused').waitFor();
  assert.equal(asked.length, 2, 'once it is on record nothing is owed');
});

test('H58 what the note of a call records as advised is what the answers as they stand lead to', async () => {
  const page = await openPage(browser, bench);
  const [person] = await withNumber(1);
  await askFor(page, person);
  const advised = page.locator('.call-note [name="advised"]');
  assert.match(await advised.inputValue(), /[Dd]ial \d/);
  await answer(page, 'phone.low', 'phone.yes');
  await page.still();
  assert.equal(await advised.inputValue(), '', 'the number went with its answers');
  const sent = page.waitForRequest((request) => request.method() === 'POST' && request.url().endsWith('/facts'));
  await page.getByRole('button', { name: say('phone.note_record') }).click();
  const [note] = (await sent).postDataJSON().facts;
  assert.equal(note.low, 'yes');
  assert.ok(note.advised.startsWith(sentence('interlock.low_now.what')), note.advised);
});

/** All that the phone desk asks where nobody is chosen, said. */
async function sayWithoutRecord(page) {
  await page.at('/phone');
  const said = async (question, answer) =>
    page
      .getByRole('group', { name: say(question) })
      .getByLabel(say(answer), { exact: true })
      .check();
  for (const question of ['phone.low', 'phone.vomiting', 'phone.drowsy', 'phone.time_zones']) await said(question, 'phone.no');
  await said('phone.ketones', 'phone.not_measured');
  await said('phone.last_dose', 'phone.never');
  await page.getByLabel(say('products.insulin'), { exact: true }).selectOption({ label: 'Insulin glargine, 100 units/mL' });
  await page.getByLabel(say('pens.pen'), { exact: true }).selectOption('reusable-whole-60');
  await page.getByLabel(say('order.dose'), { exact: true }).fill('20');
  await page.getByLabel(say('phone.left')).fill('140');
  await page.getByLabel(say('phone.in_use')).fill('3');
}

test('H64 H01 without a record, what was typed into a field that is hidden again is not sent', async () => {
  const page = await openPage(browser, bench);
  await sayWithoutRecord(page);
  const prime = (answer) => page.getByLabel(say(answer), { exact: true }).check();
  await prime('phone.primed_none');
  await page.getByLabel(say('phone.spent')).fill('3');
  await page.getByLabel(say('phone.tries')).fill('2');
  await prime('phone.not_primed');
  const sent = page.waitForRequest((request) => request.method() === 'POST' && request.url().endsWith('/api/phone'));
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  const { spent_units, dry_primes } = (await sent).postDataJSON();
  assert.deepEqual([spent_units, dry_primes], ['', '']);
});

test('H53 an answer without a record is no older than ten minutes either', async () => {
  const page = await openPage(browser, bench);
  await sayWithoutRecord(page);
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  await page.locator('.next').getByText(/Dial/).first().waitFor();
  await page.still(); // its age counts from when it is drawn
  await page.clock.fastForward(9 * minute);
  await page.still();
  assert.equal(await page.locator('.next').count(), 1);
  await page.clock.fastForward(2 * minute);
  await page.locator('.answer-side').getByText(say('phone.gone_old')).waitFor();
  assert.equal(await page.locator('.next').count(), 0);
});

/** A page whose `print` is counted. */
async function counting() {
  const page = await openPage(browser, bench);
  await page.addInitScript(() => {
    window.pressed = 0;
    window.print = () => ++window.pressed;
  });
  page.pressPrint = async () => {
    await page.locator('.sheet-acts button.first').click();
    await page.locator('.sheet-acts button.first[disabled]').waitFor({ state: 'detached' });
    await page.still();
    return page.evaluate(() => window.pressed);
  };
  return page;
}

/** Every sheet about somebody who has a number now. */
async function sheetsOf(person) {
  const about = `/people/${person}`;
  const { next } = await json(bench, `/api${about}`);
  const trips = [];
  for (const { id } of people) {
    const supplies = await json(bench, `/api/people/${id}/supplies`);
    trips.push(...supplies.trips.map((trip) => `/people/${id}/trips/${trip.id}`));
  }
  assert.ok(trips.length > 0, 'nobody has a trip');
  return [next.print.href, ...['dial-card', 'log-sheet', 'visit-sheet', 'place-plan'].map((end) => `${about}/${end}`), trips[0]];
}

test('H28 every sheet asks the server again each minute, and once more at the press before it is printed', async () => {
  const page = await counting();
  const [{ id }] = await withNumber(1);
  await recordElsewhere(bench, id, [{ what: 'supplies given', insulin: '', needles: 60 }]); // something for the visit sheet
  for (const path of await sheetsOf(id)) {
    await page.at(path);
    assert.equal(await page.locator('article').count(), 1, path);
    const asked = [];
    const note = (request) => request.url().startsWith(`${bench.base}/api${path}`) && asked.push(request);
    page.on('request', note);
    await page.clock.fastForward(minute + 1000);
    await page.still();
    assert.ok(asked.length > 0, `${path} within a minute`);
    asked.length = 0;
    assert.equal(await page.pressPrint(), 1, path);
    assert.equal(asked.length, 1, `${path} at the press`);
    page.off('request', note);
  }
  keptQuiet(page, 'every sheet');
});

test('H10 H28 a sheet in an old tab: refused since, it is not printed at the press, and it goes within a minute', async () => {
  const [person] = await withNumber(1);
  const [steps, card] = await sheetsOf(person.id);
  const [pressed, left] = [await counting(), await counting()];
  await pressed.at(steps);
  await left.at(card);
  await left.locator('.card-dose').first().waitFor();
  await recordElsewhere(bench, person.id, [hypo]);
  assert.equal(await pressed.pressPrint(), 0);
  for (const page of [pressed, left]) {
    if (page === left) await page.clock.fastForward(minute + 1000);
    await page.getByRole('heading', { name: say('page.not_shown') }).waitFor();
    assert.equal(await page.locator('article').count(), 0);
    keptQuiet(page, 'a sheet that is refused by now');
  }
});

test('H28 while the server does not answer no sheet is printed, by its button or by the browser’s own menu', async () => {
  const page = await counting();
  const [person] = await withNumber(1);
  await page.at(`/people/${person.id}/dial-card`);
  const { lines } = await json(bench, `/api/people/${person.id}/dial-card`);
  const dose = lines[0].doses[0].dose_text;
  const text = async () => (await printed(page)).join(' ');
  assert.ok((await text()).includes(dose), 'as it was loaded');
  let answers = false;
  await page.route('**/api/**', (route) => (answers ? route.continue() : route.abort()));
  assert.equal(await page.pressPrint(), 0);
  await page.getByText(say('page.stale_what')).waitFor();
  const old = await text();
  assert.ok(old.includes(say('page.printed_old', { button: say('supply.print') })), old);
  assert.ok(!old.includes(dose), old);
  answers = true;
  assert.equal(await page.pressPrint(), 1);
  assert.ok((await text()).includes(dose), 'asked again');
});
