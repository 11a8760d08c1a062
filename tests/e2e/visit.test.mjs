// A visit in a browser: one screen that says what is open, what is next, what to do and what changed; and how it is closed.
import { after, before, test } from 'node:test';
import assert from 'node:assert/strict';
import {
  allPeople,
  json,
  keptQuiet,
  newest,
  nothingSideways,
  openPage,
  personNamed,
  plain,
  recordElsewhere,
  register,
  say,
  sentence,
  settled,
  startBench,
  startBrowser,
} from './bench.mjs';

let bench, browser, people;

before(async () => {
  bench = await startBench({ demo: true });
  browser = await startBrowser();
  people = await allPeople(bench);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

/** How far down the page a part of it ends. */
const bottom = (page, part) =>
  page
    .locator(part)
    .first()
    .evaluate((element) => Math.round(element.getBoundingClientRect().bottom));

test('the first screen of a visit says what is open, the number or why there is none, and what to do', async () => {
  const page = await openPage(browser, bench, { width: 1366, height: 768 });
  for (const { id, name } of people) {
    await page.at(`/people/${id}`);
    await page.locator('.thisv').waitFor();
    assert.ok((await bottom(page, '.sent')) < 480, `${name}: how much is open`);
    if ((await page.locator('.next .win').count()) > 0) assert.ok((await bottom(page, '.next .win')) < 768, `${name}: the window`);
    else if ((await page.locator('.next').count()) > 0)
      assert.ok((await bottom(page, '.next header')) < 768, `${name}: why there is no number`);
    assert.ok((await bottom(page, '.since')) <= 768, `${name}: what changed since`);
    // A dose in question beside the next one leaves no room for what is to be done: that comes last.
    const both = (await page.locator('.opn .ask').count()) > 0 && (await page.locator('.next').count()) > 0;
    if (!both) assert.ok((await bottom(page, '.thisv li:last-child')) <= 768, `${name}: all that is to be done at this visit`);
    // What can be pressed, too; only what must stop it may come before.
    const press = page.locator('.next .ac .act, .no-dial dd .act').first();
    if ((await press.count()) > 0 && (await page.locator('.next .notices .say.stop').count()) === 0)
      assert.ok((await press.boundingBox()).y + 44 <= 768, `${name}: watch, record, or answer`);
  }
  keptQuiet(page, 'every visit');
});

test('H38 a dose without a number has the numbers to phone and one press to record the call, and no way round', async () => {
  const page = await openPage(browser, bench, { width: 1366, height: 768 });
  const seen = new Set();
  for (const { id, name } of people) {
    const { next, asks, phoning } = await json(bench, `/api/people/${id}`);
    const cards = [...asks.map(() => '.ask'), ...(next?.state === 'refused' ? ['.next.refused'] : [])];
    if (cards.length === 0) continue;
    await page.at(`/people/${id}`);
    for (const kind of new Set(cards)) {
      for (const card of await page.locator(kind).all()) {
        const numbers = card.locator('a[href^="tel:"]');
        assert.deepEqual(
          await numbers.allInnerTexts(),
          phoning.phones.map(({ phone }) => phone),
          name,
        );
        assert.equal(await card.getByRole('link', { name: phoning.call.label, exact: true }).count(), 1, name);
        seen.add(kind);
      }
    }
    assert.ok((await page.locator('main .act.first').count()) <= 1, `${name}: one thing comes first`);
    if (next?.state !== 'dial')
      assert.equal(await page.locator('.win, .thumb, .next a[href$="/watch"]').count(), 0, `${name}: a way round`);
    await page.locator(cards.at(-1)).last().getByRole('link', { name: phoning.call.label, exact: true }).click();
    await page.waitForURL(new RegExp(`/people/${id}/record/call`));
  }
  assert.deepEqual([...seen].sort(), ['.ask', '.next.refused']);
  keptQuiet(page, 'whom to phone');
});

test('H38 H58 a next dose on hold is the first row of what is open, leads to where it is settled, and is one row', async () => {
  const page = await openPage(browser, bench, { width: 390, height: 844 });
  const onHold = sentence('visit.hold', { insulin: '' });
  const documents = await Promise.all(people.map(({ id }) => json(bench, `/api/people/${id}`)));
  const low = documents.findLast(({ next, asks }) => next?.state === 'dial' && asks.length === 0);
  await recordElsewhere(bench, low.id, [{ what: 'glucose noted', value: { value: 3.1, unit: 'mmol/L' } }]);
  let seen = 0;
  for (const { id, name } of people) {
    const { next, notices } = await json(bench, `/api/people/${id}`);
    const rows = notices.filter(({ text }) => plain(text).endsWith(onHold));
    assert.ok(rows.length <= (next?.state === 'refused' ? 1 : 0), name);
    if (rows.length === 0) continue;
    ++seen;
    assert.equal(rows[0], notices[0], `${name}: it comes first`);
    await page.at(`/people/${id}`);
    const first = page.locator('.orow').first();
    await first.getByText(onHold).waitFor();
    await first.getByRole('link', { name: rows[0].action.label }).click();
    if (rows[0].action.href.endsWith('#nx')) {
      const { y, height } = await page.locator('#nx').boundingBox();
      assert.ok(y >= 0 && y + height <= 844, `${name}: the card is in sight`);
    } else await page.waitForURL((url) => `${url.pathname}${url.search}` === rows[0].action.href);
    await page.at(`/people/${id}/close`);
    assert.equal(await page.locator('.left li', { hasText: onHold }).count(), 1, `${name}: once among what is left open`);
  }
  assert.ok(seen > 0);
  keptQuiet(page, 'a dose on hold');
});

test('H02, H12: what comes before the number stands above it, without watching', async () => {
  const page = await openPage(browser, bench, { width: 1366, height: 768 });
  let seen = 0;
  for (const { id, name } of people) {
    const { next } = await json(bench, `/api/people/${id}`);
    const first = next?.state === 'dial' ? next.steps.filter(({ beforehand }) => beforehand) : [];
    if (first.length === 0) continue;
    ++seen;
    await page.at(`/people/${id}`);
    const rows = page.locator('.next.compact .beforehand li');
    assert.deepEqual(
      await rows.allInnerTexts(),
      first.map(({ title, caption }) => `${title}. ${caption}`),
      name,
    );
    const above = await bottom(page, '.next.compact .beforehand');
    assert.ok(above <= (await page.locator('.next .win').first().boundingBox()).y, `${name}: above the number`);
    assert.ok((await bottom(page, '.next .win')) < 768, `${name}: all of it on the first screen`);
  }
  assert.ok(seen > 0);
  keptQuiet(page, 'what comes before the number');
});

test('what is open stands on the visit with its button, and behind which tab', async () => {
  const page = await openPage(browser, bench);
  let seen = 0;
  for (const { id } of people) {
    const { notices, tabs } = await json(bench, `/api/people/${id}`);
    await page.at(`/people/${id}`);
    assert.equal(await page.locator('.orow').count(), notices.length);
    const [first] = notices.filter(({ action }) => action);
    for (const { part, count } of tabs.filter((tab) => ['/order', '/pens', '/skin', '/supplies'].includes(tab.part)))
      assert.match(await page.locator(`.tabs a[href="/people/${id}${part}"]`).innerText(), new RegExp(`${count}\\s*open`));
    if (!first || seen > 5) continue;
    ++seen;
    await page.locator('.orow .act').first().click();
    await page.waitForURL((url) => `${url.pathname}${url.search}` === first.action.href.replace(/#.*/, ''));
  }
  assert.ok(seen > 3);
});

test('what to watch is what was not done the last time, and something else can be chosen', async () => {
  const page = await openPage(browser, bench);
  const id = await personNamed(bench, 'Mirela Okonkwo');
  const { todo } = await json(bench, `/api/people/${id}/visit`);
  assert.match(plain(todo[1].choices[0].text), /Not done on/);
  await page.at(`/people/${id}`);
  const row = page.locator('.thisv li').nth(1);
  await row.getByText(plain(todo[1].choices[0].text)).waitFor();
  await row.getByRole('button').click();
  await row.getByText(plain(todo[1].choices[1].text)).waitFor();
  await row.getByRole('link').click();
  await page.waitForURL(new RegExp(`/people/${id}/watch$`));
});

test('H01 H44 a prime that is judged as not done takes the number away until it is done, and the watching goes on behind it', async () => {
  const page = await openPage(browser, bench);
  const documents = await Promise.all(people.map(({ id }) => json(bench, `/api/people/${id}`)));
  const isPrime = ({ key, done, records }) => key === 'prime' && !done && records.length > 0;
  const { id, next } = documents.find((one) => one.next?.state === 'dial' && one.asks.length === 0 && one.next.steps.some(isPrime));
  const prime = next.steps.findIndex(isPrime);
  await page.at(`/people/${id}/watch`);
  const inHand = (at) => page.locator(`.strip li:nth-child(${at + 1})[aria-current="step"]`).waitFor();
  for (let at = 0; at < prime; at++) {
    await inHand(at);
    await page.getByRole('button', { name: say('watch.alone') }).click();
  }
  await inHand(prime);
  await page.getByRole('button', { name: say('watch.not_done') }).click();
  await page.locator('.no-dial').waitFor();
  const held = await json(bench, `/api/people/${id}`);
  assert.equal(held.next.refusal.code, 'interlock.not_primed');
  assert.equal(await page.locator('.win').count(), 0, 'no window to dial to');
  await page.getByRole('button', { name: sentence('act.flow_seen'), exact: true }).click();
  const dialog = page.getByRole('dialog');
  await dialog.getByLabel(sentence('field.primed')).fill('4');
  await dialog.getByRole('button', { name: sentence('act.flow_seen'), exact: true }).click();
  await inHand(prime + 1);
  assert.equal((await newest(bench, id, 'primed')).flow, 'seen');
  keptQuiet(page, 'a prime that was left out');
});

/** Somebody who injects at this hour, or did so hours ago since yesterday, with a pen that is ready; no dose is on record. */
async function ready(number, hours_ago = 0) {
  const id = await register(bench, { name: `Person ${number}`, number });
  const line = crypto.randomUUID();
  const pen = crypto.randomUUID();
  const insulin = { insulin: 'insulin glargine', strength_units_per_ml: 100 };
  const { now } = await json(bench, '/api/clinic');
  const before = (hours) => new Date(Date.parse(`${now.slice(0, 16)}Z`) - hours * 3_600_000).toISOString().slice(0, 16);
  const slots = [{ slot: 'morning', at: before(hours_ago).slice(11), minutes_before: 60, minutes_after: 60, units: 22 }];
  const signed = { prescriber: 'Dr Tomasz Adeyemi', copied_from: 'paper', copied_by: 'Marit Oyelaran', read_back: true };
  const happened = hours_ago > 0 ? { happened: `${before(24)}${now.slice(19)}` } : {};
  const from = before(hours_ago > 0 ? 24 : 0).slice(0, 10);
  await recordElsewhere(bench, id, [
    {
      id: line,
      what: 'order line signed',
      order_version: 1,
      ...insulin,
      purpose: 'background',
      slots,
      from,
      signed_on: from,
      ...signed,
      ...happened,
    },
  ]);
  await recordElsewhere(bench, id, [
    { what: 'order line checked', line, ...happened, checked_by: 'Jonas Abara', reading: { ...insulin, slots }, days_read: true, from },
    { what: 'pen given', pen, copy: 'reusable-whole-60', ...insulin, ...happened },
  ]);
  await recordElsewhere(bench, id, [
    {
      what: 'cartridge loaded',
      cartridge: crypto.randomUUID(),
      pen,
      copy: 'glargine-100',
      units: 300,
      content_units: 300,
      fits: 'fit A',
      new_cartridge: true,
      ...happened,
    },
  ]);
  return id;
}

/** Judges each step up to the press, and the press where it is wanted, too. */
async function watchedUpTo(page, id, over) {
  await page.at(`/people/${id}/watch`);
  const step = page.locator('.strip li[aria-current="step"] .stepname');
  for (;;) {
    await settled(page);
    const isPress = (await step.innerText()).includes(sentence('step.hold'));
    if (isPress && !over) return;
    await page.getByRole('button', { name: say('watch.alone') }).click();
    await page.still();
    if (isPress) return;
  }
}

test('H07 H55 an injection that was recorded is watched to its end, without a number, and the next one is not begun', async () => {
  const page = await openPage(browser, bench);
  const injected = page.locator('.judge').getByRole('button', { name: sentence('act.injected', { dose: '22 units' }), exact: true });
  for (const over of [false, true]) {
    const id = await ready(over ? 'W2' : 'W1');
    await watchedUpTo(page, id, over);
    if (over) await page.getByText(say('watch.not_recorded')).waitFor();
    await settled(page);
    await injected.click();
    const odd = page.getByRole('dialog');
    const end = page.getByText(say('watch.over'));
    for (await odd.or(end).first().waitFor(); (await odd.count()) > 0; await odd.or(end).first().waitFor()) {
      await settled(page);
      await odd.getByRole('button').first().click();
      await page.still();
    }
    assert.equal((await newest(bench, id, 'injected')).units, 22);
    assert.equal(await page.locator('.win').count(), 0, 'no number of the next injection');
    assert.deepEqual(await page.locator('.strip .stepname').allInnerTexts(), [`1${sentence('step.off')}`]);
    await settled(page);
    await page.getByRole('button', { name: say('watch.alone') }).click();
    await page.waitForURL((url) => url.pathname === `/people/${id}`);
    assert.equal((await newest(bench, id, 'step judged')).of, 'off');
  }
  keptQuiet(page, 'watching to the end');
});

test('H39 a rest that is owed is listed when a visit is closed, and somebody takes it on', async () => {
  const page = await openPage(browser, bench);
  const documents = await Promise.all(people.map(({ id }) => json(bench, `/api/people/${id}`)));
  const calm = documents.find(({ next, notices, asks }) => next?.state === 'dial' && notices.length + asks.length === 0);
  const owed = { ...calm, next: { ...calm.next, part_text: '12, not 22' } };
  await page.route(`**/api/people/${calm.id}`, (route) => route.fulfill({ json: owed }));
  await page.at(`/people/${calm.id}/close`);
  await page.locator('.left li', { hasText: '12, not 22' }).waitFor();
  assert.ok(await page.getByLabel(say('close.whose')).evaluate((field) => field.matches(':invalid')), 'not without a name');
  keptQuiet(page, 'closing over a rest that is owed');
});

test('the receipt of a dose that was taken says what was recorded, and not what to press', () => {
  const receipt = say('outcome.recorded', { label: sentence('act.was_injected') });
  assert.match(receipt, /It was taken/);
  assert.doesNotMatch(receipt, /record it/i);
});

test('H07 H57 what is asked back about an outcome is said, and not closed with the dialog that it was typed into', async () => {
  const page = await openPage(browser, bench);
  for (const id of [...people.map((one) => one.id), await ready('W3', 6)]) {
    const { asks } = await json(bench, `/api/people/${id}`);
    const ask = asks.find(({ answer }) => answer.some(({ fill }) => fill?.some(({ field }) => field === 'units')));
    if (!ask) continue;
    const answer = ask.answer.find(({ fill }) => fill?.length > 0);
    await page.at(`/people/${id}`);
    await page.getByRole('button', { name: ask.answer_button }).first().click();
    const dialog = page.getByRole('dialog', { name: ask.answer_title });
    await dialog.getByLabel(answer.label, { exact: true }).check();
    const { label: given_at, of } = answer.fill.find(({ field }) => field === 'happened');
    const moment = dialog.getByLabel(given_at);
    const field = dialog.locator('.field', { has: page.getByLabel(given_at) });
    const day_of = (hours) => {
      const day = new Date(Date.parse(`${of}Z`) + hours * 3_600_000);
      return `${day.getUTCDate()}.${day.getUTCMonth() + 1}.${day.getUTCFullYear()}`;
    };
    await dialog.getByLabel(answer.fill.find(({ kind }) => kind === 'units').label).fill('12');

    // An hour alone is the one of the dose that is asked about; what lies ahead is not sent.
    await moment.fill(of.slice(11));
    const long = { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' };
    const due = new Date(`${of}Z`).toLocaleDateString('en-GB', long).replaceAll(',', '');
    assert.match((await field.locator('.echo').innerText()).replaceAll(',', ''), new RegExp(`^${due} ${of.slice(11)}`));
    await moment.fill(`${day_of(20 * 24)} ${of.slice(11)}`);
    await dialog.getByRole('button', { name: answer.label }).click();
    assert.equal(await field.locator('.why').innerText(), say('form.dose_ahead'));

    await moment.fill(`${day_of(-20 * 24)} 10:00`);
    await dialog.getByRole('button', { name: answer.label }).click();
    const asked = page.getByRole('dialog', { name: say('outcome.check') });
    await asked.waitFor();
    await asked.getByRole('button', { name: say('form.cancel') }).click();
    assert.deepEqual((await json(bench, `/api/people/${id}`)).asks.length, asks.length, 'nothing was recorded');
    return;
  }
  assert.fail('nobody is asked about a dose');
});

test('H38 a visit is closed with its note and its next contact, and over what is open only onto a name', async () => {
  const page = await openPage(browser, bench);
  const id = await personNamed(bench, 'Emeka Sørensen'); // a recalled lot
  await page.at(`/people/${id}/record/note`);
  await page.locator('textarea').fill('Came with his sister.');
  await page.getByRole('button', { name: 'Record the note' }).click();
  await page.waitForURL(new RegExp(`/people/${id}$`));
  await page.getByRole('link', { name: say('visit.close') }).click();
  await page.locator('.vnote li', { hasText: 'Came with his sister.' }).waitFor();
  assert.ok((await page.locator('.left li').count()) > 0, 'what is open is listed');
  await page.getByRole('button', { name: say('visit.close') }).click();
  assert.ok(await page.getByLabel(say('close.whose')).evaluate((field) => field.matches(':invalid')), 'not without a name');
  await page.getByLabel(say('close.whose')).fill('Femi Sandoval');
  await page.getByRole('button', { name: say('visit.close') }).click();
  await page.waitForURL(new RegExp(`/people/${id}$`));
  await page.getByRole('heading', { name: sentence('visit.since'), exact: true }).waitFor();
  assert.equal((await newest(bench, id, 'visit closed')).left_open_with, 'Femi Sandoval');
  assert.equal((await newest(bench, id, 'contact made')).outcome, 'came');
  assert.equal((await newest(bench, id, 'appointment made')).meeting, 'call');
  // What goes home says what was agreed, after the close, too.
  await page.getByRole('link', { name: say('visit.sheet') }).click();
  await page.getByRole('heading', { name: say('visit.sheet_next') }).waitFor();
  const sheet = await json(bench, `/api/people/${id}/visit-sheet`);
  assert.match(sheet.next.map(plain).join(' '), /we phone you/);
  await page.getByText(plain(sheet.next[0])).waitFor();
  keptQuiet(page, 'closing a visit');
});

test('on a phone the window comes first and watching lies under the thumb', async () => {
  const page = await openPage(browser, bench, { width: 390, height: 844 });
  const id = await personNamed(bench, 'Noor Halvorsen');
  await page.at(`/people/${id}`);
  await page.locator('.thumb').waitFor();
  const thumb = await page.locator('.thumb').boundingBox();
  assert.ok(Math.abs(thumb.y + thumb.height - 844) < 2, 'at the foot');
  await nothingSideways(page, 'a visit on a phone');
});
