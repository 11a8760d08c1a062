// Form fields: a label that says the unit, a control of 44 pixels, a hint or what is wrong under it.
import type { ComponentChildren, JSX } from 'preact';
import { useId } from 'preact/hooks';
import type { Choice } from '../model';
import { capital } from './text';
import { say } from '../words';

export type { Choice };
/** Words that are their own labels. */
export const choices = (...values: string[]): Choice[] => values.map((value) => ({ value, label: capital(value) }));

export interface FieldProps {
  label: string;
  name: string;
  value: string;
  set: (value: string) => void;
  hint?: string | undefined;
  wrong?: string | undefined;
  needed?: boolean | undefined;
}

function Around({
  id,
  label,
  hint,
  wrong,
  needed,
  children,
  class: name,
}: {
  id: string;
  label: string;
  hint?: string | undefined;
  wrong?: string | undefined;
  needed?: boolean | undefined;
  children: ComponentChildren;
  class?: string;
}): JSX.Element {
  return (
    <div class={`field ${name ?? ''} ${wrong ? 'wrong' : ''}`}>
      <label for={id}>
        {label}
        {needed === false && <span class="quiet"> {say('form.optional')}</span>}
      </label>
      {children}
      {hint && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {wrong && (
        <p class="why" id={`${id}-wrong`}>
          {wrong}
        </p>
      )}
    </div>
  );
}

const described = (id: string, props: { hint?: string | undefined; wrong?: string | undefined }): string | undefined => {
  const ids = [props.hint ? `${id}-hint` : '', props.wrong ? `${id}-wrong` : ''].filter((part) => part !== '');
  return ids.length > 0 ? ids.join(' ') : undefined;
};

type InputKind = 'text' | 'date' | 'datetime-local' | 'tel' | 'search';

/** What a date field holds, in words: its own order of day and month depends on the browser. */
function echo(type: InputKind | undefined, value: string): string {
  if (type !== 'date' && type !== 'datetime-local') return '';
  const ms = Date.parse(type === 'date' ? `${value}T00:00Z` : `${value}Z`);
  if (Number.isNaN(ms)) return '';
  const day: Intl.DateTimeFormatOptions = { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' };
  const text = new Intl.DateTimeFormat('en-GB', day).format(ms);
  return type === 'date' ? text : `${text}, ${value.slice(11, 16)}`;
}

/** "2027-05-01" as a day that everybody reads alike. */
export const dayInWords = (day: string): string => echo('date', day) || day;

export function TextField(
  props: FieldProps & { type?: InputKind; unit?: string; short?: boolean; decimal?: boolean; complete?: string; offers?: string[] },
): JSX.Element {
  const id = useId();
  const type = (props.type ?? 'text') as 'text'; // the attribute types of a field of dates and of one of text are apart; we use what both have
  return (
    <Around id={id} {...props} class={props.short || props.unit ? 'short' : ''}>
      <span class="with">
        <input
          id={id}
          name={props.name}
          type={type}
          value={props.value}
          autocomplete={props.complete ?? 'off'}
          inputMode={props.decimal ? 'decimal' : undefined}
          required={props.needed === true}
          list={props.offers ? `${id}-offers` : undefined}
          aria-invalid={props.wrong ? true : undefined}
          aria-describedby={described(id, props)}
          onInput={(event) => props.set(event.currentTarget.value)}
        />
        {props.offers && (
          <datalist id={`${id}-offers`}>
            {props.offers.map((offer) => (
              <option key={offer} value={offer} />
            ))}
          </datalist>
        )}
        {props.unit && <span class="unit">{props.unit}</span>}
      </span>
      {echo(props.type, props.value) && <p class="echo">{echo(props.type, props.value)}</p>}
    </Around>
  );
}

export const UnitsField = (props: FieldProps): JSX.Element => <TextField {...props} unit={say('form.units')} decimal />;

/** As one text, "3.1 mmol/L": nobody's unit is assumed (H06). */
const splitMeasured = (text: string): [string, string] => {
  const [value = '', unit = ''] = text.split(' ');
  return [value, unit];
};
export const glucose_units = ['mmol/L', 'mg/dL'] as const;
export const hba1c_units = ['%', 'mmol/mol'] as const;

export function MeasuredField(props: FieldProps & { units: readonly string[] }): JSX.Element {
  const id = useId();
  const [value, unit] = splitMeasured(props.value);
  const set = (next: [string, string]): void => props.set(next[0] === '' && next[1] === '' ? '' : next.join(' '));
  return (
    <Around id={id} {...props} class="short">
      <span class="with">
        <input
          id={id}
          name={props.name}
          value={value}
          autocomplete="off"
          inputMode="decimal"
          aria-invalid={props.wrong ? true : undefined}
          aria-describedby={described(id, props)}
          onInput={(event) => set([event.currentTarget.value.trim(), unit])}
        />
        <select
          name={`${props.name}_unit`}
          aria-label={say('form.unit')}
          value={unit}
          onChange={(event) => set([value, event.currentTarget.value])}
        >
          <option value="">{say('form.choose_unit')}</option>
          {props.units.map((one) => (
            <option key={one} value={one} selected={unit === one}>
              {one}
            </option>
          ))}
        </select>
      </span>
    </Around>
  );
}

export function LongField(props: FieldProps & { rows?: number }): JSX.Element {
  const id = useId();
  return (
    <Around id={id} {...props} class={props.rows === 1 ? '' : 'long'}>
      <textarea
        id={id}
        name={props.name}
        rows={props.rows ?? 3}
        value={props.value}
        required={props.needed === true}
        aria-invalid={props.wrong ? true : undefined}
        aria-describedby={described(id, props)}
        onInput={(event) => props.set(event.currentTarget.value)}
      />
    </Around>
  );
}

export function SelectField(props: FieldProps & { choices: Choice[]; empty?: string }): JSX.Element {
  const id = useId();
  return (
    <Around id={id} {...props}>
      <select
        id={id}
        name={props.name}
        value={props.value}
        required={props.needed === true}
        aria-invalid={props.wrong ? true : undefined}
        aria-describedby={described(id, props)}
        onChange={(event) => props.set(event.currentTarget.value)}
      >
        {props.empty !== undefined && (
          <option value="" selected={props.value === ''}>
            {props.empty}
          </option>
        )}
        {props.choices.map(({ value, label }) => (
          <option key={value} value={value} selected={props.value === value}>
            {label}
          </option>
        ))}
      </select>
    </Around>
  );
}

/** A few choices, all visible: nothing chosen until somebody chooses. */
export function RadioField(props: FieldProps & { choices: Choice[]; stacked?: boolean }): JSX.Element {
  const id = useId();
  return (
    <fieldset
      class={`field radios ${props.stacked ? 'stacked' : ''} ${props.wrong ? 'wrong' : ''}`}
      aria-describedby={described(id, props)}
    >
      <legend>
        {props.label}
        {props.needed === false && <span class="quiet"> {say('form.optional')}</span>}
      </legend>
      <div class="options">
        {props.choices.map(({ value, label }) => (
          <label key={value} class="option">
            <input
              type="radio"
              name={props.name}
              value={value}
              checked={props.value === value}
              required={props.needed === true}
              onChange={() => props.set(value)}
            />
            <span>{label}</span>
          </label>
        ))}
      </div>
      {props.hint && (
        <p class="hint" id={`${id}-hint`}>
          {props.hint}
        </p>
      )}
      {props.wrong && (
        <p class="why" id={`${id}-wrong`}>
          {props.wrong}
        </p>
      )}
    </fieldset>
  );
}

export function CheckField({
  label,
  name,
  value,
  set,
  hint,
}: {
  label: string;
  name: string;
  value: boolean;
  set: (value: boolean) => void;
  hint?: string;
}): JSX.Element {
  const id = useId();
  return (
    <div class="field check">
      <label class="option">
        <input
          id={id}
          type="checkbox"
          name={name}
          checked={value}
          aria-describedby={hint ? `${id}-hint` : undefined}
          onChange={(event) => set(event.currentTarget.checked)}
        />
        <span>{label}</span>
      </label>
      {hint && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
    </div>
  );
}
