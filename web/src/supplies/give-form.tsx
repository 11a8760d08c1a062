// What goes home: sealed cartridges or prefilled pens, and needles of one length.
import type { JSX } from 'preact';
import { amount, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft, Scanned, SupplyForms } from '../model';
import { SelectField, TextField, UnitsField, type Choice } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { insulinKey, insulinsOf } from '../person/insulins';
import { saidOf } from '../skin/fields';
import { ScanField } from '../stock/scan-field';
import { backTo, trimmed, when, wrongAt, type InForm } from './fields';
import { say } from '../words';

/** Insulins with what one piece holds, as they are at home or on the shelf; each also in a size that has to be typed. */
function choicesOf({ person, page }: InForm): Choice[] {
  const known = page.forms.insulins.map(({ insulin, strength_units_per_ml: strength, each_units: each, label }) => ({
    value: `${insulinKey(insulin, strength)}|${each}`,
    label,
  }));
  const any = insulinsOf(person).map(({ value, label }) => ({
    value,
    label: known.some((one) => one.value.startsWith(`${value}|`)) ? say('supply.other_size', { insulin: label }) : label,
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
    <Group title={say('products.insulin')}>
      <SelectField
        {...typed.field('insulin', say('supply.which_insulin'))}
        choices={choices}
        empty={say('supply.none')}
        wrong={wrong['insulin']}
      />
      {insulin !== '' && (
        <>
          <TextField
            {...typed.field('cartridges', say('supply.how_many'))}
            decimal
            unit={say('unit.items')}
            needed
            wrong={wrong['cartridges']}
          />
          {insulin.split('|').length < 3 && <UnitsField {...typed.field('each', say('supply.each'))} needed wrong={wrong['each_units']} />}
          <TextField {...typed.field('lot', say('stock.lot'))} needed={false} wrong={wrong['lot']} hint={say('supply.lot_hint')} />
          <TextField {...typed.field('expires', say('stock.expiry'))} type="expiry" needed={false} wrong={wrong['expires']} />
        </>
      )}
    </Group>
  );
}

function NeedleFields({ typed, forms, wrong }: { typed: Typed<Values>; forms: SupplyForms; wrong: Record<string, string> }): JSX.Element {
  const { needle = '' } = typed.values;
  return (
    <Group title={say('supply.needles')}>
      <SelectField
        {...typed.field('needle', say('supply.needle_type'))}
        choices={forms.needles.map(({ code, label }) => ({ value: code, label }))}
        empty={say('form.not_specified')}
        wrong={wrong['needle'] ?? wrong['length_mm']}
        hint={say('supply.needle_type_hint')}
      />
      <TextField
        {...typed.field('needles', say('supply.needles_many'))}
        decimal
        unit={say('unit.items')}
        needed={needle !== ''}
        wrong={wrong['needles']}
      />
      {needle !== '' && (
        <>
          <TextField {...typed.field('needles_lot', say('supply.needles_lot'))} needed={false} wrong={wrong['lot']} />
          <TextField
            {...typed.field('needles_expires', say('supply.needles_expiry'))}
            type="expiry"
            needed={false}
            wrong={wrong['expires']}
          />
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
  const take = ({ draft }: Scanned): void => {
    const known = page.forms.insulins.find(({ items }) => items.includes(draft.item));
    const of = known ? `${insulinKey(known.insulin, known.strength_units_per_ml)}|${known.each_units}` : values['insulin'];
    typed.change({ insulin: of ?? '', cartridges: draft.pieces, lot: draft.lot, expires: draft.expires });
    form.complain(draft.item !== '' && !known ? { insulin: say('supply.other_carton') } : {});
  };
  const submit = (): void => {
    const drafts = [insulin, needles].flatMap((draft) => (draft ? [{ ...draft, ...whenDraft(values) }] : []));
    if (drafts.length === 0) return form.complain({ insulin: say('supply.give_nothing') });
    void form.send(say('supply.give'), drafts, [
      [say('products.insulin'), saidOf(choices, values['insulin'] ?? '')],
      [say('stock.items'), values['cartridges'] ?? ''],
      [say('stock.lot'), values['lot'] ?? ''],
      [say('supply.needles'), values['needles'] ?? ''],
    ]);
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('supply.give')}</h2>
      </header>
      <p class="lead">{say('supply.give_lead', { issue: say('supply.issue') })}</p>
      <ScanField person={person.id} take={take} />
      <Form submit={submit} button={say('supply.give_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <InsulinFields typed={typed} choices={choices} wrong={insulin || !needles ? wrongAt(form, 0) : {}} />
        <NeedleFields typed={typed} forms={page.forms} wrong={needles ? wrongAt(form, insulin ? 1 : 0) : {}} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}
