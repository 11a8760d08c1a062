// Source text with parts blanked out, so that a rule sees only code, or only what is written for people.

const keepLines = (text) => text.replace(/[^\n]/g, ' ');

/**
 * Cuts C++, TypeScript or JavaScript into pieces: {kind: 'code' | 'comment' | 'string', text}.
 * Regular expressions of JavaScript are taken for code, which is near enough for the rules.
 */
export function pieces(text) {
  const token =
    /\/\/[^\n]*|\/\*[\s\S]*?\*\/|R"([^(\s]*)\([\s\S]*?\)\1"|"(?:\\.|[^"\\\n])*"|`(?:\\.|[^`\\])*`|(?<![0-9A-Za-z_])'(?:\\.|[^'\\\n])*'/g;
  const out = [];
  let from = 0;
  for (const match of text.matchAll(token)) {
    if (match.index > from) out.push({ kind: 'code', text: text.slice(from, match.index) });
    const comment = match[0].startsWith('//') || match[0].startsWith('/*');
    out.push({ kind: comment ? 'comment' : 'string', text: match[0] });
    from = match.index + match[0].length;
  }
  if (from < text.length) out.push({ kind: 'code', text: text.slice(from) });
  return out;
}

/** Only the code; comments and strings become blanks, lines stay where they are. */
export function codeOnly(text) {
  return pieces(text)
    .map((piece) => (piece.kind === 'code' ? piece.text : keepLines(piece.text)))
    .join('');
}

/** Only comments and strings, the rest blank. */
export function proseOnly(text) {
  return pieces(text)
    .map((piece) => (piece.kind === 'code' ? keepLines(piece.text) : piece.text))
    .join('');
}

/** Only strings, the rest blank. */
export function stringsOnly(text) {
  return pieces(text)
    .map((piece) => (piece.kind === 'string' ? piece.text : keepLines(piece.text)))
    .join('');
}

export function lineOf(text, index) {
  let line = 1;
  for (let at = text.indexOf('\n'); at >= 0 && at < index; at = text.indexOf('\n', at + 1)) ++line;
  return line;
}

/** Every match of a pattern (with the g flag) as {line, match}. */
export function* matches(text, pattern) {
  for (const match of text.matchAll(pattern)) yield { line: lineOf(text, match.index), match };
}

const typeWords = /\b(namespace|class|struct|union|enum|concept)\b/;

/** What a brace opens, from the text between it and the last boundary. */
function opens(head) {
  const text = head.trim();
  if (/^(extern\s*)?$/.test(text) || /=\s*$/.test(text)) return text.startsWith('extern') ? 'outer' : 'inner';
  if (typeWords.test(text) && !/\)\s*(const|noexcept|override|final|->.*)?\s*$/.test(text)) return 'outer';
  return text.includes('(') ? 'function' : 'inner';
}

/**
 * Functions of C++ text as {name, line, lines}: from the line that opens the body to the one that closes it.
 * A lambda belongs to the function around it.
 */
export function functions(text) {
  const code = codeOnly(text).replace(/^[ \t]*#(?:[^\n]*\\\n)*[^\n]*/gm, keepLines);
  const found = [];
  const stack = [];
  let boundary = 0;
  for (let at = 0; at < code.length; ++at) {
    const char = code[at];
    if (char === '{') {
      const inside = stack.some((open) => open.kind === 'function');
      const head = code.slice(boundary, at);
      stack.push({ kind: inside ? 'inner' : opens(head), head, at });
      boundary = at + 1;
    } else if (char === '}') {
      const open = stack.pop();
      if (open?.kind === 'function') found.push(measured(code, open, at));
      boundary = at + 1;
    } else if (char === ';' && !stack.some((open) => open.kind === 'function')) {
      boundary = at + 1;
    }
  }
  return found;
}

function measured(code, open, end) {
  const names = [...open.head.matchAll(/([A-Za-z_~][\w:~]*)\s*\(\s*([\w, ]*)/g)];
  const test = /^TEST|^RC_GTEST/.test(names[0]?.[1] ?? '') ? names[0][2].replace(/\s/g, '').replace(',', '.') : '';
  const line = lineOf(code, open.at);
  return { name: test || (names[0]?.[1] ?? 'a function'), line, lines: lineOf(code, end) - line + 1 };
}
