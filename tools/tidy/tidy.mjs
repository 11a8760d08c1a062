// The house rules as a program: node tools/tidy/tidy.mjs [--mend] [RULE...]. ./test tidy runs it; the rules' own tests stand
// beside them. --mend first writes the map's columns from the CMake lines.
import { writeFileSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import * as code from './rules_code.mjs';
import * as docs from './rules_docs.mjs';
import { catalogue } from './catalogue.mjs';
import { format } from './format.mjs';
import { pageWords } from './page_words.mjs';
import { Tree } from './tree.mjs';

export const rules = [
  code.doors,
  code.purity,
  code.noDouble,
  code.oneInterlock,
  code.functionLength,
  code.fileLength,
  code.roomSize,
  code.deadFiles,
  code.markers,
  code.colours,
  docs.links,
  docs.map,
  docs.tasks,
  docs.hazards,
  docs.abbreviations,
  docs.trailingZeros,
  docs.machinePaths,
  catalogue,
  pageWords,
  format,
];

/** A line that lets one finding of a rule through says so, with the reason: "tidy-allow(rule): reason". */
export function allowed(tree, rule, { file, line }) {
  if (!tree.has(file)) return false;
  const lines = tree.lines(file);
  const pattern = new RegExp(`tidy-allow\\(${rule}\\): \\S`);
  return [lines[line - 1], lines[line - 2]].some((text) => text !== undefined && pattern.test(text));
}

export function check(tree, rule) {
  return rule.check(tree).filter((found) => !allowed(tree, rule.name, found));
}

function main(words) {
  const names = words.filter((word) => word !== '--mend');
  const unknown = names.filter((name) => !rules.some((rule) => rule.name === name));
  if (unknown.length > 0) {
    console.error(`no rule is called ${unknown.join(', ')}; there are:`);
    for (const rule of rules) console.error(`  ${rule.name.padEnd(16)} ${rule.says}`);
    return 2;
  }
  const tree = Tree.ofGit(resolve(dirname(fileURLToPath(import.meta.url)), '../..'));
  if (words.includes('--mend')) {
    writeFileSync(`${tree.root}/ARCHITECTURE.md`, docs.mendedMap(tree));
    tree.texts.delete('ARCHITECTURE.md');
  }
  let broken = 0;
  const wanted = rules.filter((rule) => names.length === 0 || names.includes(rule.name));
  for (const rule of wanted) {
    const found = check(tree, rule);
    if (found.length > 0) ++broken;
    for (const { file, line, text } of found) console.log(`${file}:${line}: error: ${text} [${rule.name}]`);
  }
  console.log(`tidy: ${wanted.length - broken} rules kept, ${broken} broken`);
  return broken > 0 ? 1 : 0;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.exitCode = main(process.argv.slice(2));
