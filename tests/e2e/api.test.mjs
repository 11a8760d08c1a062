// The description of the calls, judged by a general validator of OpenAPI documents.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { Validator } from '@seriousme/openapi-schema-validator';
import { describedBy, json, startBench } from './bench.mjs';

let bench;

before(async () => {
  bench = await startBench({ demo: true });
});
after(async () => {
  await bench?.stop();
});

const judged = async (document) => new Validator().validate(document);

test('the calls are described by a sound OpenAPI 3.1 document', async () => {
  const document = await json(bench, '/api/openapi.json');
  const { valid, errors } = await judged(structuredClone(document));
  assert.ok(valid, JSON.stringify(errors));
  assert.match(document.openapi, /^3\.1\./);
  // The validator is no rubber stamp: without what a call answers it refuses.
  const [path] = Object.keys(document.paths);
  document.paths[path] = { get: { parameters: [{ name: 'q' }] } };
  assert.equal((await judged(document)).valid, false);
});

test('what pages send is held to the description, which is no rubber stamp either', async () => {
  const { accepts } = (await describedBy(bench))('/api/people/000000000000000000000000000000a1/facts');
  const note = { id: crypto.randomUUID(), what: 'note', happened_local: '2027-07-06T10:00', text: 'Wants the large print.' };
  assert.ok(accepts({ seen_version: 1, facts: [note] }), JSON.stringify(accepts.errors));
  for (const wrong of [
    { ...note, texd: '' },
    { ...note, what: 'notes' },
    { ...note, id: 'a note' },
    { id: note.id, what: 'note' },
  ])
    assert.equal(accepts({ seen_version: 1, facts: [wrong] }), false, JSON.stringify(wrong));
  assert.equal(accepts({ facts: [note], seen: 1 }), false);
});
