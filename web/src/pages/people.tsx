// People: search as one types; two who are alike are never opened without asking which (H19).
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { Alike, People, PersonRow } from '../model';
import { Dialog } from '../parts/dialog';
import { Pager } from '../parts/pager';
import { EmptyState, LeftOut, Shown } from '../parts/states';
import { LevelMark, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { go, setQuery } from '../router';
import { Said, say } from '../words';

const pause_ms = 180; // between the last letter typed and the search

/** Side by side, by birth date and number; nobody is chosen beforehand. */
function WhichOne({ row, close }: { row: PersonRow; close: () => void }): JSX.Element {
  const all: Alike[] = [{ id: row.id, name: row.name, born_text: row.born_text, number: row.number }, ...row.alike];
  all.sort((a, b) => a.number.localeCompare(b.number));
  return (
    <Dialog title={say('people.which')} close={close} wide>
      <p class="after">
        {row.alike_text} {say('people.ask_birth')}
      </p>
      <ul class="which">
        {all.map((one) => (
          <li key={one.id}>
            <a href={`/people/${one.id}`} class="one">
              <b class="name">{one.name}</b>
              <span>
                <Said of="person.born" born={one.born_text} />
              </span>
              <span>
                <Said of="person.number" number={one.number} />
              </span>
            </a>
          </li>
        ))}
      </ul>
      <p class="btns">
        <button type="button" class="act plain" onClick={close}>
          {say('people.none_of_them')}
        </button>
      </p>
    </Dialog>
  );
}

function Row({ row, ask }: { row: PersonRow; ask: () => void }): JSX.Element {
  const alike = row.alike.length > 0;
  return (
    <li class={`person-row ${row.level ?? ''}`}>
      {row.level ? <LevelMark level={row.level} word={row.level_word ?? row.level} /> : <span />}
      <p class="pname">
        <a
          class="nm"
          href={`/people/${row.id}`}
          onClick={(event) => {
            if (!alike) return;
            event.preventDefault();
            ask();
          }}
        >
          {row.name}
        </a>
        {alike && <span class="flag note">{row.alike_text}</span>}
      </p>
      <p class="born">
        <Said of="person.born" born={row.born_text} />
        <span class="soft">, {row.age_text}</span>
      </p>
      <p class="number">
        <b>{row.number}</b>
      </p>
      <p class="state">
        <Words text={row.state} />
      </p>
    </li>
  );
}

function useSearch(query: URLSearchParams): { typed: string; search: string; type: (text: string) => void } {
  const [typed, setTyped] = useState(query.get('q') ?? '');
  const [search, setSearch] = useState(typed);
  useEffect(() => {
    const timer = setTimeout(() => {
      if (typed === search) return;
      setSearch(typed);
      setQuery(new URLSearchParams(typed === '' ? {} : { q: typed }));
    }, pause_ms);
    return () => clearTimeout(timer);
  }, [typed, search]);
  return { typed, search, type: setTyped };
}

function List({ people, settled, asked }: { people: People; settled: boolean; asked: (row: PersonRow) => void }): JSX.Element {
  return (
    <div class={settled ? undefined : 'unsettled'}>
      <LeftOut doc={people} />
      <p class="grp" role="status">
        {people.count_text}
      </p>
      {people.empty && people.people.length === 0 && <EmptyState empty={people.empty} />}
      <ol class="people-list">
        {people.people.map((row) => (
          <Row key={row.id} row={row} ask={() => asked(row)} />
        ))}
      </ol>
      <Pager
        back={say('page.back')}
        on={say('people.more')}
        page={people.page}
        pages={people.pages}
        href={(page) => `/people?${new URLSearchParams({ ...(people.query ? { q: people.query } : {}), page: String(page) })}`}
      />
    </div>
  );
}

export function PeoplePage({ query }: { query: URLSearchParams }): JSX.Element {
  const { typed, search, type } = useSearch(query);
  const page = search === (query.get('q') ?? '') ? (query.get('page') ?? '1') : '1';
  const doc = useDocument<People>(`/api/people?${new URLSearchParams({ q: search, page })}`);
  const last = useRef<People | null>(null);
  if (doc.doc) last.current = doc.doc;
  const [which, setWhich] = useState<PersonRow | null>(null);
  useTitle(say('nav.people'));
  // What is shown always says which search it answers; while a newer one runs, it cannot be opened by mistake.
  const settled = doc.doc !== null && typed === search;
  const shown = doc.doc ?? (doc.refused || doc.unreached ? null : last.current);
  const open = (): void => {
    const [only] = doc.doc?.people ?? [];
    if (!settled || !only || doc.doc?.people.length !== 1) return;
    if (only.alike.length > 0) setWhich(only);
    else go(`/people/${only.id}`);
  };
  return (
    <div class="people">
      <div class="who">
        <h1 class="headline" tabIndex={-1}>
          {say('nav.people')}
        </h1>
        <div class="acts">
          <a class="act plain" href="/people/bring-in">
            {say('people.import')}
          </a>
          <a class="act" href="/people/new">
            {say('register.title')}
          </a>
        </div>
      </div>
      <form
        role="search"
        class="search"
        onSubmit={(event) => {
          event.preventDefault();
          open();
        }}
      >
        <label for="q">{say('people.search')}</label>
        <input
          id="q"
          type="search"
          name="q"
          value={typed}
          autocomplete="off"
          spellcheck={false}
          onInput={(event) => type(event.currentTarget.value)}
        />
      </form>
      {shown ? <List people={shown} settled={settled} asked={setWhich} /> : <Shown of={doc}>{() => null}</Shown>}
      {which && <WhichOne row={which} close={() => setWhich(null)} />}
    </div>
  );
}
