// Real paths, one at a time. A page is a function of its path; leaving one with unsaved typing asks first.
import { useEffect, useState } from 'preact/hooks';
import { say } from './words';

export interface Place {
  path: string;
  query: URLSearchParams;
  visit: number;
}

let visit = 0;
const read = (): Place => ({ path: location.pathname, query: new URLSearchParams(location.search), visit });

let here = location.pathname + location.search;

type Listener = (place: Place) => void;
const listeners = new Set<Listener>();
const guards = new Map<() => boolean, string>();

/** While `unsaved` says yes, leaving the page asks `question`: each of several on a page has its say. Returns the way to lift it. */
export function guardLeaving(unsaved: () => boolean, question = say('page.leave')): () => void {
  guards.set(unsaved, question);
  const onUnload = (event: BeforeUnloadEvent): void => {
    if (unsaved()) event.preventDefault();
  };
  addEventListener('beforeunload', onUnload);
  return () => {
    guards.delete(unsaved);
    removeEventListener('beforeunload', onUnload);
  };
}

function mayLeave(): boolean {
  const owed = [...guards].find(([unsaved]) => unsaved());
  return owed === undefined || confirm(owed[1]);
}

function onPop(): void {
  if (location.pathname + location.search === here) return; // only the place on the page changed: the skip link
  if (!mayLeave()) {
    history.pushState(null, '', here);
    return;
  }
  guards.clear();
  arrive();
}

function arrive(): void {
  visit += 1;
  here = location.pathname + location.search;
  const place = read();
  for (const listener of listeners) listener(place);
}

export function go(href: string, how: 'push' | 'replace' = 'push'): void {
  if (how === 'push' && !mayLeave()) return;
  guards.clear();
  history[how === 'push' ? 'pushState' : 'replaceState'](null, '', href);
  arrive();
  scrollTo(0, 0);
}

/** What a form puts into `then`, so that it leads back to where it was opened from: a place of ours. Anything else: null. */
export function placeOf(then: string | null): string | null {
  return then !== null && /^\/(?!\/)/.test(then) ? then : null;
}

/** `href`, which is to lead back to `place` once what it is for is done. */
export const withThen = (href: string, place: string): string =>
  `${href}${href.includes('?') ? '&' : '?'}${new URLSearchParams({ then: place }).toString()}`;

/** Changes the query without being a new visit: a search while one types. */
export function setQuery(query: URLSearchParams): void {
  const text = query.toString();
  history.replaceState(null, '', text === '' ? location.pathname : `${location.pathname}?${text}`);
  here = location.pathname + location.search;
}

function onClick(event: MouseEvent): void {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const link = event.target instanceof Element ? event.target.closest('a') : null;
  if (!link || link.target || link.hasAttribute('download') || link.origin !== location.origin) return;
  if (link.pathname.startsWith('/api/')) return;
  if (link.hash !== '' && link.pathname === location.pathname) return;
  event.preventDefault();
  go(link.pathname + link.search + link.hash);
}

export function usePlace(): Place {
  const [place, setPlace] = useState(read);
  useEffect(() => {
    listeners.add(setPlace);
    document.addEventListener('click', onClick);
    addEventListener('popstate', onPop);
    return () => {
      listeners.delete(setPlace);
      document.removeEventListener('click', onClick);
      removeEventListener('popstate', onPop);
    };
  }, []);
  return place;
}

/** "/people/:id/journal" against a path: the named parts, or null. */
export function match(pattern: string, path: string): Record<string, string> | null {
  const want = pattern.split('/');
  const have = path.replace(/(.)\/$/, '$1').split('/');
  if (want.length !== have.length) return null;
  const found: Record<string, string> = {};
  for (const [at, part] of want.entries()) {
    const value = have[at] ?? '';
    if (part.startsWith(':')) found[part.slice(1)] = value;
    else if (part !== value) return null;
  }
  return found;
}
