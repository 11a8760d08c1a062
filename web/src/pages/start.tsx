// First start: the clinic and the one who works here, who is the author of every fact.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { post, type Refused } from '../api';
import type { Clinic, Recorded } from '../model';
import { SelectField, TextField } from '../parts/fields';
import { Form, Group, useTyped, type Values } from '../parts/form';
import { useTitle } from '../parts/title';
import { go } from '../router';
import { say } from '../words';

const unsaved: Refused = {
  code: 'web.unreached',
  at: '',
  what: say('outcome.unsaved'),
  do_this: say('outcome.not_saved_do'),
};

const ownZone = (zones: string[]): string => {
  const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
  return zones.includes(own) ? own : '';
};

export function StartPage({ clinic, reload }: { clinic: Clinic; reload: () => Promise<void> }): JSX.Element {
  const typed = useTyped<Values>({
    clinic: clinic.clinic,
    user: clinic.user,
    zone: clinic.zone || ownZone(clinic.zones),
    phone: clinic.phone,
    emergency: clinic.emergency,
  });
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<Refused | null>(null);
  useTitle(say('start.headline'));
  const wrong = (name: string): string | undefined => (refused?.at.endsWith(`/${name}`) ? refused.what : undefined);
  const submit = async (): Promise<void> => {
    if (busy) return;
    setBusy(true);
    const body = Object.fromEntries(Object.entries(typed.values).map(([name, text]) => [name, text.trim()]));
    const reply = await post<Recorded>('/api/clinic', body);
    setBusy(false);
    if (reply.kind === 'ok') {
      typed.settled();
      await reload();
      go('/');
      return;
    }
    setRefused(reply.kind === 'unreached' || reply.kind === 'ask' ? unsaved : reply.refused);
  };
  return (
    <div class="start">
      <h1 class="headline" tabIndex={-1}>
        {say('start.headline')}
      </h1>
      <Form submit={() => void submit()} button={say('start.button')} busy={busy} refused={refused}>
        <Group title={say('start.clinic')}>
          <TextField {...typed.field('clinic', say('start.clinic_name'))} needed wrong={wrong('clinic')} />
          <TextField
            {...typed.field('user', say('start.user'))}
            needed
            hint={say('start.user_hint')}
            wrong={wrong('user')}
            complete="name"
          />
          <SelectField
            {...typed.field('zone', say('register.zone'))}
            empty={say('form.choose')}
            needed
            choices={clinic.zones.map((zone) => ({ value: zone, label: zone }))}
            wrong={wrong('zone')}
          />
        </Group>
        <Group title={say('start.phones')} note={say('start.phones_note')}>
          <TextField {...typed.field('phone', say('start.phone'))} type="tel" short needed wrong={wrong('phone')} />
          <TextField {...typed.field('emergency', say('start.emergency'))} type="tel" short needed wrong={wrong('emergency')} />
        </Group>
      </Form>
    </div>
  );
}
