// The phone desk. With a person their record says what is due and what may be dialled, and nothing of it is typed again; without one the questions
// that cannot wait come first, and what was not asked is taken for nothing.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { PhoneAnswer, PhoneAsk, PhoneForm } from '../model';
import { RadioField, SelectField, TextField, UnitsField } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { Shown, Waiting } from '../parts/states';
import { useTitle } from '../parts/title';
import { PhoneAnswerView } from './phone-answer';
import { PersonPick, type Picked } from './person-pick';
import { PhoneTabs } from './phone-tabs';
import { useAnswer } from './use-answer';

type Said = '' | 'no' | 'yes';

const typedIn = (values: Values, name: string): string => (values[name] ?? '').trim();

const flagsOf = (values: Values): PhoneAsk => ({
  low_now: typedIn(values, 'low') as Said,
  not_eating: typedIn(values, 'eating') as Said,
  drowsy: typedIn(values, 'drowsy') as Said,
  ketones: typedIn(values, 'ketones') as Said | 'not measured',
  travelling: typedIn(values, 'travelling') as Said,
});

/** What the record of a person does not know. */
function askFor(person: Picked, values: Values): PhoneAsk {
  const strength = typedIn(values, 'strength');
  return {
    ...flagsOf(values),
    person: person.id,
    missed: typedIn(values, 'missed') as Said,
    ...(strength === '' ? {} : { strength_units_per_ml: Number(strength) }),
  };
}

const needlesDry: Record<string, string> = { first: '', new: '1', another: '2' };

function askOf(values: Values): PhoneAsk {
  const [insulin = '', strength = ''] = typedIn(values, 'insulin').split('|');
  const said = (name: string): string => typedIn(values, name);
  const last = said('last');
  return {
    ...flagsOf(values),
    last_dose: last === 'hours' ? said('hours') : last,
    pen: said('pen'),
    insulin,
    strength_units_per_ml: Number(strength),
    dose_units: said('dose'),
    dose_again: said('again'),
    left_units: said('left'),
    days_in_use: said('days'),
    unopened: said('unopened') || '0',
    prime: said('prime') as 'not yet' | 'seen' | 'not seen',
    spent_units: said('spent'),
    dry_primes: said('dry'),
    new_needle: said('needle') !== 'first',
    dry_needles: needlesDry[said('needle')] ?? '',
  };
}

const yesNo = [
  { value: 'no', label: 'No' },
  { value: 'yes', label: 'Yes' },
];
const primes = [
  { value: 'not yet', label: 'Not primed yet' },
  { value: 'seen', label: 'Primed, insulin seen' },
  { value: 'not seen', label: 'Primed, none seen' },
];

interface Parts {
  typed: Typed<Values>;
  wrong: (name: string) => string | undefined;
}

function FlagQuestions({ typed, wrong }: Parts): JSX.Element {
  return (
    <>
      <RadioField {...typed.field('low', 'Low now?')} choices={yesNo} needed wrong={wrong('low_now')} />
      <RadioField {...typed.field('eating', 'Vomiting, or not eating?')} choices={yesNo} needed wrong={wrong('not_eating')} />
      <RadioField {...typed.field('drowsy', 'Drowsy or muddled?')} choices={yesNo} needed wrong={wrong('drowsy')} />
      <RadioField
        {...typed.field('ketones', 'Ketones?')}
        choices={[...yesNo, { value: 'not measured', label: 'Not measured' }]}
        needed
        wrong={wrong('ketones')}
      />
      <RadioField
        {...typed.field('travelling', 'Crossing time zones, today or tomorrow?')}
        choices={yesNo}
        needed
        wrong={wrong('travelling')}
      />
    </>
  );
}

function FirstQuestions({ typed, wrong }: Parts): JSX.Element {
  return (
    <Group title="First" note="All of it is asked before a number is said.">
      <FlagQuestions typed={typed} wrong={wrong} />
      <RadioField
        {...typed.field('last', 'Last dose of this insulin')}
        choices={[
          { value: 'hours', label: 'Hours ago' },
          { value: 'never', label: 'Never yet' },
          { value: 'not known', label: 'Not known' },
        ]}
        needed
        wrong={wrong('last_dose')}
      />
      {typed.values['last'] === 'hours' && (
        <TextField {...typed.field('hours', 'How long ago')} decimal unit="hours" needed wrong={wrong('last_dose')} />
      )}
    </Group>
  );
}

function PersonQuestions({ typed, wrong }: Parts): JSX.Element {
  return (
    <>
      <p class="soft">The dose, the pen and what is left in it stand in the record: nothing of it is typed here.</p>
      <Group title="First" note="The record cannot know it: all of it is asked before a number is said.">
        <FlagQuestions typed={typed} wrong={wrong} />
        <RadioField {...typed.field('missed', 'A dose missed that is not on record?')} choices={yesNo} needed wrong={wrong('missed')} />
        <TextField
          {...typed.field('strength', 'Strength on the pen’s label')}
          decimal
          unit="units/mL"
          needed={false}
          wrong={wrong('strength_units_per_ml')}
          hint="Read out where the strength has changed, or the pen is new."
        />
      </Group>
    </>
  );
}

function PenQuestions({ form, typed, wrong }: Parts & { form: PhoneForm }): JSX.Element {
  const { values } = typed;
  return (
    <>
      <Group title="Pen and insulin">
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
        <UnitsField {...typed.field('again', 'An unusual dose, once more')} wrong={wrong('dose_again')} />
        <UnitsField {...typed.field('left', 'Left in the cartridge')} needed wrong={wrong('left_units')} />
        <TextField
          {...typed.field('days', 'In use for')}
          decimal
          unit="days"
          needed={false}
          wrong={wrong('days_in_use')}
          hint="The day of first use is day 0."
        />
        <TextField {...typed.field('unopened', 'Unopened ones in the house')} decimal unit="pieces" wrong={wrong('unopened')} />
        <RadioField {...typed.field('prime', 'Priming')} choices={primes} />
        {values['prime'] !== 'not yet' && <UnitsField {...typed.field('spent', 'Spent on priming')} needed wrong={wrong('spent_units')} />}
        {values['prime'] === 'not seen' && (
          <TextField {...typed.field('dry', 'Times tried with this needle')} decimal unit="times" needed wrong={wrong('dry_primes')} />
        )}
        {values['prime'] !== 'seen' && (
          <RadioField
            {...typed.field('needle', 'The needle')}
            choices={[
              { value: 'first', label: 'The first one' },
              { value: 'new', label: 'A new one, after three dry primes' },
              { value: 'another', label: 'Another one: the new one stayed dry, too' },
            ]}
            wrong={wrong('new_needle')}
          />
        )}
      </Group>
    </>
  );
}

const unasked: Values = {
  low: '',
  eating: '',
  drowsy: '',
  ketones: '',
  travelling: '',
  missed: '',
  strength: '',
  last: '',
  hours: '',
  pen: '',
  insulin: '',
  dose: '',
  again: '',
  left: '',
  days: '',
  unopened: '0',
  prime: 'not yet',
  spent: '',
  dry: '',
  needle: 'first',
};

function Desk({ form }: { form: PhoneForm }): JSX.Element {
  const typed = useTyped<Values>(unasked);
  const [picked, setPicked] = useState<Picked | null>(null);
  const desk = useAnswer<PhoneAnswer>('/api/phone', typed.values);
  const ask = async (): Promise<void> => {
    await desk.ask(picked ? askFor(picked, typed.values) : askOf(typed.values));
    typed.settled();
  };
  return (
    <div class="phone-cols">
      <Form submit={() => void ask()} button="Work it out" busy={desk.busy} refused={desk.refused}>
        <PersonPick
          picked={picked}
          pick={(person) => {
            setPicked(person);
            typed.change(unasked); // what one person said is nobody else's (H55)
            desk.clear();
          }}
        />
        {picked ? (
          <PersonQuestions typed={typed} wrong={desk.wrong} />
        ) : (
          <>
            <FirstQuestions typed={typed} wrong={desk.wrong} />
            <PenQuestions form={form} typed={typed} wrong={desk.wrong} />
          </>
        )}
      </Form>
      <div class="answer-side" aria-live="polite">
        {desk.busy && <Waiting />}
        {desk.answer && <PhoneAnswerView answer={desk.answer} person={picked} again={() => void ask()} />}
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
