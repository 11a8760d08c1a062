// Without a mouse: skip link, focus that is seen and goes to the heading, a press and a form from the keyboard alone.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { factsCalled, nameClinic, openPage, register, say, sentence, startBench, startBrowser } from './bench.mjs';

let bench;
let browser;
let page;
let person = '';

before(async () => {
  bench = await startBench();
  await nameClinic(bench);
  person = await register(bench);
  browser = await startBrowser();
  page = await openPage(browser, bench);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

/** Presses Tab until the focus is on something with this name. */
async function tabTo(name, most = 120) {
  for (let at = 0; at < most; ++at) {
    const here = await page.evaluate(() => {
      const on = document.activeElement === document.body ? null : document.activeElement;
      const labels =
        on instanceof HTMLInputElement || on instanceof HTMLTextAreaElement || on instanceof HTMLSelectElement
          ? [...(on.labels ?? [])].map((label) => label.textContent)
          : [];
      return [on?.textContent ?? '', ...labels].join(' ').trim();
    });
    if (here.includes(name)) return;
    await page.keyboard.press('Tab');
  }
  assert.fail(`Tab never came to ${name}`);
}

const ring = () =>
  page.evaluate(() => {
    const style = getComputedStyle(document.activeElement);
    return `${style.outlineStyle} ${style.outlineWidth} ${style.outlineOffset}`;
  });

test('the first Tab offers to skip the navigation', async () => {
  await page.at('/people');
  await page.keyboard.press('Tab');
  assert.equal(await page.evaluate(() => document.activeElement?.textContent), say('page.skip'));
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  assert.equal(await page.evaluate(() => document.activeElement?.closest('main') !== null), true);
});

test('what has the focus has a ring of 3 pixels, 3 pixels away', async () => {
  await page.at('/people');
  await tabTo(say('register.title'));
  assert.equal(await ring(), 'solid 3px 3px');
});

test('a link moves the focus to the new page’s heading, and names the page', async () => {
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: say('register.title') }).waitFor();
  await page.waitForFunction(() => document.activeElement?.tagName === 'H1');
  assert.equal(await page.title(), say('page.title', { title: say('register.title') }));
});

test('a note is recorded from the keyboard alone', async () => {
  await page.at(`/people/${person}`);
  await tabTo(say('record.add'));
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: say('record.add') }).waitFor();
  await tabTo(sentence('form/note'));
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: sentence('form/note') }).waitFor();
  await page.waitForFunction(() => document.activeElement?.tagName === 'H1'); // from the heading on, it is a few steps
  for (let at = 0; at < 12 && !(await page.evaluate(() => document.activeElement?.tagName === 'TEXTAREA')); ++at)
    await page.keyboard.press('Tab');
  await page.keyboard.type('Seen with her sister.');
  await tabTo('Record the note');
  await page.keyboard.press('Enter');
  await page.waitForURL(new RegExp(`/people/${person}$`));
  assert.equal((await factsCalled(bench, person, 'note')).length, 1);
});

test('a dialog keeps the focus, and Escape gives it back', async () => {
  await page.at(`/people/${person}/journal`);
  await tabTo(say('form.correct'));
  await page.keyboard.press('Enter');
  await page.getByRole('dialog').waitFor();
  for (let at = 0; at < 12; ++at) {
    await page.keyboard.press('Tab');
    const inside = await page.evaluate(
      () => document.activeElement === document.body || document.activeElement?.closest('dialog') !== null,
    );
    assert.ok(inside, 'the focus left the dialog');
  }
  await page.keyboard.press('Escape');
  await page.getByRole('dialog').waitFor({ state: 'detached' });
  assert.match(await page.evaluate(() => document.activeElement?.textContent ?? ''), /Correct/);
});

test('every control is 44 pixels high', async () => {
  for (const path of ['/', '/people', '/phone', `/people/${person}`, `/people/${person}/order/new`]) {
    await page.at(path);
    const low = await page.evaluate(() =>
      [...document.querySelectorAll('.act, main input:not([type=radio],[type=checkbox]), main select, .option, .tabs a, .mast nav a')]
        .filter((element) => element.getClientRects().length > 0 && element.getBoundingClientRect().height < 43.9)
        .map((element) => `${element.textContent} ${element.getBoundingClientRect().height}`),
    );
    assert.deepEqual(low, [], path);
  }
});
