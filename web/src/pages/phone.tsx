// The phone desk: this much is left and the dose is that. With a person, the answer is read back and recorded.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { PhoneAnswer, PhoneAsk, PhoneForm } from '../model';
import { RadioField, SelectField, TextField, UnitsField } from '../parts/fields';
import { Form, Group, useTyped, type Values } from '../parts/form';
import { Shown, Waiting } from '../parts/states';
import { useTitle } from '../parts/title';
import { PhoneAnswerView } from './phone-answer';
import { PersonPick, type Picked } from './person-pick';
import { PhoneTabs } from './phone-tabs';
import { useAnswer } from './use-answer';

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
  const desk = useAnswer<PhoneAnswer>('/api/phone');
  const { values } = typed;
  const submit = async (): Promise<void> => {
    await desk.ask(askOf(values, picked));
    typed.settled();
  };
  return (
    <div class="phone-cols">
      <Form submit={() => void submit()} button="Work it out" busy={desk.busy} refused={desk.refused}>
        <PersonPick
          picked={picked}
          pick={(person) => {
            setPicked(person);
            desk.clear();
          }}
        />
        <Group title={picked ? 'What is in their hand' : 'Pen and insulin'}>
          <SelectField
            {...typed.field('insulin', 'Insulin')}
            empty="choose"
            needed
            choices={form.insulins.map((one) => ({ value: `${one.name}|${one.strength_units_per_ml}`, label: one.label }))}
            wrong={desk.wrong('insulin')}
          />
          <SelectField
            {...typed.field('pen', 'Pen')}
            empty="choose"
            needed
            choices={form.pens.map(({ code, label }) => ({ value: code, label }))}
            wrong={desk.wrong('pen')}
          />
        </Group>
        <Group title="What they say">
          <UnitsField {...typed.field('dose', 'The dose')} needed wrong={desk.wrong('dose_units')} />
          <UnitsField {...typed.field('left', 'Left in the cartridge')} needed wrong={desk.wrong('left_units')} />
          <TextField
            {...typed.field('days', 'In use for')}
            decimal
            unit="days"
            needed
            wrong={desk.wrong('days_in_use')}
            hint="The day of first use is day 0."
          />
          <TextField {...typed.field('unopened', 'Unopened ones in the house')} decimal unit="pieces" wrong={desk.wrong('unopened')} />
          <RadioField {...typed.field('prime', 'Priming')} choices={primes} />
          {values['prime'] !== 'not yet' && (
            <UnitsField {...typed.field('spent', 'Spent on priming')} needed wrong={desk.wrong('spent_units')} />
          )}
        </Group>
      </Form>
      <div class="answer-side" aria-live="polite">
        {desk.busy && <Waiting />}
        {desk.answer && <PhoneAnswerView answer={desk.answer} person={picked} />}
        {!desk.answer && !desk.busy && (
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
