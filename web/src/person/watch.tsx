// Watching an injection: its steps, the one in hand, and how it was done. Each judgement is a fact; so is what a step leaves behind.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { NextCard, Person, RecordAction, Step } from '../model';
import { RecordButton } from '../parts/record-button';
import { Notices } from '../parts/notice';
import type { Recorder } from '../recorder';
import { go as leaveFor } from '../router';
import { AskFirst } from './ask';
import { PersonFrame, type InFrame } from './frame';
import { LowBox } from './low';
import { NextHead, NextInjection, StepsStrip, WindowTable } from './next';
import { isUnsure, NoNumber } from './visit';
import { say, type Key } from '../words';

const judgements: [string, Key, string][] = [
  ['alone', 'watch.alone', 'solid'],
  ['after a hint', 'watch.hint', 'diag'],
  ['not done', 'watch.not_done', 'hollow'],
];

const markOf = (how: string): string => judgements.find(([word]) => word === how)?.[2] ?? '';

/** Where the button was pressed: the step in hand, or the last one like it before. */
const pressOf = ({ steps }: NextCard, at: number): number => steps.findLastIndex(({ key }, n) => n <= at && key === 'hold');

const endings = ['off', 'throw'];
/** What is left of an injection that is over: nothing of it has a number. */
function endOf(card: NextCard, at: number): NextCard {
  const press = Math.max(
    pressOf(card, at),
    card.steps.findIndex(({ key }) => key === 'hold'),
  );
  const rest = card.steps.slice(press + 1);
  const ends = rest.findIndex(({ key }) => !endings.includes(key));
  return { ...card, steps: ends < 0 ? rest : rest.slice(0, ends), time_text: '', in_text: '', dose_text: '', part_text: '' };
}

function Buttons({ said, actions, recorder }: { said: string; actions: RecordAction[]; recorder: Recorder }): JSX.Element | null {
  if (actions.length === 0) return null;
  return (
    <p class="recs">
      {said && <span class="soft">{said}</span>}
      {actions.map((action) => (
        <RecordButton key={action.label} action={action} recorder={recorder} kind="act" />
      ))}
    </p>
  );
}

function Judge({
  card,
  at,
  owed,
  recorder,
  done,
  back,
}: {
  card: NextCard;
  at: number;
  /** What the press left behind, until it is on record. */
  owed: RecordAction[];
  recorder: Recorder;
  done: (how: string) => void;
  back: () => void;
}): JSX.Element {
  const step = card.steps[at] as Step;
  const judge = async (event: MouseEvent, how: string, label: string): Promise<void> => {
    const line = card.line === '' ? {} : { line: card.line };
    const end = await recorder.press(event, label, [{ what: 'step judged', ...line, step: step.title, of: step.key, how }]);
    if (end.kind === 'recorded') done(how);
  };
  return (
    <div class="judge scr">
      <p class="q">
        <b>{say('watch.step', { n: at + 1, title: step.title })}</b> {say('watch.how')}
      </p>
      <p class="seg">
        {judgements.map(([how, key, mark]) => (
          <button type="button" class="act" aria-disabled={recorder.busy} onClick={(event) => void judge(event, how, say(key))}>
            <i class={`jm ${mark}`} aria-hidden="true" />
            {say(key)}
          </button>
        ))}
      </p>
      <p class="alt">
        {at > 0 && (
          <button type="button" class="act plain" onClick={back}>
            {say('watch.back')}
          </button>
        )}
      </p>
      <Buttons said={say('watch.not_recorded')} actions={owed} recorder={recorder} />
      <Buttons said="" actions={step.records} recorder={recorder} />
    </div>
  );
}

interface Seen {
  at: number;
  go: (at: number) => void;
  seen: Record<string, string>;
  see: (step: string, how: string) => void;
}

// Kept while a question stands in the way of the number: the watching goes on where it was.
function useSeen(): Seen {
  const [at, go] = useState(0);
  const [seen, setSeen] = useState<Record<string, string>>({});
  return { at, go, seen, see: (step, how) => setSeen((before) => ({ ...before, [step]: how })) };
}

function Watching({
  card,
  person,
  recorder,
  at,
  go,
  seen,
  see,
}: { card: NextCard } & Seen & Pick<InFrame, 'person' | 'recorder'>): JSX.Element {
  const here = Math.min(at, card.steps.length - 1);
  const press = pressOf(card, here);
  return (
    <section class="next dial wt" aria-labelledby="nx">
      <NextHead card={card} title={say('watch.title')} />
      <StepsStrip
        card={card}
        current={here}
        choose={go}
        markOf={(step, n) => markOf(seen[`${step.key}-${n}`] ?? '')}
        saidOf={(step, n) => seen[`${step.key}-${n}`] ?? ''}
      />
      <Judge
        key={here}
        card={card}
        at={here}
        owed={press >= 0 && press < here ? (card.steps[press] as Step).records : []}
        recorder={recorder}
        back={() => go(here - 1)}
        done={(how) => {
          const step = card.steps[here] as Step;
          see(`${step.key}-${here}`, how);
          if (here + 1 < card.steps.length) go(here + 1);
        }}
      />
      {card.window_table && <WindowTable table={card.window_table} />}
      <Notices notices={card.cautions} class="notices inner" />
      <LowBox low={person.low} />
      <div class="line">
        <p>{card.order_text}</p>
        <p>{card.defer}</p>
      </div>
    </section>
  );
}

/** The injection is over: how the needle comes off is still watched, and no number stands beside it (H07). Then the visit. */
function Ending({ card, person, recorder }: { card: NextCard } & Pick<InFrame, 'person' | 'recorder'>): JSX.Element | null {
  const [at, step] = useState(0);
  const [seen, see] = useState<Record<number, string>>({});
  const over = at >= card.steps.length;
  useEffect(() => {
    if (over) leaveFor(`/people/${person.id}`);
  }, [over]);
  if (over) return null;
  const { outcome } = recorder;
  const isNew = ({ label }: RecordAction): boolean => outcome.kind !== 'recorded' || outcome.attempt.label !== label;
  const steps = card.steps.map((one) => ({ ...one, records: one.records.filter(isNew) }));
  return (
    <section class="next dial wt" aria-labelledby="nx">
      <NextHead card={card} title={say('watch.title')} />
      <p class="over">{say('watch.over')}</p>
      <StepsStrip
        card={{ ...card, steps }}
        current={at}
        choose={step}
        markOf={(_, n) => markOf(seen[n] ?? '')}
        saidOf={(_, n) => seen[n] ?? ''}
      />
      <Judge
        key={at}
        card={{ ...card, steps }}
        at={at}
        owed={[]}
        recorder={recorder}
        back={() => step(at - 1)}
        done={(how) => {
          see({ ...seen, [at]: how });
          step(at + 1);
        }}
      />
    </section>
  );
}

interface Watched {
  card: NextCard | null;
  watching: Seen;
  /** Another injection is the next one by now, or none: its number is not shown to whoever still watches this one. */
  over: boolean;
}

// Once the button was pressed to zero nobody else gets a number (H07); whoever watches goes on to the last step. Another injection is begun by
// who opens this page again, with nothing seen (H55).
function useWatched(next: NextCard | null | undefined): Watched {
  const begun = useRef<NextCard | null>(null);
  const watching = useSeen();
  const started = watching.at > 0 || Object.keys(watching.seen).length > 0;
  if (next?.state === 'dial' && (!started || next.key === begun.current?.key)) begun.current = next;
  const { current } = begun;
  const last = (current?.steps.length ?? 0) - 1;
  const isWatched = next?.refusal?.code === 'interlock.watched' && !(`${current?.steps[last]?.key}-${last}` in watching.seen);
  const over = started && !isWatched && current !== null && next?.key !== '' && next?.key !== current.key;
  return { card: over || next?.state === 'dial' || isWatched ? current : null, watching, over };
}

function Page({ person, recorder, doc }: InFrame): JSX.Element {
  const { next }: Person = person;
  const { card, watching, over } = useWatched(next);
  if (isUnsure(doc)) return <NoNumber />;
  return (
    <>
      {card && over && <Ending card={endOf(card, watching.at)} person={person} recorder={recorder} />}
      {card && !over && <Watching card={card} person={person} recorder={recorder} {...watching} />}
      {!card && next?.state === 'refused' && (
        <NextInjection card={next} low={person.low} later={person.later} recorder={recorder} phoning={person.phoning} />
      )}
      {person.asks.map((card) => (
        <AskFirst card={card} phoning={person.phoning} recorder={recorder} />
      ))}
    </>
  );
}

export const WatchPage = ({ id }: { id: string }): JSX.Element => (
  <PersonFrame
    id={id}
    tab="tab.visit"
    title={say('watch.title')}
    everyMinute
    acts={() => (
      <a class="act" href={`/people/${id}`}>
        {say('watch.stop')}
      </a>
    )}
  >
    {(inside) => <Page {...inside} />}
  </PersonFrame>
);
