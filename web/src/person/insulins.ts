// Which insulins a form about one person offers: those of the order at its strengths (H03), or every one of the shelf while there is no order.
import type { OrderLine, Person } from '../model';
import type { Choice } from '../parts/fields';

/** "insulin glargine|100": an insulin at one strength. */
export const insulinKey = (name: string, unitsPerMl: number): string => `${name}|${unitsPerMl}`;

/** Neither ended nor replaced. */
export const isLive = ({ state }: OrderLine): boolean => state !== 'ended' && state !== 'replaced';

export const keyOfLine = ({ insulin, fact }: OrderLine): string => insulinKey(insulin, Number(fact['strength_units_per_ml']));

export function insulinsOf(person: Person): Choice[] {
  const ordered = new Set(person.order.lines.filter(isLive).map(keyOfLine));
  return person.forms.insulins
    .flatMap(({ name, strengths }) =>
      strengths.map(({ units_per_ml, label }) => ({ value: insulinKey(name, units_per_ml), label: `${name}, ${label}` })),
    )
    .filter(({ value }) => ordered.size === 0 || ordered.has(value));
}
