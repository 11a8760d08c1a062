// What the front end says a document holds (web/src/model.ts): as a JSON schema, to hold the program's answers to; and who reads which field.
import { readdirSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import Ajv from 'ajv';
import { createGenerator } from 'ts-json-schema-generator';
import ts from 'typescript';

const web = resolve(dirname(fileURLToPath(import.meta.url)), '../../web');
const source = join(web, 'src');
const model = join(source, 'model.ts');
/** Where its types stand. */
const parts = [model, join(source, 'model-clinic.ts'), join(source, 'model-person.ts')];
/** The front end's own compiler has no interface for programs: this one only reads types. */
const compiler = {
  strict: true,
  noEmit: true,
  skipLibCheck: true,
  jsx: ts.JsxEmit.ReactJSX,
  jsxImportSource: 'preact',
  module: ts.ModuleKind.ESNext,
  moduleResolution: ts.ModuleResolutionKind.Bundler,
  lib: ['lib.es2023.d.ts', 'lib.dom.d.ts', 'lib.dom.iterable.d.ts'],
  types: [],
};

const nameOf = ({ $ref }) => decodeURIComponent($ref.replace('#/definitions/', ''));

let schema = null;
/** Each type of the model by its name; a field that it does not know is refused. */
const definitionsOfModel = () =>
  (schema ??= createGenerator({
    path: model,
    type: '*',
    expose: 'all',
    topRef: true,
    additionalProperties: false,
    skipTypeCheck: true,
  }).createSchema()).definitions;

/** Each member that may be missing; what only a broken record brings is left to the tests of the desk. */
function* optionalMembers(schema, definitions, name, seen = new Set()) {
  if (schema.$ref !== undefined) {
    const of = nameOf(schema);
    if (!seen.has(of)) yield* optionalMembers(definitions[of], definitions, of, seen.add(of));
    return;
  }
  for (const one of schema.anyOf ?? []) yield* optionalMembers(one, definitions, name, seen);
  if (schema.items !== undefined) for (const one of [schema.items].flat()) yield* optionalMembers(one, definitions, name, seen);
  for (const [member, of] of Object.entries(schema.properties ?? {})) {
    const mayLack = !(schema.required ?? []).includes(member) && !/^Where a journal broke\b/.test(of.description ?? '');
    if (mayLack) yield `${name}.${member}`;
    yield* optionalMembers(of, definitions, `${name}.${member}`, seen);
  }
}

/** Holds documents to the model, and remembers which of the fields that may be missing were there. */
export function judge() {
  const definitions = definitionsOfModel();
  const seen = new Set();
  // A keyword of our own at each member that may be missing: judging a document that has it, it is called.
  const marked = structuredClone(definitions);
  const mark = (node, name) => {
    for (const one of node.anyOf ?? []) mark(one, name);
    if (node.items !== undefined) for (const one of [node.items].flat()) mark(one, name);
    for (const [member, of] of Object.entries(node.properties ?? {})) {
      mark(of, `${name}.${member}`);
      if (!(node.required ?? []).includes(member)) node.properties[member] = { allOf: [of], isThere: `${name}.${member}` };
    }
  };
  for (const [name, node] of Object.entries(marked)) mark(node, name);
  const ajv = new Ajv({ allErrors: true, strict: false });
  ajv.addKeyword({ keyword: 'isThere', validate: (name) => seen.add(name) && true });
  ajv.addSchema({ definitions: marked }, 'model');
  const answers = definitions.Answers.properties;
  const named = (call) => nameOf(answers[call]);
  return {
    calls: Object.keys(answers),
    /** Whether a call with this path, its holes empty, answers with this type. */
    answers: (method, path, type) =>
      Object.keys(answers).some((call) => call.replace(/\{\w+\}/g, '{}') === `${method} ${path}` && named(call) === type),
    /** What is wrong with the answer to a call, a line each: "GET /api/today /groups/0: must NOT have additional properties: colour". */
    faults(call, document, type = named(call)) {
      const judged = ajv.getSchema(`model#/definitions/${type}`);
      if (judged(document)) return [];
      return judged.errors
        .filter(({ keyword }) => keyword !== 'anyOf')
        .map(
          ({ instancePath, message, params }) =>
            `${call} ${instancePath}: ${message}${'additionalProperty' in params ? `: ${params.additionalProperty}` : ''}`,
        );
    },
    /** Fields that may be missing, and were in every document. */
    neverThere() {
      const all = new Set(
        ['Answers', 'Refusal', 'Conflict', 'AskBack'].flatMap((name) => [...optionalMembers(definitions[name], definitions, name)]),
      );
      return [...all].filter((name) => !seen.has(name));
    },
  };
}

/** The types that an answer is made of. */
function answered() {
  const definitions = definitionsOfModel();
  const names = new Set();
  const walk = (node) => {
    if (typeof node !== 'object' || node === null) return;
    const name = node.$ref && nameOf(node);
    if (name && !names.has(name)) walk(definitions[(names.add(name), name)]);
    Object.values(node).forEach(walk);
  };
  for (const name of ['Answers', 'Refusal', 'Conflict', 'AskBack']) walk({ $ref: `#/definitions/${name}` });
  names.delete('Answers');
  return names;
}

let front = null;
/** The front end's sources, read by a compiler. */
function frontEnd() {
  if (front !== null) return front;
  const paths = readdirSync(source, { recursive: true })
    .filter((name) => /\.tsx?$/.test(name))
    .map((name) => join(source, name));
  const program = ts.createProgram(paths, compiler);
  front = {
    model: parts.map((path) => program.getSourceFile(path)),
    others: paths.filter((path) => !parts.includes(path)).map((path) => program.getSourceFile(path)),
    checker: program.getTypeChecker(),
  };
  return front;
}

/** Every field of the model by its declaration: "Forms.slots". */
function declared() {
  const found = new Map();
  const walk = (node, name) => {
    if (ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) name = node.name.text;
    if (ts.isPropertySignature(node)) found.set(node, (name = `${name}.${node.name.getText()}`));
    ts.forEachChild(node, (child) => walk(child, name));
  };
  for (const part of frontEnd().model) walk(part, '');
  return found;
}

/** What a piece of code reads of an object, as a symbol: `a.b`, `a['b']`, `{ b } = a`. */
function readBy(node, checker) {
  if (ts.isPropertyAccessExpression(node)) return checker.getSymbolAtLocation(node.name);
  if (ts.isElementAccessExpression(node) && ts.isStringLiteral(node.argumentExpression))
    return checker.getSymbolAtLocation(node.argumentExpression);
  if (ts.isBindingElement(node) && ts.isObjectBindingPattern(node.parent))
    return checker.getPropertyOfType(checker.getTypeAtLocation(node.parent), (node.propertyName ?? node.name).getText());
  return undefined;
}

/** Fields of answers that nothing in the front end reads, but those that the model marks, alone or as a whole type, "For programs". */
export function unread() {
  const { others, checker } = frontEnd();
  const read = new Set();
  const look = (node) => {
    for (const declaration of readBy(node, checker)?.declarations ?? []) read.add(declaration);
    ts.forEachChild(node, look);
  };
  others.forEach(look);
  const types = answered();
  const forPrograms = (node) =>
    !ts.isSourceFile(node) &&
    (ts.getJSDocCommentsAndTags(node).some((comment) => /^For programs\b/.test(comment.comment ?? '')) || forPrograms(node.parent));
  return [...declared()]
    .filter(([node, name]) => !read.has(node) && types.has(name.split('.')[0]) && !forPrograms(node))
    .map(([, name]) => name);
}

const methods = { useDocument: 'GET', get: 'GET', post: 'POST', postText: 'POST', erase: 'DELETE' };

/** A literal path as the model writes it, each hole a name in braces; undefined for one that is handed in. */
function pathOf(node) {
  if (ts.isConditionalExpression(node)) return pathOf(node.whenTrue);
  if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node)) return node.text;
  if (!ts.isTemplateExpression(node)) return undefined;
  // A hole that begins no segment is a query.
  const text = node.head.text + node.templateSpans.map(({ literal }) => `{}${literal.text}`).join('');
  return text.replace(/([^/])\{\}.*$/, '$1').replace(/\?.*$/, '');
}

/** What the front end asks for, and as which type: {method, path, type}. */
export function asked() {
  const found = [];
  const look = (node) => {
    const method = ts.isCallExpression(node) && ts.isIdentifier(node.expression) ? methods[node.expression.text] : undefined;
    const path = method && node.arguments[0] && pathOf(node.arguments[0]);
    if (path !== undefined && node.typeArguments) {
      const type = frontEnd().checker.getTypeFromTypeNode(node.typeArguments[0]);
      found.push({ method, path, type: (type.aliasSymbol ?? type.symbol).name });
    }
    ts.forEachChild(node, look);
  };
  frontEnd().others.forEach(look);
  return found;
}
