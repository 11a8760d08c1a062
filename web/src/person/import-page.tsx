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
  | { kind: 'unreached'; file: File; accept: string; said: Said };

type Answer = '' | 'leave out' | 'bring in';
/** What is done with rows that are nearly on record (H56), and with unusual ones (H25). */
interface Said {
  near: Answer;
  odd: Answer;
}
const nothing_said: Said = { near: '', odd: '' };

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
          <b class="lvl">Nearly the same.</b>
          {preview.near_text}
        </p>
      </div>
      <div class="table-wrap" tabIndex={0} role="region" aria-label="Rows that are nearly the same as another">
        <table class="tab">
          <thead>
            <tr>
              <th scope="col">Line</th>
              <th scope="col">In the file</th>
              <th scope="col">The other one</th>
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

function OddRows({ preview }: { preview: DiaryPreview }): JSX.Element | null {
  if (preview.odd.length === 0) return null;
  return (
    <>
      <div class="say caution">
        <p>
          <b class="lvl">Unusual.</b>
          {preview.odd_text}
        </p>
      </div>
      <div class="table-wrap" tabIndex={0} role="region" aria-label="Unusual rows">
        <table class="tab">
          <thead>
            <tr>
              <th scope="col">Line</th>
              <th scope="col">When</th>
              <th scope="col">What</th>
              <th scope="col">Why it is asked</th>
            </tr>
          </thead>
          <tbody>
            {preview.odd.map(({ line, when_text, what, why }) => (
              <tr>
                <th scope="row">{line}</th>
                <td class="nb">{when_text}</td>
                <td>{what}</td>
                <td>{why}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

type Button = (label: string, kind: string, press: () => void) => JSX.Element;

/** One question at a time: the unusual rows, then those that are nearly the same as another. */
function Accept({
  preview,
  accept,
  button,
  name,
}: {
  preview: DiaryPreview;
  accept: (said: Said) => void;
  button: Button;
  name: string;
}): JSX.Element {
  const [odd, setOdd] = useState<Answer>('');
  if (preview.odd.length > 0 && odd === '') {
    const then = (answer: Answer): void => {
      if (preview.near.length === 0) accept({ near: '', odd: answer });
      else setOdd(answer);
    };
    return (
      <>
        <OddRows preview={preview} />
        <p class="btns">
          {button('Not right: leave the unusual rows out', 'act first', () => then('leave out'))}
          {button('Right as they stand: record them, too', 'act', () => then('bring in'))}
        </p>
      </>
    );
  }
  if (preview.near.length === 0) return <p class="btns">{button(`Record it for ${name}`, 'act first', () => accept({ near: '', odd }))}</p>;
  return (
    <>
      <NearRows preview={preview} />
      <p class="btns">
        {button('The same: leave these rows out, record the others', 'act first', () => accept({ near: 'leave out', odd }))}
        {button('Different injections: record all', 'act', () => accept({ near: 'bring in', odd }))}
      </p>
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
  accept: (said: Said) => void;
  busy: boolean;
  name: string;
}): JSX.Element {
  const button: Button = (label, kind, press) => (
    <button type="button" class={kind} onClick={press} aria-disabled={busy}>
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
      {!preview.accepted && <Sample preview={preview} />}
      {preview.can_accept && !preview.accepted && (
        <Accept key={preview.digest} preview={preview} accept={accept} button={button} name={name} />
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
  const send = async (file: File, accept: string, said: Said = nothing_said): Promise<void> => {
    const mine = ++turn.current;
    setBusy(true);
    if (accept === '') setState({ kind: 'reading', file });
    const query = new URLSearchParams({ file: file.name });
    for (const [key, value] of Object.entries({ accept, ...said })) if (value !== '') query.set(key, value);
    const reply = await postText<DiaryPreview>(`/api/people/${person.id}/diary?${query}`, file, 'text/csv');
    if (mine !== turn.current) return;
    setBusy(false);
    if (reply.kind === 'ok') {
      setState({ kind: 'preview', file, preview: reply.value });
      if (reply.value.accepted) await doc.reload();
    } else if (reply.kind === 'unreached') setState({ kind: 'unreached', file, accept, said });
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
            accept={(said) => {
              if (!busy) void send(state.file, state.preview.digest, said);
            }}
          />
        )}
        {state.kind === 'refused' && <RefusedSay refused={state.refused} />}
        {state.kind === 'unreached' && <NotSaved again={() => void send(state.file, state.accept, state.said)} />}
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
  <PersonFrame id={id} tab="tab.import" title="import">
    {(inside) => <Importer {...inside} />}
  </PersonFrame>
);
