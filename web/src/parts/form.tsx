// A form's frame: what was typed stays until it is recorded; refusals stand above the button and take the focus.
import type { ComponentChildren, JSX } from 'preact';
import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import type { Refused } from '../api';
import { guardLeaving } from '../router';
import { RefusedSay } from './states';
import { say } from '../words';

export type Values = Record<string, string>;

export interface Typed<V extends Values> {
  values: V;
  set: <K extends keyof V & string>(name: K) => (value: string) => void;
  change: (some: Partial<V>) => void;
  /** label, name, value and set of one field, to be spread into it. */
  field: <K extends keyof V & string>(name: K, label: string) => { label: string; name: K; value: string; set: (value: string) => void };
  touched: boolean;
  settled: () => void;
}

export function useTyped<V extends Values>(start: V): Typed<V> {
  const [values, setValues] = useState(start);
  const touched = useRef(false);
  useEffect(() => guardLeaving(() => touched.current), []);
  const change = useCallback((some: Partial<V>): void => {
    touched.current = true;
    setValues((before) => ({ ...before, ...some }));
  }, []);
  const set = useCallback(
    <K extends keyof V & string>(name: K) =>
      (value: string): void => {
        change({ [name]: value } as unknown as Partial<V>);
      },
    [change],
  );
  const settled = useCallback((): void => {
    touched.current = false;
  }, []);
  const field = <K extends keyof V & string>(name: K, label: string): ReturnType<Typed<V>['field']> & { name: K } => ({
    label,
    name,
    value: values[name] ?? '',
    set: set(name),
  });
  return { values, set, change, field, touched: touched.current, settled } as Typed<V>;
}

/** JSON pointer of a refusal to the field's own name: "/facts/0/slots/1/units" is "units", "slots/1/units" in full. */
export const fieldOf = (refused: Refused | null): string => refused?.at.replace(/^\/facts\/\d+\//, '') ?? '';

/** Goes to the first field that cannot be read, which then says so itself; false: there is none. */
function unreadIn(form: HTMLFormElement): boolean {
  const field = form.querySelector<HTMLElement>('[data-unread]');
  field?.focus();
  field?.blur(); // it speaks once it was left
  field?.focus();
  return field !== null;
}

export function Form({
  submit,
  button,
  busy,
  refused,
  children,
  cancel,
  cancelled = say('form.cancel'),
  first = true,
}: {
  submit: () => void;
  button: string;
  busy: boolean;
  refused?: Refused | null;
  children: ComponentChildren;
  /** Where to go, or what to do, instead. */
  cancel?: string | (() => void);
  /** What that is called. */
  cancelled?: string;
  first?: boolean;
}): JSX.Element {
  const answer = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (refused) answer.current?.focus();
  }, [refused]);
  return (
    <form
      class="form"
      onSubmit={(event) => {
        event.preventDefault();
        if (!unreadIn(event.currentTarget)) submit();
      }}
    >
      {children}
      {refused && (
        <div ref={answer} tabIndex={-1} role="alert" class="answer">
          <RefusedSay refused={refused} />
        </div>
      )}
      <p class="btns">
        <button type="submit" class={first ? 'act first' : 'act'} aria-disabled={busy}>
          {button}
        </button>
        {typeof cancel === 'string' && (
          <a class="act plain" href={cancel}>
            {cancelled}
          </a>
        )}
        {typeof cancel === 'function' && (
          <button type="button" class="act plain" onClick={cancel}>
            {cancelled}
          </button>
        )}
      </p>
    </form>
  );
}

/** A group of fields under one heading. */
export function Group({ title, note, children }: { title: string; note?: string; children: ComponentChildren }): JSX.Element {
  return (
    <fieldset class="group">
      <legend>{title}</legend>
      {note && <p class="note">{note}</p>}
      <div class="fields">{children}</div>
    </fieldset>
  );
}
