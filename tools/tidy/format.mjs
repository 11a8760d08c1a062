// C++ is laid out by clang-format, which no one has to argue with.
import { spawnSync } from 'node:child_process';
import { finding } from './tree.mjs';

const program = 'clang-format-19';

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

export const format = {
  name: 'format',
  says: 'C++ is laid out as .clang-format says',
  check(tree) {
    const paths = tree.match(/^(src|tests|bench)\/.*\.(cpp|hpp)$/);
    if (paths.length === 0) return [];
    const run = spawnSync(program, ['--dry-run', '-Werror', ...paths], { cwd: tree.root, encoding: 'utf8', maxBuffer: 1 << 28 });
    if (run.error) return [finding('.clang-format', 1, `${program} cannot be started; ./test setup installs it`)];
    const found = fromDiagnostics(run.stderr);
    if (run.status !== 0 && found.length === 0) return [finding('.clang-format', 1, run.stderr.trim())];
    return found;
  },
};
