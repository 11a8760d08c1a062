// What went home to read, newest first. An entry is corrected from the journal.
import type { JSX } from 'preact';
import { useDocument } from '../document';
import type { Leaflets } from '../model';
import { Shown } from '../parts/states';
import { PersonFrame } from './frame';

function Table({ rows }: Pick<Leaflets, 'rows'>): JSX.Element {
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label="Leaflets given">
      <table class="tab">
        <thead>
          <tr>
            <th scope="col">Given</th>
            <th scope="col">Leaflet</th>
            <th scope="col">Edition</th>
            <th scope="col">Note</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.id}>
              <td>{row.day_text}</td>
              <th scope="row">{row.leaflet}</th>
              <td>{row.edition_text}</td>
              <td>{row.text}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Loaded({ id }: { id: string }): JSX.Element {
  return (
    <Shown of={useDocument<Leaflets>(`/api/people/${id}/leaflets`, { everyMinute: true })}>
      {({ rows, none_text }) => (
        <section class="sec">
          <header>
            <h2>Leaflets given</h2>
          </header>
          {rows.length > 0 ? <Table rows={rows} /> : <p>{none_text}</p>}
        </section>
      )}
    </Shown>
  );
}

export function LeafletsPage({ id }: { id: string }): JSX.Element {
  return (
    <PersonFrame
      id={id}
      tab="Leaflets"
      title="leaflets"
      acts={() => (
        <a class="act" href={`/people/${id}/record/leaflet`}>
          Record a leaflet
        </a>
      )}
    >
      {() => <Loaded id={id} />}
    </PersonFrame>
  );
}
