// Reach without a person: how deep a needle goes, asked on the phone. Nobody's record is read or written.
import type { JSX } from 'preact';
import { useDocument } from '../document';
import type { ReachAnswer, ReachAsk, ReachForm } from '../model';
import { CheckField, RadioField, SelectField, TextField } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { Shown, Waiting } from '../parts/states';
import { useTitle } from '../parts/title';
import { ReachView } from '../skin/sections';
import { PhoneTabs } from './phone-tabs';
import { useAnswer } from './use-answer';

const text = (values: Values, name: string): string => (values[name] ?? '').trim();

const askOf = (values: Values, needs: string[]): ReachAsk => ({
  zone: text(values, 'zone'),
  needle_mm: text(values, 'needle_mm'),
  angle_deg: text(values, 'angle_deg'),
  fold: values['fold'] === 'true',
  can_fold: values['can_fold'] === 'true',
  people: text(values, 'people'),
  sex: text(values, 'sex'),
  bmi_kg_m2: text(values, 'bmi_kg_m2'),
  age_years: text(values, 'age_years'),
  pregnancy_week: needs.includes('pregnancy_week') ? text(values, 'pregnancy_week') : '',
  measured_mm: text(values, 'measured_mm'),
  measured_sd_mm: text(values, 'measured_sd_mm'),
});

interface Parts {
  form: ReachForm;
  typed: Typed<Values>;
  wrong: (name: string) => string | undefined;
}

function NeedleFields({ form, typed, wrong }: Parts): JSX.Element {
  return (
    <Group title="Needle and place">
      <SelectField {...typed.field('zone', 'Part of the body')} choices={form.parts} empty="choose" needed wrong={wrong('zone')} />
      <SelectField {...typed.field('needle_mm', 'Needle')} choices={form.needles} empty="choose" needed wrong={wrong('needle_mm')} />
      <RadioField
        {...typed.field('angle_deg', 'Angle')}
        choices={[
          { value: '90', label: 'Straight in' },
          { value: '45', label: 'At 45 degrees' },
        ]}
        wrong={wrong('angle_deg')}
      />
      <div class="field">
        <CheckField
          label="A fold is lifted"
          name="fold"
          value={typed.values['fold'] === 'true'}
          set={(on) => typed.change({ fold: String(on) })}
        />
        <CheckField
          label="Somebody can lift one there"
          name="can_fold"
          value={typed.values['can_fold'] === 'true'}
          set={(on) => typed.change({ can_fold: String(on) })}
        />
      </div>
    </Group>
  );
}

function PersonFields({ form, typed, wrong, needs }: Parts & { needs: string[] }): JSX.Element {
  return (
    <Group title="Whose skin" note="Numbers hold for the people that were measured, and for nobody else.">
      <SelectField {...typed.field('people', 'People')} choices={form.people} empty="choose" needed wrong={wrong('people')} />
      <TextField
        {...typed.field('age_years', 'Age')}
        decimal
        unit="years"
        needed={needs.includes('age_years')}
        wrong={wrong('age_years')}
        hint="Said, it is checked against the people above."
      />
      {needs.includes('pregnancy_week') && (
        <TextField {...typed.field('pregnancy_week', 'Week of pregnancy')} decimal unit="weeks" needed wrong={wrong('pregnancy_week')} />
      )}
      <SelectField
        {...typed.field('sex', 'Sex')}
        choices={form.sexes.filter(({ value }) => value !== '')}
        empty="not said"
        needed={false}
        wrong={wrong('sex')}
      />
      <TextField
        {...typed.field('bmi_kg_m2', 'Body mass index')}
        decimal
        unit="kg/m²"
        needed={false}
        wrong={wrong('bmi_kg_m2')}
        hint="With the sex, or not at all."
      />
      <TextField
        {...typed.field('measured_mm', 'Skin to muscle by ultrasound')}
        decimal
        unit="mm"
        needed={false}
        wrong={wrong('measured_mm')}
      />
      {text(typed.values, 'measured_mm') !== '' && (
        <TextField {...typed.field('measured_sd_mm', 'Give or take')} decimal unit="mm" needed wrong={wrong('measured_sd_mm')} />
      )}
    </Group>
  );
}

function ReachDesk({ form }: { form: ReachForm }): JSX.Element {
  const typed = useTyped<Values>({
    zone: '',
    needle_mm: '',
    angle_deg: '90',
    fold: 'false',
    can_fold: 'true',
    people: form.people[0]?.value ?? '',
    sex: '',
    bmi_kg_m2: '',
    age_years: '',
    pregnancy_week: '',
    measured_mm: '',
    measured_sd_mm: '',
  });
  const desk = useAnswer<ReachAnswer>('/api/phone/reach', typed.values);
  const needs: string[] = form.people.find(({ value }) => value === typed.values['people'])?.needs ?? [];
  const submit = async (): Promise<void> => {
    await desk.ask(askOf(typed.values, needs));
    typed.settled();
  };
  return (
    <div class="phone-cols">
      <Form submit={() => void submit()} button="Work it out" busy={desk.busy} refused={desk.refused}>
        <NeedleFields form={form} typed={typed} wrong={desk.wrong} />
        <PersonFields form={form} typed={typed} wrong={desk.wrong} needs={needs} />
      </Form>
      <div class="answer-side" aria-live="polite">
        {desk.busy && <Waiting />}
        {desk.answer && <ReachView reach={desk.answer.reach} title="The answer" />}
        {!desk.answer && !desk.busy && (
          <p class="soft">
            The answer stands here: of a hundred injections, how many end in muscle, and which one change lowers that most.
          </p>
        )}
      </div>
    </div>
  );
}

export function PhoneReachPage(): JSX.Element {
  const doc = useDocument<ReachForm>('/api/phone/reach');
  useTitle('Phone desk, reach', doc.doc !== null);
  return (
    <Shown of={doc}>
      {(form) => (
        <>
          <h1 class="headline" tabIndex={-1}>
            Phone desk <span>how deep the needle goes</span>
          </h1>
          <PhoneTabs current="Reach" />
          <ReachDesk form={form} />
        </>
      )}
    </Shown>
  );
}
