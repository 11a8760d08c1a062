// The fields of one kind of fact, drawn from its list.
import type { JSX } from 'preact';
import type { FieldSpec, KindSpec, Person } from '../model';
import {
  CheckField,
  MeasuredField,
  LongField,
  RadioField,
  SelectField,
  TextField,
  UnitsField,
  glucose_units,
  hba1c_units,
  type Choice,
} from '../parts/fields';
import type { Typed, Values } from '../parts/form';
import { localNow } from '../clock';
import { senseOf } from './day';
import { choicesOf, takesMeterWord } from './draft';
import { meterWord } from './meter';
import { say } from '../words';

const choices_in_sight = 4; // more than these go into a list

/** A cartridge that is gone, a needle that left the shelf: what was recorded stays a choice. */
const withRecorded = (options: Choice[], value: string): Choice[] =>
  value === '' || options.some((option) => option.value === value) ? options : [...options, { value, label: say('form.as_recorded') }];

/** A form that begins with an answer offers no empty one. */
const emptyChoice = (field: FieldSpec): { empty?: string } =>
  field.start !== '' ? {} : { empty: say(field.needed ? 'form.choose' : 'form.not_specified') };

function meterSaid(typed: string): string | undefined {
  const word = meterWord(typed);
  return word === null ? undefined : say(word === 'LO' ? 'form.meter_lo' : 'form.meter_hi');
}

export function OneField({
  field,
  options,
  typed,
  wrong,
  zone,
  asWord = false,
}: {
  field: FieldSpec;
  options: Choice[];
  typed: Typed<Values>;
  wrong: string | undefined;
  /** Whose today an hour alone is of. */
  zone?: string;
  /** Of a glucose value: LO and HI count as one. */
  asWord?: boolean;
}): JSX.Element {
  const props = {
    ...typed.field(field.name, field.label),
    hint: field.hint || undefined,
    wrong,
    needed: field.needed,
  };
  switch (field.kind) {
    case 'units':
      return <UnitsField {...props} />;
    case 'number':
      return <TextField {...props} decimal unit={field.unit} />;
    case 'glucose':
      return <MeasuredField {...props} units={glucose_units} read={asWord ? meterSaid(props.value) : undefined} />;
    case 'hba1c':
      return <MeasuredField {...props} units={hba1c_units} />;
    case 'long':
      return <LongField {...props} />;
    case 'date':
      return (
        <TextField
          {...props}
          type={field.name.endsWith('expires') ? 'expiry' : 'date'}
          sense={senseOf(field.name)}
          now={zone && localNow(zone)}
        />
      );
    case 'time':
      return <TextField {...props} type="datetime-local" now={zone && localNow(zone)} sense={senseOf(field.name)} />;
    case 'flag':
      return (
        <CheckField label={field.label} name={field.name} value={props.value === 'true'} set={(on) => props.set(on ? 'true' : 'false')} />
      );
    case 'choice': {
      const choices = withRecorded(options, props.value);
      return choices.length <= choices_in_sight && field.needed ? (
        <RadioField {...props} choices={choices} />
      ) : (
        <SelectField {...props} choices={choices} {...emptyChoice(field)} />
      );
    }
    default:
      return <TextField {...props} />;
  }
}

export function FactFields({
  kind,
  person,
  typed,
  wrong,
}: {
  kind: KindSpec;
  person: Person;
  typed: Typed<Values>;
  wrong: Record<string, string>;
}): JSX.Element {
  return (
    <div class="fields">
      {kind.fields.map((field) => (
        <OneField
          key={field.name}
          field={field}
          options={choicesOf(field, person)}
          typed={typed}
          wrong={wrong[field.name]}
          zone={person.forms.zone}
          asWord={takesMeterWord(kind)}
        />
      ))}
    </div>
  );
}

/** When it happened: now, or a time of the person's own clock; and who told it, if it was somebody else. */
export function WhenFields({ typed, zone }: { typed: Typed<Values>; zone: string }): JSX.Element {
  const earlier = typed.values['when'] === 'earlier';
  return (
    <div class="fields when">
      <RadioField
        {...typed.field('when', say('form.when'))}
        choices={[
          { value: 'now', label: say('form.now') },
          { value: 'earlier', label: say('form.earlier') },
        ]}
      />
      {earlier && (
        <TextField
          {...typed.field('happened_local', say('form.date_time'))}
          type="datetime-local"
          now={localNow(zone)}
          sense="happened"
          needed
          hint={say('form.local_time', { zone })}
        />
      )}
      <TextField {...typed.field('told_by', say('form.reported_by'))} needed={false} hint={say('form.reported_by_hint')} />
    </div>
  );
}

export const whenDraft = (values: Values): Record<string, string> => ({
  ...(values['when'] === 'earlier' && values['happened_local'] ? { happened_local: values['happened_local'] } : {}),
  ...(values['told_by'] ? { told_by: values['told_by'].trim() } : {}),
});
