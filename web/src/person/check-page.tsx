// The second check of an order line (H40, H60): whoever checks reads the order itself and enters it, without sight of the copy. What
// differs is said, and nothing is checked.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { amount } from '../facts/amount';
import { timeOf } from '../facts/time';
import { useFactForm } from '../facts/use-fact-form';
import { TextField } from '../parts/fields';
import { Form, Group, useTyped, type Values } from '../parts/form';
import { PersonFrame, type InFrame } from './frame';
import { InsulinFields, insulinWanted } from './order-form';
import { emptySlot, SlotRows, slotsWanted, type SlotRow } from './slot-rows';
import { say } from '../words';

function CheckForm({ person, recorder, line }: InFrame & { line: string }): JSX.Element {
  const typed = useTyped<Values>({ insulin: '', strength: '', checked_by: '' });
  const [slots, setSlots] = useState<SlotRow[]>([emptySlot()]);
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const { insulin = '', strength = '', checked_by = '' } = typed.values;
  const submit = (): void => {
    const read = slots.map(({ slot, at, units }) => ({ slot, at: timeOf(at) ?? at.trim(), units: amount(units) }));
    const reading = { insulin, strength_units_per_ml: amount(strength), slots: read };
    const wanted: [string, string][] = [insulinWanted(insulin, strength), ...slotsWanted(slots), [say('order.checked_by'), checked_by]];
    void form.send(say('order.check'), [{ what: 'order line checked', line, checked_by: checked_by.trim(), reading }], wanted);
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
