// A diary comes home: the whole file is checked, nothing enters before its preview is accepted, each bad line is named (H22).
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { postText, type Refused } from '../api';
import { useForms } from '../facts/forms';
import type { DiaryPreview } from '../model';
import { Notices } from '../parts/notice';
import { RefusedSay, Shown } from '../parts/states';
import { Say, Words } from '../parts/text';
import { PersonFrame, type InFrame } from './frame';
import { Said, say } from '../words';

const columns = ['time', 'what', 'units', 'cartridge', 'zone', 'spot', 'note']; // as the file names them

type State =
  | { kind: 'none' }
  | { kind: 'reading'; file: File }
  | { kind: 'preview'; file: File; preview: DiaryPreview }
  | { kind: 'refused'; file: File; refused: Refused }
  | { kind: 'unreached'; file: File; accept: string; said: Sorted };

const leave_out = 'leave out'; // tidy-allow(page-words): the call's own word
const bring_in = 'bring in'; // tidy-allow(page-words): the call's own word
type Answer = '' | typeof leave_out | typeof bring_in;
/** What is done with rows that are nearly on record (H56), and with unusual ones (H25). */
interface Sorted {
  near: Answer;
  odd: Answer;
}
const nothing_said: Sorted = { near: '', odd: '' };

function BadLines({ preview }: { preview: DiaryPreview }): JSX.Element | null {
  if (preview.bad.length === 0) return null;
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label={say('diary.bad')}>
      <table class="tab">
        <thead>
          <tr>
            <th scope="col">{say('diary.line')}</th>
            <th scope="col">{say('diary.error')}</th>
            <th scope="col">{say('page.do_this')}</th>
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
    <div class="table-wrap" tabIndex={0} role="region" aria-label={say('diary.sample')}>
      <table class="tab">
        <caption>{say('diary.sample')}</caption>
        <thead>
          <tr>
            <th scope="col">{say('diary.line')}</th>
            <th scope="col">{say('form.when')}</th>
            <th scope="col">{say('diary.entry')}</th>
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
      <Say level="caution" word={say('diary.near_word')}>
        {preview.near_text}
      </Say>
      <div class="table-wrap" tabIndex={0} role="region" aria-label={say('diary.near')}>
        <table class="tab">
          <thead>
            <tr>
              <th scope="col">{say('diary.line')}</th>
              <th scope="col">{say('import.in_file')}</th>
              <th scope="col">{say('diary.other')}</th>
              <th scope="col">{say('diary.entry')}</th>
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
      <Say level="caution" word={say('outcome.unusual')}>
        {preview.odd_text}
      </Say>
      <div class="table-wrap" tabIndex={0} role="region" aria-label={say('diary.odd')}>
        <table class="tab">
          <thead>
            <tr>
              <th scope="col">{say('diary.line')}</th>
              <th scope="col">{say('form.when')}</th>
              <th scope="col">{say('diary.entry')}</th>
              <th scope="col">{say('page.reason')}</th>
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

type Button = (label: string, rank: 'first' | 'second', press: () => void) => JSX.Element;

/** One question at a time: the unusual rows, then those that are nearly the same as another. */
function Accept({
  preview,
  accept,
  button,
  name,
}: {
  preview: DiaryPreview;
  accept: (said: Sorted) => void;
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
          {button(say('diary.odd_out'), 'first', () => then(leave_out))}
          {button(say('diary.odd_in'), 'second', () => then(bring_in))}
        </p>
      </>
    );
  }
  if (preview.near.length === 0)
    return <p class="btns">{button(say('diary.accept', { name }), 'first', () => accept({ near: '', odd }))}</p>;
  return (
    <>
      <NearRows preview={preview} />
      <p class="btns">
        {button(say('diary.near_out'), 'first', () => accept({ near: leave_out, odd }))}
        {button(say('diary.near_in'), 'second', () => accept({ near: bring_in, odd }))}
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
  accept: (said: Sorted) => void;
  busy: boolean;
  name: string;
}): JSX.Element {
  const button: Button = (label, rank, press) => (
    <button type="button" class={rank === 'first' ? 'act first' : 'act'} onClick={press} aria-disabled={busy}>
      {label}
    </button>
  );
  return (
    <div class="preview">
      {preview.accepted ? (
        <div class="say note" role="status">
          <p>
            <b class="lvl">{say('import.done')}.</b>
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
        <Say level="stop" word={say('page.refused')}>
          {say('diary.refused')}
        </Say>
      )}
    </div>
  );
}

const NotSaved = ({ again }: { again: () => void }): JSX.Element => (
  <div class="refusal">
    <Say level="stop" word={say('outcome.not_saved')}>
      {say('diary.not_saved')}
    </Say>
    <p>
      <button type="button" class="act" onClick={again}>
        {say('form.retry')}
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
  const send = async (file: File, accept: string, said: Sorted = nothing_said): Promise<void> => {
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
        <h2>{say('diary.title')}</h2>
        <p>{say('diary.columns', { columns: columns.join(', ') })}</p>
      </header>
      <p>
        <Said of="diary.how" words={<DiaryWords />} time="2027-03-16 22:00" />
      </p>
      <p class="lead">{say('diary.lead')}</p>
      <div class="field file">
        <label for="diary">{say('diary.file', { name: person.who.name })}</label>
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
        {state.kind === 'reading' && <p class="soft">{say('diary.reading', { file: state.file.name })}</p>}
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
          {say('diary.export', { name: person.who.name })}
        </a>
      </p>
    </section>
  );
}

export const ImportPage = ({ id }: { id: string }): JSX.Element => (
  <PersonFrame id={id} tab="tab.import" title={say('diary.title')}>
    {(inside) => <Importer {...inside} />}
  </PersonFrame>
);
