// A time of day as people write it, read in this one place.

/** "22:00", "22.00", "2200", "22", "10 pm" and "10.30 p.m." as "22:00" and "22:30"; null: it is none, or "7", which might be either half of the day. */
export function timeOf(typed: string): string | null {
  const match = /^(\d{1,2})(?:\s*[:.h]?\s*(\d{2}))?\s*(?:([ap])\.?m\.?)?$/i.exec(typed.trim());
  const [, digits = '', minutes, half] = match ?? [];
  const hours = Number(digits);
  if (!match || Number(minutes ?? 0) > 59) return null;
  if (half === undefined && minutes === undefined && hours < 13) return null;
  if (half === undefined ? hours > 23 : hours < 1 || hours > 12) return null;
  const hour = half === undefined ? hours : (hours % 12) + (half.toLowerCase() === 'p' ? 12 : 0);
  return `${String(hour).padStart(2, '0')}:${minutes ?? '00'}`;
}
