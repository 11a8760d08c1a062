import type { JSX } from 'preact';
import { Said, say } from '../words';

/** Page after page; the numbers are the server's. `said`: the page says itself which of how many it is. */
export function Pager({
  page,
  pages,
  href,
  back,
  on,
  said = false,
}: {
  page: number;
  pages: number;
  href: (page: number) => string;
  back: string;
  on: string;
  said?: boolean;
}): JSX.Element | null {
  if (pages <= 1) return null;
  return (
    <nav class="pager scr" aria-label={say('page.list_pages')}>
      {page > 1 ? (
        <a class="act" href={href(page - 1)} rel="prev">
          {back}
        </a>
      ) : (
        <span />
      )}
      {!said && (
        <p>
          <Said of="page.of_pages" page={page} pages={pages} />
        </p>
      )}
      {page < pages ? (
        <a class="act" href={href(page + 1)} rel="next">
          {on}
        </a>
      ) : (
        <span />
      )}
    </nav>
  );
}
