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

/** Where the year has two digits: the latest such day that is not later than this many years from today. Expiry dates lie ahead, births do not. */
const years_ahead = 20;
export type Ahead = 'not later than today' | 'may lie ahead';

/** A year of two digits, or none, is understood from today: the latest that may be meant, and of a day without a year the nearest. */
function understood(year: string | undefined, month: number, day: number, today: string, ahead: Ahead): string | null {
  if (year?.length === 4) return iso(Number(year), month, day);
  if (today === '') return null;
  const now = Number(today.slice(0, 4));
  if (year !== undefined) {
    const last = ahead === 'may lie ahead' ? `${now + years_ahead}${today.slice(4)}` : today;
    const [later, earlier] = [2000, 1900].map((century) => iso(century + Number(year), month, day));
    return later && later <= last ? later : (earlier ?? null);
  }
  if (ahead === 'not later than today') return null; // a birth date has its year
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
  const named = /^(?:[a-z]+day,?\s+)?(\d{1,2})(?:st|nd|rd|th|\.)?[\s-]*([a-z]+)\.?(?:,?[\s-]*(\d{4}|\d{2}))?$/i.exec(text);
  return named ? [Number(named[1]), monthNamed(named[2] ?? ''), named[3]] : null;
}

/**
 * "4.6.1958", "4/6/58", "1958-06-04", "4 June 1958" and "Wednesday, 4 June 1958" as "1958-06-04"; "yesterday" and "4/6" are understood from `today`.
 * null: no day of the calendar.
 */
export function dayOf(typed: string, today: string, ahead: Ahead = 'may lie ahead'): string | null {
  const text = typed.trim();
  const word = words[text.toLowerCase()];
  if (word !== undefined) return today === '' ? null : shifted(today, word);
  const plain = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(text);
  if (plain) return iso(Number(plain[1]), Number(plain[2]), Number(plain[3]));
  const parts = partsOf(text);
  return parts && understood(parts[2], parts[1], parts[0], today, ahead);
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

/** "22:00" is of today, "yesterday 22.00" of the day before, "4/6/2027, 10 pm" and "2027-06-04T22:00" of that day: "2027-06-04T22:00". */
export function momentOf(typed: string, today: string): string | null {
  const alone = timeOf(typed);
  if (alone !== null) return today === '' ? null : `${today}T${alone}`;
  if (dayOf(typed, today) !== null) return null; // "4 6 22": the year, not the hour
  const [, first = '', rest = ''] =
    /^(.*?)[\s,T]+(?:at\s+)?((?:\d{1,2}[:.h]\d{2}|\d{3,4}|\d{1,2})\s*(?:[ap]\.?m\.?)?)(?::\d{2})?$/i.exec(typed.trim()) ?? [];
  const time = timeOf(rest);
  const day = dayOf(first.replace(/,$/, ''), today);
  return day && time ? `${day}T${time}` : null;
}
