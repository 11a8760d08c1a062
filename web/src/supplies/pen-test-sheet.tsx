// One test of a pen on paper: the verdict first, then every value that it rests on.
import type { JSX } from 'preact';
import { useDocument } from '../document';
import type { PenTestSheet } from '../model';
import { PrintButton } from '../parts/print-button';
import { Shown } from '../parts/states';
import { isEmpty, Words } from '../parts/text';
import { A4, useSheet } from './a4';
import { TestBody } from './pen-tests';
import { say } from '../words';

function Page({ sheet }: { sheet: PenTestSheet }): JSX.Element {
  return (
    <A4 of={sheet} small={sheet.clinic}>
      <p class="lead-a4">{sheet.test.title}</p>
      {sheet.rows.length > 0 && (
        <dl class="facts">
          {sheet.rows.map(({ label, value }) => (
            <div>
              <dt>{label}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      )}
      <TestBody test={sheet.test} />
      {sheet.values.length > 0 && (
        <section class="values">
          <h2>{say('pentest.values')}</h2>
          <ol>
            {sheet.values.map((value) => (
              <li>{value}</li>
            ))}
          </ol>
        </section>
      )}
      {sheet.source && <p class="src">{sheet.source}</p>}
      {!isEmpty(sheet.last) && (
        <p class="line">
          <Words text={sheet.last} />
        </p>
      )}
    </A4>
  );
}

export function PenTestPage({ id, fact }: { id: string; fact: string }): JSX.Element {
  const doc = useDocument<PenTestSheet>(`/api/people/${id}/pen-tests/${fact}`, { everyMinute: true });
  useSheet(say('pentest.sheet_title'), doc.doc);
  return (
    <>
      <div class="sheet-acts scr">
        <a class="act" href={`/people/${id}/supplies`}>
          {say('supply.back')}
        </a>
        {doc.doc && <PrintButton of={doc} />}
      </div>
      <Shown of={doc}>{(loaded) => <Page sheet={loaded} />}</Shown>
    </>
  );
}
