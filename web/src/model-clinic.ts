// The answers that are about everybody, about the clinic's stock and the phone desk: a part of model.ts, which hands them on.
import type { Choice, Coded, Empty, FactDraft, Level, Notice, OverEverybody, RecordAction, Rich, Svg } from './model';

/** GET /api/today */
export interface Today extends OverEverybody {
  headline: Rich;
  sub: Rich;
  crowd: boolean; // so many people that it takes columns in the place of the drawings
  reason: string; // only the things of this reason; empty: everything
  whose: { label: string; href: string; chosen: boolean }[]; // mine or everybody's; empty: there is nothing to choose
  groups: { title: string; needs: Need[] }[];
  open_title: Rich;
  open: OpenReason[]; // of a crowd
  key: { level: Level; word: string }[];
  rule: string; // "A dose in question comes first."
  more: string; // what does not stand on this page of it, empty if nothing
  page: number;
  pages: number;
  empty?: Empty;
}
/** Everything that is open for one reason. */
export interface OpenReason {
  reason: string;
  href: string;
  things: string;
  passed: string; // of which the day has passed; empty: none
  oldest: string;
  whose: string; // "Marit 2, nobody 3"
}
/** One person, or a lot that was recalled. */
export interface Need {
  level: Level;
  level_word: string;
  name: string; // empty: a lot
  by: string; // "by 22:00", "Wed 17"
  sentence: Rich;
  also: Also[];
  picture: Svg;
  phone: Rich;
  last: Rich; // the last call or visit and what became of it
  whose: string;
  others: string; // that it stands among one's own though it is not; else empty
  /** Nobody follows it up: one press makes it the caller's. */
  take?: { journal: string; seen_version: number; fact: FactDraft };
  instead: Rich; // whom to phone where nobody answers
  action: { label: string; href: string; first: boolean };
  /** The other thing that is done from here: a call, or the glucose that a call asks for. */
  beside?: { label: string; href: string };
  dismiss?: Dismissal;
}
/** What else is open about the same person, in short. */
export interface Also {
  level: Level;
  level_word: string;
  text: Rich;
  href: string;
  dismiss?: Dismissal;
}
/** Dismissing needs a reason; a stop cannot be dismissed. */
export interface Dismissal {
  journal: string;
  seen_version: number;
  reminder: string;
  basis: string;
}

/** GET /api/month?days=30: who needs which supplies, and what they add up to, for the whole clinic. */
export interface MonthPage extends OverEverybody {
  title: string;
  lead: Rich;
  /** For programs: how far it looks ahead. */
  days: number;
  people: {
    id: string;
    name: string;
    born_text: string;
    number: string;
    phone_text: string;
    /** For programs, and the command line; the rows say it on the page. */
    by_text: string;
    rows: Rich[];
    level?: Level;
    level_word?: string;
  }[];
  more: string; // how many more there are than fit, empty if none
  /** `shelf`: on the clinic's shelf and still serving then; `order`: what is missing. Pieces; '' where the shelf does not know it. */
  sums: { name: string; boxes: string; pieces: string; shelf: string; order: string }[];
  note: string;
  unreadable: string;
  printed_text: string;
}

/** GET /api/stock: the clinic's own stock by lot, what went where, recalls, closed days. */
export interface StockPage extends OverEverybody {
  version: number; // of the clinic's journal
  lead: Rich;
  notices: Notice[]; // recalled or expired on the shelf, expires soon, counts that differ
  items: StockItem[];
  moves: { when_text: string; text: Rich; person?: { id: string; name: string }; take_back: RecordAction }[]; // the latest
  recalls: {
    /** For programs. */
    lot: string;
    href: string;
    title: string;
    text: Rich;
  }[];
  closed: Rich; // on which days nothing is handed out
  forms: StockForms;
  printed_text: string;
  empty?: Empty; // nothing has come yet
}
export interface StockItem {
  item: string;
  name: string;
  total: Rich;
  lots: StockLot[];
}
export interface StockLot {
  lot: string;
  lot_text: string; // '' where the carton bore none, and what is shown for it
  expires_text: string;
  left_text: string;
  held_text: string;
  count_text: string;
  state: string;
  level?: Level;
  level_word?: string;
}
export interface StockForms {
  items: Choice[];
  weekdays: Choice[];
  closed: { weekdays: string[]; dates: string[] };
  zone: string;
}
/** POST /api/stock/scan {text, person?}: the text of a carton's code; judged against the shelf, the stock and, with a person, the order. */
export interface Scanned {
  read: { label: string; value: string }[];
  verdict: string;
  level?: Level;
  level_word?: string;
  findings: Notice[];
  /** For the form; `pieces` '' and `item` '' where the product's number is not learnt yet. */
  draft: { item: string; pieces: string; lot: string; expires: string; gtin: string };
  defer: string;
}
/** GET /api/recalls/{lot}: whom a lot reached, what they have of it, what to say to them; to be printed and worked off. */
export interface RecallPage extends OverEverybody {
  version: number; // of the clinic's journal
  title: string;
  /** For programs. */
  lot: string;
  printed_text: string;
  first: Rich; // "Do not stop insulin. Replacement first."
  lead: Rich;
  /** A recall is open. */
  opened?: {
    /** For programs: the fact that opened it. */
    id: string;
    text: Rich;
  };
  open?: RecordAction; // opens it, where none is
  say: Rich[]; // what to say on the telephone, in this order
  people: RecallPerson[]; // who has some of it now first
  more: string;
  unknown: { lead: Rich; people: RecallPerson[]; more: string }; // have this insulin, no lot recorded
  shelf: Rich[]; // what of it stands on the clinic's own shelf
  cautions: Notice[];
}
export interface RecallPerson {
  id: string;
  name: string;
  born_text: string;
  number: string;
  phone: string; // empty: none
  phone_text: string;
  rows: Rich[]; // "insulin glargine, 100 units/mL: **2** sealed, **1** in a pen since 3 March (212 units injected, 88 left) ..."
  state: string;
  level?: Level;
  level_word?: string; // not called yet, not reached, reached, replaced
  calls: { when_text: string; text: string }[];
  actions: RecordAction[]; // while a recall is open: into the clinic's journal
}
/** GET /api/phone: what the form offers. POST /api/phone: PhoneAsk -> PhoneAnswer. */
export interface PhoneForm {
  pens: Coded[];
  insulins: { name: string; strength_units_per_ml: number; label: string }[];
}
/** With a person their record says it all: what is said beside it has to agree with it. Without one every question has to be answered. */
export interface PhoneAsk {
  person?: string;
  pen?: string;
  insulin?: string;
  strength_units_per_ml?: number;
  dose_units?: string;
  /** An unusual dose is entered a second time. */
  dose_again?: string;
  left_units?: string;
  days_in_use?: string;
  unopened?: string;
  prime?: 'not yet' | 'seen' | 'not seen';
  spent_units?: string;
  dry_primes?: string;
  new_needle?: boolean;
  /** Needles that stayed dry before the one that is on. */
  dry_needles?: string;
  /** '': not asked. */
  low_now?: '' | 'no' | 'yes';
  not_eating?: '' | 'no' | 'yes';
  drowsy?: '' | 'no' | 'yes';
  ketones?: '' | 'no' | 'yes' | 'not measured';
  /** Hours since the last dose of this insulin, 'never' or 'not known'. */
  last_dose?: string;
  /** Across time zones. */
  travelling?: '' | 'no' | 'yes';
  /** A dose that is not on record; of somebody who has one. */
  missed?: '' | 'no' | 'yes';
}
