import type { JSX } from 'preact';

/** Page after page; the numbers are the server's. */
export function Pager({ page, pages, href }: { page: number; pages: number; href: (page: number) => string }): JSX.Element | null {
  if (pages <= 1) return null;
  return (
    <nav class="pager scr" aria-label="Pages of the list">
      {page > 1 ? <a class="act" href={href(page - 1)} rel="prev">Newer</a> : <span />}
      <p>page <b>{page}</b> of <b>{pages}</b></p>
      {page < pages ? <a class="act" href={href(page + 1)} rel="next">Older</a> : <span />}
    </nav>
  );
}
