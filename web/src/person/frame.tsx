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
import { Said, say, type Key } from '../words';
import { StartSteps } from './start';

type Tab = Extract<Key, `tab.${string}`>;

const tabs: [Tab, string][] = [
  ['tab.visit', ''],
  ['tab.order', '/order'],
  ['tab.pens', '/pens'],
  ['tab.sites', '/skin'],
  ['tab.supplies', '/supplies'],
  ['tab.record', '/journal'],
  ['tab.assessment', '/background'],
  ['tab.import', '/import'],
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
              <Said of="person.born" born={who.born_text} />
              {who.age_text && <>, {who.age_text}</>}
            </span>
            <span>
              <Said of="person.clinic_number" number={who.number} />
            </span>
            {who.phone && (
              <span>
                <Said of="person.phone" phone={<span class="nb">{who.phone}</span>} />
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
        <b class="lvl">{say('page.caution')}.</b>
        {who.alike_text}{' '}
        {who.alike.map((other, at) => (
          <>
            {at > 0 && '; '}
            <span class="nb">
              <Said of="person.name_born" name={other.name} born={other.born_text} />
            </span>{' '}
            <b class="nb">{other.number}</b>
          </>
        ))}
      </p>
    </div>
  );
}

/** How much is open behind a tab, and how loud. */
function TabMark({ of }: { of: Person['tabs'][number] | undefined }): JSX.Element | null {
  return of ? (
    <i class={`tm ${of.level}`}>
      {of.count}
      <span class="vh"> {say('tab.open', { level: of.level_word })}</span>
    </i>
  ) : null;
}

export function Tabs({ of, current }: { of: Person; current: Tab | null }): JSX.Element {
  return (
    <nav class="tabs" aria-label={of.who.name}>
      {tabs.map(([tab, end]) => (
        <a href={`/people/${of.id}${end}`} aria-current={tab === current ? 'page' : undefined}>
          {say(tab)}
          {end !== '' && <TabMark of={of.tabs.find(({ part }) => part === end)} />}
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
  /** null: none of them. */
  tab: Tab | null;
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
              <Tabs of={loaded} current={tab} />
              {loaded.start && <StartSteps start={loaded.start} />}
              {children(inside)}
            </>
          );
        }}
      </Shown>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </>
  );
}
