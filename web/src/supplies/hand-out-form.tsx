// Out of the clinic's stock into somebody's hands: one act, and both records know of it.
import type { JSX } from 'preact';
import { amount } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { Scanned, SupplyForms } from '../model';
import { SelectField, TextField, type Choice } from '../parts/fields';
import { Form, useTyped, type Values } from '../parts/form';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { useRecorder } from '../recorder';
import { saidOf } from '../skin/fields';
import { ScanField } from '../stock/scan-field';
import { backTo, when, type InForm } from './fields';
import { say } from '../words';

const keyOf = (item: string, lot: string): string => `${item}|${lot}`;

/** The lots in stock, and the one that was scanned where the stock does not know it. */
function lotsOf(stock: SupplyForms['stock'], scanned: string): Choice[] {
  const choices = stock.map(({ item, lot, label, first }) => ({
    value: keyOf(item, lot),
    label: first ? say('supply.issue_first', { lot: label }) : label,
  }));
  if (scanned === '' || choices.some(({ value }) => value === scanned)) return choices;
  const lot = scanned.split('|')[1];
  return [
    ...choices,
    { value: scanned, label: say('supply.as_scanned', { lot: lot ? say('stock.lot_of', { lot }) : say('stock.lot_none') }) },
  ];
}

export function HandOutForm({ person, page, doc }: InForm): JSX.Element {
  const recorder = useRecorder({
    path: `/api/people/${person.id}/hand-outs`,
    version: person.version,
    zone: person.forms.zone,
    reload: doc.reload,
  });
  const typed = useTyped<Values>({ lot: '', pieces: '', scanned: '', ...when });
  const back = backTo(person.id);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const all = lotsOf(page.forms.stock, values['scanned'] ?? '');
  const take = ({ draft }: Scanned): void => {
    // A carton of a product that nobody has named yet must not leave the lot of the carton before it chosen.
    const scannedNow = draft.item === '' ? '' : keyOf(draft.item, draft.lot);
    typed.change({ lot: scannedNow, scanned: scannedNow, pieces: draft.pieces });
  };
  const submit = (): void => {
    const [item = '', lot = ''] = (values['lot'] ?? '').split('|');
    void form.send(
      say('supply.issue'),
      [{ what: 'stock moved', item, lot, pieces: amount(values['pieces'] ?? ''), way: 'handed out', ...whenDraft(values) }],
      [
        [say('stock.lot'), saidOf(all, values['lot'] ?? '')],
        [say('stock.items'), values['pieces'] ?? ''],
      ],
    );
  };
  return (
    <section class="sec">
      <header>
        <h2>{say('supply.issue')}</h2>
      </header>
      <p class="lead">{say('supply.issue_lead')}</p>
      <ScanField person={person.id} take={take} />
      <Form submit={submit} button={say('supply.issue_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          <SelectField
            {...typed.field('lot', say('supply.which_lot'))}
            choices={all}
            empty={say('form.choose')}
            needed
            wrong={form.wrong['lot'] ?? form.wrong['item']}
          />
          <TextField
            {...typed.field('pieces', say('stock.quantity'))}
            decimal
            unit={say('unit.items')}
            needed
            wrong={form.wrong['pieces']}
            hint={say('stock.items_hint')}
          />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </section>
  );
}
