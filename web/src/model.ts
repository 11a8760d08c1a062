// The page documents as the server sends them. The server writes every sentence, number and drawing; the front end places them and listens.
// The only list of what a document holds, beside its writer in src/edge/pages: tests/e2e/model.test.mjs holds the program's answers to these types,
// in both directions, and finds the fields that nobody reads.

import type { MonthPage, PhoneForm, RecallPage, Scanned, StockPage, Today } from './model-clinic';
import type { Assessment, DialCard, LogSheet, Visit, VisitSheet } from './model-person';

export type * from './model-clinic';
export type * from './model-person';

/** Text with bold runs: `["Noor is using a cartridge open for ", {b: "31 days"}]`. */
export type Rich = (string | { b: string })[];
/** SVG text, classes of look.css, its own text alternative inside; empty: no picture. */
export type Svg = string;
export type Level = 'note' | 'caution' | 'stop';

/** What a write names as `seen_version`: the journal's last position. */
export interface Versioned {
  version: number;
}
/** One page about a person for the printer. */
export interface OnPaper {
  who: Who;
  clinic: string;
  title: string;
  printed_text: string;
}

/** A page over everybody. */
export interface OverEverybody {
  /** Where a journal broke: who is missing on the page, by name, and what to do. */
  left_out?: string;
}

/** One of several to choose from: what goes back, and what people read. */
export interface Choice {
  value: string;
  label: string;
}
/** The same, of what is on the shelf. */
export interface Coded {
  code: string;
  label: string;
}

/** Every refusal, from every call, with HTTP status 4xx or 5xx. */
export interface Refusal {
  refused: { code: string; what: string; do_this: string; at: string };
}

/** A fact to post: kind and fields; the front end adds `id` (crypto.randomUUID) and `happened` (now, unless the person says otherwise). */
export interface FactDraft {
  what: string;
  [field: string]: unknown;
}

/** One press records it. With `fill`, the front end asks for the named fields first (label, kind, unit from here) and puts them into the first fact. */
export interface RecordAction {
  label: string;
  facts: FactDraft[];
  fill?: { field: string; label: string; kind: 'units' | 'text' | 'choice' | 'time'; choices?: Choice[]; of?: string }[]; // `of`: when the dose was due that is asked about
  /** A question to answer with yes before it is recorded (something odd: H25, H07). */
  confirm?: string;
}

/** GET /api/clinic. Not named yet: the first-start page. */
export interface Clinic {
  named: boolean;
  clinic: string;
  user: string;
  zone: string;
  phone: string;
  emergency: string;
  now: string; // ISO with offset
  now_text: string; // "Tuesday 16 March 2027, 14:10"
  /** For programs: of the clinic's journal, their seen_version. */
  version: number;
  zones: string[]; // names for the choice
  defer: string; // the foot of every page: who comes first
  program: string; // "Penstock 0.1.0"
  patterns: Svg; // <defs> that all drawings share, put once into the page
  emblem: Svg;
}

export interface Empty {
  title: string;
  text: Rich;
  picture: Svg;
  action?: { label: string; href: string };
}

/** GET /api/people?q=…&page=… */
export interface People extends OverEverybody {
  query: string;
  count_text: string;
  page: number;
  pages: number;
  people: PersonRow[];
  empty?: Empty;
}
export interface Alike {
  id: string;
  name: string;
  born_text: string;
  number: string;
}
export interface PersonRow {
  id: string;
  name: string;
  born_text: string;
  age_text: string;
  number: string;
  state: Rich;
  level?: Level;
  level_word?: string;
  /** Others with the same or nearly the same name: opening asks first, with birth dates and numbers side by side (H19). */
  alike: Alike[];
  alike_text: string;
}

/** GET /api/people/{id} */
export interface Person {
  id: string;
  version: number;
  who: Who;
  /** What is open and has no card of its own. */
  notices: OpenThing[];
  open_text: Rich; // "**3 things are open.** 1 before the next injection."
  /** What is open behind each part of the record: "/pens". */
  tabs: { part: string; count: number; level: Level; level_word: string }[];
  /** What would stand among them, had nobody dismissed it. */
  dismissed: { text: Rich; why: string; action: RecordAction }[];
  next: NextCard | null;
  /** Later doses today and tomorrow, a line each. */
  later: { time_text: string; mark: Svg; text: Rich }[];
  asks: AskCard[];
  /** Beside each card without a number. */
  phoning: Phoning;
  order: Order;
  pens: PenCard[];
  /** What the educator has to know first; `unknown` ones are named. */
  background: { label: string; value: string; known: boolean }[];
  /** The hypos of the last year on record, by level: beside what somebody says of severe ones. */
  hypos_text: string;
  /** The same as the last fact has it (fields of Background in facts.hpp), for the form that notes what has changed. */
  background_fact: Record<string, unknown>;
  /** Name, birth date, number and phone as a fact has them, for the form that changes them. */
  details_fact: Record<string, unknown>;
  /** Of each insulin that is ordered the last dose on record, and what the cartridge should still hold: "did I take it already?" */
  taken: Rich[];
  /** Until each insulin of the order has been injected once. */
  start: Start | null;
  /** For programs, and the command line: a sentence an insulin. The page has the supplies' own document. */
  supplies: Rich[];
  /** Choices for the page's forms: what fits what is worked out by the server (H42). */
  forms: Forms;
  low: Low;
}
export interface Who {
  name: string;
  born_text: string;
  age_text: string;
  number: string;
  phone: string;
  flags: Rich[]; // "low vision: **give steps in large print**"
  alike: Alike[];
  alike_text: string;
}
/** A new start: its steps, those that are recorded, and where the next one is. */
export interface Start {
  title: Rich;
  steps: { text: string; done: boolean }[];
  label: string;
  href: string;
}
export interface Notice {
  level: Level;
  level_word: string;
  text: Rich;
}
/** Something that is open about somebody, by when, and where it is put right; a clock that was set back is put right nowhere. */
export interface OpenThing extends Notice {
  by: string;
  action?: { label: string; href: string };
}
export interface Low {
  title: string;
  text: Rich;
}

/** One injection. `dial`: steps and a window. `refused`: what, why, what to do, no number; nothing due: why. next is null where another dose is asked about. */
export interface NextCard {
  state: 'dial' | 'refused';
  title: string; // "Next injection", or "12, not 22"
  /** Of this injection on this day; empty where nobody is chosen. */
  key: string;
  /** The order's line; empty where nobody is chosen. */
  line: string;
  time_text: string;
  in_text: string;
  mark: Svg;
  purpose: string;
  insulin: string;
  strength_text: string;
  dose_text: string;
  with_text: string;
  order_text: string; // "Order version 4, 2 March 2027, Dr …"
  part_text: string; // "12, not 22" while a rest is owed
  steps: Step[];
  cautions: Notice[];
  refusal?: {
    /** For programs. */
    code: string;
    what: string;
    do_this: Rich;
    insulin_today: Rich;
    /** A question: each button says what became of the dose, or what the scale shows; empty: nothing to say here. */
    answers: RecordAction[];
  };
  window_table?: {
    caption: string;
    head: [string, string];
    rows: {
      prime: string; // what the window shows when insulin is seen
      picture: Svg;
      window: Svg;
      /** For programs, and the command line: both numbers in words. */
      text: string;
      unit: string;
    }[];
  };
  after_text: Rich; // "**136 units** will be left"
  print: { href: string; label: string };
  defer: string;
}
export interface Step {
  key: string; // which step it is, as a fact says it: "taken", "prime", "hold"
  title: string;
  caption: string;
  picture: Svg;
  window: boolean; // the one step that holds the dose window
  beforehand: boolean; // before the number and not in every injection: it stands wherever the number does
  done: boolean; // the journal has it already
  done_text: string;
  records: RecordAction[]; // the buttons of this step; empty: a step that is only ticked on the screen
}
/** Where a call about a dose without a number is recorded, and whom to make it to: the prescriber, the person, as far as the record has their numbers. */
export interface Phoning {
  call: { label: string; href: string };
  phones: { who: string; phone: string }[];
}
/** Instead of a number while the prescriber is asked (H37), or while nobody said what became of a background dose (H57). */
export interface AskCard {
  time_text: string;
  mark: Svg;
  purpose: string;
  title: string;
  text: Rich;
  by_text: string;
  first: boolean;
  phone_text: string; // whom to phone, with numbers, and how to get insulin today (H38)
  answer_title: string;
  answer_legend: string;
  answer_button: string;
  answer: RecordAction[]; // keep the dose / new order follows / stop / other, or taken / not taken / nobody knows; empty: answered
}
export interface Order {
  version_text: string; // "Version 4, Dr Tomasz Adeyemi, Tuesday 2 March 2027"
  lines: OrderLine[];
  empty?: Empty;
}
export interface OrderLine {
  id: string;
  mark: Svg;
  purpose: string;
  insulin: string;
  strength_text: string;
  doses: Rich;
  dates: string;
  copied: string;
  checked: string; // by whom, where the days on which it holds were not read
  prescriber: string;
  state: 'current' | 'unchecked' | 'in question' | 'not yet' | 'ended' | 'replaced';
  state_text: string; // empty when simply current
  level?: Level;
  /** For programs: `state_text` says it on the page. */
  level_word?: string;
  /** As the last fact has it, for the form that changes its dose. */
  fact: FactDraft;
  /** Nobody has checked it yet, or not on which days it holds: the second check has a page of its own (H60). */
  to_check: boolean;
  actions: RecordAction[]; // end, signature seen, open a question
}
export interface PenCard {
  id: string;
  mark: Svg;
  insulin: string;
  strength_text: string;
  pen_name: string;
  window_text: string;
  cartridge?: {
    id: string;
    left_text: string;
    left_unit: string;
    barrel: Svg;
    pips: Svg;
    in_use: Rich;
    sums: Rich;
    after: Rich;
    lot_text: string;
  };
  empty?: Empty; // no cartridge in it
  sealed: { text: string; pictures: Svg[] };
  notices: Notice[];
  actions: RecordAction[]; // count the scale, throw away, window check, needle off, left the fridge, temperature …
}
export interface Forms {
  zone: string;
  /** `purpose`: what it is usually for. */
  insulins: { name: string; purpose: string; strengths: { units_per_ml: number; label: string }[] }[];
  /** Pens of the shelf that can carry an insulin of the order, with the label to show. */
  pens: { code: string; label: string; fits: string[] }[];
  /** For each pen of the person: cartridges of the shelf that fit it and hold its insulin (H42, H04). */
  loads: {
    pen: string;
    pen_label: string;
    choices: { cartridge: string; insulin_code: string; fits: string; label: string; content_units: number }[];
    none_text: string;
  }[];
  needles: Coded[];
  slots: Choice[];
  order_version_next: number;
}

/** POST /api/people/{id}/facts  {seen_version, facts:[{id, happened, what, …}]}  ->  Recorded; 409 with Refusal when somebody wrote in between. */
export interface Recorded {
  recorded: string[];
  /** For programs: what was there already, word for word. */
  known: string[];
  /** For programs: the journal's version now; the page loads its document again. */
  version: number;
  /** For programs: what the clinic is asked because of it, as hardened tissue that was found opens its question. */
  questions: string[];
}
export interface Registered extends Recorded {
  /** For programs, that leave it out of the request. */
  id: string;
}
/** The 409 of a post: also what others wrote since `seen_version`, newest first, so that both sides are shown (H20). */
export interface Conflict extends Refusal {
  changed?: JournalRow[];
}
/*
 * What the front end sends in a fact, beside the payload's own fields (src/core/facts):
 *  - `happened` (ISO with offset, taken when the button was pressed) or `happened_local` ("2027-03-16T18:30", no offset: the server
 *    resolves it in the person's zone); `told_by` where somebody else said so;
 *  - "pen given": `pen` (new id), `copy` (the pen's shelf code), insulin, strength_units_per_ml, serial;
 *  - "cartridge loaded": `cartridge` (new id), `pen`, `copy` (the insulin's shelf code), content_units, fits, units, new_cartridge, lot, expires;
 *  - "person registered": POST /api/people {id, facts}; "clinic named": POST /api/clinic {clinic, user, zone, phone, emergency};
 *  - "correction": target, reason, and `replacement` {what, happened or happened_local, fields} or none: void;
 *  - "shelf … added": entry {code, thing, sources}, POST /api/clinic/facts.
 * Amounts go as JSON numbers; text that is no plain decimal goes as typed, so that the server's refusal names it.
 */
/** A 422 with `ask` instead of `refused`: odd but possible; post again with `"confirmed": true` (H07, H25, H13). */
export interface AskBack {
  ask: {
    /** For programs. */
    code: string;
    what: string;
    do_this: string;
  };
}

/** GET /api/people/{id}/journal?page=… newest first */
export interface Journal extends Versioned {
  /** For programs: the page has it from the person’s own document. */
  who: Who;
  page: number;
  pages: number;
  count_text: string;
  rows: JournalRow[];
  chain_text: string;
}
export interface JournalRow {
  id: string;
  when_text: string;
  day_text: string;
  /** For programs: the kind of fact. */
  what: string;
  sentence: Rich;
  by_text: string;
  state: 'stands' | 'corrected' | 'voided' | 'waiting';
  state_text: string;
  fact: FactDraft; // as it stands, for the correction form
  can_correct: boolean;
}

/** GET /api/shelf */
export interface Shelf {
  version: number;
  groups: ShelfGroup[];
  fits: { title: string; text: string; columns: string[]; rows: { name: string; cells: boolean[] }[] };
  forms: {
    insulins: Coded[];
    pens: Coded[];
    windows: string[];
    presentations: string[];
    actions: string[];
    when_short: string[];
  };
}
export interface ShelfGroup {
  kind: 'insulin' | 'cartridge' | 'pen' | 'needle';
  title: string;
  entries: {
    code: string;
    name: string;
    mark: Svg;
    own: boolean;
    line: Rich;
    figures: { label: string; value: string; source: string; known: string }[];
  }[];
}

export interface PhoneAnswer {
  who: Who | null;
  /** What has to be asked before the number is said, and was not. */
  first: Rich[];
  card: NextCard;
  low: Low;
  read_back?: { say: Rich; hear: Rich; record: RecordAction };
}

/** POST /api/people/{id}/diary?file=NAME[&accept=DIGEST], body text/csv */
export interface DiaryPreview {
  /** For programs, as the three counts; the page says them in `summary`. */
  file: string;
  digest: string;
  accepted: boolean;
  /** For programs. */
  rows: number;
  /** For programs: rows that are not in the journal yet. */
  fresh: number;
  /** For programs: rows that are. */
  known: number;
  summary: Rich;
  bad: { line: number; what: string; do_this: string }[];
  more_bad: string;
  sample: { line: number; when_text: string; what: string }[];
  near_text: string;
  /** Rows that are nearly on record, or nearly another row of the file: they are asked about (H56). */
  near: { line: number; when_text: string; what: string; held_text: string }[];
  odd_text: string;
  /** Unusual rows: they are asked about, too (H25). */
  odd: { line: number; when_text: string; what: string; why: string }[];
  notices: Notice[];
  can_accept: boolean;
}

/** GET /api/people/{id}/steps?line=…&slot=…&day=YYYY-MM-DD  the large-print sheet for one injection on one day; a Refusal while a question is open. */
export interface Sheet {
  who: Who;
  clinic: string;
  title: string; // "Only for Tuesday 16 March 2027. Then throw this sheet away."
  hour: string;
  mark: Svg;
  purpose: string;
  insulin: string;
  dose_text: string;
  order_text: string;
  printed_text: string;
  steps: { n: string; title: string; text: Rich; picture: Svg; dose: boolean }[];
  window_table?: NextCard['window_table'];
  low: Low;
  last: Rich; // other doses of the day, whom to phone
}

/**
 * GET /api/people/{id}/places: the sections Places and Reach of the person's page, and all of the page "Skin and places".
 * Drawings carry the data attributes of src/edge/drawing/body/body.hpp; what they hold goes back as it came.
 */
export interface PlacesPage extends Versioned {
  id: string;
  /** For programs: the page has it from the person’s own document. */
  who: Who;
  places: Places;
  reach: ReachSection;
  /** After hardened tissue was left, each day: what they answered is recorded here (H36). */
  lows: { title: string; text: Rich; records: RecordAction[] } | null;
  areas: AreaRow[];
  areas_empty: string;
  examinations: {
    id: string;
    when_text: string;
    by_text: string;
    sentence: Rich;
    /** That its picture was erased; empty: it was not. */
    photo_text: string;
    photo?: { digest: string; href: string; alt: string };
  }[];
  /** Injections of the last four weeks, newest first: where they went, and a place to note where it really was. */
  injections: {
    id: string;
    when_text: string;
    text: Rich;
    place_text: string;
    zone: string;
    x_mm: string; // empty: not known
    /** For programs. */
    y_mm: string;
  }[];
  forms: PlaceForms;
  low: Low;
}
export interface Places {
  note: string; // "Last 28 days, 110 injections. Spots are 1 cm apart, 5 cm from the navel or more."
  lead: Rich; // "Her left belly took **68 of 110** injections. …"
  /** The plan's next places, numbered in their order: on the parts of the body, and in words. Empty: no plan. */
  coming: { pictures: { title: string; picture: Svg }[]; rows: { number: number; when: string; place: string }[] };
  tallies: { zone: string; count: number; picture: Svg }[]; // the injections of these days by body area, the most first
  plates: { part: string; title: string; picture: Svg }[];
  key: { picture: Svg; text: string }[];
  told: Rich; // whose finger-widths they are, and whom the centimetres are for; empty: no plan
  rotation: Rich[]; // what the record says about rotation, a sentence each
  notices: Notice[]; // hardened tissue in question, a slot that cannot keep its part, a refusal with the longest rest …
  refusal?: { what: string; do_this: string };
  empty?: Empty; // nothing to draw yet: no height, no rules
  plan?: { href: string; label: string }; // the printed place plan; missing while it may not be printed
  spots_text: string; // "262 spots, enough for 65 days' rest; no arrangement could give more than 78."
}
export interface ReachSection {
  note: string; // "Thighs, front and outer side"
  lead: Rich; // "With her 6 mm needle straight in, about **14 of 100** injections here would end in muscle; …"
  picture: Svg;
  dots: { title: string; picture: Svg; text: string }[];
  /** One row a part of the body that is allowed. */
  rows: { part: string; muscle_text: string; skin_text: string; level?: Level; level_word?: string }[];
  row_heads: [string, string, string];
  notices: Notice[];
  source: string; // model, people, publication, how it is known
  refusal?: { what: string; do_this: string };
  empty?: Empty;
  defer: string;
}
export interface AreaRow {
  id: string;
  level?: Level;
  level_word?: string;
  title: string; // "hardened, left belly, lower outer quarter"
  sentence: Rich; // size, growing or shrinking, since when, last examined
  looks: { when_text: string; size_text: string; text: string }[];
  picture: Svg; // its size over the visits, to scale; may be empty
  zone: string;
  x_mm: string;
  y_mm: string;
  length_mm: string;
  width_mm: string;
  tissue: string;
  kept_off: boolean;
}
export interface PlaceForms {
  zones: Choice[]; // every zone, person's own left and right
  parts: Choice[];
  slots: (Choice & { part: string })[]; // of the order; part: what the rules say, or ''
  tissues: Choice[];
  verdicts: Choice[];
  lights: Choice[];
  postures: Choice[];
  turns: Choice[];
  sexes: Choice[];
  yes_no: Choice[];
  people: Choice[];
  /** As the last facts have them (fields of skin_facts.hpp), for the forms that note what has changed; null: not yet. */
  body: Record<string, unknown> | null;
  rules: Record<string, unknown>; // with the defaults where nothing was set
}

/** GET /api/people/{id}/supplies: the section Cover of the person's page, and all of the page "Supplies". */
export interface SuppliesPage extends Versioned {
  id: string;
  /** For programs: the page has it from the person’s own document. */
  who: Who;
  cover: CoverSection;
  at_home: { name: string; text: Rich }[]; // account and count beside each other (H41)
  boxes: { note: string; heads: string[]; rows: { name: string; cells: string[] }[] };
  history: Rich[]; // possession ratio and share of days covered
  asked: { when_text: string; text: Rich; state_text: string }[];
  sharps: { picture: Svg; text: Rich; level?: Level; level_word?: string; actions: RecordAction[] };
  tests: PenTest[];
  trips: { id: string; title: string; text: Rich; href: string }[];
  accounts: Accounts[];
  forms: SupplyForms;
  low: Low;
}
export interface CoverSection {
  note: Rich;
  lead: Rich[]; // "At 22 units a day: short on **Sun 28 March** … ask by **Thu 18 March**", one an insulin
  picture: Svg; // one cell a day
  picture_narrow: Svg; // the same for a narrow screen
  rows: { name: string; stock_text: string; text: Rich }[];
  notices: Notice[];
  asks: RecordAction[]; // "Asked for: 2 boxes of …"
  defer: string;
  empty?: Empty;
}
/** What a pen delivered against the limits (contract: accuracy). */
export interface PenTest {
  id: string;
  when_text: string;
  title: string;
  level?: Level;
  level_word?: string;
  verdict: Rich;
  picture: Svg;
  drift: Svg;
  detail: Rich[];
  href: string; // the printed sheet
}
/** Three accounts of one insulin, side by side. Interval and chances are the nurse's; the question is for the person. */
export interface Accounts {
  insulin: string;
  mark: Svg;
  period_text: string;
  lead: Rich;
  level?: Level;
  level_word?: string;
  picture: Svg;
  rows: { label: string; value: string }[];
  mechanisms: { text: string; chance_text: string; range_text: string }[];
  question: Rich; // kind, with the number; empty: the accounts agree
  unknown: Rich[]; // what was not known
  caution: string;
  record?: RecordAction; // what the talk came to
}
export interface SupplyForms {
  insulins: { insulin: string; strength_units_per_ml: number; each_units: number; items: string[]; label: string }[]; // `items`: products of the shelf that are one piece of it
  /** The strength turns milligrams of a weighed test into units before they are recorded. */
  pens: (Choice & { strength_units_per_ml: number })[];
  needles: { code: string; label: string; length_mm: number }[];
  spreads: Choice[];
  measured: Choice[];
  explained: Choice[];
  yes_no: Choice[];
  rules: Record<string, unknown>; // with the defaults where nothing was set
  /** What of their insulins and of needles may be handed out of the clinic's stock, first expiring first; `first` of its item. */
  stock: { item: string; lot: string; label: string; first: boolean }[];
}

/** GET /api/people/{id}/trips/{fact}: what to carry, and the question about the dose times, on paper. */
export interface TripSheet extends OnPaper {
  order_text: string;
  lead: Rich;
  picture: Svg; // the two bags
  carry: { name: string; all_text: string; bag_texts: [string, string]; text: Rich }[];
  heads: [string, string, string, string];
  questions: { text: Rich; answer: Rich[] }[]; // no dose: `answer` are lines to write on
  cautions: Notice[];
  asked?: RecordAction; // opens the question to the prescriber
  seen_version: number;
  last: Rich;
  low: Low;
}
/** GET /api/people/{id}/pen-tests/{fact}: one test of a pen, on paper. */
export interface PenTestSheet extends OnPaper {
  test: PenTest;
  rows: { label: string; value: string }[];
  values: string[];
  source: string;
  last: Rich;
}

/** GET /api/people/{id}/place-plan?from=YYYY-MM-DD: four weeks on paper; while a question about hardened tissue is open it says first to phone (H36). */
export interface PlacePlanSheet {
  who: Who;
  clinic: string;
  title: string; // "Places from Monday 16 March to Sunday 12 April 2027"
  order_text: string;
  printed_text: string;
  lead: Rich; // how to read it
  /** A lump was found and its question is open: what to do before the first injection (H36). */
  before: Rich | null;
  map: Svg; // figure with this plan's zones
  weeks: {
    title: string; // "Week 1, from Mon 16 March"
    pictures: { title: string; picture: Svg }[];
    heads: string[]; // day, then one a slot
    rows: { day: string; cells: { number: string; text: string }[] }[];
  }[];
  rules: Rich[]; // feel first, hardened: not there, fold, angle, needle; who decides
  last: Rich;
  low: Low;
  /** Notes that it was handed out: later plans keep to it. */
  give: RecordAction;
  seen_version: number;
}

/** For programs: what the call says beside; `text` is what the command line prints. */
export interface WarmthWorked {
  broken: string[];
  limit_celsius: number;
  limit_assumed: boolean;
  limit_from: 'request' | 'shelf' | 'strictest';
  warmest_celsius: number | null;
  hours_above_limit: number;
  hours_out_of_fridge: number;
  text: string;
  no_number: string | null;
}
/** POST /api/warmth (contract: warmth): `do_first` and `for_person` are said; what follows `for_nurse` is for nobody else (H49). */
export interface WarmthAnswer extends WarmthWorked {
  limit_broken: boolean;
  do_first: string;
  why: string;
  /** For programs: both, in one. */
  for_person: string;
  cautions: { code: string; text: string }[];
  defer: string;
  lost_percent: number | null;
  for_nurse: string;
  source: string;
}

/** GET /api/phone/reach: the form's choices. POST /api/phone/reach: ReachAsk -> ReachAnswer. Nobody's record is read or written. */
export interface ReachForm {
  parts: Choice[];
  needles: Choice[]; // millimetres as text
  people: (Choice & { needs: ('age_years' | 'pregnancy_week')[] })[];
  sexes: Choice[];
}
export interface ReachAsk {
  zone: string;
  needle_mm: string;
  angle_deg: string;
  fold: boolean;
  can_fold: boolean;
  people: string;
  sex: string;
  bmi_kg_m2: string;
  age_years: string;
  pregnancy_week: string;
  measured_mm: string;
  measured_sd_mm: string;
}
export interface ReachAnswer {
  reach: ReachSection;
}

/** POST /api/people/{id}/photos: the digest that a fact names. */
export interface KeptPhoto {
  photo: string;
}

/** For programs: what is shown afterwards comes with the page. DELETE /api/people/{id}/photos/{photo}: `erased` false where it was gone already. */
export interface ErasedPhoto {
  photo: string;
  erased: boolean;
}

export type FieldKind = 'units' | 'number' | 'text' | 'long' | 'date' | 'time' | 'choice' | 'flag' | 'glucose' | 'hba1c';
/** Where the choices come from that only the person's own page knows. */
export type Source = 'cartridges' | 'pens' | 'lines' | 'needles';

export interface FieldSpec {
  name: string;
  label: string;
  kind: FieldKind;
  /** Else it may stay empty: then the field is left out. */
  needed: boolean;
  unit: string;
  hint: string;
  start: string;
  choices?: Choice[];
  from?: Source;
}

export interface KindSpec {
  address: string; // "/people/{id}/record/{address}"
  what: string;
  title: string;
  lead: string;
  button: string;
  fields: FieldSpec[];
  /** Stand on no form, and may come with the address: which appointment it was. */
  carried: string[];
  /** On the record page, in this order; the others are only corrected. */
  offered: boolean;
}

/** What is recorded on a page of its own, below a person's address: "skin/examine". */
export interface RecordingPage {
  address: string;
  title: string;
  lead: string;
}
/** GET /api/forms */
export interface FactForms {
  /** What a line of a diary can be: the words of its column “what”. */
  diary_words: string[];
  forms: KindSpec[];
  pages: RecordingPage[];
  /** What the educator has to know first, under its headings. */
  background: { title: string; fields: FieldSpec[] }[];
}

/** Whom a journal is about, where two are held side by side. */
export interface NamedPerson {
  name: string;
  born_text: string;
  number: string;
}
/** POST /api/import?file=NAME[&accept=DIGEST]: a journal that another bench exported. */
export interface JournalPreview {
  id: string;
  /** For programs: the journal's version now. */
  version: number;
  name: string;
  /** For programs, as `fresh`; the page says them in `summary`. */
  facts: number;
  fresh: number;
  digest: string;
  accepted: boolean;
  can_accept: boolean;
  summary: Rich;
  theirs: NamedPerson;
  /** null: nobody has this record here. */
  here: NamedPerson | null;
  notices: Notice[];
  changes_text: string;
  /** Entries that are here: as they are, and as they would be. */
  changes: { before: string; after: string }[];
  asked_text: string;
  /** What would be asked about an entry if it were typed. */
  asked: { entry: string; why: string }[];
  /** What this desk would refuse, too. */
  bad: { what: string; do_this: string }[];
}

/** Which call answers with which document; the ones that are missing here answer programs. */
export interface Answers {
  'GET /api/clinic': Clinic;
  'POST /api/clinic': Recorded;
  'POST /api/clinic/facts': Recorded;
  'GET /api/forms': FactForms;
  'POST /api/import': JournalPreview;
  'GET /api/month': MonthPage;
  'GET /api/people': People;
  'POST /api/people': Registered;
  'GET /api/people/{id}': Person;
  'GET /api/people/{id}/assessment': Assessment;
  'GET /api/people/{id}/dial-card': DialCard;
  'POST /api/people/{id}/diary': DiaryPreview;
  'POST /api/people/{id}/facts': Recorded;
  'POST /api/people/{id}/hand-outs': Recorded;
  'GET /api/people/{id}/journal': Journal;
  'GET /api/people/{id}/log-sheet': LogSheet;
  'GET /api/people/{id}/visit-sheet': VisitSheet;
  'GET /api/people/{id}/pen-tests/{fact}': PenTestSheet;
  'POST /api/people/{id}/photos': KeptPhoto;
  'DELETE /api/people/{id}/photos/{photo}': ErasedPhoto;
  'GET /api/people/{id}/place-plan': PlacePlanSheet;
  'GET /api/people/{id}/places': PlacesPage;
  'GET /api/people/{id}/steps': Sheet;
  'GET /api/people/{id}/supplies': SuppliesPage;
  'GET /api/people/{id}/trips/{fact}': TripSheet;
  'GET /api/people/{id}/visit': Visit;
  'GET /api/phone': PhoneForm;
  'POST /api/phone': PhoneAnswer;
  'GET /api/phone/reach': ReachForm;
  'POST /api/phone/reach': ReachAnswer;
  'GET /api/recalls/{lot}': RecallPage;
  'GET /api/shelf': Shelf;
  'GET /api/stock': StockPage;
  'POST /api/stock/scan': Scanned;
  'GET /api/today': Today;
  'POST /api/warmth': WarmthAnswer;
}
