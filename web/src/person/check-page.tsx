// The second check of an order line (H40, H60): whoever checks reads the order itself and enters it, without sight of the copy. What
// differs is said, and nothing is checked.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { amount } from '../facts/amount';
import { timeOf } from '../facts/time';
import { useFactForm } from '../facts/use-fact-form';
import { CheckField, TextField } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { PersonFrame, type InFrame } from './frame';
import { InsulinFields, insulinWanted } from './order-form';
import { emptySlot, SlotRows, slotsWanted, type SlotRow } from './slot-rows';
import { say } from '../words';

/** The days on which the order holds: its first one is read, or that it names none. */
function DaysGroup({ typed, wrong }: { typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  const names_none = typed.values['no_from'] === 'true';
  return (
    <Group title={say('order.check_days')}>
      {!names_none && (
        <TextField
          {...typed.field('from', say('order.from'))}
          type="date"
          sense="lies ahead"
          needed
          hint={say('order.check_from_hint')}
          wrong={wrong['from']}
        />
      )}
      <CheckField
        label={say('order.check_no_day')}
        name="no_from"
        value={names_none}
        set={(on) => typed.change({ no_from: String(on), from: '' })}
      />
      <TextField
        {...typed.field('until', say('order.until'))}
        type="date"
        sense="lies ahead"
        hint={say('order.until_hint')}
        wrong={wrong['until']}
      />
    </Group>
  );
}

function CheckForm({ person, recorder, line }: InFrame & { line: string }): JSX.Element {
  const typed = useTyped<Values>({ insulin: '', strength: '', from: '', no_from: 'false', until: '', checked_by: '' });
  const [slots, setSlots] = useState<SlotRow[]>([emptySlot()]);
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const { insulin = '', strength = '', from = '', no_from = '', until = '', checked_by = '' } = typed.values;
  const names_none = no_from === 'true';
  const submit = (): void => {
    const read = slots.map(({ slot, at, units }) => ({ slot, at: timeOf(at) ?? at.trim(), units: amount(units) }));
    const reading = { insulin, strength_units_per_ml: amount(strength), slots: read };
    const wanted: [string, string][] = [
      insulinWanted(insulin, strength),
      ...slotsWanted(slots),
      [say('order.from'), names_none ? no_from : from],
      [say('order.checked_by'), checked_by],
    ];
    const days = { days_read: true, ...(names_none ? {} : { from }), ...(until ? { until } : {}) };
    void form.send(say('order.check'), [{ what: 'order line checked', line, checked_by: checked_by.trim(), reading, ...days }], wanted);
  };
  const differs = `${back}/record/question?${new URLSearchParams({ line, reason: 'other' }).toString()}`;
  return (
    <section class="sec">
      <header>
        <h2>{say('order.check')}</h2>
        <p>
          <a class="act scr" href={differs}>
            {say('order.check_differs')}
          </a>
        </p>
      </header>
      <p class="lead">{say('order.check_lead')}</p>
      <Form submit={submit} button={say('order.check_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <InsulinFields typed={typed} forms={person.forms} wrong={form.wrong} />
        <SlotRows
          blind
          rows={slots}
          choices={person.forms.slots}
          set={(rows) => {
            setSlots(rows);
            typed.change({});
          }}
          wrong={form.wrong}
        />
        <DaysGroup typed={typed} wrong={form.wrong} />
        <Group title={say('order.check_who')}>
          <TextField
            {...typed.field('checked_by', say('order.checked_by'))}
            needed
            hint={say('order.checked_by_hint')}
            wrong={form.wrong['checked_by']}
          />
        </Group>
      </Form>
    </section>
  );
}

export const CheckPage = ({ id, line }: { id: string; line: string }): JSX.Element => (
  <PersonFrame id={id} tab={null} title={say('order.check')}>
    {(inside) => <CheckForm {...inside} line={line} />}
  </PersonFrame>
);
