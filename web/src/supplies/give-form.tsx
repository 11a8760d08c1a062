// What goes home: sealed cartridges or prefilled pens, and needles of one length.
import type { JSX } from 'preact';
import { amount, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft, SupplyForms } from '../model';
import { SelectField, TextField, UnitsField, type Choice } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { insulinKey, insulinsOf } from '../person/insulins';
import { saidOf } from '../skin/fields';
import { backTo, trimmed, when, wrongAt, type InForm } from './fields';

/** Insulins with what one piece holds, as they are at home or on the shelf; each also in a size that has to be typed. */
function choicesOf({ person, page }: InForm): Choice[] {
  const known = page.forms.insulins.map(({ insulin, strength_units_per_ml: strength, each_units: each, label }) => ({
    value: `${insulinKey(insulin, strength)}|${each}`,
    label,
  }));
  const any = insulinsOf(person).map(({ value, label }) => ({
    value,
    label: known.some((one) => one.value.startsWith(`${value}|`)) ? `${label}, another size` : label,
  }));
  return [...known, ...any];
}

function givenInsulin(values: Values): FactDraft | null {
  const [insulin = '', strength = '', each = ''] = (values['insulin'] ?? '').split('|');
  if (insulin === '') return null;
  return {
    what: 'supplies given',
    insulin,
    strength_units_per_ml: amount(strength),
    each_units: amount(each === '' ? (values['each'] ?? '') : each),
    cartridges: amount(values['cartridges'] ?? ''),
    ...optional('lot', values['lot'] ?? '', trimmed),
    ...optional('expires', values['expires'] ?? '', trimmed),
  };
}

/** Needles whose type nobody said are counted without a length. */
function givenNeedles(values: Values, { needles }: SupplyForms): FactDraft | null {
  if ((values['needles'] ?? '').trim() === '') return null;
  const type = needles.find(({ code }) => code === values['needle']);
  if (!type) return { what: 'supplies given', needles: amount(values['needles'] ?? '') };
  return {
    what: 'needles given',
    needle: type.code,
    length_mm: type.length_mm,
    needles: amount(values['needles'] ?? ''),
    ...optional('lot', values['needles_lot'] ?? '', trimmed),
    ...optional('expires', values['needles_expires'] ?? '', trimmed),
  };
}

function InsulinFields({ typed, choices, wrong }: { typed: Typed<Values>; choices: Choice[]; wrong: Record<string, string> }): JSX.Element {
  const { insulin = '' } = typed.values;
  return (
    <Group title="Insulin">
      <SelectField {...typed.field('insulin', 'Which insulin')} choices={choices} empty="none" wrong={wrong['insulin']} />
      {insulin !== '' && (
        <>
          <TextField
            {...typed.field('cartridges', 'How many cartridges or pens')}
            decimal
            unit="pieces"
            needed
            wrong={wrong['cartridges']}
          />
          {insulin.split('|').length < 3 && <UnitsField {...typed.field('each', 'Each holds')} needed wrong={wrong['each_units']} />}
          <TextField {...typed.field('lot', 'Lot')} needed={false} wrong={wrong['lot']} hint="From the carton. It is kept for a recall." />
          <TextField {...typed.field('expires', 'Use before')} type="date" short needed={false} wrong={wrong['expires']} />
        </>
      )}
    </Group>
  );
}

function NeedleFields({ typed, forms, wrong }: { typed: Typed<Values>; forms: SupplyForms; wrong: Record<string, string> }): JSX.Element {
  const { needle = '' } = typed.values;
  return (
    <Group title="Needles">
      <SelectField
        {...typed.field('needle', 'Which needle')}
        choices={forms.needles.map(({ code, label }) => ({ value: code, label }))}
        empty="not said"
        wrong={wrong['needle'] ?? wrong['length_mm']}
        hint="With a type, they are counted by their length."
      />
      <TextField {...typed.field('needles', 'How many needles')} decimal unit="pieces" needed={needle !== ''} wrong={wrong['needles']} />
      {needle !== '' && (
        <>
          <TextField {...typed.field('needles_lot', 'Lot of the needles')} needed={false} wrong={wrong['lot']} />
          <TextField {...typed.field('needles_expires', 'Needles: use before')} type="date" short needed={false} wrong={wrong['expires']} />
        </>
      )}
    </Group>
  );
}

export function GiveForm(inside: InForm): JSX.Element {
  const { person, recorder, page } = inside;
  const choices = choicesOf(inside);
  const typed = useTyped<Values>({
    insulin: '',
    each: '',
    cartridges: '',
    lot: '',
    expires: '',
    needle: '',
    needles: '',
    needles_lot: '',
    needles_expires: '',
    ...when,
  });
  const back = backTo(person.id);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const insulin = givenInsulin(values);
  const needles = givenNeedles(values, page.forms);
  const submit = (): void => {
    const drafts = [insulin, needles].flatMap((draft) => (draft ? [{ ...draft, ...whenDraft(values) }] : []));
    if (drafts.length === 0) return form.complain({ insulin: 'Choose an insulin, or say how many needles.' });
    void form.send('Supplies given', drafts, [
      ['Insulin', saidOf(choices, values['insulin'] ?? '')],
      ['Pieces', values['cartridges'] ?? ''],
      ['Lot', values['lot'] ?? ''],
      ['Needles', values['needles'] ?? ''],
    ]);
  };
  return (
    <section class="sec">
      <header>
        <h2>Give supplies</h2>
      </header>
      <p class="lead">
        Sealed cartridges or prefilled pens, and needles, that came from elsewhere. What stands on the clinic’s own shelf is handed out from
        stock.
      </p>
      <Form submit={submit} button="Record the supplies" busy={recorder.busy} refused={form.refused} cancel={back}>
        <InsulinFields typed={typed} choices={choices} wrong={insulin || !needles ? wrongAt(form, 0) : {}} />
        <NeedleFields typed={typed} forms={page.forms} wrong={needles ? wrongAt(form, insulin ? 1 : 0) : {}} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}
