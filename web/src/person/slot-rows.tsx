// The times of an order line: one row a dose, as many as the order has.
import type { JSX } from 'preact';
import { SelectField, TextField, TimeField, UnitsField, type Choice } from '../parts/fields';
import { say } from '../words';

export interface SlotRow {
  key: number;
  slot: string;
  at: string;
  before: string;
  after: string;
  units: string;
  /** Of the line that this one replaces. */
  was?: string;
}

const slots_most = 12; // a dose every two hours, as the journal's own limit

/** Where the trade usually puts a slot; the form shows it, the order decides. */
const usual: Record<string, string> = {
  breakfast: '07:30',
  lunch: '12:30',
  supper: '18:30',
  bedtime: '22:00',
  morning: '08:00',
  afternoon: '15:00',
  evening: '20:00',
  night: '02:00',
};

let keys = 0;
export const emptySlot = (): SlotRow => ({ key: ++keys, slot: '', at: '', before: '60', after: '60', units: '' });

/** A slot of a line that is replaced: its new dose is read on the new order. */
export const slotOf = ({ slot, at, minutes_before, minutes_after, units }: Record<string, unknown>): SlotRow => ({
  key: ++keys,
  slot: String(slot),
  at: String(at),
  before: String(minutes_before ?? 0),
  after: String(minutes_after ?? 0),
  units: '',
  was: String(units),
});

export const slotsWanted = (rows: SlotRow[]): [string, string][] =>
  rows.map((row): [string, string] => [row.slot || say('order.dose'), say('order.dose_at', { units: row.units, time: row.at })]);

function Row({
  row,
  at,
  choices,
  change,
  drop,
  wrong,
  blind,
}: {
  row: SlotRow;
  at: number;
  choices: Choice[];
  blind: boolean;
  change: (some: Partial<SlotRow>) => void;
  drop: (() => void) | null;
  wrong: Record<string, string>;
}): JSX.Element {
  const name = (field: string): string => `slots/${at}/${field}`;
  const slot = (value: string): void => change({ slot: value, ...(row.at === '' && !blind ? { at: usual[value] ?? '' } : {}) });
  return (
    <li class="slot">
      <SelectField
        label={say('order.time_of_day')}
        name={name('slot')}
        value={row.slot}
        set={slot}
        choices={choices}
        empty={say('form.choose')}
        needed
        wrong={wrong[name('slot')]}
      />
      <TimeField
        label={say('order.time')}
        name={name('at')}
        value={row.at}
        set={(value) => change({ at: value })}
        needed
        wrong={wrong[name('at')]}
      />
      <UnitsField
        label={say('order.dose')}
        name={name('units')}
        value={row.units}
        set={(value) => change({ units: value })}
        hint={row.was === undefined ? undefined : say('order.was', { units: row.was })}
        needed
        wrong={wrong[name('units')]}
      />
      {!blind && (
        <details class="margins" open={wrong[name('minutes_before')] !== undefined || wrong[name('minutes_after')] !== undefined}>
          <summary>{say('order.margins', { before: row.before, after: row.after })}</summary>
          <TextField
            label={say('order.early')}
            name={name('minutes_before')}
            value={row.before}
            set={(value) => change({ before: value })}
            decimal
            unit={say('unit.min')}
            wrong={wrong[name('minutes_before')]}
          />
          <TextField
            label={say('order.late')}
            name={name('minutes_after')}
            value={row.after}
            set={(value) => change({ after: value })}
            decimal
            unit={say('unit.min')}
            wrong={wrong[name('minutes_after')]}
          />
        </details>
      )}
      {drop && (
        <button type="button" class="act plain" onClick={drop}>
          {say('order.remove')}
        </button>
      )}
    </li>
  );
}

export function SlotRows({
  rows,
  choices,
  set,
  wrong,
  blind = false,
}: {
  rows: SlotRow[];
  choices: Choice[];
  set: (rows: SlotRow[]) => void;
  wrong: Record<string, string>;
  /** Nothing is filled in that has to be read on the order (H60); how early and late is not read. */
  blind?: boolean;
}): JSX.Element {
  const change = (key: number, some: Partial<SlotRow>): void => set(rows.map((row) => (row.key === key ? { ...row, ...some } : row)));
  return (
    <fieldset class="group">
      <legend>{say('order.doses')}</legend>
      <ol class="slots">
        {rows.map((row, at) => (
          <Row
            key={row.key}
            row={row}
            at={at}
            choices={choices}
            blind={blind}
            change={(some) => change(row.key, some)}
            wrong={wrong}
            drop={rows.length > 1 ? () => set(rows.filter(({ key }) => key !== row.key)) : null}
          />
        ))}
      </ol>
      {rows.length < slots_most && (
        <button type="button" class="act" onClick={() => set([...rows, emptySlot()])}>
          {say('order.add')}
        </button>
      )}
    </fieldset>
  );
}
