// The clinic's stock: a carton is scanned and taken in, handed out, counted; a lot is called back and everybody whom it reached is called.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import {
  axeFindsNothing,
  dayAhead,
  json,
  keptQuiet,
  nothingSideways,
  openPage,
  plain,
  printed,
  say,
  sentence,
  settled,
  startBench,
  startBrowser,
} from './bench.mjs';

let bench;
let browser;
let person;

const sizes = [
  [1600, 1000],
  [1366, 900],
  [820, 1180],
  [683, 450],
  [390, 844],
];
const item = 'glargine-100-cartridge';
/** Restricted-circulation numbers of the GS1 range for use inside one house; the check digit is the last one. */
const gtinWith = (digits) => {
  const sum = [...digits].reverse().reduce((all, digit, at) => all + Number(digit) * (at % 2 === 0 ? 3 : 1), 0);
  return digits + String((10 - (sum % 10)) % 10);
};
const sixDigits = (day) => day.slice(2).replaceAll('-', '');
const gtin = gtinWith('0203456789012');
/** A day as its field shows it. */
const inWords = (day) =>
  new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' }).format(Date.parse(day));

/** Until when an ordinary carton serves, and one that is made later. */
let serves;
let servesLater;
const carton = (lot, until = sixDigits(serves)) => `(01)${gtin}(17)${until}(10)${lot}`;

const stock = () => json(bench, '/api/stock');
const lotOf = async (lot) => (await stock()).items.flatMap(({ lots }) => lots).find((one) => one.lot === lot);

async function sent(page, where) {
  await page.waitForURL((url) => url.pathname === where);
  await page.locator('.stock-lots').waitFor();
}

async function scan(page, text) {
  await page.getByLabel(say('stock.scan')).fill(text);
  await page.getByLabel(say('stock.scan')).press('Enter');
}

/** A delivery as the form sends it, for tests that are about what follows. */
async function came(lot, pieces, expires, of = item) {
  const answer = await fetch(`${bench.base}/api/clinic/facts`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ confirmed: true, facts: [{ what: 'stock came', item: of, lot, pieces, ...(expires ? { expires } : {}) }] }),
  });
  assert.equal(answer.status, 200, await answer.text());
}

before(async () => {
  bench = await startBench({ demo: true });
  browser = await startBrowser();
  [person] = (await json(bench, '/api/people?q=HS%2004172')).people;
  assert.ok(person);
  serves = await dayAhead(bench, 732);
  servesLater = await dayAhead(bench, 822);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

test('a product is learnt once: the next carton of it fills the form', async () => {
  const page = await openPage(browser, bench);
  await page.at('/stock/delivery');
  await scan(page, carton('X/77'));
  await page.getByText(sentence('scan.what.product_unknown')).waitFor();
  await page.getByLabel(say('stock.product'), { exact: true }).selectOption(item);
  await page.getByLabel(say('stock.per_carton')).fill('5');
  await page.getByLabel(say('stock.cartons'), { exact: true }).fill('4');
  await page.getByText(say('stock.in_all', { count: 20 })).waitFor();
  assert.ok(await page.getByLabel(say('stock.gtin', { gtin })).isChecked());
  assert.equal(await page.getByLabel(say('stock.lot')).inputValue(), 'X/77');
  assert.equal(await page.getByLabel(say('stock.expiry')).inputValue(), inWords(serves));
  await page.getByRole('button', { name: say('stock.delivery_record') }).dblclick(); // H07: once
  await sent(page, '/stock');
  assert.equal((await lotOf('X/77')).left_text, '20');
  await page.at('/stock/delivery');
  await scan(page, carton('X78'));
  await page.locator('.scanned').waitFor();
  assert.equal(await page.getByLabel(say('stock.product'), { exact: true }).inputValue(), item);
  assert.equal(await page.getByLabel(say('stock.per_carton')).inputValue(), '5');
  await page.getByRole('button', { name: say('stock.delivery_record') }).click();
  await sent(page, '/stock');
  assert.equal((await lotOf('X78')).left_text, '5');
  keptQuiet(page, 'a delivery');
});

test('H25 a code that was read wrongly is refused with its place, and fills nothing', async () => {
  const page = await openPage(browser, bench);
  await page.at('/stock/delivery');
  await scan(page, `(01)${gtin.slice(0, 13)}${(Number(gtin.at(-1)) + 1) % 10}(10)Y1`);
  const refusal = page.locator('.scan [role=alert]');
  await refusal.waitFor();
  assert.match(await refusal.innerText(), /check digit at position 18/);
  assert.equal(await page.getByLabel(say('stock.lot')).inputValue(), '');
  // The page's own console notes the refusal's status; nothing else was said there.
});

test('another carton does not replace a delivery that is not recorded, unless one says so', async () => {
  const page = await openPage(browser, bench);
  await page.at('/stock/delivery');
  const lot = page.getByLabel(say('stock.lot'));
  const dialog = page.getByRole('dialog', { name: say('stock.other') });
  await scan(page, carton('A1'));
  await page.locator('.scanned').waitFor();
  await page.getByLabel(say('stock.cartons'), { exact: true }).fill('3');
  await scan(page, carton('A1')); // one more of the same: what was typed stays
  await page.still();
  assert.equal(await dialog.count(), 0);
  assert.equal(await page.getByLabel(say('stock.cartons'), { exact: true }).inputValue(), '3');
  await scan(page, carton('B2', sixDigits(servesLater)));
  await dialog.getByRole('button', { name: say('stock.other_keep') }).click();
  assert.equal(await lot.inputValue(), 'A1');
  assert.equal(await page.locator('.scanned').count(), 0, 'what is said is about what the form holds');
  await scan(page, carton('B2', sixDigits(servesLater)));
  await dialog.getByRole('button', { name: say('stock.other_fill') }).click();
  assert.equal(await lot.inputValue(), 'B2');
  assert.equal(await page.getByLabel(say('stock.expiry')).inputValue(), inWords(servesLater));
  assert.equal(await page.getByLabel(say('stock.cartons'), { exact: true }).inputValue(), '1');
  await page.getByLabel(say('stock.gtin', { gtin })).uncheck(); // what is typed is another product
  await page.getByText(say('stock.gtin_off')).waitFor();
  await scan(page, '(01)1'); // a broken one changes nothing
  await page.locator('.scan [role=alert]').waitFor();
  assert.equal(await lot.inputValue(), 'B2');
  await page.getByLabel(say('stock.cartons'), { exact: true }).fill('1.5');
  await page.getByRole('button', { name: say('stock.delivery_record') }).click();
  await page.locator('.form .answer').waitFor();
  assert.equal(await lotOf('B2'), undefined, 'half a carton is no delivery');
});

test('a delivery by keyboard alone, as a scanner types it', async () => {
  const page = await openPage(browser, bench);
  await page.at('/stock/delivery');
  await page.getByLabel(say('stock.scan')).focus();
  await page.keyboard.insertText(`]d201${gtin}17${sixDigits(serves)}10GS1\u001d21SERIAL`); // the lot ends with control character 29
  await page.keyboard.press('Enter');
  await page.locator('.scanned').waitFor();
  assert.equal(await page.getByLabel(say('stock.lot')).inputValue(), 'GS1');
  for (
    let steps = 0;
    steps < 40 && !(await page.evaluate((button) => document.activeElement?.textContent === button, say('stock.delivery_record')));
    ++steps
  )
    await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await sent(page, '/stock');
  assert.equal((await lotOf('GS1')).left_text, '5');
  keptQuiet(page, 'a delivery by keyboard');
});

test('H12 an expired carton says so before anything else', async () => {
  const page = await openPage(browser, bench);
  await page.at('/stock/delivery');
  await scan(page, carton('OLD', '200131'));
  await page.getByText(sentence('scan.verdict.stop')).waitFor();
  await page.getByText('It expired on').waitFor();
  await page.getByText('Nobody goes without insulin').waitFor();
});

test('what is handed out leaves the shelf and is at home', async () => {
  await came('HAND1', 10, await dayAhead(bench, 91)); // expires first of all that serve
  const before = (await json(bench, `/api/people/${person.id}/supplies`)).at_home.map(({ text }) => plain(text)).join(' ');
  const page = await openPage(browser, bench);
  await page.at(`/people/${person.id}/supplies`);
  await page.getByRole('link', { name: say('supply.issue') }).click();
  const lots = page.getByLabel(say('supply.which_lot'));
  const value = await lots.locator('option', { hasText: 'HAND1' }).getAttribute('value');
  assert.match(await lots.locator('option', { hasText: 'HAND1' }).innerText(), /issue first/);
  await lots.selectOption(value);
  await page.getByLabel(say('stock.quantity')).fill('5');
  await page.getByRole('button', { name: say('supply.issue_record') }).dblclick(); // H07
  const odd = page.getByRole('dialog', { name: say('outcome.check') });
  const back = page.locator('.at-home');
  await odd.or(back).first().waitFor();
  if ((await odd.count()) > 0) {
    await settled(page);
    await odd.getByRole('button', { name: say('outcome.confirm') }).click();
  }
  await back.waitFor();
  assert.equal((await lotOf('HAND1')).left_text, '5');
  const after = (await json(bench, `/api/people/${person.id}/supplies`)).at_home.map(({ text }) => plain(text)).join(' ');
  assert.notEqual(after, before);
  assert.ok((await stock()).moves.some(({ person: to, text }) => to?.id === person.id && plain(text).includes('HAND1')));
  keptQuiet(page, 'a hand-out');
});

test('H12 H38 an expired carton is scanned for somebody: it is not handed out, and nobody goes without', async () => {
  await came('PAST1', 5, '2020-01-31');
  const page = await openPage(browser, bench);
  await page.at(`/people/${person.id}/supplies/hand-out`);
  assert.equal(await page.getByLabel(say('supply.which_lot')).locator('option', { hasText: 'PAST1' }).count(), 0, 'it is not offered');
  await scan(page, carton('PAST1', '200131'));
  await page.getByText(sentence('scan.verdict.stop')).waitFor();
  await page.getByText('Nobody goes without insulin').waitFor();
  await page.getByRole('button', { name: say('supply.issue_record') }).click();
  const refusal = page.locator('.form [role=alert]');
  await refusal.waitFor();
  assert.match(await refusal.innerText(), /Nobody goes without insulin/);
  assert.equal((await lotOf('PAST1')).left_text, '5');
  const other = gtinWith('0203456789999');
  await scan(page, `(01)${other}(17)${sixDigits(serves)}(10)NEW1`);
  await page.getByText(sentence('scan.what.product_unknown')).waitFor();
  assert.equal(await page.getByLabel(say('supply.which_lot')).inputValue(), '', 'the carton before it is not handed out instead');
});

test('H38 a lot that was called back is not handed out, and nobody goes without', async () => {
  const [{ lot }] = (await stock()).recalls;
  const { version } = await json(bench, `/api/people/${person.id}`);
  const answer = await fetch(`${bench.base}/api/people/${person.id}/hand-outs`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      seen_version: version,
      confirmed: true,
      facts: [{ what: 'stock moved', item, lot, pieces: 5, way: 'handed out' }],
    }),
  });
  const { refused } = await answer.json();
  assert.equal(refused.code, 'stock.lot_recalled');
  assert.match(refused.do_this, /Nobody goes without insulin/);
  const page = await openPage(browser, bench);
  await page.at(`/people/${person.id}/supplies/hand-out`);
  assert.equal(await page.getByLabel(say('supply.which_lot')).locator('option', { hasText: lot }).count(), 0, 'it is not offered');
});

test('a lot is counted, and something of it is destroyed', async () => {
  await came('CNT1', 10, servesLater);
  const page = await openPage(browser, bench);
  await page.at('/stock');
  await page.getByRole('link', { name: new RegExp(`${say('stock.record')} .* CNT1`) }).click();
  await page.getByLabel(say('stock.counted')).check();
  await page.getByLabel(say('stock.quantity')).fill('9');
  await page.getByRole('button', { name: say('stock.record') }).click();
  await sent(page, '/stock');
  let lot = await lotOf('CNT1');
  assert.equal(lot.left_text, '10', 'the account stays');
  assert.match(lot.count_text, /^9 counted/);
  await page.getByRole('link', { name: new RegExp(`${say('stock.record')} .* CNT1`) }).click();
  await page.getByLabel(say('stock.destroyed')).check();
  await page.getByLabel(say('stock.quantity')).fill('10');
  await page.getByRole('button', { name: say('stock.record') }).click();
  await sent(page, '/stock');
  lot = await lotOf('CNT1');
  assert.equal(lot?.left_text ?? '0', '0');
  keptQuiet(page, 'a count');
});

test('a hand-out by mistake is taken back, here and at home', async () => {
  const before = (await lotOf('HAND1')).left_text;
  const page = await openPage(browser, bench);
  await page.at('/stock');
  const row = page.locator('.dated li', { hasText: 'HAND1, issued' }).first();
  await row.getByRole('button', { name: sentence('act.take_back_both') }).click();
  const dialog = page.getByRole('dialog', { name: sentence('act.take_back_both') });
  await dialog.getByLabel(sentence('field.why_taken_back')).fill('the wrong person');
  await dialog.getByRole('button', { name: sentence('act.take_back_both') }).click();
  await page.locator('.receipt').waitFor();
  assert.equal(before, '5');
  assert.equal((await lotOf('HAND1')).left_text, '10');
  assert.ok(!(await json(bench, '/api/recalls/HAND1')).people.some(({ id }) => id === person.id));
  keptQuiet(page, 'taken back');
});

test('closed days: by keyboard alone', async () => {
  const page = await openPage(browser, bench);
  const closedDay = await dayAhead(bench, 153);
  await page.at('/stock/closed');
  await page.getByLabel('Wednesday').focus();
  await page.keyboard.press('Space');
  await page.getByLabel(say('stock.closed_day')).fill(closedDay);
  await page.getByRole('button', { name: say('stock.closed_add') }).focus();
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: say('stock.closed_record') }).focus();
  await page.keyboard.press('Enter');
  await sent(page, '/stock');
  const { closed } = (await stock()).forms;
  assert.deepEqual(closed, { weekdays: ['wednesday', 'saturday', 'sunday'], dates: [closedDay] });
});

test('H38 H28 the call sheet opens with insulin going on, names everybody, and is dated page by page', async () => {
  const [{ lot, href }] = (await stock()).recalls;
  const recall = await json(bench, `/api/recalls/${lot}`);
  assert.ok(recall.people.length > 1);
  const page = await openPage(browser, bench);
  await page.at('/stock');
  await page.getByRole('link', { name: `Lot ${lot}` }).click();
  await page.waitForURL(`**${href}`);
  await page.locator('.reached').first().waitFor();
  assert.match(await page.locator('main').innerText(), /^\s*Do not stop insulin\. Replacement first\./);
  const paper = await printed(page);
  assert.ok(paper[0].indexOf('Do not stop insulin') >= 0 && paper[0].indexOf('Do not stop insulin') < paper[0].indexOf('Recall of lot'));
  for (const [at, text] of paper.entries())
    for (const part of [`page ${at + 1} of ${paper.length}`, 'printed ']) assert.ok(text.includes(part), `${part}: ${text.slice(0, 200)}`);
  const all = paper.join(' ');
  for (const one of recall.people) for (const part of [one.name, one.born_text, one.number]) assert.ok(all.includes(part), part);
  for (const part of [say('recall.replaced'), 'For this recall only']) assert.ok(all.includes(part), part);
  assert.ok(!all.includes(say('recall.print')));
  keptQuiet(page, 'a recall');
});

test('a call is recorded, and whoever has a replacement goes to the end', async () => {
  const [{ lot }] = (await stock()).recalls;
  const page = await openPage(browser, bench);
  await page.at(`/recall/${lot}`);
  const row = page.locator('.reached').first();
  const name = await row.getByRole('heading').innerText();
  const issue = row.getByRole('link', { name: say('supply.issue') });
  assert.match(await issue.getAttribute('href'), /\/supplies\/hand-out$/, 'the replacement is issued from here');
  await row.getByRole('button', { name: sentence('act.call_replaced') }).click();
  const dialog = page.getByRole('dialog', { name: sentence('act.call_replaced') });
  await dialog.getByLabel(sentence('field.in_words')).fill('fetched by a neighbour');
  await dialog.getByRole('button', { name: sentence('act.call_replaced') }).click();
  await page.getByText('fetched by a neighbour').waitFor();
  const recall = await json(bench, `/api/recalls/${lot}`);
  const place = recall.people.findIndex((one) => one.name === name);
  assert.ok(place > 0, 'no longer the first');
  assert.equal(recall.people[place].state, 'reached, and has a replacement');
  keptQuiet(page, 'a call');
});

test('a lot that is typed otherwise is found; one that nobody has says so and can be opened', async () => {
  const [{ lot }] = (await stock()).recalls;
  const page = await openPage(browser, bench);
  await page.at('/stock');
  await page
    .locator('.ask-lot')
    .getByLabel(say('stock.lot'))
    .fill(` ${lot.toLowerCase().split('').join('-')} `);
  await page.getByRole('button', { name: say('stock.find') }).click();
  await page.locator('.reached').first().waitFor();
  await page.at('/stock');
  await page.locator('.ask-lot').getByLabel(say('stock.lot')).fill(lot.split('').join('/')); // a stroke is no end of a path
  await page.getByRole('button', { name: say('stock.find') }).click();
  await page.locator('.reached').first().waitFor();
  await page.at('/recall/NONE-9');
  await page.getByText(sentence('recall.lead_none')).waitFor();
  await page.getByRole('button', { name: 'Open a recall of this lot' }).click();
  const dialog = page.getByRole('dialog', { name: 'Open a recall of this lot' });
  await dialog.getByRole('textbox').fill('the authority');
  await dialog.getByRole('button', { name: 'Open a recall of this lot' }).click();
  await page.getByText('on notice from the authority').waitFor();
  assert.ok((await stock()).recalls.some((one) => one.lot === 'NONE-9'));
});

test('Today names a recall first while somebody waits for a replacement', async () => {
  const today = await json(bench, '/api/today');
  assert.equal(today.groups[0].title, sentence('today.recalls'));
  const page = await openPage(browser, bench);
  await page.at('/');
  await page.getByRole('link', { name: 'Call them' }).first().click();
  await page.locator('.first-line').waitFor();
});

test('the month says what of it is on the shelf, and what to order', async () => {
  const month = await json(bench, '/api/month?days=60');
  assert.ok(month.sums.some(({ shelf, order }) => shelf !== '' && order !== ''));
  const page = await openPage(browser, bench);
  await page.at('/month');
  await page.evaluate(() => (window.print = () => document.body.setAttribute('data-printed', '')));
  await page.getByRole('button', { name: say('month.print') }).click();
  await page.locator('body[data-printed]').waitFor();
  await page.getByRole('columnheader', { name: say('month.to_reorder') }).waitFor();
});

test('axe finds nothing, and nothing goes sideways', async () => {
  const [{ lot }] = (await stock()).recalls;
  const page = await openPage(browser, bench);
  for (const path of [
    '/stock',
    '/stock/delivery',
    `/stock/lot?item=${item}&lot=X78`,
    '/stock/closed',
    `/recall/${lot}`,
    `/people/${person.id}/supplies/hand-out`,
  ]) {
    await page.at(path);
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      await nothingSideways(page, `${path} at ${width}`);
    }
    await axeFindsNothing(page, path);
  }
});
