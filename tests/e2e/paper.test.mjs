// On paper: who it is about, when it was printed and page x of y on every page; the large-print sheet is one page.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import {
  allPeople,
  json,
  nothingSideways,
  nothingToPress,
  openPage,
  postJson,
  printed,
  say,
  sentence,
  startBench,
  startBrowser,
} from './bench.mjs';

let bench;
let browser;
let people = [];

before(async () => {
  bench = await startBench({ demo: true });
  browser = await startBrowser();
  people = await allPeople(bench);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

for (const end of ['', '/journal', '/background']) {
  test(`H19 H28 name, birth date, number, time and page x of y on every page of ${end || 'the plan'}`, async () => {
    const page = await openPage(browser, bench);
    const [{ id, name, born_text: born, number }] = people;
    await page.at(`/people/${id}${end}`);
    const pages = await printed(page);
    assert.ok(pages.length > 0);
    for (const [at, text] of pages.entries()) {
      for (const part of [name, born, number, 'printed', `page ${at + 1} of ${pages.length}`])
        assert.ok(text.includes(part), `${part} on page ${at + 1}: ${text.slice(0, 200)}`);
    }
  });
}

test('buttons and navigation are not printed', async () => {
  const page = await openPage(browser, bench);
  const { id } = people[0];
  for (const path of [
    '/',
    '/people',
    '/month',
    '/stock',
    ...['', '/journal', '/background', '/skin', '/supplies'].map((end) => `/people/${id}${end}`),
  ]) {
    await page.at(path);
    await nothingToPress(page, path);
  }
});

/** The smallest letter or figure of a sheet in points, also of those in its drawings, as they are scaled. */
const leastPoints = (page) =>
  page.locator('.leaf-a4').evaluate((sheet) => {
    const sizes = [...sheet.querySelectorAll('*')]
      .filter((one) => [...one.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim() !== ''))
      .map((one) => parseFloat(getComputedStyle(one).fontSize) * (one instanceof SVGElement ? one.getScreenCTM().d : 1) * 0.75);
    return Math.min(...sizes);
  });

test('H28 H48 the large-print sheet: one page, only for its day, with order version and what to do when low', async () => {
  const page = await openPage(browser, bench);
  let seen = 0;
  for (const { id, name, born_text: born, number } of people) {
    const { next } = await json(bench, `/api/people/${id}`);
    if (next?.state !== 'dial' || next.print.href === '') continue;
    await page.at(next.print.href);
    // What may not be put on paper (a rest that is owed, a question) is refused there, without a number.
    const sheet = await json(bench, `/api${next.print.href}`);
    if (sheet.refused) {
      await page.getByRole('heading', { name: say('page.not_shown') }).waitFor();
      assert.equal(await page.locator('.win').count(), 0, `${name}: a window on a sheet that was refused`);
      continue;
    }
    const pages = await printed(page);
    if (sheet.window_table) {
      // What the numbers are stands before them, and they stand on the page of their step.
      const top = async (what) => (await page.locator(`table.on ${what}`).first().boundingBox()).y;
      assert.ok((await top('th')) < (await top('tbody tr')), `${name}: the head of the window table`);
      assert.ok(pages[0].includes('The window shows'), `${name}: the window table beside its step`);
    }
    // Of a pen whose window counts on too: what to do when low stood alone on a second page.
    assert.equal(pages.length, 1, `${name}: the sheet has ${pages.length} pages`);
    const least = await leastPoints(page);
    assert.ok(least >= 10.5, `${name}: ${least} points on the sheet`);
    for (const [at, text] of pages.entries()) {
      for (const part of [name, born, number, `page ${at + 1} of ${pages.length}`])
        assert.ok(text.includes(part), `${part} on the sheet of ${name}`);
    }
    for (const part of [
      'only. Then throw this sheet away.',
      'Order version',
      sentence('low.title'),
      'The order and the leaflets come first.',
    ])
      assert.ok(pages.join(' ').includes(part), `${part} on the sheet of ${name}`);
    ++seen;
  }
  assert.ok(seen > 0, 'somebody has a sheet');
});

test('the sheet’s steps are set in 17 points or more', async () => {
  const page = await openPage(browser, bench);
  for (const { id } of people) {
    const { next } = await json(bench, `/api/people/${id}`);
    if (next?.state !== 'dial' || next.print.href === '') continue;
    if ((await json(bench, `/api${next.print.href}`)).refused) continue;
    await page.at(next.print.href);
    const points = await page.evaluate(() =>
      [...document.querySelectorAll('.leaf-a4 ol li p')].map((step) => parseFloat(getComputedStyle(step).fontSize) * 0.75),
    );
    assert.ok(points.length > 0 && points.every((size) => size >= 16.9), String(points));
    const least = await page.evaluate(() =>
      [...document.querySelectorAll('.leaf-a4 :is(p, b, span, h1, h2):not(.printed)')].map(
        (text) => parseFloat(getComputedStyle(text).fontSize) * 0.75,
      ),
    );
    assert.ok(
      least.every((size) => size >= 14.9),
      'nothing under 15 points',
    );
    return;
  }
  assert.fail('nobody has a sheet');
});

test('H37 H48 the dial card: the whole order with its version, whom to phone and page x of y, or a refusal without a number', async () => {
  const page = await openPage(browser, bench);
  let seen = 0;
  for (const { id, name, born_text: born, number } of people) {
    const card = await json(bench, `/api/people/${id}/dial-card`);
    await page.at(`/people/${id}/dial-card`);
    if (!card.lines) {
      await page.getByRole('heading', { name: say('page.not_shown') }).waitFor();
      assert.equal(await page.locator('.card-dose').count(), 0, `${name}: a dose on a card that was refused`);
      continue;
    }
    await page.setViewportSize({ width: 390, height: 844 });
    await nothingSideways(page, `the card of ${name} on a phone`);
    await page.setViewportSize({ width: 1366, height: 900 });
    const pages = await printed(page);
    assert.equal(pages.length, 1, `${name}: the card has ${pages.length} pages`);
    for (const [at, text] of pages.entries()) {
      for (const part of [name, born, number, 'Order version', `page ${at + 1} of ${pages.length}`])
        assert.ok(text.includes(part), `${part} on page ${at + 1} of the card of ${name}`);
    }
    const all = pages.join(' ');
    for (const part of ['Valid until the order changes', 'Never take two doses together.', sentence('low.title'), 'use your spare pen'])
      assert.ok(all.includes(part), `${part} on the card of ${name}`);
    // Beside its text a heading takes two lines.
    await page.getByRole('heading', { name: sentence('card.nothing_title') }).waitFor();
    for (const { doses } of card.lines)
      for (const { hour, dose_text } of doses) assert.ok(all.includes(hour) && all.includes(dose_text), `${hour} ${dose_text} of ${name}`);
    for (const { phone } of card.phones) assert.ok(all.includes(phone), `${phone} on the card of ${name}`);
    const points = await page.evaluate(() =>
      [...document.querySelectorAll('.leaf-a4 :is(p, li, b, h1, h2):not(.printed)')].map(
        (text) => parseFloat(getComputedStyle(text).fontSize) * 0.75,
      ),
    );
    assert.ok(
      points.every((size) => size >= 14.9),
      'nothing under 15 points',
    );
    ++seen;
  }
  assert.ok(seen > 0, 'somebody has a card');
});

test('H28 H48 H55 the visit sheet: what was done, what is next and whom to phone, and no dose on it', async () => {
  const page = await openPage(browser, bench);
  let seen = 0;
  for (const { id, name, born_text: born, number } of people) {
    const what = { what: 'supplies given', insulin: '', needles: 60 };
    const { version } = await json(bench, `/api/people/${id}`);
    await postJson(bench, `/api/people/${id}/facts`, {
      seen_version: version,
      confirmed: true,
      facts: [{ id: crypto.randomUUID(), ...what }],
    });
    const sheet = await json(bench, `/api/people/${id}/visit-sheet`);
    await page.at(`/people/${id}/visit-sheet`);
    if (!sheet.done) {
      await page.getByRole('heading', { name: say('page.not_shown') }).waitFor(); // they cannot read it (H50)
      continue;
    }
    const pages = await printed(page);
    assert.ok(pages.length <= 2, `${name}: the sheet has ${pages.length} pages`);
    for (const [at, text] of pages.entries()) {
      for (const part of [name, born, number, `page ${at + 1} of ${pages.length}`])
        assert.ok(text.includes(part), `${part} on page ${at + 1} of the visit sheet of ${name}`);
    }
    const all = pages.join(' ');
    for (const part of [
      '60 needles',
      'Valid until',
      'Never take two doses together.',
      sentence('low.title'),
      ...sheet.phones.map(({ phone }) => phone),
    ])
      assert.ok(all.includes(part), `${part} on the visit sheet of ${name}`);
    assert.doesNotMatch(all, /\d units(?!\/)/, `${name}: a dose on the visit sheet`);
    assert.ok(!all.includes('dial card') || !sheet.ask_first, `${name}: sent to a card that there is not`);
    // What gives no card sends nobody to one.
    const { lines } = await json(bench, `/api/people/${id}/dial-card`);
    assert.equal(sheet.ask_first, lines === undefined, name);
    assert.equal(all.includes('Phone us before your next dose'), lines === undefined, name);
    ++seen;
  }
  assert.ok(seen > 5, `${seen} have a sheet`);
});

test('the log sheet: four weeks on one page, a row a day, three blanks for each time of the order', async () => {
  const page = await openPage(browser, bench);
  const [{ id, name, born_text: born, number }] = people;
  const log = await json(bench, `/api/people/${id}/log-sheet`);
  await page.at(`/people/${id}/log-sheet`);
  assert.equal(log.days.length, 28);
  assert.equal(await page.locator('table.log tbody tr').count(), 28);
  assert.equal(await page.locator('table.log tbody tr:first-child td').count(), 3 * log.columns.length);
  const pages = await printed(page);
  assert.equal(pages.length, 1);
  for (const part of [name, born, number, 'page 1 of 1', ...log.columns.map(({ hour }) => hour)])
    assert.ok(pages[0].includes(part), `${part} on the log sheet`);
});
