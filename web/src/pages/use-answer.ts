// What each form of the phone desk does: ask, wait, show the answer or why there is none. Nothing is recorded by asking.
import { useRef, useState } from 'preact/hooks';
import { post, type Refused } from '../api';
import { fieldOf } from '../parts/form';
import { say } from '../words';

const unreached: Refused = {
  code: 'web.unreached',
  at: '',
  what: say('page.not_answering'),
  do_this: say('phone.ask_again'),
};

export interface Answering<T> {
  busy: boolean;
  answer: T | null;
  refused: Refused | null;
  ask: (body: unknown) => Promise<void>;
  clear: () => void;
  /** What is wrong with a field, by its name in the request; of a field in a list, its name there. */
  wrong: (name: string) => string | undefined;
}

/** `said`: what is typed in, a new value with each change. An answer is about what was said when it was asked for, and goes with it (H53, H55). */
export function useAnswer<T>(path: string, said: unknown): Answering<T> {
  const nothing = { busy: false, answer: null, refused: null, about: null };
  const [state, setState] = useState<{ busy: boolean; answer: T | null; refused: Refused | null; about: unknown }>(nothing);
  const latest = useRef(said);
  latest.current = said;
  const asking = useRef<unknown>(null);
  const at = fieldOf(state.refused).replace(/^\/(\w+\/\d+\/)?/, '');
  const ask = async (body: unknown): Promise<void> => {
    const about = latest.current;
    if (state.busy && asking.current === about) return; // on its way already
    asking.current = about;
    setState({ ...nothing, busy: true });
    const reply = await post<T>(path, body);
    if (asking.current !== about) return; // something else was said and asked about since
    if (reply.kind === 'ok') setState({ ...nothing, answer: reply.value, about });
    else if (reply.kind === 'unreached') setState({ ...nothing, refused: unreached });
    else setState({ ...nothing, refused: reply.kind === 'ask' ? null : reply.refused });
  };
  const wrong = (name: string): string | undefined => (at === name ? state.refused?.what : undefined);
  return { ...state, answer: state.about === said ? state.answer : null, ask, clear: () => setState(nothing), wrong };
}
