// web/src/model.ts is the only list of what an answer holds: whatever the program answers is held to it, field by field, in both directions.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { register, startBench } from './bench.mjs';
import { asked, judge, unread } from './model.mjs';

const model = judge();
/** What the documents had that the model has not, and the other way round. */
const faults = new Set();
const answered = new Set();
let bench;
let described;

before(async () => {
  bench = await startBench({ demo: true });
  described = await (await fetch(`${bench.base}/api/openapi.json`)).json();
});
after(async () => {
  await bench?.stop();
});

function nothingWrong() {
  const found = [...faults];
  faults.clear();
  assert.deepEqual(found, []);
}

const kindOf = (status, document) => (status === 409 ? 'Conflict' : 'ask' in document ? 'AskBack' : 'Refusal');

/** Sends a request to a call of the model, "GET /api/people/{id}", and judges what comes back. */
async function ask(call, target, init = {}, at = bench) {
  const [method] = call.split(' ');
  const answer = await fetch(at.base + target, { method, ...init });
  const document = await answer.json();
  if (answer.ok) answered.add(call);
  const type = answer.ok ? undefined : kindOf(answer.status, document);
  // Where in a list, or about whom, makes no other fault.
  for (const fault of model.faults(call, document, type)) faults.add(fault.replace(/\/\d+/g, '/#'));
  return { status: answer.status, document };
}
const get = async (call, target, at) => (await ask(`GET ${call}`, target ?? call, {}, at)).document;
const post = (call, target, body, at) =>
  ask(`POST ${call}`, target ?? call, { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }, at);

/** The example that the description of the calls gives for a request. */
const example = (call) => described.paths[call].post.requestBody.content['application/json'].example;
const fact = (what, fields) => ({ id: crypto.randomUUID(), what, ...fields });

async function record(person, facts, at = bench) {
  const { version } = await get('/api/people/{id}', `/api/people/${person}`, at);
  return post('/api/people/{id}/facts', `/api/people/${person}/facts`, { seen_version: version, confirmed: true, facts }, at);
}

/** The documents that a path alone asks for: the clinic's, or those below one person. */
const readable = (of) => model.calls.filter((call) => call.startsWith(`GET ${of}`)).map((call) => call.slice(4));

async function readPerson(id, at = bench) {
  const call = '/api/people/{id}';
  const about = `/api/people/${id}`;
  for (const path of readable(call)) {
    if (!path.slice(call.length).includes('{')) await get(path, path.replace('{id}', id), at);
  }
  const person = await get(call, about, at);
  const supplies = await get(`${call}/supplies`, `${about}/supplies`, at);
  for (const trip of supplies.trips) await get(`${call}/trips/{fact}`, `${about}/trips/${trip.id}`, at);
  for (const test of supplies.tests) await get(`${call}/pen-tests/{fact}`, `${about}/pen-tests/${test.id}`, at);
  const { pages } = await get(`${call}/journal`, `${about}/journal?page=1`, at);
  for (let page = 2; page <= Math.min(pages, 3); ++page) await get(`${call}/journal`, `${about}/journal?page=${page}`, at);
  if (person.next?.print.href) await get(`${call}/steps`, `/api${person.next.print.href}`, at);
}

async function readClinic(at) {
  for (const path of readable('/api/')) if (!path.includes('{')) await get(path, undefined, at);
  await get('/api/people', '/api/people?q=nobody%20is%20called%20this', at);
}

test('every page of everybody in the demo clinic holds what the model says', async () => {
  await readClinic(bench);
  const everybody = [];
  for (let page = 1, pages = 1; page <= pages; ++page) {
    const found = await get('/api/people', `/api/people?page=${page}`);
    pages = found.pages;
    everybody.push(...found.people);
  }
  assert.ok(everybody.length >= 24, `${everybody.length} people`);
  for (const { id } of everybody) await readPerson(id);
  const stock = await get('/api/stock');
  const lots = new Set([...stock.recalls.map(({ lot }) => lot), ...stock.items.flatMap((item) => item.lots.map(({ lot }) => lot))]);
  for (const lot of lots) if (lot !== '') await get('/api/recalls/{lot}', `/api/recalls/${encodeURIComponent(lot)}`);
  nothingWrong();
});

test('a sharps container that is full holds what the model says', async () => {
  // Whether one of the demo clinic is full hangs on the hour: a small one ten days ago, in the place of the one that they have.
  const { now } = await get('/api/clinic');
  const happened = new Date(Date.parse(now) - 10 * 86_400_000).toISOString();
  const [{ id }] = (await get('/api/people', '/api/people?q=Kwabena')).people;
  const supplies = () => get('/api/people/{id}/supplies', `/api/people/${id}/supplies`);
  const [close] = (await supplies()).sharps.actions;
  const given = fact('sharps box given', { box: crypto.randomUUID(), holds_needles: 4, happened, sequence: 1 });
  const { status } = await record(id, [{ id: crypto.randomUUID(), ...close.facts[0], happened }, given]);
  assert.equal(status, 200);
  assert.equal((await supplies()).sharps.level, 'caution');
  nothingWrong();
});

/** An order that no place can serve, a pen with nothing in it. */
const rare = (order) => [
  fact('order line signed', { ...order, replaces: undefined, happened: undefined }),
  fact('pen given', { pen: crypto.randomUUID(), copy: 'reusable-whole-60', insulin: 'insulin glargine', strength_units_per_ml: 100 }),
  fact('body measured', { sex: 'female', height_cm: 168 }),
  fact('place rules set', {
    zones: ['arm left'],
    parts: [],
    rest_days: 365,
    spacing_mm: 50,
    navel_clear_mm: 50,
    turn: 'each week',
    needle_mm: 4,
    angle_deg: 90,
    fold: 'no',
    can_fold: 'yes',
  }),
];

test('a clinic from its first start on holds what the model says', async () => {
  const empty = await startBench();
  try {
    await readClinic(empty);
    await post('/api/clinic', undefined, example('/api/clinic'), empty);
    await readClinic(empty);
    assert.equal((await post('/api/people', undefined, example('/api/people'), empty)).status, 200);
    await post(
      '/api/clinic/facts',
      undefined,
      { ...example('/api/clinic/facts'), seen_version: (await get('/api/clinic', undefined, empty)).version },
      empty,
    );
    const person = await register(empty);
    const { example: order } = await (await fetch(`${bench.base}/api/facts/order%20line%20signed`)).json();
    for (const one of rare(order)) {
      const { status, document } = await record(person, [one], empty);
      assert.equal(status, 200, `${one.what}: ${JSON.stringify(document)}`);
    }
    await readPerson(person, empty);
    const { people } = await get('/api/people', '/api/people?q=HS%2004031');
    const journal = await (await fetch(`${bench.base}/api/people/${people[0].id}/export`)).text();
    // Looked at, then let in.
    const send = (query) =>
      ask(
        'POST /api/import',
        `/api/import?file=theirs.json${query}`,
        { headers: { 'content-type': 'application/json' }, body: journal },
        empty,
      );
    const seen = await send('');
    assert.equal(seen.status, 200);
    const { document } = await send(`&accept=${seen.document.digest}`);
    assert.equal(document.accepted, true);
    await readClinic(empty);
  } finally {
    await empty.stop();
  }
  nothingWrong();
});

const picture = Buffer.from(
  '/9j/4AAQSkZJRgABAQAAAQABAAD/2wBDAAEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQEBAQH/wAALCAABAAEBAREA/8QAFAABAAAAAAAAAAAAAAAAAAAACf/EABQQAQAAAAAAAAAAAAAAAAAAAAD/2gAIAQEAAD8AVN//2Q==',
  'base64',
);

async function withPicture(person) {
  const about = `/api/people/${person}`;
  const sent = await ask('POST /api/people/{id}/photos', `${about}/photos?consent=yes`, {
    headers: { 'content-type': 'image/jpeg' },
    body: picture,
  });
  assert.equal(sent.status, 200, JSON.stringify(sent.document));
  const examined = {
    light: 'lamp from the side',
    posture: 'standing',
    zones: ['thigh left'],
    findings: [],
    photo: sent.document.photo,
    photo_consent: true,
  };
  await record(person, [fact('skin examined', examined)]);
  return sent.document.photo;
}

test('what is asked and written holds what the model says, refusals, questions and conflicts, too', async () => {
  const { people } = await get('/api/people', '/api/people?q=Okonkwo');
  const person = people[0].id;
  const about = `/api/people/${person}`;
  const month_ago = new Date(Date.parse((await get('/api/clinic')).now) - 28 * 86_400_000).toISOString();
  await record(person, [fact('sharps box given', { box: crypto.randomUUID(), holds_needles: 4, happened: month_ago })]);
  const photo = await withPicture(person);
  await readPerson(person);
  const erase = (reason) => ask('DELETE /api/people/{id}/photos/{photo}', `${about}/photos/${photo}?reason=${reason}`);
  assert.equal((await erase('')).document.refused.code, 'desk.reason_missing');
  assert.equal((await erase('consent%20withdrawn')).document.erased, true);
  const { examinations } = await get('/api/people/{id}/places', `${about}/places`);
  assert.ok(examinations.some(({ photo_text: gone }) => gone !== ''));
  const note = (version) => ({ seen_version: version, facts: [fact('note', { text: 'Wants the large print.' })] });
  assert.equal((await post('/api/people/{id}/facts', `${about}/facts`, note(1))).status, 409);
  assert.equal((await post('/api/people', undefined, example('/api/people'))).status, 200);
  assert.equal(
    (
      await post('/api/people', undefined, {
        id: crypto.randomUUID(),
        facts: [{ ...example('/api/people').facts[0], id: crypto.randomUUID() }],
      })
    ).status,
    422,
  );
  const well = { low_now: 'no', not_eating: 'no', drowsy: 'no', ketones: 'no', travelling: 'no', missed: 'no' };
  for (const { id } of (await get('/api/people')).people) await post('/api/phone', undefined, { person: id, ...well });
  await post('/api/phone', undefined, { ...example('/api/phone'), dose_units: 'many' });
  await post('/api/phone/reach', undefined, example('/api/phone/reach'));
  await post('/api/warmth', undefined, example('/api/warmth'));
  await post('/api/stock/scan', undefined, example('/api/stock/scan'));
  await post('/api/stock/scan', undefined, { text: '(01)02012345678903(17)200131(10)AB12', person }); // long expired
  const { stock } = (await get('/api/people/{id}/supplies', `${about}/supplies`)).forms;
  const out = { what: 'stock moved', item: stock[0].item, lot: stock[0].lot, pieces: 1, way: 'handed out' };
  const { version } = await get('/api/people/{id}', about);
  const handed = { seen_version: version, confirmed: true, facts: [{ id: crypto.randomUUID(), ...out }] };
  assert.equal((await post('/api/people/{id}/hand-outs', `${about}/hand-outs`, handed)).status, 200);
  const diary = await (await fetch(`${bench.base}${about}/diary.csv`)).text();
  const send = (body) => ask('POST /api/people/{id}/diary', `${about}/diary?file=a.csv`, { headers: { 'content-type': 'text/csv' }, body });
  assert.equal((await send(diary)).status, 200);
  assert.equal((await send(`${diary.split('\n')[0]}\nyesterday,injected,ten,,,,\n`)).status, 200);
  nothingWrong();
});

test('each request of the front end is a call of the model, of the type that it takes it for', () => {
  const found = asked();
  assert.ok(found.length > 30, `${found.length} requests`);
  assert.deepEqual(
    found.filter(({ method, path, type }) => !model.answers(method, path, type)),
    [],
  );
});

test('every call of the model was answered, and every field that may be missing was there once', () => {
  assert.deepEqual(
    model.calls.filter((call) => !answered.has(call)),
    [],
  );
  assert.deepEqual(model.neverThere(), []);
});

test('a field that is sent and not in the model, and one that is missing, are found by name', async () => {
  const today = await get('/api/today');
  const { more, ...less } = today;
  less.groups[0].needs[0].colour = more;
  assert.deepEqual(model.faults('GET /api/today', less), [
    "GET /api/today : must have required property 'more'",
    'GET /api/today /groups/0/needs/0: must NOT have additional properties: colour',
  ]);
});

test('the front end reads every field that it is sent, or the model says for whom it is', () => {
  assert.deepEqual(unread(), []);
});
