import type { JSX } from 'preact';

const tabs = [
  ['Dose', '/phone'],
  ['Reach', '/phone?about=reach'],
  ['Heat', '/phone?about=heat'],
] as const;

/** The phone desk's three questions. */
export const PhoneTabs = ({ current }: { current: (typeof tabs)[number][0] }): JSX.Element => (
  <nav class="tabs" aria-label="Phone desk">
    {tabs.map(([name, href]) => (
      <a href={href} aria-current={name === current ? 'page' : undefined}>
        {name}
      </a>
    ))}
  </nav>
);
