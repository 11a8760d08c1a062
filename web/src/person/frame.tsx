// What every page about one person has: who it is, the tabs, the look-alikes, and the one recorder.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { useDocument, type Doc } from '../document';
import type { Person, Who } from '../model';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { Shown } from '../parts/states';
import { Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { printedFor } from '../print';
import { useRecorder, type Recorder } from '../recorder';

export type Tab = 'Plan' | 'Journal' | 'Skin and places' | 'Supplies' | 'Background' | 'Import' | '';

const tabs: [Tab, string][] = [
  ['Plan', ''],
  ['Journal', '/journal'],
  ['Skin and places', '/skin'],
  ['Supplies', '/supplies'],
  ['Background', '/background'],
  ['Import', '/import'],
];

/** Name, birth date and number together, on every page (H19). */
export function WhoHead({ who, children }: { who: Who; children?: ComponentChildren }): JSX.Element {
  return (
    <>
      <div class="who">
        <div>
          <h1 tabIndex={-1}>{who.name}</h1>
          <p class="id">
            <span>
              born <b>{who.born_text}</b>
              {who.age_text && <>, {who.age_text}</>}
            </span>
            <span>
              clinic number <b>{who.number}</b>
            </span>
            {who.phone && (
              <span>
                phone <b class="nb">{who.phone}</b>
              </span>
            )}
            {who.flags.map((flag) => (
              <span>
                <Words text={flag} />
              </span>
            ))}
          </p>
        </div>
        {children && <div class="acts">{children}</div>}
      </div>
      <AlikeSay who={who} />
    </>
  );
}

/** Others of the same or nearly the same name: are these the right pages, is this the right voice (H19)? */
export function AlikeSay({ who }: { who: Who }): JSX.Element | null {
  if (who.alike.length === 0) return null;
  return (
    <div class="say caution alike-say scr">
      <p>
        <b class="lvl">Caution.</b>
        {who.alike_text}{' '}
        {who.alike.map((other, at) => (
          <>
            {at > 0 && '; '}
            <span class="nb">
              {other.name}, born <b>{other.born_text}</b>,
            </span>{' '}
            <b class="nb">{other.number}</b>
          </>
        ))}
      </p>
    </div>
  );
}

export function Tabs({ id, current, name }: { id: string; current: Tab; name: string }): JSX.Element {
  return (
    <nav class="tabs" aria-label={name}>
      {tabs.map(([tab, end]) => (
        <a href={`/people/${id}${end}`} aria-current={tab === current ? 'page' : undefined}>
          {tab}
        </a>
      ))}
    </nav>
  );
}

export interface InFrame {
  person: Person;
  recorder: Recorder;
  doc: Doc<Person>;
}

/** Loads the person, keeps the page fresh, and hands the recorder down. */
export function PersonFrame({
  id,
  tab,
  title,
  everyMinute = false,
  acts,
  children,
}: {
  id: string;
  tab: Tab;
  title: string;
  everyMinute?: boolean;
  acts?: (inside: InFrame) => ComponentChildren;
  children: (inside: InFrame) => ComponentChildren;
}): JSX.Element {
  const doc = useDocument<Person>(`/api/people/${id}`, { everyMinute });
  const person = doc.doc;
  const recorder = useRecorder(
    person ? { path: `/api/people/${id}/facts`, version: person.version, zone: person.forms.zone, reload: doc.reload } : null,
  );
  useTitle(person ? `${person.who.name}, ${title}` : title, person !== null);
  useEffect(() => printedFor(person?.who ?? null), [person]);
  return (
    <>
      <Shown of={doc}>
        {(loaded) => {
          const inside: InFrame = { person: loaded, recorder, doc };
          return (
            <>
              <WhoHead who={loaded.who}>{acts?.(inside)}</WhoHead>
              <Tabs id={id} current={tab} name={loaded.who.name} />
              {children(inside)}
            </>
          );
        }}
      </Shown>
      <OutcomeDialog recorder={recorder} />
      <Receipt outcome={recorder.outcome} close={recorder.close} />
    </>
  );
}
