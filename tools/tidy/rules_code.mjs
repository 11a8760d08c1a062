// House rules for C++ and for the front end's sources.
import { codeOnly, functions, matches, stringsOnly } from './source.mjs';
import { doorsOf, isTest, roomOf, rooms } from './rooms.mjs';
import { finding } from './tree.mjs';

const cpp = /\.(cpp|hpp)$/;
const includeLine = /^[ \t]*#[ \t]*include[ \t]+"([^"]+)"/gm;

function* includes(tree, path) {
  for (const { line, match } of matches(tree.text(path), includeLine)) yield { line, what: match[1] };
}

/** Another room is entered by its door only, and only where NEEDS says so; every need is used. */
export const doors = {
  name: 'doors',
  says: 'rooms are entered by their door, and NEEDS in the CMake line is what is used',
  check(tree) {
    const all = rooms(tree);
    const found = [];
    const used = new Map([...all.keys()].map((folder) => [folder, new Set()]));
    for (const path of tree.match(/^(src|tests|bench)\/.*\.(cpp|hpp)$/)) {
      const here = roomOf(all, path);
      for (const { line, what } of includes(tree, path)) {
        const there = roomOf(all, `src/${what}`);
        if (!there || there === here) continue;
        if (!doorsOf(there).includes(what)) {
          const doors = doorsOf(there)
            .map((door) => `"${door}"`)
            .join(' or ');
          found.push(finding(path, line, `${what} is behind the door of room ${there.name}; include ${doors}`));
        }
        if (!here || (isTest(path) && here.testedWith.includes(there.name))) continue;
        used.get(here.folder).add(there.name);
        if (!here.needs.includes(there.name)) {
          found.push(finding(path, line, `room ${here.name} does not name ${there.name}; add it to NEEDS in ${here.file}`));
        }
      }
    }
    for (const room of all.values()) {
      for (const need of room.needs) {
        if (!used.get(room.folder).has(need)) {
          found.push(finding(room.file, room.line, `room ${room.name} NEEDS ${need} and never includes its door`));
        }
      }
    }
    return found;
  },
};

const pureFolders = /^src\/(core|edge)\//;
const impure = [
  [/\b(system|steady|high_resolution|utc|tai|file)_clock\b/g, "take 'now' as an argument"],
  [/\b(std::)?(time|clock|clock_gettime|gettimeofday|localtime|gmtime|mktime)\s*\(/g, "take 'now' as an argument"],
  [/\b(secure_)?getenv\b|\benviron\b/g, 'the environment is read in shell; take the value as an argument'],
  [/\brandom_device\b|\bs?rand\s*\(|\bmt19937\w*|\bgetrandom\b/g, 'chance is passed in by shell'],
  [/\bstd::\w+_distribution\b/g, 'distributions differ between libraries; write out the arithmetic'],
  [/\b(i|o)?fstream\b|\bstd::filesystem\b|\bfopen\b|\bfreopen\b/g, 'files are read in shell; take the text as an argument'],
  [/\bstd::(cout|cerr|clog|cin)\b|\b(f|std::)?printf\s*\(|\bfmt::print\b/g, 'return text, shell prints it'],
  [/\bsocket\s*\(|\bboost::(asio|beast)\b/g, 'the network belongs in shell'],
  [
    /\bstd::(jthread|thread|mutex|shared_mutex|condition_variable|atomic|async|future|promise)\b|\bthread_local\b/g,
    'no threads; shell decides what runs where',
  ],
  [/\bthrow\b|\btry\s*\{|\bcatch\s*\(/g, 'return a Result; INVARIANT is for our own bugs'],
  [/\bstd::(stod|stof|stold|strtod|strtof|atof)\b/g, 'numbers are read by parse_fixed of core/units'],
];
const impureHeaders =
  /^(fstream|iostream|filesystem|thread|mutex|atomic|future|random|condition_variable|unistd\.h|sys\/.*|ctime|time\.h|cstdio|stdio\.h)$/;

/** No clock, environment, chance, file, socket, thread or exception in the core and at its edge. */
export const purity = {
  name: 'purity',
  says: 'core and edge read no clock, file, environment or chance, and throw nothing',
  check(tree) {
    const found = [];
    for (const path of tree.match(cpp).filter((path) => pureFolders.test(path) && !isTest(path))) {
      const code = codeOnly(tree.text(path));
      const ring = path.split('/')[1];
      const statements = code.replace(/^[ \t]*#[ \t]*include[^\n]*/gm, '');
      for (const [pattern, remedy] of impure) {
        for (const { line, match } of matches(statements, pattern)) {
          found.push(finding(path, line, `${match[0].replace(/\s*[({]$/, '')} in ${ring}; ${remedy}`));
        }
      }
      for (const { line, match } of matches(code, /^[ \t]*#[ \t]*include[ \t]*<([^>]+)>/gm)) {
        if (impureHeaders.test(match[1])) {
          found.push(finding(path, line, `<${match[1]}> in ${ring}; what it reads is passed in by shell`));
        }
      }
    }
    return found;
  },
};

/** Amounts are integers in one type: no bare floating point where doses are worked out. */
export const noDouble = {
  name: 'no-double',
  says: 'no double or float in units, order, draw, dial and ledger',
  check(tree) {
    const found = [];
    for (const path of tree.match(/^src\/core\/(units|order|draw|dial|ledger)\/.*\.(cpp|hpp)$/)) {
      if (isTest(path)) continue;
      for (const { line, match } of matches(codeOnly(tree.text(path)), /\b(double|float)\b/g)) {
        found.push(finding(path, line, `bare ${match[1]}; use Units or another integer type of core/units`));
      }
    }
    return found;
  },
};

// The verb "dial" answers a request with everything in it and nobody in it; the house keeps it for that.
const plansDoses = /^src\/(core\/(dial|interlock)|edge\/verbs\/dial)\//;

/** A dose is planned behind the interlock, so that no other way to a number can forget a rule (H53). */
export const oneInterlock = {
  name: 'one-interlock',
  says: 'dial::plan is called by core/interlock, and by the verb that knows nobody',
  check(tree) {
    const found = [];
    for (const path of tree.match(/^src\/.*\.(cpp|hpp)$/)) {
      if (plansDoses.test(path) || isTest(path)) continue;
      for (const { line } of matches(codeOnly(tree.text(path)), /\bdial\s*::\s*plan\s*\(|\busing\s+(penstock::)?dial\s*::\s*plan\b/g)) {
        found.push(finding(path, line, 'a dose planned past the interlock; take a Cleared<Plan> of core/interlock'));
      }
    }
    return found;
  },
};

const lines_most = 70; // one screen: what is longer has a part with a name of its own

/** Functions of the front end and of our scripts: a head at the margin, closed by the first line at the same margin. */
export function scriptFunctions(text) {
  const lines = text.split('\n');
  const found = [];
  const head =
    /^(\s*)(?:export )?(?:default )?(?:async )?(?:function\s*\*?\s*(\w+)|(?:const|let) (\w+)[^=]*=\s*(?:async )?(?:\([^)]*\)|\w+)(?:: [^=]+)? =>)/;
  for (let at = 0; at < lines.length; ++at) {
    const match = head.exec(lines[at]);
    if (!match || !/[{(]\s*$/.test(lines[at])) continue;
    const end = lines.findIndex((line, index) => index > at && new RegExp(`^${match[1]}[})]`).test(line));
    if (end > 0) found.push({ name: match[2] ?? match[3], line: at + 1, lines: end - at + 1 });
  }
  return found;
}

export const functionLength = {
  name: 'function-length',
  says: `a function has at most ${lines_most} lines`,
  check(tree) {
    const found = [];
    const sources = tree.match(/^(src|tests|bench|web|tools)\/.*\.(cpp|hpp|tsx?|m?js)$/);
    for (const path of sources) {
      const all = cpp.test(path) ? functions(tree.text(path)) : scriptFunctions(tree.text(path));
      for (const { name, line, lines } of all) {
        if (lines > lines_most) {
          found.push(finding(path, line, `${name} has ${lines} lines; give a part of it a name (at most ${lines_most})`));
        }
      }
    }
    return found;
  },
};

const file_lines_most = 900; // about 800; a room is divided long before its files grow further

export const fileLength = {
  name: 'file-length',
  says: `a source file has at most ${file_lines_most} lines`,
  check(tree) {
    return tree
      .match(/^(src|tests|bench|web\/src|tools)\/.*\.(cpp|hpp|tsx?|m?js|css)$/)
      .map((path) => ({ path, lines: tree.lines(path).length - 1 }))
      .filter(({ lines }) => lines > file_lines_most)
      .map(({ path, lines }) => finding(path, lines, `${lines} lines; divide it (at most ${file_lines_most})`));
  },
};

const room_lines_most = 2500; // what one person reads in a morning

/** Rooms that are still larger, what each may hold, and why: no room is added to this list. */
export const larger_rooms = new Map([
  [
    'facts',
    { lines: 3900, why: 'a list of fields for each kind of fact, about a dozen lines a kind; the subjects are not divided into rooms yet' },
  ],
]);

/** A room's own sources, tests left out: the rooms in its folder count for themselves. */
const ownSources = (tree, all, room) =>
  tree.match(cpp).filter((path) => {
    const rest = path.slice(room.folder.length + 1);
    return roomOf(all, path) === room && /^(internal\/)?[^/]*$/.test(rest) && !/(_test|\/test_bench|\/for_tests)\.(cpp|hpp)$/.test(path);
  });

export const roomSize = {
  name: 'room-size',
  says: `a room has at most ${room_lines_most} lines without its tests`,
  check(tree) {
    const all = rooms(tree);
    const found = [];
    for (const room of all.values()) {
      const lines = ownSources(tree, all, room).reduce((sum, path) => sum + tree.lines(path).length - 1, 0);
      const larger = larger_rooms.get(room.name);
      const most = larger?.lines ?? room_lines_most;
      if (lines > most) {
        const remedy = 'move what belongs together into a room of its own in its folder, with its own door';
        found.push(finding(room.file, room.line, `room ${room.name} has ${lines} lines without tests (at most ${most}); ${remedy}`));
      } else if (larger && lines <= room_lines_most) {
        found.push(finding(room.file, room.line, `room ${room.name} has ${lines} lines; take it off the list of larger rooms`));
      }
    }
    return found;
  },
};

/** Whether a source is built: it stands in a room, is named by a CMake file above it, or caught by a pattern there. */
function isBuilt(tree, all, path) {
  if (roomOf(all, path)) {
    const room = roomOf(all, path);
    const rest = path.slice(room.folder.length + 1);
    if (!rest.includes('/') || /^internal\/[^/]*$/.test(rest)) return true;
  }
  const parts = path.split('/');
  for (let depth = parts.length - 1; depth > 0; --depth) {
    const cmake = [...parts.slice(0, depth), 'CMakeLists.txt'].join('/');
    if (!tree.has(cmake)) continue;
    const rest = parts.slice(depth).join('/');
    const text = tree.text(cmake);
    if (text.includes(rest)) return true;
    const globs = [...text.matchAll(/[\w./${}*-]*\*[\w./*-]*/g)].map((glob) => glob[0].replace(/^.*\}\//, ''));
    if (globs.some((glob) => glob !== '*' && new RegExp('(^|/)' + glob.replace(/\./g, '\\.').replace(/\*/g, '[^/]*') + '$').test(rest))) {
      return true;
    }
    if (/foreach/.test(text) && text.includes(rest.replace(/(_test)?\.cpp$/, ''))) return true;
  }
  return false;
}

/** Sources in no room, doors that nobody opens, headers that nobody includes, scripts that nobody names. */
export const deadFiles = {
  name: 'dead-files',
  says: 'every source is built, every header is included, every tool is named somewhere',
  check(tree) {
    const all = rooms(tree);
    const found = [];
    const included = new Map();
    for (const path of tree.match(/\.(cpp|hpp)$/)) {
      for (const { what } of includes(tree, path)) {
        const targets = [`src/${what}`, `tests/${what}`, what, path.replace(/[^/]*$/, '') + what];
        for (const target of targets) included.set(target, [...(included.get(target) ?? []), path]);
      }
    }
    for (const path of tree.match(/^(src|tests|bench)\/.*\.cpp$/)) {
      if (!isBuilt(tree, all, path)) found.push(finding(path, 1, 'no room and no CMake file builds this file'));
    }
    for (const path of tree.match(/^(src|tests|bench)\/.*\.hpp$/)) {
      const room = roomOf(all, path);
      const own = path.replace(/\.hpp$/, '.cpp');
      const users = (included.get(path) ?? []).filter((user) => user !== own);
      const door = room && doorsOf(room).includes(path.slice('src/'.length));
      const outside = users.filter((user) => roomOf(all, user) !== room);
      if (door ? outside.length === 0 && !isWayIn(tree, room) : users.length === 0) {
        found.push(finding(path, 1, door ? 'nobody includes this door' : 'nobody includes this header'));
      }
    }
    const everything = tree.paths.filter((path) => !/package-lock\.json$/.test(path));
    for (const path of tree.match(/^(tools|cmake)\/[^/]*(?<!\.test)\.(mjs|js|py|sh|cmake)$/)) {
      const name = path
        .split('/')
        .pop()
        .replace(/\.cmake$/, '');
      if (!everything.some((other) => other !== path && tree.text(other).includes(name))) {
        found.push(finding(path, 1, 'nothing names this file'));
      }
    }
    return found;
  },
};

/** A way in (the command) has a main function; nobody above it includes its door. */
const isWayIn = (tree, room) => tree.has(`${room.folder}/main.cpp`);

export const markers = {
  name: 'markers',
  says: 'nothing left over: no to-do marks, no tests switched off',
  check(tree) {
    const found = [];
    const marks = new RegExp(`\\b(${['TO' + 'DO', 'FIX' + 'ME', 'X' + 'XX', 'HA' + 'CK'].join('|')})\\b`, 'g');
    const off = new RegExp(['GTEST_' + 'SKIP', 'DISABLED' + '_', '\\.on' + 'ly\\(', 'WILL_' + 'FAIL'].join('|'), 'g');
    for (const path of tree.paths.filter((path) => !/package-lock\.json$|\.(svg|csv|tsv)$|^LICEN[CS]E/.test(path))) {
      for (const { line, match } of matches(tree.text(path), marks)) {
        found.push(finding(path, line, `${match[0]}: do it, or file it`));
      }
      if (!/^(src|tests|web|tools)\//.test(path)) continue;
      for (const { line, match } of matches(tree.text(path), off)) {
        found.push(finding(path, line, `${match[0]}: a test that does not run protects nobody`));
      }
    }
    return found;
  },
};

const colourValue = /#[0-9a-fA-F]{8}\b|#[0-9a-fA-F]{6}\b|#[0-9a-fA-F]{3,4}\b|\b(rgba?|hsla?|oklch|oklab|lab|lch|hwb)\(/g;
const colourName =
  /\b(?:color|colour|background|background-color|fill|stroke|border(?:-\w+)*|outline|stop-color)\s*[:=]\s*["']?[^;"'}\n]*?\b(red|green|blue|yellow|orange|purple|pink|brown|gr[ae]y|silver|gold|navy|teal|maroon|olive|aqua|lime|white|black)\b/g;
const plainPrint = /^(#000|#000000|black|#fff|#ffffff|white)$/i;

/** Blanks what stands inside @media print { ... }. */
function withoutPrint(text) {
  let out = text;
  for (const match of text.matchAll(/@media[^{]*\bprint\b[^{]*\{/g)) {
    let depth = 1;
    let at = match.index + match[0].length;
    for (; at < text.length && depth > 0; ++at) depth += text[at] === '{' ? 1 : text[at] === '}' ? -1 : 0;
    out =
      out.slice(0, match.index) +
      out.slice(match.index, at).replace(/#000\b|#fff\b|\bblack\b|\bwhite\b/gi, (c) => ' '.repeat(c.length)) +
      out.slice(at);
  }
  return out;
}

/** Colours stand in one file; everything else uses their names. */
export const colours = {
  name: 'colours',
  says: 'colours stand in web/src/look/tokens.css only; on paper plain black and white',
  check(tree) {
    const found = [];
    const places = /^(web\/(?!tests\/).*\.(css|html|tsx?)|src\/(edge|shell)\/.*\.(cpp|hpp))$/;
    for (const path of tree.match(places)) {
      if (path === 'web/src/look/tokens.css' || isTest(path)) continue;
      const raw = tree.text(path);
      const text = cpp.test(path) ? stringsOnly(raw) : withoutPrint(raw.replace(/\/\*[\s\S]*?\*\//g, (c) => c.replace(/[^\n]/g, ' ')));
      for (const { line, match } of matches(text, colourValue)) {
        // A link to a place on the page, a reference of SVG, a character by number: no colours.
        if (/(href=\{?\\?["'`]?|url\(\\?["']?|&)$/.test(text.slice(0, match.index))) continue;
        if (/print/.test(path) && plainPrint.test(match[0])) continue;
        found.push(finding(path, line, `the colour ${match[0]}; use a token of web/src/look/tokens.css`));
      }
      for (const { line, match } of matches(text, colourName)) {
        if (/print/.test(path) && plainPrint.test(match[1])) continue;
        found.push(finding(path, line, `the colour ${match[1]}; use a token of web/src/look/tokens.css`));
      }
    }
    return found;
  },
};
