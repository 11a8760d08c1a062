// What each form of the phone desk does: ask, wait, show the answer or why there is none. Nothing is recorded by asking.
import { useEffect, useRef, useState } from 'preact/hooks';
import { post, type Refused } from '../api';
import { ageFromNow } from '../clock';
import { fieldOf } from '../parts/form';
import { say } from '../words';

const unreached: Refused = {
  code: 'web.unreached',
  at: '',
  what: say('page.not_answering'),
  do_this: say('phone.ask_again'),
};

/** Why an answer is not to be acted on any more: what it rests on has changed, or it was given too long ago. */
export type Gone = 'changed' | 'old';

const lasts_ms = 600_000; // what a caller said ten minutes ago may no longer be so
const look_ms = 15_000;

/** What an answer rests on besides what was said. An answer that rests on something grows old. */
export interface Ground {
  /** As it is known here now. */
  of: string;
  /** Looks at it once more, before the question is asked. */
  freshen: () => Promise<void>;
}

export interface Answering<T> {
  busy: boolean;
  answer: T | null;
  /** The answer that was given is not to be shown. */
  gone: Gone | null;
  refused: Refused | null;
  /** Gives back what it sets, or null where there is none, or something else was asked since. */
  ask: (body: unknown) => Promise<T | null>;
  clear: () => void;
  /** What is wrong with a field, by its name in the request; of a field in a list, its name there. */
  wrong: (name: string) => string | undefined;
}

interface State<T> {
  busy: boolean;
  answer: T | null;
  refused: Refused | null;
  about: unknown;
  ground: string;
}

/** True once so long has passed since `answer` came. */
function useIsOld(answer: unknown, ages: boolean): boolean {
  const [old, setOld] = useState<unknown>(null);
  useEffect(() => {
    if (answer === null || !ages) return;
    const age = ageFromNow();
    const look = (): void => {
      if (age() >= lasts_ms) setOld(answer);
    };
    const timer = setInterval(look, look_ms);
    document.addEventListener('visibilitychange', look);
    return () => {
      clearInterval(timer);
      document.removeEventListener('visibilitychange', look);
    };
  }, [answer, ages]);
  return answer !== null && old === answer;
}

/** `said`: what is typed in, a new value with each change. An answer is about what was said when it was asked for, and goes with it (H53, H55). */
export function useAnswer<T>(path: string, said: unknown, ground?: Ground): Answering<T> {
  const nothing: State<T> = { busy: false, answer: null, refused: null, about: null, ground: '' };
  const [state, setState] = useState(nothing);
  const latest = useRef(said);
  latest.current = said;
  const groundNow = useRef(ground);
  groundNow.current = ground;
  const asking = useRef<unknown>(null);
  const isOld = useIsOld(state.answer, ground !== undefined);
  const at = fieldOf(state.refused).replace(/^\/(\w+\/\d+\/)?/, '');
  const ask = async (body: unknown): Promise<T | null> => {
    const about = latest.current;
    if (state.busy && asking.current === about) return null; // on its way already
    asking.current = about;
    setState({ ...nothing, busy: true });
    await groundNow.current?.freshen();
    const restsOn = groundNow.current?.of ?? ''; // before it is asked: what changes on the way takes the answer back
    const reply = await post<T>(path, body);
    if (asking.current !== about) return null; // something else was said and asked about since
    if (reply.kind === 'ok') setState({ ...nothing, answer: reply.value, about, ground: restsOn });
    else if (reply.kind === 'unreached') setState({ ...nothing, refused: unreached });
    else setState({ ...nothing, refused: reply.kind === 'ask' ? null : reply.refused });
    return reply.kind === 'ok' ? reply.value : null;
  };
  const wrong = (name: string): string | undefined => (at === name ? state.refused?.what : undefined);
  const answer = state.about === said ? state.answer : null;
  const gone = answer === null ? null : state.ground !== (ground?.of ?? '') ? 'changed' : isOld ? 'old' : null;
  return { busy: state.busy, refused: state.refused, answer, gone, ask, clear: () => setState(nothing), wrong };
}
