// Who is on the line: chosen by name with birth date and number beside it, never by name alone (H19).
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { get } from '../api';
import type { People } from '../model';
import { TextField } from '../parts/fields';
import { Group } from '../parts/form';

export interface Picked {
  id: string;
  name: string;
  born_text: string;
  number: string;
}

const shown_most = 8; // more than these: type another letter

export function PersonPick({ picked, pick }: { picked: Picked | null; pick: (person: Picked | null) => void }): JSX.Element {
  const [typed, setTyped] = useState('');
  const [found, setFound] = useState<Picked[]>([]);
  useEffect(() => {
    let live = true;
    setFound([]);
    if (typed.trim().length < 2) return;
    const timer = setTimeout(async () => {
      const reply = await get<People>(`/api/people?${new URLSearchParams({ q: typed, page: '1' })}`);
      if (live && reply.kind === 'ok') setFound(reply.value.people);
    }, 180);
    return () => {
      live = false;
      clearTimeout(timer);
    };
  }, [typed]);
  if (picked) {
    return (
      <Group title="Who is on the line">
        <p class="picked">
          <span>
            <b>{picked.name}</b>, born <b>{picked.born_text}</b>, number <b>{picked.number}</b>
          </span>
          <button
            type="button"
            class="act slim"
            onClick={() => {
              setTyped('');
              pick(null);
            }}
          >
            Somebody else
          </button>
        </p>
      </Group>
    );
  }
  return (
    <Group title="Who is on the line" note="Without a person, the answer is worked out but not recorded.">
      <TextField label="Name, birth date or number" name="caller" value={typed} set={setTyped} type="search" needed={false} />
      {found.length > 0 && (
        <ul class="found">
          {found.slice(0, shown_most).map((one) => (
            <li key={one.id}>
              <button type="button" class="one" onClick={() => pick(one)}>
                <b>{one.name}</b>{' '}
                <span>
                  born <b>{one.born_text}</b>
                </span>{' '}
                <span>
                  number <b>{one.number}</b>
                </span>
              </button>
            </li>
          ))}
        </ul>
      )}
    </Group>
  );
}
