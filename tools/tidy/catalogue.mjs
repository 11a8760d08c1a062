// The message catalogues: every code that the program can return has its sentences, and no sentence holds a number.
import { codeOnly, lineOf, pieces } from './source.mjs';
import { finding } from './tree.mjs';

const catalogues = /^data\/words\/[a-z-]+\.json$/;

/** Every string of a JSON value with the keys that lead to it. */
function* strings(value, path = []) {
  if (typeof value === 'string') yield { path, text: value };
  else if (value && typeof value === 'object') {
    for (const [key, inner] of Object.entries(value)) yield* strings(inner, [...path, key]);
  }
}

/** The first line of the catalogue on which a key stands. */
function lineOfKey(lines, key) {
  const at = lines.findIndex((line) => line.includes(`"${key}"`));
  return at < 0 ? 1 : at + 1;
}

/** Codes declared in a source, as {code, line}: constants in a namespace `codes` or one whose name ends in _codes. */
export function declaredCodes(text) {
  const found = [];
  const code = codeOnly(text);
  for (const start of code.matchAll(/namespace\s+(?:\w+_)?codes\s*\{/g)) {
    const from = start.index + start[0].length;
    const end = code.indexOf('}', from);
    let at = from;
    for (const piece of pieces(text.slice(from, end < 0 ? undefined : end))) {
      if (piece.kind === 'string') found.push({ code: piece.text.slice(1, -1), line: lineOf(text, at) });
      at += piece.text.length;
    }
  }
  return found;
}

export const catalogue = {
  name: 'catalogue',
  says: 'every code has what and do_this in the catalogue, and no sentence holds a digit (H30)',
  check(tree) {
    const found = [];
    for (const path of tree.match(catalogues)) {
      let words;
      try {
        words = JSON.parse(tree.text(path));
      } catch (error) {
        found.push(finding(path, 1, `cannot be read: ${error.message}`));
        continue;
      }
      const lines = tree.lines(path);
      found.push(...digits(words, path, lines), ...sentences(tree, words, path, lines));
    }
    return found;
  },
};

// Names that happen to hold digits: they are no values and stay as they are in every language.
const names_with_digits = /\bISO 8601\b|\bSHA-256\b|\bGS1\b|\bHbA1c\b/g;

/** H30: numbers come from typed values, also in another language. */
function digits(words, path, lines) {
  return [...strings(words)]
    .filter(({ text }) => /\d/.test(text.replace(names_with_digits, '')))
    .map(({ path: keys, text }) =>
      finding(path, lineOfKey(lines, keys[keys.length - 1]), `"${text}" holds a digit; pass it as a value (H30)`),
    );
}

function sentences(tree, words, path, lines) {
  const found = [];
  const refusals = words.errors ?? {};
  for (const [code, entry] of Object.entries(refusals)) {
    for (const part of ['what', 'do_this']) {
      if (typeof entry[part] !== 'string' || entry[part].trim() === '') {
        found.push(finding(path, lineOfKey(lines, code), `${code} has no ${part}`));
      }
    }
  }
  for (const source of tree.match(/^src\/.*\.(hpp|cpp)$/)) {
    for (const { code, line } of declaredCodes(tree.text(source))) {
      if (!(code in refusals)) found.push(finding(source, line, `${path} has no sentences for ${code}`));
    }
  }
  return found;
}
