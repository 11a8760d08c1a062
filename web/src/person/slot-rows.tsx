// The times of an order line: one row a dose, as many as the order has.
import type { JSX } from 'preact';
import { SelectField, TextField, UnitsField, type Choice } from '../parts/fields';
import { say } from '../words';

export interface SlotRow {
  key: number;
  slot: string;
  at: string;
  before: string;
  after: string;
  units: string;
}

const slots_most = 12; // a dose every two hours, as the journal's own limit

/** A time of day as people write it, as it is recorded: "7:30", "7.30", "730" and "7:30 am" are "07:30". Anything else stays as typed. */
export function slotTime(typed: string): string {
  const match = /^(\d{1,2})(?:[:.]?(\d{2}))?\s*(am|pm)?$/i.exec(typed.trim());
  const [, hours, minutes = '00', half] = match ?? [];
  const known = match?.[2] !== undefined || half !== undefined; // "7" alone might be either half of the day
  if (!hours || !known || (half !== undefined && (Number(hours) < 1 || Number(hours) > 12))) return typed.trim();
  const hour = half ? (Number(hours) % 12) + (half.toLowerCase() === 'pm' ? 12 : 0) : Number(hours);
  return `${String(hour).padStart(2, '0')}:${minutes}`;
}

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
      <TextField
        label={say('order.time')}
        name={name('at')}
        value={row.at}
        set={(value) => change({ at: value })}
        decimal
        short
        needed
        wrong={wrong[name('at')]}
      />
      <UnitsField
        label={say('order.dose')}
        name={name('units')}
        value={row.units}
        set={(value) => change({ units: value })}
        needed
        wrong={wrong[name('units')]}
      />
      {!blind && (
        <>
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
        </>
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
