// What the pages say stands in the catalogue: no text of their own in the front end's sources, no key of section `pages` that
// nobody says, no hole that nobody fills.
import { createRequire } from 'node:module';
import { finding } from './tree.mjs';

const sources = /^web\/src\/.*\.tsx?$/;
const catalogue = 'data/words/en.json';

/** Attributes whose value people read. */
const read_out = new Set([
  'alt',
  'aria-label',
  'button',
  'caption',
  'empty',
  'hint',
  'label',
  'note',
  'placeholder',
  'title',
  'unit',
  'word',
]);
const letters = /\p{L}/u;
/** As sentences and labels begin, or as a sentence goes on; codes are of small letters. */
const like_a_sentence = /^\P{L}*(?:\p{Lu}\p{Ll}+|\p{Lu} \p{L})|\p{L}[,.?] \p{L}/u;
/** Words that browsers and the program's own calls define. */
const defined_elsewhere = /^(?:Enter|Escape|Tab|Home|End|Space|Delete|Backspace|Arrow\w+|Page\w+|Content-Type|\(.*\)|[\w-]+\/[\w.+-]+)$/;

/** Their arguments are selectors. */
const selecting = new Set(['closest', 'matches', 'querySelector', 'querySelectorAll']);

function* nodes(node) {
  if (!node || typeof node !== 'object') return;
  if (Array.isArray(node)) {
    for (const one of node) yield* nodes(one);
    return;
  }
  if (typeof node.type !== 'string') return;
  yield node;
  for (const [key, value] of Object.entries(node)) {
    if (key !== 'loc' && key !== 'comments' && key !== 'tokens' && !key.endsWith('Comments')) yield* nodes(value);
  }
}

const textOf = (node) => {
  if (node.type === 'StringLiteral') return node.value;
  if (node.type === 'TemplateLiteral') return node.quasis.map(({ value }) => value.cooked).join('0');
  return undefined;
};

const nameOf = ({ name }) => (name.type === 'JSXNamespacedName' ? `${name.namespace.name}:${name.name.name}` : name.name);

/** Strings of a source that people would read, as {line, text}, and the keys that it says with the names of their arguments. */
export function wordsOf(text, path) {
  // Found only where the rule runs: the rules' other tests need no packages.
  const { parsers } = createRequire(new URL('../package.json', import.meta.url))('prettier/plugins/babel');
  const file = parsers['babel-ts'].parse(text, { filepath: path });
  const own = [];
  const said = [];
  const codes = new Set(); // nodes that are no text: class names, keys, types, paths, comparisons
  for (const node of nodes(file.program)) {
    if (node.type === 'JSXText') {
      if (letters.test(node.value)) own.push({ line: node.loc.start.line, text: node.value.trim() });
    } else if (node.type === 'JSXAttribute') {
      const value = node.value?.type === 'JSXExpressionContainer' ? node.value.expression : node.value;
      const name = nameOf(node);
      if (read_out.has(name)) {
        const text = value && textOf(value);
        if (text !== undefined && letters.test(text)) own.push({ line: node.loc.start.line, text });
      } else {
        for (const inner of nodes(value)) codes.add(inner);
      }
    } else if (['ImportDeclaration', 'TSLiteralType', 'TSExternalModuleReference', 'ExportNamedDeclaration'].includes(node.type)) {
      for (const inner of nodes(node.source ?? node.literal)) codes.add(inner);
    } else if (node.type === 'BinaryExpression' || node.type === 'SwitchCase' || node.type === 'MemberExpression') {
      for (const inner of [node.left, node.right, node.test, node.property]) if (inner) codes.add(inner);
    } else if (node.type === 'ObjectProperty' || node.type === 'TSPropertySignature') {
      codes.add(node.key);
      // A fact's name and its like are the program's words.
      if (['what', 'kind', 'class', 'key', 'field', 'path', 'href', 'method'].includes(node.key.name)) codes.add(node.value);
    } else if (node.type === 'CallExpression' && node.callee.type === 'Identifier' && node.callee.name === 'say') {
      const [key, args] = node.arguments;
      for (const one of keysIn(key)) said.push({ ...one, args: namesIn(args) });
      for (const inner of nodes(key)) codes.add(inner);
    } else if (node.type.endsWith('CallExpression') && selecting.has(node.callee.property?.name)) {
      for (const inner of node.arguments) codes.add(inner);
    } else if (node.type === 'JSXOpeningElement' && node.name.name === 'Said') {
      const of = node.attributes.find((one) => one.name && nameOf(one) === 'of');
      const args = node.attributes.filter((one) => one !== of).map((one) => (one.name ? nameOf(one) : '...'));
      const key = of?.value?.type === 'JSXExpressionContainer' ? of.value.expression : of?.value;
      for (const one of keysIn(key)) said.push({ ...one, args });
      for (const inner of nodes(of?.value)) codes.add(inner);
    }
    const text = textOf(node);
    if (text !== undefined && !codes.has(node) && like_a_sentence.test(text) && !defined_elsewhere.test(text))
      own.push({ line: node.loc.start.line, text });
  }
  return { own, said };
}

/** The keys that an expression may come to: a literal, or the ends of a choice. */
function keysIn(node) {
  return [...nodes(node)].filter(({ type }) => type === 'StringLiteral').map(({ value, loc }) => ({ key: value, line: loc.start.line }));
}

const namesIn = (node) =>
  node?.type === 'ObjectExpression' ? node.properties.map((one) => one.key?.name ?? one.key?.value ?? '...') : node ? ['...'] : [];

const holesOf = (pattern) => [...pattern.matchAll(/\{([^}:]*)/g)].map(([, name]) => name);

export const pageWords = {
  name: 'page-words',
  says: 'what the pages say stands in section pages of the catalogue; each key is said somewhere, with all its holes filled',
  check(tree) {
    const words = tree.has(catalogue) ? JSON.parse(tree.text(catalogue)) : {};
    const pages = words.pages ?? {};
    const found = [];
    let all = '';
    for (const path of tree.match(sources)) {
      if (path.endsWith('.d.ts')) continue;
      all += tree.text(path);
      const { own, said } = wordsOf(tree.text(path), path);
      for (const { line, text } of own) found.push(finding(path, line, `"${text}" belongs into section pages of ${catalogue}`));
      for (const { key, line, args } of said) {
        const missing = args.includes('...') ? [] : holesOf(pages[key] ?? '').filter((hole) => !args.includes(hole));
        if (missing.length > 0) found.push(finding(path, line, `${key} has a hole that is not filled: ${missing.join(', ')}`));
      }
    }
    const lines = tree.has(catalogue) ? tree.lines(catalogue) : [];
    for (const key of Object.keys(pages)) {
      if (!all.includes(`'${key}'`) && !all.includes(`"${key}"`))
        found.push(finding(catalogue, lines.findIndex((line) => line.includes(`"${key}"`)) + 1, `no page says ${key}`));
    }
    return found;
  },
};
