// Which insulins a form about one person offers: those of the order, or every one of the shelf while there is no order.
import type { Person } from '../model';
import type { Choice } from '../parts/fields';

/** "insulin glargine|100": an insulin at one strength. */
export const insulinKey = (name: string, unitsPerMl: number): string => `${name}|${unitsPerMl}`;

export function insulinsOf(person: Person): Choice[] {
  const ordered = new Set(
    person.order.lines.filter(({ state }) => state !== 'ended' && state !== 'replaced').map(({ insulin }) => insulin),
  );
  return person.forms.insulins
    .filter(({ name }) => ordered.size === 0 || ordered.has(name))
    .flatMap(({ name, strengths }) =>
      strengths.map(({ units_per_ml, label }) => ({ value: insulinKey(name, units_per_ml), label: `${name}, ${label}` })),
    );
}
