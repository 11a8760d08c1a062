// The server's own words and drawings, placed. Nothing here makes a sentence or a number.
import type { JSX } from 'preact';
import type { Level, Rich, Svg } from '../model';

export function Words({ text }: { text: Rich }): JSX.Element {
  return <>{text.map((run) => (typeof run === 'string' ? run : <b>{run.b}</b>))}</>;
}

export const isEmpty = (text: Rich): boolean => text.every((run) => (typeof run === 'string' ? run === '' : run.b === ''));

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const plain = (text: Rich): string => text.map((run) => (typeof run === 'string' ? run : run.b)).join('');

/** A drawing of the server's: SVG text that our own program made and escaped. */
export function Picture({ svg, as: Tag = 'div', class: name }: { svg: Svg; as?: 'div' | 'span'; class?: string }): JSX.Element | null {
  if (svg === '') return null;
  return <Tag class={name ?? 'drawing'} dangerouslySetInnerHTML={{ __html: svg }} />;
}

export const Mark = ({ svg }: { svg: Svg }): JSX.Element | null => <Picture svg={svg} as="span" class="mk" />;

/** One rule, two rules, a solid bar: always with the word. */
export function Say({ level, word, children }: { level: Level; word: string; children: preact.ComponentChildren }): JSX.Element {
  return (
    <div class={`say ${level}`}>
      <p>
        <b class="lvl">{word.endsWith('.') ? word : `${word}.`}</b>
        {children}
      </p>
    </div>
  );
}

export const LevelMark = ({ level, word }: { level: Level; word: string }): JSX.Element => (
  <span class={`lv ${level}`} role="img" aria-label={word} />
);
