// The phone desk. With a person their record says what is due and what may be dialled, and nothing of it is typed again; without one the questions
// that cannot wait come first, and what was not asked is taken for nothing.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { Person, PhoneAnswer, PhoneAsk, PhoneForm } from '../model';
import { RadioField, SelectField, TextField, UnitsField } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { Shown, Waiting } from '../parts/states';
import { useTitle } from '../parts/title';
import { Words } from '../parts/text';
import { isLive } from '../person/insulins';
import { NextInjection } from '../person/next';
import { guardLeaving } from '../router';
import { PersonPick, type Picked } from './person-pick';
import { PersonAnswer, TakenBack } from './phone-answer';
import { saidYes } from './phone-note';
import { PhoneTabs } from './phone-tabs';
import { useAnswer } from './use-answer';
import { say } from '../words';

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
    ...(typedIn(values, 'insulin') === '' ? {} : { insulin: typedIn(values, 'insulin') }),
    ...(typedIn(values, 'left') === '' ? {} : { left_units: typedIn(values, 'left') }),
    ...(strength === '' ? {} : { strength_units_per_ml: Number(strength) }),
  };
}

const needlesDry: Record<string, string> = { first: '', new: '1', another: '2' };

/** Which questions about the prime are asked; nothing is sent of one that is not (H64). */
const asksOfPrime = ({ prime }: Values): { spent: boolean; dry: boolean; needle: boolean } => ({
  spent: prime !== 'not yet',
  dry: prime === 'not seen',
  needle: prime !== 'seen',
});

function askOf(values: Values): PhoneAsk {
  const [insulin = '', strength = ''] = typedIn(values, 'insulin').split('|');
  const said = (name: string): string => typedIn(values, name);
  const asks = asksOfPrime(values);
  const needle = asks.needle ? said('needle') : 'first';
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
    spent_units: asks.spent ? said('spent') : '',
    dry_primes: asks.dry ? said('dry') : '',
    new_needle: needle !== 'first',
    dry_needles: needlesDry[needle] ?? '',
  };
}

const yesNo = [
  { value: 'no', label: say('phone.no') },
  { value: 'yes', label: say('phone.yes') },
];
const primes = [
  { value: 'not yet', label: say('phone.not_primed') },
  { value: 'seen', label: say('phone.primed_seen') },
  { value: 'not seen', label: say('phone.primed_none') },
];

interface Parts {
  typed: Typed<Values>;
  wrong: (name: string) => string | undefined;
}

/** Every one of them was asked, and none is so. */
const none: Values = { low: 'no', eating: 'no', drowsy: 'no', ketones: 'not measured', travelling: 'no', missed: 'no' };

function FlagQuestions({ typed, wrong, asked }: Parts & { asked: () => void }): JSX.Element {
  return (
    <>
      <p class="none-of">
        <button
          type="button"
          class="act"
          onClick={() => {
            typed.change(none);
            asked();
          }}
        >
          {say('phone.none_of_these')}
        </button>
        <span class="soft">{say('phone.none_of_these_means')}</span>
      </p>
      <RadioField {...typed.field('low', say('phone.low'))} choices={yesNo} needed wrong={wrong('low_now')} />
      <RadioField {...typed.field('eating', say('phone.vomiting'))} choices={yesNo} needed wrong={wrong('not_eating')} />
      <RadioField {...typed.field('drowsy', say('phone.drowsy'))} choices={yesNo} needed wrong={wrong('drowsy')} />
      <RadioField
        {...typed.field('ketones', say('phone.ketones'))}
        choices={[...yesNo, { value: 'not measured', label: say('phone.not_measured') }]}
        needed
        wrong={wrong('ketones')}
      />
      <RadioField {...typed.field('travelling', say('phone.time_zones'))} choices={yesNo} needed wrong={wrong('travelling')} />
    </>
  );
}

function FirstQuestions({ typed, wrong }: Parts): JSX.Element {
  return (
    <Group title={say('phone.first')} note={say('phone.first_note')}>
      <FlagQuestions typed={typed} wrong={wrong} asked={() => undefined} />
      <RadioField
        {...typed.field('last', say('phone.last_dose'))}
        choices={[
          { value: 'hours', label: say('phone.hours_ago') },
          { value: 'never', label: say('phone.never') },
          { value: 'not known', label: say('phone.not_known') },
        ]}
        needed
        wrong={wrong('last_dose')}
      />
      {typed.values['last'] === 'hours' && (
        <TextField
          {...typed.field('hours', say('phone.how_long_ago'))}
          decimal
          unit={say('unit.hours')}
          needed
          wrong={wrong('last_dose')}
        />
      )}
    </Group>
  );
}

/** What the record says of who is on the line, and what only they can say. */
function PersonQuestions({ typed, wrong, asked, doc }: Parts & { asked: () => void; doc: Person | null }): JSX.Element {
  const insulins = [...new Set(doc?.order.lines.filter(isLive).map(({ insulin }) => insulin))];
  return (
    <>
      {doc && doc.taken.length > 0 && (
        <Group title={say('phone.taken')} note={say('phone.taken_note')}>
          <ul class="long said">
            {doc.taken.map((text) => (
              <li>
                <Words text={text} />
              </li>
            ))}
          </ul>
        </Group>
      )}
      <Group title={say('phone.caller_says')} note={say('phone.from_record')}>
        {insulins.length > 1 && (
          <SelectField
            {...typed.field('insulin', say('phone.which_insulin'))}
            choices={insulins.map((name) => ({ value: name, label: name }))}
            empty={say('phone.next_due')}
            wrong={wrong('insulin')}
          />
        )}
        <UnitsField {...typed.field('left', say('phone.left'))} needed={false} wrong={wrong('left_units')} />
        <TextField
          {...typed.field('strength', say('phone.strength'))}
          decimal
          unit={say('unit.units_per_ml')}
          needed={false}
          wrong={wrong('strength_units_per_ml')}
          hint={say('phone.strength_hint')}
        />
      </Group>
      <Group title={say('phone.first')} note={say('phone.person_note')}>
        <FlagQuestions typed={typed} wrong={wrong} asked={asked} />
        <RadioField {...typed.field('missed', say('phone.missed'))} choices={yesNo} needed wrong={wrong('missed')} />
      </Group>
    </>
  );
}

function PenQuestions({ form, typed, wrong }: Parts & { form: PhoneForm }): JSX.Element {
  const asks = asksOfPrime(typed.values);
  return (
    <>
      <Group title={say('phone.pen_and_insulin')}>
        <SelectField
          {...typed.field('insulin', say('products.insulin'))}
          empty={say('form.choose')}
          needed
          choices={form.insulins.map((one) => ({ value: `${one.name}|${one.strength_units_per_ml}`, label: one.label }))}
          wrong={wrong('insulin')}
        />
        <SelectField
          {...typed.field('pen', say('pens.pen'))}
          empty={say('form.choose')}
          needed
          choices={form.pens.map(({ code, label }) => ({ value: code, label }))}
          wrong={wrong('pen')}
        />
      </Group>
      <Group title={say('phone.caller_says')}>
        <UnitsField {...typed.field('dose', say('order.dose'))} needed wrong={wrong('dose_units')} />
        <UnitsField {...typed.field('again', say('phone.dose_again'))} wrong={wrong('dose_again')} />
        <UnitsField {...typed.field('left', say('phone.left'))} needed wrong={wrong('left_units')} />
        <TextField
          {...typed.field('days', say('phone.in_use'))}
          decimal
          unit={say('unit.days')}
          needed={false}
          wrong={wrong('days_in_use')}
          hint={say('phone.in_use_hint', { first: 0 })}
        />
        <TextField {...typed.field('unopened', say('phone.unopened'))} decimal unit={say('unit.items')} wrong={wrong('unopened')} />
        <RadioField {...typed.field('prime', say('phone.priming'))} choices={primes} />
        {asks.spent && <UnitsField {...typed.field('spent', say('phone.spent'))} needed wrong={wrong('spent_units')} />}
        {asks.dry && (
          <TextField {...typed.field('dry', say('phone.tries'))} decimal unit={say('unit.times')} needed wrong={wrong('dry_primes')} />
        )}
        {asks.needle && (
          <RadioField
            {...typed.field('needle', say('skin.needle'))}
            choices={[
              { value: 'first', label: say('phone.needle_first') },
              { value: 'new', label: say('phone.needle_new') },
              { value: 'another', label: say('phone.needle_other') },
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

/** A yes to what a note of the call keeps is lost with the page, until it is on record: leaving asks (H53). Gives back what to ask and what to call then. */
function useOwed(picked: Picked | null, asked: PhoneAsk): { mayGo: () => boolean; kept: () => void } {
  const [kept, setKept] = useState('');
  const said = JSON.stringify([picked?.id, asked]);
  const owed = useRef(false);
  owed.current = picked !== null && saidYes(asked) && kept !== said;
  useEffect(() => guardLeaving(() => owed.current, say('phone.leave')), []);
  return { mayGo: () => !owed.current || confirm(say('phone.leave')), kept: () => setKept(said) };
}

/** What an answer rests on: the record as it is, and which injection is the next one by now. */
const groundOf = (person: Person | null): string =>
  person ? [person.version, person.next?.state, person.next?.key, person.next?.dose_text].join(' ') : '';

function Desk({ form }: { form: PhoneForm }): JSX.Element {
  const typed = useTyped<Values>(unasked);
  const [picked, setPicked] = useState<Picked | null>(null);
  const [answered, setAnswered] = useState(0); // the first questions at one press: the answer is worked out at once
  const record = useDocument<Person>(picked ? `/api/people/${picked.id}` : '', { everyMinute: picked !== null });
  const desk = useAnswer<PhoneAnswer>('/api/phone', typed.values, { of: groundOf(record.doc), freshen: record.reload });
  const flags = flagsOf(typed.values);
  const owed = useOwed(picked, flags);
  const ask = async (): Promise<PhoneAnswer | null> => {
    const answer = await desk.ask(picked ? askFor(picked, typed.values) : askOf(typed.values));
    typed.settled();
    return answer;
  };
  useEffect(() => {
    if (answered > 0 && picked) void ask();
  }, [answered]);
  return (
    <div class="phone-cols">
      <Form submit={() => void ask()} button={say('phone.work_out')} busy={desk.busy} refused={desk.refused}>
        <PersonPick
          picked={picked}
          pick={(person) => {
            if (!owed.mayGo()) return;
            setPicked(person);
            typed.change(unasked); // what one person said is nobody else's (H55)
            typed.settled();
            desk.clear();
          }}
        />
        {picked ? (
          <PersonQuestions key={picked.id} typed={typed} wrong={desk.wrong} doc={record.doc} asked={() => setAnswered(answered + 1)} />
        ) : (
          <>
            <FirstQuestions typed={typed} wrong={desk.wrong} />
            <PenQuestions form={form} typed={typed} wrong={desk.wrong} />
          </>
        )}
      </Form>
      <div class="answer-side">
        {desk.busy && <Waiting />}
        {picked && (
          <PersonAnswer
            key={picked.id}
            person={picked}
            doc={record}
            answer={desk.answer}
            gone={desk.gone}
            asked={{ ...flags, missed: typedIn(typed.values, 'missed') as Said }}
            ask={ask}
            kept={owed.kept}
          />
        )}
        {!picked && (
          <div aria-live="polite">
            {desk.gone && <TakenBack gone={desk.gone} />}
            {desk.answer && !desk.gone && <NextInjection card={desk.answer.card} low={desk.answer.low} recorder={null} />}
            {!desk.answer && !desk.busy && <p class="soft">{say('phone.dose_answer')}</p>}
          </div>
        )}
      </div>
    </div>
  );
}

export function PhonePage(): JSX.Element {
  const doc = useDocument<PhoneForm>('/api/phone');
  useTitle(say('nav.phone'), doc.doc !== null);
  return (
    <Shown of={doc}>
      {(form) => (
        <>
          <h1 class="headline" tabIndex={-1}>
            {say('nav.phone')} <span>{say('phone.on_line')}</span>
          </h1>
          <PhoneTabs current="order.dose" />
          <Desk form={form} />
        </>
      )}
    </Shown>
  );
}
