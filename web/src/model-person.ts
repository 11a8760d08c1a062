// The answers about what has to be known first of somebody and what stays at home on paper: a part of model.ts, which hands them on.
import type { Choice, FactDraft, Level, Low, NextCard, OnPaper, RecordAction, Rich, Svg, Versioned } from './model';

/** GET /api/people/{id}/assessment: what has to be known first, besides the background. */
export interface Assessment extends Versioned {
  known: { label: string; value: string; known: boolean; level?: Level; level_word?: string }[];
  /** What is at home for a severe low, as its fact stands, for the form that notes it anew; empty where nobody noted it. */
  rescue_fact: Record<string, unknown>;
  contacts: ContactRow[]; // to be phoned, in the order of their roles
  nobody_text: string; // of whom everybody has one and none is on record; empty: all are
  calls: { when_text: string; what: Rich; text: string }[]; // agreed first, then newest first
  cards: { label: string; href: string }[]; // the dial card of now, then from each day on which a version begins
}
export interface ContactRow {
  id: string;
  role: string;
  name: string;
  phones: string[];
  text: string;
  since_text: string;
  fact: Record<string, unknown>; // as it stands, for the form that changes it
  drop: RecordAction; // not to be phoned any more
}

/** Paper that follows the order. */
export interface OrderOnPaper extends OnPaper {
  order_text: string; // the newest version, its day and its prescriber
}

/** What ends with a hypo and whom to phone. */
export interface WithPhones extends OrderOnPaper {
  low: Low;
  phones: { who: string; phone: string }[];
}

/** GET /api/people/{id}/dial-card?from=YYYY-MM-DD: the whole order in large print, of now or from the first day of a version to come, until it changes; a Refusal while a question is open or the order unchecked. */
export interface DialCard extends WithPhones {
  valid_text: Rich; // until when
  lines: {
    mark: Svg;
    purpose: string;
    insulin: string;
    pen: string;
    doses: {
      hour: string;
      when: string;
      dose_text: string;
      window_text: string;
      divided: string;
      in_already: string; // today's went in before its hour; empty: it did not
      tables: NonNullable<NextCard['window_table']>[];
    }[]; // tables: where the window counts on, one for each injection
    notes: Rich[]; // prime, hold, how long it serves, sick days
  }[];
  every: Rich[]; // of several insulins, the notes that all of them have
  sections: { title: string; text: Rich }[]; // a forgotten dose, nothing comes out, storage
}

/** GET /api/people/{id}/visit-sheet: what somebody takes home from the visit of now or the last one; no dose stands on it. */
export interface VisitSheet extends WithPhones {
  valid_text: Rich;
  done: Rich[];
  news: Rich[]; // the order, where not to inject
  dose: Rich; // where it stands, or that they phone first
  ask_first: boolean;
  next: Rich[];
  forgot: { title: string; text: Rich };
}

/** GET /api/people/{id}/log-sheet: four weeks of empty rows by the order's times. */
export interface LogSheet extends OrderOnPaper {
  lead: string;
  columns: { hour: string; insulin: string }[];
  days: { day: string; due: boolean[] }[]; // in the order of the columns: whether the order has a dose there
}

/** GET /api/people/{id}/visit */
export interface Visit extends Versioned {
  since_title: string; // "Since the last visit", or how many days are compared
  last_text: string;
  has_sheet: boolean; // something was recorded that goes home on paper
  since: { word: string; text: Rich }[]; // "Worse", "Better", "The same", "New"
  began_text: string;
  /** What to feel, to watch and to ask: the first choice is the rule's, the others are there to be chosen instead. */
  todo: { label: string; rule: string; choices: { text: Rich; href: string }[] }[];
  note_text: string;
  note: { label: string; text: Rich; source: string }[];
  next: {
    day: string; // "2027-03-17"
    meeting: string;
    why: string;
    why_text: string;
    meetings: Choice[];
    days: { value: string; label: string; closed: boolean; agreed: string }[];
  };
  /** What closing records: the visit, and that they came. The front end adds what is typed to the first. */
  close: FactDraft[];
}
