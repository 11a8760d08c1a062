// Supplies: counted, asked for, given, tested and packed for a trip; what is recorded is what was typed, and it is shown beside the account.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, resolve } from 'node:path';
import { after, before, test } from 'node:test';
import { fileURLToPath } from 'node:url';
import {
  allPeople,
  axeFindsNothing,
  dayAhead,
  factsCalled,
  json,
  keptQuiet,
  measuredOnce,
  newest,
  nothingSideways,
  nothingToPress,
  openPage,
  plain,
  printed,
  say,
  settled,
  sidewaysAt,
  startBench,
  startBrowser,
} from './bench.mjs';

const web = resolve(dirname(fileURLToPath(import.meta.url)), '../../web');

let bench;
let browser;
/** Everybody of the demo clinic with something whose end can be counted: id, name, document. */
let kept = [];
/** Those for whom nothing can be counted yet: every section is empty and says what to do. */
let bare = [];

const suppliesOf = (id) => json(bench, `/api/people/${id}/supplies`);

before(async () => {
  bench = await startBench({ demo: true });
  browser = await startBrowser();
  for (const { id, name, born_text: born, number } of await allPeople(bench)) {
    const page = await suppliesOf(id);
    assert.ok(page.cover, `${name}: ${JSON.stringify(page).slice(0, 200)}`);
    (page.cover.rows.length > 0 ? kept : bare).push({ id, name, born, number, page });
  }
  assert.ok(kept.length > 0, 'somebody of the demo clinic has supplies that can be counted');
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

const forms = ['/give', '/count', '/rules', '/box', '/trip', '/test', '/talk'];
const sizes = [
  [1600, 1000],
  [1366, 900],
  [1024, 768],
  [820, 1180],
  [683, 450],
  [390, 844],
];

/** One for whom something can be asked, with insulin at home and a pen. */
const somebody = () =>
  kept.find(
    ({ page }) => page.cover.asks.some(({ facts }) => facts[0].boxes > 0) && page.forms.insulins.length > 0 && page.forms.pens.length > 0,
  ) ?? assert.fail('somebody has to ask for more');

const sameId = (a, b) => a.replaceAll('-', '') === b.replaceAll('-', '');

async function recorded(page, label) {
  const odd = page.getByRole('dialog', { name: say('outcome.check') });
  const receipt = page.locator('.receipt', { hasText: label });
  await odd.or(receipt).first().waitFor();
  if ((await odd.count()) > 0) await odd.getByRole('button', { name: say('outcome.confirm') }).press('Enter');
  await receipt.waitFor();
}

/** A form goes back to the page of supplies once its facts are recorded; an odd one asks first. */
async function sent(page, id) {
  const odd = page.getByRole('dialog', { name: say('outcome.check') });
  const back = page.locator('.at-home');
  await odd.or(back).first().waitFor();
  if ((await odd.count()) > 0) await odd.getByRole('button', { name: say('outcome.confirm') }).press('Enter');
  await back.waitFor();
  assert.equal(new URL(page.url()).pathname, `/people/${id}/supplies`);
}

async function openForm(page, id, part) {
  await page.at(`/people/${id}/supplies/${part}`);
  await page.locator('main form.form').waitFor();
}

async function isOneSheet(page, { name, born, number }, parts) {
  const pages = await printed(page);
  assert.equal(pages.length, 1, `the sheet has ${pages.length} pages`);
  for (const part of [name, born, number, say('print.pages', { page: 1, pages: 1 }), ...parts])
    assert.ok(pages[0].includes(part), `${part} on the sheet: ${pages[0]}`);
  await nothingToPress(page, 'the sheet');
}

test('milligrams become units, percent thousandths, without a binary fraction in between', async () => {
  const { transformSync } = createRequire(join(web, 'package.json'))('esbuild');
  const { code } = transformSync(readFileSync(join(web, 'src/supplies/numbers.ts'), 'utf8'), { loader: 'ts', format: 'esm' });
  const { unitsOfMilligrams, percentOf, thousandOf } = await import(`data:text/javascript,${encodeURIComponent(code)}`);
  const weighed = [
    ['100', 100, '10'],
    ['98.7', 100, '9.87'],
    ['98.75', 100, '9.88'],
    ['98.749', 100, '9.87'],
    ['0.4', 100, '0.04'],
    ['0', 100, '0'],
    ['1000', 100, '100'],
    ['100', 200, '20'],
    ['33.35', 300, '10.01'],
    ['33.333', 300, '10'],
    ['20', 500, '10'],
    ['100', 40, '4'],
    ['0.12', 40, '0'],
    ['0.125', 40, '0.01'],
    ['999999.999', 500, '500000'],
    ['98,7', 100, ''],
    ['-1', 100, ''],
    ['1e2', 100, ''],
    ['012', 100, ''],
    ['1.2345', 100, ''],
    ['', 100, ''],
    ['100', 0, ''],
  ];
  for (const [mg, strength, units] of weighed) assert.equal(unitsOfMilligrams(mg, strength), units, `${mg} mg at ${strength}`);
  for (const [thousand, percent] of [
    [990, '99.0'],
    [999, '99.9'],
    [955, '95.5'],
    [500, '50.0'],
    [undefined, ''],
    ['990', ''],
  ])
    assert.equal(percentOf(thousand), percent);
  for (const [percent, thousand] of [
    ['99.0', 990],
    ['99', 990],
    ['95.5', 955],
    ['99.55', '99.55'],
    ['', ''],
    ['high', 'high'],
  ])
    assert.equal(thousandOf(percent), thousand);
});

test('supplies begin with Cover: one drawing, wide or narrow, and what it says in words', async () => {
  const page = await openPage(browser, bench);
  const { id, page: supplies } = somebody();
  await page.at(`/people/${id}/supplies`);
  await page.getByRole('heading', { name: say('supply.cover'), exact: true }).waitFor();
  const drawings = page.locator('.cover').getByRole('img');
  const rows = page.locator('.cover-rows');
  for (const [width, seen, hidden] of [
    [1366, '.wide-only', '.narrow-only'],
    [820, '.narrow-only', '.wide-only'],
  ]) {
    await page.setViewportSize({ width, height: 900 });
    assert.equal(await drawings.count(), 1, `one drawing is read at ${width}`);
    assert.equal(await page.locator(`.cover ${seen}`).isVisible(), true, `${seen} at ${width}`);
    assert.equal(await page.locator(`.cover ${hidden}`).isVisible(), false, `${hidden} at ${width}`);
    assert.equal(
      await rows.evaluate((list) => list.offsetHeight > 20),
      width === 820,
      'the rows are seen where there is no room for the wide drawing',
    );
  }
  for (const { name, stock_text: stock } of supplies.cover.rows) {
    const row = await rows.getByRole('listitem').filter({ hasText: name }).first().innerText();
    assert.ok(row.includes(stock), `${name}: ${stock}`);
  }
  const said = await page.locator('.cover').innerText();
  for (const lead of supplies.cover.lead) assert.ok(said.includes(plain(lead)), plain(lead));
  keptQuiet(page, 'Cover');
});

test('axe finds nothing on the pages about supplies', async () => {
  const page = await openPage(browser, bench);
  for (const { id, name } of [...kept.slice(0, 6), ...bare.slice(0, 2)]) {
    await page.at(`/people/${id}/supplies`);
    await page.getByRole('heading', { name: say('supply.counts') }).waitFor();
    await axeFindsNothing(page, `supplies of ${name}`);
  }
  const { id } = somebody();
  for (const part of forms) {
    await page.at(`/people/${id}/supplies${part}`);
    await page.locator('main h2').first().waitFor();
    await axeFindsNothing(page, part);
  }
  keptQuiet(page, 'the pages about supplies');
});

const sideways = measuredOnce(async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  const over = await sidewaysAt(
    page,
    sizes,
    ['', '/supplies', ...forms.map((part) => `/supplies${part}`)].map((end) => `/people/${id}${end}`),
    'main h2',
  );
  keptQuiet(page, 'the pages about supplies, at every width');
  return over;
});

for (const [width] of sizes) {
  test(`nothing about supplies scrolls sideways at ${width} pixels`, async () => assert.deepEqual((await sideways()).get(width), []));
}

test('H19 the pages about supplies name the person, with birth date and number', async () => {
  const page = await openPage(browser, bench);
  const { id, name, born, number } = somebody();
  for (const end of ['', ...forms]) {
    await page.at(`/people/${id}/supplies${end}`);
    const head = await page.locator('.who').first().innerText();
    for (const part of [name, born, number]) assert.ok(head.includes(part), `${part} at ${end}`);
    await page.waitForFunction((who) => document.title.includes(who), name, { timeout: 5000 });
  }
});

test('H41 a count that differs stands beside the account; neither overwrites the other', async () => {
  const page = await openPage(browser, bench);
  const { id, page: supplies } = somebody();
  const [{ insulin, label, strength_units_per_ml: strength, each_units: each }] = supplies.forms.insulins;
  const row = supplies.at_home.find(({ name }) => name.toLowerCase().includes(insulin)) ?? assert.fail(`${insulin} is at home`);
  const account = Number(row.text.find((run) => typeof run !== 'string').b);
  await page.at(`/people/${id}/supplies`);
  await page
    .locator('.at-home')
    .getByRole('link', { name: say('supply.count') })
    .click();
  await page.getByLabel(label).fill(String(account + 2));
  await page.getByRole('button', { name: say('supply.count_record') }).click();
  await sent(page, id);
  const fact = await newest(bench, id, 'supplies counted');
  assert.deepEqual([fact.insulin, fact.strength_units_per_ml, fact.each_units, fact.cartridges], [insulin, strength, each, account + 2]);
  const after = (await suppliesOf(id)).at_home.find(({ name }) => name === row.name);
  const numbers = plain(after.text).match(/\d+/g).map(Number);
  assert.ok(numbers.includes(account) && numbers.includes(account + 2), `both stand: ${plain(after.text)}`);
  await page.locator('.at-home', { hasText: plain(after.text) }).waitFor();
  keptQuiet(page, 'a count');
});

test('H25 a count that is no number is refused beside its field and stays typed', async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  await openForm(page, id, 'count');
  await page.getByRole('button', { name: say('supply.count_record') }).click();
  await page.locator('.field.wrong').waitFor();
  await page.getByLabel(say('supply.needles_all')).fill('many');
  await page.getByRole('button', { name: say('supply.count_record') }).click();
  await page.locator('form .refusal').waitFor();
  assert.equal(await page.getByLabel(say('supply.needles_all')).inputValue(), 'many');
  assert.equal(await page.locator('.field.wrong').getByLabel(say('supply.needles_all')).count(), 1);
});

test('boxes are asked for with one press, and are awaited', async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  await page.at(`/people/${id}/supplies`);
  const { cover } = await suppliesOf(id);
  const ask = cover.asks.find(({ facts }) => facts[0].boxes > 0);
  await page.locator('.cover').getByRole('button', { name: ask.label }).click();
  const dialog = page.getByRole('dialog', { name: ask.label });
  await axeFindsNothing(page, 'asking for boxes');
  for (const { label, kind } of ask.fill ?? []) if (kind === 'text') await dialog.getByLabel(label).fill('the pharmacy');
  await dialog.getByRole('button', { name: ask.label }).click();
  await recorded(page, ask.label);
  const fact = await newest(bench, id, 'supplies asked for');
  assert.deepEqual([fact.insulin, fact.boxes], [ask.facts[0].insulin, ask.facts[0].boxes]);
  const after = await suppliesOf(id);
  assert.ok(after.asked.length > 0 && !after.cover.asks.some(({ label }) => label === ask.label), 'nobody is told to ask twice');
  const [awaited] = after.asked;
  await page
    .locator('.asked li', { hasText: plain(awaited.text) })
    .filter({ hasText: awaited.state_text })
    .waitFor();
  keptQuiet(page, 'asking for boxes');
});

test('a certainty below 99% needs a reason and a name', async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  await openForm(page, id, 'rules');
  assert.match(await page.getByLabel(say('supply.service')).inputValue(), /^\d+\.\d$/, 'percent with one decimal');
  assert.equal(await page.getByLabel(say('supply.service_reason')).count(), 0);
  const earlier = (await factsCalled(bench, id, 'supply rules set')).length;
  await page.getByLabel(say('supply.service')).fill('95');
  await page.getByRole('button', { name: say('form.record_rules') }).click();
  assert.equal(
    await page.getByLabel(say('supply.service_reason')).evaluate((field) => field.matches(':invalid')),
    true,
    'the reason is needed',
  );
  await page.getByLabel(say('supply.service_reason')).fill(' '); // past the browser, the server asks for it
  await page.getByLabel(say('supply.service_by')).fill('Marit Oyelaran');
  await page.getByRole('button', { name: say('form.record_rules') }).click();
  await page.locator('form .refusal').waitFor();
  assert.equal((await factsCalled(bench, id, 'supply rules set')).length, earlier, 'nothing was recorded');
  await settled(page);
  await page.getByLabel(say('supply.service_reason')).fill('Lives beside the pharmacy');
  await page.getByRole('button', { name: say('form.record_rules') }).click();
  await sent(page, id);
  const fact = await newest(bench, id, 'supply rules set');
  assert.deepEqual([fact.service_per_thousand, fact.service_reason, fact.service_by], [950, 'Lives beside the pharmacy', 'Marit Oyelaran']);
  await page.locator('.cover', { hasText: 'Lives beside the pharmacy' }).waitFor(); // the departure is said where the day to ask stands
  await openForm(page, id, 'rules');
  assert.equal(await page.getByLabel(say('supply.service')).inputValue(), '95.0');
  assert.equal(await page.getByLabel(say('supply.service_by')).inputValue(), 'Marit Oyelaran');
  keptQuiet(page, 'rules for supplies');
});

test('needles of a type are given by their length, insulin beside them', async () => {
  const page = await openPage(browser, bench);
  const { id, page: supplies } = somebody();
  const [insulin] = supplies.forms.insulins;
  const needle = supplies.forms.needles.find(({ length_mm: length }) => length > 0);
  await openForm(page, id, 'give');
  await page.getByLabel(say('supply.which_insulin')).selectOption({ label: insulin.label });
  await page.getByLabel(say('supply.how_many')).fill('2');
  await page.getByLabel(say('stock.lot')).first().fill('L7701');
  await page.getByLabel(say('supply.needle_type')).selectOption(needle.code);
  await page.getByLabel(say('supply.needles_many')).fill('100');
  await page.getByRole('button', { name: say('supply.give_record') }).click();
  await sent(page, id);
  const given = await newest(bench, id, 'supplies given');
  assert.deepEqual([given.insulin, given.each_units, given.cartridges, given.lot], [insulin.insulin, insulin.each_units, 2, 'L7701']);
  const needles = await newest(bench, id, 'needles given');
  assert.deepEqual([needles.needle, needles.length_mm, needles.needles, needles.lot ?? ''], [needle.code, needle.length_mm, 100, '']);
  // Without a type they are counted without a length.
  await openForm(page, id, 'give');
  await page.getByLabel(say('supply.needles_many')).fill('7');
  await page.getByRole('button', { name: say('supply.give_record') }).click();
  await sent(page, id);
  const bare = await newest(bench, id, 'supplies given');
  assert.deepEqual([bare.needles, bare.insulin ?? ''], [7, '']);
  keptQuiet(page, 'giving needles');
});

test('a pen test: milligrams are said as units before they are recorded, and the sheet is one page', async () => {
  const page = await openPage(browser, bench);
  const person = somebody();
  const { id, page: supplies } = person;
  const pen = supplies.forms.pens.find(({ strength_units_per_ml: strength }) => strength === 100) ?? assert.fail('a pen for 100 units/mL');
  const milligrams = ['98.7', '100.2', '99.15', '101', '100', '99.9', '100.6', '99.4', '98.9', '100.3'];
  const units = [9.87, 10.02, 9.92, 10.1, 10, 9.99, 10.06, 9.94, 9.89, 10.03];
  await openForm(page, id, 'test');
  await page.getByLabel(say('pens.pen'), { exact: true }).selectOption(pen.value);
  await page.getByLabel(say('pentest.dialled')).fill('10');
  await page.getByLabel('Weighed', { exact: false }).check();
  for (const [at, mg] of milligrams.entries()) {
    await page.getByLabel(say('pentest.dose', { number: at + 1 }), { exact: true }).fill(mg);
    await page
      .locator('.delivery')
      .nth(at)
      .locator('.echo', { hasText: say('pentest.is_units', { units: units[at] }) })
      .waitFor();
  }
  assert.equal(await page.locator('.delivery').count(), milligrams.length + 1, 'a new row comes as one types');
  assert.ok((await page.locator('.becomes').innerText()).includes(units.join(', ')), 'what is recorded is said first');
  await axeFindsNothing(page, 'a pen test being typed');
  await page.getByRole('button', { name: say('pentest.record') }).click();
  await sent(page, id);
  const fact = await newest(bench, id, 'pen tested');
  assert.ok(sameId(fact.pen, pen.value));
  assert.deepEqual([fact.dialled_units, fact.by, fact.delivered_units], [10, 'weighed', units]);
  const { tests } = await suppliesOf(id);
  const newestTest = tests.find((one) => sameId(one.id, fact.id ?? one.id)) ?? tests[0];
  assert.ok(newestTest.verdict.length > 0, 'there is a verdict');
  await page
    .locator('.pen-tests article', { hasText: plain(newestTest.verdict) })
    .first()
    .getByRole('link', { name: say('pentest.sheet') })
    .click();
  await page.locator('.plan-a4').waitFor();
  await axeFindsNothing(page, 'the sheet of a pen test');
  await isOneSheet(page, person, [plain(newestTest.verdict).slice(0, 40), '9.87', '10.06']);
  keptQuiet(page, 'a pen test');
});

test('what is no plain number of milligrams is named before anything is sent', async () => {
  const page = await openPage(browser, bench);
  const { id, page: supplies } = somebody();
  await openForm(page, id, 'test');
  await page.getByLabel(say('pens.pen'), { exact: true }).selectOption(supplies.forms.pens[0].value);
  await page.getByLabel(say('pentest.dialled')).fill('10');
  await page.getByLabel('Weighed', { exact: false }).check();
  await page.getByLabel(say('pentest.dose', { number: 1 }), { exact: true }).fill('98,7');
  const earlier = (await factsCalled(bench, id, 'pen tested')).length;
  await page.getByRole('button', { name: say('pentest.record') }).click();
  await page.locator('.delivery .field.wrong').waitFor();
  assert.equal((await factsCalled(bench, id, 'pen tested')).length, earlier);
});

test('H18 a trip is planned, and its sheet is one page with the question for the prescriber', async () => {
  const page = await openPage(browser, bench);
  const person = somebody();
  const { id } = person;
  const [leaves, returns] = [await dayAhead(bench, 20), await dayAhead(bench, 34)];
  await openForm(page, id, 'trip');
  await page.getByLabel(say('supply.trip_leaves')).fill(leaves);
  await page.getByLabel(say('supply.trip_returns')).fill(await dayAhead(bench, 10));
  await page.getByLabel(say('supply.trip_zone')).fill('America/New_York');
  await page.getByRole('button', { name: say('supply.trip_record') }).click();
  await page.locator('form .refusal').waitFor(); // back before leaving
  assert.equal(await page.locator('.field.wrong').getByLabel(say('supply.trip_returns')).count(), 1);
  await settled(page);
  await page.getByLabel(say('supply.trip_returns')).fill(returns);
  await page.getByLabel(say('supply.trip_warmest')).fill('34');
  await page.getByRole('radio', { name: 'no', exact: true }).check();
  await page.getByRole('button', { name: say('supply.trip_record') }).click();
  await sent(page, id);
  const fact = await newest(bench, id, 'trip planned');
  assert.deepEqual(
    [fact.leaves, fact.returns, fact.zone, fact.warmest_celsius, fact.pharmacy],
    [leaves, returns, 'America/New_York', 34, 'no'],
  );
  const { trips } = await suppliesOf(id);
  assert.ok(trips.length > 0);
  await page
    .locator('.trips')
    .getByRole('link', { name: say('supply.trip_sheet') })
    .first()
    .click();
  await page.locator('.plan-a4').waitFor();
  await axeFindsNothing(page, 'the sheet of a trip');
  for (const [width, height] of sizes) {
    await page.setViewportSize({ width, height });
    await nothingSideways(page, `the sheet of a trip at ${width}`);
  }
  const sheet = await json(bench, `/api${new URL(page.url()).pathname}`);
  assert.ok(sheet.carry.length > 0 && sheet.questions.length > 0, 'what to carry, and what to ask');
  await isOneSheet(page, person, [
    sheet.carry[0].name,
    say('supply.trip_ask'),
    sheet.low.title,
    plain(sheet.questions[0].text).slice(0, 40),
  ]);
  keptQuiet(page, 'a trip');
});

test('H34 a sharps box is given, and closed', async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  await openForm(page, id, 'box');
  await page.getByLabel(say('supply.sharps_full')).fill('200');
  await page.getByRole('button', { name: say('supply.sharps_record') }).click();
  await sent(page, id);
  const given = await newest(bench, id, 'sharps box given');
  assert.equal(given.holds_needles, 200);
  const toClose = async () => (await suppliesOf(id)).sharps.actions.find(({ facts }) => facts[0].what === 'sharps box closed');
  const closeOne = async () => {
    const close = (await toClose()) ?? assert.fail('an open box can be closed');
    await page.locator('.sharps').getByRole('button', { name: close.label }).click();
    const dialog = page.getByRole('dialog', { name: close.label });
    await dialog.getByRole('textbox').first().fill('the clinic');
    await dialog.getByRole('button', { name: close.label }).click();
    await page.locator('dialog').waitFor({ state: 'detached' });
    await page.still();
    await settled(page);
    return newest(bench, id, 'sharps box closed');
  };
  // The one before it is in use until it is closed.
  if (!sameId((await toClose()).facts[0].box, given.box)) assert.ok(!sameId((await closeOne()).box, given.box));
  assert.ok(sameId((await toClose()).facts[0].box, given.box), 'the next one is the box that was given');
  const closed = await closeOne();
  assert.ok(sameId(closed.box, given.box));
  assert.equal(closed.brought_to, 'the clinic');
  assert.equal(await toClose(), undefined, 'a closed box is not closed again');
  await page.locator('.sharps', { hasText: plain((await suppliesOf(id)).sharps.text) }).waitFor();
  keptQuiet(page, 'a sharps box');
});

test('what a talk about the accounts came to is recorded with its period', async () => {
  const page = await openPage(browser, bench);
  const { id, page: supplies } = somebody();
  const [from, until] = [await dayAhead(bench, -40), await dayAhead(bench, -1)];
  await openForm(page, id, 'talk');
  await page.getByLabel(say('products.insulin')).selectOption({ index: 1 });
  await page.getByLabel(say('supply.talk_outcome')).selectOption('extra priming');
  await page.getByLabel(say('supply.talk_from'), { exact: true }).fill(from);
  await page.getByLabel(say('supply.talk_until')).fill(until);
  await page.getByLabel(say('form.in_words')).fill('Primed until two drops fell.');
  await page.getByRole('button', { name: say('supply.talk_record') }).click();
  await sent(page, id);
  const fact = await newest(bench, id, 'difference talked over');
  assert.ok(supplies.forms.insulins.some(({ insulin }) => insulin === fact.insulin));
  assert.deepEqual([fact.from, fact.until, fact.because, fact.text], [from, until, 'extra priming', 'Primed until two drops fell.']);
});

test('chances stay on the screen: on paper the accounts say what to say', async () => {
  const page = await openPage(browser, bench);
  const { id, name } =
    kept.find(({ page: supplies }) => supplies.accounts.some(({ mechanisms }) => mechanisms.length > 0)) ??
    assert.fail('somebody’s accounts differ');
  const { accounts } = await suppliesOf(id);
  const of = accounts.find(({ mechanisms }) => mechanisms.length > 0);
  await page.at(`/people/${id}/supplies`);
  const shown = page.locator('.account', { hasText: of.insulin }).first();
  await shown.getByRole('heading', { name: say('supply.nurse') }).waitFor();
  const said = await shown.innerText();
  for (const { text, chance_text: chance, range_text: range } of of.mechanisms)
    for (const part of [text, chance, range]) assert.ok(said.includes(part), part);
  assert.ok(said.includes(plain(of.question)), 'the question stands apart');
  const paper = await printed(page);
  for (const [at, text] of paper.entries())
    for (const part of [name, `page ${at + 1} of ${paper.length}`]) assert.ok(text.includes(part), `${part} on page ${at + 1}`);
  for (const part of [say('supply.likelihood'), ...of.mechanisms.map(({ range_text: range }) => range)])
    assert.ok(part === '' || !paper.join(' ').includes(part), `${part} on paper`);
  assert.ok(paper.join(' ').includes(plain(of.question).slice(0, 40)));
});

test('H12 H49 heat on the telephone: the label first, and no percentage on paper', async () => {
  const page = await openPage(browser, bench);
  await page.at('/phone?about=heat');
  await page.getByLabel(say('phone.celsius')).fill('45');
  await page.getByLabel(say('phone.hours')).fill('5');
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  const answer = page.locator('.heat');
  await answer.waitFor();
  const said = await answer.innerText();
  assert.match(said, /^\s*Do not use it, replace it\./);
  assert.ok(said.indexOf(say('phone.nurse_only')) > said.indexOf('Do not use it'), 'the label first');
  assert.ok(said.indexOf('%') > said.indexOf(say('phone.nurse_only')), 'the estimate is the nurse’s');
  const paper = (await printed(page)).join(' ').replace(/\s+/g, ' ');
  // The form stands beside it, and a line of a column may end anywhere.
  for (const part of [
    'Do not use it, replace',
    'use an unopened',
    say('phone.clinic', { number: '' }).slice(0, -2),
    say('phone.emergency', { number: '' }).slice(0, -2),
  ])
    assert.ok(paper.includes(part), paper);
  assert.ok(!paper.includes('%') && !paper.includes(say('phone.nurse_only')), paper);
  await axeFindsNothing(page, '/phone?about=heat');
  for (const [width, height] of sizes) {
    await page.setViewportSize({ width, height });
    await nothingSideways(page, `heat at ${width}`);
  }
  await page.getByLabel(say('phone.frozen')).check();
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  await page.getByText('frozen', { exact: false }).first().waitFor();
  keptQuiet(page, 'heat');
});

test('by keyboard alone: a count is recorded', async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  await page.at(`/people/${id}/supplies`);
  const tabTo = async (find) => {
    for (let at = 0; at < 120; ++at) {
      if (await find().evaluate((element) => element === document.activeElement)) return;
      await page.keyboard.press('Tab');
    }
    assert.fail('Tab never came to it');
  };
  await page.locator('.at-home').waitFor();
  await tabTo(() => page.locator('.at-home').getByRole('link', { name: say('supply.count') }));
  assert.match(
    await page.evaluate(
      () => `${getComputedStyle(document.activeElement).outlineStyle} ${getComputedStyle(document.activeElement).outlineWidth}`,
    ),
    /^solid 3px$/,
  );
  await page.keyboard.press('Enter');
  await page.getByLabel(say('supply.needles_all')).waitFor();
  await tabTo(() => page.getByLabel(say('supply.needles_all')));
  await page.keyboard.type('42');
  await page.keyboard.press('Enter');
  await sent(page, id);
  assert.equal((await newest(bench, id, 'supplies counted')).needles, 42);
  keptQuiet(page, 'a count by keyboard');
});
