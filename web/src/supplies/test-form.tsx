// One dose, set again and again: what came out each time, weighed or counted. A scale's milligrams are shown as units before anything is
// recorded; what is recorded are the units that were shown.
import type { JSX } from 'preact';
import { amount, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import { LongField, RadioField, SelectField, TextField, UnitsField, type Choice } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { saidOf } from '../skin/fields';
import { backTo, refusedField, trimmed, when, type InForm } from './fields';
import { unitsOfMilligrams } from './numbers';

const scales: Choice[] = [
  { value: 'mg', label: 'Milligrams, as the scale shows them' },
  { value: 'units', label: 'Units' },
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
    <Group
      title="What came out"
      note={
        mg
          ? '10 mg is a unit at 100 units/mL, other strengths in proportion: the density of water (ours).'
          : 'One row for each time the dose was set. A new row comes as you type.'
      }
    >
      <div class="deliveries">
        {Array.from({ length: rows }, (_, at) => {
          const text = typed.values[nameOf(at)] ?? '';
          const units = mg && text.trim() !== '' ? said(text) : '';
          return (
            <div class="delivery" key={at}>
              <TextField
                {...typed.field(nameOf(at), `Delivery ${at + 1}`)}
                decimal
                unit={mg ? 'mg' : 'units'}
                needed={at === 0 ? true : undefined}
                wrong={wrong(at)}
              />
              {mg && (
                <p class="echo" aria-live="polite">
                  {text.trim() === '' ? (
                    ''
                  ) : units === '' ? (
                    'no plain number'
                  ) : (
                    <>
                      is <b>{units}</b> units
                    </>
                  )}
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
      {said.length === 1 ? '1 delivery' : `${said.length} deliveries`} will be recorded
      {mg && said.some((text) => text !== '') && (
        <>
          , in units: <b>{said.map((text) => text || '?').join(', ')}</b>
        </>
      )}
      .
    </p>
  );
}

const milligramsUnread = (strength: number): string =>
  strength > 0 ? 'Milligrams as a plain number, with at most 3 decimals.' : 'Choose the pen first: its strength says what a milligram is.';

export function TestForm({ person, recorder, page, query }: InForm): JSX.Element {
  const { pens, measured } = page.forms;
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
      'A pen tested',
      [draft],
      [
        ['Pen', saidOf(pens, values['pen'] ?? '')],
        ['Dialled', `${values['dialled_units']} units`],
        ['Delivered, units', rows.map(({ text }) => said(text)).join(', ')],
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
        <h2>Record a pen test</h2>
      </header>
      <p class="lead">One dose set again and again, each pressed out after priming, into a vessel on a scale or drop by drop.</p>
      <Form submit={submit} button="Record the test" busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <SelectField {...typed.field('pen', 'Pen')} choices={pens} empty="choose" needed wrong={form.wrong['pen']} />
          <UnitsField {...typed.field('dialled_units', 'Dialled each time')} needed wrong={form.wrong['dialled_units']} />
          <RadioField {...typed.field('by', 'How it was measured')} choices={measured} needed wrong={form.wrong['by']} />
          {weighed && <RadioField {...typed.field('scale', 'Typed here as')} choices={scales} stacked />}
        </div>
        <Deliveries typed={typed} rows={last + 2} mg={mg} said={said} wrong={wrong} />
        {rows.length > 0 && <Becomes said={rows.map(({ text }) => said(text))} mg={mg} />}
        <LongField {...typed.field('text', 'In words')} needed={false} wrong={form.wrong['text']} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const NoPen = ({ id }: { id: string }): JSX.Element => (
  <section class="sec">
    <header>
      <h2>Record a pen test</h2>
    </header>
    <div class="empty">
      <p>
        <b>No pen yet.</b> A test belongs to a pen that was given.
      </p>
      <p class="acts1">
        <a class="act" href={`/people/${id}/pens/new`}>
          Give a pen
        </a>
      </p>
    </div>
  </section>
);
