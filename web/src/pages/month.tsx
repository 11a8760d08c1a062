// The month: who needs which supplies and by when to ask, and what they add up to; to be printed and worked off.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { MonthPage as Month } from '../model';
import { SelectField } from '../parts/fields';
import { Shown } from '../parts/states';
import { LevelMark, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { Said, say } from '../words';

/** Not one of this clinic's products. */
const unknown = <span title={say('month.not_product')}>–</span>;

const spans = ['14', '30', '60', '90', '120'].map((value) => ({ value, label: say('unit.days_of', { days: value }) }));

function People({ month }: { month: Month }): JSX.Element {
  return (
    <ol class="month-people">
      {month.people.map((one) => (
        <li key={one.id} class="person-row">
          {one.level ? <LevelMark level={one.level} word={one.level_word ?? one.level} /> : <span />}
          <p class="pname">
            <a class="nm" href={`/people/${one.id}/supplies`}>
              {one.name}
            </a>
            <br />
            <span class="small soft nb">{one.phone_text}</span>
          </p>
          <p class="born">
            <Said of="person.born" born={one.born_text} />
          </p>
          <p class="number">
            <b>{one.number}</b>
          </p>
          <ul class="state">
            {one.rows.map((row) => (
              <li>
                <Words text={row} />
              </li>
            ))}
          </ul>
        </li>
      ))}
    </ol>
  );
}

function Sums({ month }: { month: Month }): JSX.Element | null {
  if (month.sums.length === 0) return null;
  return (
    <section class="sec">
      <header>
        <h2>{say('month.totals')}</h2>
      </header>
      <div class="table-wrap" tabIndex={0} role="region" aria-label={say('month.totals')}>
        <table class="tab month-sums">
          <thead>
            <tr>
              <th scope="col">{say('stock.product')}</th>
              <th scope="col">{say('month.boxes')}</th>
              <th scope="col">{say('stock.items')}</th>
              <th scope="col">{say('stock.in_stock')}</th>
              <th scope="col">{say('month.to_reorder')}</th>
            </tr>
          </thead>
          <tbody>
            {month.sums.map((sum) => (
              <tr key={sum.name}>
                <th scope="row">{sum.name}</th>
                <td>{sum.boxes}</td>
                <td>{sum.pieces}</td>
                <td>{sum.shelf || unknown}</td>
                <td>
                  <b>{sum.order || unknown}</b>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p class="small soft">{month.note}</p>
    </section>
  );
}

export function MonthPage(): JSX.Element {
  const [days, setDays] = useState('30');
  const doc = useDocument<Month>(`/api/month?days=${days}`);
  useTitle(say('nav.month'), doc.doc !== null);
  return (
    <>
      <div class="month-span scr">
        <SelectField label={say('month.ahead')} name="days" value={days} set={setDays} choices={spans} />
        {doc.doc && (
          <button type="button" class="act" onClick={() => print()}>
            {say('month.print')}
          </button>
        )}
      </div>
      <Shown of={doc}>
        {(month) => (
          <div class="month">
            <h1 class="headline" tabIndex={-1}>
              {month.title}
            </h1>
            <p class="lead">
              <Words text={month.lead} />
            </p>
            {month.people.length > 0 && <People month={month} />}
            {month.more && <p class="more">{month.more}</p>}
            {month.unreadable && <p>{month.unreadable}</p>}
            <Sums month={month} />
            <p class="printed small soft">{month.printed_text}</p>
          </div>
        )}
      </Shown>
    </>
  );
}
