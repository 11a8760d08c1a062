// What the educator has to know first: the background as it stands, with a form that notes it anew as a whole, and what belongs to it.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { BackgroundFields, backgroundDraft, backgroundValues } from '../facts/background';
import { useForms } from '../facts/forms';
import { useFactForm } from '../facts/use-fact-form';
import { useDocument, useFresh } from '../document';
import type { Assessment, FactForms } from '../model';
import { Form, useTyped, type Values } from '../parts/form';
import { Shown } from '../parts/states';
import { Calls, Contacts, KnownFirst, Papers } from './assessment';
import { PersonFrame, type InFrame } from './frame';
import { say } from '../words';

/** Beside the question about severe hypos stands what the record has of them. */
function besideRecord(groups: FactForms['background'], hypos: string): FactForms['background'] {
  return groups.map((group) => ({
    ...group,
    fields: group.fields.map((field) => (field.name === 'severe_lows' ? { ...field, hint: `${say('assess.hypos')}: ${hypos}` } : field)),
  }));
}

function Edit({ person, recorder, groups }: InFrame & { groups: FactForms['background'] }): JSX.Element {
  const typed = useTyped<Values>(backgroundValues(groups, person.background_fact));
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const submit = (): void => {
    void form.send(say('assess.updated'), [{ what: 'background noted', background: backgroundDraft(groups, typed.values) }], []);
  };
  return (
    <Form submit={submit} button={say('assess.record')} busy={recorder.busy} refused={form.refused} cancel={back}>
      <BackgroundFields groups={besideRecord(groups, person.hypos_text)} typed={typed} wrong={form.wrong} />
    </Form>
  );
}

function Editing(inside: InFrame): JSX.Element {
  return <Shown of={useForms()}>{({ background }) => <Edit {...inside} groups={background} />}</Shown>;
}

/** The form of the fact, as they stand now. */
function detailsForm({ person }: InFrame): string {
  const stands = Object.entries(person.details_fact).map(([name, value]) => [name, String(value)]);
  return `/people/${person.id}/record/details?${new URLSearchParams(stands).toString()}`;
}

function Background(inside: InFrame): JSX.Element {
  const [editing, setEditing] = useState(false);
  const { background } = inside.person;
  return (
    <section class="sec background">
      <header>
        <h2>{say('assess.title')}</h2>
        {!editing && (
          <p class="btns">
            <button type="button" class="act scr" onClick={() => setEditing(true)}>
              {say('assess.update')}
            </button>
            <a class="act scr" href={detailsForm(inside)}>
              {say('assess.details')}
            </a>
          </p>
        )}
      </header>
      {editing ? (
        <Editing {...inside} />
      ) : (
        <dl class="facts">
          {background.map(({ label, value, known }) => (
            <div class={known ? undefined : 'unknown'}>
              <dt>{label}</dt>
              <dd>{known ? value : say('form.not_known')}</dd>
            </div>
          ))}
        </dl>
      )}
    </section>
  );
}

function Assessed(inside: InFrame): JSX.Element {
  const doc = useDocument<Assessment>(`/api/people/${inside.person.id}/assessment`);
  useFresh(doc, inside.person.version);
  return (
    <Shown of={doc}>
      {(of) => (
        <>
          <KnownFirst inside={inside} of={of} />
          <Background {...inside} />
          <Contacts inside={inside} of={of} />
          <Calls inside={inside} of={of} />
          <Papers inside={inside} cards={of.cards} />
        </>
      )}
    </Shown>
  );
}

export const BackgroundPage = ({ id }: { id: string }): JSX.Element => (
  <PersonFrame id={id} tab="tab.assessment" title={say('tab.assessment')}>
    {(inside) => <Assessed {...inside} />}
  </PersonFrame>
);
