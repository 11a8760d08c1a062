// Printing what the server says now, never what a page has held (H28): it is asked once more at the press, and what the browser's own menu prints from
// a page that was not looked at for a while is one line instead.
import type { JSX } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { ageFromNow } from '../clock';
import type { Doc } from '../document';
import { say } from '../words';

const fresh_ms = 60_000;

/** The printed page is one line while this is set (look/print.css). */
const printedOld = (text: string | null): void => {
  if (text === null) delete document.body.dataset['printedOld'];
  else document.body.dataset['printedOld'] = text;
};

/** What the answer changed is on the page, and set to fit it. */
async function drawn(): Promise<void> {
  for (let frame = 0; frame < 2; ++frame) {
    await new Promise(requestAnimationFrame);
    await document.fonts.ready;
  }
}

export function PrintButton<T>({ of, label = say('supply.print') }: { of: Doc<T>; label?: string }): JSX.Element {
  const [asking, setAsking] = useState(false);
  useEffect(() => {
    const before = (): void => {
      if (of.age() <= fresh_ms) return;
      printedOld(say('page.printed_old', { button: label }));
      void of.reload();
    };
    const after = (): void => printedOld(null);
    addEventListener('beforeprint', before);
    addEventListener('afterprint', after);
    return () => {
      removeEventListener('beforeprint', before);
      removeEventListener('afterprint', after);
      after();
    };
  }, [of.reload, of.age, label]);
  const ask = async (): Promise<void> => {
    const sincePress = ageFromNow();
    setAsking(true);
    await of.reload();
    await drawn();
    setAsking(false);
    if (of.age() <= sincePress()) print(); // else it was refused, or nothing answered, and the page says so
  };
  return (
    <button type="button" class="act first" disabled={asking} onClick={() => void ask()}>
      {label}
    </button>
  );
}
