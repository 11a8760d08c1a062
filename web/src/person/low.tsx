import type { JSX } from 'preact';
import type { Low } from '../model';
import { Words } from '../parts/text';

/** Beside every dose, on screen and on paper (H10, H35). */
export const LowBox = ({ low }: { low: Low }): JSX.Element => (
  <aside class="low" aria-label={low.title}>
    <b class="q">{low.title}</b>
    <p>
      <Words text={low.text} />
    </p>
  </aside>
);
