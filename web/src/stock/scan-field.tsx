// The scanner types into this field and ends with Enter. The code is read and judged by the server; nothing is recorded by it.
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { post, type Refused } from '../api';
import type { Scanned } from '../model';
import { Notices } from '../parts/notice';
import { RefusedSay } from '../parts/states';
import { LevelMark } from '../parts/text';
import { TextField } from '../parts/fields';
import { say } from '../words';

/** What was read and what is said about it. */
function ScanAnswer({ scanned }: { scanned: Scanned }): JSX.Element {
  return (
    <div class="scanned" role="status">
      <p class="verdict">
        {scanned.level && <LevelMark level={scanned.level} word={scanned.level_word ?? scanned.level} />}
        <b>{scanned.verdict}</b>
      </p>
      <Notices notices={scanned.findings} />
      <dl class="lines">
        {scanned.read.map(({ label, value }) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <p class="small soft">{scanned.defer}</p>
    </div>
  );
}

/** `person`: for whom, so that the order is looked at, too. `take`: what the form does with it. */
export function ScanField({ person, take }: { person?: string; take: (scanned: Scanned) => void }): JSX.Element {
  const [text, setText] = useState('');
  const [scanned, setScanned] = useState<Scanned | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const [unreached, setUnreached] = useState(false);
  const turn = useRef(0);
  const read = async (): Promise<void> => {
    const mine = ++turn.current;
    const reply = await post<Scanned>('/api/stock/scan', { text, ...(person ? { person } : {}) });
    if (mine !== turn.current) return; // a second carton was scanned meanwhile
    setScanned(reply.kind === 'ok' ? reply.value : null);
    setRefused(reply.kind === 'refused' || reply.kind === 'conflict' ? reply.refused : null);
    setUnreached(reply.kind === 'unreached');
    if (reply.kind !== 'ok') return;
    setText('');
    take(reply.value);
  };
  return (
    <form
      class="scan scr"
      onSubmit={(event) => {
        event.preventDefault();
        void read();
      }}
    >
      <div class="scan-in">
        <TextField label={say('stock.scan')} name="scan" value={text} set={setText} hint={say('stock.scan_hint')} />
        <button type="submit" class="act">
          {say('stock.scan_read')}
        </button>
      </div>
      {refused && (
        <div role="alert" class="answer">
          <RefusedSay refused={refused} />
        </div>
      )}
      {unreached && <p role="alert">{say('stock.scan_unreached')}</p>}
      {scanned && <ScanAnswer scanned={scanned} />}
    </form>
  );
}
