// What the educator has to know first, as a form: for registering and for noting what has changed. Unknown is a value.
import type { JSX } from 'preact';
import { LongField, RadioField, SelectField, TextField, choices, type Choice } from '../parts/fields';
import { Group, type Typed, type Values } from '../parts/form';
import { amount, optional } from './amount';

type Kind = 'yesno' | 'ability' | 'text' | 'diabetes' | 'injector' | 'weight';
interface Item {
  name: string;
  label: string;
  kind: Kind;
}

const yesNo: Choice[] = [
  { value: 'yes', label: 'Yes' },
  { value: 'no', label: 'No' },
  { value: 'unknown', label: 'Not known' },
];
const ability: Choice[] = [
  { value: 'full', label: 'Full' },
  { value: 'reduced', label: 'Reduced' },
  { value: 'none', label: 'None' },
  { value: 'unknown', label: 'Not known' },
];
const diabetes: Choice[] = [...choices('type 1', 'type 2', 'gestational', 'other'), { value: 'unknown', label: 'Not known' }];
const injectors: Choice[] = [
  ...choices('self', 'carer', 'school nurse', 'district nurse', 'clinic'),
  { value: 'unknown', label: 'Not known' },
];

const groups: { title: string; items: Item[] }[] = [
  {
    title: 'Diabetes',
    items: [
      { name: 'diabetes', label: 'Kind of diabetes', kind: 'diabetes' },
      { name: 'weight_kg', label: 'Weight', kind: 'weight' },
      { name: 'pregnant', label: 'Pregnant', kind: 'yesno' },
      { name: 'kidneys', label: 'Kidneys', kind: 'text' },
      { name: 'other_glucose_medicines', label: 'Other glucose medicines', kind: 'text' },
    ],
  },
  {
    title: 'Lows',
    items: [
      { name: 'severe_lows', label: 'Severe lows', kind: 'yesno' },
      { name: 'feels_lows', label: 'Feels lows', kind: 'yesno' },
      { name: 'lives_alone', label: 'Lives alone', kind: 'yesno' },
      { name: 'drives', label: 'Drives', kind: 'yesno' },
    ],
  },
  {
    title: 'Injecting',
    items: [
      { name: 'injector', label: 'Who injects', kind: 'injector' },
      { name: 'sight', label: 'Sight', kind: 'ability' },
      { name: 'hands', label: 'Hands', kind: 'ability' },
      { name: 'hearing', label: 'Hearing', kind: 'ability' },
      { name: 'memory', label: 'Memory', kind: 'ability' },
    ],
  },
  {
    title: 'Language',
    items: [
      { name: 'speaks', label: 'Speaks', kind: 'text' },
      { name: 'reads', label: 'Reads', kind: 'text' },
      { name: 'interpreter', label: 'Needs an interpreter', kind: 'yesno' },
    ],
  },
];

const items = groups.flatMap((group) => group.items);
const isText = (kind: Kind): boolean => kind === 'text' || kind === 'weight';

export function emptyBackground(): Values {
  const values: Values = { weighed_on: '' };
  for (const { name, kind } of items) values[name] = isText(kind) ? '' : 'unknown';
  return values;
}

export function backgroundDraft(values: Values): Record<string, unknown> {
  const draft: Record<string, unknown> = {};
  for (const { name, kind } of items) {
    const text = (values[name] ?? '').trim();
    if (text === '') continue;
    draft[name] = kind === 'weight' ? amount(text) : text;
  }
  return { ...draft, ...optional('weighed_on', values['weighed_on'] ?? '', (text) => text) };
}

/** A background as a fact carries it, as the text of its fields. */
export function backgroundValues(background: Record<string, unknown>): Values {
  const values = emptyBackground();
  for (const name of Object.keys(values)) {
    const value = background[name];
    if (value !== undefined && value !== null) values[name] = String(value);
  }
  return values;
}

function One({ item, typed, wrong }: { item: Item; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  const props = { ...typed.field(item.name, item.label), wrong: wrong[`background/${item.name}`] };
  switch (item.kind) {
    case 'yesno':
      return <RadioField {...props} choices={yesNo} />;
    case 'ability':
      return <RadioField {...props} choices={ability} />;
    case 'diabetes':
      return <SelectField {...props} choices={diabetes} />;
    case 'injector':
      return <SelectField {...props} choices={injectors} />;
    case 'weight':
      return (
        <>
          <TextField {...props} decimal unit="kg" needed={false} />
          <TextField {...typed.field('weighed_on', 'Weighed on')} type="date" short needed={false} wrong={wrong['background/weighed_on']} />
        </>
      );
    default:
      return <LongField {...props} needed={false} rows={1} />;
  }
}

export function BackgroundFields({ typed, wrong }: { typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  return (
    <>
      {groups.map(({ title, items: some }) => (
        <Group key={title} title={title}>
          {some.map((item) => (
            <One key={item.name} item={item} typed={typed} wrong={wrong} />
          ))}
        </Group>
      ))}
    </>
  );
}
