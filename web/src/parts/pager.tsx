import type { JSX } from 'preact';
import { Said, say } from '../words';

/** Page after page; the numbers are the server's. `said`: the page says itself which of how many it is. `ends`: the first and the last page by name. */
export function Pager({
  page,
  pages,
  href,
  back,
  on,
  said = false,
  ends,
}: {
  page: number;
  pages: number;
  href: (page: number) => string;
  back: string;
  on: string;
  said?: boolean;
  ends?: [first: string, last: string];
}): JSX.Element | null {
  if (pages <= 1) return null;
  return (
    <nav class="pager scr" aria-label={say('page.list_pages')}>
      <p class="btns">
        {ends && page > 2 && (
          <a class="act plain" href={href(1)}>
            {ends[0]}
          </a>
        )}
        {page > 1 && (
          <a class="act" href={href(page - 1)} rel="prev">
            {back}
          </a>
        )}
      </p>
      {!said && (
        <p>
          <Said of="page.of_pages" page={page} pages={pages} />
        </p>
      )}
      <p class="btns">
        {page < pages && (
          <a class="act" href={href(page + 1)} rel="next">
            {on}
          </a>
        )}
        {ends && page < pages - 1 && (
          <a class="act plain" href={href(pages)}>
            {ends[1]}
          </a>
        )}
      </p>
    </nav>
  );
}
