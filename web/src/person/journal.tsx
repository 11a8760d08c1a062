// The journal: every fact, newest first, what became of it, and the way to correct it. Nothing is edited, nothing is deleted.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument, type Doc } from '../document';
import type { Journal, JournalRow } from '../model';
import { Pager } from '../parts/pager';
import { Shown } from '../parts/states';
import { Words } from '../parts/text';
import { Correction } from './correction';
import { PersonFrame, type InFrame } from './frame';
import { say } from '../words';

const by = (rows: JournalRow[]): [string, JournalRow[]][] => {
  const days: [string, JournalRow[]][] = [];
  for (const row of rows) {
    const last = days.at(-1);
    if (last && last[0] === row.day_text) last[1].push(row);
    else days.push([row.day_text, [row]]);
  }
  return days;
};

function Row({ row, correct }: { row: JournalRow; correct: () => void }): JSX.Element {
  return (
    <li class={`row ${row.state}`}>
      <p class="when">{row.when_text}</p>
      <div class="what">
        <p>
          <Words text={row.sentence} />
        </p>
        {row.state_text && <p class="state">{row.state_text}</p>}
      </div>
      <p class="by">{row.by_text}</p>
      <p class="do scr">
        {row.can_correct && (
          <button type="button" class="act plain" onClick={correct}>
            {say('form.correct')}
            <span class="vh">: {row.when_text}</span>
          </button>
        )}
      </p>
    </li>
  );
}

function Rows({ journal, inside, doc }: { journal: Journal; inside: InFrame; doc: Doc<Journal> }): JSX.Element {
  const [correcting, setCorrecting] = useState<JournalRow | null>(null);
  const close = (): void => {
    setCorrecting(null);
    void doc.reload();
  };
  return (
    <section class="sec journal">
      <header>
        <h2>{say('tab.record')}</h2>
        <p>{journal.count_text}</p>
      </header>
      {journal.rows.length === 0 && <p>{say('page.no_entries')}</p>}
      {by(journal.rows).map(([day, rows]) => (
        <section key={day}>
          <h3 class="grp">{day}</h3>
          <ol>
            {rows.map((row) => (
              <Row key={row.id} row={row} correct={() => setCorrecting(row)} />
            ))}
          </ol>
        </section>
      ))}
      <Pager
        back={say('record.newer')}
        on={say('record.older')}
        ends={[say('record.newest'), say('record.oldest')]}
        page={journal.page}
        pages={journal.pages}
        href={(page) => `/people/${inside.person.id}/journal?page=${page}`}
      />
      <p class="small soft chain">
        {journal.chain_text}{' '}
        <a class="scr" href={`/api/people/${inside.person.id}/export`} download>
          {say('record.export')}
        </a>
      </p>
      {correcting && <Correction row={correcting} inside={inside} close={close} />}
    </section>
  );
}

function Loaded({ inside, page }: { inside: InFrame; page: string }): JSX.Element {
  const doc = useDocument<Journal>(`/api/people/${inside.person.id}/journal?page=${encodeURIComponent(page)}`, { everyMinute: true });
  return <Shown of={doc}>{(journal) => <Rows journal={journal} inside={inside} doc={doc} />}</Shown>;
}

export function JournalPage({ id, query }: { id: string; query: URLSearchParams }): JSX.Element {
  const page = query.get('page') ?? '1';
  return (
    <PersonFrame
      id={id}
      tab="tab.record"
      title={say('tab.record')}
      acts={() => (
        <a class="act" href={`/people/${id}/record`}>
          {say('record.add')}
        </a>
      )}
    >
      {(inside) => <Loaded key={page} inside={inside} page={page} />}
    </PersonFrame>
  );
}
