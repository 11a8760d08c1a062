// C++ is laid out by clang-format, scripts and styles by prettier: no one has to argue with them.
import { spawnSync } from 'node:child_process';
import { finding } from './tree.mjs';

const program = 'clang-format-19';
const prettier = 'tools/node_modules/.bin/prettier';
/** What was laid out last time is not read again: seconds become one. */
const kept = ['--cache', '--cache-strategy=content', '--cache-location=tools/node_modules/.cache/prettier'];

/** Findings from what clang-format says on its error channel. */
export function fromDiagnostics(text) {
  const found = [];
  for (const match of text.matchAll(/^([^\s:]+):(\d+):\d+: error: code should be clang-formatted/gm)) {
    if (!found.some((known) => known.file === match[1])) {
      found.push(finding(match[1], Number(match[2]), `not laid out; ${program} -i ${match[1]}`));
    }
  }
  return found;
}

/** Findings from the list that prettier gives: a path a line. */
export const fromList = (text) =>
  text
    .split('\n')
    .filter((path) => path !== '')
    .map((path) => finding(path, 1, `not laid out; ${prettier} --write ${path}`));

const start = (tree, command, words) => spawnSync(command, words, { cwd: tree.root, encoding: 'utf8', maxBuffer: 1 << 28 });

function cpp(tree) {
  const paths = tree.match(/^(src|tests|bench)\/.*\.(cpp|hpp)$/);
  if (paths.length === 0) return [];
  const run = start(tree, program, ['--dry-run', '-Werror', ...paths]);
  if (run.error) return [finding('.clang-format', 1, `${program} cannot be started; ./test setup installs it`)];
  const found = fromDiagnostics(run.stderr);
  if (run.status !== 0 && found.length === 0) return [finding('.clang-format', 1, run.stderr.trim())];
  return found;
}

function scripts(tree) {
  const paths = tree.match(/^(web|tests|tools)\/.*\.(tsx?|m?js|css)$/);
  if (paths.length === 0) return [];
  const run = start(tree, `${tree.root}/${prettier}`, [...kept, '--list-different', ...paths]);
  if (run.error) return [finding('.prettierrc.json', 1, `${prettier} cannot be started; (cd tools && npm ci) fetches it`)];
  const found = fromList(run.stdout);
  if (run.status !== 0 && found.length === 0) return [finding('.prettierrc.json', 1, run.stderr.trim())];
  return found;
}

export const format = {
  name: 'format',
  says: 'C++ is laid out as .clang-format says, scripts and styles as .prettierrc.json says',
  check: (tree) => [...cpp(tree), ...scripts(tree)],
};
