// Registering a person: name, birth date and number together, and what the educator has to know first.
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { post, type Refused } from '../api';
import { isoNow } from '../clock';
import { newId } from '../facts/amount';
import { BackgroundFields, backgroundDraft, backgroundValues } from '../facts/background';
import { useForms } from '../facts/forms';
import type { AskBack, Clinic, FactDraft, FactForms, Registered } from '../model';
import { Dialog } from '../parts/dialog';
import { SelectField, TextField } from '../parts/fields';
import { fieldOf, Form, Group, useTyped, type Values } from '../parts/form';
import { Shown } from '../parts/states';
import { Say } from '../parts/text';
import { useTitle } from '../parts/title';
import { go } from '../router';
import { say } from '../words';

const unsaved: Refused = {
  code: 'web.unreached',
  at: '',
  what: say('outcome.unsaved'),
  do_this: say('outcome.not_saved_do'),
};

function Alike({ ask, second, leave }: { ask: AskBack['ask']; second: () => void; leave: () => void }): JSX.Element {
  return (
    <Dialog title={say('register.alike')} close={leave}>
      <Say level="caution" word={say('page.caution')}>
        {ask.what}
      </Say>
      <p class="after">{ask.do_this}</p>
      <p class="btns">
        <button type="button" class="act" onClick={second}>
          {say('register.second')}
        </button>
        <button type="button" class="act plain" onClick={leave}>
          {say('form.cancel')}
        </button>
      </p>
    </Dialog>
  );
}

export function RegisterPage({ clinic }: { clinic: Clinic }): JSX.Element {
  return <Shown of={useForms()}>{({ background }) => <Register clinic={clinic} groups={background} />}</Shown>;
}

function Register({ clinic, groups }: { clinic: Clinic; groups: FactForms['background'] }): JSX.Element {
  const typed = useTyped<Values>({ full_name: '', born: '', number: '', phone: '', zone: clinic.zone, ...backgroundValues(groups) });
  const ids = useRef({ person: newId(), fact: newId(), pressed: '' }); // one form, one person, the time of its first press
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<Refused | null>(null);
  const [ask, setAsk] = useState<AskBack['ask'] | null>(null);
  useTitle(say('register.title'));
  const { values } = typed;
  const at = fieldOf(refused);
  const wrong = refused && at !== '' ? { [at]: refused.what } : {};
  const factOf = (): FactDraft => ({
    id: ids.current.fact,
    what: 'person registered',
    happened: ids.current.pressed,
    full_name: (values['full_name'] ?? '').trim(),
    born: values['born'] ?? '',
    number: (values['number'] ?? '').trim(),
    zone: values['zone'] ?? '',
    ...(values['phone'] ? { phone: values['phone'].trim() } : {}),
    background: backgroundDraft(groups, values),
  });
  const send = async (confirmed: boolean): Promise<void> => {
    if (busy) return;
    if (ids.current.pressed === '') ids.current.pressed = isoNow(clinic.zone);
    setBusy(true);
    setAsk(null);
    const reply = await post<Registered>('/api/people', {
      id: ids.current.person,
      facts: [factOf()],
      ...(confirmed ? { confirmed: true } : {}),
    });
    setBusy(false);
    setRefused(reply.kind === 'refused' || reply.kind === 'conflict' ? reply.refused : reply.kind === 'unreached' ? unsaved : null);
    if (reply.kind === 'ask') setAsk(reply.ask);
    if (reply.kind !== 'ok') return;
    typed.settled();
    go(`/people/${ids.current.person}`);
  };
  return (
    <>
      <h1 class="headline" tabIndex={-1}>
        {say('register.title')}
      </h1>
      <Form submit={() => void send(false)} button={say('register.button')} busy={busy} refused={refused} cancel="/people">
        <Group title={say('register.who')} note={say('register.who_note')}>
          <TextField {...typed.field('full_name', say('register.full_name'))} needed wrong={wrong['full_name']} />
          <TextField {...typed.field('born', say('register.born'))} type="date" sense="birth" needed wrong={wrong['born']} />
          <TextField {...typed.field('number', say('register.number'))} short needed wrong={wrong['number']} />
          <TextField {...typed.field('phone', say('register.phone'))} type="tel" short needed={false} wrong={wrong['phone']} />
          <SelectField
            {...typed.field('zone', say('register.zone'))}
            choices={clinic.zones.map((zone) => ({ value: zone, label: zone }))}
            needed
            wrong={wrong['zone']}
          />
        </Group>
        <BackgroundFields groups={groups} typed={typed} wrong={wrong} />
      </Form>
      {ask && <Alike ask={ask} second={() => void send(true)} leave={() => setAsk(null)} />}
    </>
  );
}
