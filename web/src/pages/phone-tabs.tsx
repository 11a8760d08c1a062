import type { JSX } from 'preact';
import { say } from '../words';

const tabs = [
  ['order.dose', '/phone'],
  ['skin.depth', '/phone?about=reach'],
  ['phone.heat', '/phone?about=heat'],
] as const;

/** The phone desk's three questions. */
export const PhoneTabs = ({ current }: { current: (typeof tabs)[number][0] }): JSX.Element => (
  <nav class="tabs" aria-label={say('nav.phone')}>
    {tabs.map(([name, href]) => (
      <a href={href} aria-current={name === current ? 'page' : undefined}>
        {say(name)}
      </a>
    ))}
  </nav>
);
