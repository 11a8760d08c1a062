import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Doc } from '../document';
import type { Person, PhoneAnswer, PhoneAsk } from '../model';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { RecordButton } from '../parts/record-button';
import { plain, Say, Words } from '../parts/text';
import { AlikeSay } from '../person/frame';
import { NextInjection } from '../person/next';
import { NoNumber } from '../person/visit';
import { useRecorder, type Recorder } from '../recorder';
import type { Picked } from './person-pick';
import { CallNote } from './phone-note';
import type { Gone } from './use-answer';
import { Said, say } from '../words';

type ReadBack = NonNullable<PhoneAnswer['read_back']>;

/** Say this, hear that back, then record it. */
function Back({ back, recorder }: { back: ReadBack; recorder: Recorder }): JSX.Element {
  return (
    <section class="sec read-back">
      <header>
        <h2>{say('phone.read_back')}</h2>
      </header>
      <dl class="ref">
        <dt>{say('phone.say')}</dt>
        <dd>
          <Words text={back.say} />
        </dd>
        <dt>{say('phone.hear')}</dt>
        <dd>
          <Words text={back.hear} />
        </dd>
      </dl>
      <p class="btns">
        <RecordButton action={back.record} recorder={recorder} />
      </p>
    </section>
  );
}

/** From the person’s record: what they report while they are on the line is recorded here, and the answer worked out anew. */
function OfPerson({ answer, person, doc, recorder }: OnLine & { answer: PhoneAnswer }): JSX.Element {
  return (
    <>
      <p class="for">
        <Said of="phone.for" name={person.name} born={person.born_text} number={person.number} />{' '}
        <a href={`/people/${person.id}`}>{say('phone.open')}</a>
      </p>
      {answer.who && answer.who.flags.length > 0 && (
        <ul class="flags">
          {answer.who.flags.map((flag) => (
            <li>
              <Words text={flag} />
            </li>
          ))}
        </ul>
      )}
      {answer.who && <AlikeSay who={answer.who} />}
      {answer.first.length > 0 && (
        <ul class="flags">
          {answer.first.map((ask) => (
            <li>
              <Words text={ask} />
            </li>
          ))}
        </ul>
      )}
      <NextInjection card={answer.card} low={answer.low} recorder={doc.doc ? recorder : null} />
      {answer.read_back && doc.doc && <Back back={answer.read_back} recorder={recorder} />}
    </>
  );
}

interface OnLine {
  person: Picked;
  doc: Doc<Person>;
  recorder: Recorder;
}

/** Whom the call is about, while the desk has them chosen. `again`: works the answer out anew, where there is one. */
function useOnLine(person: Picked, doc: Doc<Person>, again: () => void): OnLine {
  const recorder = useRecorder(
    doc.doc
      ? {
          path: `/api/people/${person.id}/facts`,
          version: doc.doc.version,
          zone: doc.doc.forms.zone,
          reload: async () => {
            await doc.reload();
            again();
          },
        }
      : null,
  );
  return { person, doc, recorder };
}

const refused = (answer: PhoneAnswer | null): string => {
  const { refusal } = answer?.card ?? {};
  return refusal ? [refusal.what, plain(refusal.do_this)].join(' ') : '';
};

/** What was advised, in words: what is read back, or why there is no number. */
const advised = (answer: PhoneAnswer | null): string => (answer?.read_back ? plain(answer.read_back.say) : refused(answer));

/** The call is on record: its note, or what was said to whoever is ill. */
function useKept({ outcome }: Recorder, kept: () => void): void {
  useEffect(() => {
    if (outcome.kind !== 'recorded') return;
    if (outcome.attempt.facts.some(({ what }) => what === 'contact made' || what === 'phone advice')) kept();
  }, [outcome]);
}

/** Instead of an answer that is not to be said any more: there is no number until the question is asked again. */
export const TakenBack = ({ gone }: { gone: Gone }): JSX.Element => (
  <section class="sec" aria-label={say('plan.next')}>
    <Say level="stop" word={say(gone === 'old' ? 'phone.gone_old' : 'phone.gone_changed')}>
      {say('phone.gone_do')}
    </Say>
  </section>
);

/** The answer, if there is one yet, and the note of the call. */
export function PersonAnswer({
  person,
  doc,
  answer,
  gone,
  asked,
  ask,
  kept,
}: {
  person: Picked;
  doc: Doc<Person>;
  answer: PhoneAnswer | null;
  gone: Gone | null;
  asked: PhoneAsk;
  ask: () => Promise<PhoneAnswer | null>;
  kept: () => void;
}): JSX.Element {
  const line = useOnLine(person, doc, () => void (answer && ask()));
  useKept(line.recorder, kept);
  const unsure = doc.stale && answer?.card.state === 'dial'; // as on a visit: somebody may have given it since
  return (
    <>
      <div aria-live="polite">
        {!answer && <p class="soft">{say('phone.dose_answer')}</p>}
        {gone && <TakenBack gone={gone} />}
        {answer && !gone && (unsure ? <NoNumber /> : <OfPerson {...line} answer={answer} />)}
      </div>
      {doc.doc && (
        <CallNote
          person={doc.doc}
          recorder={line.recorder}
          asked={asked}
          advised={advised(answer)}
          workOut={async () => refused(await ask())}
        />
      )}
      <OutcomeDialog recorder={line.recorder} />
      <Receipt recorder={line.recorder} />
    </>
  );
}
