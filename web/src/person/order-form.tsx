// An order line: copied from a prescriber's, with from whom, by whom and whether it was read back (H40). It is not dialled
// until a second person has checked it.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { amount, newId, optional } from '../facts/amount';
import { measuredOf } from '../facts/draft';
import { timeOf } from '../facts/time';
import { useFactForm } from '../facts/use-fact-form';
import type { Choice, FactDraft, Forms, OrderLine, Person } from '../model';
import { CheckField, glucose_units, LongField, MeasuredField, RadioField, SelectField, TextField, UnitsField } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { plain } from '../parts/text';
import { today } from '../clock';
import { PersonFrame, type InFrame } from './frame';
import { isLive } from './insulins';
import { emptySlot, slotOf, SlotRows, slotsWanted, type SlotRow } from './slot-rows';
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
    const usual = forms.insulins.find(({ name }) => name === insulin)?.purpose ?? '';
    typed.change({
      insulin,
      strength: offered.length === 1 ? (offered[0]?.value ?? '') : '',
      ...('purpose' in typed.values ? { purpose: usual } : {}),
    });
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

const more = ['least', 'most', 'low_limit', 'until', 'sick_day', 'remark'] as const;
/** What most orders do not say; a line that says some of it shows it. */
function More({ typed, wrong }: { typed: Line; wrong: Record<string, string> }): JSX.Element {
  const { values } = typed;
  const said = more.some((name) => values[name] !== '') || values['may_split'] === 'true';
  const isWrong = ['least_units', 'most_units', 'low_limit', 'until'].some((name) => wrong[name] !== undefined);
  const [began] = useState(said);
  return (
    <details class="more" open={began || isWrong}>
      <summary>{say('order.more')}</summary>
      <Group title={say('order.limits')} note={say('order.limits_note')}>
        <UnitsField {...typed.field('least', say('order.least'))} needed={false} wrong={wrong['least_units']} />
        <UnitsField {...typed.field('most', say('order.most'))} needed={false} wrong={wrong['most_units']} />
        <MeasuredField
          units={glucose_units}
          {...typed.field('low_limit', say('order.low_limit'))}
          needed={false}
          wrong={wrong['low_limit']}
        />
        <CheckField
          label={say('order.may_split')}
          name="may_split"
          value={values['may_split'] === 'true'}
          set={(on) => typed.change({ may_split: String(on) })}
          hint={say('order.may_split_hint')}
        />
        <TextField
          {...typed.field('until', say('order.until'))}
          type="date"
          sense="lies ahead"
          needed={false}
          hint={say('order.until_hint')}
          wrong={wrong['until']}
        />
      </Group>
      <Group title={say('order.wording')}>
        <LongField {...typed.field('sick_day', say('order.sick_day'))} needed={false} rows={2} />
        <LongField {...typed.field('remark', say('order.remark'))} needed={false} rows={2} />
      </Group>
    </details>
  );
}

function Copied({ typed, wrong, prescribers }: { typed: Line; wrong: Record<string, string>; prescribers: string[] }): JSX.Element {
  const flag = (name: string, label: string): JSX.Element => (
    <CheckField label={label} name={name} value={typed.values[name] === 'true'} set={(on) => typed.change({ [name]: String(on) })} />
  );
  return (
    <Group title={say('order.source')}>
      <TextField {...typed.field('prescriber', say('order.prescriber'))} offers={prescribers} needed wrong={wrong['prescriber']} />
      <RadioField
        {...typed.field('copied_from', say('order.copied_from'))}
        set={(copied_from) => typed.change({ copied_from, signature_owed: String(copied_from === 'telephone') })}
        needed
        wrong={wrong['copied_from']}
        choices={[
          { value: 'paper', label: say('order.paper') },
          { value: 'telephone', label: say('order.telephone') },
          { value: 'electronic', label: say('order.electronic') },
        ]}
      />
      {flag('read_back', say('order.read_back'))}
      {flag('signature_owed', say('order.signature_owed'))}
      <TextField {...typed.field('from', say('order.from'))} type="date" sense="lies ahead" needed wrong={wrong['from']} />
      <TextField {...typed.field('signed_on', say('order.signed_on'))} type="date" sense="happened" needed wrong={wrong['signed_on']} />
      <TextField {...typed.field('copied_by', say('order.copied_by'))} needed wrong={wrong['copied_by']} />
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
      at: timeOf(slot.at) ?? slot.at.trim(),
      minutes_before: amount(slot.before),
      minutes_after: amount(slot.after),
      units: amount(slot.units),
    })),
    ...optional('least_units', text('least'), amount),
    ...optional('most_units', text('most'), amount),
    from: text('from'),
    ...optional('until', text('until'), (typed) => typed),
    prescriber: text('prescriber'),
    signed_on: text('signed_on'),
    signature_owed: flag('signature_owed'),
    copied_from: text('copied_from'),
    copied_by: text('copied_by'),
    read_back: flag('read_back'),
    ...optional('low_limit', text('low_limit'), measuredOf),
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

const textIn = (fact: FactDraft, name: string): string => {
  const value = fact[name];
  return value === undefined || value === null || value === 0 ? '' : String(value); // limits of 0 are none
};

/** Of the line that is replaced all but what the new paper has to say: its dose, who signed it, how it came. */
function startOf(person: Person, old: OrderLine | undefined, user: string): Values {
  const date = today(person.forms.zone);
  const of = (name: string): string => (old ? textIn(old.fact, name) : '');
  const low = old?.fact['low_limit'] as { value: number; unit: string } | null | undefined;
  return {
    replaces: old?.id ?? '',
    insulin: of('insulin'),
    strength: of('strength_units_per_ml'),
    purpose: of('purpose'),
    least: of('least_units'),
    most: of('most_units'),
    low_limit: low ? `${low.value} ${low.unit}` : '',
    may_split: String(old?.fact['may_split'] === true),
    from: date,
    until: '',
    prescriber: '',
    signed_on: date,
    signature_owed: 'false',
    copied_from: '',
    copied_by: user,
    read_back: 'false',
    sick_day: of('sick_day'),
    remark: of('remark'),
  };
}

// Two versions of one dose differ by their days alone.
const nameOf = ({ purpose, insulin, doses, dates }: OrderLine): string => `${purpose}, ${insulin}: ${plain(doses)}; ${dates}`;

const slotsOf = (old: OrderLine | undefined): SlotRow[] => {
  const slots = (old?.fact['slots'] ?? []) as Record<string, unknown>[];
  return slots.length === 0 ? [emptySlot()] : slots.map(slotOf);
};

function OrderForm({ person, recorder, query, user }: InFrame & { query: URLSearchParams; user: string }): JSX.Element {
  const current = person.order.lines.filter(isLive);
  const [old] = useState(() => current.find(({ id }) => id === query.get('replaces')));
  const typed = useTyped<Values>(startOf(person, old, user));
  const [slots, setSlots] = useState<SlotRow[]>(() => slotsOf(old));
  const id = useRef(newId()); // the line's identity: one form, one line
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const head = useRef<HTMLElement>(null);
  useEffect(() => {
    if (old) head.current?.querySelector<HTMLElement>('.slot input[name$="/units"]')?.focus();
  }, []);
  const submit = (): void => {
    const draft = draftOf(typed.values, slots, person.forms.order_version_next, id.current);
    void form.send(say('order.copied'), [draft], wantedOf(typed.values, slots));
  };
  return (
    <section class="sec" ref={head}>
      <header>
        <h2>{say(old ? 'order.change_title' : 'order.copy')}</h2>
      </header>
      <p class="lead">{say(old ? 'order.change_lead' : 'order.copy_lead')}</p>
      <Form submit={submit} button={say('order.record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        {current.length > 0 && (
          <SelectField
            {...typed.field('replaces', say('order.replaces'))}
            empty={say('order.replaces_none')}
            choices={current.map((line) => ({ value: line.id, label: nameOf(line) }))}
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
        <Copied typed={typed} wrong={form.wrong} prescribers={[...new Set(person.order.lines.map(({ prescriber }) => prescriber))]} />
        <More typed={typed} wrong={form.wrong} />
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
