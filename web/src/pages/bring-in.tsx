// A journal that another bench exported: nothing enters before both names were seen side by side and the preview accepted (H19, H22).
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { postText, type Refused } from '../api';
import type { JournalPreview, NamedPerson } from '../model';
import { Notices } from '../parts/notice';
import { RefusedSay } from '../parts/states';
import { Say, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { say } from '../words';

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
    <td colSpan={3}>{say('import.not_here')}</td>
  );

const Both = ({ preview }: { preview: JournalPreview }): JSX.Element => (
  <div class="table-wrap" tabIndex={0} role="region" aria-label={say('import.whose')}>
    <table class="tab">
      <caption>{say('import.whose')}</caption>
      <thead>
        <tr>
          <th scope="col">{say('import.where')}</th>
          <th scope="col">{say('page.name_field')}</th>
          <th scope="col">{say('import.born')}</th>
          <th scope="col">{say('import.number')}</th>
        </tr>
      </thead>
      <tbody>
        <tr>
          <th scope="row">{say('import.in_file')}</th>
          <Cells person={preview.theirs} />
        </tr>
        <tr>
          <th scope="row">{say('import.here')}</th>
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
          <b class="lvl">{say(preview.fresh > 0 ? 'import.done' : 'import.nothing_new')}.</b>
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
        heads={[say('import.here_now'), say('import.with_file')]}
        rows={preview.changes.map(({ before, after }) => [before, after])}
      />
      <Pairs
        says={preview.asked_text}
        heads={[say('import.in_file'), say('outcome.check')]}
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
            {say('import.accept', { name: preview.name })}
          </button>
        </p>
      )}
    </div>
  );
}

export function BringInPage(): JSX.Element {
  const [state, setState] = useState<State>({ kind: 'none' });
  useTitle(say('people.import'));
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
        {say('people.import')}
      </h1>
      <p class="lead">{say('import.lead')}</p>
      <div class="field file">
        <label for="journal-file">{say('import.file')}</label>
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
        {state.kind === 'reading' && <p class="soft">{say('import.checking')}</p>}
        {state.kind === 'preview' && <Preview preview={state.preview} accept={() => void send(state.file, state.preview.digest)} />}
        {state.kind === 'refused' && <RefusedSay refused={state.refused} />}
        {state.kind === 'unreached' && (
          <Say level="stop" word={say('outcome.not_saved')}>
            {say('import.not_saved')}
          </Say>
        )}
      </div>
    </div>
  );
}
