// The next injection: one only. Its steps as a strip, one of them the window; or a refusal that says how to get insulin today.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Low, NextCard, Person, RecordAction, Step } from '../model';
import { Notices } from '../parts/notice';
import { RecordButton } from '../parts/record-button';
import { isEmpty, Mark, Picture, Say, Words } from '../parts/text';
import type { Recorder } from '../recorder';
import { LowBox } from './low';
import { say } from '../words';

/** What was ticked on the way is recorded with the injection: what somebody watched is a fact (H55). */
function withWatched(action: RecordAction, watched: string[]): RecordAction {
  const dose = action.facts.find(({ what }) => what === 'injected');
  if (!dose || watched.length === 0) return action;
  const line = dose['line'] === undefined ? {} : { line: dose['line'] };
  return { ...action, facts: [...action.facts, { what: 'technique watched', ...line, steps: watched.join(', ') }] };
}

/** A step that leaves no fact of its own is ticked: somebody watched it. */
function Tick({ step, ticked, set }: { step: Step; ticked: boolean; set: (on: boolean) => void }): JSX.Element {
  return (
    <label class="tick scr">
      <input type="checkbox" checked={ticked} onChange={(event) => set(event.currentTarget.checked)} />
      <span>
        {say(step.key === 'taken' ? 'next.not_taken' : 'next.checked')}
        <span class="vh">: {step.title}</span>
      </span>
    </label>
  );
}

function StepItem({
  step,
  at,
  recorder,
  watched,
  ticked,
  tick,
}: {
  step: Step;
  at: number;
  recorder: Recorder | null;
  watched: string[];
  ticked: boolean;
  tick: (on: boolean) => void;
}): JSX.Element {
  const name = [step.window ? 'dose' : '', step.done ? 'done' : ''].join(' ').trim();
  return (
    <li class={name} aria-label={step.done ? `${step.title}: ${step.done_text}` : undefined}>
      <Picture svg={step.picture} class="pic" />
      <div class="txt">
        <p class="n">
          <i>{at + 1}</i>
          {step.title}
        </p>
        {step.caption && <p class="cap">{step.caption}</p>}
        {step.done && (
          <p class="did">
            <span class="tk" aria-hidden="true" />
            {step.done_text}
          </p>
        )}
        {recorder && (
          <div class="do scr">
            {step.records.map((action) => (
              <RecordButton key={action.label} action={withWatched(action, watched)} recorder={recorder} kind="act step" />
            ))}
            {(step.records.length === 0 || step.key === 'taken') && !step.done && <Tick step={step} ticked={ticked} set={tick} />}
          </div>
        )}
      </div>
    </li>
  );
}

function Strip({ card, recorder }: { card: NextCard; recorder: Recorder | null }): JSX.Element {
  const [ticks, setTicks] = useState<Record<string, boolean>>({});
  useEffect(() => setTicks({}), [card.key]); // another injection starts with nothing seen (H55)
  const outcome = recorder?.outcome;
  useEffect(() => {
    // Also where the card stays tomorrow's, because what was recorded counts for tonight.
    if (outcome?.kind === 'recorded' && outcome.attempt.facts.some(({ what }) => what === 'injected')) setTicks({});
  }, [outcome]);
  const watched = card.steps.filter((step, at) => ticks[`${step.key}-${at}`]).map(({ title }) => title);
  const n = card.steps.length;
  const inOneRow = n <= 8; // more steps than that go into two rows
  const columns = inOneRow
    ? card.steps.map(({ window: dose }) => (dose ? '166px' : 'minmax(0,1fr)')).join(' ')
    : `repeat(${Math.ceil(n / 2)},minmax(0,1fr))`;
  return (
    <ol class={`strip ${inOneRow ? '' : 'two-rows'}`} style={{ '--strip': columns }}>
      {card.steps.map((step, at) => (
        <StepItem
          key={`${step.key}-${at}`}
          step={step}
          at={at}
          recorder={recorder}
          watched={watched}
          ticked={ticks[`${step.key}-${at}`] ?? false}
          tick={(on) => setTicks((before) => ({ ...before, [`${step.key}-${at}`]: on }))}
        />
      ))}
    </ol>
  );
}

export function WindowTable({ table }: { table: NonNullable<NextCard['window_table']> }): JSX.Element {
  return (
    <div class="on-wrap">
      <table class="on">
        <caption class="small soft">{table.caption}</caption>
        <thead>
          <tr>
            <th scope="col">{table.head[0]}</th>
            <td />
            <th scope="col" colSpan={2}>
              <b>{table.head[1]}</b>
            </th>
          </tr>
        </thead>
        <tbody>
          {table.rows.map((row) => (
            <tr>
              <td class="big">{row.prime}</td>
              <td>
                <Picture svg={row.picture} />
              </td>
              <td>
                <Picture svg={row.window} />
              </td>
              <td>{row.unit}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function RefusalBody({ refusal, recorder }: { refusal: NonNullable<NextCard['refusal']>; recorder: Recorder | null }): JSX.Element {
  return (
    <div class="no-dial">
      <Say level="stop" word={say('next.no_dose')}>
        {refusal.what}
      </Say>
      <dl class="ref">
        {!isEmpty(refusal.why) && (
          <>
            <dt>{say('page.reason')}</dt>
            <dd>
              <Words text={refusal.why} />
            </dd>
          </>
        )}
        <dt>{say('page.do_this')}</dt>
        <dd>
          <b>
            <Words text={refusal.do_this} />
          </b>
        </dd>
        {!isEmpty(refusal.insulin_today) && (
          <>
            <dt>{say('next.insulin_today')}</dt>
            <dd>
              <Words text={refusal.insulin_today} />
            </dd>
          </>
        )}
      </dl>
      {recorder && refusal.answers.length > 0 && (
        <p class="btns scr">
          {refusal.answers.map((action) => (
            <RecordButton key={action.label} action={action} recorder={recorder} />
          ))}
        </p>
      )}
    </div>
  );
}

function Head({ card }: { card: NextCard }): JSX.Element {
  return (
    <header>
      <h2 id="nx">{card.title}</h2>
      {card.part_text && card.part_text !== card.title && <p class="part">{card.part_text}</p>}
      {card.time_text && <p class="t">{card.time_text}</p>}
      {card.in_text && <p class="soft">{card.in_text}</p>}
      <p class="what">
        <Mark svg={card.mark} />
        {card.purpose && <b>{card.purpose}:</b>} <span>{[card.insulin, card.strength_text].filter(Boolean).join(', ')}</span>
        {card.dose_text && <> {card.state === 'dial' ? <b class="du">{card.dose_text}</b> : <span class="du">{card.dose_text}</span>}</>}
        {card.with_text && (
          <>
            {' '}
            <span>{card.with_text}</span>
          </>
        )}
      </p>
    </header>
  );
}

/** `recorder` is null where nothing can be recorded: the phone desk without a person. */
export function NextInjection({
  card,
  low,
  later = [],
  recorder,
}: {
  card: NextCard;
  low: Low;
  later?: Person['later'];
  recorder: Recorder | null;
}): JSX.Element {
  return (
    <section class={`next ${card.state}`} aria-labelledby="nx">
      <Head card={card} />
      {card.state === 'refused' && card.refusal ? (
        <RefusalBody refusal={card.refusal} recorder={recorder} />
      ) : (
        <Strip card={card} recorder={recorder} />
      )}
      {card.window_table && <WindowTable table={card.window_table} />}
      <Notices notices={card.cautions} class="notices inner" />
      <LowBox low={low} />
      {later.length > 0 && (
        <ul class="line laters">
          {later.map((dose) => (
            <li class="later">
              <Mark svg={dose.mark} />
              <span>
                <b>{dose.time_text}</b> <Words text={dose.text} />
              </span>
            </li>
          ))}
        </ul>
      )}
      <div class="line">
        <p>
          {!isEmpty(card.after_text) && (
            <>
              <Words text={card.after_text} />{' '}
            </>
          )}
          {card.order_text}
        </p>
        <p>{card.defer}</p>
      </div>
    </section>
  );
}
