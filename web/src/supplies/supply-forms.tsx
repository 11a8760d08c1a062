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
    <Group title="How long a supply takes">
      <TextField
        {...typed.field('lead_days', 'From asking to having it')}
        decimal
        unit="open days"
        needed
        wrong={wrong['lead_days']}
        hint="Days on which the clinic or the pharmacy hands anything out."
      />
      <TextField
        {...typed.field('late_percent', 'How often it comes late')}
        decimal
        unit="%"
        needed
        wrong={wrong['late_percent']}
        hint="0: never."
      />
      <TextField {...typed.field('late_days', 'When it is late, it takes')} decimal unit="open days" needed wrong={wrong['late_days']} />
    </Group>
  );
}

function HowSure({ typed, wrong, low }: Parts & { low: boolean }): JSX.Element {
  return (
    <Group title="How sure it has to be">
      <TextField
        {...typed.field('service', 'Every dose is covered with')}
        decimal
        unit="% certainty"
        needed
        wrong={wrong['service_per_thousand']}
        hint={`Below ${percentOf(plain_service)} %, somebody has decided it and says why.`}
      />
      {low && (
        <>
          <TextField {...typed.field('service_reason', 'Why less is enough')} needed wrong={wrong['service_reason']} />
          <TextField {...typed.field('service_by', 'Who decided it')} needed wrong={wrong['service_by']} />
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
      <Group title="What stays untouched">
        {whole('spare_cartridges', 'Sealed, of each insulin', 'cartridges', 'Plans do not touch them.')}
        {whole('spare_pens', 'Spare pens, of each insulin', 'pens')}
      </Group>
      <Group title="How much at a time">
        {whole('for_days', 'One dispensing is for', 'days')}
        {whole('cartridges_per_box', 'In a box', 'cartridges')}
        {whole('needles_per_box', 'In a box of needles', 'needles')}
        {whole('failed_needles_percent', 'Needles used without a dose', '%', 'Bent, dropped, dry.')}
        <RadioField {...typed.field('spread', 'Doses are taken')} choices={spreads} stacked wrong={wrong['spread']} />
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
      'How supplies are asked for',
      [draft],
      [
        ['Certainty', `${values['service']} %`],
        ['A supply takes', `${values['lead_days']} open days`],
        ['One dispensing is for', `${values['for_days']} days`],
      ],
    );
  };
  const parts = { typed, wrong: form.wrong };
  return (
    <section class="sec">
      <header>
        <h2>How supplies are asked for</h2>
      </header>
      <p class="lead">For this person, from now on. The day to ask, and the boxes, follow from it.</p>
      <Form submit={submit} button="Record the rules" busy={recorder.busy} refused={form.refused} cancel={back}>
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
    void form.send('A sharps box given', [draft], [['Holds', `${values['holds_needles']} needles`]]);
  };
  return (
    <section class="sec">
      <header>
        <h2>Give a sharps box</h2>
      </header>
      <p class="lead">
        Needles count for it once the one before is closed. It is closed at three quarters, and nothing is ever pressed down.
      </p>
      <Form submit={submit} button="Record the sharps box" busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <TextField
            {...typed.field('holds_needles', 'Filled to the brim it holds')}
            decimal
            unit="needles"
            needed
            wrong={form.wrong['holds_needles']}
            hint="By its label, or as the clinic has counted."
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
      'A trip planned',
      [draft],
      [
        ['Leaves', values['leaves'] ?? ''],
        ['Returns', values['returns'] ?? ''],
        ['Time zone there', values['zone'] ?? ''],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>Plan a trip</h2>
      </header>
      <p class="lead">
        From when to when, and where to. The sheet then says what to carry, in how many places, and what to ask the prescriber about the
        dose times.
      </p>
      <Form submit={submit} button="Record the trip" busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <TextField {...typed.field('leaves', 'Leaves on')} type="date" short needed wrong={form.wrong['leaves']} />
          <TextField {...typed.field('returns', 'Is back on')} type="date" short needed wrong={form.wrong['returns']} />
          <TextField
            {...typed.field('zone', 'Time zone there')}
            offers={zones}
            needed={false}
            wrong={form.wrong['zone']}
            hint={`Empty: the same as at home, ${person.forms.zone}. Type a city; the names are offered.`}
          />
          <TextField
            {...typed.field('warmest_celsius', 'How warm it may get there')}
            decimal
            unit="°C"
            needed={false}
            wrong={form.wrong['warmest_celsius']}
          />
          <RadioField
            {...typed.field('pharmacy', 'A pharmacy there has this insulin')}
            choices={orUnknown(page.forms.yes_no)}
            wrong={form.wrong['pharmacy']}
          />
          <LongField {...typed.field('text', 'In words')} needed={false} wrong={form.wrong['text']} />
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
      `${insulin}, ${strength} units/mL`,
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
      'A difference talked over',
      [draft],
      [
        ['Insulin', saidOf(choices, values['insulin'] ?? '')],
        ['It was', saidOf(page.forms.explained, values['because'] ?? '')],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>What was talked over</h2>
      </header>
      <p class="lead">The accounts did not agree, and you looked together. What it came to is recorded; no account is changed by it.</p>
      <Form submit={submit} button="Record the talk" busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <SelectField
            label="Insulin"
            name="insulin"
            value={values['insulin'] ?? ''}
            set={(insulin) => typed.change({ insulin, ...periodOf(page, insulin) })}
            choices={choices}
            empty="choose"
            needed
            wrong={form.wrong['insulin']}
          />
          <SelectField
            {...typed.field('because', 'What it came to')}
            choices={page.forms.explained}
            empty="choose"
            needed
            wrong={form.wrong['because']}
          />
          <TextField {...typed.field('from', 'For the time from')} type="date" short needed wrong={form.wrong['from']} />
          <TextField {...typed.field('until', 'To, that day included')} type="date" short needed wrong={form.wrong['until']} />
          <LongField {...typed.field('text', 'In words')} needed={false} wrong={form.wrong['text']} />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const forms: Record<string, [string, (inside: InForm) => JSX.Element]> = {
  'hand-out': ['hand out from stock', (inside) => <HandOutForm {...inside} />],
  give: ['give supplies', (inside) => <GiveForm {...inside} />],
  count: ['count at home', (inside) => <CountForm {...inside} />],
  rules: ['how supplies are asked for', (inside) => <RulesForm {...inside} />],
  box: ['give a sharps box', (inside) => <BoxForm {...inside} />],
  trip: ['plan a trip', (inside) => <TripForm {...inside} />],
  test: ['record a pen test', (inside) => <TestForm {...inside} />],
  talk: ['what was talked over', (inside) => <TalkForm {...inside} />],
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
    <PersonFrame id={id} tab="Supplies" title={title}>
      {(inside) => (
        <ShownIn of={doc} title="Supplies">
          {(page) => form({ ...inside, page, query, zones })}
        </ShownIn>
      )}
    </PersonFrame>
  );
}
