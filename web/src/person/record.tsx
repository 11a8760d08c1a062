// Anything that happened: first what it was, then its fields.
import type { JSX } from 'preact';
import { FactFields, WhenFields, whenDraft } from '../facts/fact-fields';
import { fieldsToDraft, missing, startValues, wantedOf } from '../facts/draft';
import { useForms } from '../facts/forms';
import { useFactForm } from '../facts/use-fact-form';
import type { FactForms, KindSpec } from '../model';
import { Form, useTyped, type Values } from '../parts/form';
import { NoneOfThem, useNarrowed } from '../parts/narrow';
import { Shown } from '../parts/states';
import { placeOf } from '../router';
import { PersonFrame, type InFrame } from './frame';
import { say } from '../words';

function RecordChooser({ id, of }: { id: string; of: FactForms }): JSX.Element {
  const narrowed = useNarrowed(say('record.narrow'));
  const forms = of.forms.filter(({ offered }) => offered).map((kind) => ({ ...kind, address: `record/${kind.address}` }));
  const shown = [...forms, ...of.pages].filter(({ title, lead }) => narrowed.shows(title, lead));
  return (
    <PersonFrame id={id} tab={null} title={say('record.add')}>
      {() => (
        <section class="sec chooser">
          <header>
            <h2>{say('record.add')}</h2>
          </header>
          {narrowed.field}
          {shown.length === 0 && <NoneOfThem />}
          <ul class="choose">
            {shown.map(({ address, title, lead }) => (
              <li key={address}>
                <a href={`/people/${id}/${address}`}>
                  <b>{title}</b>
                </a>
                <span class="soft">{lead}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
    </PersonFrame>
  );
}

function KindForm({ person, recorder, kind, query }: InFrame & { kind: KindSpec; query: URLSearchParams }): JSX.Element {
  const typed = useTyped<Values>({ ...startValues(kind, person, query), when: 'now', happened_local: '', told_by: '' });
  const back = placeOf(query.get('then')) ?? `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const submit = (): void => {
    const empty = missing(kind, typed.values);
    if (empty.length > 0) {
      form.complain(Object.fromEntries(empty.map((name) => [name, say('form.required')])));
      return;
    }
    const carried = Object.fromEntries(kind.carried.flatMap((name) => (query.has(name) ? [[name, query.get(name)]] : [])));
    const draft = { what: kind.what, ...carried, ...fieldsToDraft(kind, typed.values, person.forms.zone), ...whenDraft(typed.values) };
    void form.send(kind.title, [draft], wantedOf(kind, typed.values, person));
  };
  return (
    <section class="sec">
      <header>
        <h2>{kind.title}</h2>
      </header>
      <p class="lead">{kind.lead}</p>
      <Form submit={submit} button={kind.button} busy={recorder.busy} refused={form.refused} cancel={back}>
        <FactFields kind={kind} person={person} typed={typed} wrong={form.wrong} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

export function RecordPage({ id, slug, query }: { id: string; slug: string; query: URLSearchParams }): JSX.Element {
  return (
    <Shown of={useForms()}>
      {(of) => {
        const kind = of.forms.find(({ address }) => address === slug);
        if (!kind) return <RecordChooser id={id} of={of} />;
        return (
          <PersonFrame id={id} tab={null} title={kind.title}>
            {(inside) => <KindForm key={slug} {...inside} kind={kind} query={query} />}
          </PersonFrame>
        );
      }}
    </Shown>
  );
}
