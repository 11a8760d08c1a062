// A part of a page that an address names behind "#". It comes into sight once it is there: what a page is about is fetched first.
import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

export function useAnchor<E extends HTMLElement = HTMLElement>(id: string): { id: string; ref: RefObject<E | null>; tabIndex: number } {
  const ref = useRef<E>(null);
  useEffect(() => {
    if (location.hash !== `#${id}`) return;
    ref.current?.scrollIntoView();
    ref.current?.focus({ preventScroll: true });
  }, []);
  return { id, ref, tabIndex: -1 };
}
