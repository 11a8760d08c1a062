// What became of a press: a quiet receipt, a question, a refusal, both sides of a conflict, or plainly "not saved".
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Attempt, Outcome, Recorder } from '../recorder';
import type { JournalRow } from '../model';
import { Dialog } from './dialog';
import { RefusedSay } from './states';
import { Say, Words } from './text';
import { Said, say } from '../words';

const receipt_ms = 10_000; // long enough to look up from a person and read it twice, short enough not to be taken for the next one

type Recorded = Extract<Outcome, { kind: 'recorded' }>;

function RecordedSay({ outcome }: { outcome: Recorded }): JSX.Element {
  const twice = outcome.recorded.recorded.length === 0;
  return (
    <p>
      <Said of={twice ? 'outcome.twice' : 'outcome.recorded'} label={outcome.attempt.label} />
    </p>
  );
}

let carry: (outcome: Recorded | null) => void = () => undefined;
/** A form that leads to another page once it is recorded: it is said there. */
export const sayOnArrival = (outcome: Recorded): void => carry(outcome);

/** Stands beside the pages and outlives them. */
export function CarriedReceipt(): JSX.Element {
  const [outcome, setOutcome] = useState<Recorded | null>(null);
  useEffect(() => {
    carry = setOutcome;
  }, []);
  useEffect(() => {
    if (!outcome) return;
    const timer = setTimeout(() => setOutcome(null), receipt_ms);
    return () => clearTimeout(timer);
  }, [outcome]);
  return (
    <div class="carried" role="status" aria-live="polite">
      {outcome && <RecordedSay outcome={outcome} />}
    </div>
  );
}

/** Said aloud by screen readers and shown at the head of the window, over nothing that can be pressed. */
export function Receipt({ recorder }: { recorder: Recorder }): JSX.Element {
  const { outcome, unheard, close } = recorder;
  const recorded = outcome.kind === 'recorded' ? outcome : null;
  useEffect(() => {
    if (!recorded && !(unheard && outcome.kind === 'idle')) return;
    if (!recorded?.attempt.inForm) carry(null); // what a form recorded before is not said over it
    const timer = setTimeout(close, receipt_ms);
    return () => clearTimeout(timer);
  }, [recorded, unheard]);
  return (
    <div class="receipt" role="status" aria-live="polite">
      {recorded && <RecordedSay outcome={recorded} />}
      {unheard && (
        <p>
          <Said of={unheard.why === 'busy' ? 'outcome.busy' : 'outcome.double'} label={unheard.label} />
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
              <dd>{value === '' ? say('outcome.left_empty') : value}</dd>
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
        <h3>{say('outcome.between')}</h3>
        {changed.length === 0 ? (
          <p class="soft">{say('outcome.between_elsewhere')}</p>
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
        <h3>{say('outcome.yours')}</h3>
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
    <Dialog title={say('outcome.check')} close={recorder.close}>
      <Say level="caution" word={say('outcome.unusual')}>
        {outcome.ask.what}
      </Say>
      <p class="after">{outcome.ask.do_this}</p>
      <p class="btns">
        <button type="button" class="act" onClick={() => void recorder.again('confirmed')}>
          {say('outcome.confirm')}
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
          {say('form.close')}
        </button>
      </p>
    </Dialog>
  );
}

function WrittenBetween({ outcome, recorder }: Of<'conflict'>): JSX.Element {
  return (
    <Dialog title={say('outcome.conflict')} close={recorder.close} wide>
      <Say level="stop" word={say('outcome.not_recorded')}>
        {outcome.refused.what}
      </Say>
      <p class="after">{outcome.refused.do_this}</p>
      <BothSides attempt={outcome.attempt} changed={outcome.changed} />
      <p class="btns">
        <button type="button" class="act" onClick={() => void recorder.again('also mine')}>
          {say('outcome.mine_too')}
        </button>
        <Leave recorder={recorder} />
      </p>
    </Dialog>
  );
}

function NotSaved({ outcome, recorder }: Of<'unreached'>): JSX.Element {
  return (
    <Dialog title={say('outcome.not_saved')} close={recorder.close}>
      <Say level="stop" word={say('outcome.not_saved')}>
        {say('outcome.not_saved_what')}
      </Say>
      <p class="after">{say('outcome.not_saved_do')}</p>
      <Wanted attempt={outcome.attempt} />
      <p class="btns">
        <button type="button" class="act" onClick={() => void recorder.again('retry')}>
          {say('form.retry')}
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
