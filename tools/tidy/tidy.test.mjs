// Each house rule with an example that keeps it and one that breaks it.
import test from 'node:test';
import assert from 'node:assert/strict';
import * as code from './rules_code.mjs';
import * as docs from './rules_docs.mjs';
import { catalogue, declaredCodes } from './catalogue.mjs';
import { format, fromDiagnostics, fromList } from './format.mjs';
import { pageWords } from './page_words.mjs';
import { codeOnly, functions, proseOnly } from './source.mjs';
import { check, rules } from './tidy.mjs';
import { Tree } from './tree.mjs';

const says = (rule, files) => check(Tree.of(files), rule).map(({ file, line, text }) => `${file}:${line}: ${text}`);
const keeps = (rule, files) => assert.deepEqual(says(rule, files), []);
const breaks = (rule, files, ...patterns) => {
  const found = says(rule, files);
  assert.equal(found.length, patterns.length, found.join('\n'));
  patterns.forEach((pattern, at) => assert.match(found[at], pattern));
};

const house = {
  'src/base/CMakeLists.txt': 'room(base RING base LINKS tl::expected)\n',
  'src/base/base.hpp': '#pragma once\n',
  'src/core/units/CMakeLists.txt': 'room(units RING core NEEDS base)\n',
  'src/core/units/units.hpp': '#include "base/base.hpp"\n',
  'src/core/ledger/CMakeLists.txt': '# the account\nroom(ledger RING core\n  NEEDS units)\n',
  'src/core/ledger/ledger.hpp': '#include "core/units/units.hpp"\n',
  'src/core/ledger/ledger.cpp': '#include "core/ledger/ledger.hpp"\n#include "core/ledger/internal/fold.hpp"\n',
  'src/core/ledger/internal/fold.hpp': '#pragma once\n',
};

test('doors: a room is entered by its door, and needs are what is included', () => {
  keeps(code.doors, house);
  breaks(
    code.doors,
    { ...house, 'tests/x.cpp': '\n#include "core/ledger/internal/fold.hpp"\n' },
    /^tests\/x\.cpp:2: .*behind the door of room ledger; include "core\/ledger\/ledger\.hpp"/,
  );
  breaks(
    code.doors,
    { ...house, 'src/core/units/units.cpp': '#include "core/ledger/ledger.hpp"\n' },
    /units\.cpp:1: room units does not name ledger; add it to NEEDS in src\/core\/units\/CMakeLists\.txt/,
  );
  breaks(
    code.doors,
    { ...house, 'src/core/ledger/CMakeLists.txt': 'room(ledger RING core NEEDS base units)\n' },
    /CMakeLists\.txt:1: room ledger NEEDS base and never includes its door/,
  );
  const twoDoors = { ...house, 'src/core/ledger/CMakeLists.txt': 'room(ledger RING core NEEDS units DOORS ledger year)\n' };
  const visitor = { 'tests/x.cpp': '#include "core/ledger/year.hpp"\n' };
  keeps(code.doors, { ...twoDoors, ...visitor, 'src/core/ledger/year.hpp': '' });
  breaks(code.doors, { ...house, ...visitor }, /x\.cpp:1: .*include "core\/ledger\/ledger\.hpp"/);
  const inner = { 'src/core/ledger/year/CMakeLists.txt': 'room(ledger/year RING core NEEDS ledger)\n' };
  const door = { 'src/core/ledger/year/year.hpp': '#include "core/ledger/ledger.hpp"\n' };
  keeps(code.doors, { ...house, ...inner, ...door, 'tests/x.cpp': '#include "core/ledger/year/year.hpp"\n' });
  const tested = { 'src/core/units/CMakeLists.txt': 'room(units RING core NEEDS base TESTED_WITH ledger)\n' };
  const visits = '#include "core/ledger/ledger.hpp"\n';
  keeps(code.doors, { ...house, ...tested, 'src/core/units/units_test.cpp': visits });
  breaks(code.doors, { ...house, ...tested, 'src/core/units/units.cpp': visits }, /units\.cpp:1: room units does not name ledger/);
});

test('purity: what the core may not read or do, each with its remedy', () => {
  const at = (line) => ({ 'src/core/ledger/x.cpp': `// system_clock::now, throw, getenv: only named\n${line}\n` });
  keeps(code.purity, at('const auto text = "throw std::system_clock"; Instant now; runtime(x);'));
  keeps(code.purity, { 'src/core/ledger/x_test.cpp': 'std::mt19937_64 r; throw 1;' });
  keeps(code.purity, { 'src/shell/web/x.cpp': 'auto now = std::chrono::system_clock::now();' });
  const bad = [
    ['auto now = std::chrono::system_clock::now();', /x\.cpp:2: system_clock in core; take 'now' as an argument/],
    ['auto now = time(nullptr);', /time in core; take 'now'/],
    ['auto home = std::getenv("HOME");', /getenv in core/],
    ['std::random_device device;', /random_device in core/],
    ['std::normal_distribution<> n;', /normal_distribution in core/],
    ['std::ifstream in(path);', /ifstream in core/],
    ['std::cout << 1;', /std::cout in core/],
    ['int s = socket(AF_INET, 1, 0);', /socket in core/],
    ['std::mutex lock;', /std::mutex in core; no threads/],
    ['throw Oops{};', /throw in core; return a Result/],
    ['try { go(); } ', /try in core/],
    ['std::stod(text);', /std::stod in core/],
    ['#include <fstream>', /<fstream> in core/],
  ];
  for (const [line, pattern] of bad) breaks(code.purity, at(line), pattern);
  breaks(code.purity, { 'src/edge/words/words.cpp': 'throw 1;' }, /throw in edge/);
});

test('no-double: only where doses are worked out', () => {
  keeps(code.noDouble, { 'src/core/reach/x.cpp': 'double mm;', 'src/core/dial/x.cpp': '// double press\nUnits doubled;' });
  keeps(code.noDouble, { 'src/core/units/x_test.cpp': 'static_assert(!std::is_constructible_v<Units, double>);' });
  breaks(code.noDouble, { 'src/core/dial/x.cpp': '\nUnits from(double d);' }, /x\.cpp:2: bare double; use Units/);
});

test('one-interlock: doses are planned behind it', () => {
  for (const path of ['src/core/interlock/x.cpp', 'src/edge/verbs/dial/x.cpp', 'src/core/dial/x.cpp', 'src/edge/pages/next/x_test.cpp'])
    keeps(code.oneInterlock, { [path]: 'auto plan = dial::plan(request);' });
  keeps(code.oneInterlock, { 'src/edge/pages/next/x.cpp': '// dial::plan(request) is not ours\nconst dial::DialPlan& plan(int);' });
  breaks(
    code.oneInterlock,
    { 'src/edge/pages/next/x.cpp': '\nauto plan = dial::plan(request);' },
    /x\.cpp:2: a dose planned past the interlock/,
  );
  breaks(code.oneInterlock, { 'src/shell/cli/x.cpp': 'using dial::plan;' }, /take a Cleared<Plan>/);
});

const body = (lines) => 'int x;\n'.repeat(lines);

test('function-length: seventy lines and no more, in C++ and in scripts', () => {
  keeps(code.functionLength, { 'src/a.cpp': `namespace n {\nstruct S {\n  int f() {\n${body(68)}}\n${body(60)}};\n}\n` });
  breaks(
    code.functionLength,
    { 'src/a.cpp': `namespace n {\nint f(int a) const {\n${body(69)}}\n}\n` },
    /a\.cpp:2: f has 71 lines; give a part of it a name \(at most 70\)/,
  );
  breaks(code.functionLength, { 'src/a_test.cpp': `TEST(Dial, H01_x) {\n${body(80)}}\n` }, /Dial\.H01_x has 82 lines/);
  keeps(code.functionLength, { 'src/a.cpp': `constexpr Row rows[] = {\n${'{1, f(2)},\n'.repeat(90)}};\n` });
  keeps(code.functionLength, { 'web/src/a.tsx': `export function A() {\n${body(60)}}\n` });
  breaks(code.functionLength, { 'web/src/a.tsx': `export function A() {\n${body(80)}}\n` }, /A has 82 lines/);
  breaks(code.functionLength, { 'web/src/a.ts': `const go = async (a: A) => {\n${body(80)}};\n` }, /go has 82 lines/);
});

test('functions: lambdas belong to the function around them, braces in text count for nothing', () => {
  const text = 'int f() {\n  auto g = [] {\n    return "}";\n  };\n  // }\n  return g();\n}\nint h() { return 1; }\n';
  assert.deepEqual(
    functions(text).map(({ name, lines }) => [name, lines]),
    [
      ['f', 7],
      ['h', 1],
    ],
  );
});

test('file-length', () => {
  keeps(code.fileLength, { 'src/a.cpp': body(900) });
  breaks(code.fileLength, { 'src/a.cpp': body(901) }, /a\.cpp:901: 901 lines; divide it/);
});

test('room-size: sources in the folder and in internal/, without tests and the rooms inside', () => {
  const lines = (count) => '//\n'.repeat(count);
  const full = { ...house, 'src/core/units/units.hpp': lines(1000), 'src/core/units/internal/parse.cpp': lines(1500) };
  keeps(code.roomSize, full);
  keeps(code.roomSize, { ...full, 'src/core/units/units_test.cpp': lines(900), 'src/core/units/samples_test.hpp': lines(900) });
  const inner = { 'src/core/units/body/CMakeLists.txt': 'room(units/body RING core)\n', 'src/core/units/body/body.hpp': lines(900) };
  keeps(code.roomSize, { ...full, ...inner });
  breaks(
    code.roomSize,
    { ...full, 'src/core/units/one.cpp': lines(1) },
    /^src\/core\/units\/CMakeLists\.txt:1: room units has 2501 lines without tests \(at most 2500\); move what belongs together/,
  );
});

test('room-size: a larger room may not grow, and leaves the list when it is small enough', () => {
  const attic = (count) => ({
    'src/core/attic/CMakeLists.txt': 'room(attic RING core)\n',
    'src/core/attic/attic.hpp': '//\n'.repeat(count),
  });
  code.larger_rooms.set('attic', { lines: 2600, why: 'an example' });
  try {
    keeps(code.roomSize, attic(2600));
    breaks(code.roomSize, attic(2601), /room attic has 2601 lines without tests \(at most 2600\)/);
    breaks(code.roomSize, attic(2500), /room attic has 2500 lines; take it off the list/);
  } finally {
    code.larger_rooms.delete('attic');
  }
  for (const [name, { lines, why }] of code.larger_rooms) assert.ok(lines > 2500 && why.length > 10, name);
});

test('dead-files: sources, doors, headers and tools that nobody uses', () => {
  const alive = { ...house, 'tests/CMakeLists.txt': 'add_executable(x x.cpp)\n', 'tests/x.cpp': '#include "core/ledger/ledger.hpp"\n' };
  keeps(code.deadFiles, alive);
  breaks(code.deadFiles, { ...alive, 'src/core/lost/lost.cpp': '' }, /lost\.cpp:1: no room and no CMake file builds/);
  breaks(code.deadFiles, { ...alive, 'tests/y.cpp': '' }, /tests\/y\.cpp:1: no room and no CMake file/);
  breaks(code.deadFiles, { ...alive, 'src/core/ledger/internal/old.hpp': '' }, /old\.hpp:1: nobody includes this header/);
  breaks(code.deadFiles, { ...alive, 'tests/x.cpp': '' }, /ledger\.hpp:1: nobody includes this door/);
  breaks(code.deadFiles, { ...alive, 'tools/gen.mjs': '' }, /tools\/gen\.mjs:1: nothing names this file/);
  keeps(code.deadFiles, { ...alive, 'tools/gen.mjs': '', 'docs/a.md': 'run `tools/gen.mjs`' });
});

test('markers: nothing left over, no test switched off', () => {
  keeps(code.markers, { 'src/a.cpp': 'int hackney;  // nothing to do\n' });
  breaks(code.markers, { 'docs/a.md': 'x\nTO' + 'DO: write\n' }, /a\.md:2: TO.O: do it, or file it/);
  breaks(code.markers, { 'src/a_test.cpp': 'TEST(A, DISABLED' + '_b) {}' }, /does not run protects nobody/);
});

test('colours: one file holds them', () => {
  keeps(code.colours, {
    'web/src/look/tokens.css': '--ink: #123456;',
    'web/src/look/look.css': '/* #abc */ a { color: var(--ink); } @media print { a { color: #000; } }',
    'web/src/a.tsx': 'return <a href="#add">&#160;</a>;',
    'src/edge/drawing/d.cpp': 'out += "<use href=\\"#fade\\" fill=\\"url(#bed)\\"/>";  // issue #123',
  });
  breaks(code.colours, { 'web/src/look/look.css': 'a {\n color: #1a2b3c; }' }, /look\.css:2: the colour #1a2b3c; use a token/);
  breaks(code.colours, { 'web/src/look/look.css': 'a { color: #000; }' }, /the colour #000/);
  breaks(code.colours, { 'web/src/look/look.css': 'a { border: 1px solid grey; }' }, /the colour grey/);
  breaks(code.colours, { 'src/edge/drawing/d.cpp': 'out += "fill=\\"#fff\\"";' }, /the colour #fff/);
  breaks(code.colours, { 'src/edge/drawing/d.cpp': 'out += "rgb(1,2,3)";' }, /the colour rgb\(/);
});

test('links: files and headings', () => {
  const files = { 'docs/a.md': '# One Thing\n', 'README.md': '[a](docs/a.md#one-thing) [w](https://example.org) `[x](y)` [d](docs)' };
  keeps(docs.links, files);
  breaks(docs.links, { ...files, 'README.md': '\n[b](docs/b.md)' }, /README\.md:2: the link docs\/b\.md leads nowhere/);
  breaks(docs.links, { ...files, 'README.md': '[b](docs/a.md#two)' }, /docs\/a\.md has no heading #two/);
  breaks(docs.links, { ...files, 'docs/c.md': '![p](img/p.png)' }, /the link img\/p\.png leads nowhere/);
});

const mapOf = (...rows) => ['| ring | floor | room | needs | what |', '| --- | --- | --- | --- | --- |', ...rows].join('\n');
const mapRows = ['| base | 1 | `base` | | x |', '| core | 1 | `units` | `base` | x |', '| core | 2 | `ledger` | `units` | x |'];

test('map: the table of rooms equals the CMake lines', () => {
  keeps(docs.map, { ...house, 'ARCHITECTURE.md': mapOf(...mapRows) });
  breaks(docs.map, { ...house, 'ARCHITECTURE.md': mapOf(...mapRows.slice(1)) }, /does not show room base/);
  breaks(
    docs.map,
    { ...house, 'ARCHITECTURE.md': mapOf(mapRows[0], mapRows[1], '| core | 2 | `ledger` | `base` `units` | x |') },
    /ARCHITECTURE\.md:5: ledger needs base units here; .* says NEEDS units/,
  );
  breaks(
    docs.map,
    { ...house, 'ARCHITECTURE.md': mapOf(mapRows[0], '| core | 2 | `units` | `base` | x |', mapRows[2]) },
    /units stands at core 2 here; from the CMake lines it is core 1/,
  );
  breaks(docs.map, { ...house, 'ARCHITECTURE.md': mapOf(...mapRows, '| core | 2 | `attic` | | x |') }, /no CMake line makes a room attic/);
  breaks(docs.map, {}, /there is no map/);
  const wrong = mapOf(mapRows[0], '| edge | 2 | `units` | `ledger` | kept |', mapRows[2]);
  const mended = docs.mendedMap(Tree.of({ ...house, 'ARCHITECTURE.md': wrong }));
  assert.equal(mended, mapOf(mapRows[0], '| core | 1 | `units` | `base` | kept |', mapRows[2]));
});

test('tasks: every path exists', () => {
  const tasks = (where) => ({ ...house, 'ARCHITECTURE.md': `| your task | where |\n| --- | --- |\n| the total is off | ${where} |\n` });
  keeps(docs.tasks, tasks('`src/core/ledger`, `src/core/*/units.hpp`'));
  breaks(docs.tasks, tasks('`src/core/attic`'), /ARCHITECTURE\.md:3: src\/core\/attic does not exist/);
  breaks(docs.tasks, tasks('somewhere'), /names no path/);
});

const allHazards = (change = {}) =>
  ['| no. | what goes wrong | what the program must do | test |', '| --- | --- | --- | --- |']
    .concat(
      Array.from({ length: 64 }, (_, at) => {
        const number = `H${String(at + 1).padStart(2, '0')}`;
        return change[number] ?? `| ${number} | a | b | open |`;
      }),
    )
    .join('\n');

test('hazards: each number once, each test exists and bears the number', () => {
  const files = {
    'src/a_test.cpp': 'TEST(Dial, H01_WindowCountsOn) {}\nTEST(Dial, Plain) {}\n',
    'tests/e2e/a.test.mjs': "test('H07 asks first', f);",
  };
  const list = (change) => ({ ...files, 'docs/hazards.md': allHazards(change) });
  keeps(docs.hazards, list({ H01: '| H01 | a | b | `Dial.H01_WindowCountsOn` |', H07: '| H07 | a | b | `H07 asks first` |' }));
  breaks(docs.hazards, list({ H01: '| H01 | a | b | `Dial.H01_Gone` |' }), /hazards\.md:3: H01: there is no test Dial\.H01_Gone/);
  breaks(docs.hazards, list({ H01: '| H01 | a | b | `Dial.Plain` |' }), /Dial\.Plain does not bear the number/);
  breaks(docs.hazards, list({ H02: '| H02 | a | b | |' }), /H02 has neither a test nor the word open/);
  breaks(docs.hazards, list({ H02: '| H03 | a | b | open |' }), /H03 stands on line 4 already/, /H02 is missing/);
});

test('abbreviations: units is spelled out', () => {
  keeps(docs.abbreviations, {
    'docs/a.md': '10 units of 100 units/mL; U+2066; 20 Ulmer',
    'src/a.cpp': 'auto x = 10U; // dose "18 units"\nauto hash = 0xFFU;',
  });
  breaks(docs.abbreviations, { 'docs/a.md': '\n10 U at night' }, /a\.md:2: "10 U"; write "units" in full/);
  breaks(docs.abbreviations, { 'docs/a.md': '300 IU' }, /"300 IU"/);
  breaks(docs.abbreviations, { 'docs/a.md': 'insulin U-100' }, /"U-100"/);
  breaks(docs.abbreviations, { 'src/a.cpp': 'say("dial 18 U");' }, /"18 U"/);
  breaks(docs.abbreviations, { 'data/words/en.json': '{"a": "100 IU/mL"}' }, /"100 IU"/);
});

test('trailing-zeros: a dose has none, and a digit before the point', () => {
  keeps(docs.trailingZeros, { 'docs/a.md': '5 units, 0.5 units, 10.25 units, 3.0 mmol/L, 100 units' });
  breaks(docs.trailingZeros, { 'docs/a.md': '5.0 units' }, /"5\.0 units"/);
  breaks(docs.trailingZeros, { 'src/a.cpp': 'say("4.50 units");' }, /"4\.50 units"/);
  breaks(docs.trailingZeros, { 'docs/a.md': 'take .5 units' }, /"\.5 units"/);
});

test('machine-paths: no path of one machine, no registry host', () => {
  keeps(docs.machinePaths, {
    run: 'folder=$HOME/.local/share',
    'src/a.cpp': '#include "core/work/x.hpp"',
    'package-lock.json': '{"integrity": "x"}',
  });
  breaks(docs.machinePaths, { run: 'cd /ho' + 'me/nurse/x' }, /run:1: \/home\/nurse: a path of one machine/);
  breaks(docs.machinePaths, { 'web/package-lock.json': '{\n"resolved": "x"}' }, /package-lock\.json:2: a registry host/);
});

const words = (errors, more = {}) => ({ 'data/words/en.json': JSON.stringify({ errors, ...more }, null, 1) });
const codes = { 'src/core/dial/dial.hpp': 'namespace dial_codes {\ninline constexpr std::string_view a = "dial.a";  // "why"\n}\n' };

test('catalogue: every code has its sentences, and no sentence a digit', () => {
  const good = { 'dial.a': { what: 'It is empty.', do_this: 'Change it.' } };
  keeps(catalogue, { ...codes, ...words(good, { other: { x: 'as in ISO 8601' } }) });
  breaks(catalogue, { ...codes, ...words({}) }, /dial\.hpp:2: data\/words\/en\.json has no sentences for dial\.a/);
  breaks(catalogue, { ...codes, ...words({ 'dial.a': { what: 'x' } }) }, /dial\.a has no do_this/);
  breaks(catalogue, { ...codes, ...words(good, { other: { x: 'wait 10 seconds' } }) }, /"wait 10 seconds" holds a digit/);
  assert.deepEqual(declaredCodes(codes['src/core/dial/dial.hpp']), [{ code: 'dial.a', line: 2 }]);
});

test('format: each file once, with the command that mends it', () => {
  const text =
    'src/a.cpp:3:1: error: code should be clang-formatted [-Wclang-format-violations]\nx\nsrc/a.cpp:9:1: error: code should be clang-formatted [-W]\n';
  assert.deepEqual(
    fromDiagnostics(text).map(({ line, text: said }) => [line, said]),
    [[3, 'not laid out; clang-format-19 -i src/a.cpp']],
  );
  const said = fromList('web/src/a.ts\ntools/b.mjs\n').map(({ file, text: mend }) => [file, mend]);
  assert.deepEqual(said, [
    ['web/src/a.ts', 'not laid out; tools/node_modules/.bin/prettier --write web/src/a.ts'],
    ['tools/b.mjs', 'not laid out; tools/node_modules/.bin/prettier --write tools/b.mjs'],
  ]);
  keeps(format, {});
});

test('tidy-allow: one line, one rule, with a reason', () => {
  const allow = (text) => ({ 'docs/a.md': `${text}\n10 U at night` });
  keeps(docs.abbreviations, allow('<!-- tidy-allow(abbreviations): quoted from the label -->'));
  breaks(docs.abbreviations, allow('<!-- tidy-allow(abbreviations): -->'.replace(': -->', ':')), /"10 U"/);
  breaks(docs.abbreviations, allow('<!-- tidy-allow(links): wrong rule -->'), /"10 U"/);
});

test('every rule says what it asks and has a test of its own here', () => {
  assert.equal(new Set(rules.map((rule) => rule.name)).size, rules.length);
  for (const rule of rules) assert.ok(rule.says.length > 10, rule.name);
});

test('source: code, comments and strings are told apart', () => {
  const text = 'int a = 10\'000; // one\nauto b = R"x(two "three")x"; /* four */ char c = \'"\';';
  assert.equal(codeOnly(text).includes('one'), false);
  assert.equal(codeOnly(text).includes("10'000"), true);
  assert.match(proseOnly(text), /one[\s\S]*two "three"[\s\S]*four/);
  assert.equal(proseOnly(text).includes('auto'), false);
});

test('page words: what pages say is in the catalogue, each key is said, each hole filled', () => {
  const catalogued = (pages) => ({ 'data/words/en.json': `{\n"pages": ${JSON.stringify(pages, null, 1)}}\n` });
  const view = (body) => ({ 'web/src/view.tsx': `import { say, Said } from './words';\n${body}\n` });
  keeps(pageWords, {
    ...catalogued({ 'a.b': 'Left: {units}' }),
    ...view('export const a = <p class="small soft">{say(\'a.b\', { units: 2 })}</p>;'),
  });
  keeps(pageWords, { ...catalogued({ 'a.b': '*{name}*' }), ...view('export const a = <Said of="a.b" name={<i />} />;') });
  keeps(pageWords, view("export const a = element.closest('input, select'); post('/api/x', { what: 'needle on', day: `${day}T00:00Z` });"));
  breaks(pageWords, view('export const a = <p>Not loaded yet.</p>;'), /view\.tsx:2: "Not loaded yet\." belongs into section pages/);
  breaks(pageWords, view('export const a = <Field unit="days" name="days" />;'), /"days" belongs/);
  breaks(pageWords, view("export const title = 'Give a pen';"), /"Give a pen" belongs/);
  breaks(
    pageWords,
    { ...catalogued({ 'a.b': '{units} left' }), ...view("export const a = say('a.b');") },
    /a\.b has a hole that is not filled: units/,
  );
  breaks(pageWords, { ...catalogued({ 'a.b': 'Left' }), ...view('export const a = 1;') }, /en\.json:3: no page says a\.b/);
});
