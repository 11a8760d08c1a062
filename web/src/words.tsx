// What people read on the pages, from the catalogue that the program speaks from, too: a language is one file. Its holes are
// those of edge/words: `{name}` takes the argument of that name, `{days:day|days}` a count and the word that goes with it,
// `*...*` is bold. Keys are checked by the compiler, holes by tools/tidy.
import type { ComponentChildren, JSX } from 'preact';
import { Fragment } from 'preact';
import strings from 'virtual:words';

export type Key = keyof typeof strings;

type Args<Value> = Record<string, Value>;

/** Text and holes of a pattern, in turn. */
const pieces = (pattern: string): string[] => pattern.split(/(\{[^}]*\})/);

function filled<Value>(hole: string, args: Args<Value>): Value | string {
  const [name = '', forms] = hole.slice(1, -1).split(':');
  const value = args[name];
  if (value === undefined) return hole; // said as it stands: never an empty place in a sentence
  if (forms === undefined) return value;
  const [one = '', many = one] = forms.split('|');
  return `${String(value)} ${Number(value) === 1 ? one : many}`;
}

const isHole = (piece: string): boolean => piece.startsWith('{');

/** A sentence without bold. */
export function say(key: Key, args: Args<string | number> = {}): string {
  return pieces(strings[key])
    .map((piece) => (isHole(piece) ? String(filled(piece, args)) : piece.replaceAll('*', '')))
    .join('');
}

/** A sentence with its bold runs; a hole may take a link or another piece of the page. */
export function Said({ of, ...args }: { of: Key } & Args<ComponentChildren>): JSX.Element {
  // A hole keeps its place inside a bold run: the pattern is cut at stars first, an argument never brings one.
  return (
    <>
      {strings[of].split('*').map((run, at) => {
        const children = pieces(run).map((piece) => <Fragment>{isHole(piece) ? filled(piece, args) : piece}</Fragment>);
        return at % 2 === 1 ? <b>{children}</b> : <Fragment>{children}</Fragment>;
      })}
    </>
  );
}
