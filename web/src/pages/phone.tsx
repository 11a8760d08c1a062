// The phone desk: this much is left and the dose is that. With a person, the answer is read back and recorded.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { post, type Refused } from '../api';
import { useDocument } from '../document';
import type { PhoneAnswer, PhoneAsk, PhoneForm } from '../model';
import { RadioField, SelectField, TextField, UnitsField } from '../parts/fields';
import { fieldOf, Form, Group, useTyped, type Values } from '../parts/form';
import { Shown, Waiting } from '../parts/states';
import { useTitle } from '../parts/title';
import { PhoneAnswerView } from './phone-answer';
import { PersonPick, type Picked } from './person-pick';
import { PhoneTabs } from './phone-tabs';

const unreached: Refused = {
  code: 'web.unreached',
  at: '',
  what: 'Penstock did not answer.',
  do_this: 'Ask again. Nothing is recorded by asking.',
};

function askOf(values: Values, picked: Picked | null): PhoneAsk {
  const [insulin = '', strength = ''] = (values['insulin'] ?? '').split('|');
  const primed = values['prime'];
  return {
    ...(picked ? { person: picked.id } : {}),
    pen: values['pen'] ?? '',
    insulin,
    strength_units_per_ml: Number(strength),
    dose_units: (values['dose'] ?? '').trim(),
    left_units: (values['left'] ?? '').trim(),
    days_in_use: (values['days'] ?? '').trim(),
    unopened: (values['unopened'] ?? '').trim() || '0',
    prime: primed === 'seen' || primed === 'not seen' ? primed : 'not yet',
    spent_units: (values['spent'] ?? '').trim() || '0',
  };
}

const primes = [
  { value: 'not yet', label: 'Not primed yet' },
  { value: 'seen', label: 'Primed, insulin seen' },
  { value: 'not seen', label: 'Primed, none seen' },
];

function Desk({ form }: { form: PhoneForm }): JSX.Element {
  const typed = useTyped<Values>({ pen: '', insulin: '', dose: '', left: '', days: '', unopened: '0', prime: 'not yet', spent: '' });
  const [picked, setPicked] = useState<Picked | null>(null);
  const [state, setState] = useState<{ busy: boolean; answer: PhoneAnswer | null; refused: Refused | null }>({
    busy: false,
    answer: null,
    refused: null,
  });
  const { values } = typed;
  const at = fieldOf(state.refused).replace(/^\//, '');
  const wrong = (name: string): string | undefined => (at === name ? state.refused?.what : undefined);
  const submit = async (): Promise<void> => {
    if (state.busy) return;
    setState({ busy: true, answer: null, refused: null });
    const reply = await post<PhoneAnswer>('/api/phone', askOf(values, picked));
    typed.settled();
    setState({
      busy: false,
      answer: reply.kind === 'ok' ? reply.value : null,
      refused: reply.kind === 'ok' || reply.kind === 'ask' ? null : reply.kind === 'unreached' ? unreached : reply.refused,
    });
  };
  return (
    <div class="phone-cols">
      <Form submit={() => void submit()} button="Work it out" busy={state.busy} refused={state.refused}>
        <PersonPick
          picked={picked}
          pick={(person) => {
            setPicked(person);
            setState({ busy: false, answer: null, refused: null });
          }}
        />
        <Group title={picked ? 'What is in their hand' : 'Pen and insulin'}>
          <SelectField
            {...typed.field('insulin', 'Insulin')}
            empty="choose"
            needed
            choices={form.insulins.map((one) => ({ value: `${one.name}|${one.strength_units_per_ml}`, label: one.label }))}
            wrong={wrong('insulin')}
          />
          <SelectField
            {...typed.field('pen', 'Pen')}
            empty="choose"
            needed
            choices={form.pens.map(({ code, label }) => ({ value: code, label }))}
            wrong={wrong('pen')}
          />
        </Group>
        <Group title="What they say">
          <UnitsField {...typed.field('dose', 'The dose')} needed wrong={wrong('dose_units')} />
          <UnitsField {...typed.field('left', 'Left in the cartridge')} needed wrong={wrong('left_units')} />
          <TextField
            {...typed.field('days', 'In use for')}
            decimal
            unit="days"
            needed
            wrong={wrong('days_in_use')}
            hint="The day of first use is day 0."
          />
          <TextField {...typed.field('unopened', 'Unopened ones in the house')} decimal unit="pieces" wrong={wrong('unopened')} />
          <RadioField {...typed.field('prime', 'Priming')} choices={primes} />
          {values['prime'] !== 'not yet' && (
            <UnitsField {...typed.field('spent', 'Spent on priming')} needed wrong={wrong('spent_units')} />
          )}
        </Group>
      </Form>
      <div class="answer-side" aria-live="polite">
        {state.busy && <Waiting />}
        {state.answer && <PhoneAnswerView answer={state.answer} person={picked} />}
        {!state.answer && !state.busy && (
          <p class="soft">The answer stands here, with the number to bring the window to, or the reason why there is none.</p>
        )}
      </div>
    </div>
  );
}

export function PhonePage(): JSX.Element {
  const doc = useDocument<PhoneForm>('/api/phone');
  useTitle('Phone desk', doc.doc !== null);
  return (
    <Shown of={doc}>
      {(form) => (
        <>
          <h1 class="headline" tabIndex={-1}>
            Phone desk <span>somebody is on the line</span>
          </h1>
          <PhoneTabs current="Dose" />
          <Desk form={form} />
        </>
      )}
    </Shown>
  );
}
