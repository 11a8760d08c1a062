// Form fields: a label that says the unit, a control of 44 pixels, a hint or what is wrong under it.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { localNow } from '../clock';
import { dayOf, expiryOf, isAhead, mightBeMonthFirst, momentOf, type Sense } from '../facts/day';
import { eveningOf, timeOf } from '../facts/time';
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
      <label id={`${id}-label`} for={id}>
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

type InputKind = 'text' | 'tel' | 'search';
type DateKind = 'date' | 'expiry' | 'datetime-local';

const long_day: Intl.DateTimeFormatOptions = { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' };

function inWords(value: string, format: Intl.DateTimeFormatOptions): string {
  const [, day, hour, which = ''] = /^(\d{4}-\d{2}-\d{2})(?:T(\d{2}:\d{2}).*?( first| second)?)?$/.exec(value) ?? [];
  const ms = Date.parse(`${day ?? ''}T00:00Z`);
  if (Number.isNaN(ms)) return '';
  const text = new Intl.DateTimeFormat('en-GB', format).format(ms);
  return hour === undefined ? text : `${text}, ${hour}${which}`;
}

/** "2027-05-01" as a day that everybody reads alike. */
export const dayInWords = (day: string): string => inWords(day, long_day) || day;

function Typed({
  id,
  value,
  set,
  left,
  input,
  complete,
  decimal,
  odd,
  ...props
}: FieldProps & {
  id: string;
  left?: () => void;
  /** It cannot be read: its form is not sent. */
  odd?: boolean;
  input?: 'text' | 'tel' | 'search';
  complete?: string | undefined;
  decimal?: boolean | undefined;
  list?: string | undefined;
}): JSX.Element {
  const type = (input ?? 'text') as 'text'; // the attribute types of the kinds of field are apart; we use what they share
  return (
    <input
      id={id}
      name={props.name}
      type={type}
      value={value}
      autocomplete={complete ?? 'off'}
      inputMode={decimal ? 'decimal' : undefined}
      required={props.needed === true}
      list={props.list}
      data-unread={odd || undefined}
      aria-invalid={props.wrong ? true : undefined}
      aria-describedby={described(id, props)}
      onInput={(event) => set(event.currentTarget.value)}
      onBlur={left}
    />
  );
}

const readAs: Record<DateKind, (typed: string, now: string, sense: Sense, of: string) => string | null> = {
  date: (typed, now, sense) => dayOf(typed, now.slice(0, 10), sense),
  expiry: (typed, now) => expiryOf(typed, now.slice(0, 10)),
  'datetime-local': momentOf,
};

/** The same day in each way that is read. */
const plain_day: Intl.DateTimeFormatOptions = { day: 'numeric', month: 'long', year: 'numeric', timeZone: 'UTC' };
const written = { words: inWords('2027-06-04', plain_day), short: '4/6/2027', iso: '2027-06-04', time: '22:00', month: '06/2027' };
const unread: Record<DateKind, (typed: string, now: string, sense: Sense) => string> = {
  date: () => say('form.day_unread', written),
  expiry: () => say('form.expiry_unread', written),
  'datetime-local': (typed, now, sense) => {
    const day = dayOf(typed, now.slice(0, 10), sense);
    return day ? say('form.hour_missing', { day: dayInWords(day), time: written.time }) : say('form.moment_unread', written);
  },
};

/** How it was read, where somebody might have meant another day or the other half of it by it. */
function echoOf(typed: string, value: string, read: string, now = ''): string {
  const alone = timeOf(typed);
  if (alone !== null && value !== '' && value.slice(0, 10) < now.slice(0, 10)) return say('form.not_today', { read });
  const known = mightBeMonthFirst(typed, value) ? say('form.day_first', { day: read }) : read;
  const evening = eveningOf(typed);
  return evening === null ? known : say('form.morning', { read: known, evening });
}

/**
 * A day, or a day and an hour: typed as people write it, or picked. The form has it as "2027-06-04"; what cannot be read stays as it was typed, is
 * named here, and its form is not sent.
 */
function DateField({
  kind,
  now = localNow(),
  sense = 'may lie ahead',
  of = '',
  ...props
}: FieldProps & { kind: DateKind; now?: string | undefined; sense?: Sense | undefined; of?: string | undefined }): JSX.Element {
  const id = useId();
  const shown = (value: string): string => inWords(value, plain_day) || value;
  const [typed, setTyped] = useState(() => shown(props.value));
  const [left, setLeft] = useState(false);
  const pick = useRef<HTMLInputElement>(null);
  const read = (text: string): string => readAs[kind](text, now, sense, of) ?? text;
  const text = read(typed) === props.value ? typed : shown(props.value); // the form filled it in: from a scan, a start of its own
  const known = inWords(props.value, long_day);
  const ahead = of !== '' && known !== '' && isAhead(props.value, now);
  const odd = ahead || (text.trim() !== '' && known === '');
  const why = (): string => (ahead ? say('form.dose_ahead') : unread[kind](text, now, sense));
  const wrong = odd && (left || props.wrong) ? why() : props.wrong;
  const set = (next: string, value: string): void => {
    setTyped(next);
    props.set(value);
  };
  useEffect(() => {
    if (props.value === '') setLeft(false);
  }, [props.value]);
  return (
    <Around id={id} {...props} wrong={wrong} class="short day">
      <span class="with">
        <Typed {...props} id={id} wrong={wrong} odd={odd} value={text} set={(next) => set(next, read(next))} left={() => setLeft(true)} />
        {sense !== 'birth' && (
          <>
            <button type="button" class="act slim scr" onClick={() => pick.current?.showPicker()} aria-describedby={`${id}-label`}>
              {say('form.pick')}
            </button>
            <input
              ref={pick}
              type={kind === 'datetime-local' ? kind : 'date'}
              class="picked-day"
              tabIndex={-1}
              aria-hidden="true"
              value={known === '' ? '' : props.value.slice(0, 16)}
              onInput={(event) => set(shown(event.currentTarget.value), event.currentTarget.value)}
            />
          </>
        )}
      </span>
      {known !== '' && (
        <p class="echo" aria-live="polite">
          {echoOf(text, props.value, known, now)}
        </p>
      )}
    </Around>
  );
}

/** An hour, as people write it. */
export function TimeField(props: FieldProps): JSX.Element {
  const id = useId();
  const [left, setLeft] = useState(false);
  const read = timeOf(props.value);
  const odd = props.value.trim() !== '' && read === null;
  const wrong = odd && (left || props.wrong) ? say('form.time_unread', { time: '22:00', half: '10 pm' }) : props.wrong;
  return (
    <Around id={id} {...props} wrong={wrong} class="short">
      <span class="with">
        <Typed {...props} id={id} wrong={wrong} odd={odd} decimal left={() => setLeft(true)} />
      </span>
      {read !== null && read !== props.value.trim() && <p class="echo">{echoOf(props.value, '', read)}</p>}
    </Around>
  );
}

export function TextField(
  props: FieldProps & {
    type?: InputKind | DateKind;
    unit?: string;
    short?: boolean;
    decimal?: boolean;
    complete?: string;
    offers?: string[];
    /** This moment where it is not by the clinic's zone: "yesterday", a day without its year and an hour alone are understood from it. */
    now?: string | undefined;
    /** Which way from now its day lies. A birth date is far from today, so it is typed. */
    sense?: Sense | undefined;
    /** Of an answer about a dose: when that was due. An hour alone is read as one near it, and what lies ahead is no answer. */
    of?: string | undefined;
  },
): JSX.Element {
  const id = useId();
  const { type } = props;
  if (type === 'date' || type === 'expiry' || type === 'datetime-local') return <DateField {...props} kind={type} />;
  return (
    <Around id={id} {...props} class={props.short || props.unit ? 'short' : ''}>
      <span class="with">
        <Typed {...props} id={id} input={type ?? 'text'} list={props.offers ? `${id}-offers` : undefined} />
        {props.offers && (
          <datalist id={`${id}-offers`}>
            {props.offers.map((offer) => (
              <option key={offer} value={offer} />
            ))}
          </datalist>
        )}
        {props.unit && <span class="unit">{props.unit}</span>}
      </span>
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

/** `read`: what was read where it is no number. */
export function MeasuredField(props: FieldProps & { units: readonly [string, string]; read?: string | undefined }): JSX.Element {
  const id = useId();
  const [value, unit] = splitMeasured(props.value);
  const set = (next: [string, string]): void => props.set(next[0] === '' && next[1] === '' ? '' : next.join(' '));
  const [left, setLeft] = useState(false);
  const odd = value !== '' && unit === '' && !props.read;
  const wrong = odd && (left || props.wrong) ? say('form.unit_missing', { one: props.units[0], other: props.units[1] }) : props.wrong;
  return (
    <Around id={id} {...props} wrong={wrong} class="short">
      <span class="with">
        <input
          id={id}
          name={props.name}
          value={value}
          autocomplete="off"
          inputMode="decimal"
          aria-invalid={wrong ? true : undefined}
          aria-describedby={described(id, { ...props, wrong })}
          onInput={(event) => set([event.currentTarget.value.trim(), unit])}
        />
        <select
          name={`${props.name}_unit`}
          aria-label={say('form.unit')}
          value={unit}
          data-unread={odd || undefined}
          onBlur={() => setLeft(true)}
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
      {props.read && (
        <p class="echo" aria-live="polite">
          {props.read}
        </p>
      )}
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
