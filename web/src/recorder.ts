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
  /** A press that counted for nothing: it is said, never dropped without a word. */
  unheard: Unheard | null;
  /** Whose today an hour alone is of. */
  zone: string;
  /** A press on a button of its own, which may be the second half of a double click on whatever stood there before. */
  press: (event: MouseEvent, label: string, drafts: FactDraft[]) => Promise<Outcome>;
  record: (label: string, drafts: FactDraft[], form?: { wanted: [string, string][] }) => Promise<Outcome>;
  /** The same facts again, with the same identities: after a question, a conflict, a lost connection. */
  again: (how: 'retry' | 'confirmed' | 'also mine') => Promise<Outcome>;
  close: () => void;
}

/** `double`: the second half of a double click. `busy`: another entry was on its way to the record. */
export interface Unheard {
  why: 'double' | 'busy';
  label: string;
}

const settle_ms = 600; // the second half of a double click, or a finger that bounces, is not a second press

/** The same act is shut out while it is sent and a moment longer; another one only while that is sent. */
interface Gate {
  sending: boolean;
  freeAt: number;
  key: string;
  /** Of a form: what was typed into it may be gone by the second half of a double click, and the form is still the same. */
  form: string;
}

const open_gate: Gate = { sending: false, freeAt: 0, key: '', form: '' };

const isShut = (gate: Gate): boolean => gate.sending || performance.now() < gate.freeAt;

function unheardAt(gate: Gate, key: string, form: string): Unheard['why'] | null {
  if (!isShut(gate)) return null;
  if (key === gate.key || (form !== '' && form === gate.form)) return 'double';
  return gate.sending ? 'busy' : null;
}

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

function attemptOf(to: Subject, label: string, drafts: FactDraft[], form?: { wanted: [string, string][] }): Attempt {
  const now = { iso: isoNow(to.zone), ms: Math.floor(nowMs() % 1000) };
  return {
    label,
    path: to.path,
    seen_version: to.version,
    facts: drafts.map((draft, at) => withIdentity(draft, at, now)),
    confirmed: false,
    inForm: form !== undefined,
    wanted: form?.wanted ?? [],
  };
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

interface Doorkeeper {
  unheard: Unheard | null;
  isSending: () => boolean;
  /** False: this press counts for nothing, and that is said. */
  lets: (label: string, key: string, form: string) => boolean;
  refuse: (unheard: Unheard | null) => void;
  sending: (now: boolean) => void;
}

/** Which presses count. */
function useGate(): Doorkeeper {
  const [unheard, refuse] = useState<Unheard | null>(null);
  const gate = useRef<Gate>(open_gate);
  const lets = useCallback((label: string, key: string, form: string): boolean => {
    const why = unheardAt(gate.current, key, form);
    refuse(why && { why, label });
    if (why === null) gate.current = { ...gate.current, key, form };
    return why === null;
  }, []);
  const sending = useCallback((now: boolean): void => {
    gate.current = { ...gate.current, sending: now, freeAt: now ? gate.current.freeAt : performance.now() + settle_ms };
    showGate(gate);
  }, []);
  const isSending = useCallback((): boolean => gate.current.sending, []);
  return { unheard, isSending, lets, refuse, sending };
}

export function useRecorder(subject: Subject | null): Recorder {
  const [outcome, setOutcome] = useState<Outcome>({ kind: 'idle' });
  const [busy, setBusy] = useState(false);
  const gate = useGate();
  /** Sent without an answer: pressed again, the same facts go with the same identities. */
  const unsettled = useRef<{ key: string; attempt: Attempt } | null>(null);
  const subjectNow = useRef(subject);
  subjectNow.current = subject;

  const send = useCallback(async (attempt: Attempt): Promise<Outcome> => {
    gate.sending(true);
    setBusy(true);
    setOutcome({ kind: 'sending', attempt });
    const { path, seen_version, facts, confirmed } = attempt;
    const reply = await post<Recorded>(path, { seen_version, facts, ...(confirmed ? { confirmed: true } : {}) });
    const next = outcomeOf(attempt, reply);
    if (next.kind !== 'unreached') unsettled.current = null;
    if (next.kind !== 'unreached') await subjectNow.current?.reload();
    gate.sending(false);
    setBusy(false);
    setOutcome(next);
    return next;
  }, []);

  const record = useCallback(
    async (label: string, drafts: FactDraft[], form?: { wanted: [string, string][] }): Promise<Outcome> => {
      const to = subjectNow.current;
      if (!to) return { kind: 'idle' };
      const key = JSON.stringify([to.path, drafts]);
      if (!gate.lets(label, key, form ? label : '')) return { kind: 'idle' };
      if (unsettled.current?.key === key) return send(unsettled.current.attempt);
      const attempt = attemptOf(to, label, drafts, form);
      unsettled.current = { key, attempt };
      return send(attempt);
    },
    [send],
  );

  const press = useCallback(
    async (event: MouseEvent, label: string, drafts: FactDraft[]): Promise<Outcome> => {
      if (event.detail <= 1) return record(label, drafts);
      gate.refuse({ why: 'double', label });
      return { kind: 'idle' };
    },
    [record],
  );

  const again = useCallback(
    async (how: 'retry' | 'confirmed' | 'also mine'): Promise<Outcome> => {
      const to = subjectNow.current;
      if (!to || gate.isSending() || !('attempt' in outcome)) return { kind: 'idle' };
      const { attempt } = outcome;
      return send({
        ...attempt,
        confirmed: attempt.confirmed || how === 'confirmed',
        seen_version: how === 'also mine' ? to.version : attempt.seen_version,
      });
    },
    [send, outcome],
  );

  const close = useCallback((): void => {
    setOutcome({ kind: 'idle' });
    gate.refuse(null);
  }, []);
  return { outcome, busy, unheard: gate.unheard, zone: subject?.zone ?? '', press, record, again, close };
}
