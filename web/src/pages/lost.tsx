import type { JSX } from 'preact';
import { useTitle } from '../parts/title';

export function LostPage(): JSX.Element {
  useTitle('No such page');
  return (
    <div class="apart">
      <h1 class="headline" tabIndex={-1}>
        No such page.
      </h1>
      <p>The address leads nowhere. Nothing was changed.</p>
      <p class="acts1">
        <a class="act" href="/">
          Today
        </a>{' '}
        <a class="act" href="/people">
          People
        </a>
      </p>
    </div>
  );
}
