// The kinds of fact that a person can write or correct by hand, field by field: labels and choices, in the words of the journal's own
// names (src/core/journal/facts.hpp). What is not listed here is carried through a correction as it was.
import type { Choice } from '../parts/fields';

export type FieldKind = 'units' | 'number' | 'text' | 'long' | 'date' | 'time' | 'choice' | 'flag';
/** Where the choices come from that only the person's own page knows. */
export type Source = 'cartridges' | 'pens' | 'lines' | 'zones' | 'needles' | 'injectors' | 'slots';

export interface FieldSpec {
  name: string;
  label: string;
  kind: FieldKind;
  unit?: string;
  choices?: Choice[];
  from?: Source;
  /** May stay empty: then the field is left out. */
  optional?: boolean;
  hint?: string;
  start?: string;
}

export interface KindSpec {
  slug: string;
  what: string;
  title: string;
  lead: string;
  button: string;
  fields: FieldSpec[];
  /** Offered on the record page; the others are only corrected. */
  offered: boolean;
}

export const choices = (...values: string[]): Choice[] => values.map((value) => ({ value, label: value.charAt(0).toUpperCase() + value.slice(1) }));

const cartridge: FieldSpec = { name: 'cartridge', label: 'Cartridge', kind: 'choice', from: 'cartridges' };
const pen: FieldSpec = { name: 'pen', label: 'Pen', kind: 'choice', from: 'pens' };
const line: FieldSpec = { name: 'line', label: 'Order line', kind: 'choice', from: 'lines', optional: true };
const units = (label: string, name = 'units'): FieldSpec => ({ name, label, kind: 'units' });

export const flow = choices('seen', 'not seen', 'unknown');
export const outcomes: Choice[] = [
  { value: 'whole', label: 'The whole dose' },
  { value: 'part', label: 'A part of it' },
  { value: 'unknown', label: 'Not known' },
];
export const throwReasons = choices('empty', 'rest too small', 'past in use', 'heat', 'frozen', 'cloudy or clumped', 'damaged', 'shared', 'lost', 'returned', 'other');
export const questionReasons = choices('lows', 'hardened tissue', 'heat', 'missed dose', 'part dose', 'shared pen', 'past in use', 'sick day', 'travel', 'other');
export const skills = choices('injection', 'split dose', 'needle', 'mixing', 'low treatment', 'window table');

export const kinds: KindSpec[] = [
  {
    slug: 'injection', what: 'injected', title: 'An injection that happened', button: 'Record the injection', offered: true,
    lead: 'Also one that was not as ordered: it is recorded as it was, and marked.',
    fields: [
      cartridge, units('Units that left the pen'),
      { name: 'outcome', label: 'How did it end?', kind: 'choice', choices: outcomes, start: 'whole' },
      { name: 'meant_units', label: 'Units that were meant', kind: 'units', optional: true, hint: 'Where only a part was given.' },
      line, { name: 'slot', label: 'Time of day', kind: 'choice', from: 'slots', optional: true },
      { name: 'zone', label: 'Where', kind: 'choice', from: 'zones', optional: true },
      { name: 'given_by', label: 'Who injected', kind: 'choice', from: 'injectors', start: 'unknown' },
      { name: 'given_by_name', label: 'Name of whoever injected', kind: 'text', optional: true },
    ],
  },
  {
    slug: 'prime', what: 'primed', title: 'Priming that happened', button: 'Record the priming', offered: true,
    lead: 'Units that left the needle into the air.',
    fields: [cartridge, units('Units'), { name: 'flow', label: 'Insulin seen at the needle', kind: 'choice', choices: flow, start: 'unknown' }],
  },
  {
    slug: 'scale', what: 'scale counted', title: 'Does the scale agree?', button: 'Record what the scale says', offered: true,
    lead: 'Read the cartridge’s own scale. Neither it nor the ledger is changed by this; a difference is shown.',
    fields: [cartridge, units('Units on the scale')],
  },
  {
    slug: 'throw-away', what: 'thrown away', title: 'A cartridge thrown away', button: 'Record it as thrown away', offered: true,
    lead: 'What it still holds goes with it.',
    fields: [cartridge, { name: 'reason', label: 'Why', kind: 'choice', choices: throwReasons }, { name: 'text', label: 'In words', kind: 'text', optional: true }],
  },
  {
    slug: 'warmth', what: 'temperature spell', title: 'Too warm, or frozen', button: 'Record the spell', offered: true,
    lead: 'How warm or cold it was, and for how long. Frozen insulin is never used again.',
    fields: [
      { ...cartridge, optional: true, hint: 'Nothing chosen: all that was in use then.' },
      { name: 'celsius', label: 'Temperature', kind: 'number', unit: '°C' },
      { name: 'minutes', label: 'For how long', kind: 'number', unit: 'minutes' },
      { name: 'frozen', label: 'It was frozen', kind: 'flag' },
      { name: 'text', label: 'What happened', kind: 'text', optional: true },
    ],
  },
  {
    slug: 'window-test', what: 'window tested', title: 'The two-unit test', button: 'Record what the window shows', offered: true,
    lead: 'Dial two, press, read the window. So this pen proves how its window behaves.',
    fields: [pen, { ...units('Units dialled', 'dialled_units'), start: '2' }, units('The window shows afterwards', 'shown_after_units'), { ...cartridge, label: 'The units came out of', optional: true }],
  },
  {
    slug: 'needle-on', what: 'needle on', title: 'A needle was fitted', button: 'Record the needle', offered: false,
    lead: 'Both shields come off: the outer one and the inner one.',
    fields: [pen, { name: 'needle', label: 'Needle', kind: 'choice', from: 'needles' }, { name: 'both_shields_off', label: 'Both shields were taken off', kind: 'flag', start: 'true' }],
  },
  {
    slug: 'needle-off', what: 'needle off', title: 'A needle was taken off', button: 'Record it', offered: true,
    lead: 'At once after the injection, into the box.',
    fields: [pen, { name: 'disposal', label: 'Where it went', kind: 'choice', choices: choices('sharps container', 'elsewhere', 'unknown'), start: 'unknown' }],
  },
  {
    slug: 'fridge', what: 'left the fridge', title: 'A cartridge left the fridge', button: 'Record it', offered: true,
    lead: 'Some labels count the days from here.',
    fields: [cartridge],
  },
  {
    slug: 'shared', what: 'pen shared', title: 'A pen was shared', button: 'Record it', offered: true,
    lead: 'It opens the question of exposure. One pen is for one person.',
    fields: [pen, { name: 'with', label: 'With whom', kind: 'text' }, { name: 'text', label: 'What happened', kind: 'long', optional: true }],
  },
  {
    slug: 'question', what: 'question opened', title: 'Ask the prescriber', button: 'Open the question', offered: true,
    lead: 'Until the answer is recorded, card and paper say “ask first” instead of a number.',
    fields: [
      { ...line, hint: 'Nothing chosen: every line of the order.' },
      { name: 'reason', label: 'About', kind: 'choice', choices: questionReasons },
      { name: 'text', label: 'The question', kind: 'long' },
      { name: 'answer_by', label: 'Answer needed by', kind: 'time', optional: true },
    ],
  },
  {
    slug: 'taught', what: 'taught back', title: 'Taught back', button: 'Record what was shown', offered: true,
    lead: 'What the person did in front of you.',
    fields: [
      { name: 'skill', label: 'What', kind: 'choice', choices: skills },
      { name: 'needle', label: 'With which needle', kind: 'choice', from: 'needles', optional: true },
      { name: 'unprompted', label: 'Without a prompt', kind: 'flag' },
      { name: 'text', label: 'In words', kind: 'long', optional: true },
    ],
  },
  {
    slug: 'note', what: 'note', title: 'A note', button: 'Record the note', offered: true,
    lead: 'Plain words. It changes no plan.',
    fields: [{ name: 'text', label: 'Note', kind: 'long' }],
  },
  {
    slug: 'answer', what: 'question answered', title: 'An answer', button: 'Record the answer', offered: false, lead: '',
    fields: [
      { name: 'answer', label: 'Answer', kind: 'choice', choices: choices('keep the dose', 'new order follows', 'stop', 'other') },
      { name: 'by', label: 'Who answered', kind: 'text' }, { name: 'text', label: 'In words', kind: 'long', optional: true },
      { name: 'read_back', label: 'Read back', kind: 'flag' },
    ],
  },
  {
    slug: 'supplies', what: 'supplies given', title: 'Supplies', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'cartridges', label: 'Cartridges or prefilled pens', kind: 'number', unit: 'pieces' },
      { name: 'needles', label: 'Needles', kind: 'number', unit: 'pieces' },
      { name: 'lot', label: 'Lot', kind: 'text', optional: true }, { name: 'expires', label: 'Use before', kind: 'date', optional: true },
    ],
  },
  {
    slug: 'loaded', what: 'cartridge loaded', title: 'A cartridge loaded', button: 'Record', offered: false, lead: '',
    fields: [
      units('Units in it when it went in'),
      { name: 'new_cartridge', label: 'Nobody had taken from it', kind: 'flag' },
      { name: 'lot', label: 'Lot', kind: 'text', optional: true }, { name: 'expires', label: 'Use before', kind: 'date', optional: true },
    ],
  },
  {
    slug: 'ended', what: 'order line ended', title: 'An order line ends', button: 'Record the end', offered: true,
    lead: 'What a prescriber has stopped. Background insulin never stops without a word from one.',
    fields: [
      { ...line, optional: false }, { name: 'last_day', label: 'Last day that it holds', kind: 'date' }, { name: 'prescriber', label: 'Prescriber', kind: 'text' },
      { name: 'reason', label: 'Why', kind: 'text', optional: true },
    ],
  },
  {
    slug: 'checked', what: 'order line checked', title: 'A second check', button: 'Record', offered: false, lead: '',
    fields: [{ name: 'checked_by', label: 'Checked by', kind: 'text' }],
  },
];

export const kindOfSlug = (slug: string): KindSpec | undefined => kinds.find((kind) => kind.slug === slug);
export const kindOfWhat = (what: string): KindSpec | undefined => kinds.find((kind) => kind.what === what);
