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
import { say } from '../words';

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
    <Group title={say('phone.needle_and_site')}>
      <SelectField
        {...typed.field('zone', say('skin.part'))}
        choices={form.parts}
        empty={say('form.choose')}
        needed
        wrong={wrong('zone')}
      />
      <SelectField
        {...typed.field('needle_mm', say('skin.needle'))}
        choices={form.needles}
        empty={say('form.choose')}
        needed
        wrong={wrong('needle_mm')}
      />
      <RadioField
        {...typed.field('angle_deg', say('skin.angle'))}
        choices={[
          { value: '90', label: say('skin.straight', { angle: 90 }) },
          { value: '45', label: say('skin.slanted', { angle: 45 }) },
        ]}
        wrong={wrong('angle_deg')}
      />
      <div class="field">
        <CheckField
          label={say('skin.fold')}
          name="fold"
          value={typed.values['fold'] === 'true'}
          set={(on) => typed.change({ fold: String(on) })}
        />
        <CheckField
          label={say('skin.can_fold')}
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
    <Group title={say('phone.which_people')} note={say('phone.which_people_note')}>
      <SelectField
        {...typed.field('people', say('phone.people'))}
        choices={form.people}
        empty={say('form.choose')}
        needed
        wrong={wrong('people')}
      />
      <TextField
        {...typed.field('age_years', say('phone.age'))}
        decimal
        unit={say('unit.years')}
        needed={needs.includes('age_years')}
        wrong={wrong('age_years')}
        hint={say('phone.age_hint')}
      />
      {needs.includes('pregnancy_week') && (
        <TextField
          {...typed.field('pregnancy_week', say('phone.pregnancy_week'))}
          decimal
          unit={say('unit.weeks')}
          needed
          wrong={wrong('pregnancy_week')}
        />
      )}
      <SelectField
        {...typed.field('sex', say('skin.sex'))}
        choices={form.sexes.filter(({ value }) => value !== '')}
        empty={say('form.not_specified')}
        needed={false}
        wrong={wrong('sex')}
      />
      <TextField
        {...typed.field('bmi_kg_m2', say('phone.bmi'))}
        decimal
        unit={say('unit.kg_m2')}
        needed={false}
        wrong={wrong('bmi_kg_m2')}
        hint={say('phone.bmi_hint')}
      />
      <TextField
        {...typed.field('measured_mm', say('phone.ultrasound'))}
        decimal
        unit={say('unit.mm')}
        needed={false}
        wrong={wrong('measured_mm')}
      />
      {text(typed.values, 'measured_mm') !== '' && (
        <TextField
          {...typed.field('measured_sd_mm', say('skin.deviation'))}
          decimal
          unit={say('unit.mm')}
          needed
          wrong={wrong('measured_sd_mm')}
        />
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
      <Form submit={() => void submit()} button={say('phone.work_out')} busy={desk.busy} refused={desk.refused}>
        <NeedleFields form={form} typed={typed} wrong={desk.wrong} />
        <PersonFields form={form} typed={typed} wrong={desk.wrong} needs={needs} />
      </Form>
      <div class="answer-side" aria-live="polite">
        {desk.busy && <Waiting />}
        {desk.answer && <ReachView reach={desk.answer.reach} title={say('phone.answer')} />}
        {!desk.answer && !desk.busy && <p class="soft">{say('phone.depth_answer')}</p>}
      </div>
    </div>
  );
}

export function PhoneReachPage(): JSX.Element {
  const doc = useDocument<ReachForm>('/api/phone/reach');
  useTitle(say('phone.depth_title'), doc.doc !== null);
  return (
    <Shown of={doc}>
      {(form) => (
        <>
          <h1 class="headline" tabIndex={-1}>
            {say('nav.phone')} <span>{say('phone.depth_about')}</span>
          </h1>
          <PhoneTabs current="skin.depth" />
          <ReachDesk form={form} />
        </>
      )}
    </Shown>
  );
}
