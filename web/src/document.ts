// A page document: fetched, kept fresh, never shown under another page's name.
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { get, getAgain, type Refused } from './api';
import { ageFromNow, untilNextMinute } from './clock';
import type { Versioned } from './model';

export interface Doc<T> {
  doc: T | null;
  refused: Refused | null;
  unreached: boolean;
  /** Older than the last attempt to refresh it: the server could not be reached. */
  stale: boolean;
  reload: () => Promise<void>;
  /** Milliseconds since the server was asked for what is shown; without end where the last attempt brought nothing. */
  age: () => number;
}

/** `tag`: of the document, empty while there is none. */
interface Held<T> {
  path: string;
  doc: T | null;
  tag: string;
  refused: Refused | null;
  unreached: boolean;
}

/** Not while somebody answers a question about what stands behind it: the version they saw is the one they mean (H20). */
const mayRefresh = (): boolean => document.visibilityState === 'visible' && document.querySelector('dialog[open]') === null;

const unheard = (): number => Infinity;

/** What stays the same as long as this page is loaded, by its path: asked for once. */
const forGood = new Map<string, unknown>();

function nothingYet<T>(path: string): Held<T> {
  const doc = (forGood.get(path) as T | undefined) ?? null;
  return { path, doc, tag: '', refused: null, unreached: false };
}

/** `path`: empty while there is nothing to ask for. */
export function useDocument<T>(path: string, options: { everyMinute?: boolean; once?: boolean } = {}): Doc<T> {
  const [held, setHeld] = useState<Held<T>>(() => nothingYet(path));
  const turn = useRef(0);
  const answered = useRef(unheard);
  const age = useCallback((): number => answered.current(), []);
  const here = useRef(held);
  here.current = held;
  const reload = useCallback(async (): Promise<void> => {
    if (path === '') return;
    const mine = ++turn.current;
    const { path: of, tag } = here.current;
    const sinceAsked = ageFromNow();
    const reply = await (of === path && tag !== '' ? getAgain<T>(path, tag) : get<T>(path));
    if (options.once === true && reply.kind === 'ok') forGood.set(path, reply.value);
    if (mine !== turn.current) return; // an older answer never overwrites a newer one
    answered.current = reply.kind === 'ok' || reply.kind === 'same' ? sinceAsked : unheard;
    setHeld((before) => {
      const kept = before.path === path ? before.doc : null;
      if (reply.kind === 'same') return before.unreached ? { ...before, unreached: false } : before;
      if (reply.kind === 'ok') return { path, doc: reply.value, tag: reply.tag, refused: null, unreached: false };
      if (reply.kind === 'refused' || reply.kind === 'conflict')
        return { path, doc: null, tag: '', refused: reply.refused, unreached: false };
      return { path, doc: kept, tag: kept === null ? '' : before.tag, refused: null, unreached: true };
    });
  }, [path]);

  useEffect(() => {
    if (!forGood.has(path)) void reload();
    return () => {
      turn.current += 1;
    };
  }, [reload]);

  useEffect(() => {
    if (options.everyMinute !== true) return;
    let timer = 0;
    const plan = (): void => {
      timer = window.setTimeout(() => {
        if (mayRefresh()) void reload();
        plan();
      }, untilNextMinute());
    };
    const onSight = (): void => {
      if (mayRefresh()) void reload();
    };
    plan();
    document.addEventListener('visibilitychange', onSight);
    return () => {
      clearTimeout(timer);
      document.removeEventListener('visibilitychange', onSight);
    };
  }, [reload, options.everyMinute]);

  const current = held.path === path ? held : nothingYet<T>(path);
  return {
    doc: current.doc,
    refused: current.refused,
    unreached: current.unreached,
    stale: current.unreached && current.doc !== null,
    reload,
    age,
  };
}

/** An injection, a correction, somebody else's entry: the person's version moves, and what was loaded beside the person is read again. */
export function useFresh(doc: Doc<Versioned>, version: number): void {
  useEffect(() => {
    if (doc.doc && doc.doc.version !== version) void doc.reload();
  }, [version, doc.doc?.version]);
}
