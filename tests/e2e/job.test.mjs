// The whole job, by hand in a browser: from an empty clinic to an imported diary.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import {
  axeFindsNothing,
  dayAhead,
  fill,
  json,
  keptQuiet,
  newest,
  openPage,
  say,
  sentence,
  settled,
  startBench,
  startBrowser,
} from './bench.mjs';

let bench;
let browser;
let page;
let person = '';

before(async () => {
  bench = await startBench();
  browser = await startBrowser();
  page = await openPage(browser, bench);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

const section = (name) => page.locator('section.sec', { has: page.getByRole('heading', { name, exact: true }) });
/** To another part of the person's record. */
const tab = async (key) => {
  await page
    .locator('.tabs a', { hasText: say(key) })
    .first()
    .click();
  await page.locator('.tabs a[aria-current]', { hasText: say(key) }).waitFor();
};
const toCheck = () => page.getByRole('link', { name: sentence('watch_act.second_check') });
/** What is left in the pen's cartridge, by the record. */
const left = async () => (await json(bench, `/api/people/${person}`)).pens[0].cartridge.left_text;
const receipt = (page_) => page_.locator('.receipt');

test('first start: the clinic and its user are named before anything else', async () => {
  await page.at('/people');
  await page.getByRole('heading', { name: say('start.headline') }).waitFor();
  await axeFindsNothing(page, 'first start');
  await fill(page, {
    [say('start.clinic_name')]: 'Harbour Street Clinic',
    [say('start.user')]: 'Marit Oyelaran',
    [say('register.zone')]: 'Europe/Berlin',
    [say('start.phone')]: '030 555 0142',
    [say('start.emergency')]: '112',
  });
  await page.getByRole('button', { name: say('start.button') }).click();
  await page.getByRole('heading', { name: /Nobody needs attention/ }).waitFor();
  assert.match(await page.locator('.mast .where').innerText(), /Harbour Street Clinic, Marit Oyelaran/);
});

test('a person is registered, with name, birth date and number', async () => {
  await page
    .getByRole('navigation', { name: say('nav.main') })
    .getByRole('link', { name: say('nav.people') })
    .click();
  await page
    .getByRole('link', { name: say('register.title') })
    .first()
    .click();
  await fill(page, { [say('register.full_name')]: 'Zdzisława Michałowska-Wójcik', [say('register.number')]: 'HS 04172' });
  await page.getByLabel(say('register.born')).fill('1958-06-04');
  // The echo beside the field, not the page: the head of the page says today's weekday, whatever it is.
  const born = page.locator('.field', { has: page.getByLabel(say('register.born')) }).locator('.echo');
  await born.waitFor();
  assert.match(await born.innerText(), /^Wednesday,? 4 June 1958$/);
  await page
    .getByRole('group', { name: sentence('form/background/feels_lows') })
    .getByLabel(sentence('awareness/yes'))
    .check();
  await page.getByRole('button', { name: say('register.button'), exact: true }).click();
  await page.getByRole('heading', { name: 'Zdzisława Michałowska-Wójcik' }).waitFor();
  person = new URL(page.url()).pathname.split('/')[2];
  const head = await page.locator('.who').innerText();
  assert.match(head, /4 June 1958/);
  assert.match(head, /HS 04172/);
});

test('H40 an order line is copied; unchecked it shows no window', async () => {
  await page.getByRole('link', { name: sentence('start.order_next') }).click();
  await fill(page, { [say('order.generic')]: 'insulin glargine' });
  await page
    .getByRole('group', { name: say('order.strength') })
    .getByLabel('100 units/mL')
    .check();
  await page
    .getByRole('group', { name: say('order.purpose') })
    .getByLabel(say('order.basal'))
    .check();
  await fill(page, { [say('order.time_of_day')]: 'bedtime' });
  assert.equal(await page.getByLabel(say('order.time'), { exact: true }).inputValue(), '22:00');
  await page.locator('.slot').getByLabel(say('order.dose')).fill('20');
  await fill(page, { [say('order.prescriber')]: 'Dr Tomasz Adeyemi' });
  await page
    .getByRole('group', { name: say('order.copied_from') })
    .getByLabel(say('order.telephone'))
    .check();
  await page.getByLabel(say('order.read_back')).check();
  assert.ok(await page.getByLabel(say('order.signature_owed')).isChecked(), 'a telephone order owes its signature');
  await page.getByRole('button', { name: say('order.record') }).click();
  await toCheck().waitFor();
  assert.equal(await page.locator('.next .win').count(), 0);
  assert.equal(await page.locator('.next.dial').count(), 0);
});

test('H40 H60 a second person reads the order without the copy, and not the one who copied it', async () => {
  await tab('tab.order');
  await section(say('order.title')).getByText(sentence('order.state.unchecked')).waitFor();
  await tab('tab.visit');
  await toCheck().click(); // straight to the line that waits
  const button = page.getByRole('button', { name: say('order.check_record') });
  await button.waitFor();
  await axeFindsNothing(page, 'the second check');
  assert.doesNotMatch(await page.locator('main').innerText(), /\b20\b|glargine, 100/); // nothing of the copy
  await fill(page, { [say('order.generic')]: 'insulin glargine' });
  await page
    .getByRole('group', { name: say('order.strength') })
    .getByLabel('100 units/mL')
    .check();
  await fill(page, {
    [say('order.time_of_day')]: 'bedtime',
    [say('order.time')]: '10 pm',
    [say('order.dose')]: '10,5',
    [say('order.from')]: 'today',
    [say('order.checked_by')]: 'Marit Oyelaran',
  });
  await button.click();
  await page.getByText('Nothing was changed.').waitFor();
  await fill(page, { [say('order.checked_by')]: 'Ines Paquette' });
  await settled(page);
  await button.click();
  await page.getByText(sentence('order.check_dose.what', { slot: 'bedtime', read: '10.5 units' })).waitFor();
  // Not refused, and not "nothing was changed": that reading is on record, and said once.
  assert.match(await page.locator('.answer').innerText(), new RegExp(`^${say('page.not_checked')}`, 'i'));
  assert.doesNotMatch(await page.locator('.answer').innerText(), /Nothing was changed|Refused/i);
  await page.getByRole('link', { name: say('order.check_differs') }).waitFor();
  await fill(page, { [say('order.dose')]: '20' });
  await settled(page);
  await button.click();
  // Whoever read it otherwise a moment ago is asked: the first reading is on record.
  await page.getByRole('dialog').getByText('read this order differently').waitFor();
  await page
    .getByRole('dialog')
    .getByRole('button', { name: say('outcome.confirm') })
    .click();
  // Its link is not on the form: until the form is left, another tab would ask whether what was typed is to be dropped.
  await page.waitForURL(/\/people\/[^/?]+$/);
  await toCheck().waitFor({ state: 'detached' });
});

test('H42 a pen is given, and only what was made for it can be loaded', async () => {
  await tab('tab.pens');
  await page
    .getByRole('link', { name: say('pens.give') })
    .first()
    .click();
  await fill(page, { [say('products.insulin')]: 'insulin glargine, 100 units/mL' });
  await page.getByLabel(say('pens.pen'), { exact: true }).selectOption('counts-on-36'); // the shelf's code; its name may be said otherwise
  await page.getByRole('button', { name: say('pens.record') }).click();
  await page.waitForURL(/\/people\/[^/]+$/);
  await tab('tab.pens');
  await section(say('pens.title')).getByText(sentence('pen.window_counts_on')).first().waitFor();
  await section(say('pens.title'))
    .getByRole('link', { name: say('load.title') })
    .first()
    .click();
  const offered = await page.getByRole('group', { name: say('load.cartridge') }).innerText();
  assert.match(offered, /1\.5 mL/);
  assert.doesNotMatch(offered, /3 mL/);
  await page
    .getByRole('group', { name: say('load.cartridge') })
    .getByRole('radio')
    .first()
    .check();
  await page.getByLabel(say('stock.lot')).fill('4K2');
  await page.getByRole('button', { name: say('load.record') }).click();
  await page.waitForURL(/\/people\/[^/]+$/);
  await tab('tab.pens');
  await page.locator('.pen .big', { hasText: '150 units left' }).waitFor();
});

test('H01 needle, prime of 4, window to 24 for a dose of 20, and 126 units are left', async () => {
  await tab('tab.visit');
  const card = page.locator('.next');
  await card.getByRole('button', { name: say('next.record') }).click();
  await card
    .getByRole('button', { name: /Needle on/ })
    .first()
    .click();
  await card.getByText('needle on, recorded').waitFor();
  await settled(page);
  await card.getByRole('button', { name: sentence('act.flow_seen'), exact: true }).click();
  await card.getByRole('button', { name: sentence('act.flow_seen'), exact: true }).waitFor({ state: 'detached' });
  assert.equal(await left(), '146');
  assert.match(await card.locator('.wn').innerText(), /24 units/);
  assert.ok((await card.innerText()).includes(sentence('low.title')));
});

test('H55 each step that is judged is a fact, and the next injection starts with nothing judged', async () => {
  await page.getByRole('link', { name: say('next.watch') }).click();
  const judge = page.locator('.judge');
  await judge.getByRole('button', { name: say('watch.alone') }).click();
  await page.locator('.strip .jm.solid').waitFor();
  const watched = await newest(bench, person, 'step judged');
  assert.deepEqual([watched.of, watched.how], ['taken', 'alone']);
  assert.equal(await page.locator('.strip li').nth(1).getAttribute('aria-current'), 'step', 'the next step is in hand');
  await axeFindsNothing(page, 'watching an injection');
  await page.locator('.stepname', { hasText: sentence('step.hold_on') }).click();
  await settled(page);
  await judge.getByRole('button', { name: 'Injected 20 units' }).click();
  const odd = page.getByRole('dialog');
  await odd.or(receipt(page)).first().waitFor();
  if ((await odd.count()) > 0) await odd.getByRole('button', { name: say('outcome.confirm') }).click();
  await receipt(page).waitFor();
  await settled(page);
  assert.equal(await left(), '126');
  assert.equal(await page.locator('.strip .jm.solid').count(), 0);
  await page.getByRole('link', { name: say('watch.stop') }).click();
});

test('the cartridge is changed', async () => {
  await tab('tab.pens');
  await section(say('pens.title'))
    .getByRole('link', { name: say('load.title') })
    .first()
    .click();
  await page
    .getByRole('group', { name: say('load.cartridge') })
    .getByRole('radio')
    .first()
    .check();
  await page.getByRole('button', { name: say('load.record') }).click();
  await page.waitForURL(/\/people\/[^/]+$/);
  await tab('tab.pens');
  await page.locator('.pen .big', { hasText: '150 units left' }).waitFor();
});

test('a mistaken entry is replaced, with a reason; the first one stays in the journal', async () => {
  await page.getByRole('link', { name: say('tab.record'), exact: true }).click();
  const row = page
    .locator('.journal .row', { hasText: '20 units' })
    .filter({ hasText: /njected/ })
    .first();
  await row.getByRole('button', { name: say('form.correct') }).click();
  const dialog = page.getByRole('dialog', { name: say('correct.title') });
  await dialog.getByLabel(say('correct.how_replace')).check();
  await axeFindsNothing(page, 'the correction');
  await dialog.getByLabel('Units that left the pen').fill('18');
  await dialog.getByLabel(say('correct.reason')).fill('read the window again');
  await dialog.getByRole('button', { name: say('correct.replace') }).click();
  // H04: the order states no limits, so that its own dose is all that it allows.
  await page.getByRole('button', { name: say('outcome.confirm') }).click();
  await dialog.waitFor({ state: 'detached' });
  await page.locator('.journal .row.corrected', { hasText: 'read the window again' }).waitFor();
  await page.locator('.journal .row', { hasText: '18 units' }).first().waitFor();
});

// nurse A2, A3, pharmacist D2, D9
test('H53 the phone desk asks first without a person, and with one takes their record', async () => {
  const back = page.url();
  await page.at('/phone');
  for (const question of [say('phone.low'), say('phone.vomiting'), say('phone.drowsy'), say('phone.ketones'), say('phone.last_dose')])
    await page.getByRole('group', { name: question }).waitFor();
  await page.getByLabel(say('products.insulin'), { exact: true }).selectOption({ label: 'Insulin glargine, 100 units/mL' });
  await page.getByLabel(say('pens.pen'), { exact: true }).selectOption('reusable-whole-60');
  await page.getByLabel(say('order.dose'), { exact: true }).fill('20');
  await page.getByLabel(say('phone.left')).fill('140');
  // The form does not go off while one of them is unanswered.
  for (const [question, answer] of [
    [say('phone.low'), say('phone.yes')],
    [say('phone.vomiting'), say('phone.no')],
    [say('phone.drowsy'), say('phone.no')],
    [say('phone.ketones'), say('phone.not_measured')],
    [say('phone.time_zones'), say('phone.no')],
    [say('phone.last_dose'), say('phone.never')],
  ])
    await page.getByRole('group', { name: question }).getByLabel(answer, { exact: true }).check();
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  const card = page.locator('.next');
  await card.getByText(say('next.no_dose')).waitFor();
  assert.doesNotMatch(await card.innerText(), /Dial \d/);
  await axeFindsNothing(page, 'the phone desk, asked first');
  await page.getByLabel(say('people.search')).fill('HS 04172');
  await page.getByRole('button', { name: /Micha/ }).first().click();
  assert.equal(await page.getByLabel(say('order.dose'), { exact: true }).count(), 0, 'nothing of the record is typed again');
  // H55, H53: what was said without a person is nobody's, and what no record knows is asked.
  for (const question of [
    say('phone.low'),
    say('phone.vomiting'),
    say('phone.drowsy'),
    say('phone.ketones'),
    say('phone.time_zones'),
    say('phone.missed'),
  ]) {
    const group = page.getByRole('group', { name: question });
    assert.equal(await group.getByRole('radio', { checked: true }).count(), 0, question);
    await group.getByLabel(say('phone.no'), { exact: true }).check();
  }
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  await card.waitFor();
  await page.getByRole('link', { name: say('phone.open') }).waitFor();
  await axeFindsNothing(page, 'the phone desk, with a person');
  // H53, H55: an answer goes with what it was asked about.
  await page
    .getByRole('group', { name: say('phone.low') })
    .getByLabel('Yes', { exact: true })
    .check();
  assert.equal(await card.count(), 0, 'no number stands beside other answers');
  await page.goto(back);
});

// Up to some days ago: what ended half a year before the first order would be asked about.
async function diary(lines) {
  const rows = ['time,what,units,cartridge,zone,spot,note'];
  const start = Date.parse(`${await dayAhead(bench, -10 - Math.ceil(lines / 4))}T21:00Z`);
  for (let at = 0; at < lines; ++at) {
    const time = new Date(start + at * 6 * 3600e3).toISOString().replace('.000Z', '+00:00');
    rows.push(at % 2 === 0 ? `${time},primed,2,1,,,` : `${time},injected,10,1,thigh left,,`);
  }
  return rows.join('\n') + '\n';
}

test('H22 a diary of 2,000 lines: previewed, accepted, and the same file again changes nothing', async () => {
  const before = await json(bench, `/api/people/${person}/journal?page=1`);
  await page.getByRole('link', { name: say('tab.import') }).click();
  const file = { name: 'diary.csv', mimeType: 'text/csv', buffer: Buffer.from(await diary(2000)) };
  await page.locator('#diary').setInputFiles(file);
  await page.getByText('2,000').or(page.getByText('2000')).first().waitFor();
  assert.deepEqual((await json(bench, `/api/people/${person}/journal?page=1`)).version, before.version, 'a preview changes nothing');
  await axeFindsNothing(page, 'the preview');
  await page.getByRole('button', { name: say('diary.accept', { name: 'Zdzisława Michałowska-Wójcik' }) }).click();
  await page.getByText(`${say('import.done')}.`, { exact: true }).waitFor();
  const now = await json(bench, `/api/people/${person}/journal?page=1`);
  assert.equal(now.version, before.version + 2001);
  await page.locator('#diary').setInputFiles([]);
  await page.locator('#diary').setInputFiles(file);
  await page.getByText(/Nothing new/).waitFor();
  assert.equal((await json(bench, `/api/people/${person}/journal?page=1`)).version, now.version);
});

test('H22 a bad line is named with its number, and nothing enters', async () => {
  const text = `${await diary(5)}2024-02-31T07:30:00+01:00,injected,4,1,,,\n`;
  await page.locator('#diary').setInputFiles({ name: 'bad.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
  const lines = page.getByRole('region', { name: say('diary.bad') });
  await lines.getByRole('rowheader', { name: '7', exact: true }).waitFor();
  assert.equal(await page.getByRole('button', { name: say('diary.accept', { name: 'Zdzisława Michałowska-Wójcik' }) }).count(), 0);
});

test('H25 H56 an unusual row and one that is nearly another are asked about, one question at a time', async () => {
  const before = await json(bench, `/api/people/${person}/journal?page=1`);
  const at = (hour, units) => `2025-06-0${hour < 12 ? 2 : 1}T${hour < 10 ? '0' : ''}${hour}:00:00+00:00,injected,${units},1,,,\n`;
  const text = `time,what,units,cartridge,zone,spot,note\n${at(20, 9)}${at(21, 9)}${at(9, 200)}`;
  await page.locator('#diary').setInputFiles({ name: 'asked.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
  await page
    .getByRole('region', { name: say('diary.odd') })
    .getByRole('rowheader', { name: '4', exact: true })
    .waitFor();
  await axeFindsNothing(page, 'the unusual rows');
  assert.equal(await page.getByRole('button', { name: say('diary.near_out') }).count(), 0);
  await page.getByRole('button', { name: say('diary.odd_out') }).click();
  await page
    .getByRole('region', { name: say('diary.near') })
    .getByText('in line 2 of this file')
    .waitFor();
  await page.getByRole('button', { name: say('diary.near_out') }).click();
  await page.getByText(`${say('import.done')}.`, { exact: true }).waitFor();
  assert.equal((await json(bench, `/api/people/${person}/journal?page=1`)).version, before.version + 2, 'one row, and the import');
  keptQuiet(page, 'the whole job');
});
