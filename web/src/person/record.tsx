// Anything that happened: first what it was, then its fields.
import type { JSX } from 'preact';
import { FactFields, WhenFields, whenDraft } from '../facts/fact-fields';
import { fieldsToDraft, missing, startValues, wantedOf } from '../facts/draft';
import { useForms } from '../facts/forms';
import { useFactForm } from '../facts/use-fact-form';
import type { KindSpec } from '../model';
import { Form, useTyped, type Values } from '../parts/form';
import { Shown } from '../parts/states';
import { PersonFrame, type InFrame } from './frame';

/** What is recorded on the drawing of the body, or beside it. */
const aboutSkin: [string, string, string][] = [
  ['', 'Where an injection really went', 'Tapped on the drawing, or typed.'],
  ['/examine', 'Look and feel', 'What was seen and felt on the skin, and how it was examined.'],
  ['/body', 'Measure the body', 'Height, waist, and when a child is expected.'],
  ['/depth', 'An ultrasound', 'How deep the muscle lies, measured.'],
];

/** What has forms of its own under "Supplies". */
const aboutSupplies: [string, string, string][] = [
  ['/give', 'Supplies given', 'Sealed cartridges or pens, and needles, that went home.'],
  ['/count', 'Counted at home', 'What is sealed, and the needles. It stands beside the account.'],
  ['/box', 'A sharps box given', 'From then on its needles are counted.'],
  ['/test', 'A pen tested', 'One dose set again and again, weighed or counted.'],
  ['/trip', 'A trip planned', 'From when to when, and where to.'],
];

function RecordChooser({ id, kinds }: { id: string; kinds: KindSpec[] }): JSX.Element {
  return (
    <PersonFrame id={id} tab="" title="record">
      {() => (
        <section class="sec chooser">
          <header>
            <h2>Record something that happened</h2>
          </header>
          <ul class="choose">
            {kinds
              .filter(({ offered }) => offered)
              .map((kind) => (
                <li key={kind.address}>
                  <a href={`/people/${id}/record/${kind.address}`}>
                    <b>{kind.title}</b>
                  </a>
                  <span class="soft">{kind.lead}</span>
                </li>
              ))}
            {aboutSkin.map(([end, title, lead]) => (
              <li key={end}>
                <a href={`/people/${id}/skin${end}`}>
                  <b>{title}</b>
                </a>
                <span class="soft">{lead}</span>
              </li>
            ))}
            {aboutSupplies.map(([end, title, lead]) => (
              <li key={end}>
                <a href={`/people/${id}/supplies${end}`}>
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
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const submit = (): void => {
    const empty = missing(kind, typed.values);
    if (empty.length > 0) {
      form.complain(Object.fromEntries(empty.map((name) => [name, 'This is needed.'])));
      return;
    }
    const draft = { what: kind.what, ...fieldsToDraft(kind, typed.values, person.forms), ...whenDraft(typed.values) };
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
      {({ forms }) => {
        const kind = forms.find(({ address }) => address === slug);
        if (!kind) return <RecordChooser id={id} kinds={forms} />;
        return (
          <PersonFrame id={id} tab="" title={kind.title.toLowerCase()}>
            {(inside) => <KindForm key={slug} {...inside} kind={kind} query={query} />}
          </PersonFrame>
        );
      }}
    </Shown>
  );
}
