import type { JSX } from 'preact';
import { useTitle } from '../parts/title';
import { say } from '../words';

export function LostPage(): JSX.Element {
  useTitle(say('lost.title'));
  return (
    <div class="apart">
      <h1 class="headline" tabIndex={-1}>
        {say('lost.title')}
      </h1>
      <p>{say('lost.text')}</p>
      <p class="acts1">
        <a class="act" href="/">
          {say('nav.today')}
        </a>{' '}
        <a class="act" href="/people">
          {say('nav.people')}
        </a>
      </p>
    </div>
  );
}
