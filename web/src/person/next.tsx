// The next injection: one only. Its steps as a strip, one of them the window; or a refusal that says how to get insulin today.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { Low, NextCard, Person, Phoning, Step } from '../model';
import { Notices } from '../parts/notice';
import { RecordButton } from '../parts/record-button';
import { isEmpty, Mark, Picture, Say, Words } from '../parts/text';
import type { Recorder } from '../recorder';
import { LowBox } from './low';
import { Phones, RecordCall } from './phoning';
import { say } from '../words';

interface Watched {
  current: number;
  choose: (at: number) => void;
  markOf: (step: Step, at: number) => string;
  saidOf: (step: Step, at: number) => string;
}

function StepItem({ step, at, watched }: { step: Step; at: number; watched: Watched | undefined }): JSX.Element {
  const here = watched?.current === at;
  const name = [step.window ? 'dose' : '', step.done ? 'done' : '', here ? 'cur' : ''].join(' ').trim();
  const mark = watched?.markOf(step, at) ?? '';
  const title = (
    <>
      <i>{at + 1}</i>
      {step.title}
    </>
  );
  return (
    <li class={name} aria-label={step.done ? `${step.title}: ${step.done_text}` : undefined} aria-current={here ? 'step' : undefined}>
      <Picture svg={step.picture} class="pic" />
      <div class="txt">
        {watched ? (
          <p class="n">
            <button type="button" class="stepname" onClick={() => watched.choose(at)}>
              {title}
            </button>
          </p>
        ) : (
          <p class="n">{title}</p>
        )}
        {step.caption && <p class="cap">{step.caption}</p>}
        {step.done && (
          <p class="did">
            <span class="tk" aria-hidden="true" />
            {step.done_text}
          </p>
        )}
      </div>
      {watched && (
        <p class="dm">
          <i class={`jm ${mark}`} aria-hidden="true" />
          <span class="vh">{watched.saidOf(step, at)}</span>
        </p>
      )}
    </li>
  );
}

/** The steps in a row; while somebody watches, one of them is in hand. */
export function StepsStrip({ card, ...watched }: { card: NextCard } & (Watched | Partial<Record<keyof Watched, undefined>>)): JSX.Element {
  const n = card.steps.length;
  const inOneRow = n <= (watched.choose === undefined ? 8 : 10); // more steps than that go into two rows; somebody who watches sees all of them and the buttons
  const columns = inOneRow
    ? card.steps.map(({ window: dose }) => (dose ? (n <= 8 ? '166px' : '150px') : 'minmax(0,1fr)')).join(' ')
    : `repeat(${Math.ceil(n / 2)},minmax(0,1fr))`;
  return (
    <ol class={`strip ${inOneRow ? '' : 'two-rows'}`} style={{ '--strip': columns }}>
      {card.steps.map((step, at) => (
        <StepItem key={`${step.key}-${at}`} step={step} at={at} watched={watched.choose === undefined ? undefined : watched} />
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

function RefusalBody({
  refusal,
  recorder,
  phoning,
}: {
  refusal: NonNullable<NextCard['refusal']>;
  recorder: Recorder | null;
  phoning: Phoning | undefined;
}): JSX.Element {
  return (
    <div class="no-dial">
      <Say level="stop" word={say('next.no_dose')}>
        {refusal.what}
      </Say>
      <dl class="ref">
        <dt>{say('page.do_this')}</dt>
        <dd>
          <b>
            <Words text={refusal.do_this} />
          </b>
        </dd>
        {recorder && refusal.answers.length > 0 && (
          <dd class="btns scr">
            {refusal.answers.map((action) => (
              <RecordButton key={action.label} action={action} recorder={recorder} />
            ))}
          </dd>
        )}
        {!isEmpty(refusal.insulin_today) && (
          <>
            <dt>{say('next.insulin_today')}</dt>
            <dd>
              <Words text={refusal.insulin_today} />
            </dd>
          </>
        )}
        {phoning && phoning.phones.length > 0 && (
          <>
            <dt>{say('next.phone')}</dt>
            <dd>
              <Phones of={phoning.phones} />
            </dd>
          </>
        )}
      </dl>
      {recorder && phoning && (
        <p class="btns scr">
          <RecordCall of={phoning} />
        </p>
      )}
    </div>
  );
}

export function NextHead({ card, title = card.title }: { card: NextCard; title?: string }): JSX.Element {
  return (
    <header>
      <h2 id="nx">{title}</h2>
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

function Laters({ of }: { of: Person['later'] }): JSX.Element | null {
  if (of.length === 0) return null;
  return (
    <ul class="line laters">
      {of.map((dose) => (
        <li class="later">
          <Mark svg={dose.mark} />
          <span>
            <b>{dose.time_text}</b> <Words text={dose.text} />
          </span>
        </li>
      ))}
    </ul>
  );
}

/**
 * The whole card: its steps side by side, or why there is no number. `recorder` is null where nothing can be recorded: the phone desk without a person.
 * `phoning`: none at the phone desk, which has somebody on the line, and records that call.
 */
export function NextInjection({
  card,
  low,
  later = [],
  recorder,
  phoning,
}: {
  card: NextCard;
  low: Low;
  later?: Person['later'];
  recorder: Recorder | null;
  phoning?: Phoning;
}): JSX.Element {
  return (
    <section class={`next ${card.state}`} aria-labelledby="nx">
      <NextHead card={card} />
      {card.state === 'refused' && card.refusal ? (
        <RefusalBody refusal={card.refusal} recorder={recorder} phoning={phoning} />
      ) : (
        <StepsStrip card={card} />
      )}
      {card.state === 'dial' && recorder && <Records card={card} recorder={recorder} />}
      {card.window_table && <WindowTable table={card.window_table} />}
      <Notices notices={card.cautions} class="notices inner" />
      <LowBox low={low} />
      <Laters of={later} />
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

/** Everything that this card can record, step by step. */
function Records({ card, recorder }: { card: NextCard; recorder: Recorder }): JSX.Element {
  const steps = card.steps.filter((step) => step.records.length > 0 || step.done);
  return (
    <ol class="recs scr">
      {steps.map((step) => (
        <li>
          <p class="k1">{step.title}</p>
          {step.done && <p class="did">{step.done_text}</p>}
          <p class="btns">
            {step.records.map((action) => (
              <RecordButton key={action.label} action={action} recorder={recorder} kind="act slim" />
            ))}
          </p>
        </li>
      ))}
    </ol>
  );
}

/** A low is one entry, from wherever a dose is looked at. */
export const RecordLow = ({ person }: { person: string }): JSX.Element => (
  <a class="act plain" href={`/people/${person}/record/glucose`}>
    {say('record.low')}
  </a>
);

/** What comes before the number and is not in every injection: the cartridge, mixing. */
function BeforeDial({ steps }: { steps: Step[] }): JSX.Element | null {
  const first = steps.filter(({ beforehand }) => beforehand);
  if (first.length === 0) return null;
  return (
    <ol class="beforehand">
      {first.map((step) => (
        <li>
          <b>{step.title}.</b> {step.caption}
        </li>
      ))}
    </ol>
  );
}

/** Window, dose and site of the next injection, and what can be done about it; the steps open where somebody watches. */
export function CompactNext({
  card,
  person: { id: person, low, later, phoning },
  recorder,
}: {
  card: NextCard;
  person: Person;
  recorder: Recorder;
}): JSX.Element {
  const [open, setOpen] = useState(false);
  if (card.state === 'refused') return <NextInjection card={card} low={low} later={later} recorder={recorder} phoning={phoning} />;
  const at = (key: string): Step | undefined => card.steps.find((step) => step.key === key);
  const [look, dial, pen] = [at('look'), card.steps.find(({ window: dose }) => dose), at('pen')];
  // What can be done stands on the first screen under the number; only what must stop it comes before.
  const stops = card.cautions.filter(({ level }) => level === 'stop');
  const others = card.cautions.filter(({ level }) => level !== 'stop');
  return (
    <section class="next dial compact" aria-labelledby="nx">
      <NextHead card={card} />
      <BeforeDial steps={card.steps} />
      <div class="bd">
        <div class="wn">
          <Picture svg={dial?.picture ?? ''} />
          <p>
            <b>{dial?.title}</b>
            <br />
            {dial?.caption}
          </p>
        </div>
        <div class="tx">
          {[pen, look].map(
            (step) =>
              step && (
                <p>
                  <b>{step.title}</b> {step.caption}
                </p>
              ),
          )}
          {!isEmpty(card.after_text) && (
            <p class="soft">
              <Words text={card.after_text} />
            </p>
          )}
        </div>
      </div>
      <Notices notices={stops} class="notices inner" />
      <p class="ac scr">
        <a class="act" href={`/people/${person}/watch`}>
          {say('next.watch')}
        </a>
        <button type="button" class="act" aria-expanded={open} onClick={() => setOpen(!open)}>
          {say('next.record')}
        </button>
      </p>
      {open && <Records card={card} recorder={recorder} />}
      {card.window_table && <WindowTable table={card.window_table} />}
      <Notices notices={others} class="notices inner" />
      <p class="ac links scr">
        {card.print.href && (
          <a class="act plain" href={card.print.href}>
            {card.print.label}
          </a>
        )}
        <RecordLow person={person} />
      </p>
      <LowBox low={low} />
      <Laters of={later} />
      <div class="line">
        <p>{card.order_text}</p>
        <p>{card.defer}</p>
      </div>
    </section>
  );
}
