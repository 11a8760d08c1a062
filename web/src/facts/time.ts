// A time of day as people write it, read in this one place.

/** "22:00", "22.00", "2200", "22", "10 pm" and "10.30 p.m." as "22:00" and "22:30", "8" as "08:00"; null: it is none. */
export function timeOf(typed: string): string | null {
  const match = /^(\d{1,2})(?:\s*[:.h]?\s*(\d{2}))?\s*(?:([ap])\.?m\.?)?$/i.exec(typed.trim());
  const [, digits = '', minutes, half] = match ?? [];
  const hours = Number(digits);
  if (!match || Number(minutes ?? 0) > 59) return null;
  if (half === undefined ? hours > 23 : hours < 1 || hours > 12) return null;
  const hour = half === undefined ? hours : (hours % 12) + (half.toLowerCase() === 'p' ? 12 : 0);
  return `${String(hour).padStart(2, '0')}:${minutes ?? '00'}`;
}

/** "8", alone or behind a day, is read as 08:00: the hour of the evening that it might have meant, or null. */
export function eveningOf(typed: string): string | null {
  const hour = Number(/(?:^|[\s,])(\d{1,2})$/.exec(typed.trim())?.[1] ?? 0);
  return hour >= 1 && hour <= 11 ? `${hour + 12}:00` : null;
}
