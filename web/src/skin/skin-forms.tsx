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
import { say } from '../words';

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
      say('skin.measure'),
      [draft],
      [
        [say('skin.height'), values['height_cm'] ?? ''],
        [say('skin.waist'), values['waist_cm'] ?? ''],
        [say('skin.due'), values['due'] ?? ''],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('skin.measure')}</h2>
      </header>
      <p class="lead">{say('skin.measure_lead')}</p>
      <Form submit={submit} button={say('skin.measure_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <RadioField {...typed.field('sex', say('skin.sex'))} choices={orUnknown(sexes)} wrong={form.wrong['sex']} />
          <TextField
            {...typed.field('height_cm', say('skin.height'))}
            decimal
            unit={say('unit.cm')}
            needed={false}
            wrong={form.wrong['height_cm']}
          />
          <TextField
            {...typed.field('waist_cm', say('skin.waist_at'))}
            decimal
            unit={say('unit.cm')}
            needed={false}
            wrong={form.wrong['waist_cm']}
          />
          <TextField
            {...typed.field('due', say('skin.due'))}
            type="date"
            sense="lies ahead"
            short
            needed={false}
            wrong={form.wrong['due']}
          />
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
      say('skin.ultrasound'),
      [draft],
      [
        [say('skin.where'), saidOf(page.forms.zones, values['zone'] ?? '')],
        [say('skin.to_muscle'), say('unit.mm_of', { value: values['depth_mm'] ?? '' })],
        [say('skin.deviation'), say('unit.mm_of', { value: values['sd_mm'] ?? '' })],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('skin.ultrasound')}</h2>
      </header>
      <p class="lead">{say('skin.ultrasound_lead')}</p>
      <Form submit={submit} button={say('skin.ultrasound_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <SelectField
            {...typed.field('zone', say('skin.where'))}
            choices={page.forms.zones}
            empty={say('form.choose')}
            needed
            wrong={form.wrong['zone']}
          />
          <TextField
            {...typed.field('depth_mm', say('skin.to_muscle'))}
            decimal
            unit={say('unit.mm')}
            needed
            wrong={form.wrong['depth_mm']}
          />
          <TextField
            {...typed.field('sd_mm', say('skin.deviation'))}
            decimal
            unit={say('unit.mm')}
            needed
            wrong={form.wrong['sd_mm']}
            hint={say('skin.deviation_hint')}
          />
          <TextField {...typed.field('text', say('form.in_words'))} needed={false} wrong={form.wrong['text']} />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const angles: Choice[] = [
  { value: '90', label: say('skin.straight', { angle: 90 }) },
  { value: '45', label: say('skin.slanted', { angle: 45 }) },
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
    <Group title={say('skin.where')}>
      <CheckGroup
        legend={say('skin.areas')}
        name="zone"
        choices={forms.zones}
        typed={typed}
        wrong={wrong['zones']}
        hint={say('skin.areas_hint')}
      />
      <div class="field slot-parts">
        {forms.slots.map(({ value, label }) => (
          <SelectField key={value} {...typed.field(`slot:${value}`, label)} choices={forms.parts} empty={say('skin.plan_chooses')} />
        ))}
        {forms.slots.length > 0 && <p class="hint">{say('skin.slots_hint')}</p>}
      </div>
    </Group>
  );
}

function RestRules({ forms, typed, wrong }: { forms: PlaceForms; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  return (
    <Group title={say('skin.spots_group')}>
      <TextField {...typed.field('rest_days', say('skin.rest_days'))} decimal unit={say('unit.days')} needed wrong={wrong['rest_days']} />
      <TextField
        {...typed.field('spacing', say('skin.spacing'))}
        decimal
        unit={say('unit.cm')}
        needed
        wrong={wrong['spacing_mm']}
        hint={say('skin.spacing_hint', { least: 1 })}
      />
      <TextField {...typed.field('navel_clear', say('skin.navel'))} decimal unit={say('unit.cm')} needed wrong={wrong['navel_clear_mm']} />
      <RadioField {...typed.field('turn', say('skin.turn'))} choices={forms.turns} stacked wrong={wrong['turn']} />
    </Group>
  );
}

function HowRules({ forms, typed, wrong }: { forms: PlaceForms; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  const { people } = forms;
  return (
    <Group title={say('skin.how_group')}>
      <TextField
        {...typed.field('needle_mm', say('skin.needle'))}
        decimal
        unit={say('unit.mm')}
        needed={false}
        wrong={wrong['needle_mm']}
      />
      <RadioField
        {...typed.field('angle_deg', say('skin.angle'))}
        choices={withRecorded(angles, typed.values['angle_deg'] ?? '', say('unit.degrees_of', { value: typed.values['angle_deg'] ?? '' }))}
        stacked
        wrong={wrong['angle_deg']}
      />
      <RadioField {...typed.field('fold', say('skin.fold'))} choices={orUnknown(forms.yes_no)} wrong={wrong['fold']} />
      <RadioField {...typed.field('can_fold', say('skin.can_fold'))} choices={orUnknown(forms.yes_no)} wrong={wrong['can_fold']} />
      <SelectField
        {...typed.field('people', say('skin.people'))}
        choices={people}
        {...(people.some(({ value }) => value === '') ? {} : { empty: say('skin.people_by_age') })}
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
    if (ticked(typed.values, 'zone', forms.zones).length === 0) return form.complain({ zones: say('skin.areas_needed') });
    void form.send(
      say('skin.rules'),
      [draft],
      [
        [
          say('skin.areas_short'),
          ticked(typed.values, 'zone', forms.zones)
            .map((zone) => saidOf(forms.zones, zone))
            .join(', '),
        ],
        [say('skin.rest_days'), say('unit.days_of', { days: typed.values['rest_days'] ?? '' })],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('skin.rules')}</h2>
      </header>
      <p class="lead">{say('skin.rules_lead')}</p>
      <Form submit={submit} button={say('form.record_rules')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <WhereRules {...parts} />
        <RestRules {...parts} />
        <HowRules {...parts} />
      </Form>
    </section>
  );
}

const forms: Record<string, [string, (inside: InForm) => JSX.Element]> = {
  body: [say('skin.measure'), (inside) => <BodyForm {...inside} />],
  depth: [say('skin.ultrasound'), (inside) => <DepthForm {...inside} />],
  rules: [say('skin.rules'), (inside) => <RulesForm {...inside} />],
  examine: [say('skin.check'), (inside) => <ExamineForm {...inside} />],
};

export function SkinFormPage({ id, part, query }: { id: string; part: string; query: URLSearchParams }): JSX.Element {
  const doc = useDocument<PlacesPage>(`/api/people/${id}/places`);
  const [title, form] = forms[part] ?? ['', null];
  if (form === null) return <LostPage />;
  return (
    <PersonFrame id={id} tab="tab.sites" title={title}>
      {(inside) => (
        <ShownIn of={doc} title={say('tab.sites')}>
          {(page) => form({ ...inside, page, query })}
        </ShownIn>
      )}
    </PersonFrame>
  );
}
