// "Supplies": how long everything lasts, what is at home and what to dispense, the sharps box, trips, what the pens deliver, and the
// accounts laid side by side.
import type { ComponentChildren, JSX } from 'preact';
import { useDocument, useFresh, type Doc } from '../document';
import type { SuppliesPage as SuppliesDoc } from '../model';
import { Notices } from '../parts/notice';
import { RecordButton } from '../parts/record-button';
import { ShownIn } from '../parts/states';
import { LevelMark, Picture, Words } from '../parts/text';
import { LowBox } from '../person/low';
import { PersonFrame, type InFrame } from '../person/frame';
import { AccountsSection } from './accounts';
import { CoverView } from './cover';
import { PenTests } from './pen-tests';
import { say } from '../words';

type Inside = InFrame & { page: SuppliesDoc };

function Acts({ children }: { children: ComponentChildren }): JSX.Element {
  return <p class="btns scr">{children}</p>;
}

/** The account and the count beside each other; neither overwrites the other (H41). */
function AtHome({ page }: { page: SuppliesDoc }): JSX.Element {
  return (
    <section class="sec at-home">
      <header>
        <h2>{say('supply.at_home')}</h2>
        <p>{say('supply.at_home_note')}</p>
      </header>
      {page.at_home.length === 0 ? (
        <p>{say('supply.at_home_none')}</p>
      ) : (
        <dl class="lines">
          {page.at_home.map(({ name, text }) => (
            <div>
              <dt>{name}</dt>
              <dd>
                <Words text={text} />
              </dd>
            </div>
          ))}
        </dl>
      )}
      <Acts>
        <a class="act" href={`/people/${page.id}/supplies/count`}>
          {say('supply.count')}
        </a>
        {page.forms.stock.length > 0 && (
          <a class="act" href={`/people/${page.id}/supplies/hand-out`}>
            {say('supply.issue')}
          </a>
        )}
        <a class="act" href={`/people/${page.id}/supplies/give`}>
          {say('supply.give')}
        </a>
      </Acts>
    </section>
  );
}

function Boxes({ page }: { page: SuppliesDoc }): JSX.Element {
  const { boxes } = page;
  return (
    <section class="sec boxes">
      <header>
        <h2>{say('month.boxes')}</h2>
      </header>
      {boxes.rows.length === 0 ? (
        <p>{say('supply.boxes_none')}</p>
      ) : (
        <div class="table-wrap" tabIndex={0} role="region" aria-label={say('supply.boxes_table')}>
          <table class="tab">
            <thead>
              <tr>
                {boxes.heads.map((head) => (
                  <th scope="col">{head}</th>
                ))}
              </tr>
            </thead>
            <tbody>
              {boxes.rows.map((row) => (
                <tr key={row.name}>
                  <th scope="row">{row.name}</th>
                  {row.cells.map((cell) => (
                    <td class="val">{cell}</td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {boxes.note && <p class="small soft">{boxes.note}</p>}
      <Acts>
        <a class="act" href={`/people/${page.id}/supplies/rules`}>
          {say('supply.rules')}
        </a>
      </Acts>
    </section>
  );
}

function History({ page }: { page: SuppliesDoc }): JSX.Element {
  return (
    <section class="sec history">
      <header>
        <h2>{say('supply.history')}</h2>
      </header>
      {page.history.length === 0 ? (
        <p>{say('supply.history_none')}</p>
      ) : (
        <ul class="said">
          {page.history.map((text) => (
            <li>
              <Words text={text} />
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

function Asked({ page }: { page: SuppliesDoc }): JSX.Element {
  return (
    <section class="sec asked">
      <header>
        <h2>{say('supply.requested')}</h2>
      </header>
      {page.asked.length === 0 ? (
        <p>{say('supply.requested_none', { section: say('supply.cover') })}</p>
      ) : (
        <ul class="dated">
          {page.asked.map(({ when_text: when, text, state_text: state }) => (
            <li>
              <span class="when">{when}</span>
              <p>
                <Words text={text} /> <b class="nb">{state}</b>
              </p>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** A box is given on its form, which asks for needles; what is done to the open one is a press. */
function Sharps({ page, recorder }: Inside): JSX.Element {
  const { sharps } = page;
  const toTheBox = sharps.actions.filter(({ facts }) => facts[0]?.what !== 'sharps box given');
  return (
    <section class="sec sharps">
      <header>
        <h2>{say('supply.sharps')}</h2>
        <p>{say('supply.sharps_note')}</p>
      </header>
      <div class={sharps.picture === '' ? 'sharps-in bare' : 'sharps-in'}>
        <Picture svg={sharps.picture} class="drawing" />
        <p class="verdict">
          {sharps.level && <LevelMark level={sharps.level} word={sharps.level_word ?? sharps.level} />}
          <span>
            <Words text={sharps.text} />
          </span>
        </p>
      </div>
      <Acts>
        {toTheBox.map((action) => (
          <RecordButton key={action.label} action={action} recorder={recorder} />
        ))}
        <a class="act" href={`/people/${page.id}/supplies/box`}>
          {say('supply.sharps_give')}
        </a>
      </Acts>
    </section>
  );
}

function Trips({ page }: { page: SuppliesDoc }): JSX.Element {
  return (
    <section class="sec trips">
      <header>
        <h2>{say('supply.trips')}</h2>
      </header>
      {page.trips.length === 0 && <p>{say('supply.trips_none')}</p>}
      <ul class="said">
        {page.trips.map((trip) => (
          <li key={trip.id}>
            <h3>{trip.title}</h3>
            <p>
              <Words text={trip.text} />
            </p>
            <p class="scr">
              <a class="act slim" href={trip.href}>
                {say('supply.trip_sheet')}
                <span class="vh">: {trip.title}</span>
              </a>
            </p>
          </li>
        ))}
      </ul>
      <Acts>
        <a class="act" href={`/people/${page.id}/supplies/trip`}>
          {say('supply.trip_plan')}
        </a>
      </Acts>
    </section>
  );
}

function SuppliesDocument(inside: Inside): JSX.Element {
  const { page, recorder } = inside;
  return (
    <>
      <CoverView cover={page.cover} recorder={recorder} />
      <div class="two">
        <AtHome page={page} />
        <Boxes page={page} />
      </div>
      <div class="two">
        <History page={page} />
        <Asked page={page} />
      </div>
      <div class="two">
        <Sharps {...inside} />
        <Trips page={page} />
      </div>
      <PenTests page={page} />
      <AccountsSection page={page} recorder={recorder} />
      <div class="low-apart">
        <LowBox low={page.low} />
      </div>
    </>
  );
}

function Loaded({ inside, doc }: { inside: InFrame; doc: Doc<SuppliesDoc> }): JSX.Element {
  useFresh(doc, inside.person.version);
  return (
    <>
      <Notices notices={inside.person.notices.filter(({ level }) => level === 'stop')} class="notices top" />
      <ShownIn of={doc} title={say('tab.supplies')}>
        {(page) => <SuppliesDocument {...inside} page={page} />}
      </ShownIn>
    </>
  );
}

export function SuppliesPage({ id }: { id: string }): JSX.Element {
  const doc = useDocument<SuppliesDoc>(`/api/people/${id}/supplies`, { everyMinute: true });
  return (
    <PersonFrame
      id={id}
      tab="tab.supplies"
      title={say('tab.supplies')}
      everyMinute
      acts={() => (
        <>
          <a class="act" href={`/people/${id}/supplies/count`}>
            {say('supply.count')}
          </a>
          <a class="act" href={`/people/${id}/supplies/give`}>
            {say('supply.give')}
          </a>
        </>
      )}
    >
      {(inside) => <Loaded inside={inside} doc={doc} />}
    </PersonFrame>
  );
}
