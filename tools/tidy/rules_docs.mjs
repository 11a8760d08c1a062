// House rules for documents, catalogues and data.
import { posix } from 'node:path';
import { matches, proseOnly } from './source.mjs';
import { rooms } from './rooms.mjs';
import { finding } from './tree.mjs';

const blank = (text) => text.replace(/[^\n]/g, ' ');
/** Markdown without fenced blocks and code between backticks: what is in there is quoted, not said. */
const withoutCode = (text) => text.replace(/```[\s\S]*?```/g, blank).replace(/`[^`\n]*`/g, blank);

/** The anchor that a heading gets. */
const anchorOf = (heading) =>
  heading
    .trim()
    .toLowerCase()
    .replace(/[^\p{L}\p{N}\s_-]/gu, '')
    .replace(/\s/g, '-');

export const links = {
  name: 'links',
  says: 'every link in a document leads somewhere',
  check(tree) {
    const found = [];
    for (const path of tree.match(/\.md$/)) {
      const text = withoutCode(tree.text(path));
      for (const { line, match } of matches(text, /\]\(([^)\s]+)(?:\s+"[^"]*")?\)|<(?:img|a)\b[^>]*\b(?:src|href)="([^"]+)"/g)) {
        const target = match[1] ?? match[2];
        if (/^(https?|mailto):/.test(target)) continue;
        const [file, anchor] = target.split('#');
        const where = file === '' ? path : posix.normalize(posix.join(posix.dirname(path), decodeURI(file)));
        if (!tree.names(where)) {
          found.push(finding(path, line, `the link ${target} leads nowhere`));
        } else if (anchor && /\.md$/.test(where)) {
          const anchors = [...tree.text(where).matchAll(/^#+ (.*)$/gm)].map((heading) => anchorOf(heading[1]));
          if (!anchors.includes(anchor)) found.push(finding(path, line, `${where} has no heading #${anchor}`));
        }
      }
    }
    return found;
  },
};

/** Rows of the table whose first header cell is `first`, as {line, cells}. */
export function table(text, ...headers) {
  const rows = [];
  let inside = false;
  text.split('\n').forEach((raw, index) => {
    if (!raw.startsWith('|')) {
      inside = false;
      return;
    }
    const cells = raw
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim());
    if (headers.every((header, at) => cells[at] === header)) inside = true;
    else if (inside && !/^[-: |]+$/.test(raw)) rows.push({ line: index + 1, cells });
  });
  return rows;
}

const quoted = (cell) => [...cell.matchAll(/`([^`]+)`/g)].map((match) => match[1]);
const map_file = 'ARCHITECTURE.md';

/** The map of the rooms says what the CMake lines say. */
export const map = {
  name: 'map',
  says: `the table of rooms in ${map_file} is what the CMake lines say`,
  check(tree) {
    if (!tree.has(map_file)) return [finding(map_file, 1, 'there is no map')];
    const all = new Map([...rooms(tree).values()].map((room) => [room.name, room]));
    const found = [];
    const seen = new Set();
    for (const { line, cells } of table(tree.text(map_file), 'ring', 'floor', 'room', 'needs')) {
      const [ring, floor, name, needs] = [cells[0], cells[1], quoted(cells[2])[0], quoted(cells[3])];
      const room = all.get(name);
      seen.add(name);
      if (!room) {
        found.push(finding(map_file, line, `no CMake line makes a room ${name}`));
        continue;
      }
      if (ring !== room.ring || floor !== room.floor) {
        const says = `${room.ring} ${room.floor}`;
        found.push(finding(map_file, line, `${name} stands at ${ring} ${floor} here; from the CMake lines it is ${says}`));
      }
      if ([...needs].sort().join() !== [...room.needs].sort().join()) {
        const says = `NEEDS ${[...room.needs].sort().join(' ')}`;
        found.push(finding(map_file, line, `${name} needs ${needs.join(' ')} here; ${room.file} says ${says}`));
      }
    }
    for (const room of all.values()) {
      if (!seen.has(room.name)) found.push(finding(room.file, room.line, `${map_file} does not show room ${room.name}`));
    }
    return found;
  },
};

/** The text of the map with ring, floor and needs as the CMake lines have them; what lives there is left as it is. */
export function mendedMap(tree) {
  const all = new Map([...rooms(tree).values()].map((room) => [room.name, room]));
  const lines = tree.lines(map_file).slice();
  for (const { line, cells } of table(tree.text(map_file), 'ring', 'floor', 'room', 'needs')) {
    const room = all.get(quoted(cells[2])[0]);
    if (!room) continue;
    const needs = room.needs.map((need) => `\`${need}\``).join(' ');
    const row = [room.ring, room.floor, cells[2], needs, ...cells.slice(4)];
    lines[line - 1] = `| ${row.join(' | ')} |`.replaceAll('|  |', '| |');
  }
  return lines.join('\n');
}

/** Who has a task finds the place: every path in the table exists. */
export const tasks = {
  name: 'tasks',
  says: `every path in ${map_file}'s table from task to place exists`,
  check(tree) {
    if (!tree.has(map_file)) return [finding(map_file, 1, 'there is no map')];
    const rows = table(tree.text(map_file), 'your task', 'where');
    const found = rows.length === 0 ? [finding(map_file, 1, 'there is no table "your task | where"')] : [];
    for (const { line, cells } of rows) {
      const paths = quoted(cells[1]);
      if (paths.length === 0) found.push(finding(map_file, line, 'names no path'));
      for (const path of paths.filter((path) => !tree.names(path))) {
        found.push(finding(map_file, line, `${path} does not exist`));
      }
    }
    return found;
  },
};

const hazards_file = 'docs/hazards.md';
const hazards_most = 64; // the list's last number; rows are added at the end and never renumbered

/** Names of all tests: of gtest, of node and of the text scenarios. */
function testNames(tree) {
  const names = new Map();
  const add = (name, path) => names.set(name, [...(names.get(name) ?? []), path]);
  for (const path of tree.match(/^(src|tests)\/.*\.cpp$/)) {
    const text = tree.text(path);
    for (const match of text.matchAll(
      /\b(?:TEST|TEST_F|TEST_P|TYPED_TEST|RC_GTEST_PROP|RC_GTEST_FIXTURE_PROP)\s*\(\s*(\w+)\s*,\s*(\w+)/g,
    )) {
      add(`${match[1]}.${match[2]}`, path);
    }
  }
  for (const path of tree.match(/^(web|tests|tools)\/.*\.test\.m?[jt]s$/)) {
    for (const match of tree.text(path).matchAll(/\b(?:test|it)\(\s*(['"`])(.*?)\1/g)) add(match[2], path);
  }
  for (const path of tree.match(/^tests\/.*\.(spec|txt|case)$/)) add(path, path);
  return names;
}

/** A row of the list of hazards names a test that exists and has the number in its name, or says that it is open. */
export const hazards = {
  name: 'hazards',
  says: `each hazard stands once in ${hazards_file}, with a test that exists and bears its number, or is open`,
  check(tree) {
    if (!tree.has(hazards_file)) return [finding(hazards_file, 1, 'there is no list of hazards')];
    const found = [];
    const seen = new Map();
    const tests = testNames(tree);
    for (const { line, cells } of table(tree.text(hazards_file), 'no.')) {
      const number = /^H\d\d$/.exec(cells[0])?.[0];
      if (!number) {
        found.push(finding(hazards_file, line, `${cells[0]} is not a number like H07`));
        continue;
      }
      if (seen.has(number)) found.push(finding(hazards_file, line, `${number} stands on line ${seen.get(number)} already`));
      seen.set(number, line);
      const cell = cells[cells.length - 1];
      const named = quoted(cell).filter((name) => !/^(core|edge|shell)\/[a-z]+$/.test(name));
      if (named.length === 0 && !/\bopen\b/.test(cell)) {
        found.push(finding(hazards_file, line, `${number} has neither a test nor the word open`));
      }
      for (const name of named) {
        if (!tests.has(name)) found.push(finding(hazards_file, line, `${number}: there is no test ${name}`));
        else if (!bears(name, number, tree)) found.push(finding(hazards_file, line, `${number}: ${name} does not bear the number`));
      }
    }
    for (let at = 1; at <= hazards_most; ++at) {
      const number = `H${String(at).padStart(2, '0')}`;
      if (!seen.has(number)) found.push(finding(hazards_file, 1, `${number} is missing`));
    }
    return found;
  },
};

function bears(name, number, tree) {
  if (new RegExp(`(^|[^0-9A-Za-z])${number}([^0-9]|$)`).test(name)) return true;
  return tree.has(name) && new RegExp(`\\b${number}\\b`).test(tree.text(name));
}

/** What is written for people: documents whole, of sources the strings and comments. */
function* written(tree) {
  for (const path of tree.paths) {
    if (/^tools\/tidy\/|package-lock\.json$|\.svg$/.test(path)) continue;
    const raw = tree.text(path);
    if (/\.(md|txt|json|html|spec|sql|csv|tsv)$/.test(path)) yield { path, text: raw };
    else if (/\.(cpp|hpp|tsx?|m?js)$/.test(path)) yield { path, text: proseOnly(raw) };
  }
}

/** H05: "units" is spelled out, everywhere. */
export const abbreviations = {
  name: 'abbreviations',
  says: 'units is spelled out: no U, no IU (H05)',
  check(tree) {
    const found = [];
    const short =
      /(?<![\w+.#-])\d(?:[\d.,']*\d)?[ \u00a0]?(U|IU|iu|i\.u\.)(?![\w+])|\bU-?(100|200|300|500)\b|\b(I?U|iu)\/(m[lL]|kg|day|h)\b/g;
    for (const { path, text } of written(tree)) {
      for (const { line, match } of matches(text, short)) {
        // A whole number in C++ that is unsigned, not a dose.
        if (/\.(cpp|hpp)$/.test(path) && /^\d+U$/.test(match[0]) && /`$/.test(text.slice(0, match.index))) continue;
        found.push(finding(path, line, `"${match[0]}"; write "units" in full (H05)`));
      }
    }
    return found;
  },
};

/** H05: 5.0 is read as 50. */
export const trailingZeros = {
  name: 'trailing-zeros',
  says: 'no dose ends in a zero behind the point, or begins with the point (H05)',
  check(tree) {
    const found = [];
    for (const { path, text } of written(tree)) {
      for (const { line, match } of matches(text, /(?<![\d.])(\d+\.\d*0|\.\d+)[ \u00a0]units?\b(?!\/)/g)) {
        found.push(finding(path, line, `"${match[0]}"; the point is overlooked: write the number plainly (H05)`));
      }
    }
    return found;
  },
};

/** Nothing in here knows on which machine, or from which registry, it was made. */
export const machinePaths = {
  name: 'machine-paths',
  says: 'no absolute paths of one machine, no registry hosts in lock files',
  check(tree) {
    const found = [];
    const place = /(?<![\w.$}*~/)-])\/(home|work|root|Users|tmp|mnt|srv)\/[\w.-]+/g;
    for (const path of tree.paths.filter((path) => !/^tools\/tidy\//.test(path))) {
      if (/package-lock\.json$/.test(path)) {
        for (const { line } of matches(tree.text(path), /"resolved":/g)) {
          found.push(finding(path, line, 'a registry host; set omit-lockfile-registry-resolved and write the lock anew'));
        }
        continue;
      }
      for (const { line, match } of matches(tree.text(path), place)) {
        found.push(finding(path, line, `${match[0]}: a path of one machine`));
      }
    }
    return found;
  },
};
