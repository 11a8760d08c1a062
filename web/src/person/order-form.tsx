// An order line: copied from a prescriber's, with from whom, by whom and whether it was read back (H40). It is not dialled
// until a second person has checked it.
import type { ComponentChildren, JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { amount, newId, optional } from '../facts/amount';
import { useFactForm } from '../facts/use-fact-form';
import type { Choice, FactDraft, Forms, Person } from '../model';
import { CheckField, LongField, RadioField, SelectField, TextField, UnitsField } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { plain } from '../parts/text';
import { today } from '../clock';
import { PersonFrame, type InFrame } from './frame';
import { emptySlot, SlotRows, slotsWanted, slotTime, type SlotRow } from './slot-rows';
import { say } from '../words';

const purposes = [
  { value: 'background', label: say('order.basal') },
  { value: 'mealtime', label: say('order.mealtime') },
  { value: 'correction', label: say('order.correction') },
  { value: 'premixed', label: say('order.premixed') },
];

type Line = Typed<Values>;

function strengthsOf(forms: Forms, insulin: string): Choice[] {
  return (forms.insulins.find(({ name }) => name === insulin)?.strengths ?? []).map(({ units_per_ml, label }) => ({
    value: String(units_per_ml),
    label,
  }));
}

/** Which insulin, in which strength; `children` ask more about it. */
export function InsulinFields({
  typed,
  forms,
  wrong,
  children,
}: {
  typed: Line;
  forms: Forms;
  wrong: Record<string, string>;
  children?: ComponentChildren;
}): JSX.Element {
  const strengths = strengthsOf(forms, typed.values['insulin'] ?? '');
  const choose = (insulin: string): void => {
    const offered = strengthsOf(forms, insulin);
    typed.change({ insulin, strength: offered.length === 1 ? (offered[0]?.value ?? '') : '' });
  };
  return (
    <Group title={say('products.insulin')}>
      <SelectField
        {...typed.field('insulin', say('order.generic'))}
        set={choose}
        choices={forms.insulins.map(({ name }) => ({ value: name, label: name }))}
        empty={say('form.choose')}
        needed
        wrong={wrong['insulin']}
      />
      {strengths.length > 0 && (
        <RadioField {...typed.field('strength', say('order.strength'))} choices={strengths} needed wrong={wrong['strength_units_per_ml']} />
      )}
      {children}
    </Group>
  );
}

function Limits({ typed, wrong }: { typed: Line; wrong: Record<string, string> }): JSX.Element {
  return (
    <Group title={say('order.limits')} note={say('order.limits_note')}>
      <UnitsField {...typed.field('least', say('order.least'))} needed wrong={wrong['least_units']} />
      <UnitsField {...typed.field('most', say('order.most'))} needed wrong={wrong['most_units']} />
      <TextField
        {...typed.field('low_limit', say('order.low_limit'))}
        decimal
        unit={say('unit.mmol')}
        needed={false}
        wrong={wrong['low_limit']}
      />
      <CheckField
        label={say('order.may_split')}
        name="may_split"
        value={typed.values['may_split'] === 'true'}
        set={(on) => typed.change({ may_split: String(on) })}
        hint={say('order.may_split_hint')}
      />
      <TextField {...typed.field('from', say('order.from'))} type="date" short needed wrong={wrong['from']} />
      <TextField
        {...typed.field('until', say('order.until'))}
        type="date"
        short
        needed={false}
        hint={say('order.until_hint')}
        wrong={wrong['until']}
      />
    </Group>
  );
}

function Copied({ typed, wrong }: { typed: Line; wrong: Record<string, string> }): JSX.Element {
  const flag = (name: string, label: string): JSX.Element => (
    <CheckField label={label} name={name} value={typed.values[name] === 'true'} set={(on) => typed.change({ [name]: String(on) })} />
  );
  return (
    <Group title={say('order.source')}>
      <TextField {...typed.field('prescriber', say('order.prescriber'))} needed wrong={wrong['prescriber']} />
      <TextField {...typed.field('signed_on', say('order.signed_on'))} type="date" short needed wrong={wrong['signed_on']} />
      <RadioField
        {...typed.field('copied_from', say('order.copied_from'))}
        needed
        wrong={wrong['copied_from']}
        choices={[
          { value: 'paper', label: say('order.paper') },
          { value: 'telephone', label: say('order.telephone') },
          { value: 'electronic', label: say('order.electronic') },
        ]}
      />
      <TextField {...typed.field('copied_by', say('order.copied_by'))} needed wrong={wrong['copied_by']} />
      {flag('read_back', say('order.read_back'))}
      {flag('signature_owed', say('order.signature_owed'))}
    </Group>
  );
}

function Words({ typed }: { typed: Line }): JSX.Element {
  return (
    <Group title={say('order.wording')}>
      <LongField {...typed.field('sick_day', say('order.sick_day'))} needed={false} rows={2} />
      <LongField {...typed.field('remark', say('order.remark'))} needed={false} rows={2} />
    </Group>
  );
}

function draftOf(values: Values, slots: SlotRow[], orderVersion: number, id: string): FactDraft {
  const text = (name: string): string => (values[name] ?? '').trim();
  const flag = (name: string): boolean => values[name] === 'true';
  return {
    what: 'order line signed',
    id,
    order_version: orderVersion,
    ...optional('replaces', text('replaces'), (typed) => typed),
    insulin: text('insulin'),
    strength_units_per_ml: amount(text('strength')),
    purpose: text('purpose'),
    slots: slots.map((slot) => ({
      slot: slot.slot,
      at: slotTime(slot.at),
      minutes_before: amount(slot.before),
      minutes_after: amount(slot.after),
      units: amount(slot.units),
    })),
    least_units: amount(text('least')),
    most_units: amount(text('most')),
    from: text('from'),
    ...optional('until', text('until'), (typed) => typed),
    prescriber: text('prescriber'),
    signed_on: text('signed_on'),
    signature_owed: flag('signature_owed'),
    copied_from: text('copied_from'),
    copied_by: text('copied_by'),
    read_back: flag('read_back'),
    ...optional('low_limit', text('low_limit'), (typed) => ({ value: amount(typed), unit: 'mmol/L' })),
    may_split: flag('may_split'),
    ...optional('sick_day', text('sick_day'), (typed) => typed),
    ...optional('remark', text('remark'), (typed) => typed),
  };
}

export const insulinWanted = (insulin: string, strength: string): [string, string] => [
  say('products.insulin'),
  say('supply.insulin_strength', { insulin, strength }),
];

function wantedOf(values: Values, slots: SlotRow[]): [string, string][] {
  return [
    insulinWanted(values['insulin'] ?? '', values['strength'] ?? ''),
    [say('order.purpose'), purposes.find(({ value }) => value === values['purpose'])?.label ?? ''],
    ...slotsWanted(slots),
    [say('order.prescriber'), values['prescriber'] ?? ''],
    [say('order.copied_by'), values['copied_by'] ?? ''],
  ];
}

function startOf(person: Person, query: URLSearchParams, user: string): Values {
  const date = today(person.forms.zone);
  return {
    replaces: query.get('replaces') ?? '',
    insulin: '',
    strength: '',
    purpose: '',
    least: '',
    most: '',
    low_limit: '',
    may_split: 'false',
    from: date,
    until: '',
    prescriber: '',
    signed_on: date,
    signature_owed: 'false',
    copied_from: '',
    copied_by: user,
    read_back: 'false',
    sick_day: '',
    remark: '',
  };
}

function OrderForm({ person, recorder, query, user }: InFrame & { query: URLSearchParams; user: string }): JSX.Element {
  const typed = useTyped<Values>(startOf(person, query, user));
  const [slots, setSlots] = useState<SlotRow[]>([emptySlot()]);
  const id = useRef(newId()); // the line's identity: one form, one line
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const current = person.order.lines.filter(({ state }) => state !== 'ended' && state !== 'replaced');
  const submit = (): void => {
    const draft = draftOf(typed.values, slots, person.forms.order_version_next, id.current);
    void form.send(say('order.copied'), [draft], wantedOf(typed.values, slots));
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('order.copy')}</h2>
      </header>
      <p class="lead">{say('order.copy_lead')}</p>
      <Form submit={submit} button={say('order.record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        {current.length > 0 && (
          <SelectField
            {...typed.field('replaces', say('order.replaces'))}
            empty={say('order.replaces_none')}
            choices={current.map((line) => ({ value: line.id, label: `${line.purpose}, ${line.insulin}: ${plain(line.doses)}` }))}
          />
        )}
        <InsulinFields typed={typed} forms={person.forms} wrong={form.wrong}>
          <RadioField {...typed.field('purpose', say('order.purpose'))} choices={purposes} needed wrong={form.wrong['purpose']} />
        </InsulinFields>
        <SlotRows
          rows={slots}
          choices={person.forms.slots}
          set={(rows) => {
            setSlots(rows);
            typed.change({});
          }}
          wrong={form.wrong}
        />
        <Limits typed={typed} wrong={form.wrong} />
        <Copied typed={typed} wrong={form.wrong} />
        <Words typed={typed} />
      </Form>
    </section>
  );
}

export function OrderPage({ id, query, user }: { id: string; query: URLSearchParams; user: string }): JSX.Element {
  return (
    <PersonFrame id={id} tab={null} title={say('order.copy')}>
      {(inside) => <OrderForm {...inside} query={query} user={user} />}
    </PersonFrame>
  );
}
