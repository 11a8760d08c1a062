// The note of a call, written while it is answered: who rang, what was said and advised, with or without a dose. What was asked first at the desk
// is in it already.
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { FactFields } from '../facts/fact-fields';
import { fieldsToDraft, missing, startValues, wantedOf } from '../facts/draft';
import { useForms } from '../facts/forms';
import { useFactForm } from '../facts/use-fact-form';
import type { KindSpec, Person, PhoneAsk } from '../model';
import { Form, useTyped, type Values } from '../parts/form';
import { Shown } from '../parts/states';
import type { Recorder } from '../recorder';
import { say } from '../words';

/** Asked at the desk, or known there. */
const known = ['meeting', 'outcome', 'low', 'not_eating', 'drowsy', 'ketones'];

/** Not asked and not measured are not known. */
const yesNo = (said: string | undefined): string => (said === 'yes' || said === 'no' ? said : 'unknown');

/** To one of what a note of a call keeps. */
export const saidYes = ({ low_now, not_eating, drowsy, ketones }: PhoneAsk): boolean =>
  [low_now, not_eating, drowsy, ketones].includes('yes');

/** Whether an answer follows from what was said: who is drowsy is asked no more. */
const isAsked = ({ low_now, not_eating, drowsy, ketones, travelling, missed }: PhoneAsk): boolean =>
  drowsy === 'yes' || [low_now, not_eating, drowsy, ketones, travelling, missed].every((said) => said !== undefined && said !== '');

interface Noting {
  person: Person;
  recorder: Recorder;
  asked: PhoneAsk;
  advised: string;
  /** Asks with the answers as they stand: why there is no number, or nothing where there is one, which nobody has said yet. */
  workOut: () => Promise<string>;
}

function Note({ person, recorder, asked, advised, workOut, kind }: Noting & { kind: KindSpec }): JSX.Element {
  const start = (): Values => ({ ...startValues(kind, person, new URLSearchParams()), number: person.who.phone, advised });
  const typed = useTyped<Values>(start());
  const fill = (some: Values): void => {
    const { touched } = typed;
    typed.change(some);
    if (!touched) typed.settled(); // nobody typed it: leaving owes nothing
  };
  const form = useFactForm(recorder, typed, () => fill(start()), [kind.title]);
  // What the answers as they stand lead to is what was advised, unless somebody wrote otherwise; it goes with them (H58).
  const filled = useRef(advised);
  useEffect(() => {
    if (typed.values['advised'] === filled.current) fill({ advised });
    filled.current = advised;
  }, [advised]);
  const submit = async (): Promise<void> => {
    const changed = typed.values['advised'] === '' && advised === '' && saidYes(asked) && isAsked(asked);
    const values: Values = {
      ...typed.values,
      ...(changed ? { advised: await workOut() } : {}),
      meeting: 'call',
      outcome: 'reached',
      low: yesNo(asked.low_now),
      not_eating: yesNo(asked.not_eating),
      drowsy: yesNo(asked.drowsy),
      ketones: yesNo(asked.ketones),
    };
    const empty = missing(kind, values);
    if (empty.length > 0) return form.complain(Object.fromEntries(empty.map((name) => [name, say('form.required')])));
    const draft = { what: kind.what, ...fieldsToDraft(kind, values, person.forms.zone) };
    void form.send(kind.title, [draft], wantedOf(kind, values, person));
  };
  const written = { ...kind, fields: kind.fields.filter(({ name }) => !known.includes(name)) };
  return (
    <section class="sec call-note">
      <header>
        <h2>{say('phone.note')}</h2>
      </header>
      <p class="lead">{say('phone.note_lead')}</p>
      <Form submit={() => void submit()} button={say('phone.note_record')} busy={recorder.busy} refused={form.refused} first={false}>
        <FactFields kind={written} person={person} typed={typed} wrong={form.wrong} />
      </Form>
    </section>
  );
}

export function CallNote(noting: Noting): JSX.Element {
  return (
    <Shown of={useForms()} quiet>
      {({ forms }) => {
        const kind = forms.find(({ what }) => what === 'contact made');
        return kind ? <Note {...noting} kind={kind} /> : null;
      }}
    </Shown>
  );
}
