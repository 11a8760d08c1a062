// What the forms about the skin share: a list of boxes to tick, and the fields of one finding among several.
import type { JSX } from 'preact';
import type { Choice } from '../parts/fields';
import type { Typed, Values } from '../parts/form';
import { say } from '../words';

export const ticked = (values: Values, name: string, choices: Choice[]): string[] =>
  choices.filter(({ value }) => values[`${name}:${value}`] === 'true').map(({ value }) => value);

export const ticks = (name: string, values: unknown): Values =>
  Object.fromEntries((Array.isArray(values) ? values : []).map((value) => [`${name}:${String(value)}`, 'true']));

/** Several of a list, all visible. */
export function CheckGroup({
  legend,
  name,
  choices,
  typed,
  hint,
  wrong,
}: {
  legend: string;
  name: string;
  choices: Choice[];
  typed: Typed<Values>;
  hint?: string;
  wrong?: string | undefined;
}): JSX.Element {
  return (
    <fieldset class={`field checks ${wrong ? 'wrong' : ''}`}>
      <legend>{legend}</legend>
      <div class="options">
        {choices.map(({ value, label }) => (
          <label key={value} class="option">
            <input
              type="checkbox"
              checked={typed.values[`${name}:${value}`] === 'true'}
              onChange={(event) => typed.change({ [`${name}:${value}`]: String(event.currentTarget.checked) })}
            />
            <span>{label}</span>
          </label>
        ))}
      </div>
      {hint && <p class="hint">{hint}</p>}
      {wrong && <p class="why">{wrong}</p>}
    </fieldset>
  );
}

/** A part of a form's values under names of its own: "f2/zone" is its "zone". */
export function scoped(typed: Typed<Values>, prefix: string): Typed<Values> {
  const within = (some: Values): Values => Object.fromEntries(Object.entries(some).map(([name, value]) => [prefix + name, value]));
  const values = Object.fromEntries(
    Object.entries(typed.values)
      .filter(([name]) => name.startsWith(prefix))
      .map(([name, value]) => [name.slice(prefix.length), value]),
  );
  return {
    ...typed,
    values,
    set: (name) => typed.set(prefix + name),
    change: (some) => typed.change(within(some as Values)),
    field: (name, label) => ({ ...typed.field(prefix + name, label), name }),
  };
}

/** A fact's field as text for a form. */
export const textOf = (fact: Record<string, unknown> | null, name: string): string => {
  const value = fact?.[name];
  return value === undefined || value === null ? '' : String(value);
};

export const saidOf = (choices: Choice[], value: string): string => choices.find((choice) => choice.value === value)?.label ?? value;

/** Not known is an answer, too, and one may go back to it. */
export const orUnknown = (choices: Choice[]): Choice[] =>
  choices.some(({ value }) => value === 'unknown') ? choices : [...choices, { value: 'unknown', label: say('form.not_known') }];
