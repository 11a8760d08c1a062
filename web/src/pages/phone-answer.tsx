import type { JSX } from 'preact';
import { useDocument } from '../document';
import type { Person, PhoneAnswer } from '../model';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { RecordButton } from '../parts/record-button';
import { Words } from '../parts/text';
import { NextInjection } from '../person/next';
import { useRecorder } from '../recorder';
import type { Picked } from './person-pick';

type ReadBack = NonNullable<PhoneAnswer['read_back']>;

/** Say this, hear that back, then record it. */
function Back({ back, person }: { back: ReadBack; person: Picked }): JSX.Element {
  const doc = useDocument<Person>(`/api/people/${person.id}`);
  const recorder = useRecorder(
    doc.doc ? { path: `/api/people/${person.id}/facts`, version: doc.doc.version, zone: doc.doc.forms.zone, reload: doc.reload } : null,
  );
  return (
    <section class="sec read-back">
      <header>
        <h2>Read it back</h2>
        <p>
          for {person.name}, born {person.born_text}, number {person.number}
        </p>
      </header>
      <dl class="ref">
        <dt>Say</dt>
        <dd>
          <Words text={back.say} />
        </dd>
        <dt>Hear back</dt>
        <dd>
          <Words text={back.hear} />
        </dd>
      </dl>
      {doc.doc && (
        <p class="btns">
          <RecordButton action={back.record} recorder={recorder} />
        </p>
      )}
      <OutcomeDialog recorder={recorder} />
      <Receipt outcome={recorder.outcome} close={recorder.close} />
    </section>
  );
}

export function PhoneAnswerView({ answer, person }: { answer: PhoneAnswer; person: Picked | null }): JSX.Element {
  return (
    <>
      {person && (
        <p class="for">
          For <b>{person.name}</b>, born <b>{person.born_text}</b>, number <b>{person.number}</b>
        </p>
      )}
      <NextInjection card={answer.card} low={answer.low} recorder={null} />
      {answer.read_back && person && <Back back={answer.read_back} person={person} />}
    </>
  );
}
