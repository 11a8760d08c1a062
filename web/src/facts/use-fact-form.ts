// What every form about a person does with its facts: send, keep what was typed until it is recorded, then go back to the plan.
import { useEffect, useState } from 'preact/hooks';
import type { Refused } from '../api';
import type { FactDraft } from '../model';
import { sayOnArrival } from '../parts/outcome';
import { fieldOf, type Typed, type Values } from '../parts/form';
import type { Recorder } from '../recorder';
import { go } from '../router';

export interface FactForm {
  refused: Refused | null;
  /** What is wrong, by the field's name. */
  wrong: Record<string, string>;
  send: (label: string, drafts: FactDraft[], wanted: [string, string][]) => Promise<void>;
  complain: (wrong: Record<string, string>) => void;
}

/** `back`: where to go once it is recorded, or what to do on the page that stays. `labels`: whose outcomes these are, where a page has other buttons. */
export function useFactForm<V extends Values>(
  recorder: Recorder,
  typed: Typed<V>,
  back: string | (() => void),
  labels?: string[],
): FactForm {
  const [wrong, setWrong] = useState<Record<string, string>>({});
  const { outcome } = recorder;
  const mine = 'attempt' in outcome && outcome.attempt.inForm && (labels === undefined || labels.includes(outcome.attempt.label));
  const refused = mine && outcome.kind === 'refused' ? outcome.refused : null;
  const at = fieldOf(refused);
  useEffect(() => {
    if (outcome.kind !== 'recorded' || !mine) return;
    typed.settled(); // at once, or after a question, a conflict or a retry: nothing typed is owed any more
    if (typeof back !== 'string') return back();
    sayOnArrival(outcome);
    go(back);
  }, [outcome]);
  // A long form says what is wrong where it is, and goes there.
  useEffect(() => {
    if (Object.keys(wrong).length === 0) return;
    document.querySelector<HTMLElement>('.form .wrong :is(input,select,textarea)')?.focus();
  }, [wrong]);
  return {
    refused,
    wrong: refused && at !== '' ? { ...wrong, [at]: refused.what } : wrong,
    complain: setWrong,
    send: async (label, drafts, wanted) => {
      setWrong({});
      await recorder.record(label, drafts, { wanted });
    },
  };
}
