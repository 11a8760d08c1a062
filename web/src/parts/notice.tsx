import type { JSX } from 'preact';
import type { Notice } from '../model';
import { capital, Words } from './text';

export function NoticeSay({ notice }: { notice: Notice }): JSX.Element {
  const word = capital(notice.level_word || notice.level);
  return (
    <div class={`say ${notice.level}`}>
      <p>
        <b class="lvl">{word.endsWith('.') ? word : `${word}.`}</b>
        <Words text={notice.text} />
      </p>
    </div>
  );
}

export function Notices({ notices, class: name = 'notices' }: { notices: Notice[]; class?: string }): JSX.Element | null {
  if (notices.length === 0) return null;
  return (
    <div class={name}>
      {notices.map((notice) => (
        <NoticeSay notice={notice} />
      ))}
    </div>
  );
}
