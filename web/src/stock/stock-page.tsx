// The clinic's own stock: what of each lot stands on the shelf, what is to be said about it, and what went where.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { StockItem, StockLot, StockPage as Stock } from '../model';
import { TextField } from '../parts/fields';
import { Notices } from '../parts/notice';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { RecordButton } from '../parts/record-button';
import { EmptyState, Shown } from '../parts/states';
import { LevelMark, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { useRecorder, type Recorder } from '../recorder';
import { go } from '../router';
import { say } from '../words';

const formOf = (item: string, lot: string): string => `/stock/lot?item=${encodeURIComponent(item)}&lot=${encodeURIComponent(lot)}`;

function Lot({ item, lot }: { item: StockItem; lot: StockLot }): JSX.Element {
  return (
    <tr>
      <th scope="row">{lot.lot_text}</th>
      <td class="nb" data-head={say('stock.expiry')}>
        {lot.expires_text}
      </td>
      <td class="num" data-head={say('stock.in_stock')}>
        <b>{lot.left_text}</b>
      </td>
      <td class="num" data-head={say('stock.returned')}>
        {lot.held_text}
      </td>
      <td>{lot.count_text}</td>
      <td class="said-of">
        <span class="verdict">
          {lot.level && <LevelMark level={lot.level} word={lot.level_word ?? lot.level} />}
          <span>{lot.state}</span>
        </span>
      </td>
      <td class="scr do">
        <a class="act slim" href={formOf(item.item, lot.lot)}>
          {say('stock.record')}
          <span class="vh"> {say('stock.record_about', { product: item.name, lot: lot.lot_text })}</span>
        </a>
      </td>
    </tr>
  );
}

/** One table, so that its columns stand under each other; an item is a group of rows under its name. */
function Lots({ stock }: { stock: Stock }): JSX.Element | null {
  if (stock.items.length === 0) return null;
  return (
    <section class="sec stock-lots">
      <header>
        <h2>{say('stock.in_stock')}</h2>
      </header>
      <div class="table-wrap" tabIndex={0} role="region" aria-label={say('stock.lots')}>
        <table class="tab">
          <thead>
            <tr>
              <th scope="col">{say('stock.lot')}</th>
              <th scope="col">{say('stock.expiry')}</th>
              <th scope="col" class="num">
                {say('stock.in_stock')}
              </th>
              <th scope="col" class="num">
                {say('stock.returned')}
              </th>
              <th scope="col">{say('stock.last_count')}</th>
              <th scope="col">{say('stock.notes')}</th>
              <td class="scr" />
            </tr>
          </thead>
          {stock.items.map((item) => (
            <tbody key={item.item}>
              <tr class="item">
                <th scope="rowgroup" colSpan={7}>
                  {item.name}{' '}
                  <span>
                    <Words text={item.total} />
                  </span>
                </th>
              </tr>
              {item.lots.map((lot) => (
                <Lot key={lot.lot} item={item} lot={lot} />
              ))}
            </tbody>
          ))}
        </table>
      </div>
    </section>
  );
}

function Moves({ stock, recorder }: { stock: Stock; recorder: Recorder }): JSX.Element {
  return (
    <section class="sec">
      <header>
        <h2>{say('stock.moves')}</h2>
        <p>{say('stock.moves_note')}</p>
      </header>
      {stock.moves.length === 0 ? (
        <p>{say('stock.moves_none')}</p>
      ) : (
        <ul class="dated">
          {stock.moves.map((move) => (
            <li>
              <span class="when">{move.when_text}</span>
              <p>
                <Words text={move.text} />
                {move.person && (
                  <>
                    : <a href={`/people/${move.person.id}/supplies`}>{move.person.name}</a>
                  </>
                )}{' '}
                <span class="scr">
                  <RecordButton action={move.take_back} recorder={recorder} kind="aside" />
                </span>
              </p>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Recalls({ stock }: { stock: Stock }): JSX.Element {
  const [lot, setLot] = useState('');
  return (
    <section class="sec">
      <header>
        <h2>{say('stock.recalls')}</h2>
      </header>
      {stock.recalls.length === 0 ? (
        <p>{say('stock.recalls_none')}</p>
      ) : (
        <ul class="said">
          {stock.recalls.map((recall) => (
            <li key={recall.href}>
              <a href={recall.href}>
                <b>{recall.title}</b>
              </a>
              . <Words text={recall.text} />
            </li>
          ))}
        </ul>
      )}
      <form
        class="ask-lot scr"
        onSubmit={(event) => {
          event.preventDefault();
          if (lot.trim() !== '') go(`/recall/${encodeURIComponent(lot.trim())}`);
        }}
      >
        <TextField label={say('stock.lot')} name="lot" value={lot} set={setLot} short hint={say('stock.lot_hint')} />
        <button type="submit" class="act">
          {say('stock.find')}
        </button>
      </form>
    </section>
  );
}

export function StockPage(): JSX.Element {
  const doc = useDocument<Stock>('/api/stock', { everyMinute: true });
  const recorder = useRecorder(
    doc.doc ? { path: '/api/clinic/facts', version: doc.doc.version, zone: doc.doc.forms.zone, reload: doc.reload } : null,
  );
  useTitle(say('nav.stock'), doc.doc !== null);
  return (
    <>
      <Shown of={doc}>
        {(stock) => (
          <div class="stock">
            <div class="page-head">
              <h1 class="headline" tabIndex={-1}>
                {say('nav.stock')} <span>{say('stock.title_note')}</span>
              </h1>
              <p class="btns scr">
                <a class="act first" href="/stock/delivery">
                  {say('stock.receive')}
                </a>
              </p>
            </div>
            <p class="lead">
              <Words text={stock.lead} />
            </p>
            {stock.empty && <EmptyState empty={stock.empty} />}
            <Notices notices={stock.notices} />
            <Lots stock={stock} />
            <div class="two">
              <Moves stock={stock} recorder={recorder} />
              <div>
                <Recalls stock={stock} />
                <section class="sec">
                  <header>
                    <h2>{say('stock.closed')}</h2>
                  </header>
                  <p>
                    <Words text={stock.closed} />
                  </p>
                  <p class="btns scr">
                    <a class="act" href="/stock/closed">
                      {say('stock.closed_change')}
                    </a>
                  </p>
                </section>
              </div>
            </div>
            <p class="printed small soft">{stock.printed_text}</p>
          </div>
        )}
      </Shown>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </>
  );
}
