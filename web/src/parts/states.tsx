// The states between: waiting, refused, unreachable, empty.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Refused } from '../api';
import type { Doc } from '../document';
import type { Empty, OverEverybody } from '../model';
import { Picture, Say, Words } from './text';
import { say } from '../words';

/** The outline of a page, only when waiting becomes noticeable. */
export function Waiting(): JSX.Element | null {
  const [shown, setShown] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setShown(true), 300);
    return () => clearTimeout(timer);
  }, []);
  // Printed too early, a page says what is missing instead of an empty heading.
  const onPaper = <p class="paper-only">{say('page.printed_early')}</p>;
  if (!shown) return onPaper;
  return (
    <div class="waiting" role="status">
      {onPaper}
      <span class="vh">{say('page.loading')}</span>
      <i class="w1" />
      <i class="w2" />
      <i class="w3" />
      <i class="w3" />
    </div>
  );
}

/** An incident: nobody refused anything, the program is at fault. */
const isFault = ({ code }: Refused): boolean => code.startsWith('desk.incident');

/** A second check that differs from the copy: the reading is recorded, so "refused" and "nothing was changed" would both be untrue (H60). */
const isReading = ({ code }: Refused): boolean => code.startsWith('order.check_') && code !== 'order.check_blind';

export function RefusedSay({ refused, changedNothing = true }: { refused: Refused; changedNothing?: boolean }): JSX.Element {
  const word = isFault(refused) ? 'page.fault' : isReading(refused) ? 'page.not_checked' : 'page.refused';
  return (
    <div class="refusal">
      <Say level="stop" word={say(word)}>
        {changedNothing && !isReading(refused) ? say('page.nothing_changed') : ''}
      </Say>
      <dl class="ref">
        <dt>{say('page.reason')}</dt>
        <dd>{refused.what}</dd>
        <dt>{say('page.do_this')}</dt>
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
      <Say level="stop" word={word}>
        {what}
      </Say>
      <p class="after">
        <b>{doThis}</b>
      </p>
    </div>
  );
}

export function Unreached({ again }: { again: () => void }): JSX.Element {
  return (
    <div class="refusal" role="alert">
      <Say level="caution" word={say('page.caution')}>
        {say('page.unreached')}
      </Say>
      <p class="soft after">{say('page.unreached_do')}</p>
      <p>
        <button type="button" class="act" onClick={again}>
          {say('form.retry')}
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
        <b class="lvl">{say('page.incomplete')}.</b>
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
              <b class="lvl">{say('page.stale')}.</b>
              {say('page.stale_what')}{' '}
              <button type="button" class="act plain" onClick={() => void of.reload()}>
                {say('form.retry')}
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
        <h1 class="headline">{say('page.not_shown')}</h1>
        <RefusedSay refused={of.refused} changedNothing={false} />
        <p class="acts1">
          <a class="act" href="/people">
            {say('nav.people')}
          </a>
        </p>
      </div>
    );
  }
  if (of.unreached) {
    return (
      <div class="apart">
        <h1 class="headline">{say('page.no_answer')}</h1>
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
          word={say(isFault(of.refused) ? 'page.fault' : 'page.part_not_shown')}
        />
      ) : of.unreached ? (
        <Unreached again={() => void of.reload()} />
      ) : (
        <Waiting />
      )}
    </section>
  );
}
