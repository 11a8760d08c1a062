// Body, ultrasound and rules: each said whole, prefilled with what the last fact said.
import type { JSX } from 'preact';
import { amount, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import { useDocument } from '../document';
import type { FactDraft, PlaceForms, PlacesPage } from '../model';
import { RadioField, SelectField, TextField, type Choice } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { ShownIn } from '../parts/states';
import { LostPage } from '../pages/lost';
import { PersonFrame, type InFrame } from '../person/frame';
import { CheckGroup, orUnknown, saidOf, textOf, ticked, ticks } from './fields';
import { ExamineForm } from './examine';
import { centimetres, millimetres } from './lengths';

export type InForm = InFrame & { page: PlacesPage; query: URLSearchParams };

const when = { when: 'now', happened_local: '', told_by: '' };
const trimmed = (text: string): string => text.trim();

function BodyForm({ person, recorder, page }: InForm): JSX.Element {
  const { body, sexes } = page.forms;
  const typed = useTyped<Values>({
    sex: textOf(body, 'sex') || 'unknown',
    height_cm: textOf(body, 'height_cm'),
    waist_cm: textOf(body, 'waist_cm'),
    due: textOf(body, 'due'),
    ...when,
  });
  const back = `/people/${person.id}/skin`;
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const submit = (): void => {
    const draft: FactDraft = {
      what: 'body measured',
      sex: values['sex'],
      ...optional('height_cm', values['height_cm'] ?? '', amount),
      ...optional('waist_cm', values['waist_cm'] ?? '', amount),
      ...optional('due', values['due'] ?? '', trimmed),
      ...whenDraft(values),
    };
    void form.send(
      'The body measured',
      [draft],
      [
        ['Height', values['height_cm'] ?? ''],
        ['Waist', values['waist_cm'] ?? ''],
        ['The child is expected on', values['due'] ?? ''],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>Measure the body</h2>
      </header>
      <p class="lead">How large the zones are drawn, and whose published thicknesses apply. What stays empty stays unknown.</p>
      <Form submit={submit} button="Record the measures" busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <RadioField {...typed.field('sex', 'Sex')} choices={orUnknown(sexes)} wrong={form.wrong['sex']} />
          <TextField {...typed.field('height_cm', 'Height')} decimal unit="cm" needed={false} wrong={form.wrong['height_cm']} />
          <TextField {...typed.field('waist_cm', 'Waist, at the navel')} decimal unit="cm" needed={false} wrong={form.wrong['waist_cm']} />
          <TextField {...typed.field('due', 'A child is expected on')} type="date" short needed={false} wrong={form.wrong['due']} />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

function DepthForm({ person, recorder, page }: InForm): JSX.Element {
  const typed = useTyped<Values>({ zone: '', depth_mm: '', sd_mm: '', text: '', ...when });
  const back = `/people/${person.id}/skin`;
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const submit = (): void => {
    const draft: FactDraft = {
      what: 'depth measured',
      zone: values['zone'],
      depth_mm: amount(values['depth_mm'] ?? ''),
      sd_mm: amount(values['sd_mm'] ?? ''),
      ...optional('text', values['text'] ?? '', trimmed),
      ...whenDraft(values),
    };
    void form.send(
      'An ultrasound',
      [draft],
      [
        ['Where', saidOf(page.forms.zones, values['zone'] ?? '')],
        ['Skin to muscle', `${values['depth_mm']} mm`],
        ['Give or take', `${values['sd_mm']} mm`],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>An ultrasound</h2>
      </header>
      <p class="lead">
        From the skin’s surface to the muscle, without a fold and without pressing. It goes before what was published about other people.
      </p>
      <Form submit={submit} button="Record the ultrasound" busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <SelectField {...typed.field('zone', 'Where')} choices={page.forms.zones} empty="choose" needed wrong={form.wrong['zone']} />
          <TextField {...typed.field('depth_mm', 'Skin to muscle')} decimal unit="mm" needed wrong={form.wrong['depth_mm']} />
          <TextField
            {...typed.field('sd_mm', 'Give or take')}
            decimal
            unit="mm"
            needed
            wrong={form.wrong['sd_mm']}
            hint="The standard deviation of the measurement, as the device or its report states it."
          />
          <TextField {...typed.field('text', 'In words')} needed={false} wrong={form.wrong['text']} />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const angles: Choice[] = [
  { value: '90', label: 'Straight in, 90 degrees' },
  { value: '45', label: 'Slanted, 45 degrees' },
];

/** What was recorded stays a choice, whatever is offered. */
const withRecorded = (choices: Choice[], value: string, label: string): Choice[] =>
  value === '' || choices.some((choice) => choice.value === value) ? choices : [...choices, { value, label }];

const partsSaid = (rules: Record<string, unknown>): Values =>
  Object.fromEntries(
    (Array.isArray(rules['parts']) ? rules['parts'] : []).map((one: { slot?: unknown; part?: unknown }) => [
      `slot:${String(one.slot)}`,
      String(one.part),
    ]),
  );

const rulesStart = ({ rules, slots }: PlaceForms): Values => ({
  ...ticks('zone', rules['zones']),
  ...Object.fromEntries(slots.map(({ value, part }) => [`slot:${value}`, part])),
  ...partsSaid(rules),
  rest_days: textOf(rules, 'rest_days'),
  spacing: centimetres(rules['spacing_mm']),
  navel_clear: centimetres(rules['navel_clear_mm']),
  turn: textOf(rules, 'turn'),
  needle_mm: textOf(rules, 'needle_mm'),
  angle_deg: textOf(rules, 'angle_deg'),
  fold: textOf(rules, 'fold') || 'unknown',
  can_fold: textOf(rules, 'can_fold') || 'unknown',
  people: textOf(rules, 'people'),
});

/** Slots that the rules name and the order no longer has are carried along: the order may come back to them. */
function partsOf(values: Values): { slot: string; part: string }[] {
  return Object.entries(values)
    .filter(([name, part]) => name.startsWith('slot:') && part !== '')
    .map(([name, part]) => ({ slot: name.slice('slot:'.length), part }));
}

const rulesDraft = (forms: PlaceForms, values: Values): FactDraft => ({
  what: 'place rules set',
  zones: ticked(values, 'zone', forms.zones),
  parts: partsOf(values),
  rest_days: amount(values['rest_days'] ?? ''),
  spacing_mm: millimetres(values['spacing'] ?? ''),
  navel_clear_mm: millimetres(values['navel_clear'] ?? ''),
  turn: values['turn'],
  ...optional('needle_mm', values['needle_mm'] ?? '', amount),
  angle_deg: amount(values['angle_deg'] ?? ''),
  fold: values['fold'],
  can_fold: values['can_fold'],
  people: values['people'] ?? '',
});

function WhereRules({ forms, typed, wrong }: { forms: PlaceForms; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  return (
    <Group title="Where">
      <CheckGroup
        legend="Zones that are allowed"
        name="zone"
        choices={forms.zones}
        typed={typed}
        wrong={wrong['zones']}
        hint="Left and right are the person’s own. The backs of the arms only where somebody can lift a fold there."
      />
      <div class="field slot-parts">
        {forms.slots.map(({ value, label }) => (
          <SelectField key={value} {...typed.field(`slot:${value}`, label)} choices={forms.parts} empty="the plan chooses" />
        ))}
        {forms.slots.length > 0 && (
          <p class="hint">The same part of the body at the same time of day: insulin is taken up at another pace elsewhere.</p>
        )}
      </div>
    </Group>
  );
}

function RestRules({ forms, typed, wrong }: { forms: PlaceForms; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  return (
    <Group title="How long, how far">
      <TextField {...typed.field('rest_days', 'Each spot rests')} decimal unit="days" needed wrong={wrong['rest_days']} />
      <TextField
        {...typed.field('spacing', 'Spots are apart by')}
        decimal
        unit="cm"
        needed
        wrong={wrong['spacing_mm']}
        hint="1 cm or more."
      />
      <TextField {...typed.field('navel_clear', 'Clear of the navel by')} decimal unit="cm" needed wrong={wrong['navel_clear_mm']} />
      <RadioField {...typed.field('turn', 'On to the next zone')} choices={forms.turns} stacked wrong={wrong['turn']} />
    </Group>
  );
}

function HowRules({ forms, typed, wrong }: { forms: PlaceForms; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  const { people } = forms;
  return (
    <Group title="How the needle goes in">
      <TextField {...typed.field('needle_mm', 'Needle')} decimal unit="mm" needed={false} wrong={wrong['needle_mm']} />
      <RadioField
        {...typed.field('angle_deg', 'Angle')}
        choices={withRecorded(angles, typed.values['angle_deg'] ?? '', `${typed.values['angle_deg']} degrees`)}
        stacked
        wrong={wrong['angle_deg']}
      />
      <RadioField {...typed.field('fold', 'A fold is lifted')} choices={orUnknown(forms.yes_no)} wrong={wrong['fold']} />
      <RadioField {...typed.field('can_fold', 'Somebody can lift one')} choices={orUnknown(forms.yes_no)} wrong={wrong['can_fold']} />
      <SelectField
        {...typed.field('people', 'Whose published thicknesses')}
        choices={people}
        {...(people.some(({ value }) => value === '') ? {} : { empty: 'worked out from age and pregnancy' })}
        wrong={wrong['people']}
      />
    </Group>
  );
}

function RulesForm({ person, recorder, page }: InForm): JSX.Element {
  const { forms } = page;
  const typed = useTyped<Values>(rulesStart(forms));
  const back = `/people/${person.id}/skin`;
  const form = useFactForm(recorder, typed, back);
  const parts = { forms, typed, wrong: form.wrong };
  const submit = (): void => {
    const draft = rulesDraft(forms, typed.values);
    if (ticked(typed.values, 'zone', forms.zones).length === 0) return form.complain({ zones: 'At least one zone is needed.' });
    void form.send(
      'Rules for places',
      [draft],
      [
        [
          'Zones',
          ticked(typed.values, 'zone', forms.zones)
            .map((zone) => saidOf(forms.zones, zone))
            .join(', '),
        ],
        ['Each spot rests', `${typed.values['rest_days']} days`],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>Rules for places</h2>
      </header>
      <p class="lead">Where this person may inject, and how. Every plan from now on keeps to it.</p>
      <Form submit={submit} button="Record the rules" busy={recorder.busy} refused={form.refused} cancel={back}>
        <WhereRules {...parts} />
        <RestRules {...parts} />
        <HowRules {...parts} />
      </Form>
    </section>
  );
}

const forms: Record<string, [string, (inside: InForm) => JSX.Element]> = {
  body: ['measure the body', (inside) => <BodyForm {...inside} />],
  depth: ['an ultrasound', (inside) => <DepthForm {...inside} />],
  rules: ['rules for places', (inside) => <RulesForm {...inside} />],
  examine: ['look and feel', (inside) => <ExamineForm {...inside} />],
};

export function SkinFormPage({ id, part, query }: { id: string; part: string; query: URLSearchParams }): JSX.Element {
  const doc = useDocument<PlacesPage>(`/api/people/${id}/places`);
  const [title, form] = forms[part] ?? ['', null];
  if (form === null) return <LostPage />;
  return (
    <PersonFrame id={id} tab="Skin and places" title={title}>
      {(inside) => (
        <ShownIn of={doc} title="Skin and places">
          {(page) => form({ ...inside, page, query })}
        </ShownIn>
      )}
    </PersonFrame>
  );
}
