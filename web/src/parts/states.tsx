// The states between: waiting, refused, unreachable, empty.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Refused } from '../api';
import type { Doc } from '../document';
import type { Empty, OverEverybody } from '../model';
import { Picture, Words } from './text';

/** The outline of a page, only when waiting becomes noticeable. */
export function Waiting(): JSX.Element | null {
  const [shown, setShown] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setShown(true), 300);
    return () => clearTimeout(timer);
  }, []);
  // Printed too early, a page says what is missing instead of an empty heading.
  const onPaper = <p class="paper-only">Not loaded yet when this was printed. Print it again.</p>;
  if (!shown) return onPaper;
  return (
    <div class="waiting" role="status">
      {onPaper}
      <span class="vh">Loading</span>
      <i class="w1" />
      <i class="w2" />
      <i class="w3" />
      <i class="w3" />
    </div>
  );
}

/** An incident: nobody refused anything, the program is at fault. */
const isFault = ({ code }: Refused): boolean => code.startsWith('desk.incident');

export function RefusedSay({ refused, changedNothing = true }: { refused: Refused; changedNothing?: boolean }): JSX.Element {
  return (
    <div class="refusal">
      <div class="say stop">
        <p>
          <b class="lvl">{isFault(refused) ? 'A fault of the program.' : 'Refused.'}</b>
          {changedNothing ? 'Nothing was changed.' : ''}
        </p>
      </div>
      <dl class="ref">
        <dt>What</dt>
        <dd>{refused.what}</dd>
        <dt>Do this</dt>
        <dd>
          <b>{refused.do_this}</b>
        </dd>
      </dl>
    </div>
  );
}

/** A refusal inside a page's section: the rest of the page stands. */
export function RefusedIn({ what, doThis, word }: { what: string; doThis: string; word: string }): JSX.Element {
  return (
    <div class="refusal">
      <div class="say stop">
        <p>
          <b class="lvl">{word}</b>
          {what}
        </p>
      </div>
      <p class="after">
        <b>{doThis}</b>
      </p>
    </div>
  );
}

export function Unreached({ again }: { again: () => void }): JSX.Element {
  return (
    <div class="refusal" role="alert">
      <div class="say caution">
        <p>
          <b class="lvl">Caution.</b>Penstock does not answer. This page cannot be shown until it does.
        </p>
      </div>
      <p class="soft after">Is the program still running on this machine? What was recorded before is on disk.</p>
      <p>
        <button type="button" class="act" onClick={again}>
          Try again
        </button>
      </p>
    </div>
  );
}

export function EmptyState({ empty }: { empty: Empty }): JSX.Element {
  return (
    <div class="empty">
      <Picture svg={empty.picture} />
      <p>
        <b>{empty.title}</b> <Words text={empty.text} />
      </p>
      {empty.action && (
        <p class="acts1">
          <a class="act" href={empty.action.href}>
            {empty.action.label}
          </a>
        </p>
      )}
    </div>
  );
}

/** Who is missing on a page over everybody: their records could not be worked out. */
export function LeftOut({ doc }: { doc: OverEverybody }): JSX.Element | null {
  const said = doc.left_out ?? '';
  return said === '' ? null : (
    <div class="say stop top" role="alert">
      <p>
        <b class="lvl">Incomplete.</b>
        {said}
      </p>
    </div>
  );
}

/** Shows the document, or the state that stands for it. `quiet`: another document on the page says already that it is not fresh. */
export function Shown<T>({
  of,
  quiet = false,
  children,
}: {
  of: Doc<T>;
  quiet?: boolean;
  children: (doc: T) => ComponentChildren;
}): JSX.Element {
  if (of.doc !== null) {
    return (
      <>
        {of.stale && !quiet && (
          <div class="say caution top" role="alert">
            <p>
              <b class="lvl">Not fresh.</b>Penstock does not answer; this page is as it was before.{' '}
              <button type="button" class="act plain" onClick={() => void of.reload()}>
                Try again
              </button>
            </p>
          </div>
        )}
        <LeftOut doc={of.doc as OverEverybody} />
        {children(of.doc)}
      </>
    );
  }
  if (of.refused) {
    return (
      <div class="apart">
        <h1 class="headline">{isFault(of.refused) ? 'This page cannot be shown' : 'Not to be shown'}</h1>
        <RefusedSay refused={of.refused} changedNothing={false} />
        <p class="acts1">
          <a class="act" href="/people">
            People
          </a>
        </p>
      </div>
    );
  }
  if (of.unreached) {
    return (
      <div class="apart">
        <h1 class="headline">No answer</h1>
        <Unreached again={() => void of.reload()} />
      </div>
    );
  }
  return <Waiting />;
}

/** The same for a section of a page that has loaded already: its own waiting, its own failure, under its own heading. */
export function ShownIn<T>({ of, title, children }: { of: Doc<T>; title: string; children: (doc: T) => ComponentChildren }): JSX.Element {
  if (of.doc !== null) return <>{children(of.doc)}</>;
  return (
    <section class="sec">
      <header>
        <h2>{title}</h2>
      </header>
      {of.refused ? (
        <RefusedIn
          what={of.refused.what}
          doThis={of.refused.do_this}
          word={isFault(of.refused) ? 'A fault of the program.' : 'Not to be shown.'}
        />
      ) : of.unreached ? (
        <Unreached again={() => void of.reload()} />
      ) : (
        <Waiting />
      )}
    </section>
  );
}
