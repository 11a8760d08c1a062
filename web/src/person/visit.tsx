// A visit: what is open, the next injection, what changed since the last one, and what to feel, to watch and to ask. One screen; all else is behind the tabs.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument, useFresh, type Doc } from '../document';
import type { OpenThing, Person, Visit } from '../model';
import { RecordButton } from '../parts/record-button';
import { EmptyState, ShownIn } from '../parts/states';
import { LevelMark, Say, Words } from '../parts/text';
import { AskFirst } from './ask';
import { PersonFrame, type InFrame } from './frame';
import { CompactNext, RecordLow } from './next';
import { Said, say } from '../words';

function OpenRow({ of }: { of: OpenThing }): JSX.Element {
  return (
    <li class={`orow ${of.level}`}>
      <LevelMark level={of.level} word={of.level_word} />
      <p class="by">{of.by}</p>
      <p class="s">
        <Words text={of.text} />
      </p>
      {of.action && (
        <a class="act scr" href={of.action.href}>
          {of.action.label}
        </a>
      )}
    </li>
  );
}

/** Loudest first: what needs an answer before a number, then by the rows. */
function Open({ person, recorder }: Pick<InFrame, 'person' | 'recorder'>): JSX.Element {
  return (
    <section class="opn" aria-labelledby="op">
      <h2 id="op" class="sent">
        <Words text={person.open_text} />
      </h2>
      {person.asks.map((card) => (
        <AskFirst card={card} phoning={person.phoning} recorder={recorder} />
      ))}
      {!person.start && person.order.empty && <EmptyState empty={person.order.empty} />}
      {person.notices.length > 0 && (
        <ol>
          {person.notices.map((thing) => (
            <OpenRow of={thing} />
          ))}
        </ol>
      )}
      <Dismissed person={person} recorder={recorder} />
    </section>
  );
}

function Dismissed({ person, recorder }: Pick<InFrame, 'person' | 'recorder'>): JSX.Element | null {
  if (person.dismissed.length === 0) return null;
  return (
    <details class="dismissed scr">
      <summary>{say('plan.dismissed')}</summary>
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
    </details>
  );
}

function Since({ visit, person }: { visit: Visit; person: string }): JSX.Element {
  return (
    <section class="sec since" aria-labelledby="si">
      <header>
        <h2 id="si">{visit.since_title}</h2>
        <p>
          {visit.last_text}{' '}
          {visit.has_sheet && (
            <a class="scr" href={`/people/${person}/visit-sheet`}>
              {say('visit.sheet')}
            </a>
          )}
        </p>
      </header>
      <ul>
        {visit.since.map(({ word, text }) => (
          <li>
            <p class="k1">{word}</p>
            <p>
              <Words text={text} />
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What the rule chose, or what somebody chooses instead of it. */
function ToDo({ of }: { of: Visit['todo'][number] }): JSX.Element | null {
  const [at, choose] = useState(0);
  const chosen = of.choices[at] ?? of.choices[0];
  if (!chosen) return null;
  const others = of.choices.length > 1;
  return (
    <li>
      <p class="k1" title={of.rule}>
        {of.label}
      </p>
      <p>
        <Words text={chosen.text} />
      </p>
      <p class="do scr">
        <a class="act" href={chosen.href} aria-label={say('visit.do_of', { label: of.label })}>
          {say('visit.do')}
        </a>
        {others && (
          <button
            type="button"
            class="act plain"
            aria-label={say('visit.other_of', { label: of.label })}
            onClick={() => choose((at + 1) % of.choices.length)}
          >
            {say('visit.other')}
          </button>
        )}
      </p>
    </li>
  );
}

function AtThisVisit({ visit }: { visit: Visit }): JSX.Element {
  return (
    <section class="sec thisv" aria-labelledby="tv">
      <header>
        <h2 id="tv">{say('visit.now')}</h2>
        <p>{visit.began_text}</p>
      </header>
      <ol>
        {visit.todo.map((of) => (
          <ToDo key={of.label} of={of} />
        ))}
      </ol>
      <details class="rule scr">
        <summary>{say('visit.how_chosen')}</summary>
        {visit.todo.map(({ label, rule }) => (
          <p>
            <Said of="visit.rule" label={label} rule={rule} />
          </p>
        ))}
      </details>
    </section>
  );
}

/** Somebody may have given it since: while Penstock does not answer there is no number to dial (H07, H08, H55). */
export function NoNumber(): JSX.Element {
  return (
    <section class="sec next" aria-label={say('plan.next')}>
      <Say level="stop" word={say('plan.no_number')}>
        {say('plan.no_number_do')}
      </Say>
    </section>
  );
}

/** No number is shown that may be older than what was recorded since. */
export const isUnsure = (doc: Doc<Person>): boolean => doc.stale && doc.doc?.next?.state === 'dial';

function Page({ person, recorder, doc, visit }: InFrame & { visit: Doc<Visit> }): JSX.Element {
  useFresh(visit, person.version);
  const watch = `/people/${person.id}/watch`;
  const unsure = isUnsure(doc);
  const bare = !unsure && !person.next; // nothing stands where the next injection would: what changed has the place
  return (
    <>
      <div class="vgrid">
        <div class="opencol">
          <Open person={person} recorder={recorder} />
          <ShownIn of={visit} title={say('visit.now')}>
            {(loaded) => (
              <>
                {!bare && <Since visit={loaded} person={person.id} />}
                <AtThisVisit visit={loaded} />
              </>
            )}
          </ShownIn>
        </div>
        <div class="nextcol">
          {bare && visit.doc && <Since visit={visit.doc} person={person.id} />}
          {unsure ? <NoNumber /> : person.next && <CompactNext card={person.next} person={person} recorder={recorder} />}
          {person.next?.state !== 'dial' && (
            <p class="btns scr">
              <RecordLow person={person.id} />
            </p>
          )}
        </div>
      </div>
      {!unsure && person.next?.state === 'dial' && (
        <p class="thumb scr">
          <a class="act" href={watch}>
            {say('next.watch_dose', { dose: person.next.dose_text })}
          </a>
        </p>
      )}
    </>
  );
}

export function VisitPage({ id }: { id: string }): JSX.Element {
  const visit = useDocument<Visit>(`/api/people/${id}/visit`, { everyMinute: true }); // beside the person, not after them
  return (
    <PersonFrame
      id={id}
      tab="tab.visit"
      title={say('tab.visit')}
      everyMinute
      acts={() => (
        <>
          <a class="act" href={`/people/${id}/record`}>
            {say('record.add')}
          </a>
          <a class="act" href={`/people/${id}/close`}>
            {say('visit.close')}
          </a>
        </>
      )}
    >
      {(inside) => <Page {...inside} visit={visit} />}
    </PersonFrame>
  );
}
