// The clinic's own products. Each figure may name its source; one without is marked as the clinic's own.
import type { JSX } from 'preact';
import { amount } from '../facts/amount';
import { useFactForm } from '../facts/use-fact-form';
import type { Coded, FactDraft, Shelf } from '../model';
import { CheckField, RadioField, SelectField, TextField, UnitsField, choices, type Choice } from '../parts/fields';
import { fieldOf, Form, useTyped, type Values } from '../parts/form';
import type { Recorder } from '../recorder';
import { say } from '../words';

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
  label: say('products.code_fits'),
  kind: 'text',
  hint: say('products.code_fits_hint'),
};

export const shelfForms: Record<ShelfKind, Spec> = {
  insulin: {
    add: say('products.add_insulin'),
    what: 'shelf insulin added',
    button: say('products.record_insulin'),
    fields: [
      { name: 'name', label: say('products.generic'), kind: 'text' },
      { name: 'strength_units_per_ml', label: say('products.strength'), kind: 'number', unit: say('unit.units_per_ml') },
      { name: 'action', label: say('products.action'), kind: 'choice', from: (shelf) => choices(...shelf.forms.actions) },
      { name: 'suspension', label: say('products.suspension'), kind: 'flag' },
      { name: 'in_use_days', label: say('products.in_use'), kind: 'number', unit: say('unit.days') },
      { name: 'counts_from_fridge', label: say('products.from_fridge'), kind: 'flag' },
      { name: 'in_use_most_celsius', label: say('products.in_use_most'), kind: 'number', unit: say('unit.celsius') },
      { name: 'store_least_celsius', label: say('products.store_least'), kind: 'number', unit: say('unit.celsius') },
      { name: 'store_most_celsius', label: say('products.store_most'), kind: 'number', unit: say('unit.celsius') },
      { name: 'least_left_to_mix_units', label: say('products.least_mix'), kind: 'units', optional: true },
    ],
  },
  cartridge: {
    add: say('products.add_cartridge'),
    what: 'shelf cartridge added',
    button: say('load.record'),
    fields: [
      { name: 'name', label: say('page.name_field'), kind: 'text' },
      { name: 'insulin', label: say('products.insulin'), kind: 'choice', from: (shelf) => coded(shelf.forms.insulins) },
      { name: 'presentation', label: say('products.presentation'), kind: 'choice', from: (shelf) => choices(...shelf.forms.presentations) },
      { name: 'tenths_ml', label: say('products.volume'), kind: 'tenths', unit: say('unit.ml') },
      { name: 'content_units', label: say('products.content'), kind: 'units' },
      fits,
      { name: 'pen', label: say('products.prefilled_pen'), kind: 'choice', from: (shelf) => coded(shelf.forms.pens), optional: true },
    ],
  },
  pen: {
    add: say('products.add_pen'),
    what: 'shelf pen added',
    button: say('pens.record'),
    fields: [
      { name: 'name', label: say('page.name_field'), kind: 'text' },
      { name: 'step_units', label: say('products.increment'), kind: 'units' },
      { name: 'most_units', label: say('products.most'), kind: 'units' },
      {
        name: 'window',
        label: say('products.window'),
        kind: 'choice',
        from: (shelf) => choices(...shelf.forms.windows),
        optional: true,
        hint: say('products.window_hint'),
      },
      { name: 'takes', label: say('products.takes'), kind: 'choice', from: (shelf) => choices(...shelf.forms.presentations) },
      { name: 'prime_units', label: say('products.prime'), kind: 'units' },
      { name: 'new_cartridge_prime_units', label: say('products.prime_new'), kind: 'units' },
      { name: 'hold_seconds', label: say('products.hold'), kind: 'number', unit: say('unit.seconds') },
      { name: 'turns_back', label: say('products.turns_back'), kind: 'flag' },
      { name: 'when_short', label: say('products.when_short'), kind: 'choice', from: (shelf) => choices(...shelf.forms.when_short) },
      fits,
      { name: 'needle_fits', label: say('products.needle_fits'), kind: 'text' },
    ],
  },
  needle: {
    add: say('products.add_needle'),
    what: 'shelf needle added',
    button: say('products.record_needle'),
    fields: [
      { name: 'name', label: say('page.name_field'), kind: 'text' },
      { name: 'length_mm', label: say('products.length'), kind: 'number', unit: say('unit.mm') },
      { name: 'gauge', label: say('products.gauge'), kind: 'number', unit: say('unit.gauge') },
      fits,
      { name: 'safety', label: say('products.safety'), kind: 'flag' },
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
        <SelectField {...props} choices={options} empty={say(field.optional ? 'form.not_known' : 'form.choose')} />
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
        [say('products.code'), typed.values['code'] ?? ''],
        [say('page.name_field'), typed.values['name'] ?? ''],
      ],
    );
  };
  return (
    <Form submit={submit} button={spec.button} busy={recorder.busy} refused={refused} first={false} cancel={leave}>
      <TextField
        {...typed.field('code', say('products.code'))}
        needed
        hint={say('products.code_hint')}
        wrong={at === 'code' ? refused?.what : undefined}
      />
      {spec.fields.map((field) => (
        <One key={field.name} field={field} shelf={shelf} typed={typed} wrong={at === field.name ? refused?.what : undefined} />
      ))}
      <TextField {...typed.field('source', say('products.sources'))} needed={false} hint={say('products.sources_hint')} />
    </Form>
  );
}
