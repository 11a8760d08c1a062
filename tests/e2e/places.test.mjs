// Skin, places and reach: pointed at with a mouse and walked over with the keys, recorded as facts, printed, and asked on the phone.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import {
  allPeople,
  axeByMarkup,
  axeFindsNothing,
  json,
  keptQuiet,
  measuredOnce,
  newest,
  nothingSideways,
  nothingToPress,
  openPage,
  printed,
  say,
  sentence,
  sidewaysAt,
  startBench,
  startBrowser,
} from './bench.mjs';

let bench;
let browser;
/** Everybody of the demo clinic with a plate to work on: id, name, places document. */
let drawn = [];

before(async () => {
  bench = await startBench({ demo: true });
  browser = await startBrowser();
  for (const { id, name, born_text: born, number } of await allPeople(bench)) {
    const page = await json(bench, `/api/people/${id}/places`);
    if (page.places?.plates.length > 0) drawn.push({ id, name, born, number, page });
  }
  assert.ok(drawn.length > 0, 'somebody of the demo clinic has a body that can be drawn');
});
after(async () => {
  await browser?.close();
  await bench?.stop();
});

const forms = ['/skin', '/skin/examine', '/skin/body', '/skin/depth', '/skin/rules'];
const sizes = [
  [1600, 1000],
  [1366, 900],
  [1024, 768],
  [820, 1180],
  [683, 450],
  [390, 844],
];

const ground = (page) => page.getByRole('application').first();
const chosen = (page) => page.locator('.here').innerText();

/** Somebody with injections to note places for, and a plate whose open spots can be pointed at. */
const somebody = () => drawn.find(({ page }) => page.injections.length > 1) ?? assert.fail('somebody has injected');

/** The same, and a plan may be printed for them; the belly's plate is shown first. */
const freeToPlan = () =>
  drawn.find(({ page }) => page.injections.length > 1 && page.places.plan && page.places.plates[0].part === 'abdomen') ??
  assert.fail('somebody has a plan');

async function openSkin(page, id) {
  await page.at(`/people/${id}/skin`);
  await ground(page).waitFor();
}

/** An open spot of the plate, with what it says about itself and the middle of it on the screen. */
async function openSpot(page, nth) {
  const spot = page.locator('.ground .drawing [data-zone][data-x]:not([data-injection]):not([data-area])').nth(nth);
  await spot.scrollIntoViewIfNeeded();
  const box = await spot.boundingBox();
  const said = await spot.evaluate(({ dataset }) => ({ zone: dataset.zone, x: dataset.x, y: dataset.y }));
  return { ...said, at: [box.x + box.width / 2, box.y + box.height / 2] };
}

const tenths = (cm) => Math.round(Number(cm) * 100);

async function tabToGround(page) {
  await page.locator('h1').first().focus();
  for (let at = 0; at < 120; ++at) {
    await page.keyboard.press('Tab');
    if (await ground(page).evaluate((element) => element === document.activeElement)) return;
  }
  assert.fail('Tab never came to the drawing');
}

async function tabTo(page, find) {
  for (let at = 0; at < 160; ++at) {
    if (await find().evaluate((element) => element === document.activeElement)) return;
    await page.keyboard.press('Tab');
  }
  assert.fail('Tab never came to it');
}

async function recorded(page, label) {
  const odd = page.getByRole('dialog', { name: say('outcome.check') });
  const receipt = page.locator('.receipt', { hasText: label });
  await odd.or(receipt).first().waitFor();
  if ((await odd.count()) > 0) await odd.getByRole('button', { name: say('outcome.confirm') }).press('Enter');
  await receipt.waitFor();
}

test('H17 an examination in which nothing was said to be looked at says so, where it is asked', async () => {
  const page = await openPage(browser, bench);
  await page.at(`/people/${somebody().id}/skin/examine`);
  const zones = page.getByRole('group', { name: say('skin.looked') });
  await zones.waitFor();
  for (const ticked of await zones.getByRole('checkbox', { checked: true }).all()) await ticked.uncheck();
  await page.getByRole('button', { name: say('skin.check_record') }).press('Enter');
  await zones.getByText(say('skin.looked_needed')).waitFor();
  assert.ok(
    await zones
      .getByRole('checkbox')
      .first()
      .evaluate((box) => box === document.activeElement),
    'there it goes on',
  );
  keptQuiet(page, 'an examination of nothing');
});

test('the page of sites has the plan first, numbered, then what went where, and how deep the needle reaches', async () => {
  const page = await openPage(browser, bench);
  const { id, page: before } = freeToPlan();
  await page.at(`/people/${id}/skin`);
  await page.getByRole('heading', { name: say('skin.depth'), exact: true }).waitFor();
  const { rows } = before.places.coming;
  assert.ok(rows.length > 1, 'several injections are planned');
  assert.deepEqual(
    await page.locator('.coming li .nr').allInnerTexts(),
    rows.map(({ number }) => String(number)),
  );
  const drawnNumbers = await page.locator('.coming-pics svg text.lo').allTextContents();
  assert.deepEqual(
    drawnNumbers.map(Number).toSorted((a, b) => a - b),
    rows.map(({ number }) => number),
  );
  assert.equal(await page.locator('.coming-pics [data-injection]').count(), 0, 'what went in is on the ledger');
  const ledger = page.locator('.on-skin');
  assert.equal(await ledger.locator('[data-mark=next]').count(), 0, 'what comes is on the plan');
  const counted = before.places.tallies.reduce((sum, { count }) => sum + count, 0);
  assert.ok(counted > 0 && counted <= before.injections.length);
  assert.equal(await ledger.locator('.tallies li').count(), before.places.tallies.length);
  assert.equal(await page.locator('.reach').count(), 1);
  keptQuiet(page, 'the page of sites');
});

test('axe finds nothing on the pages about the skin', async () => {
  const page = await openPage(browser, bench);
  const look = axeByMarkup();
  for (const { id, name } of drawn) {
    await openSkin(page, id);
    await look(page, `skin and places of ${name}`);
  }
  const { id } = somebody();
  for (const end of forms) {
    await page.at(`/people/${id}${end}`);
    await page.locator('main h2').first().waitFor();
    await axeFindsNothing(page, end);
  }
  await page.at('/phone?about=reach');
  await axeFindsNothing(page, 'reach at the phone desk');
  keptQuiet(page, 'the pages about the skin');
});

const sideways = measuredOnce(async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  const over = await sidewaysAt(
    page,
    sizes,
    [...[...forms, '', '/place-plan'].map((end) => `/people/${id}${end}`), '/phone?about=reach'],
    'main h1, main h2',
  );
  keptQuiet(page, 'the pages about the skin, at every width');
  return over;
});

for (const [width] of sizes) {
  test(`nothing about the skin scrolls sideways at ${width} pixels`, async () => assert.deepEqual((await sideways()).get(width), []));
}

test('H19 the pages about the skin name the person, with birth date and number', async () => {
  const page = await openPage(browser, bench);
  const { id, name, born, number } = somebody();
  for (const end of forms) {
    await page.at(`/people/${id}${end}`);
    const head = await page.locator('.who').first().innerText();
    for (const part of [name, born, number]) assert.ok(head.includes(part), `${part} at ${end}`);
    await page.waitForFunction((who) => document.title.includes(who), name, { timeout: 5000 });
  }
});

test('by mouse: a place is noted where it was pointed at', async () => {
  const page = await openPage(browser, bench);
  const { id, page: places } = somebody();
  await openSkin(page, id);
  const injection = places.injections[0];
  await page.getByLabel(say('skin.which')).selectOption(injection.id);
  const spot = await openSpot(page, 5);
  await page.mouse.click(...spot.at);
  assert.match(await chosen(page), /^Chosen:/);
  await page.getByRole('button', { name: say('skin.note') }).click();
  await recorded(page, say('skin.actual'));
  const fact = await newest(bench, id, 'place noted');
  assert.equal(fact.injection.replaceAll('-', ''), injection.id.replaceAll('-', ''));
  assert.equal(fact.zone, spot.zone);
  assert.equal(Math.round(fact.spot.x_mm * 10), tenths(spot.x), 'the spot goes back as it came');
  assert.equal(Math.round(fact.spot.y_mm * 10), tenths(spot.y));
  const after = await json(bench, `/api/people/${id}/places`);
  assert.equal(Number(after.injections.find((one) => one.id === injection.id).x_mm) * 10, tenths(spot.x));
  await page.locator('.here', { hasText: say('skin.nothing_chosen') }).waitFor(); // the form is free for the next one
  keptQuiet(page, 'noting a place');
});

test('H17 by mouse: an area is blocked by a drag from its middle outwards, and the plan keeps off it', async () => {
  const page = await openPage(browser, bench);
  const { id } = freeToPlan();
  await openSkin(page, id);
  await page.getByLabel(say('skin.blocked')).check();
  const spot = await openSpot(page, 8);
  const perCm = await page.locator('.ground .drawing svg').evaluate((svg) => Number(svg.dataset.perCm) * svg.getScreenCTM().a);
  await page.mouse.move(...spot.at);
  await page.mouse.down();
  await page.mouse.move(spot.at[0] + perCm, spot.at[1], { steps: 4 });
  await page.mouse.move(spot.at[0] + perCm * 2, spot.at[1], { steps: 4 });
  assert.match(await chosen(page), /radius 2 cm/, 'the radius is said while it is drawn');
  await page.mouse.up();
  await page.getByLabel(say('skin.finding')).selectOption('scar');
  await page.getByRole('button', { name: say('skin.block_record') }).click();
  await recorded(page, say('skin.blocked'));
  const fact = await newest(bench, id, 'area blocked');
  assert.equal(fact.zone, spot.zone);
  assert.equal(fact.tissue, 'scar');
  assert.ok(Math.abs(fact.radius_mm - 20) <= 1, `radius ${fact.radius_mm}`);
  assert.ok(
    Math.abs(fact.centre.x_mm - Number(spot.x) * 10) <= 1 && Math.abs(fact.centre.y_mm - Number(spot.y) * 10) <= 1,
    'its middle is where the drag began',
  );
  const { areas } = await json(bench, `/api/people/${id}/places`);
  assert.ok(areas.some((area) => area.id.replaceAll('-', '') === fact.area.replaceAll('-', '') && area.kept_off));
  await page.locator('.areas .area', { hasText: /car/ }).first().waitFor();
  await page.waitForFunction((area) => document.querySelector(`.ground .drawing [data-area="${area}"]`) !== null, fact.area);
  const { give } = await json(bench, `/api/people/${id}/place-plan`);
  assert.ok(give, 'a scar opens no question: there is a plan');
  const abdomen = give.facts[0].places.filter(({ zone }) => zone.startsWith('abdomen'));
  assert.ok(fact.zone.startsWith('abdomen') && abdomen.length > 0);
  for (const { zone, spot: to } of abdomen) {
    const far = Math.hypot(to.x_mm - fact.centre.x_mm, to.y_mm - fact.centre.y_mm);
    assert.ok(far >= fact.radius_mm, `${zone} ${to.x_mm} ${to.y_mm} is ${far} mm from the middle of what is kept off`);
  }
  keptQuiet(page, 'blocking an area');
});

test('by keyboard alone: the drawing is one stop, a place is walked to and noted', async () => {
  const page = await openPage(browser, bench);
  const { id, page: places } = somebody();
  await openSkin(page, id);
  await tabToGround(page);
  assert.match(
    await page.evaluate(
      () => `${getComputedStyle(document.activeElement).outlineStyle} ${getComputedStyle(document.activeElement).outlineWidth}`,
    ),
    /^solid 3px$/,
  );
  const seen = new Set([await chosen(page)]);
  for (const key of ['ArrowDown', 'ArrowLeft', 'ArrowDown', 'ArrowRight']) {
    await page.keyboard.press(key);
    seen.add(await chosen(page));
  }
  assert.ok(seen.size >= 4, `each step says another place: ${[...seen].join('; ')}`);
  assert.equal(await page.locator('.over .cursor').count(), 1, 'the cursor is seen');
  await page.keyboard.press('Enter');
  const said = await chosen(page);
  assert.match(said, /^Chosen:.*cm/);
  await page.keyboard.press('Escape');
  assert.equal(await page.evaluate(() => document.activeElement.closest('.panel') !== null), true, 'Escape goes on to the form');
  await tabTo(page, () => page.getByLabel(say('skin.which')));
  const injection = places.injections[1];
  await page.keyboard.type(injection.when_text); // a list is chosen from by its first letters
  assert.equal(await page.getByLabel(say('skin.which')).inputValue(), injection.id);
  await tabTo(page, () => page.getByRole('button', { name: say('skin.note') }));
  await page.keyboard.press('Enter');
  await recorded(page, say('skin.actual'));
  const fact = await newest(bench, id, 'place noted');
  assert.equal(fact.injection.replaceAll('-', ''), injection.id.replaceAll('-', ''));
  assert.ok(Number.isFinite(fact.spot.x_mm) && Number.isFinite(fact.spot.y_mm));
  keptQuiet(page, 'noting a place by keyboard');
});

test('H17 by keyboard alone: an area is blocked', async () => {
  const page = await openPage(browser, bench);
  const { id, page: places } = somebody();
  await openSkin(page, id);
  await tabTo(page, () => page.getByLabel(say('skin.actual')));
  await page.keyboard.press('ArrowDown');
  assert.equal(await page.getByLabel(say('skin.blocked')).isChecked(), true);
  await tabToGround(page);
  for (const key of ['ArrowUp', 'ArrowUp', 'Enter', '+', '+', '-', '+']) await page.keyboard.press(key);
  assert.match(await chosen(page), /^Chosen:.*radius 2 cm/);
  await page.keyboard.press('Escape');
  await tabTo(page, () => page.getByLabel(say('skin.finding')));
  await page.keyboard.type(places.forms.tissues.find(({ value }) => value === 'bruise').label);
  await tabTo(page, () => page.getByRole('button', { name: say('skin.block_record') }));
  await page.keyboard.press('Enter');
  await recorded(page, say('skin.blocked'));
  const fact = await newest(bench, id, 'area blocked');
  assert.equal(fact.tissue, 'bruise');
  assert.equal(fact.radius_mm, 20);
  keptQuiet(page, 'blocking an area by keyboard');
});

test('without the drawing: zone and centimetres are typed, and no number drifts', async () => {
  const page = await openPage(browser, bench);
  const { id, page: places } = somebody();
  await openSkin(page, id);
  await page.getByLabel(say('skin.which')).selectOption(places.injections[0].id);
  await page.getByLabel(say('skin.body_area')).selectOption('abdomen right upper');
  await page.locator('input[name=across]').first().fill('7.3');
  await page.locator('input[name=along]').first().fill('2.07');
  assert.equal(
    await page
      .getByLabel(say('skin.which_way', { distance: say('skin.sideways_from', { from: say('skin.navel_at') }) }))
      .first()
      .inputValue(),
    'right',
    'the quarter says the direction',
  );
  await page.getByRole('button', { name: say('skin.note') }).click();
  await recorded(page, say('skin.actual'));
  assert.deepEqual((await newest(bench, id, 'place noted')).spot, { x_mm: -73, y_mm: 20.7 });
});

test('H25 what is no number is refused by name, beside its field, and stays typed', async () => {
  const page = await openPage(browser, bench);
  const { id, page: places } = somebody();
  await openSkin(page, id);
  await page.getByLabel(say('skin.which')).selectOption(places.injections[0].id);
  await page.getByLabel(say('skin.body_area')).selectOption('abdomen left upper');
  await page.locator('input[name=across]').first().fill('seven');
  await page.locator('input[name=along]').first().fill('2');
  await page.getByRole('button', { name: say('skin.note') }).click();
  await page.locator('.panel .refusal').waitFor();
  assert.equal(await page.locator('input[name=across]').first().inputValue(), 'seven');
});

test('look and feel: a known area is followed up, something new is drawn, a picture only with consent', async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  const { areas } = await json(bench, `/api/people/${id}/places`);
  const area = areas.find(({ kept_off: kept }) => kept) ?? assert.fail('an area is kept off by now');
  await page.at(`/people/${id}/skin/examine?area=${area.id}`);
  const known = page.getByRole('group', { name: area.title }).first();
  await known.waitFor();
  assert.equal(await known.getByLabel(say('skin.looked_today')).isChecked(), true);
  await known.getByLabel(say('skin.length')).fill('1.5');
  await known.getByLabel(say('skin.width')).fill('1.2');
  await known.getByLabel(say('skin.felt')).check();
  await known.getByRole('radio').first().check();
  await page.getByRole('radio', { name: /side/ }).check();
  await page.getByRole('radio', { name: /ying/ }).check();
  const pixel = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==', 'base64');
  await page.locator('input[type=file]').setInputFiles({ name: 'skin.png', mimeType: 'image/png', buffer: pixel });
  await page.locator('.photo-preview canvas').waitFor();
  let sent = 0;
  page.on('request', (request) => {
    if (request.url().includes('/photos')) ++sent;
  });
  await page.getByRole('button', { name: say('skin.check_record') }).click();
  await page.locator('.photo-field .why').waitFor();
  assert.equal(sent, 0, 'no picture leaves the browser without consent');
  await axeFindsNothing(page, 'the examination');
  await page.getByLabel(say('skin.photo_consent')).check();
  await page.getByRole('button', { name: say('skin.check_record') }).click();
  await page.waitForURL(new RegExp(`/people/${id}/skin$`));
  assert.equal(sent, 1);
  const fact = await newest(bench, id, 'skin examined');
  const finding = fact.findings.find((one) => one.area.replaceAll('-', '') === area.id.replaceAll('-', ''));
  assert.equal(finding.length_mm, 15);
  assert.equal(finding.width_mm, 12);
  assert.equal(finding.felt, true);
  assert.equal(fact.photo_consent, true);
  const shown = page.locator('.examinations img').first();
  await shown.scrollIntoViewIfNeeded();
  await page.waitForFunction(() => (document.querySelector('.examinations img')?.naturalWidth ?? 0) > 0);
  keptQuiet(page, 'the examination');
});

test('a picture whose consent is withdrawn is erased by keyboard, with the reason; the site check says so', async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  await openSkin(page, id);
  const button = page.getByRole('button', { name: say('skin.photo_erase') });
  await page.emulateMedia({ media: 'print' });
  assert.equal(await button.isVisible(), false, 'it is not printed');
  await page.emulateMedia({ media: null });
  const dialog = page.getByRole('dialog', { name: say('skin.photo_erase') });
  await button.press('Enter');
  await dialog.getByText(say('skin.photo_erase_text')).waitFor();
  await page.keyboard.press('Escape');
  await dialog.waitFor({ state: 'detached' });
  assert.equal(await button.evaluate((element) => element === document.activeElement), true, 'the focus is back where it was');
  await button.press('Enter');
  const reason = dialog.getByLabel(say('page.reason'));
  assert.equal(await reason.inputValue(), say('skin.photo_erase_why'));
  await axeFindsNothing(page, 'the question before a picture is erased');
  for (const [width, height] of sizes) {
    await page.setViewportSize({ width, height });
    await nothingSideways(page, `the question before a picture is erased at ${width}`);
    const over = await dialog.evaluate((box) => box.scrollWidth - box.clientWidth);
    assert.ok(over <= 0, `the question at ${width} scrolls sideways by ${over} pixels`);
  }
  await reason.fill('');
  await reason.press('Enter');
  assert.equal(await reason.evaluate(({ validity }) => validity.valueMissing), true, 'it needs a reason');
  await reason.fill('x'.repeat(5_000));
  await reason.press('Enter');
  await dialog.getByText(say('page.nothing_changed')).waitFor();
  await page.waitForFunction(() => document.activeElement?.matches('.answer') ?? false); // a refusal takes the focus, once it is drawn
  await page.route('**/photos/*', (route) => (route.request().method() === 'DELETE' ? route.abort() : route.continue()));
  await reason.fill('She wants no pictures kept.');
  await reason.press('Enter');
  await dialog.getByText(say('skin.photo_erase_unreached')).waitFor();
  assert.equal((await json(bench, `/api/people/${id}/places`)).examinations[0].photo_text, '', 'the picture is still here');
  await page.unroute('**/photos/*');
  await tabTo(page, () => dialog.getByRole('button', { name: say('skin.photo_erase_button') }));
  await page.keyboard.press('Enter');
  const gone = page.locator('.examinations').getByText(sentence('site.photo_erased'));
  await gone.waitFor();
  await dialog.waitFor({ state: 'detached' });
  await page.waitForFunction((said) => document.activeElement?.textContent === said, sentence('site.photo_erased'));
  assert.equal(await page.locator('.examinations img').count(), 0);
  assert.equal(await button.count(), 0);
  assert.match((await newest(bench, id, 'note')).text, /She wants no pictures kept\.$/);
  keptQuiet(page, 'erasing a picture');
});

test('rules and body are prefilled with what holds, and said whole', async () => {
  const page = await openPage(browser, bench);
  const { id } = somebody();
  const { forms: before } = await json(bench, `/api/people/${id}/places`);
  await page.at(`/people/${id}/skin/rules`);
  await page.getByLabel(say('skin.rest_days')).fill('21');
  await page.getByRole('button', { name: say('form.record_rules') }).click();
  await page.waitForURL(new RegExp(`/people/${id}/skin$`));
  const { what: _kind, ...rules } = (await json(bench, `/api/people/${id}/places`)).forms.rules;
  const { what: _before, ...held } = before.rules;
  assert.deepEqual(rules, { ...held, rest_days: 21 }, 'nothing else has changed');
  await page.at(`/people/${id}/skin/body`);
  await page.getByLabel(say('skin.height')).fill('171.5');
  await page.getByRole('button', { name: say('skin.measure_record') }).click();
  await page.waitForURL(new RegExp(`/people/${id}/skin$`));
  const { body } = (await json(bench, `/api/people/${id}/places`)).forms;
  assert.equal(body.height_cm, 171.5);
  assert.equal(body.sex, before.body.sex);
});

test('H19 H28 the place plan on paper: one title, one page or two, whose it is on each', async () => {
  const page = await openPage(browser, bench);
  let seen = 0;
  for (const { id, name, born, number } of drawn) {
    const sheet = await json(bench, `/api/people/${id}/place-plan`);
    await page.at(`/people/${id}/place-plan`);
    if (sheet.refused) {
      await page.getByRole('heading', { name: say('page.not_shown') }).waitFor();
      assert.equal(await page.locator('.plan-a4').count(), 0, `${name}: a plan that was refused is shown`);
      continue;
    }
    ++seen;
    if (seen === 1) await axeFindsNothing(page, 'the place plan');
    const pages = await printed(page);
    assert.ok(pages.length <= 2, `${name}: the plan takes ${pages.length} pages`);
    assert.equal(pages.join(' ').split(sheet.title).length - 1, 1, `${name}: its title stands once`);
    for (const [at, text] of pages.entries()) {
      for (const part of [name, born, number, `page ${at + 1} of ${pages.length}`])
        assert.ok(text.includes(part), `${part} on page ${at + 1}`);
    }
    for (const part of [...sheet.weeks.map(({ title }) => title), sheet.low.title]) assert.ok(pages.join(' ').includes(part), part);
    if (seen === 1) await nothingToPress(page, 'the place plan');
    assert.ok(!pages.join(' ').includes(sheet.give.label), `${sheet.give.label} is printed`);
  }
  assert.ok(seen > 0, 'somebody has a plan');
  keptQuiet(page, 'the plans');
});

test('H36 where the question about hardened tissue is open, the plan says first to phone', async () => {
  const page = await openPage(browser, bench);
  let seen = 0;
  for (const { id, name } of drawn) {
    const sheet = await json(bench, `/api/people/${id}/place-plan`);
    if (sheet.refused || !sheet.before) continue;
    ++seen;
    await page.at(`/people/${id}/place-plan`);
    await page.getByText('Phone Harbour Street Clinic before your first injection').waitFor();
    assert.ok(await page.getByRole('button', { name: say('skin.plan_print') }).isVisible(), name);
  }
  assert.ok(seen > 0, 'the question is open for somebody of the demo clinic');
});

test('a plan that is handed out is recorded with its places', async () => {
  const page = await openPage(browser, bench);
  for (const { id } of drawn) {
    const sheet = await json(bench, `/api/people/${id}/place-plan`);
    if (sheet.refused) continue;
    await page.at(`/people/${id}/place-plan`);
    await page.getByRole('button', { name: sheet.give.label }).click();
    await recorded(page, sheet.give.label);
    const fact = await newest(bench, id, 'place plan given');
    assert.equal(fact.places.length, sheet.give.facts[0].places.length);
    return;
  }
  assert.fail('nobody has a plan');
});

test('the phone desk answers about reach without a person, and says for whom it holds', async () => {
  const page = await openPage(browser, bench);
  await page.at('/phone');
  await page
    .getByRole('navigation', { name: say('nav.phone') })
    .getByRole('link', { name: say('skin.depth') })
    .click();
  await page.getByLabel(say('skin.part')).selectOption('thigh');
  await page.getByLabel(say('skin.needle'), { exact: true }).selectOption('8');
  await page.getByLabel(say('phone.people')).selectOption('adults');
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  const answer = page.locator('.answer-side .reach');
  await answer.waitFor();
  assert.match(await answer.innerText(), /25/, 'a quarter ends in muscle: the published figure');
  assert.equal(await answer.locator('.cut svg').count(), 1);
  await axeFindsNothing(page, 'the answer about reach');
  await nothingSideways(page, 'the answer about reach');
});

test('H27 H33 a four-year-old among adults is no number but what to do; among children there is one', async () => {
  const page = await openPage(browser, bench);
  await page.at('/phone?about=reach');
  await page.getByLabel(say('skin.part')).selectOption('thigh');
  await page.getByLabel(say('skin.needle'), { exact: true }).selectOption('8');
  await page.getByLabel(say('phone.people')).selectOption('adults');
  await page.getByLabel(say('phone.age')).fill('4');
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  await page.locator('.refusal').waitFor();
  assert.equal(await page.locator('.answer-side .dp').count(), 0, 'no chance is shown');
  await axeFindsNothing(page, 'the refusal about reach');
  await page.getByLabel(say('phone.people')).selectOption('children');
  await page.getByRole('button', { name: say('phone.work_out') }).click();
  await page.locator('.answer-side .reach .dp').waitFor();
});
