// A diary comes home: the whole file is checked, nothing enters before its preview is accepted, each bad line is named (H22).
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { postText, type Refused } from '../api';
import { useForms } from '../facts/forms';
import type { DiaryPreview } from '../model';
import { Notices } from '../parts/notice';
import { RefusedSay, Shown } from '../parts/states';
import { Words } from '../parts/text';
import { PersonFrame, type InFrame } from './frame';

type State =
  | { kind: 'none' }
  | { kind: 'reading'; file: File }
  | { kind: 'preview'; file: File; preview: DiaryPreview }
  | { kind: 'refused'; file: File; refused: Refused }
  | { kind: 'unreached'; file: File; accept: string; near: Near };

/** What is done with rows that are nearly on record (H56). */
type Near = '' | 'leave out' | 'bring in';

function BadLines({ preview }: { preview: DiaryPreview }): JSX.Element | null {
  if (preview.bad.length === 0) return null;
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label="Lines that cannot be read">
      <table class="tab">
        <thead>
          <tr>
            <th scope="col">Line</th>
            <th scope="col">What is wrong</th>
            <th scope="col">Do this</th>
          </tr>
        </thead>
        <tbody>
          {preview.bad.map(({ line, what, do_this }) => (
            <tr>
              <th scope="row">{line}</th>
              <td>{what}</td>
              <td>{do_this}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {preview.more_bad && <p class="small soft">{preview.more_bad}</p>}
    </div>
  );
}

function Sample({ preview }: { preview: DiaryPreview }): JSX.Element | null {
  if (preview.sample.length === 0) return null;
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label="The first lines as they were read">
      <table class="tab">
        <caption>As it was read</caption>
        <thead>
          <tr>
            <th scope="col">Line</th>
            <th scope="col">When</th>
            <th scope="col">What</th>
          </tr>
        </thead>
        <tbody>
          {preview.sample.map(({ line, when_text, what }) => (
            <tr>
              <th scope="row">{line}</th>
              <td class="nb">{when_text}</td>
              <td>{what}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** The same injections by two clocks, or different ones: nobody but a person can say. */
function NearRows({ preview }: { preview: DiaryPreview }): JSX.Element | null {
  if (preview.near.length === 0) return null;
  return (
    <>
      <div class="say caution">
        <p>
          <b class="lvl">Nearly on record.</b>
          {preview.near_text}
        </p>
      </div>
      <div class="table-wrap" tabIndex={0} role="region" aria-label="Rows that are nearly on record">
        <table class="tab">
          <thead>
            <tr>
              <th scope="col">Line</th>
              <th scope="col">In the file</th>
              <th scope="col">On record</th>
              <th scope="col">What</th>
            </tr>
          </thead>
          <tbody>
            {preview.near.map(({ line, when_text, held_text, what }) => (
              <tr key={line}>
                <th scope="row">{line}</th>
                <td class="nb">{when_text}</td>
                <td class="nb">{held_text}</td>
                <td>{what}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

function Preview({
  preview,
  accept,
  busy,
  name,
}: {
  preview: DiaryPreview;
  accept: (near: Near) => void;
  busy: boolean;
  name: string;
}): JSX.Element {
  const button = (label: string, near: Near, kind: string): JSX.Element => (
    <button type="button" class={kind} onClick={() => accept(near)} aria-disabled={busy}>
      {label}
    </button>
  );
  return (
    <div class="preview">
      {preview.accepted ? (
        <div class="say note" role="status">
          <p>
            <b class="lvl">Recorded.</b>
            <Words text={preview.summary} />
          </p>
        </div>
      ) : (
        <p class="lead">
          <Words text={preview.summary} />
        </p>
      )}
      <Notices notices={preview.notices} />
      <BadLines preview={preview} />
      <NearRows preview={preview} />
      {!preview.accepted && <Sample preview={preview} />}
      {preview.can_accept && !preview.accepted && (
        <p class="btns">
          {preview.near.length === 0 ? (
            button(`Record it for ${name}`, '', 'act first')
          ) : (
            <>
              {button('The same: leave these rows out, record the others', 'leave out', 'act first')}
              {button('Different injections: record all', 'bring in', 'act')}
            </>
          )}
        </p>
      )}
      {!preview.can_accept && !preview.accepted && preview.bad.length > 0 && (
        <div class="say stop">
          <p>
            <b class="lvl">Refused.</b>Nothing was changed. Put the lines right in the file and choose it again.
          </p>
        </div>
      )}
    </div>
  );
}

const NotSaved = ({ again }: { again: () => void }): JSX.Element => (
  <div class="refusal">
    <div class="say stop">
      <p>
        <b class="lvl">Not saved.</b>Penstock did not answer. Sent again, no line is written twice.
      </p>
    </div>
    <p>
      <button type="button" class="act" onClick={again}>
        Try again
      </button>
    </p>
  </div>
);

function DiaryWords(): JSX.Element {
  return <Shown of={useForms()}>{({ diary_words }) => <>{diary_words.join(', ')}</>}</Shown>;
}

function Importer({ person, doc }: InFrame): JSX.Element {
  const [state, setState] = useState<State>({ kind: 'none' });
  const [busy, setBusy] = useState(false);
  const turn = useRef(0);
  const send = async (file: File, accept: string, near: Near = ''): Promise<void> => {
    const mine = ++turn.current;
    setBusy(true);
    if (accept === '') setState({ kind: 'reading', file });
    const query = new URLSearchParams({ file: file.name, ...(accept === '' ? {} : { accept }), ...(near === '' ? {} : { near }) });
    const reply = await postText<DiaryPreview>(`/api/people/${person.id}/diary?${query}`, file, 'text/csv');
    if (mine !== turn.current) return;
    setBusy(false);
    if (reply.kind === 'ok') {
      setState({ kind: 'preview', file, preview: reply.value });
      if (reply.value.accepted) await doc.reload();
    } else if (reply.kind === 'unreached') setState({ kind: 'unreached', file, accept, near });
    else if (reply.kind !== 'ask') setState({ kind: 'refused', file, refused: reply.refused });
  };
  return (
    <section class="sec import">
      <header>
        <h2>Import a diary</h2>
        <p>CSV: time, what, units, cartridge, zone, spot, note</p>
      </header>
      <p>
        What a line can be: <DiaryWords />. The place as “thigh left” or “left thigh”, the time as 2027-03-16 22:00, the columns’ names in
        the first line.
      </p>
      <p class="lead">Nothing is recorded until you have seen what the file says and accepted it. The same file twice changes nothing.</p>
      <div class="field file">
        <label for="diary">Diary of {person.who.name}, a CSV file</label>
        <input
          id="diary"
          type="file"
          accept=".csv,text/csv"
          onChange={(event) => {
            const file = event.currentTarget.files?.[0];
            if (file) void send(file, '');
          }}
        />
      </div>
      <div aria-live="polite">
        {state.kind === 'reading' && <p class="soft">Reading {state.file.name}…</p>}
        {state.kind === 'preview' && (
          <Preview
            preview={state.preview}
            busy={busy}
            name={person.who.name}
            accept={(near) => {
              if (!busy) void send(state.file, state.preview.digest, near);
            }}
          />
        )}
        {state.kind === 'refused' && <RefusedSay refused={state.refused} />}
        {state.kind === 'unreached' && <NotSaved again={() => void send(state.file, state.accept, state.near)} />}
      </div>
      <p class="after">
        <a href={`/api/people/${person.id}/diary.csv`} download>
          Export the diary of {person.who.name}
        </a>
      </p>
    </section>
  );
}

export const ImportPage = ({ id }: { id: string }): JSX.Element => (
  <PersonFrame id={id} tab="Import" title="import">
    {(inside) => <Importer {...inside} />}
  </PersonFrame>
);
