import type { JSX } from 'preact';

/** Page after page; the numbers are the server's. */
export function Pager({
  page,
  pages,
  href,
  back,
  on,
}: {
  page: number;
  pages: number;
  href: (page: number) => string;
  back: string;
  on: string;
}): JSX.Element | null {
  if (pages <= 1) return null;
  return (
    <nav class="pager scr" aria-label="Pages of the list">
      {page > 1 ? (
        <a class="act" href={href(page - 1)} rel="prev">
          {back}
        </a>
      ) : (
        <span />
      )}
      <p>
        page <b>{page}</b> of <b>{pages}</b>
      </p>
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
