// Who is on the line: chosen by name with birth date and number beside it, never by name alone (H19).
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { get } from '../api';
import type { People } from '../model';
import { TextField } from '../parts/fields';
import { Group } from '../parts/form';
import { LeftOut } from '../parts/states';
import { Said, say } from '../words';

export interface Picked {
  id: string;
  name: string;
  born_text: string;
  number: string;
}

const shown_most = 8; // more than these: type another letter

export function PersonPick({ picked, pick }: { picked: Picked | null; pick: (person: Picked | null) => void }): JSX.Element {
  const [typed, setTyped] = useState('');
  const [page, setPage] = useState<People | null>(null);
  useEffect(() => {
    let live = true;
    setPage(null);
    if (typed.trim().length < 2) return;
    const timer = setTimeout(async () => {
      const reply = await get<People>(`/api/people?${new URLSearchParams({ q: typed, page: '1' })}`);
      if (live && reply.kind === 'ok') setPage(reply.value);
    }, 180);
    return () => {
      live = false;
      clearTimeout(timer);
    };
  }, [typed]);
  if (picked) {
    return (
      <Group title={say('caller.title')}>
        <p class="picked">
          <span>
            <Said of="page.who" name={picked.name} born={picked.born_text} number={picked.number} />
          </span>
          <button
            type="button"
            class="act slim"
            onClick={() => {
              setTyped('');
              pick(null);
            }}
          >
            {say('caller.other')}
          </button>
        </p>
      </Group>
    );
  }
  return (
    <Group title={say('caller.title')} note={say('caller.note')}>
      <TextField label={say('people.search')} name="caller" value={typed} set={setTyped} type="search" needed={false} />
      {page && <LeftOut doc={page} />}
      {page && page.people.length > 0 && (
        <ul class="found">
          {page.people.slice(0, shown_most).map((one) => (
            <li key={one.id}>
              <button type="button" class="one" onClick={() => pick(one)}>
                <b>{one.name}</b>{' '}
                <span>
                  <Said of="person.born" born={one.born_text} />
                </span>{' '}
                <span>
                  <Said of="person.number" number={one.number} />
                </span>
              </button>
            </li>
          ))}
        </ul>
      )}
    </Group>
  );
}
