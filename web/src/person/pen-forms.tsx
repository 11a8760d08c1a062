// Giving a pen, loading a cartridge. What fits what was worked out by the server (H42): only that is offered.
import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import { amount, newId, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft, Forms } from '../model';
import { CheckField, RadioField, SelectField, TextField, UnitsField } from '../parts/fields';
import { Form, useTyped, type Typed, type Values } from '../parts/form';
import { PersonFrame, type InFrame } from './frame';
import { insulinsOf } from './insulins';

const when = { when: 'now', happened_local: '', told_by: '' };

function PenForm(inside: InFrame): JSX.Element {
  const { person, recorder } = inside;
  const insulins = insulinsOf(inside.person);
  const typed = useTyped<Values>({ pen: '', insulin: insulins.length === 1 ? (insulins[0]?.value ?? '') : '', serial: '', ...when });
  const id = useRef(newId());
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const { insulin = '', pen = '', serial = '' } = typed.values;
  const pens = person.forms.pens.filter(({ fits }) => insulin === '' || fits.includes(insulin.replace('|', ' ')));
  const submit = (): void => {
    const [name = '', strength = ''] = insulin.split('|');
    const draft: FactDraft = {
      what: 'pen given',
      pen: id.current,
      copy: pen,
      insulin: name,
      strength_units_per_ml: amount(strength),
      ...optional('serial', serial, (text) => text.trim()),
      ...whenDraft(typed.values),
    };
    void form.send(
      'A pen given',
      [draft],
      [
        ['Pen', pens.find(({ code }) => code === pen)?.label ?? ''],
        ['Insulin', name],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>Give a pen</h2>
      </header>
      <p class="lead">One pen, one insulin, one person, for ever.</p>
      <Form submit={submit} button="Record the pen" busy={recorder.busy} refused={form.refused} cancel={back}>
        <SelectField
          {...typed.field('insulin', 'For this insulin')}
          choices={insulins}
          empty="choose"
          needed
          wrong={form.wrong['insulin']}
        />
        <SelectField
          {...typed.field('pen', 'Pen')}
          choices={pens.map(({ code, label }) => ({ value: code, label }))}
          empty="choose"
          needed
          wrong={form.wrong['copy']}
          hint={
            pens.length > 0
              ? 'Pens of the shelf that can carry this insulin.'
              : 'No pen of the shelf can carry this insulin at this strength.'
          }
        />
        <TextField {...typed.field('serial', 'Serial number')} needed={false} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

type Load = Forms['loads'][number];
type LoadChoice = Load['choices'][number];

/** What was chosen, or the only thing there is. */
const chosenOf = (load: Load | undefined, cartridge: string | undefined): LoadChoice | undefined =>
  load?.choices.find((one) => one.cartridge === cartridge) ?? (load?.choices.length === 1 ? load.choices[0] : undefined);

function loaded(cartridge: string, load: Load, choice: LoadChoice, values: Values): FactDraft {
  const fresh = values['fresh'] === 'true';
  return {
    what: 'cartridge loaded',
    cartridge,
    pen: load.pen,
    copy: choice.insulin_code,
    content_units: choice.content_units,
    fits: choice.fits,
    units: fresh ? choice.content_units : amount(values['units'] ?? ''),
    new_cartridge: fresh,
    ...optional('lot', values['lot'] ?? '', (text) => text.trim()),
    ...optional('expires', values['expires'] ?? '', (text) => text),
    ...whenDraft(values),
  };
}

const NothingFits = ({ load }: { load: Load }): JSX.Element => (
  <div class="say stop">
    <p>
      <b class="lvl">Nothing fits.</b>
      {load.none_text}
    </p>
  </div>
);

function HowFull({ typed, wrong }: { typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  const fresh = typed.values['fresh'] === 'true';
  return (
    <>
      <CheckField
        label="It is new: nobody has taken from it"
        name="fresh"
        value={fresh}
        set={(on) => typed.change({ fresh: String(on) })}
      />
      {!fresh && <UnitsField {...typed.field('units', 'Units in it now, by its own scale')} needed wrong={wrong['units']} />}
    </>
  );
}

function LoadForm({ person, recorder, query }: InFrame & { query: URLSearchParams }): JSX.Element {
  const { loads } = person.forms;
  const only = loads.length === 1 ? loads[0] : undefined;
  const typed = useTyped<Values>({
    pen: query.get('pen') ?? only?.pen ?? '',
    cartridge: '',
    fresh: 'true',
    units: '',
    lot: '',
    expires: '',
    ...when,
  });
  const id = useRef(newId());
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const load = loads.find(({ pen }) => pen === values['pen']);
  const choice = chosenOf(load, values['cartridge']);
  const submit = (): void => {
    if (!load || !choice) {
      form.complain({ pen: 'Choose the pen and what goes into it.' });
      return;
    }
    const draft = loaded(id.current, load, choice, values);
    const wanted: [string, string][] = [
      ['Pen', load.pen_label],
      ['Cartridge', choice.label],
      ['Lot', values['lot'] ?? ''],
    ];
    void form.send('A cartridge loaded', [draft], wanted);
  };
  if (loads.length === 0) return <NoPen id={person.id} />;
  return (
    <section class="sec">
      <header>
        <h2>Load a cartridge</h2>
      </header>
      <p class="lead">Only what was made for the pen and holds its insulin is offered. A prefilled pen is opened here, too.</p>
      <Form submit={submit} button="Record the cartridge" busy={recorder.busy} refused={form.refused} cancel={back}>
        <RadioField
          {...typed.field('pen', 'Into which pen')}
          stacked
          choices={loads.map(({ pen, pen_label }) => ({ value: pen, label: pen_label }))}
          needed
          wrong={form.wrong['pen']}
        />
        {load && load.choices.length === 0 && <NothingFits load={load} />}
        {load && load.choices.length > 0 && (
          <RadioField
            {...typed.field('cartridge', 'What goes in')}
            value={choice?.cartridge ?? ''}
            stacked
            choices={load.choices.map(({ cartridge, label }) => ({ value: cartridge, label }))}
            needed
            wrong={form.wrong['copy']}
          />
        )}
        <HowFull typed={typed} wrong={form.wrong} />
        <TextField {...typed.field('lot', 'Lot')} needed={false} hint="From the carton. It is kept for a recall." />
        <TextField {...typed.field('expires', 'Use before')} type="date" short needed={false} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const NoPen = ({ id }: { id: string }): JSX.Element => (
  <section class="sec">
    <header>
      <h2>Load a cartridge</h2>
    </header>
    <div class="empty">
      <p>
        <b>No pen yet.</b> A cartridge goes into a pen that was given.
      </p>
      <p class="acts1">
        <a class="act" href={`/people/${id}/pens/new`}>
          Give a pen
        </a>
      </p>
    </div>
  </section>
);

export const PenPage = ({ id }: { id: string }): JSX.Element => (
  <PersonFrame id={id} tab={null} title="give a pen">
    {(inside) => <PenForm {...inside} />}
  </PersonFrame>
);
export const LoadPage = ({ id, query }: { id: string; query: URLSearchParams }): JSX.Element => (
  <PersonFrame id={id} tab={null} title="load a cartridge">
    {(inside) => <LoadForm {...inside} query={query} />}
  </PersonFrame>
);
