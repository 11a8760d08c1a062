// Giving a pen, loading a cartridge. What fits what was worked out by the server (H42): only that is offered.
import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import { amount, newId, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft, Forms, Scanned } from '../model';
import { CheckField, RadioField, SelectField, TextField, UnitsField } from '../parts/fields';
import { Form, useTyped, type Typed, type Values } from '../parts/form';
import { Say } from '../parts/text';
import { PersonFrame, type InFrame } from './frame';
import { insulinsOf, keyOfLine } from './insulins';
import { ScanField } from '../stock/scan-field';
import { Said, say } from '../words';

const when = { when: 'now', happened_local: '', told_by: '' };

const fitting = (pens: Forms['pens'], insulin: string): Forms['pens'] =>
  pens.filter(({ fits }) => insulin === '' || fits.includes(insulin.replace('|', ' ')));

function PenForm({ person, recorder, query }: InFrame & { query: URLSearchParams }): JSX.Element {
  const insulins = insulinsOf(person);
  const line = person.order.lines.find(({ id }) => id === query.get('line'));
  const start = line ? keyOfLine(line) : insulins.length === 1 ? (insulins[0]?.value ?? '') : '';
  const typed = useTyped<Values>({ pen: '', insulin: start, serial: '', ...when });
  const id = useRef(newId());
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const { insulin = '', serial = '' } = typed.values;
  const pens = fitting(person.forms.pens, insulin);
  const pen = pens.length === 1 ? (pens[0]?.code ?? '') : (typed.values['pen'] ?? '');
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
      say('pens.given'),
      [draft],
      [
        [say('pens.pen'), pens.find(({ code }) => code === pen)?.label ?? ''],
        [say('products.insulin'), name],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('pens.give')}</h2>
      </header>
      <p class="lead">{say('pens.give_lead')}</p>
      <Form submit={submit} button={say('pens.record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <SelectField
          {...typed.field('insulin', say('products.insulin'))}
          choices={insulins}
          empty={say('form.choose')}
          needed
          wrong={form.wrong['insulin']}
        />
        <SelectField
          {...typed.field('pen', say('pens.pen'))}
          value={pen}
          choices={pens.map(({ code, label }) => ({ value: code, label }))}
          empty={say('form.choose')}
          needed
          wrong={form.wrong['copy']}
          hint={say(pens.length > 0 ? 'pens.fitting' : 'pens.none_fits')}
        />
        <TextField {...typed.field('serial', say('pens.serial'))} needed={false} />
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
  <Say level="stop" word={say('load.nothing_fits')}>
    {load.none_text}
  </Say>
);

function HowFull({ typed, wrong }: { typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  const fresh = typed.values['fresh'] === 'true';
  return (
    <>
      <CheckField label={say('load.fresh')} name="fresh" value={fresh} set={(on) => typed.change({ fresh: String(on) })} />
      {!fresh && <UnitsField {...typed.field('units', say('load.units'))} needed wrong={wrong['units']} />}
    </>
  );
}

const unfilled = { pen: '', cartridge: '', fresh: 'true', units: '', lot: '', expires: '', ...when };

function LoadForm({ person, recorder, query }: InFrame & { query: URLSearchParams }): JSX.Element {
  const { loads } = person.forms;
  const only = loads.length === 1 ? loads[0] : undefined;
  const typed = useTyped<Values>({ ...unfilled, pen: query.get('pen') ?? only?.pen ?? '' });
  const id = useRef(newId());
  const back = `/people/${person.id}`;
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const load = loads.find(({ pen }) => pen === values['pen']);
  const choice = chosenOf(load, values['cartridge']);
  // The carton says what is in the hand: its product where it is known here, its lot and its last day.
  const take = ({ draft }: Scanned): void => {
    const scanned = load?.choices.find(({ cartridge }) => cartridge === draft.item);
    typed.change({ lot: draft.lot, expires: draft.expires, ...(scanned ? { cartridge: scanned.cartridge } : {}) });
    form.complain(draft.item !== '' && load && !scanned ? { copy: say('load.other_carton') } : {});
  };
  const submit = (): void => {
    if (!load || !choice) {
      form.complain({ pen: say('load.choose') });
      return;
    }
    const draft = loaded(id.current, load, choice, values);
    const wanted: [string, string][] = [
      [say('pens.pen'), load.pen_label],
      [say('load.cartridge'), choice.label],
      [say('stock.lot'), values['lot'] ?? ''],
    ];
    void form.send(say('load.loaded'), [draft], wanted);
  };
  if (loads.length === 0) return <NoPen id={person.id} />;
  return (
    <section class="sec">
      <header>
        <h2>{say('load.title')}</h2>
      </header>
      <p class="lead">{say('load.lead')}</p>
      <ScanField person={person.id} take={take} />
      <Form submit={submit} button={say('load.record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <RadioField
          {...typed.field('pen', say('pens.pen'))}
          stacked
          choices={loads.map(({ pen, pen_label }) => ({ value: pen, label: pen_label }))}
          needed
          wrong={form.wrong['pen']}
        />
        {load && load.choices.length === 0 && <NothingFits load={load} />}
        {load && load.choices.length > 0 && (
          <RadioField
            {...typed.field('cartridge', say('load.cartridge'))}
            value={choice?.cartridge ?? ''}
            stacked
            choices={load.choices.map(({ cartridge, label }) => ({ value: cartridge, label }))}
            needed
            wrong={form.wrong['copy']}
          />
        )}
        <HowFull typed={typed} wrong={form.wrong} />
        <TextField {...typed.field('lot', say('stock.lot'))} needed={false} hint={say('supply.lot_hint')} />
        <TextField {...typed.field('expires', say('stock.expiry'))} type="expiry" needed={false} />
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}

const NoPen = ({ id }: { id: string }): JSX.Element => (
  <section class="sec">
    <header>
      <h2>{say('load.title')}</h2>
    </header>
    <div class="empty">
      <p>
        <Said of="load.no_pen" />
      </p>
      <p class="acts1">
        <a class="act" href={`/people/${id}/pens/new`}>
          {say('pens.give')}
        </a>
      </p>
    </div>
  </section>
);

export const PenPage = ({ id, query }: { id: string; query: URLSearchParams }): JSX.Element => (
  <PersonFrame id={id} tab={null} title={say('pens.give')}>
    {(inside) => <PenForm {...inside} query={query} />}
  </PersonFrame>
);
export const LoadPage = ({ id, query }: { id: string; query: URLSearchParams }): JSX.Element => (
  <PersonFrame id={id} tab={null} title={say('load.title')}>
    {(inside) => <LoadForm {...inside} query={query} />}
  </PersonFrame>
);
