// First start: the clinic and the one who works here, who is the author of every fact.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { post, type Refused } from '../api';
import type { Clinic, Recorded } from '../model';
import { SelectField, TextField } from '../parts/fields';
import { Form, Group, useTyped, type Values } from '../parts/form';
import { useTitle } from '../parts/title';
import { go } from '../router';

const unsaved: Refused = { code: 'web.unreached', at: '', what: 'Not saved: Penstock did not answer.', do_this: 'Press again.' };

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
  useTitle('First start');
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
        Before the first person. <span>Whose bench is this?</span>
      </h1>
      <Form submit={() => void submit()} button="Open the bench" busy={busy} refused={refused}>
        <Group title="The clinic">
          <TextField {...typed.field('clinic', 'Name of the clinic')} needed wrong={wrong('clinic')} />
          <TextField
            {...typed.field('user', 'Your name')}
            needed
            hint="You are the author of what is recorded here."
            wrong={wrong('user')}
            complete="name"
          />
          <SelectField
            {...typed.field('zone', 'Time zone')}
            empty="choose"
            needed
            choices={clinic.zones.map((zone) => ({ value: zone, label: zone }))}
            wrong={wrong('zone')}
          />
        </Group>
        <Group title="Numbers that people are told to phone" note="They stand on every refusal and every sheet that goes home.">
          <TextField {...typed.field('phone', 'The clinic’s phone')} type="tel" short needed wrong={wrong('phone')} />
          <TextField
            {...typed.field('emergency', 'The emergency number of this place')}
            type="tel"
            short
            needed
            wrong={wrong('emergency')}
          />
        </Group>
      </Form>
    </div>
  );
}
