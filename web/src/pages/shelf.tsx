// The products: what exists, each figure with its source, what fits what, and the clinic's own entries.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { Shelf, ShelfGroup } from '../model';
import { NoneOfThem, useNarrowed } from '../parts/narrow';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { Shown } from '../parts/states';
import { Mark, plain, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { useRecorder } from '../recorder';
import { shelfForms, ShelfForm, type ShelfKind } from '../shelf/forms';
import { say } from '../words';

function Entry({ entry }: { entry: ShelfGroup['entries'][number] }): JSX.Element {
  return (
    <li class="entry">
      <div class="head">
        <Mark svg={entry.mark} />
        <h3>{entry.name}</h3>
        {entry.own && <span class="flag note">{say('products.own')}</span>}
        <code class="quiet">{entry.code}</code>
      </div>
      <p>
        <Words text={entry.line} />
      </p>
      <details>
        <summary>
          {say('products.details')} <span class="vh">{say('products.of', { name: entry.name })}</span>
        </summary>
        <div class="table-wrap" tabIndex={0} role="region" aria-label={say('products.figures_of', { name: entry.name })}>
          <table class="tab">
            <thead>
              <tr>
                <th scope="col">{say('products.figure')}</th>
                <th scope="col">{say('products.value')}</th>
                <th scope="col">{say('products.source')}</th>
                <th scope="col">{say('products.known')}</th>
              </tr>
            </thead>
            <tbody>
              {entry.figures.map((figure) => (
                <tr>
                  <th scope="row">{figure.label}</th>
                  <td class="val">{figure.value}</td>
                  <td>{figure.source}</td>
                  <td>{figure.known}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    </li>
  );
}

function Fits({ fits }: { fits: Shelf['fits'] }): JSX.Element {
  return (
    <section class="sec fits">
      <header>
        <h2>{fits.title}</h2>
      </header>
      <p class="lead">{fits.text}</p>
      <div class="table-wrap" tabIndex={0} role="region" aria-label={fits.title}>
        <table class="tab grid">
          <thead>
            <tr>
              <td />
              {fits.columns.map((column) => (
                <th scope="col">{column}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {fits.rows.map((row) => (
              <tr>
                <th scope="row">{row.name}</th>
                {row.cells.map((cell) => (
                  <td class={cell ? 'yes' : 'no'}>
                    {cell ? (
                      <span class="dot" role="img" aria-label={say('products.fits')} />
                    ) : (
                      <span class="vh">{say('products.no_fit')}</span>
                    )}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

export function ShelfPage({ zone }: { zone: string }): JSX.Element {
  const doc = useDocument<Shelf>('/api/shelf');
  const recorder = useRecorder(doc.doc ? { path: '/api/clinic/facts', version: doc.doc.version, zone, reload: doc.reload } : null);
  const [adding, setAdding] = useState<ShelfKind | null>(null);
  const narrowed = useNarrowed(say('products.narrow'));
  const shown = (group: ShelfGroup) => group.entries.filter(({ name, code, line }) => narrowed.shows(name, code, plain(line)));
  useTitle(say('nav.products'), doc.doc !== null);
  return (
    <>
      <Shown of={doc}>
        {(shelf) => (
          <div class="shelf">
            <h1 class="headline" tabIndex={-1}>
              {say('nav.products')} <span>{say('products.lead')}</span>
            </h1>
            {narrowed.field}
            {shelf.groups.every((group) => shown(group).length === 0) && <NoneOfThem />}
            {shelf.groups.map((group) => (
              <section class="sec" key={group.kind}>
                <header>
                  <h2>{group.title}</h2>
                  <p>
                    <button type="button" class="act slim scr" onClick={() => setAdding(group.kind)}>
                      {shelfForms[group.kind].add}
                    </button>
                  </p>
                </header>
                {adding === group.kind && <ShelfForm kind={group.kind} shelf={shelf} recorder={recorder} close={() => setAdding(null)} />}
                {group.entries.length === 0 && <p>{say('page.no_entries')}</p>}
                <ul class="entries">
                  {shown(group).map((entry) => (
                    <Entry key={entry.code} entry={entry} />
                  ))}
                </ul>
              </section>
            ))}
            <Fits fits={shelf.fits} />
          </div>
        )}
      </Shown>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </>
  );
}
