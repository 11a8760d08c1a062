// Centimetres as people say them, tenths of a millimetre as facts hold them. The decimal point is moved in the text, so that no
// arithmetic of binary fractions comes between what was typed and what is recorded.
import type { Choice } from '../parts/fields';
import type { Values } from '../parts/form';
import { say } from '../words';

const plainNumber = /^(0|[1-9]\d{0,4})(\.\d{1,4})?$/;

/** "7.43" (centimetres) is "74.3" (millimetres); "0.5" is "5"; nothing else than a plain number is touched. */
export function shifted(text: string, places: 1 | -1): string {
  if (!plainNumber.test(text)) return text;
  const [whole = '0', part = ''] = text.split('.');
  const digits = places === 1 ? whole + (part.charAt(0) || '0') : whole.slice(0, -1) || '0';
  const rest = places === 1 ? part.slice(1) : whole.slice(-1) + part;
  const front = digits.replace(/^0+(?=\d)/, '');
  const back = rest.replace(/0+$/, '');
  return back === '' ? front : `${front}.${back}`;
}

/** Millimetres for a fact: a number where the text is one; what is no number goes as typed, and the server refuses it by name. */
export function millimetres(cm: string): number | string {
  const typed = cm.trim();
  return plainNumber.test(typed) ? Number(shifted(typed, 1)) : typed;
}

/** A fact's millimetres, number or text, as centimetres for a field; '' where there are none. */
export function centimetres(mm: unknown): string {
  if (typeof mm !== 'number' && typeof mm !== 'string') return '';
  const text = String(mm).trim();
  return text.startsWith('-') ? `-${shifted(text.slice(1), -1)}` : shifted(text, -1);
}

/** A place on the skin as text: a zone, and signed centimetres from the navel or the zone's middle; x to the person's left, y towards the head. */
export interface Placed {
  zone: string;
  x_cm: string;
  y_cm: string;
}

/** The fields of a place in a form. Direction is a word beside the number, so nobody types a minus. */
export const placeFields = (start?: Partial<Placed>): Values => ({
  zone: start?.zone ?? '',
  ...valuesAlong('across', start?.x_cm ?? '', 'left', 'right'),
  ...valuesAlong('along', start?.y_cm ?? '', 'head', 'feet'),
});

const valuesAlong = (name: string, cm: string, plus: string, minus: string): Values => {
  const below = cm.startsWith('-');
  return { [name]: below ? cm.slice(1) : cm, [`${name}_to`]: below ? minus : plus };
};

export const acrossTo: Choice[] = [
  { value: 'left', label: say('skin.left') },
  { value: 'right', label: say('skin.right') },
];
export const alongTo: Choice[] = [
  { value: 'head', label: say('skin.head') },
  { value: 'feet', label: say('skin.feet') },
];

/** A quarter of the abdomen lies to one side of the navel: choosing it says the directions. */
export function directionsOf(zone: string): Values {
  const found = /^abdomen (left|right) (upper|lower)$/.exec(zone);
  return found ? { across_to: found[1] ?? 'left', along_to: found[2] === 'upper' ? 'head' : 'feet' } : {};
}

const signed = (cm: string, minus: boolean): string => (minus && !/^0*(\.0*)?$/.test(cm.trim()) ? `-${cm.trim()}` : cm.trim());

/** What the fields of a place say, or nothing while the zone or a number is missing. */
export function placedOf(values: Values): Placed | null {
  const { zone = '', across = '', along = '' } = values;
  if (zone === '' || across.trim() === '' || along.trim() === '') return null;
  return { zone, x_cm: signed(across, values['across_to'] === 'right'), y_cm: signed(along, values['along_to'] === 'feet') };
}

const signedMillimetres = (cm: string): number | string => {
  if (!cm.startsWith('-')) return millimetres(cm);
  const mm = millimetres(cm.slice(1));
  return typeof mm === 'number' ? -mm : cm;
};

/** The spot of a fact (src/core/units/body.hpp). */
export const spotOf = ({ x_cm, y_cm }: Placed): { x_mm: number | string; y_mm: number | string } => ({
  x_mm: signedMillimetres(x_cm),
  y_mm: signedMillimetres(y_cm),
});

/** Where a place is measured from. */
export const fromWhere = (zone: string): string => (zone.startsWith('abdomen') ? say('skin.navel_at') : say('skin.middle_at'));

export const samePlace = (a: Placed, b: Placed): boolean => a.zone === b.zone && a.x_cm === b.x_cm && a.y_cm === b.y_cm;

/** A spot is known to a tenth of a millimetre; it is said to the millimetre, as a hand can measure. */
const said = (cm: string): string => (plainNumber.test(cm) ? String(Math.round(Number(cm) * 10) / 10) : cm);

const saidPart = (cm: string, plus: string, minus: string): string => {
  const plain = said(cm.replace(/^-/, ''));
  return plain === '0' ? '' : say('skin.distance', { cm: plain, way: cm.startsWith('-') ? minus : plus });
};

/** "Left belly, upper quarter: 7.5 cm towards their left, 2 cm towards the head, from the navel". */
export function saidPlace({ zone, x_cm, y_cm }: Placed, zones: Choice[]): string {
  const label = zones.find(({ value }) => value === zone)?.label ?? zone;
  const parts = [saidPart(x_cm, say('skin.left'), say('skin.right')), saidPart(y_cm, say('skin.head'), say('skin.feet'))].filter(
    (part) => part !== '',
  );
  return parts.length === 0
    ? say('skin.at', { area: label, from: fromWhere(zone) })
    : say('skin.at_from', { area: label, distances: parts.join(', '), from: fromWhere(zone) });
}
