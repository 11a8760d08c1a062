// A trip on paper: what to carry, in which bag, and the question about the dose times, which only the prescriber answers.
import type { JSX } from 'preact';
import { useDocument } from '../document';
import type { TripSheet } from '../model';
import { Notices } from '../parts/notice';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { PrintButton } from '../parts/print-button';
import { RecordButton } from '../parts/record-button';
import { Shown } from '../parts/states';
import { isEmpty, Picture, Words } from '../parts/text';
import { useRecorder } from '../recorder';
import { A4, useSheet } from './a4';
import { say } from '../words';

function Carry({ sheet }: { sheet: TripSheet }): JSX.Element | null {
  if (sheet.carry.length === 0) return null;
  return (
    <div class="table-wrap">
      <table class="carry">
        <thead>
          <tr>
            {sheet.heads.map((head) => (
              <th scope="col">{head}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {sheet.carry.map((row) => (
            <tr key={row.name}>
              <th scope="row">
                {row.name}
                {!isEmpty(row.text) && (
                  <span class="why-so">
                    <Words text={row.text} />
                  </span>
                )}
              </th>
              <td data-head={sheet.heads[1]}>
                <b>{row.all_text}</b>
              </td>
              {row.bag_texts.map((text, at) => (
                <td data-head={sheet.heads[at + 2]}>{text}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Question({ of }: { of: TripSheet['questions'][number] }): JSX.Element {
  return (
    <section class="question">
      <p>
        <b>
          <Words text={of.text} />
        </b>
      </p>
      {of.answer.map((line) => (
        <p>
          <Words text={line} />
        </p>
      ))}
    </section>
  );
}

function Page({ sheet }: { sheet: TripSheet }): JSX.Element {
  return (
    <A4 of={sheet} small={[sheet.order_text, sheet.clinic].filter((text) => text !== '').join(' ')}>
      {!isEmpty(sheet.lead) && (
        <p class="lead-a4">
          <Words text={sheet.lead} />
        </p>
      )}
      <Picture svg={sheet.picture} class="drawing bags" />
      <Carry sheet={sheet} />
      {sheet.questions.length > 0 && (
        <div class="questions">
          <h2>{say('supply.trip_ask')}</h2>
          {sheet.questions.map((of) => (
            <Question of={of} />
          ))}
        </div>
      )}
      <Notices notices={sheet.cautions} />
      <section class="low">
        <h2>{sheet.low.title}</h2>
        <p>
          <Words text={sheet.low.text} />
        </p>
      </section>
      {!isEmpty(sheet.last) && (
        <p class="line">
          <Words text={sheet.last} />
        </p>
      )}
    </A4>
  );
}

export function TripPage({ id, fact, zone }: { id: string; fact: string; zone: string }): JSX.Element {
  const doc = useDocument<TripSheet>(`/api/people/${id}/trips/${fact}`, { everyMinute: true });
  const sheet = doc.doc;
  const recorder = useRecorder(sheet ? { path: `/api/people/${id}/facts`, version: sheet.seen_version, zone, reload: doc.reload } : null);
  useSheet(say('supply.trip'), sheet);
  return (
    <>
      <div class="sheet-acts scr">
        <a class="act" href={`/people/${id}/supplies`}>
          {say('supply.back')}
        </a>
        {sheet && <PrintButton of={doc} />}
        {sheet?.asked && <RecordButton action={sheet.asked} recorder={recorder} />}
      </div>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
      <Shown of={doc}>{(loaded) => <Page sheet={loaded} />}</Shown>
    </>
  );
}
