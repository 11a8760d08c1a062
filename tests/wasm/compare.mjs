// node compare.mjs MODULE.wasm NATIVE QUESTIONS.txt...: asks both the same questions and compares the answers byte by byte.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { WASI } from 'node:wasi';
import { dialQuestions } from './dial_questions.mjs';

const [module_path, native, ...question_files] = process.argv.slice(2);
const questions = question_files
  .flatMap((file) => readFileSync(file, 'utf8').split('\n'))
  .filter((line) => line !== '' && !line.startsWith('#'))
  .concat([...dialQuestions()]);

const wasi = new WASI({ version: 'preview1' });
const module = await WebAssembly.compile(readFileSync(module_path));
// Whatever the module asks of its surroundings is named: a clock, a file or chance would show here.
const allowed = new Set(['fd_close', 'fd_fdstat_get', 'fd_seek', 'fd_write', 'proc_exit', 'environ_get', 'environ_sizes_get']);
const asked = WebAssembly.Module.imports(module).map((entry) => entry.name);
const unwanted = asked.filter((name) => !allowed.has(name));
const instance = await WebAssembly.instantiate(module, { wasi_snapshot_preview1: wasi.wasiImport });
wasi.initialize(instance);
const core = instance.exports;

function ask(question) {
  const bytes = new TextEncoder().encode(question);
  const at = core.penstock_memory(bytes.length || 1);
  new Uint8Array(core.memory.buffer, at, bytes.length).set(bytes);
  const answer = core.penstock_answer(at, bytes.length);
  core.penstock_free(at);
  return Buffer.from(new Uint8Array(core.memory.buffer, answer, core.penstock_answer_bytes()));
}

const expected = execFileSync(native, { input: questions.join('\n') + '\n', maxBuffer: 1 << 28 })
  .toString('latin1')
  .split('\n');
let equal = 0;
let different = 0;
questions.forEach((question, index) => {
  let answer;
  try {
    answer = ask(question).toString('latin1');
  } catch (error) {
    answer = `it stopped: ${error.message}`;
  }
  const wanted = expected[index];
  if (answer === wanted && wanted !== '' && !wanted.startsWith('there is no question')) {
    ++equal;
    return;
  }
  ++different;
  console.log(`${question.slice(0, 200)}\n  native: ${wanted.slice(0, 400)}\n  wasm:   ${answer.slice(0, 400)}`);
});
for (const name of unwanted) {
  ++different;
  console.log(`the module imports ${name}: the core may not read its surroundings`);
}
console.log(`wasm: ${equal} answers equal, ${different} different`);
process.exitCode = different > 0 || equal === 0 ? 1 : 0;
