// Dates as the clinic writes them, read in this one place: the day stands before the month.
import { timeOf } from './time';

const months = ['january', 'february', 'march', 'april', 'may', 'june', 'july', 'august', 'september', 'october', 'november', 'december'];

/** By its name or its first letters, three at least. */
function monthNamed(name: string): number {
  const typed = name.toLowerCase();
  return typed.length < 3 ? 0 : months.findIndex((month) => month.startsWith(typed)) + 1;
}

const two = (number: number): string => String(number).padStart(2, '0');
const lastOf = (year: number, month: number): number => new Date(Date.UTC(year, month, 0)).getUTCDate();

function iso(year: number, month: number, day: number): string | null {
  const there = year >= 1000 && year < 2200 && month >= 1 && month <= 12 && day >= 1 && day <= lastOf(year, month);
  return there ? `${year}-${two(month)}-${two(day)}` : null;
}

const day_ms = 86_400_000;
const shifted = (day: string, days: number): string => new Date(Date.parse(`${day}T00:00Z`) + days * day_ms).toISOString().slice(0, 10);
const words: Record<string, number> = { yesterday: -1, today: 0, tomorrow: 1 };
const weekdays = ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday'];
const numbers = ['a', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];

/** Where the year has two digits: the latest such day that is not later than this many years from today. Expiry dates lie ahead, births do not. */
const years_ahead = 20;
/** Which way from today a field's day lies: a day of the week is read only where that is known. */
export type Sense = 'birth' | 'happened' | 'may lie ahead' | 'lies ahead';

/** Of a fact's field, by its name. */
export function senseOf(field: string): Sense {
  if (field === 'born') return 'birth';
  if (/^happened|_on$/.test(field)) return 'happened';
  return /^(at|due|expected|last_day)$|_by$/.test(field) ? 'lies ahead' : 'may lie ahead';
}

/** A year of two digits, or none, is understood from today: the latest that may be meant, and of a day without a year the nearest. */
function understood(year: string | undefined, month: number, day: number, today: string, sense: Sense): string | null {
  if (year?.length === 4) return iso(Number(year), month, day);
  if (today === '') return null;
  const now = Number(today.slice(0, 4));
  if (year !== undefined) {
    const last = sense === 'birth' ? today : `${now + years_ahead}${today.slice(4)}`;
    const [later, earlier] = [2000, 1900].map((century) => iso(century + Number(year), month, day));
    return later && later <= last ? later : (earlier ?? null);
  }
  if (sense === 'birth') return null; // a birth date has its year
  const far = (one: string): number => Math.abs(Date.parse(one) - Date.parse(today));
  const near = [now - 1, now, now + 1].flatMap((one) => iso(one, month, day) ?? []);
  return near.sort((a, b) => far(a) - far(b))[0] ?? null;
}

/** Day, month and year as typed: the same sign stands between both. Without a year only what cannot be an hour ("9.15") or a month ("5-28"). */
function partsOf(text: string): [number, number, string | undefined] | null {
  const numbers = /^(\d{1,2})\s*([./\s-])\s*(\d{1,2})\s*\2\s*(\d{4}|\d{2})$/.exec(text);
  if (numbers) return [Number(numbers[1]), Number(numbers[3]), numbers[4]];
  const slashed = /^(\d{1,2})\s*\/\s*(\d{1,2})$/.exec(text);
  if (slashed) return [Number(slashed[1]), Number(slashed[2]), undefined];
  const dotted = /^(\d{1,2})\s*\.\s*(\d{1,2})\s*\.$/.exec(text);
  if (dotted) return [Number(dotted[1]), Number(dotted[2]), undefined];
  const named = /^(?:[a-z]+day,?\s+)?(\d{1,2})(?:st|nd|rd|th|\.)?[\s-]*([a-z]+)\.?(?:,?[\s-]*(\d{4}|\d{2}))?$/i.exec(text);
  return named ? [Number(named[1]), monthNamed(named[2] ?? ''), named[3]] : null;
}

/** "Friday" and "Fri" of the week behind or ahead, today among both; "in three days" and "in 2 weeks". */
function counted(text: string, today: string, sense: Sense): string | null {
  const [, many = '', unit = ''] = /^in (\d{1,2}|[a-z]+) (day|week)s?$/.exec(text) ?? [];
  const number = /^\d/.test(many) ? Number(many) : numbers.indexOf(many) + 1;
  if (number > 0 && sense !== 'birth' && sense !== 'happened') return shifted(today, number * (unit === 'week' ? 7 : 1));
  const at = text.length < 3 ? -1 : weekdays.findIndex((day) => day.startsWith(text));
  const from = new Date(`${today}T00:00Z`).getUTCDay();
  if (at < 0 || (sense !== 'happened' && sense !== 'lies ahead')) return null;
  return shifted(today, sense === 'happened' ? -((from - at + 7) % 7) : (at - from + 7) % 7);
}

/**
 * "4.6.1958", "4/6/58", "1958-06-04", "4 June 1958" and "Wednesday, 4 June 1958" as "1958-06-04"; "yesterday" and "4/6" are understood from `today`,
 * and where it is known on which side of it the day lies, "Friday". null: no day of the calendar.
 */
export function dayOf(typed: string, today: string, sense: Sense = 'may lie ahead'): string | null {
  const text = typed.trim();
  const word = words[text.toLowerCase()];
  if (word !== undefined) return today === '' ? null : shifted(today, word);
  const near = today === '' ? null : counted(text.toLowerCase().replace(/\s+/g, ' '), today, sense);
  if (near !== null) return near;
  const plain = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(text);
  if (plain) return iso(Number(plain[1]), Number(plain[2]), Number(plain[3]));
  const parts = partsOf(text);
  return parts && understood(parts[2], parts[1], parts[0], today, sense);
}

/** The same; and "05/2028", "05/28", "2028-05" and "May 2028", as cartons have it, for the last day of that month. */
export function expiryOf(typed: string, today: string): string | null {
  const [, month, digits] =
    /^(\d{1,2}(?=[\s./-])|[a-z]+)\.?[\s./-]*(\d{4}|\d{2})$/i.exec(typed.trim().replace(/^(\d{4})-(\d{1,2})$/, '$2/$1')) ?? [];
  if (month === undefined || digits === undefined) return dayOf(typed, today);
  const number = /^\d/.test(month) ? Number(month) : monthNamed(month);
  const year = digits.length === 2 ? 2000 + Number(digits) : Number(digits);
  return iso(year, number, number >= 1 && number <= 12 ? lastOf(year, number) : 0);
}

/** Whether somebody who writes the month first would have meant another day by it than was `read`: it is said how it was read. */
export function mightBeMonthFirst(typed: string, read: string): boolean {
  const [, day, month] = /^(\d{1,2})\s*[./\s-]\s*(\d{1,2})(?!\d)/.exec(typed.trim()) ?? [];
  const asTyped = day !== undefined && read.slice(5, 10) === `${two(Number(month))}-${two(Number(day))}`;
  return asTyped && Number(day) <= 12 && day !== month;
}

const night_ends = '06:00';
const evening = '18:00';

/** A clock may be so much behind another one. */
const slack_minutes = 10;
export const isAhead = (moment: string, now: string): boolean =>
  Date.parse(`${moment.slice(0, 16)}Z`) - Date.parse(`${now.slice(0, 16)}Z`) > slack_minutes * 60_000;

/**
 * The moment of an hour alone. Of what happened it is the last such hour; of a dose that was due, `of`, the one nearest to it, on its day or in the night
 * after it; never one ahead.
 */
function momentAlone(hour: string, now: string, sense: Sense, of: string): string {
  const today = `${now.slice(0, 10)}T${hour}`;
  if (sense !== 'happened') return today;
  const days = of === '' ? [] : of.slice(11) < night_ends ? [-1, 0] : [0, 1];
  const far = (moment: string): number => Math.abs(Date.parse(`${moment}Z`) - Date.parse(`${of}Z`));
  const near = days.map((day) => `${shifted(of.slice(0, 10), day)}T${hour}`).sort((a, b) => far(a) - far(b));
  const was = [...near, today].find((moment) => !isAhead(moment, now));
  return was ?? `${shifted(now.slice(0, 10), -1)}T${hour}`;
}

const an_hour = String.raw`(?:\d{1,2}[:.h]\d{2}|\d{3,4}|\d{1,2})\s*(?:[ap]\.?m\.?)?`;
const hour_last = new RegExp(String.raw`^(.*?)(?:[\s,]+|(?<=\d)T)(?:at\s+)?(${an_hour})(?::\d{2})?$`, 'i');
/** Before its day an hour is told from a day by its sign, or by the word behind it. */
const hour_first = new RegExp(
  String.raw`^(\d{1,2}[:.h]\d{2}|\d{4}|\d{1,2}(?=\s*[ap]\.?m|\s+[a-z]))(\s*[ap]\.?m\.?)?[\s,]+(?:on\s+)?(.+)$`,
  'i',
);

/** "last night" is the evening of yesterday, or the hours after it. */
function nightOf(hour: string, today: string): string | null {
  if (today === '') return null;
  return hour >= evening ? shifted(today, -1) : hour < night_ends ? today : null;
}

/**
 * "22:00" is of today, "yesterday 22.00" and "last night 10 pm" of the day before, "4/6/2027, 10 pm", "10 pm on 4/6/2027" and "2027-06-04T22:00" of that
 * day: "2027-06-04T22:00". Of an hour that comes twice, "2:35 second" is "2027-10-31T02:35 second". `now`: this moment as such a text, for what is counted from it;
 * `of`: of an answer, when the dose was due that it is about.
 */
export function momentOf(typed: string, now: string, sense: Sense = 'may lie ahead', of = ''): string | null {
  const [, moment = '', which] = /^(.*\d.*?)[\s,]+(?:the\s+)?(first|second)(?:\s+time)?\s*$/i.exec(typed) ?? [];
  if (which !== undefined) {
    const read = momentOf(moment, now, sense, of);
    return read && `${read} ${which.toLowerCase()}`; // of an hour that comes twice
  }
  const today = now.slice(0, 10);
  const alone = timeOf(typed);
  if (alone !== null) return today === '' ? null : momentAlone(alone, now, sense, of);
  const text = typed.trim();
  if (dayOf(text, today, sense) !== null) return null; // "4 6 22": the year, not the hour
  const [, before = '', last = ''] = hour_last.exec(text) ?? [];
  const [, digits = '', half = '', behind = ''] = hour_first.exec(text) ?? [];
  for (const [on, at] of [
    [before, last],
    [behind, digits + half],
  ] as const) {
    const time = timeOf(at);
    if (time === null) continue;
    const plain = on.replace(/,$/, '').trim();
    const day = /^last\s+night$/i.test(plain) ? nightOf(time, today) : dayOf(plain, today, sense);
    if (day) return `${day}T${time}`;
  }
  return null;
}
