// On paper: who it is about, when it was printed and page x of y on every page; the large-print sheet is one page.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { after, before, test } from 'node:test';
import { json, openPage, startBench, startBrowser } from './bench.mjs';

let bench;
let browser;
let people = [];

before(async () => {
  bench = await startBench({ demo: true });
  browser = await startBrowser();
  people = (await json(bench, '/api/people?q=&page=1')).people;
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

/** The text of each page of what would be printed. */
async function printed(page) {
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
  const text = spawnSync('pdftotext', ['-layout', '-', '-'], { input: pdf, encoding: 'utf8' });
  assert.equal(text.status, 0, text.stderr);
  return text.stdout.split('\f').slice(0, -1);
}

const squeezed = (text) => text.replace(/\s+/g, ' ');

for (const end of ['', '/journal', '/background']) {
  test(`H19 H28 name, birth date, number, time and page x of y on every page of ${end || 'the plan'}`, async () => {
    const page = await openPage(browser, bench);
    const [{ id, name, born_text: born, number }] = people;
    await page.at(`/people/${id}${end}`);
    const pages = (await printed(page)).map(squeezed);
    assert.ok(pages.length > 0);
    for (const [at, text] of pages.entries()) {
      for (const part of [name, born, number, 'printed', `page ${at + 1} of ${pages.length}`]) assert.ok(text.includes(part), `${part} on page ${at + 1}: ${text.slice(0, 200)}`);
    }
  });
}

test('buttons and navigation are not printed', async () => {
  const page = await openPage(browser, bench);
  await page.at(`/people/${people[0].id}`);
  const text = squeezed((await printed(page)).join(' '));
  for (const word of ['Phone desk', 'Copy an order line', 'Give a pen', 'Record something']) assert.ok(!text.includes(word), word);
});

test('H28 H48 the large-print sheet: one page, only for its day, with order version and what to do when low', async () => {
  const page = await openPage(browser, bench);
  let seen = 0;
  for (const { id, name, born_text: born, number } of people) {
    const { next } = await json(bench, `/api/people/${id}`);
    if (next?.state !== 'dial' || next.print.href === '') continue;
    await page.at(next.print.href);
    const pages = (await printed(page)).map(squeezed);
    assert.equal(pages.length, 1, `${name}: the sheet has ${pages.length} pages`);
    for (const part of [name, born, number, 'page 1 of 1', 'Only for', 'Order version', 'Low?']) assert.ok(pages[0].includes(part), `${part} on the sheet of ${name}`);
    ++seen;
  }
  assert.ok(seen > 0, 'somebody has a sheet');
});

test('the sheet’s steps are set in 17 points or more', async () => {
  const page = await openPage(browser, bench);
  for (const { id } of people) {
    const { next } = await json(bench, `/api/people/${id}`);
    if (next?.state !== 'dial' || next.print.href === '') continue;
    await page.at(next.print.href);
    const points = await page.evaluate(() => [...document.querySelectorAll('.leaf-a4 ol li p')].map((step) => parseFloat(getComputedStyle(step).fontSize) * 0.75));
    assert.ok(points.length > 0 && points.every((size) => size >= 16.9), String(points));
    return;
  }
});
