// How many presses each job takes through the real pages: a click, or a field that is filled. What they come to is printed, and more than a job
// may take is a failure. What somebody else does, the second check of an order, is counted apart.
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import {
  dayAhead,
  factsCalled,
  json,
  keptQuiet,
  nameClinic,
  newest,
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
let page;
let person = '';

before(async () => {
  bench = await startBench();
  await nameClinic(bench);
  browser = await startBrowser();
});
beforeEach(async () => {
  page = await openPage(browser, bench);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

/** Counts on one page. */
function counting() {
  let presses = 0;
  const counted =
    (deed) =>
    async (...given) => {
      presses += 1;
      await deed(...given);
      await page.still();
    };
  return {
    click: counted(async (locator) => {
      await settled(page);
      await locator.click();
    }),
    fill: counted((locator, text) => locator.fill(text)),
    choose: counted((locator, choice) => locator.selectOption(choice)),
    check: counted((locator) => locator.check()),
    get count() {
      return presses;
    },
  };
}

function atMost(job, count, most) {
  console.log(`presses: ${job} ${count}, at most ${most}`);
  assert.ok(count <= most, `${job} takes ${count} presses, more than ${most}`);
}

// Where things stand on a person's pages: the one place to change when they move.
const on = {
  label: (text) => page.getByLabel(text, { exact: true }),
  radio: (group, choice) => page.getByRole('group', { name: group }).getByLabel(choice, { exact: true }),
  button: (name) => page.getByRole('button', { name, exact: true }),
  next: (step) => page.getByRole('link', { name: sentence(`start.${step}_next`) }),
  card: () => page.locator('.next'),
  nav: (key) => page.getByRole('navigation', { name: say('nav.main') }).getByRole('link', { name: say(key) }),
};
const here = () => new URL(page.url()).pathname.split('/')[2];
const dialOpen = () => page.at(`/people/${person}`);

/** An order line of one dose a day by telephone, from the form that is open. */
async function transcribe(by, { insulin, strength, slot, dose }) {
  await by.choose(on.label(say('order.generic')), insulin);
  const strengths = page.getByRole('group', { name: say('order.strength') }).getByRole('radio');
  if ((await strengths.count()) > 1) await by.check(on.radio(say('order.strength'), strength));
  await by.choose(on.label(say('order.time_of_day')), slot);
  await by.fill(on.label(say('order.dose')), dose);
  await by.fill(on.label(say('order.prescriber')), 'Dr Tomasz Adeyemi');
  await by.check(on.radio(say('order.copied_from'), say('order.telephone')));
  await by.check(on.label(say('order.read_back')));
  await by.click(on.button(say('order.record')));
}

/** The second check by somebody else: the same line, read from the order. */
async function check(by, { insulin, strength, slot, at, dose }) {
  await by.click(on.next('check'));
  await by.choose(on.label(say('order.generic')), insulin);
  const strengths = page.getByRole('group', { name: say('order.strength') }).getByRole('radio');
  if ((await strengths.count()) > 1) await by.check(on.radio(say('order.strength'), strength));
  await by.choose(on.label(say('order.time_of_day')), slot);
  await by.fill(on.label(say('order.time')), at);
  await by.fill(on.label(say('order.dose')), dose);
  await by.fill(on.label(say('order.from')), 'today');
  await by.fill(on.label(say('order.checked_by')), 'Ines Paquette');
  await by.click(on.button(say('order.check_record')));
}

async function givePen(by, pen) {
  await by.click(on.next('pen'));
  await by.choose(on.label(say('pens.pen')), pen);
  await by.click(on.button(say('pens.record')));
}

/** The first of whatever is offered, unless it is the only one. */
async function load(by, carton) {
  await by.click(on.next('load'));
  if (carton) {
    await by.fill(on.label(say('stock.scan')), carton);
    await by.click(on.button(say('stock.scan_read')));
  }
  const offered = page.getByRole('group', { name: say('load.cartridge') }).getByRole('radio');
  if ((await offered.count()) > 1 && (await offered.and(page.locator(':checked')).count()) === 0) await by.check(offered.first());
  await by.click(on.button(say('load.record')));
}

/** From a new needle to a dose that is recorded, with the questions that come. */
async function inject(by, units) {
  const card = on.card();
  await by.click(card.getByRole('button', { name: say('next.record') }));
  await by.click(card.getByRole('button', { name: /Needle on/ }).first());
  await by.click(card.getByRole('button', { name: sentence('act.flow_seen'), exact: true }));
  await by.click(card.getByRole('button', { name: `Injected ${units} units` }));
  const odd = page.getByRole('dialog').getByRole('button', { name: say('outcome.confirm') });
  const done = page.locator('.receipt', { hasText: 'Injected' });
  for (await odd.or(done).first().waitFor(); (await odd.count()) > 0; await odd.or(done).first().waitFor()) await by.click(odd);
}

const glargine = { insulin: 'insulin glargine', strength: '100 units/mL', slot: 'bedtime', at: '22:00', dose: '20' };
const separator = '\u001d';
const carton = (expires) => `0109506000134352${`17${expires.replaceAll('-', '').slice(2)}`}10F1${separator}`;

test('a new start, from the list of people to the first injection on record', async () => {
  const by = counting();
  await page.at('/');
  await by.click(on.nav('nav.people'));
  await by.click(page.getByRole('link', { name: say('register.title') }).first());
  await by.fill(on.label(say('register.full_name')), 'Mirela Okonkwo');
  await by.fill(on.label(say('register.born')), '4.6.1958');
  await by.fill(on.label(say('register.number')), 'HS 04172');
  await by.fill(page.getByLabel(say('register.phone')), '030 555 0199');
  await by.choose(page.getByLabel(sentence('form/background/diabetes')), { index: 2 });
  await by.fill(page.getByLabel(sentence('form/background/weight_kg')), '91,5');
  await by.check(page.getByRole('group', { name: sentence('form/background/feels_lows') }).getByLabel(sentence('awareness/yes')));
  await by.click(on.button(say('register.button')));
  await on.next('order').waitFor();
  person = here();
  await by.click(on.next('order'));
  await transcribe(by, glargine);
  await check(by, glargine);
  await givePen(by, 'counts-on-36');
  await load(by, carton(await dayAhead(bench, 300)));
  assert.equal(
    (await json(bench, `/api/people/${person}`)).pens[0].cartridge?.lot_text.includes('F1'),
    true,
    'the scanned lot is on record',
  );
  await inject(by, 20);
  await page.locator('.receipt', { hasText: 'Injected' }).waitFor();
  assert.equal(await page.locator('.start').count(), 0, 'the start is over');
  atMost('new start to the first recorded injection', by.count, 45);
  keptQuiet(page);
});

test('a second insulin, to a loaded pen; its second check apart', async () => {
  const by = counting();
  const other = counting();
  const lispro = { insulin: 'insulin lispro', strength: '100 units/mL', slot: 'lunch', at: '12:30', dose: '6' };
  await page.at(`/people/${person}/order/new`);
  await transcribe(by, lispro);
  await check(other, lispro);
  await givePen(by, { index: 1 });
  await load(by);
  const pens = (await json(bench, `/api/people/${person}`)).pens;
  assert.equal(pens.length, 2);
  console.log(`presses: second check of an order line ${other.count}`);
  atMost('second insulin, from its order to a loaded pen', by.count, 15);
  keptQuiet(page);
});

test('a change of dose starts from the line that it replaces', async () => {
  const by = counting();
  await dialOpen();
  await by.click(page.locator('.tabs a', { hasText: say('tab.order') }));
  await by.click(page.locator('.order li', { hasText: 'insulin glargine' }).getByRole('link', { name: say('order.change') }));
  const dose = on.label(say('order.dose'));
  await dose.waitFor();
  assert.equal(await on.label(say('order.generic')).inputValue(), 'insulin glargine');
  assert.equal(await dose.inputValue(), '', 'the new dose is read on the new order');
  assert.equal(await dose.evaluate((field) => field === document.activeElement), true, 'the dose has the focus');
  await by.fill(dose, '22');
  await by.fill(on.label(say('order.prescriber')), 'Dr Tomasz Adeyemi');
  await by.check(on.radio(say('order.copied_from'), say('order.paper')));
  await by.click(on.button(say('order.record')));
  await page.waitForURL((url) => !url.pathname.endsWith('/new'));
  const { order } = await json(bench, `/api/people/${person}`);
  const line = order.lines.find(({ insulin, state }) => insulin === 'insulin glargine' && state === 'unchecked');
  assert.deepEqual(
    [line.fact.slots.map(({ slot, at, units }) => [slot, at, units]), line.fact.replaces !== undefined],
    [[['bedtime', '22:00', 22]], true],
  );
  atMost('change of dose', by.count, 6);
  keptQuiet(page);
});

/** Somebody who injects in the morning, from a pen with this much in it. */
async function caller(name, number, units) {
  const id = await register(bench, { name, number });
  const line = crypto.randomUUID();
  const pen = crypto.randomUUID();
  const slots = [{ slot: 'morning', at: '10:30', minutes_before: 60, minutes_after: 60, units: 22 }];
  const glargine100 = { insulin: 'insulin glargine', strength_units_per_ml: 100 };
  await recordElsewhere(bench, id, [
    {
      id: line,
      what: 'order line signed',
      order_version: 1,
      ...glargine100,
      purpose: 'background',
      slots,
      from: '2027-07-01',
      prescriber: 'Dr Tomasz Adeyemi',
      signed_on: '2027-07-01',
      copied_from: 'paper',
      copied_by: 'Marit Oyelaran',
      read_back: true,
    },
  ]);
  await recordElsewhere(bench, id, [
    { what: 'order line checked', line, checked_by: 'Jonas Abara', reading: { ...glargine100, slots } },
    { what: 'pen given', pen, copy: 'reusable-whole-60', ...glargine100 },
  ]);
  await recordElsewhere(bench, id, [
    {
      what: 'cartridge loaded',
      cartridge: crypto.randomUUID(),
      pen,
      copy: 'glargine-100',
      units,
      content_units: 300,
      fits: 'fit A',
      new_cartridge: false,
    },
  ]);
  return id;
}

async function answerTo(by, name) {
  await by.fill(page.getByLabel(say('people.search')), name);
  await by.click(page.getByRole('button', { name: new RegExp(name) }).first());
}

test('a dry pen by telephone: what the record knows is not asked, and each answer brings the next', async () => {
  const id = await caller('Bram Achterberg', 'HS 04201', 200);
  const by = counting();
  await page.at('/phone');
  await answerTo(by, 'Bram');
  await by.click(on.button(say('phone.none_of_these')));
  const dry = on.card().getByRole('button', { name: sentence('act.flow_not_seen'), exact: true });
  await dry.waitFor();
  await by.click(dry);
  await page.locator('.flags').getByText(sentence('phone.dry'), { exact: true }).waitFor();
  atMost('dry pen by telephone', by.count, 4);
  assert.equal((await factsCalled(bench, id, 'primed')).length, 1, 'it is on record for the next call');
  keptQuiet(page);
});

test('H53 "7 left, dose 22": what is read out is held against the record', async () => {
  await caller('Salma Idrissi', 'HS 04202', 7);
  const by = counting();
  await page.at('/phone');
  await answerTo(by, 'Salma');
  await by.fill(page.getByLabel(say('phone.left')), '7');
  await by.click(on.button(say('phone.none_of_these')));
  await on.card().waitFor();
  assert.match(await on.card().innerText(), /7 units/);
  atMost('“7 left, dose 22” by telephone', by.count, 4);
  keptQuiet(page);
});

test('H07 "taken already?": what is on record stands there as soon as the caller is chosen', async () => {
  const by = counting();
  await page.at('/phone');
  await answerTo(by, 'Mirela');
  const said = page.getByRole('group', { name: say('phone.taken'), exact: true });
  await said.getByText('126 units').waitFor();
  assert.match(await said.innerText(), /20 units/);
  await by.click(on.button(say('phone.note_record')));
  await page.locator('.receipt', { hasText: sentence('form/contact made') }).waitFor();
  atMost('“taken already?” by telephone, with its note', by.count, 3);
  keptQuiet(page);
});

test('H53 the note of a call has what was asked first, who rang and what was advised, also without a dose', async () => {
  await page.at('/phone');
  await answerTo(counting(), 'Mirela');
  await on.radio(say('phone.low'), say('phone.no')).check();
  await on.radio(say('phone.vomiting'), say('phone.yes')).check();
  await page.getByLabel(sentence('form/contact made/spoke_to')).fill('her daughter');
  await page.getByLabel(sentence('form/contact made/said')).fill('Sick since breakfast.');
  await page.getByLabel(sentence('form/contact made/advised')).fill('Drink, test every two hours, ring again at noon.');
  await on.button(say('phone.note_record')).click();
  await page.locator('.receipt', { hasText: sentence('form/contact made') }).waitFor();
  const { meeting, outcome, low, not_eating, drowsy, number, spoke_to } = await newest(bench, person, 'contact made');
  assert.deepEqual([meeting, outcome, low, not_eating], ['call', 'reached', 'no', 'yes']);
  assert.ok(drowsy === undefined || drowsy === 'unknown', 'what was not asked is not known');
  assert.deepEqual([number, spoke_to], ['030 555 0199', 'her daughter']);
  // The next note begins empty.
  await page.waitForFunction((field) => field.value === '', await page.getByLabel(sentence('form/contact made/said')).elementHandle());
  keptQuiet(page);
});

test('a low is recorded', async () => {
  const by = counting();
  await dialOpen();
  await by.click(page.getByRole('link', { name: say('record.low') }));
  await by.fill(page.locator('input[name=value]'), '3,1');
  await by.choose(page.locator('select[name=value_unit]'), 'mmol/L');
  await by.click(on.button(sentence('form-button/glucose noted')));
  await page.waitForURL((url) => !url.pathname.endsWith('/glucose'));
  assert.deepEqual((await newest(bench, person, 'glucose noted')).value, { value: 3.1, unit: 'mmol/L' });
  atMost('record a low', by.count, 4);
});

test('a visit is opened from the list of people, and all that is open stands there', async () => {
  const by = counting();
  await page.at('/people');
  await by.click(page.getByRole('link', { name: /Mirela/ }).first());
  await page.locator('.who h1').waitFor();
  await page
    .locator('.orow')
    .getByRole('link', { name: sentence('watch_act.second_check') })
    .first()
    .waitFor();
  atMost('open a visit and see what is open', by.count, 1);
});

/** From the next page on the clinic's clock stands at what `now` gives: what is counted from today is the same on any day. */
const clinicAt = (now) =>
  page.route('**/api/clinic', async (route) => {
    const answer = await route.fetch();
    await route.fulfill({ response: answer, json: { ...(await answer.json()), now: now() } });
  });

// What people write is read in one place each: web/src/facts/day.ts, time.ts, amount.ts. The field says under it what was read.
test('dates, hours and amounts are taken as people write them, and what cannot be read is named at its field', async () => {
  await clinicAt(() => '2027-07-07T10:20:00+02:00');
  await page.at('/people/new');
  const field = (label) => page.locator('.field', { has: label });
  const born = on.label(say('register.born'));
  const day = 'Wednesday 4 June 1958';
  for (const typed of [
    '4.6.1958',
    '4/6/1958',
    '04-06-1958',
    '1958-06-04',
    '4 June 1958',
    '4th Jun 1958',
    'Wednesday, 4 June 1958',
    '4/6/58',
    '4 June 58',
  ]) {
    await born.fill(typed);
    assert.equal((await field(born).locator('.echo').innerText()).replaceAll(',', '').startsWith(day), true, typed);
    await born.blur();
    assert.equal(await field(born).locator('.why').count(), 0, typed);
  }
  await born.fill('12/3/57');
  assert.match(await field(born).locator('.echo').innerText(), /12 March 1957, with the day read before the month/);
  await born.fill('4/6/1958');
  assert.match(await field(born).locator('.echo').innerText(), /the day read before the month/);
  for (const typed of ['31/4/1958', '6/13/1958', '4/6', 'June 1958', 'last week']) {
    await born.fill(typed);
    await born.blur();
    assert.equal(await field(born).locator('.echo').count(), 0, typed);
    await field(born).locator('.why').waitFor();
  }
  await on.label(say('register.full_name')).fill('Ottoline Example');
  await on.label(say('register.number')).fill('B13');
  await page.getByRole('button', { name: say('register.button') }).click();
  await field(born).locator('.why').waitFor(); // the field says it; nothing was sent, and no form of a machine is shown
  assert.equal(await page.locator('.answer').count(), 0);
  await born.fill('');
  await on.label(say('register.full_name')).fill('');
  await on.label(say('register.number')).fill('');

  await page.at(`/people/${person}/order/new`);
  const at = on.label(say('order.time'));
  for (const [typed, time] of [
    ['22.00', '22:00'],
    ['2200', '22:00'],
    ['10 pm', '22:00'],
    ['10.30 p.m.', '22:30'],
    ['730', '07:30'],
    ['12 am', '00:00'],
  ]) {
    await at.fill(typed);
    assert.equal(await field(at).locator('.echo').innerText(), time, typed);
  }
  await at.fill('8');
  assert.equal(await field(at).locator('.echo').innerText(), say('form.morning', { read: '08:00', evening: '20:00' }));
  for (const typed of ['24:00', '7:60', '13 pm', 'noon']) {
    await at.fill(typed);
    await at.blur();
    await field(at).locator('.why').waitFor();
  }

  await page.at(`/people/${person}/load`);
  const expires = page.getByLabel(say('stock.expiry'));
  for (const [typed, last] of [
    ['05/2028', 'Wednesday 31 May 2028'],
    ['05/28', 'Wednesday 31 May 2028'],
    ['2028-02', 'Tuesday 29 February 2028'],
    ['May 2028', 'Wednesday 31 May 2028'],
    ['1/6/2028', 'Thursday 1 June 2028'],
    ['1/6/28', 'Thursday 1 June 2028'],
    ['yesterday', 'Tuesday 6 July 2027'],
  ]) {
    await expires.fill(typed);
    assert.equal((await field(expires).locator('.echo').innerText()).replaceAll(',', '').startsWith(last), true, typed);
  }
  await page.getByLabel(say('form.earlier')).check();
  const moment = on.label(say('form.date_time'));
  for (const [typed, when] of [
    ['9.15', 'Wednesday 7 July 2027 09:15'],
    ['yesterday 10 pm', 'Tuesday 6 July 2027 22:00'],
    ['1/12 at 10.30', 'Wednesday 1 December 2027 10:30'],
    ['today 8', 'Wednesday 7 July 2027 08:00'],
    ['4/6 22', 'Friday 4 June 2027 22:00'],
    ['4/6/2027 2200', 'Friday 4 June 2027 22:00'],
    ['2027-07-01T07:30', 'Thursday 1 July 2027 07:30'],
    ['yesterday 22.00', 'Tuesday 6 July 2027 22:00'],
    ['22.00 yesterday', 'Tuesday 6 July 2027 22:00'],
    ['10 pm on 4/6', 'Friday 4 June 2027 22:00'],
    ['30.6. 22.00', 'Wednesday 30 June 2027 22:00'],
    ['30.06. 2200', 'Wednesday 30 June 2027 22:00'],
    ['last night 10 pm', 'Tuesday 6 July 2027 22:00'],
    ['10 pm last night', 'Tuesday 6 July 2027 22:00'],
    ['last night at 2.30', 'Wednesday 7 July 2027 02:30'],
    ['4/6 2.35 second', 'Friday 4 June 2027 02:35 second'],
    ['today 2:35, the first time', 'Wednesday 7 July 2027 02:35 first'],
    ['Mon 10 pm', 'Monday 5 July 2027 22:00'],
    ['Thursday 7.15', 'Thursday 1 July 2027 07:15'],
  ]) {
    await moment.fill(typed);
    assert.equal((await field(moment).locator('.echo').innerText()).replaceAll(',', '').startsWith(when), true, typed);
  }
  for (const [typed, day] of [
    ['4/6/2027', 'Friday 4 June 2027'],
    ['4 6 22', 'Saturday 4 June 2022'],
    ['1/7', 'Thursday 1 July 2027'],
  ]) {
    await moment.fill(typed);
    await moment.blur();
    const why = (await field(moment).locator('.why').innerText()).replaceAll(',', '');
    assert.equal(why, say('form.hour_missing', { day, time: '22:00' }).replaceAll(',', ''), typed);
  }
  await moment.fill('in three days 8.00'); // nothing that happened
  await moment.blur();
  await field(moment).locator('.why').waitFor();

  await page.at(`/people/${person}/order/new`);
  const from = on.label(say('order.from'));
  for (const [typed, day] of [
    ['Friday', 'Friday 9 July 2027'],
    ['Tue', 'Tuesday 13 July 2027'],
    ['in three days', 'Saturday 10 July 2027'],
    ['in 2 weeks', 'Wednesday 21 July 2027'],
    ['9.7.', 'Friday 9 July 2027'],
  ]) {
    await from.fill(typed);
    assert.equal((await field(from).locator('.echo').innerText()).replaceAll(',', '').startsWith(day), true, typed);
  }
});

test('H57 H07 an hour alone, of what happened, is the last one before now, and the field says so', async () => {
  let hour = '00:57';
  await clinicAt(() => `2027-07-08T${hour}:00+02:00`);
  const said = async (...typed) => {
    await page.at(`/people/${person}/load`);
    await page.getByLabel(say('form.earlier')).check();
    const moment = on.label(say('form.date_time'));
    const echoes = [];
    for (const one of typed) {
      await moment.fill(one);
      echoes.push((await page.locator('.field', { has: moment }).locator('.echo').innerText()).replaceAll(',', ''));
    }
    return echoes;
  };
  const last = (time) => say('form.not_today', { read: `Wednesday 7 July 2027 ${time}` }).replaceAll(',', '');
  assert.deepEqual(await said('22.00', '6 pm', '17:59', 'today 22:00', '0.30'), [
    last('22:00'),
    last('18:00'),
    last('17:59'),
    'Thursday 8 July 2027 22:00',
    'Thursday 8 July 2027 00:30',
  ]);
  hour = '06:00';
  assert.deepEqual(await said('22.00', '6.10', '6.11'), [last('22:00'), 'Thursday 8 July 2027 06:10', last('06:11')]);
  await page.unroute('**/api/clinic');
});
