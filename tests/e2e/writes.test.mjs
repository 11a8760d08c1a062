// Writing: once for a double press, both sides of a conflict, plain words when nothing was saved.
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import {
  axeFindsNothing,
  factsCalled,
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
let people = 0;

before(async () => {
  bench = await startBench();
  await nameClinic(bench);
  browser = await startBrowser();
});
beforeEach(async () => {
  ++people;
  person = await register(bench, { name: `Person Number${people}`, number: `HS ${people}` });
  page = await openPage(browser, bench);
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

async function noteForm(text) {
  await page.at(`/people/${person}/record/note`);
  await page.locator('textarea').fill(text);
  return page.getByRole('button', { name: 'Record the note' });
}

test('H07 a double click records once', async () => {
  const button = await noteForm('Once.');
  await button.dblclick();
  await page.waitForURL(new RegExp(`/people/${person}$`));
  await settled(page); // by then the second press would be on disk as well
  assert.equal((await factsCalled(bench, person, 'note')).length, 1);
});

/** The person's pens, each with a cartridge: one has buttons that record at one press. */
async function pensPage(pens) {
  const ids = Array.from({ length: pens }, () => crypto.randomUUID());
  const glargine = { copy: 'reusable-whole-60', insulin: 'insulin glargine', strength_units_per_ml: 100 };
  await recordElsewhere(
    bench,
    person,
    ids.map((pen) => ({ what: 'pen given', pen, ...glargine })),
  );
  const full = { copy: 'glargine-100', units: 300, content_units: 300, fits: 'fit A', new_cartridge: true };
  await recordElsewhere(
    bench,
    person,
    ids.map((pen) => ({ what: 'cartridge loaded', cartridge: crypto.randomUUID(), pen, ...full })),
  );
  await page.at(`/people/${person}/pens`);
  return page.getByRole('button', { name: sentence('act.left_fridge') });
}

/** What is sent waits on the way until the answer of this is called. */
async function holdFacts() {
  let release;
  const released = new Promise((done) => (release = done));
  await page.route('**/facts', async (route) => {
    await released;
    return route.continue();
  });
  return release;
}

const receipt = (key) => page.locator('.receipt', { hasText: say(key, { label: sentence('act.left_fridge') }) });

test('H07 a button that is pressed twice on a page records once, and it is said that the second press counted for nothing', async () => {
  const button = await pensPage(1);
  const release = await holdFacts(); // after the answer the button might be gone from under the second press
  await button.dblclick();
  release();
  await receipt('outcome.recorded').waitFor();
  await receipt('outcome.double').waitFor();
  await settled(page); // by then the second press would be on disk as well
  assert.equal((await factsCalled(bench, person, 'left the fridge')).length, 1);
});

test('H07 the second half of a double click on what stood there before is said, and a press after it counts', async () => {
  const button = await pensPage(1);
  await button.dispatchEvent('click', { detail: 2 });
  await receipt('outcome.double').waitFor();
  assert.equal((await factsCalled(bench, person, 'left the fridge')).length, 0);
  await button.click();
  await receipt('outcome.recorded').waitFor();
  assert.equal(await receipt('outcome.double').count(), 0, 'what was said of the press before is gone');
});

test('H07 another button counts at once, and while an entry is on its way it is said that it does not', async () => {
  const buttons = await pensPage(2);
  const release = await holdFacts();
  await buttons.first().click();
  await buttons.last().evaluate((button) => button.click()); // a hand does not wait until it is enabled
  await receipt('outcome.busy').waitFor();
  release();
  await receipt('outcome.recorded').waitFor();
  // Within the moment in which the same button would count for nothing.
  await buttons.last().click();
  await receipt('outcome.busy').waitFor({ state: 'detached' });
  await receipt('outcome.double').waitFor({ state: 'detached' });
  await receipt('outcome.recorded').waitFor();
  assert.equal((await factsCalled(bench, person, 'left the fridge')).length, 2);
});

test('H07 an answer that is lost on the way: the press again is one fact', async () => {
  const button = await noteForm('Sent, never heard back.');
  let lost = 0;
  await page.route('**/facts', async (route) => {
    if (++lost > 1) return route.continue();
    await route.fetch(); // it arrives, the answer does not
    return route.abort();
  });
  await button.click();
  const dialog = page.getByRole('dialog', { name: say('outcome.not_saved') });
  await dialog.getByText(say('outcome.not_saved_what')).waitFor();
  await axeFindsNothing(page, 'not saved');
  await dialog.getByRole('button', { name: say('form.retry') }).click();
  await page.waitForURL(new RegExp(`/people/${person}$`));
  assert.equal((await factsCalled(bench, person, 'note')).length, 1);
});

test('H21 nothing answers: “not saved” is said, what was typed stays, and it goes in once the program is back', async () => {
  const button = await noteForm('While the program was down.');
  await bench.halt();
  await button.click();
  const dialog = page.getByRole('dialog', { name: say('outcome.not_saved') });
  await dialog.waitFor();
  assert.equal(await page.locator('textarea').inputValue(), 'While the program was down.');
  await bench.start();
  await dialog.getByRole('button', { name: say('form.retry') }).click();
  await page.waitForURL(new RegExp(`/people/${person}$`));
  assert.equal((await factsCalled(bench, person, 'note')).length, 1);
});

test('H08 H55 while nothing answers no page shows a number to dial', async () => {
  const line = crypto.randomUUID();
  const pen = crypto.randomUUID();
  const slots = [{ slot: 'bedtime', at: '22:00', units: 20 }];
  await recordElsewhere(bench, person, [
    {
      id: line,
      what: 'order line signed',
      order_version: 1,
      insulin: 'insulin glargine',
      strength_units_per_ml: 100,
      purpose: 'background',
      slots,
      least_units: 10,
      most_units: 30,
      from: '2027-03-01',
      prescriber: 'Dr Tomasz Adeyemi',
      signed_on: '2027-03-01',
      copied_from: 'paper',
      copied_by: 'Marit Oyelaran',
      read_back: true,
    },
  ]);
  await recordElsewhere(bench, person, [
    {
      what: 'order line checked',
      line,
      checked_by: 'Jonas Abara',
      reading: { insulin: 'insulin glargine', strength_units_per_ml: 100, slots },
    },
    { what: 'pen given', pen, copy: 'reusable-whole-60', insulin: 'insulin glargine', strength_units_per_ml: 100 },
  ]);
  await recordElsewhere(bench, person, [
    {
      what: 'cartridge loaded',
      cartridge: crypto.randomUUID(),
      pen,
      copy: 'glargine-100',
      units: 300,
      content_units: 300,
      fits: 'fit A',
      new_cartridge: true,
    },
  ]);
  await page.at(`/people/${person}`);
  await page
    .getByText(sentence('step.dial', { window: '20 units' }))
    .first()
    .waitFor();
  await bench.halt();
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange'))); // as when the window is looked at again
  await page.getByText('the dose may have been given or changed since').waitFor();
  assert.equal(await page.getByText(sentence('step.dial', { window: '20 units' })).count(), 0);
  assert.equal(await page.getByRole('link', { name: 'Print these steps' }).count(), 0);
  await bench.start();
  await page.getByRole('button', { name: say('form.retry') }).click();
  await page
    .getByText(sentence('step.dial', { window: '20 units' }))
    .first()
    .waitFor();
});

test('H20 two write at once: both sides are shown, nothing that was typed is lost', async () => {
  const button = await noteForm('What I wanted to write.');
  await recordElsewhere(bench, person, [{ what: 'note', text: 'What somebody else wrote.' }]);
  await button.click();
  const dialog = page.getByRole('dialog', { name: say('outcome.conflict') });
  await dialog.waitFor();
  const said = await dialog.innerText();
  assert.match(said, /What I wanted to write/);
  assert.match(said, /What somebody else wrote/);
  await axeFindsNothing(page, 'the conflict');
  assert.equal((await factsCalled(bench, person, 'note')).length, 1);
  await dialog.getByRole('button', { name: say('form.cancel') }).click();
  assert.equal(await page.locator('textarea').inputValue(), 'What I wanted to write.');
});

test('H20 after both sides were seen, mine goes in as well', async () => {
  const button = await noteForm('Mine.');
  await recordElsewhere(bench, person, [{ what: 'note', text: 'Theirs.' }]);
  await button.click();
  await page.getByRole('button', { name: say('outcome.mine_too') }).click();
  await page.waitForURL(new RegExp(`/people/${person}$`));
  const texts = (await factsCalled(bench, person, 'note')).map(({ fact }) => fact.text).sort();
  assert.deepEqual(texts, ['Mine.', 'Theirs.']);
});

test('H25 what cannot be is refused in words, in the form, and nothing is recorded', async () => {
  await page.at(`/people/${person}/record/warmth`);
  await page.getByLabel('Temperature').fill('900');
  await page.getByLabel(sentence('form/temperature spell/minutes')).fill('10');
  await page.getByRole('button', { name: 'Record the spell' }).click();
  await page.getByRole('alert').getByText(say('page.nothing_changed')).waitFor();
  assert.equal(await page.getByLabel('Temperature').inputValue(), '900');
  await axeFindsNothing(page, 'a refusal in a form');
  assert.equal((await factsCalled(bench, person, 'temperature spell')).length, 0);
});

test('H10 H37 a meter that shows LO or HI is entered as people write it, and no number is made of it', async () => {
  for (const [typed, word, said] of [
    ['low', 'LO', 'form.meter_lo'],
    ['HI', 'HI', 'form.meter_hi'],
  ]) {
    await page.at(`/people/${person}/record/glucose`);
    await page.locator('input[name=value]').fill(typed);
    await page.getByText(say(said)).waitFor();
    await page.getByRole('button', { name: sentence('form-button/glucose noted'), exact: true }).click();
    await page.waitForURL((url) => !url.pathname.endsWith('/glucose'));
    const { value, meter } = await newest(bench, person, 'glucose noted');
    assert.deepEqual([value ?? null, meter], [null, word]);
  }
  await page.at(`/people/${person}/journal`);
  for (const word of ['lo', 'hi']) await page.getByText(sentence(`fact-part.meter_${word}`)).waitFor();
});

test('H06 H25 a glucose value without a unit is asked for one, in the words of the form', async () => {
  await page.at(`/people/${person}/record/glucose`);
  await page.locator('input[name=value]').fill('6.1');
  await page.getByRole('button', { name: sentence('form-button/glucose noted'), exact: true }).click();
  await page.getByText(say('form.unit_missing', { one: 'mmol/L', other: 'mg/dL' }), { exact: true }).waitFor();
  assert.equal(await page.locator('.answer').count(), 0);
});

test('H19 registering somebody alike asks first', async () => {
  await page.at('/people/new');
  await page.getByLabel(say('register.full_name')).fill(`Person Number${people}`);
  await page.getByLabel(say('register.born')).fill('1958-06-05');
  await page.getByLabel(say('register.number')).fill('HS 99999');
  await page.getByRole('button', { name: say('register.button'), exact: true }).click();
  const dialog = page.getByRole('dialog', { name: say('register.alike') });
  await dialog.waitFor();
  await axeFindsNothing(page, 'somebody alike');
  await dialog.getByRole('button', { name: say('form.cancel') }).click();
  assert.equal(await page.getByLabel(say('register.full_name')).inputValue(), `Person Number${people}`);
});

test('H13 a journal that names somebody else’s pen is asked about before it comes in', async () => {
  const pen = {
    what: 'pen given',
    pen: crypto.randomUUID(),
    copy: 'reusable-whole-60',
    insulin: 'insulin glargine',
    strength_units_per_ml: 100,
  };
  await recordElsewhere(bench, person, [pen]);
  const there = await startBench();
  try {
    await nameClinic(there);
    const other = await register(there, { name: 'Tove Marklund', number: 'HS 05120' });
    await recordElsewhere(there, other, [pen]);
    const file = await (await fetch(`${there.base}/api/people/${other}/export`)).text();
    await page.at('/people/bring-in');
    await page.getByLabel(say('import.file')).setInputFiles({ name: 'tove.json', mimeType: 'application/json', buffer: Buffer.from(file) });
    const question = page.locator('.say.caution', { hasText: `Person Number${people}, number HS ${people}` });
    await question.waitFor();
    await page.getByRole('row', { name: `${say('import.in_file')} Tove Marklund` }).waitFor();
    await page.getByRole('row', { name: `${say('import.here')} ${say('import.not_here')}` }).waitFor();
    await axeFindsNothing(page, 'a question about a file');
    assert.equal((await fetch(`${bench.base}/api/people/${other}`)).status, 404);
    await page.getByRole('button', { name: say('import.accept', { name: 'Tove Marklund' }) }).click();
    await page.locator('.say.note', { hasText: say('import.done') }).waitFor();
    for (const one of [person, other]) {
      await page.at(`/people/${one}/pens`);
      await page.getByText(sentence('mark.in_other_journal')).waitFor();
    }
  } finally {
    await there.stop();
  }
});

test('H29 S6 the pages open by the address that was printed, and by no other', async () => {
  const context = await browser.newContext();
  try {
    const stranger = await context.newPage();
    await stranger.goto(`${bench.base}/people`);
    await stranger.getByRole('heading', { name: 'Open Penstock by the address that it printed' }).waitFor();
    await stranger.goto(bench.address);
    await stranger.locator('main h1').first().waitFor();
    assert.equal(stranger.url(), `${bench.base}/`, 'the token does not stay in the address');
    await stranger.goto(`${bench.base}/people`);
    await stranger
      .getByRole('heading', { name: say('nav.people') })
      .first()
      .waitFor();
    assert.equal(await stranger.evaluate(() => document.cookie), '', 'no script reads it');
  } finally {
    await context.close();
  }
});
