// One press, one identity: made when the button goes down, kept through questions, conflicts, lost connections and retries,
// so that however often it is sent, it is recorded once (H07, H20, H21).
import { useCallback, useRef, useState } from 'preact/hooks';
import { post, type Refused, type Reply } from './api';
import { isoNow, nowMs } from './clock';
import { newId } from './facts/amount';
import type { AskBack, FactDraft, JournalRow, Recorded } from './model';

export interface Attempt {
  label: string;
  path: string;
  seen_version: number;
  facts: FactDraft[];
  confirmed: boolean;
  /** A refusal is shown in the form that sent it, not in a dialog over it. */
  inForm: boolean;
  /** What was typed, label and value, to show again beside what somebody else wrote. */
  wanted: [string, string][];
}

export type Outcome =
  | { kind: 'idle' }
  | { kind: 'sending'; attempt: Attempt }
  | { kind: 'recorded'; attempt: Attempt; recorded: Recorded }
  | { kind: 'ask'; attempt: Attempt; ask: AskBack['ask'] }
  | { kind: 'refused'; attempt: Attempt; refused: Refused }
  | { kind: 'conflict'; attempt: Attempt; refused: Refused; changed: JournalRow[] }
  | { kind: 'unreached'; attempt: Attempt };

export interface Subject {
  /** Where the facts go: "/api/people/{id}/facts". */
  path: string;
  version: number;
  zone: string;
  /** Loads the document again, after whatever happened. */
  reload: () => Promise<void>;
}

export interface Recorder {
  outcome: Outcome;
  busy: boolean;
  /** Whose today an hour alone is of. */
  zone: string;
  record: (label: string, drafts: FactDraft[], form?: { wanted: [string, string][] }) => Promise<Outcome>;
  /** The same facts again, with the same identities: after a question, a conflict, a lost connection. */
  again: (how: 'retry' | 'confirmed' | 'also mine') => Promise<Outcome>;
  close: () => void;
}

const settle_ms = 600; // the second half of a double click, or a finger that bounces, is not a second press

interface Gate {
  sending: boolean;
  freeAt: number;
}

const isShut = (gate: Gate): boolean => gate.sending || performance.now() < gate.freeAt;

const shutGates = new Set<object>();

/** `data-busy` on the document while a press would count for nothing: whoever drives the page by program waits for its end. */
function showGate(gate: { current: Gate }): void {
  if (isShut(gate.current)) shutGates.add(gate);
  else shutGates.delete(gate);
  document.documentElement.toggleAttribute('data-busy', shutGates.size > 0);
  const { sending, freeAt } = gate.current;
  if (!sending && isShut(gate.current)) window.setTimeout(() => showGate(gate), freeAt - performance.now() + 1);
}

/** Gives each draft its identity and time, unless a time was typed. What shares a second keeps its order by `sequence`. */
function withIdentity(draft: FactDraft, at: number, now: { iso: string; ms: number }): FactDraft {
  const timed = 'happened' in draft || 'happened_local' in draft;
  return { id: newId(), ...(timed ? {} : { happened: now.iso, sequence: now.ms + 1 + at }), ...draft };
}

function outcomeOf(attempt: Attempt, reply: Reply<Recorded>): Outcome {
  switch (reply.kind) {
    case 'ok':
      return { kind: 'recorded', attempt, recorded: reply.value };
    case 'ask':
      return { kind: 'ask', attempt, ask: reply.ask };
    case 'conflict':
      return { kind: 'conflict', attempt, refused: reply.refused, changed: reply.changed };
    case 'refused':
      return { kind: 'refused', attempt, refused: reply.refused };
    case 'unreached':
      return { kind: 'unreached', attempt };
  }
}

export function useRecorder(subject: Subject | null): Recorder {
  const [outcome, setOutcome] = useState<Outcome>({ kind: 'idle' });
  const [busy, setBusy] = useState(false);
  const gate = useRef<Gate>({ sending: false, freeAt: 0 });
  /** Sent without an answer: pressed again, the same facts go with the same identities. */
  const unsettled = useRef<{ key: string; attempt: Attempt } | null>(null);
  const subjectNow = useRef(subject);
  subjectNow.current = subject;

  const send = useCallback(async (attempt: Attempt): Promise<Outcome> => {
    gate.current.sending = true;
    showGate(gate);
    setBusy(true);
    setOutcome({ kind: 'sending', attempt });
    const { path, seen_version, facts, confirmed } = attempt;
    const reply = await post<Recorded>(path, { seen_version, facts, ...(confirmed ? { confirmed: true } : {}) });
    const next = outcomeOf(attempt, reply);
    if (next.kind !== 'unreached') unsettled.current = null;
    if (next.kind !== 'unreached') await subjectNow.current?.reload();
    gate.current = { sending: false, freeAt: performance.now() + settle_ms };
    showGate(gate);
    setBusy(false);
    setOutcome(next);
    return next;
  }, []);

  const record = useCallback(
    async (label: string, drafts: FactDraft[], form?: { wanted: [string, string][] }): Promise<Outcome> => {
      const to = subjectNow.current;
      if (!to || isShut(gate.current)) return { kind: 'idle' };
      const now = { iso: isoNow(to.zone), ms: Math.floor(nowMs() % 1000) };
      const key = JSON.stringify([to.path, drafts]);
      if (unsettled.current?.key === key) return send(unsettled.current.attempt);
      const facts = drafts.map((draft, at) => withIdentity(draft, at, now));
      const attempt: Attempt = {
        label,
        path: to.path,
        seen_version: to.version,
        facts,
        confirmed: false,
        inForm: form !== undefined,
        wanted: form?.wanted ?? [],
      };
      unsettled.current = { key, attempt };
      return send(attempt);
    },
    [send],
  );

  const again = useCallback(
    async (how: 'retry' | 'confirmed' | 'also mine'): Promise<Outcome> => {
      const to = subjectNow.current;
      if (!to || gate.current.sending || !('attempt' in outcome)) return { kind: 'idle' };
      const { attempt } = outcome;
      return send({
        ...attempt,
        confirmed: attempt.confirmed || how === 'confirmed',
        seen_version: how === 'also mine' ? to.version : attempt.seen_version,
      });
    },
    [send, outcome],
  );

  const close = useCallback((): void => setOutcome({ kind: 'idle' }), []);
  return { outcome, busy, zone: subject?.zone ?? '', record, again, close };
}
