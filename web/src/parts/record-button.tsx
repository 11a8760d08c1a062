// One press records it. Where something has to be said first, the press asks for it.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { localNow } from '../clock';
import { senseOf } from '../facts/day';
import { amount } from '../facts/amount';
import type { FactDraft, RecordAction } from '../model';
import type { Recorder } from '../recorder';
import { Dialog } from './dialog';
import { RadioField, SelectField, TextField, UnitsField } from './fields';
import { Form, useTyped, type Values } from './form';
import { BothSides } from './outcome';
import { Say } from './text';
import { say } from '../words';

type Fill = NonNullable<RecordAction['fill']>[number];

const fieldName = (fill: Fill): string => (fill.field === 'happened' && fill.kind === 'time' ? 'happened_local' : fill.field);

function filled(fill: Fill, text: string): unknown {
  if (fill.kind === 'units') return amount(text);
  if (fill.kind === 'choice' && (text === 'true' || text === 'false')) return text === 'true';
  return text.trim();
}

/** The action's facts, with what was typed put into the first of them. */
export function filledFacts(action: RecordAction, values: Values): FactDraft[] {
  const [first, ...rest] = action.facts;
  if (!first) return [];
  const extra: Record<string, unknown> = {};
  for (const fill of action.fill ?? []) {
    const text = values[fill.field] ?? '';
    if (text.trim() !== '') extra[fieldName(fill)] = filled(fill, text);
  }
  return [{ ...first, ...extra }, ...rest];
}

function FillField({ fill, typed, zone }: { fill: Fill; typed: ReturnType<typeof useTyped<Values>>; zone: string }): JSX.Element {
  const props = typed.field(fill.field, fill.label);
  switch (fill.kind) {
    case 'units':
      return <UnitsField {...props} needed />;
    case 'time':
      return (
        <TextField
          {...props}
          type={/_on$|_day$|expires|expected|until|from/.test(fill.field) ? 'date' : 'datetime-local'}
          now={localNow(zone)}
          sense={senseOf(fill.field)}
          of={fill.of}
        />
      );
    case 'choice': {
      const options = fill.choices ?? [];
      return options.length <= 5 ? (
        <RadioField {...props} choices={options} needed />
      ) : (
        <SelectField {...props} choices={options} empty={say('form.choose')} needed />
      );
    }
    default:
      return <TextField {...props} />;
  }
}

/** The fields that an action asks for, its question, and the button. */
export function FillForm({ action, recorder, done }: { action: RecordAction; recorder: Recorder; done: () => void }): JSX.Element {
  const typed = useTyped<Values>(Object.fromEntries((action.fill ?? []).map(({ field }) => [field, ''])));
  const { outcome } = recorder;
  const mine = 'attempt' in outcome && outcome.attempt.label === action.label;
  const submit = async (): Promise<void> => {
    const wanted = (action.fill ?? []).map((fill): [string, string] => [fill.label, wantedText(fill, typed.values[fill.field] ?? '')]);
    const end = await recorder.record(action.label, filledFacts(action, typed.values), { wanted });
    if (end.kind === 'idle' || end.kind === 'refused') return;
    typed.settled();
    done();
  };
  useEffect(() => {
    if (mine && outcome.kind === 'recorded') typed.settled();
  }, [outcome]);
  return (
    <Form
      submit={() => void submit()}
      button={action.label}
      busy={recorder.busy}
      first={false}
      refused={mine && outcome.kind === 'refused' ? outcome.refused : null}
    >
      {action.confirm && (
        <Say level="caution" word={say('outcome.check')}>
          {action.confirm}
        </Say>
      )}
      {(action.fill ?? []).map((fill) => (
        <FillField key={fill.field} fill={fill} typed={typed} zone={recorder.zone} />
      ))}
      {mine && outcome.kind === 'conflict' && <BothSides attempt={outcome.attempt} changed={outcome.changed} />}
    </Form>
  );
}

const wantedText = (fill: Fill, value: string): string =>
  fill.choices?.find((choice) => choice.value === value)?.label ??
  (fill.kind === 'units' && value !== '' ? `${value} ${say('form.units')}` : value);

export const asksFirst = (action: RecordAction): boolean => (action.fill?.length ?? 0) > 0 || (action.confirm ?? '') !== '';

export function RecordButton({ action, recorder, kind = 'act' }: { action: RecordAction; recorder: Recorder; kind?: string }): JSX.Element {
  const [open, setOpen] = useState(false);
  const press = (event: MouseEvent): void => {
    if (asksFirst(action)) setOpen(true);
    else void recorder.press(event, action.label, action.facts);
  };
  return (
    <>
      <button type="button" class={kind} onClick={press} aria-disabled={recorder.busy}>
        {action.label}
        {asksFirst(action) && <span aria-hidden="true">…</span>}
      </button>
      {open && (
        <Dialog
          title={action.label}
          close={() => {
            recorder.close();
            setOpen(false);
          }}
        >
          <FillForm action={action} recorder={recorder} done={() => setOpen(false)} />
          <p class="btns">
            <button
              type="button"
              class="act plain"
              onClick={() => {
                recorder.close();
                setOpen(false);
              }}
            >
              {say('form.cancel')}
            </button>
          </p>
        </Dialog>
      )}
    </>
  );
}
