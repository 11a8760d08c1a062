// A long list of things with names, narrowed while one types: nothing is sent, and nothing typed shows all.
import type { JSX } from 'preact';
import { useId, useState } from 'preact/hooks';
import { say } from '../words';

export interface Narrowed {
  /** Whether every word that was typed stands in one of these texts. */
  shows: (...texts: string[]) => boolean;
  field: JSX.Element;
}

export function useNarrowed(label: string): Narrowed {
  const id = useId();
  const [typed, setTyped] = useState('');
  const words = typed.toLowerCase().split(/\s+/);
  return {
    shows: (...texts) => {
      const all = texts.join(' ').toLowerCase();
      return words.every((word) => all.includes(word));
    },
    field: (
      <form role="search" class="search" onSubmit={(event) => event.preventDefault()}>
        <label for={id}>{label}</label>
        <input
          id={id}
          type="search"
          value={typed}
          autocomplete="off"
          spellcheck={false}
          onInput={(event) => setTyped(event.currentTarget.value)}
        />
      </form>
    ),
  };
}

export const NoneOfThem = (): JSX.Element => <p role="status">{say('narrow.none')}</p>;
