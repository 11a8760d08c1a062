// The window's title, and the focus that goes to the page's heading when one arrives.
import { useEffect } from 'preact/hooks';
import { say } from '../words';

let firstPage = true;

export function useTitle(title: string, ready = true): void {
  useEffect(() => {
    document.title = say('page.title', { title });
  }, [title]);
  useEffect(() => {
    if (!ready) return;
    if (firstPage) {
      firstPage = false; // the browser's own start of a page is left alone
      return;
    }
    if (document.activeElement?.closest('main .form')) return; // the form that arrived begins at a field of its own
    if (document.activeElement?.id && location.hash === `#${document.activeElement.id}`) return; // so does a part that the address names
    const heading = document.querySelector<HTMLElement>('main h1');
    if (!heading) return;
    if (!heading.hasAttribute('tabindex')) heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
  }, [ready]);
}
