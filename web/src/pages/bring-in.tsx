// A journal that another bench exported: nothing enters before both names were seen side by side and the preview accepted (H19, H22).
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { postText, type Refused } from '../api';
import type { JournalPreview, NamedPerson } from '../model';
import { Notices } from '../parts/notice';
import { RefusedSay } from '../parts/states';
import { Words } from '../parts/text';
import { useTitle } from '../parts/title';

type State =
  | { kind: 'none' | 'reading' | 'unreached' }
  | { kind: 'preview'; preview: JournalPreview; file: File }
  | { kind: 'refused'; refused: Refused };

const Cells = ({ person }: { person: NamedPerson | null }): JSX.Element =>
  person ? (
    <>
      <td>{person.name}</td>
      <td class="nb">{person.born_text}</td>
      <td class="nb">{person.number}</td>
    </>
  ) : (
    <td colSpan={3}>Nobody has this record yet</td>
  );

const Both = ({ preview }: { preview: JournalPreview }): JSX.Element => (
  <div class="table-wrap" tabIndex={0} role="region" aria-label="Whose record it is">
    <table class="tab">
      <caption>Whose record it is</caption>
      <thead>
        <tr>
          <th scope="col">Where</th>
          <th scope="col">Name</th>
          <th scope="col">Born</th>
          <th scope="col">Number</th>
        </tr>
      </thead>
      <tbody>
        <tr>
          <th scope="row">In the file</th>
          <Cells person={preview.theirs} />
        </tr>
        <tr>
          <th scope="row">Here</th>
          <Cells person={preview.here} />
        </tr>
      </tbody>
    </table>
  </div>
);

/** What the file would do, row by row; nothing where there is none. */
function Pairs({ says, heads, rows }: { says: string; heads: [string, string]; rows: [string, string][] }): JSX.Element | null {
  if (rows.length === 0) return null;
  return (
    <>
      <div class="say caution">
        <p>{says}</p>
      </div>
      <div class="table-wrap" tabIndex={0} role="region" aria-label={says}>
        <table class="tab">
          <thead>
            <tr>
              {heads.map((head) => (
                <th scope="col">{head}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(([one, other]) => (
              <tr>
                <td>{one}</td>
                <td>{other}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

function Preview({ preview, accept }: { preview: JournalPreview; accept: () => void }): JSX.Element {
  if (preview.accepted) {
    return (
      <div class="say note after">
        <p>
          <b class="lvl">{preview.fresh > 0 ? 'Recorded.' : 'Nothing new.'}</b>
          <Words text={preview.summary} /> <a href={`/people/${preview.id}`}>{preview.name}</a>
        </p>
      </div>
    );
  }
  return (
    <div class="preview">
      <p class="lead">
        <Words text={preview.summary} />
      </p>
      <Both preview={preview} />
      <Notices notices={preview.notices} />
      <Pairs
        says={preview.changes_text}
        heads={['Here now', 'With the file']}
        rows={preview.changes.map(({ before, after }) => [before, after])}
      />
      <Pairs
        says={preview.asked_text}
        heads={['In the file', 'What would be asked']}
        rows={preview.asked.map(({ entry, why }) => [entry, why])}
      />
      {preview.bad.map(({ what, do_this }) => (
        <div class="say stop">
          <p>
            {what} {do_this}
          </p>
        </div>
      ))}
      {preview.can_accept && (
        <p class="btns">
          <button type="button" class="act first" onClick={accept}>
            Let it in for {preview.name}
          </button>
        </p>
      )}
    </div>
  );
}

export function BringInPage(): JSX.Element {
  const [state, setState] = useState<State>({ kind: 'none' });
  useTitle('Bring in a journal');
  const send = async (file: File, accept = ''): Promise<void> => {
    setState({ kind: 'reading' });
    const query = new URLSearchParams({ file: file.name, ...(accept === '' ? {} : { accept }) });
    const reply = await postText<JournalPreview>(`/api/import?${query}`, file, 'application/json');
    if (reply.kind === 'ok') setState({ kind: 'preview', preview: reply.value, file });
    else if (reply.kind === 'unreached') setState({ kind: 'unreached' });
    else if (reply.kind !== 'ask') setState({ kind: 'refused', refused: reply.refused });
  };
  return (
    <div class="apart">
      <h1 class="headline" tabIndex={-1}>
        Bring in a journal
      </h1>
      <p class="lead">
        A file that “Export this journal” wrote, here or at another clinic. Nothing is recorded until you have seen whose it is and accepted
        it. Only what is new enters; the same file twice changes nothing. Its order lines wait for a check by hand.
      </p>
      <div class="field file">
        <label for="journal-file">Journal file</label>
        <input
          id="journal-file"
          type="file"
          accept=".json,application/json"
          onChange={(event) => {
            const file = event.currentTarget.files?.[0];
            if (file) void send(file);
          }}
        />
      </div>
      <div aria-live="polite">
        {state.kind === 'reading' && <p class="soft">Checking the whole file…</p>}
        {state.kind === 'preview' && <Preview preview={state.preview} accept={() => void send(state.file, state.preview.digest)} />}
        {state.kind === 'refused' && <RefusedSay refused={state.refused} />}
        {state.kind === 'unreached' && (
          <div class="say stop">
            <p>
              <b class="lvl">Not saved.</b>Penstock did not answer. Choose the file again; no entry is written twice.
            </p>
          </div>
        )}
      </div>
    </div>
  );
}
