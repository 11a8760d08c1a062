// What became of a press: a quiet receipt, a question, a refusal, both sides of a conflict, or plainly "not saved".
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Attempt, Outcome, Recorder } from '../recorder';
import type { JournalRow } from '../model';
import { Dialog } from './dialog';
import { RefusedSay } from './states';
import { Words } from './text';
import { say } from '../words';

const receipt_ms = 6000; // long enough to read twice, short enough not to be taken for the next one

/** Said aloud by screen readers and shown at the head of the window, over nothing that can be pressed. */
export function Receipt({ outcome, close }: { outcome: Outcome; close: () => void }): JSX.Element {
  const recorded = outcome.kind === 'recorded' ? outcome : null;
  useEffect(() => {
    if (!recorded) return;
    const timer = setTimeout(close, receipt_ms);
    return () => clearTimeout(timer);
  }, [recorded]);
  const twice = recorded !== null && recorded.recorded.recorded.length === 0;
  return (
    <div class="receipt" role="status" aria-live="polite">
      {recorded && (
        <p>
          <b>{twice ? 'Recorded already.' : 'Recorded.'}</b> {recorded.attempt.label}
          {twice ? ': nothing was written twice.' : ''}
        </p>
      )}
    </div>
  );
}

function Wanted({ attempt }: { attempt: Attempt }): JSX.Element {
  return (
    <>
      <p>
        <b>{attempt.label}</b>
      </p>
      {attempt.wanted.length > 0 && (
        <dl class="ref">
          {attempt.wanted.map(([label, value]) => (
            <>
              <dt>{label}</dt>
              <dd>{value === '' ? 'nothing' : value}</dd>
            </>
          ))}
        </dl>
      )}
    </>
  );
}

export function BothSides({ attempt, changed }: { attempt: Attempt; changed: JournalRow[] }): JSX.Element {
  return (
    <div class="sides">
      <section>
        <h3>Written in between</h3>
        {changed.length === 0 ? (
          <p class="soft">The journal holds it; the page behind this is loaded again.</p>
        ) : (
          <ul>
            {changed.map((row) => (
              <li key={row.id}>
                <Words text={row.sentence} />{' '}
                <span class="soft small">
                  {row.when_text}, {row.by_text}
                </span>
              </li>
            ))}
          </ul>
        )}
      </section>
      <section>
        <h3>What you wanted</h3>
        <Wanted attempt={attempt} />
      </section>
    </div>
  );
}

type Of<K extends Outcome['kind']> = { outcome: Extract<Outcome, { kind: K }>; recorder: Recorder };

const Leave = ({ recorder }: { recorder: Recorder }): JSX.Element => (
  <button type="button" class="act" onClick={recorder.close} disabled={recorder.busy}>
    {say('form.cancel')}
  </button>
);

function Odd({ outcome, recorder }: Of<'ask'>): JSX.Element {
  return (
    <Dialog title="Is that so?" close={recorder.close}>
      <div class="say caution">
        <p>
          <b class="lvl">Odd.</b>
          {outcome.ask.what}
        </p>
      </div>
      <p class="after">{outcome.ask.do_this}</p>
      <p class="btns">
        <button type="button" class="act" onClick={() => void recorder.again('confirmed')}>
          Yes, record it
        </button>
        <Leave recorder={recorder} />
      </p>
    </Dialog>
  );
}

function NotTaken({ outcome, recorder }: Of<'refused'>): JSX.Element {
  return (
    <Dialog title={outcome.attempt.label} close={recorder.close}>
      <RefusedSay refused={outcome.refused} />
      <p class="btns">
        <button type="button" class="act" onClick={recorder.close}>
          Close
        </button>
      </p>
    </Dialog>
  );
}

function WrittenBetween({ outcome, recorder }: Of<'conflict'>): JSX.Element {
  return (
    <Dialog title="Somebody wrote in between" close={recorder.close} wide>
      <div class="say stop">
        <p>
          <b class="lvl">Not recorded.</b>
          {outcome.refused.what}
        </p>
      </div>
      <p class="after">{outcome.refused.do_this}</p>
      <BothSides attempt={outcome.attempt} changed={outcome.changed} />
      <p class="btns">
        <button type="button" class="act" onClick={() => void recorder.again('also mine')}>
          Record mine as well
        </button>
        <Leave recorder={recorder} />
      </p>
    </Dialog>
  );
}

function NotSaved({ outcome, recorder }: Of<'unreached'>): JSX.Element {
  return (
    <Dialog title="Not saved" close={recorder.close}>
      <div class="say stop">
        <p>
          <b class="lvl">Not saved.</b>Penstock did not answer, so this may not be on disk.
        </p>
      </div>
      <p class="after">Try again: if it did arrive, it is not written a second time.</p>
      <Wanted attempt={outcome.attempt} />
      <p class="btns">
        <button type="button" class="act" onClick={() => void recorder.again('retry')}>
          Try again
        </button>
        <Leave recorder={recorder} />
      </p>
    </Dialog>
  );
}

/** The dialog that an outcome needs, if any. */
export function OutcomeDialog({ recorder }: { recorder: Recorder }): JSX.Element | null {
  const { outcome } = recorder;
  switch (outcome.kind) {
    case 'ask':
      return <Odd outcome={outcome} recorder={recorder} />;
    case 'refused':
      return outcome.attempt.inForm ? null : <NotTaken outcome={outcome} recorder={recorder} />;
    case 'conflict':
      return <WrittenBetween outcome={outcome} recorder={recorder} />;
    case 'unreached':
      return <NotSaved outcome={outcome} recorder={recorder} />;
    default:
      return null;
  }
}
