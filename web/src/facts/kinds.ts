// The kinds of fact that a person can write or correct by hand, field by field: labels and choices, in the words of the journal's own
// names (src/core/facts). What is not listed here is carried through a correction as it was.
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
export const sexes = choices('female', 'male', 'unknown');
export const tissues: Choice[] = [
  { value: 'hardened', label: 'Hardened tissue' }, { value: 'dent', label: 'A dent' }, { value: 'scar', label: 'A scar' }, { value: 'bruise', label: 'A bruise' },
  { value: 'inflamed', label: 'Inflamed skin' }, { value: 'pregnancy', label: 'Pregnancy' }, { value: 'other', label: 'Another reason' },
];
export const lights = choices('daylight', 'lamp from the side', 'room light', 'unknown');
export const postures = choices('standing', 'lying', 'sitting', 'unknown');
export const yesNo = choices('yes', 'no', 'unknown');
export const explained = choices(
  'not known', 'missed doses', 'double doses', 'primes left out', 'extra priming', 'cartridge thrown away early', 'cartridge lost', 'diary written later', 'shared', 'other',
);
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
  // A place noted and a place plan given are only voided: another zone would carry the old spot with it.
  {
    slug: 'body', what: 'body measured', title: 'Body measured', button: 'Record', offered: true,
    lead: 'How large the zones are, and how deep muscle lies. What is left empty is not known from then on.',
    fields: [
      { name: 'height_cm', label: 'Height', kind: 'number', unit: 'cm', optional: true },
      { name: 'waist_cm', label: 'Waist', kind: 'number', unit: 'cm', optional: true },
      { name: 'sex', label: 'Sex', kind: 'choice', choices: sexes, start: 'unknown' },
      { name: 'due', label: 'A child is expected on', kind: 'date', optional: true },
    ],
  },
  {
    slug: 'depth', what: 'depth measured', title: 'Depth by ultrasound', button: 'Record', offered: true,
    lead: 'From the skin to the muscle, without a fold and without pressing.',
    fields: [
      { name: 'zone', label: 'Where', kind: 'choice', from: 'zones' }, { name: 'depth_mm', label: 'Skin to muscle', kind: 'number', unit: 'mm' },
      { name: 'sd_mm', label: 'Spread of the measurement', kind: 'number', unit: 'mm', hint: 'How far it may be off.' },
      { name: 'text', label: 'In words', kind: 'long', optional: true },
    ],
  },
  {
    slug: 'examined', what: 'skin examined', title: 'Skin looked at and felt', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'light', label: 'Light', kind: 'choice', choices: lights, start: 'unknown' },
      { name: 'posture', label: 'Position', kind: 'choice', choices: postures, start: 'unknown' },
      { name: 'text', label: 'In words', kind: 'long', optional: true },
    ],
  },
  {
    slug: 'blocked', what: 'area blocked', title: 'An area to keep off', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'tissue', label: 'Why', kind: 'choice', choices: tissues }, { name: 'radius_mm', label: 'From its middle to its edge', kind: 'number', unit: 'mm' },
      { name: 'text', label: 'In words', kind: 'long', optional: true },
    ],
  },
  {
    slug: 'place-rules', what: 'place rules set', title: 'How places are chosen', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'rest_days', label: 'Each spot rests', kind: 'number', unit: 'days' }, { name: 'spacing_mm', label: 'Between two spots', kind: 'number', unit: 'mm' },
      { name: 'navel_clear_mm', label: 'Clear of the navel', kind: 'number', unit: 'mm' },
      { name: 'needle_mm', label: 'Needle', kind: 'number', unit: 'mm', optional: true }, { name: 'angle_deg', label: 'Angle', kind: 'number', unit: 'degrees' },
      { name: 'fold', label: 'A fold is lifted', kind: 'choice', choices: yesNo, start: 'unknown' },
      { name: 'can_fold', label: 'Somebody can lift a fold', kind: 'choice', choices: yesNo, start: 'unknown' },
    ],
  },
  {
    slug: 'body', what: 'body measured', title: 'The body measured', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'sex', label: 'Sex', kind: 'choice', choices: choices('unknown', 'female', 'male') },
      { name: 'height_cm', label: 'Height', kind: 'number', unit: 'cm', optional: true }, { name: 'waist_cm', label: 'Waist', kind: 'number', unit: 'cm', optional: true },
      { name: 'due', label: 'A child is expected on', kind: 'date', optional: true },
    ],
  },
  {
    slug: 'depth', what: 'depth measured', title: 'An ultrasound', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'zone', label: 'Where', kind: 'choice', from: 'zones' }, { name: 'depth_mm', label: 'Skin to muscle', kind: 'number', unit: 'mm' },
      { name: 'sd_mm', label: 'Give or take', kind: 'number', unit: 'mm' }, { name: 'text', label: 'In words', kind: 'text', optional: true },
    ],
  },
  {
    slug: 'blocked', what: 'area blocked', title: 'An area kept off', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'tissue', label: 'What it is', kind: 'choice', choices: choices('hardened', 'dent', 'scar', 'bruise', 'inflamed', 'pregnancy', 'other') },
      { name: 'radius_mm', label: 'Radius', kind: 'number', unit: 'mm' }, { name: 'text', label: 'In words', kind: 'text', optional: true },
    ],
  },
  // Rules for supplies are set anew rather than replaced.
  {
    slug: 'counted', what: 'supplies counted', title: 'Counted at home', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'cartridges', label: 'Sealed', kind: 'number', unit: 'pieces', optional: true },
      { name: 'needles', label: 'Needles', kind: 'number', unit: 'pieces', optional: true },
    ],
  },
  {
    slug: 'needles', what: 'needles given', title: 'Needles given', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'length_mm', label: 'Length', kind: 'number', unit: 'mm', optional: true }, { name: 'needles', label: 'Needles', kind: 'number', unit: 'pieces' },
      { name: 'lot', label: 'Lot', kind: 'text', optional: true }, { name: 'expires', label: 'Use before', kind: 'date', optional: true },
    ],
  },
  {
    slug: 'asked', what: 'supplies asked for', title: 'Supplies asked for', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'boxes', label: 'Boxes of the insulin', kind: 'number', unit: 'boxes', optional: true },
      { name: 'needle_boxes', label: 'Boxes of needles', kind: 'number', unit: 'boxes', optional: true },
      { name: 'of_whom', label: 'Of whom', kind: 'text', optional: true }, { name: 'expected', label: 'Expected on', kind: 'date', optional: true },
    ],
  },
  {
    slug: 'box', what: 'sharps box given', title: 'A sharps box given', button: 'Record', offered: false, lead: '',
    fields: [{ name: 'holds_needles', label: 'Filled to the brim it holds', kind: 'number', unit: 'needles' }],
  },
  {
    slug: 'box-closed', what: 'sharps box closed', title: 'A sharps box closed', button: 'Record', offered: false, lead: '',
    fields: [{ name: 'brought_to', label: 'Brought to', kind: 'text', optional: true }],
  },
  {
    slug: 'trip', what: 'trip planned', title: 'A trip planned', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'leaves', label: 'Leaves on', kind: 'date' }, { name: 'returns', label: 'Is back on', kind: 'date' },
      { name: 'zone', label: 'Time zone there', kind: 'text', optional: true }, { name: 'warmest_celsius', label: 'How warm it may get there', kind: 'number', unit: '°C', optional: true },
      { name: 'pharmacy', label: 'A pharmacy there has this insulin', kind: 'choice', choices: yesNo, start: 'unknown' }, { name: 'text', label: 'In words', kind: 'long', optional: true },
    ],
  },
  {
    slug: 'pen-test', what: 'pen tested', title: 'A pen tested', button: 'Record', offered: false, lead: '',
    fields: [
      units('Units dialled each time', 'dialled_units'), { name: 'by', label: 'How it was measured', kind: 'choice', choices: choices('weighed', 'counted') },
      { name: 'text', label: 'In words', kind: 'long', optional: true },
    ],
  },
  {
    slug: 'talked', what: 'difference talked over', title: 'A difference talked over', button: 'Record', offered: false, lead: '',
    fields: [
      { name: 'from', label: 'For the time from', kind: 'date' }, { name: 'until', label: 'To, that day included', kind: 'date' },
      { name: 'because', label: 'What it came to', kind: 'choice', choices: explained }, { name: 'text', label: 'In words', kind: 'long', optional: true },
    ],
  },
];

export const kindOfSlug = (slug: string): KindSpec | undefined => kinds.find((kind) => kind.slug === slug);
export const kindOfWhat = (what: string): KindSpec | undefined => kinds.find((kind) => kind.what === what);
