// What has to be known first, besides the background: allergies and what is at home for a severe hypo, whom to phone, calls and visits.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { fieldsToDraft, factToValues, missing, wantedOf } from '../facts/draft';
import { FactFields } from '../facts/fact-fields';
import { useForms } from '../facts/forms';
import { useFactForm } from '../facts/use-fact-form';
import type { Assessment, ContactRow, FactDraft, KindSpec } from '../model';
import { Dialog } from '../parts/dialog';
import { Form, useTyped, type Values } from '../parts/form';
import { PhoneLink } from '../parts/phone-link';
import { RecordButton } from '../parts/record-button';
import { LevelMark, Words } from '../parts/text';
import { Shown } from '../parts/states';
import { withThen } from '../router';
import type { InFrame } from './frame';
import { say } from '../words';

const contact_noted = 'contact noted';

/** The form of a fact, which comes back here once it is recorded. */
function formOf({ person }: InFrame, address: string, stands: Record<string, unknown> = {}): string {
  const values = Object.entries(stands).map(([name, value]) => [name, String(value)]);
  const form = `/people/${person.id}/record/${address}?${new URLSearchParams(values).toString()}`;
  return withThen(form, `/people/${person.id}/background`);
}

export function KnownFirst({ inside, of }: { inside: InFrame; of: Assessment }): JSX.Element {
  return (
    <section class="sec known">
      <header>
        <h2>{say('assess.known')}</h2>
        <p class="btns">
          <a class="act scr" href={formOf(inside, 'allergy')}>
            {say('assess.allergy')}
          </a>
          <a class="act scr" href={formOf(inside, 'hba1c')}>
            {say('assess.hba1c')}
          </a>
          <a class="act scr" href={formOf(inside, 'rescue', of.rescue_fact)}>
            {say('assess.rescue')}
          </a>
        </p>
      </header>
      <dl class="facts">
        {of.known.map(({ label, value, known, level, level_word }) => (
          <div class={known ? undefined : 'unknown'}>
            <dt>{label}</dt>
            <dd>
              {level && <LevelMark level={level} word={level_word ?? level} />}
              {known ? value : say('form.not_known')}
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

/** Another name or another role is another contact: the one that it was is not phoned any more. */
function draftsOf(kind: KindSpec, was: Record<string, unknown> | null, values: Values): FactDraft[] {
  const draft = { what: contact_noted, ...fieldsToDraft(kind, values, '') };
  const moved = was !== null && (was['role'] !== values['role'] || was['full_name'] !== values['full_name']?.trim());
  return moved ? [{ ...was, what: contact_noted, former: true }, draft] : [draft];
}

function ContactForm({ inside, kind, was, close }: Editing & { kind: KindSpec }): JSX.Element {
  const { person, recorder } = inside;
  const fields = { ...kind, fields: kind.fields.filter(({ name }) => name !== 'former') };
  const typed = useTyped<Values>(factToValues(fields, was ?? {}));
  const leave = (): void => {
    typed.settled();
    recorder.close();
    close();
  };
  const form = useFactForm(recorder, typed, close, [kind.title]);
  const submit = (): void => {
    const empty = missing(fields, typed.values);
    if (empty.length > 0) return form.complain(Object.fromEntries(empty.map((name) => [name, say('form.required')])));
    void form.send(kind.title, draftsOf(fields, was, typed.values), wantedOf(fields, typed.values, person));
  };
  return (
    <Dialog title={kind.title} close={leave} wide>
      <Form submit={submit} button={kind.button} busy={recorder.busy} refused={form.refused} first={false} cancel={leave}>
        <FactFields kind={fields} person={person} typed={typed} wrong={form.wrong} />
      </Form>
    </Dialog>
  );
}

/** `was`: null where somebody is added. */
interface Editing {
  inside: InFrame;
  was: Record<string, unknown> | null;
  close: () => void;
}

function Edit(editing: Editing): JSX.Element {
  return (
    <Shown of={useForms()}>
      {({ forms }) => {
        const kind = forms.find(({ what }) => what === contact_noted);
        return kind ? <ContactForm {...editing} kind={kind} /> : null;
      }}
    </Shown>
  );
}

function Contact({ one, inside, edit }: { one: ContactRow; inside: InFrame; edit: () => void }): JSX.Element {
  return (
    <li class="contact">
      <p class="role">{one.role}</p>
      <div>
        <p>
          <b>{one.name}</b>
        </p>
        {one.text && <p class="small">{one.text}</p>}
        <p class="small soft">{one.since_text}</p>
      </div>
      <p class="numbers">
        {one.phones.map((phone) => (
          <PhoneLink key={phone} phone={phone} phone_text={phone} />
        ))}
      </p>
      <p class="btns scr">
        <button type="button" class="act slim" onClick={edit}>
          {say('assess.contact_edit')}
          <span class="vh">: {one.name}</span>
        </button>
        <RecordButton action={one.drop} recorder={inside.recorder} kind="act slim" />
      </p>
    </li>
  );
}

export function Contacts({ inside, of }: { inside: InFrame; of: Assessment }): JSX.Element {
  const [editing, setEditing] = useState<Pick<Editing, 'was'> | null>(null);
  return (
    <section class="sec">
      <header>
        <h2>{say('assess.contacts')}</h2>
        <p class="btns">
          <button type="button" class="act scr" onClick={() => setEditing({ was: null })}>
            {say('assess.contact_add')}
          </button>
        </p>
      </header>
      {of.contacts.length > 0 && (
        <ul class="contacts">
          {of.contacts.map((one) => (
            <Contact key={one.id} one={one} inside={inside} edit={() => setEditing({ was: one.fact })} />
          ))}
        </ul>
      )}
      {of.nobody_text && <p class="soft">{of.nobody_text}</p>}
      {editing && <Edit inside={inside} was={editing.was} close={() => setEditing(null)} />}
    </section>
  );
}

export function Calls({ inside, of }: { inside: InFrame; of: Assessment }): JSX.Element {
  return (
    <section class="sec">
      <header>
        <h2>{say('assess.calls')}</h2>
        <p class="btns">
          <a class="act scr" href={formOf(inside, 'call')}>
            {say('assess.call_add')}
          </a>
          <a class="act scr" href={formOf(inside, 'appointment')}>
            {say('assess.agree')}
          </a>
        </p>
      </header>
      {of.calls.length === 0 ? (
        <p class="soft">{say('assess.no_calls')}</p>
      ) : (
        <ul class="dated">
          {of.calls.map((call) => (
            <li>
              <span class="when">{call.when_text}</span>
              <div>
                <p>
                  <Words text={call.what} />
                </p>
                {call.text && <p class="soft">{call.text}</p>}
              </div>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

export const Papers = ({ inside, cards }: { inside: InFrame; cards: Assessment['cards'] }): JSX.Element => (
  <section class="sec scr">
    <header>
      <h2>{say('assess.papers')}</h2>
      <p class="btns">
        {cards.map(({ label, href }) => (
          <a class="act" href={href}>
            {label}
          </a>
        ))}
        <a class="act" href={`/people/${inside.person.id}/log-sheet`}>
          {say('assess.log_sheet')}
        </a>
        <a class="act" href={`/people/${inside.person.id}/visit-sheet`}>
          {say('visit.sheet')}
        </a>
      </p>
    </header>
    <p class="soft">{say('assess.papers_lead')}</p>
  </section>
);
