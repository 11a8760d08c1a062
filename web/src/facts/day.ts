// Dates as the clinic writes them, read in this one place: the day stands before the month, and a year has four digits.
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
  const there = year >= 1000 && month >= 1 && month <= 12 && day >= 1 && day <= lastOf(year, month);
  return there ? `${year}-${two(month)}-${two(day)}` : null;
}

const numbers = /^(\d{1,2})\s*[./\s-]\s*(\d{1,2})\s*[./\s-]\s*(\d{4})$/;

/** "4.6.1958", "4/6/1958", "1958-06-04", "4 June 1958" and "Wednesday, 4 June 1958" as "1958-06-04"; null: no day of the calendar. */
export function dayOf(typed: string): string | null {
  const text = typed.trim();
  const plain = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(text);
  if (plain) return iso(Number(plain[1]), Number(plain[2]), Number(plain[3]));
  const dayFirst = numbers.exec(text);
  if (dayFirst) return iso(Number(dayFirst[3]), Number(dayFirst[2]), Number(dayFirst[1]));
  const named = /^(?:[a-z]+day,?\s+)?(\d{1,2})(?:st|nd|rd|th|\.)?[\s-]*([a-z]+)\.?,?[\s-]*(\d{4})$/i.exec(text);
  return named ? iso(Number(named[3]), monthNamed(named[2] ?? ''), Number(named[1])) : null;
}

/** The same; and "05/2028", "2028-05" and "May 2028", as cartons have it, for the last day of that month. */
export function expiryOf(typed: string): string | null {
  const [, month, year] = /^(\d{1,2}|[a-z]+)\.?[\s./-]*(\d{4})$/i.exec(typed.trim().replace(/^(\d{4})-(\d{1,2})$/, '$2/$1')) ?? [];
  if (month === undefined) return dayOf(typed);
  const number = /^\d/.test(month) ? Number(month) : monthNamed(month);
  return iso(Number(year), number, number >= 1 && number <= 12 ? lastOf(Number(year), number) : 0);
}

/** Whether somebody who writes the month first would have meant another day by it: it is said how it was read. */
export function mightBeMonthFirst(typed: string): boolean {
  const [, day, month] = /^(\d{1,2})\s*[./\s-]\s*(\d{1,2})\s*[./\s-]\s*\d{4}\b/.exec(typed.trim()) ?? [];
  return day !== undefined && Number(day) <= 12 && Number(day) !== Number(month);
}

const day_ms = 86_400_000;
const dayBefore = (day: string): string => new Date(Date.parse(`${day}T00:00Z`) - day_ms).toISOString().slice(0, 10);

/** "22:00" is of today, "yesterday 22.00" of the day before, "4/6/2027, 10 pm" and "2027-06-04T22:00" of that day: "2027-06-04T22:00". */
export function momentOf(typed: string, today: string): string | null {
  const [, first = '', rest = ''] =
    /^(.*?)[\s,T]*((?:\d{1,2}[:.h]\d{2}|\d{3,4}|\d{1,2})\s*(?:[ap]\.?m\.?)?)(?::\d{2})?$/i.exec(typed.trim()) ?? [];
  const time = timeOf(rest);
  if (time === null) return null;
  const word = first.replace(/,$/, '').toLowerCase();
  const day = word === '' || word === 'today' ? today : word === 'yesterday' && today !== '' ? dayBefore(today) : dayOf(word);
  return day ? `${day}T${time}` : null;
}
