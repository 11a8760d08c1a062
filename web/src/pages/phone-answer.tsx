import type { JSX } from 'preact';
import { useDocument } from '../document';
import type { Person, PhoneAnswer } from '../model';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { RecordButton } from '../parts/record-button';
import { Words } from '../parts/text';
import { AlikeSay } from '../person/frame';
import { NextInjection } from '../person/next';
import { useRecorder, type Recorder } from '../recorder';
import type { Picked } from './person-pick';
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
function OfPerson({ answer, person, again }: { answer: PhoneAnswer; person: Picked; again: () => void }): JSX.Element {
  const doc = useDocument<Person>(`/api/people/${person.id}`);
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
      <OutcomeDialog recorder={recorder} />
      <Receipt outcome={recorder.outcome} close={recorder.close} />
    </>
  );
}

export function PhoneAnswerView({ answer, person, again }: { answer: PhoneAnswer; person: Picked | null; again: () => void }): JSX.Element {
  if (person) return <OfPerson answer={answer} person={person} again={again} />;
  return <NextInjection card={answer.card} low={answer.low} recorder={null} />;
}
