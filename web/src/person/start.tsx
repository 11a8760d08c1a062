// A new start on every page of the person: what is done of it, and where the next step is.
import type { JSX } from 'preact';
import type { Start } from '../model';
import { Words } from '../parts/text';
import { say } from '../words';

export function StartSteps({ start }: { start: Start }): JSX.Element {
  const next = start.steps.findIndex(({ done }) => !done);
  const isHere = location.pathname + location.search === start.href || location.pathname === start.href;
  return (
    <section class="start scr" aria-label={say('start.steps')}>
      <p>
        <Words text={start.title} />
      </p>
      <ol>
        {start.steps.map(({ text, done }, at) => (
          <li key={text} class={done ? 'done' : undefined} aria-current={at === next ? 'step' : undefined}>
            {text}
            {done && <span class="vh"> ({say('start.done')})</span>}
          </li>
        ))}
      </ol>
      {!isHere && (
        <a class="act first" href={start.href}>
          {start.label}
        </a>
      )}
    </section>
  );
}
