// A journal that another bench exported: only what is new enters, the same file twice changes nothing.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { postText, type Refused } from '../api';
import type { AskBack } from '../model';
import type { BroughtIn } from '../model';
import { RefusedSay } from '../parts/states';
import { useTitle } from '../parts/title';

type State =
  | { kind: 'none' | 'reading' | 'unreached' }
  | { kind: 'ask'; ask: AskBack['ask']; file: File }
  | { kind: 'done'; brought: BroughtIn }
  | { kind: 'refused'; refused: Refused };

export function BringInPage(): JSX.Element {
  const [state, setState] = useState<State>({ kind: 'none' });
  useTitle('Bring in a journal');
  const send = async (file: File, query = ''): Promise<void> => {
    setState({ kind: 'reading' });
    const reply = await postText<BroughtIn>(`/api/import${query}`, file, 'application/json');
    if (reply.kind === 'ok') setState({ kind: 'done', brought: reply.value });
    else if (reply.kind === 'unreached') setState({ kind: 'unreached' });
    else if (reply.kind === 'ask') setState({ kind: 'ask', ask: reply.ask, file });
    else setState({ kind: 'refused', refused: reply.refused });
  };
  return (
    <div class="apart">
      <h1 class="headline" tabIndex={-1}>
        Bring in a journal
      </h1>
      <p class="lead">
        A file that “Export this journal” wrote, here or at another clinic. Only what is new enters; the same file twice changes nothing.
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
        {state.kind === 'done' && (
          <div class="say note after">
            <p>
              <b class="lvl">{state.brought.fresh > 0 ? 'Recorded.' : 'Nothing new.'}</b>
              <a href={`/people/${state.brought.id}`}>{state.brought.name}</a>: <b>{state.brought.fresh}</b> of <b>{state.brought.facts}</b>{' '}
              entries were new.
            </p>
          </div>
        )}
        {state.kind === 'ask' && (
          <div class="say caution after">
            <p>
              <b class="lvl">Is it so?</b>
              {state.ask.what} {state.ask.do_this}
            </p>
            <p class="acts1">
              <button type="button" class="act" onClick={() => void send(state.file, '?confirmed=yes')}>
                Yes, let it in
              </button>
            </p>
          </div>
        )}
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
