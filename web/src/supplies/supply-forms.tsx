// The forms under "Supplies": rules, sharps box, trip, a talk about differing accounts; the longer ones have files of their own.
import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import { amount, newId, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import { useDocument } from '../document';
import type { FactDraft, SuppliesPage } from '../model';
import { LongField, RadioField, SelectField, TextField, type Choice } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { ShownIn } from '../parts/states';
import { LostPage } from '../pages/lost';
import { PersonFrame } from '../person/frame';
import { insulinKey } from '../person/insulins';
import { orUnknown, saidOf, textOf } from '../skin/fields';
import { CountForm } from './count-form';
import { backTo, trimmed, when, type InForm } from './fields';
import { GiveForm } from './give-form';
import { HandOutForm } from './hand-out-form';
import { percentOf, thousandOf } from './numbers';
import { TestForm } from './test-form';
import { say } from '../words';

const counted = [
  'lead_days',
  'late_days',
  'late_percent',
  'spare_cartridges',
  'spare_pens',
  'for_days',
  'cartridges_per_box',
  'needles_per_box',
  'failed_needles_percent',
];

const plain_service = 990; // thousandths; below it, somebody has decided so and says why

interface Parts {
  typed: Typed<Values>;
  wrong: Record<string, string>;
}

function HowLong({ typed, wrong }: Parts): JSX.Element {
  return (
    <Group title={say('supply.delivery_time')}>
      <TextField
        {...typed.field('lead_days', say('supply.lead_days'))}
        decimal
        unit={say('unit.working_days')}
        needed
        wrong={wrong['lead_days']}
        hint={say('supply.lead_days_hint')}
      />
      <TextField
        {...typed.field('late_percent', say('supply.late_percent'))}
        decimal
        unit="%"
        needed
        wrong={wrong['late_percent']}
        hint={say('supply.late_percent_hint', { never: 0 })}
      />
      <TextField
        {...typed.field('late_days', say('supply.late_days'))}
        decimal
        unit={say('unit.working_days')}
        needed
        wrong={wrong['late_days']}
      />
    </Group>
  );
}

function HowSure({ typed, wrong, low }: Parts & { low: boolean }): JSX.Element {
  return (
    <Group title={say('supply.certainty')}>
      <TextField
        {...typed.field('service', say('supply.service'))}
        decimal
        unit="%"
        needed
        wrong={wrong['service_per_thousand']}
        hint={say('supply.service_hint', { percent: percentOf(plain_service) })}
      />
      {low && (
        <>
          <TextField {...typed.field('service_reason', say('supply.service_reason'))} needed wrong={wrong['service_reason']} />
          <TextField {...typed.field('service_by', say('supply.service_by'))} needed wrong={wrong['service_by']} />
        </>
      )}
    </Group>
  );
}

function HowMuch({ typed, wrong, spreads }: Parts & { spreads: Choice[] }): JSX.Element {
  const whole = (name: string, label: string, unit: string, hint?: string): JSX.Element => (
    <TextField key={name} {...typed.field(name, label)} decimal unit={unit} needed wrong={wrong[name]} hint={hint} />
  );
  return (
    <>
      <Group title={say('supply.safety_stock')}>
        {whole('spare_cartridges', say('supply.spare_cartridges'), say('unit.cartridges'), say('supply.spare_cartridges_hint'))}
        {whole('spare_pens', say('supply.spare_pens'), say('unit.pens'))}
      </Group>
      <Group title={say('supply.amount')}>
        {whole('for_days', say('supply.for_days'), say('unit.days'))}
        {whole('cartridges_per_box', say('supply.box_cartridges'), say('unit.cartridges'))}
        {whole('needles_per_box', say('supply.box_needles'), say('unit.needles'))}
        {whole('failed_needles_percent', say('supply.failed_needles'), '%', say('supply.failed_needles_hint'))}
        <RadioField {...typed.field('spread', say('supply.spread'))} choices={spreads} stacked wrong={wrong['spread']} />
      </Group>
    </>
  );
}

function RulesForm({ person, recorder, page }: InForm): JSX.Element {
  const { rules, spreads } = page.forms;
  const typed = useTyped<Values>({
    ...Object.fromEntries(counted.map((name) => [name, textOf(rules, name)])),
    service: percentOf(rules['service_per_thousand']),
    service_reason: textOf(rules, 'service_reason'),
    service_by: textOf(rules, 'service_by'),
    spread: textOf(rules, 'spread'),
    ...when,
  });
  const back = backTo(person.id);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const service = thousandOf(values['service'] ?? '');
  const low = typeof service === 'number' && service < plain_service;
  const submit = (): void => {
    const draft: FactDraft = {
      what: 'supply rules set',
      ...Object.fromEntries(counted.map((name) => [name, amount(values[name] ?? '')])),
      service_per_thousand: service,
      ...(low ? { service_reason: trimmed(values['service_reason'] ?? ''), service_by: trimmed(values['service_by'] ?? '') } : {}),
      spread: values['spread'],
      ...whenDraft(values),
    };
    void form.send(
      say('supply.rules'),
      [draft],
      [
        [say('supply.certainty'), say('unit.percent_of', { value: values['service'] ?? '' })],
        [say('supply.delivery_time'), say('unit.working_days_of', { days: values['lead_days'] ?? '' })],
        [say('supply.for_days'), say('unit.days_of', { days: values['for_days'] ?? '' })],
      ],
    );
  };
  const parts = { typed, wrong: form.wrong };
  return (
    <section class="sec">
      <header>
        <h2>{say('supply.rules')}</h2>
      </header>
      <p class="lead">{say('supply.rules_lead')}</p>
      <Form submit={submit} button={say('form.record_rules')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <HowLong {...parts} />
        <HowSure {...parts} low={low} />
        <HowMuch {...parts} spreads={spreads} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

function BoxForm({ person, recorder }: InForm): JSX.Element {
  const typed = useTyped<Values>({ holds_needles: '', ...when });
  const box = useRef(newId());
  const back = backTo(person.id);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const submit = (): void => {
    const draft: FactDraft = {
      what: 'sharps box given',
      box: box.current,
      holds_needles: amount(values['holds_needles'] ?? ''),
      ...whenDraft(values),
    };
    void form.send(
      say('supply.sharps_given'),
      [draft],
      [[say('supply.sharps_full'), say('unit.needles_of', { needles: values['holds_needles'] ?? '' })]],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('supply.sharps_give')}</h2>
      </header>
      <p class="lead">{say('supply.sharps_lead')}</p>
      <Form submit={submit} button={say('supply.sharps_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <TextField
            {...typed.field('holds_needles', say('supply.sharps_full'))}
            decimal
            unit={say('unit.needles')}
            needed
            wrong={form.wrong['holds_needles']}
            hint={say('supply.sharps_full_hint')}
          />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

function TripForm({ person, recorder, page, zones }: InForm): JSX.Element {
  const typed = useTyped<Values>({ leaves: '', returns: '', zone: '', warmest_celsius: '', pharmacy: 'unknown', text: '', ...when });
  const back = backTo(person.id);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const submit = (): void => {
    const draft: FactDraft = {
      what: 'trip planned',
      leaves: values['leaves'],
      returns: values['returns'],
      ...optional('zone', values['zone'] ?? '', trimmed),
      ...optional('warmest_celsius', values['warmest_celsius'] ?? '', amount),
      pharmacy: values['pharmacy'],
      ...optional('text', values['text'] ?? '', trimmed),
      ...whenDraft(values),
    };
    void form.send(
      say('supply.trip_planned'),
      [draft],
      [
        [say('supply.trip_leaves'), values['leaves'] ?? ''],
        [say('supply.trip_returns'), values['returns'] ?? ''],
        [say('supply.trip_zone'), values['zone'] ?? ''],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('supply.trip_plan')}</h2>
      </header>
      <p class="lead">{say('supply.trip_lead')}</p>
      <Form submit={submit} button={say('supply.trip_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          {(['leaves', 'returns'] as const).map((day) => (
            <TextField
              {...typed.field(day, say(`supply.trip_${day}`))}
              type="date"
              sense="lies ahead"
              short
              needed
              wrong={form.wrong[day]}
            />
          ))}
          <TextField
            {...typed.field('zone', say('supply.trip_zone'))}
            offers={zones}
            needed={false}
            wrong={form.wrong['zone']}
            hint={say('supply.trip_zone_hint', { zone: person.forms.zone })}
          />
          <TextField
            {...typed.field('warmest_celsius', say('supply.trip_warmest'))}
            decimal
            unit={say('unit.celsius')}
            needed={false}
            wrong={form.wrong['warmest_celsius']}
          />
          <RadioField
            {...typed.field('pharmacy', say('supply.trip_pharmacy'))}
            choices={orUnknown(page.forms.yes_no)}
            wrong={form.wrong['pharmacy']}
          />
          <LongField {...typed.field('text', say('form.in_words'))} needed={false} wrong={form.wrong['text']} />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const keyOf = (fact: FactDraft | undefined): string =>
  fact && typeof fact['insulin'] === 'string' && typeof fact['strength_units_per_ml'] === 'number'
    ? insulinKey(fact['insulin'], fact['strength_units_per_ml'])
    : '';

/** The period of an insulin's accounts, as its own button would record it. */
function periodOf({ accounts }: SuppliesPage, insulin: string): Values {
  const fact = accounts.map(({ record }) => record?.facts[0]).find((one) => insulin !== '' && keyOf(one) === insulin);
  return { from: textOf(fact ?? null, 'from'), until: textOf(fact ?? null, 'until') };
}

function TalkForm({ person, recorder, page, query }: InForm): JSX.Element {
  const insulins = new Map(
    page.forms.insulins.map(({ insulin, strength_units_per_ml: strength }) => [
      insulinKey(insulin, strength),
      say('supply.insulin_strength', { insulin, strength }),
    ]),
  );
  const choices = [...insulins].map(([value, label]) => ({ value, label }));
  const start = query.get('insulin') ?? (choices.length === 1 ? (choices[0]?.value ?? '') : '');
  const typed = useTyped<Values>({ insulin: start, ...periodOf(page, start), because: '', text: '', ...when });
  const back = backTo(person.id);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const submit = (): void => {
    const [insulin = '', strength = ''] = (values['insulin'] ?? '').split('|');
    const draft: FactDraft = {
      what: 'difference talked over',
      from: values['from'],
      until: values['until'],
      insulin,
      strength_units_per_ml: amount(strength),
      because: values['because'],
      ...optional('text', values['text'] ?? '', trimmed),
      ...whenDraft(values),
    };
    void form.send(
      say('supply.talk'),
      [draft],
      [
        [say('products.insulin'), saidOf(choices, values['insulin'] ?? '')],
        [say('supply.talk_outcome'), saidOf(page.forms.explained, values['because'] ?? '')],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('supply.talk')}</h2>
      </header>
      <p class="lead">{say('supply.talk_lead')}</p>
      <Form submit={submit} button={say('supply.talk_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <SelectField
            label={say('products.insulin')}
            name="insulin"
            value={values['insulin'] ?? ''}
            set={(insulin) => typed.change({ insulin, ...periodOf(page, insulin) })}
            choices={choices}
            empty={say('form.choose')}
            needed
            wrong={form.wrong['insulin']}
          />
          <SelectField
            {...typed.field('because', say('supply.talk_outcome'))}
            choices={page.forms.explained}
            empty={say('form.choose')}
            needed
            wrong={form.wrong['because']}
          />
          <TextField {...typed.field('from', say('supply.talk_from'))} type="date" short needed wrong={form.wrong['from']} />
          <TextField {...typed.field('until', say('supply.talk_until'))} type="date" short needed wrong={form.wrong['until']} />
          <LongField {...typed.field('text', say('form.in_words'))} needed={false} wrong={form.wrong['text']} />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const forms: Record<string, [string, (inside: InForm) => JSX.Element]> = {
  'hand-out': [say('supply.issue'), (inside) => <HandOutForm {...inside} />],
  give: [say('supply.give'), (inside) => <GiveForm {...inside} />],
  count: [say('supply.count'), (inside) => <CountForm {...inside} />],
  rules: [say('supply.rules'), (inside) => <RulesForm {...inside} />],
  box: [say('supply.sharps_give'), (inside) => <BoxForm {...inside} />],
  trip: [say('supply.trip_plan'), (inside) => <TripForm {...inside} />],
  test: [say('pentest.record_one'), (inside) => <TestForm {...inside} />],
  talk: [say('supply.talk'), (inside) => <TalkForm {...inside} />],
};

export function SupplyFormPage({
  id,
  part,
  query,
  zones,
}: {
  id: string;
  part: string;
  query: URLSearchParams;
  zones: string[];
}): JSX.Element {
  const doc = useDocument<SuppliesPage>(`/api/people/${id}/supplies`);
  const [title, form] = forms[part] ?? ['', null];
  if (form === null) return <LostPage />;
  return (
    <PersonFrame id={id} tab="tab.supplies" title={title}>
      {(inside) => (
        <ShownIn of={doc} title={say('tab.supplies')}>
          {(page) => form({ ...inside, page, query, zones })}
        </ShownIn>
      )}
    </PersonFrame>
  );
}
