// From typed fields to a fact's draft, and back from a fact that stands to typed fields.
import { zoned } from '../clock';
import type { FactDraft, FieldSpec, KindSpec, Person, Source } from '../model';
import type { Choice } from '../parts/fields';
import type { Values } from '../parts/form';
import { capital, plain } from '../parts/text';
import { amount } from './amount';
import { meterWord } from './meter';
import { say } from '../words';

/** The choices that only the person's own page knows. */
export function choicesFrom(source: Source, person: Person): Choice[] {
  const { pens, order, forms } = person;
  switch (source) {
    case 'cartridges':
      return pens.flatMap(({ cartridge, insulin, strength_text }) =>
        cartridge ? [{ value: cartridge.id, label: `${insulin} ${strength_text}, ${cartridge.left_text} ${cartridge.left_unit}` }] : [],
      );
    case 'pens':
      return pens.map((pen) => ({ value: pen.id, label: `${capital(pen.pen_name)}, ${pen.insulin} ${pen.strength_text}` }));
    case 'lines':
      return order.lines
        .filter(({ state }) => state !== 'ended' && state !== 'replaced')
        .map((line) => ({ value: line.id, label: `${line.purpose}, ${line.insulin}: ${plain(line.doses)}` }));
    case 'needles':
      return forms.needles.map(({ code, label }) => ({ value: code, label }));
  }
}

export const choicesOf = (field: FieldSpec, person: Person): Choice[] =>
  field.choices ?? (field.from ? choicesFrom(field.from, person) : []);

/** What the fields hold at first: what the address asks for, the kind's own start, or the only choice there is. */
export function startValues(kind: KindSpec, person: Person, query: URLSearchParams): Values {
  const values: Values = {};
  for (const field of kind.fields) {
    const options = field.kind === 'choice' ? choicesOf(field, person) : [];
    const only = options.length === 1 && field.needed ? options[0]?.value : undefined;
    values[field.name] = query.get(field.name) ?? (field.start || only) ?? (field.kind === 'flag' ? 'false' : '');
  }
  return values;
}

/** "3.9 mmol/L", "7.2 %", as its field has it. */
export function measuredOf(text: string): { value: number | string; unit: string } {
  const at = text.lastIndexOf(' '); // the field puts the unit last: what stands before it is the value as typed
  return { value: amount(text.slice(0, at)), unit: text.slice(at + 1) };
}

function typed(field: FieldSpec, text: string, zone: string): unknown {
  switch (field.kind) {
    case 'units':
    case 'number':
      return amount(text);
    case 'flag':
      return text === 'true';
    case 'time':
      return zoned(text, zone);
    case 'glucose':
    case 'hba1c':
      return measuredOf(text);
    default:
      return text.trim();
  }
}

type Fields = Pick<KindSpec, 'fields'>;

/** Whether LO or HI may be typed in the place of the value. */
export const takesMeterWord = (kind: Fields): boolean => kind.fields.some(({ name }) => name === 'meter');

/** `zone`: the person's, for the times among them. */
export function fieldsToDraft(kind: Fields, values: Values, zone: string): Record<string, unknown> {
  const draft: Record<string, unknown> = {};
  for (const field of kind.fields) {
    const text = values[field.name] ?? '';
    if (text.trim() === '') continue;
    draft[field.name] = typed(field, text, zone);
  }
  const word = takesMeterWord(kind) ? meterWord(values['value'] ?? '') : null;
  if (word === null) return draft;
  const { value: _, ...others } = draft;
  return { ...others, meter: word };
}

/** A measured value stands as the number and its unit in one text. */
function shown(value: unknown): string {
  if (typeof value !== 'object' || value === null) return String(value);
  const { value: number, unit } = value as { value: unknown; unit: unknown };
  return `${String(number)} ${String(unit)}`;
}

/** A time that an answer tells by the person's own clock, without its offset: what a field holds. */
export const localOf = (told: string): string => told.slice(0, 16);

/** A fact that stands, as the text of its fields. */
export function factToValues(kind: Fields, fact: Record<string, unknown>): Values {
  const values: Values = {};
  for (const field of kind.fields) {
    const value = fact[field.name];
    const text = value === undefined || value === null ? (field.kind === 'flag' ? 'false' : '') : shown(value);
    values[field.name] = field.kind === 'time' ? localOf(text) : text;
  }
  return values;
}

/** A fact that stands, with other fields: what has no field on the form stays as it was. */
export function replacementOf(kind: KindSpec, fact: FactDraft, values: Values, zone: string): FactDraft {
  const kept: FactDraft = { ...fact };
  for (const field of kind.fields) delete kept[field.name];
  return { ...kept, ...fieldsToDraft(kind, values, zone) };
}

export const missing = (kind: KindSpec, values: Values): string[] =>
  kind.fields
    .filter((field) => field.needed && field.kind !== 'flag' && (values[field.name] ?? '').trim() === '')
    .map((field) => field.name);

/** Label and value of each field, to be shown beside what somebody else wrote. */
export function wantedOf(kind: KindSpec, values: Values, person: Person): [string, string][] {
  return kind.fields.flatMap((field): [string, string][] => {
    const text = values[field.name] ?? '';
    if (text === '') return [];
    const label = field.kind === 'choice' ? choicesOf(field, person).find(({ value }) => value === text)?.label : undefined;
    const as_read = field.kind === 'flag' ? say(text === 'true' ? 'form.yes' : 'form.no') : (label ?? text);
    const unit = field.kind === 'units' ? ` ${say('form.units')}` : field.unit ? ` ${field.unit}` : '';
    return [[field.label, as_read + unit]];
  });
}
