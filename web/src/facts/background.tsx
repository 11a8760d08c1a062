// What the educator has to know first. Not known is an answer, and the one that a form begins with.
import type { JSX } from 'preact';
import type { FactForms } from '../model';
import { Group, type Typed, type Values } from '../parts/form';
import { factToValues, fieldsToDraft } from './draft';
import { OneField } from './fact-fields';

type Groups = FactForms['background'];
const fieldsOf = (groups: Groups): { fields: Groups[number]['fields'] } => ({ fields: groups.flatMap(({ fields }) => fields) });

/** What the fields hold at first: as a fact that stands has them, or as nobody has asked yet. */
export function backgroundValues(groups: Groups, background: Record<string, unknown> = {}): Values {
  const of = fieldsOf(groups);
  const start = Object.fromEntries(of.fields.map(({ name, start: text }) => [name, text]));
  const stands = Object.entries(factToValues(of, background)).filter(([, text]) => text !== '');
  return { ...start, ...Object.fromEntries(stands) };
}

export const backgroundDraft = (groups: Groups, values: Values): Record<string, unknown> => fieldsToDraft(fieldsOf(groups), values, '');

export function BackgroundFields({
  groups,
  typed,
  wrong,
}: {
  groups: Groups;
  typed: Typed<Values>;
  wrong: Record<string, string>;
}): JSX.Element {
  return (
    <>
      {groups.map(({ title, fields }) => (
        <Group key={title} title={title}>
          {fields.map((field) => (
            <OneField
              key={field.name}
              field={field}
              options={field.choices ?? []}
              typed={typed}
              wrong={wrong[`background/${field.name}`]}
            />
          ))}
        </Group>
      ))}
    </>
  );
}
