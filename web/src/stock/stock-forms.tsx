// What is recorded about the clinic's stock: a delivery, what happened to a lot, on which days nothing is handed out.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument } from '../document';
import { amount, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft, Scanned, StockPage } from '../model';
import { LostPage } from '../pages/lost';
import { Dialog } from '../parts/dialog';
import { CheckField, dayInWords, LongField, RadioField, SelectField, TextField, type Choice } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { Shown } from '../parts/states';
import { useTitle } from '../parts/title';
import { useRecorder, type Recorder } from '../recorder';
import { saidOf } from '../skin/fields';
import { trimmed, when } from '../supplies/fields';
import { ScanField } from './scan-field';
import { Said, say } from '../words';

interface InStock {
  stock: StockPage;
  recorder: Recorder;
  query: URLSearchParams;
}
const back = '/stock';

/** Cartons times pieces, as far as both are whole numbers; other text goes as typed, and the server refuses it. */
function inAll(cartons: string, pieces: string): number | string {
  const [many, each] = [amount(cartons), amount(pieces)];
  return Number.isSafeInteger(many) && Number.isSafeInteger(each) ? Number(many) * Number(each) : `${cartons} × ${pieces}`;
}

type Draft = Scanned['draft'];
const filledBy = ({ item, pieces, lot, expires, gtin }: Draft): Values => ({
  item,
  pieces,
  lot,
  expires,
  gtin,
  numbered: gtin,
  unlearnt: item === '' ? gtin : '',
});
/** One more carton of what is in the form already: nothing to fill, and what was typed beside it stays. */
const isSame = (values: Values, draft: Draft): boolean =>
  draft.gtin === values['gtin'] && draft.lot === values['lot'] && draft.expires === values['expires'];

/** A carton was scanned over a form that is not recorded: nothing typed is lost unasked. */
function OtherCarton({ now, next, fill, keep }: { now: Values; next: Draft; fill: () => void; keep: () => void }): JSX.Element {
  const lot = (text: string | undefined): string => (text ? say('stock.lot_of', { lot: text }) : say('stock.lot_none'));
  return (
    <Dialog title={say('stock.other')} close={keep}>
      <p>
        <Said of="stock.other_text" now={lot(now['lot'])} next={lot(next.lot)} />
      </p>
      <p class="btns">
        <button type="button" class="act" onClick={keep}>
          {say('stock.other_keep')}
        </button>
        <button type="button" class="act" onClick={fill}>
          {say('stock.other_fill')}
        </button>
      </p>
    </Dialog>
  );
}

const gtinOf = (values: Values): string => (values['numbered'] ? (values['gtin'] ?? '') : '');
/** The product's number is new here: the delivery says which item it is. */
const learns = (values: Values): boolean => gtinOf(values) !== '' && gtinOf(values) === values['unlearnt'];

function cameIn(values: Values): FactDraft {
  return {
    what: 'stock came',
    item: values['item'] ?? '',
    pieces: inAll(values['cartons'] ?? '', values['pieces'] ?? ''),
    lot: trimmed(values['lot'] ?? ''),
    ...optional('expires', values['expires'] ?? '', trimmed),
    ...optional('gtin', gtinOf(values), trimmed),
    ...optional('text', values['text'] ?? '', trimmed),
    ...whenDraft(values),
  };
}

function WhatCame({ stock, typed, wrong }: { stock: StockPage; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  const { values } = typed;
  const sum = inAll(values['cartons'] ?? '', values['pieces'] ?? '');
  return (
    <Group title={say('stock.arrived')}>
      <SelectField
        {...typed.field('item', say('stock.product'))}
        choices={stock.forms.items}
        empty={say('form.choose')}
        needed
        wrong={wrong['item']}
      />
      <TextField {...typed.field('cartons', say('stock.cartons'))} decimal unit={say('unit.cartons')} needed wrong={wrong['cartons']} />
      <TextField
        {...typed.field('pieces', say('stock.per_carton'))}
        decimal
        unit={say('unit.items')}
        needed
        wrong={wrong['pieces']}
        hint={typeof sum === 'number' ? say('stock.in_all', { count: sum }) : say('stock.items_hint')}
      />
      <TextField {...typed.field('lot', say('stock.lot'))} needed wrong={wrong['lot']} hint={say('stock.carton_lot_hint')} />
      <TextField {...typed.field('expires', say('stock.expiry'))} type="expiry" needed={false} wrong={wrong['expires']} />
      <LongField {...typed.field('text', say('form.in_words'))} needed={false} wrong={wrong['text']} />
      {values['gtin'] && (
        <CheckField
          label={say('stock.gtin', { gtin: values['gtin'] })}
          name="numbered"
          value={gtinOf(values) !== ''}
          set={(yes) => typed.change({ numbered: yes ? 'yes' : '' })}
          hint={learns(values) ? say('stock.gtin_new') : say('stock.gtin_off')}
        />
      )}
    </Group>
  );
}

function DeliveryForm({ stock, recorder }: InStock): JSX.Element {
  const typed = useTyped<Values>({
    item: '',
    cartons: '1',
    pieces: '',
    lot: '',
    expires: '',
    gtin: '',
    numbered: '',
    unlearnt: '',
    text: '',
    ...when,
  });
  const [other, setOther] = useState<Draft | null>(null);
  const [kept, setKept] = useState(0);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const take = ({ draft }: Scanned): void => {
    if (isSame(values, draft)) return;
    if (['item', 'pieces', 'lot', 'expires'].some((name) => values[name] !== '')) setOther(draft);
    else typed.change(filledBy(draft));
  };
  const submit = (): void => {
    const came = cameIn(values);
    const learnt: FactDraft[] = learns(values)
      ? [{ what: 'product learnt', gtin: gtinOf(values), item: came['item'], pieces: amount(values['pieces'] ?? '') }]
      : [];
    void form.send(
      say('stock.delivery'),
      [came, ...learnt],
      [
        [say('stock.product'), saidOf(stock.forms.items, values['item'] ?? '')],
        [say('stock.items'), String(came['pieces'])],
        [say('stock.lot'), values['lot'] ?? ''],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h1 class="headline" tabIndex={-1}>
          {say('stock.receive')}
        </h1>
      </header>
      <p class="lead">{say('stock.delivery_lead')}</p>
      <ScanField key={kept} take={take} />
      {other && (
        <OtherCarton
          now={values}
          next={other}
          fill={() => {
            typed.change({ ...filledBy(other), cartons: '1' });
            setOther(null);
          }}
          keep={() => {
            setKept(kept + 1);
            setOther(null);
          }}
        />
      )}
      <Form submit={submit} button={say('stock.delivery_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <WhatCame stock={stock} typed={typed} wrong={form.wrong} />
        <WhenFields typed={typed} zone={stock.forms.zone} />
      </Form>
    </section>
  );
}

const happened = [
  { value: 'counted', label: say('stock.counted') },
  { value: 'came back', label: say('stock.returned') },
  { value: 'destroyed', label: say('stock.destroyed') },
  { value: 'lost', label: say('stock.lost') },
];

function LotForm({ stock, recorder, query }: InStock): JSX.Element {
  const [item, lot] = [query.get('item') ?? '', query.get('lot') ?? ''];
  const typed = useTyped<Values>({ way: '', pieces: '', text: '', ...when });
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const name = stock.items.find((one) => one.item === item)?.name ?? saidOf(stock.forms.items, item);
  const submit = (): void => {
    const [way, pieces] = [values['way'] ?? '', amount(values['pieces'] ?? '')];
    const draft: FactDraft =
      way === 'counted'
        ? { what: 'stock counted', item, lot, pieces, ...whenDraft(values) }
        : { what: 'stock moved', item, lot, pieces, way, ...optional('text', values['text'] ?? '', trimmed), ...whenDraft(values) };
    void form.send(
      say('stock.about'),
      [draft],
      [
        [say('stock.happened'), saidOf(happened, way)],
        [say('stock.items'), values['pieces'] ?? ''],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h1 class="headline" tabIndex={-1}>
          {name} <span>{lot === '' ? say('stock.lot_unknown') : say('stock.lot_of', { lot })}</span>
        </h1>
      </header>
      <p class="lead">
        <Said of="stock.issue_elsewhere" people={<a href="/people">{say('nav.people')}</a>} />
      </p>
      <Form submit={submit} button={say('stock.record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <RadioField {...typed.field('way', say('stock.happened'))} choices={happened} stacked needed wrong={form.wrong['way']} />
          <TextField
            {...typed.field('pieces', say('stock.quantity'))}
            decimal
            unit={say('unit.items')}
            needed
            wrong={form.wrong['pieces']}
            hint={values['way'] === 'counted' ? say('stock.count_hint', { none: 0 }) : undefined}
          />
          {values['way'] !== 'counted' && (
            <LongField {...typed.field('text', say('form.in_words'))} needed={false} wrong={form.wrong['text']} />
          )}
        </div>
        <WhenFields typed={typed} zone={stock.forms.zone} />
      </Form>
    </section>
  );
}

function Weekdays({ days, on, set }: { days: Choice[]; on: string[]; set: (on: string[]) => void }): JSX.Element {
  return (
    <Group title={say('stock.closed_week')}>
      {days.map(({ value, label }) => (
        <CheckField
          key={value}
          name={value}
          label={label}
          value={on.includes(value)}
          set={(yes) => set(days.map((day) => day.value).filter((day) => (day === value ? yes : on.includes(day))))}
        />
      ))}
    </Group>
  );
}

function PickedDays({ dates, out }: { dates: string[]; out: (day: string) => void }): JSX.Element | null {
  if (dates.length === 0) return null;
  return (
    <ul class="picked">
      {dates.map((day) => (
        <li key={day}>
          <span>{dayInWords(day)}</span>
          <button type="button" class="act slim" onClick={() => out(day)}>
            {say('stock.take_out')}
            <span class="vh"> {dayInWords(day)}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}

function ClosedForm({ stock, recorder }: InStock): JSX.Element {
  const { weekdays, closed } = stock.forms;
  const typed = useTyped<Values>({ date: '', ...when });
  const [on, setOn] = useState(closed.weekdays);
  const [dates, setDates] = useState(closed.dates);
  const form = useFactForm(recorder, typed, back);
  const date = typed.values['date'] ?? '';
  /** With the day that is typed and not added yet. */
  const all = date === '' ? dates : [...new Set([...dates, date])].sort();
  const add = (): void => {
    if (date === '') return form.complain({ date: say('stock.closed_first') });
    setDates(all);
    typed.change({ date: '' });
    form.complain({});
  };
  const submit = (): void => {
    const wanted: [string, string][] = [
      [say('stock.weekdays'), on.join(', ')],
      [say('stock.days'), all.join(', ')],
    ];
    void form.send(say('stock.closed'), [{ what: 'closed days set', weekdays: on, dates: all, ...whenDraft(typed.values) }], wanted);
  };
  return (
    <section class="sec">
      <header>
        <h1 class="headline" tabIndex={-1}>
          {say('stock.closed')}
        </h1>
      </header>
      <p class="lead">{say('stock.closed_lead')}</p>
      <Form submit={submit} button={say('stock.closed_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <Weekdays
          days={weekdays}
          on={on}
          set={(chosen) => {
            typed.change({});
            setOn(chosen);
          }}
        />
        <Group title={say('stock.closed_single')}>
          <TextField
            {...typed.field('date', say('stock.closed_day'))}
            type="date"
            short
            needed={false}
            wrong={form.wrong['date'] ?? form.wrong['dates']}
          />
          <p class="btns">
            <button type="button" class="act" onClick={add}>
              {say('stock.closed_add')}
            </button>
          </p>
        </Group>
        <PickedDays
          dates={dates}
          out={(day) => {
            typed.change({});
            setDates(dates.filter((one) => one !== day));
          }}
        />
      </Form>
    </section>
  );
}

const forms: Record<string, [string, (inside: InStock) => JSX.Element]> = {
  delivery: [say('stock.receive'), (inside) => <DeliveryForm {...inside} />],
  lot: [say('stock.about'), (inside) => <LotForm {...inside} />],
  closed: [say('stock.closed'), (inside) => <ClosedForm {...inside} />],
};

export function StockFormPage({ part, query }: { part: string; query: URLSearchParams }): JSX.Element {
  const doc = useDocument<StockPage>('/api/stock');
  const stock = doc.doc;
  const recorder = useRecorder(
    stock ? { path: '/api/clinic/facts', version: stock.version, zone: stock.forms.zone, reload: doc.reload } : null,
  );
  const [title, form] = forms[part] ?? ['', null];
  useTitle(title, stock !== null);
  if (form === null) return <LostPage />;
  return (
    <>
      <Shown of={doc}>{(loaded) => <div class="stock">{form({ stock: loaded, recorder, query })}</div>}</Shown>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </>
  );
}
