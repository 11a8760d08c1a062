// Watching an injection: its steps, the one in hand, and how it was done. Each judgement is a fact; so is what a step leaves behind.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { NextCard, Person, Step } from '../model';
import { RecordButton } from '../parts/record-button';
import { Notices } from '../parts/notice';
import type { Recorder } from '../recorder';
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

function Judge({
  card,
  at,
  recorder,
  done,
  back,
}: {
  card: NextCard;
  at: number;
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
      {step.records.length > 0 && (
        <p class="recs">
          {step.records.map((action) => (
            <RecordButton key={action.label} action={action} recorder={recorder} kind="act" />
          ))}
        </p>
      )}
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
function useSeen(key: string): Seen {
  const [at, go] = useState(0);
  const [seen, setSeen] = useState<Record<string, string>>({});
  useEffect(() => {
    go(0);
    setSeen({}); // another injection starts with nothing seen (H55)
  }, [key]);
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

// Once the button was pressed to zero nobody else gets a number (H07); whoever watches goes on to the last step.
function useWatched(next: NextCard | null | undefined): { card: NextCard | null; watching: Seen } {
  const begun = useRef<NextCard | null>(null);
  if (next?.state === 'dial') begun.current = next;
  const { current } = begun;
  const watching = useSeen(current?.key ?? '');
  const last = (current?.steps.length ?? 0) - 1;
  const isWatched = next?.refusal?.code === 'interlock.watched' && !(`${current?.steps[last]?.key}-${last}` in watching.seen);
  return { card: next?.state === 'dial' || isWatched ? current : null, watching };
}

function Page({ person, recorder, doc }: InFrame): JSX.Element {
  const { next }: Person = person;
  const { card, watching } = useWatched(next);
  if (isUnsure(doc)) return <NoNumber />;
  return (
    <>
      {card && <Watching card={card} person={person} recorder={recorder} {...watching} />}
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
