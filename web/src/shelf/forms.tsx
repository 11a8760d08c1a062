// The clinic's own shelf entries. Each figure may name its source; one without is marked as the clinic's own.
import type { JSX } from 'preact';
import { amount } from '../facts/amount';
import { useFactForm } from '../facts/use-fact-form';
import type { Coded, FactDraft, Shelf } from '../model';
import { CheckField, RadioField, SelectField, TextField, UnitsField, choices, type Choice } from '../parts/fields';
import { fieldOf, Form, useTyped, type Values } from '../parts/form';
import type { Recorder } from '../recorder';

export type ShelfKind = 'insulin' | 'cartridge' | 'pen' | 'needle';
type FieldKind = 'text' | 'units' | 'number' | 'flag' | 'choice' | 'tenths';
interface Field {
  name: string;
  label: string;
  kind: FieldKind;
  unit?: string;
  from?: (shelf: Shelf) => Choice[];
  optional?: boolean;
  hint?: string;
  start?: string;
}
interface Spec {
  add: string;
  what: string;
  button: string;
  fields: Field[];
}

const coded = (of: Coded[]): Choice[] => of.map(({ code, label }) => ({ value: code, label }));
const fits: Field = {
  name: 'fits',
  label: 'Fits code',
  kind: 'text',
  hint: 'The clinic’s own code: what carries the same code fits. Names do not show it.',
};

export const shelfForms: Record<ShelfKind, Spec> = {
  insulin: {
    add: 'Add an insulin',
    what: 'shelf insulin added',
    button: 'Record the insulin',
    fields: [
      { name: 'name', label: 'Generic name', kind: 'text' },
      { name: 'strength_units_per_ml', label: 'Strength', kind: 'number', unit: 'units/mL' },
      { name: 'action', label: 'Action', kind: 'choice', from: (shelf) => choices(...shelf.forms.actions) },
      { name: 'suspension', label: 'A suspension: cloudy, mixed before each injection', kind: 'flag' },
      { name: 'in_use_days', label: 'In use for', kind: 'number', unit: 'days' },
      { name: 'counts_from_fridge', label: 'The label counts from leaving the fridge', kind: 'flag' },
      { name: 'in_use_most_celsius', label: 'In use, not above', kind: 'number', unit: '°C' },
      { name: 'store_least_celsius', label: 'Unopened, not below', kind: 'number', unit: '°C' },
      { name: 'store_most_celsius', label: 'Unopened, not above', kind: 'number', unit: '°C' },
      { name: 'least_left_to_mix_units', label: 'Least left that can be mixed', kind: 'units', optional: true },
    ],
  },
  cartridge: {
    add: 'Add a cartridge',
    what: 'shelf cartridge added',
    button: 'Record the cartridge',
    fields: [
      { name: 'name', label: 'Name', kind: 'text' },
      { name: 'insulin', label: 'Insulin', kind: 'choice', from: (shelf) => coded(shelf.forms.insulins) },
      { name: 'presentation', label: 'Presentation', kind: 'choice', from: (shelf) => choices(...shelf.forms.presentations) },
      { name: 'tenths_ml', label: 'Volume', kind: 'tenths', unit: 'mL' },
      { name: 'content_units', label: 'Holds', kind: 'units' },
      fits,
      { name: 'pen', label: 'Prefilled: which pen', kind: 'choice', from: (shelf) => coded(shelf.forms.pens), optional: true },
    ],
  },
  pen: {
    add: 'Add a pen',
    what: 'shelf pen added',
    button: 'Record the pen',
    fields: [
      { name: 'name', label: 'Name', kind: 'text' },
      { name: 'step_units', label: 'One click', kind: 'units' },
      { name: 'most_units', label: 'Most for one injection', kind: 'units' },
      {
        name: 'window',
        label: 'After priming, the window',
        kind: 'choice',
        from: (shelf) => choices(...shelf.forms.windows),
        optional: true,
        hint: 'Not known: left open until a two-unit test shows it. No dose is planned before.',
      },
      { name: 'takes', label: 'Takes', kind: 'choice', from: (shelf) => choices(...shelf.forms.presentations) },
      { name: 'prime_units', label: 'Prime before each injection', kind: 'units' },
      { name: 'new_cartridge_prime_units', label: 'Prime on a new cartridge', kind: 'units' },
      { name: 'hold_seconds', label: 'Hold the button for', kind: 'number', unit: 'seconds' },
      { name: 'turns_back', label: 'Can be turned back without losing insulin', kind: 'flag' },
      { name: 'when_short', label: 'When the cartridge is short', kind: 'choice', from: (shelf) => choices(...shelf.forms.when_short) },
      fits,
      { name: 'needle_fits', label: 'Fits code for needles', kind: 'text' },
    ],
  },
  needle: {
    add: 'Add a needle',
    what: 'shelf needle added',
    button: 'Record the needle',
    fields: [
      { name: 'name', label: 'Name', kind: 'text' },
      { name: 'length_mm', label: 'Length', kind: 'number', unit: 'mm' },
      { name: 'gauge', label: 'Gauge', kind: 'number', unit: 'G' },
      fits,
      { name: 'safety', label: 'Safety needle: shields itself', kind: 'flag' },
    ],
  },
};

/** "1.5" mL as the whole tenths that the shelf keeps; anything else goes as typed and is refused by name. */
function tenths(text: string): number | string {
  const parts = /^(\d{1,3})(?:\.(\d))?$/.exec(text.trim());
  return parts ? Number(`${parts[1]}${parts[2] ?? '0'}`) : text.trim();
}

function thingOf(spec: Spec, values: Values): Record<string, unknown> {
  const thing: Record<string, unknown> = {};
  for (const field of spec.fields) {
    const text = values[field.name] ?? '';
    if (field.kind === 'flag') thing[field.name] = text === 'true';
    else if (text.trim() === '') continue;
    else
      thing[field.name] =
        field.kind === 'tenths' ? tenths(text) : field.kind === 'units' || field.kind === 'number' ? amount(text) : text.trim();
  }
  return thing;
}

function One({
  field,
  shelf,
  typed,
  wrong,
}: {
  field: Field;
  shelf: Shelf;
  typed: ReturnType<typeof useTyped<Values>>;
  wrong: string | undefined;
}): JSX.Element {
  const props = { ...typed.field(field.name, field.label), hint: field.hint, wrong, needed: field.optional !== true };
  switch (field.kind) {
    case 'units':
      return <UnitsField {...props} />;
    case 'flag':
      return <CheckField label={field.label} name={field.name} value={props.value === 'true'} set={(on) => props.set(String(on))} />;
    case 'choice': {
      const options = field.from?.(shelf) ?? [];
      return options.length <= 3 && field.optional !== true ? (
        <RadioField {...props} choices={options} />
      ) : (
        <SelectField {...props} choices={options} empty={field.optional ? 'not known' : 'choose'} />
      );
    }
    case 'number':
    case 'tenths':
      return <TextField {...props} decimal unit={field.unit ?? ''} />;
    default:
      return <TextField {...props} />;
  }
}

export function ShelfForm({
  kind,
  shelf,
  recorder,
  close,
}: {
  kind: ShelfKind;
  shelf: Shelf;
  recorder: Recorder;
  close: () => void;
}): JSX.Element {
  const spec = shelfForms[kind];
  const typed = useTyped<Values>({
    code: '',
    source: '',
    ...Object.fromEntries(spec.fields.map(({ name, start }) => [name, start ?? ''])),
  });
  const form = useFactForm(recorder, typed, close);
  const { refused } = form;
  const at = fieldOf(refused).replace(/^entry\/(thing\/)?/, '');
  const leave = (): void => {
    typed.settled();
    close();
  };
  const submit = (): void => {
    const thing = thingOf(spec, typed.values);
    const source = (typed.values['source'] ?? '').trim();
    const sources = source === '' ? [] : Object.keys(thing).map((field) => ({ field, source, known: 'read' }));
    const draft: FactDraft = {
      what: spec.what,
      entry: { code: (typed.values['code'] ?? '').trim(), thing, ...(sources.length > 0 ? { sources } : {}) },
    };
    void form.send(
      spec.button,
      [draft],
      [
        ['Code', typed.values['code'] ?? ''],
        ['Name', typed.values['name'] ?? ''],
      ],
    );
  };
  return (
    <Form submit={submit} button={spec.button} busy={recorder.busy} refused={refused} first={false} cancel={leave}>
      <TextField
        {...typed.field('code', 'Code')}
        needed
        hint="Letters, digits and dashes. The code of an entry that stands replaces it."
        wrong={at === 'code' ? refused?.what : undefined}
      />
      {spec.fields.map((field) => (
        <One key={field.name} field={field} shelf={shelf} typed={typed} wrong={at === field.name ? refused?.what : undefined} />
      ))}
      <TextField
        {...typed.field('source', 'Source of these figures')}
        needed={false}
        hint="Leaflet with its date, or a publication. Without one, they are marked as the clinic’s own."
      />
    </Form>
  );
}
