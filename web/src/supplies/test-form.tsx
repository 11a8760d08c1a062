// One dose, set again and again: what came out each time, weighed or counted. A scale's milligrams are shown as units before anything is
// recorded; what is recorded are the units that were shown.
import type { JSX } from 'preact';
import { amount, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { SupplyForms } from '../model';
import { LongField, RadioField, SelectField, TextField, UnitsField, type Choice } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { saidOf } from '../skin/fields';
import { backTo, refusedField, trimmed, when, type InForm } from './fields';
import { unitsOfMilligrams } from './numbers';
import { Said, say } from '../words';

const scales: Choice[] = [
  { value: 'mg', label: say('pentest.scale_mg') },
  { value: 'units', label: say('pentest.scale_units') },
];

const nameOf = (at: number): string => `delivered:${at}`;

/** The rows that were typed into, in order; an empty one between two was left out. */
function typedRows(values: Values): { at: number; text: string }[] {
  return Object.entries(values)
    .filter(([name, text]) => name.startsWith('delivered:') && text.trim() !== '')
    .map(([name, text]) => ({ at: Number(name.slice('delivered:'.length)), text: text.trim() }))
    .toSorted((a, b) => a.at - b.at);
}

function Deliveries({
  typed,
  rows,
  mg,
  said,
  wrong,
}: {
  typed: Typed<Values>;
  rows: number;
  mg: boolean;
  said: (text: string) => string;
  wrong: (at: number) => string | undefined;
}): JSX.Element {
  return (
    <Group title={say('pentest.came_out')} note={mg ? say('pentest.mg_note', { mg: 10, strength: 100 }) : say('pentest.rows_note')}>
      <div class="deliveries">
        {Array.from({ length: rows }, (_, at) => {
          const text = typed.values[nameOf(at)] ?? '';
          const units = mg && text.trim() !== '' ? said(text) : '';
          return (
            <div class="delivery" key={at}>
              <TextField
                {...typed.field(nameOf(at), say('pentest.dose', { number: at + 1 }))}
                decimal
                unit={mg ? say('unit.mg') : say('form.units')}
                needed={at === 0 ? true : undefined}
                wrong={wrong(at)}
              />
              {mg && (
                <p class="echo" aria-live="polite">
                  {text.trim() === '' ? '' : units === '' ? say('pentest.not_number') : <Said of="pentest.is_units" units={units} />}
                </p>
              )}
            </div>
          );
        })}
      </div>
    </Group>
  );
}

function Becomes({ said, mg }: { said: string[]; mg: boolean }): JSX.Element {
  return (
    <p class="becomes">
      <Said
        of={mg && said.some((text) => text !== '') ? 'pentest.becomes_units' : 'pentest.becomes'}
        count={said.length}
        units={said.map((text) => text || '?').join(', ')}
      />
    </p>
  );
}

const milligramsUnread = (strength: number): string =>
  strength > 0 ? say('pentest.mg_unread', { decimals: 3 }) : say('pentest.pen_first');

function HowMeasured({
  typed,
  forms,
  weighed,
  wrong,
}: {
  typed: Typed<Values>;
  forms: SupplyForms;
  weighed: boolean;
  wrong: Record<string, string>;
}): JSX.Element {
  return (
    <div class="fields">
      <SelectField {...typed.field('pen', say('pens.pen'))} choices={forms.pens} empty={say('form.choose')} needed wrong={wrong['pen']} />
      <UnitsField {...typed.field('dialled_units', say('pentest.dialled'))} needed wrong={wrong['dialled_units']} />
      <RadioField {...typed.field('by', say('pentest.how'))} choices={forms.measured} needed wrong={wrong['by']} />
      {weighed && <RadioField {...typed.field('scale', say('pentest.typed_as'))} choices={scales} stacked />}
    </div>
  );
}

export function TestForm({ person, recorder, page, query }: InForm): JSX.Element {
  const { pens } = page.forms;
  const typed = useTyped<Values>({
    pen: query.get('pen') ?? (pens.length === 1 ? (pens[0]?.value ?? '') : ''),
    dialled_units: '',
    by: '',
    scale: 'mg',
    text: '',
    [nameOf(0)]: '',
    ...when,
  });
  const back = backTo(person.id);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const strength = pens.find(({ value }) => value === values['pen'])?.strength_units_per_ml ?? 0;
  const weighed = values['by'] === 'weighed';
  const mg = weighed && values['scale'] === 'mg';
  const rows = typedRows(values);
  const said = (text: string): string => (mg ? unitsOfMilligrams(text, strength) : text);
  const submit = (): void => {
    const unread = rows.find(({ text }) => said(text) === '');
    if (unread) return form.complain({ [nameOf(unread.at)]: milligramsUnread(strength) });
    const draft = {
      what: 'pen tested',
      pen: values['pen'],
      dialled_units: amount(values['dialled_units'] ?? ''),
      by: values['by'],
      delivered_units: rows.map(({ text }) => amount(said(text))),
      ...optional('text', values['text'] ?? '', trimmed),
      ...whenDraft(values),
    };
    void form.send(
      say('pentest.sheet_title'),
      [draft],
      [
        [say('pens.pen'), saidOf(pens, values['pen'] ?? '')],
        [say('pentest.dialled'), say('unit.units_of', { units: values['dialled_units'] ?? '' })],
        [say('pentest.delivered'), rows.map(({ text }) => said(text)).join(', ')],
      ],
    );
  };
  const refusedRow = /^delivered_units\/(\d+)$/.exec(refusedField(form))?.[1];
  const wrong = (at: number): string | undefined =>
    form.wrong[nameOf(at)] ??
    (refusedRow !== undefined && rows[Number(refusedRow)]?.at === at ? form.wrong[`delivered_units/${refusedRow}`] : undefined) ??
    (at === 0 ? form.wrong['delivered_units'] : undefined);
  const last = rows.at(-1)?.at ?? -1;
  if (pens.length === 0) return <NoPen id={person.id} />;
  return (
    <section class="sec">
      <header>
        <h2>{say('pentest.record_one')}</h2>
      </header>
      <p class="lead">{say('pentest.lead')}</p>
      <Form submit={submit} button={say('pentest.record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <HowMeasured typed={typed} forms={page.forms} weighed={weighed} wrong={form.wrong} />
        <Deliveries typed={typed} rows={last + 2} mg={mg} said={said} wrong={wrong} />
        {rows.length > 0 && <Becomes said={rows.map(({ text }) => said(text))} mg={mg} />}
        <LongField {...typed.field('text', say('form.in_words'))} needed={false} wrong={form.wrong['text']} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const NoPen = ({ id }: { id: string }): JSX.Element => (
  <section class="sec">
    <header>
      <h2>{say('pentest.record_one')}</h2>
    </header>
    <div class="empty">
      <p>
        <Said of="pentest.no_pen" />
      </p>
      <p class="acts1">
        <a class="act" href={`/people/${id}/pens/new`}>
          {say('pens.give')}
        </a>
      </p>
    </div>
  </section>
);
