// Plan: what to do next, what to ask first, the order, the pens, the places and how deep the needle reaches there, how long it all lasts.
import type { JSX } from 'preact';
import { useDocument, type Doc } from '../document';
import type { Person, PlacesPage, SuppliesPage } from '../model';
import { Notices } from '../parts/notice';
import { RecordButton } from '../parts/record-button';
import { Say, Words } from '../parts/text';
import { PlacesAndReach } from '../skin/sections';
import { CoverOnPlan } from '../supplies/cover';
import { AskFirst } from './ask';
import { PersonFrame, type InFrame } from './frame';
import { NextInjection } from './next';
import { OrderSection } from './order';
import { PensSection } from './pens';
import { say } from '../words';

function KnowFirst({ person }: { person: Person }): JSX.Element {
  const known = person.background.filter((item) => item.known);
  const unknown = person.background.filter((item) => !item.known);
  return (
    <section class="sec know">
      <header>
        <h2>{say('assess.title')}</h2>
        <p class="scr">
          <a href={`/people/${person.id}/background`}>{say('tab.assessment')}</a>
        </p>
      </header>
      {known.length > 0 && (
        <dl class="facts">
          {known.map(({ label, value }) => (
            <div>
              <dt>{label}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      )}
      {unknown.length > 0 && (
        <p class="soft">
          {say('assess.unknown', { list: unknown.map(({ label }) => label.charAt(0).toLowerCase() + label.slice(1)).join(', ') })}
        </p>
      )}
    </section>
  );
}

function Dismissed({ person, recorder }: Pick<InFrame, 'person' | 'recorder'>): JSX.Element | null {
  if (person.dismissed.length === 0) return null;
  return (
    <section class="sec scr">
      <header>
        <h2>{say('plan.dismissed')}</h2>
      </header>
      <ul>
        {person.dismissed.map(({ text, why, action }) => (
          <li>
            <p>
              <Words text={text} /> <span class="soft">{why}</span>
            </p>
            <p class="btns">
              <RecordButton action={action} recorder={recorder} kind="act plain slim" />
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Somebody may have given it since: while Penstock does not answer there is no number to dial (H07, H08, H55). */
function NoNumber(): JSX.Element {
  return (
    <section class="sec next" aria-label={say('plan.next')}>
      <Say level="stop" word={say('plan.no_number')}>
        {say('plan.no_number_do')}
      </Say>
    </section>
  );
}

function Plan({
  person,
  recorder,
  doc,
  places,
  supplies,
}: InFrame & { places: Doc<PlacesPage>; supplies: Doc<SuppliesPage> }): JSX.Element {
  const { id } = person;
  const unsure = doc.stale && person.next?.state === 'dial';
  return (
    <>
      <Notices notices={person.notices} class="notices top" />
      {unsure && <NoNumber />}
      {person.next && !unsure && <NextInjection card={person.next} low={person.low} later={person.later} recorder={recorder} />}
      {person.asks.map((card) => (
        <AskFirst card={card} recorder={recorder} />
      ))}
      <OrderSection id={id} order={person.order} recorder={recorder} />
      <PensSection id={id} pens={person.pens} recorder={recorder} />
      <PlacesAndReach doc={places} version={person.version} />
      <CoverOnPlan doc={supplies} version={person.version} recorder={recorder} />
      <KnowFirst person={person} />
      <Dismissed person={person} recorder={recorder} />
    </>
  );
}

export function PlanPage({ id }: { id: string }): JSX.Element {
  const places = useDocument<PlacesPage>(`/api/people/${id}/places`, { everyMinute: true }); // beside the person, not after them
  const supplies = useDocument<SuppliesPage>(`/api/people/${id}/supplies`, { everyMinute: true });
  return (
    <PersonFrame
      id={id}
      tab="tab.plan"
      title={say('tab.plan')}
      everyMinute
      acts={({ person, doc }) => (
        <>
          {!doc.stale && person.next?.print.href && (
            <a class="act" href={person.next.print.href}>
              {person.next.print.label}
            </a>
          )}
          <a class="act" href={`/people/${id}/record`}>
            {say('record.add')}
          </a>
        </>
      )}
    >
      {(inside) => <Plan {...inside} places={places} supplies={supplies} />}
    </PersonFrame>
  );
}
