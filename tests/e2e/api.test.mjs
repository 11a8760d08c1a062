// The description of the calls, judged by a general validator of OpenAPI documents.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { Validator } from '@seriousme/openapi-schema-validator';
import { json, startBench } from './bench.mjs';

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
