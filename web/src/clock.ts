// What time it is comes from the server; between two answers the browser's own running time is added, never its wall clock.
let serverMs = Date.now();
let seenAt = performance.now();
let heard = false;

const slow_ms = 30_000; // an answer that took longer than this was no answer

export function setServerNow(iso: string): void {
  const ms = Date.parse(iso);
  if (Number.isNaN(ms)) return;
  // An answer that was long on its way is behind: what is recorded next must not stand before what was recorded last.
  const behind = nowMs() - ms;
  if (heard && behind > 0 && behind < slow_ms) return;
  heard = true;
  serverMs = ms;
  seenAt = performance.now();
}

export const nowMs = (): number => serverMs + (performance.now() - seenAt);

/** How long ago this moment is, by the running time or the wall clock, whichever went further: a machine that slept was away as well. */
export function ageFromNow(): () => number {
  const [ran, wall] = [performance.now(), Date.now()];
  return () => Math.max(performance.now() - ran, Math.abs(Date.now() - wall));
}

/** Milliseconds until the server's next full minute, a little late rather than early. */
export const untilNextMinute = (): number => 60_000 - (nowMs() % 60_000) + 150;

interface Parts {
  date: string;
  time: string;
  offset: string;
}

function partsIn(zone: string, ms: number): Parts {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
    hourCycle: 'h23',
    timeZoneName: 'longOffset',
  });
  const part: Record<string, string> = {};
  for (const { type, value } of format.formatToParts(ms)) part[type] = value;
  const offset = (part['timeZoneName'] ?? '').replace('GMT', '').replace('\u2212', '-');
  return {
    date: `${part['year']}-${part['month']}-${part['day']}`,
    time: `${part['hour']}:${part['minute']}:${part['second']}`,
    offset: offset === '' ? '+00:00' : offset,
  };
}

function parts(zone: string): Parts {
  try {
    return partsIn(zone, nowMs());
  } catch {
    return partsIn('UTC', nowMs()); // a zone that this browser does not know
  }
}

/** This moment in a zone, as ISO 8601 with its offset. */
export function isoNow(zone: string): string {
  const { date, time, offset } = parts(zone);
  return `${date}T${time}${offset}`;
}

let clinicZone = 'UTC';
export function setClinicZone(zone: string): void {
  clinicZone = zone;
}

/** Today's date in a zone, the clinic's where no person's is given, for date fields. */
export const today = (zone = clinicZone): string => parts(zone).date;

/** This moment in a zone without offset, for datetime-local fields. */
export function localNow(zone = clinicZone): string {
  const { date, time } = parts(zone);
  return `${date}T${time.slice(0, 5)}`;
}

/** A local time of a form ("2027-03-16T18:30") with the offset that its zone has then; anything else stays as typed. */
export function zoned(local: string, zone: string): string {
  const guess = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}$/.test(local) ? Date.parse(`${local}Z`) : NaN;
  if (Number.isNaN(guess)) return local;
  const offsetAt = (ms: number): string => {
    try {
      return partsIn(zone, ms).offset;
    } catch {
      return '+00:00';
    }
  };
  const first = offsetAt(guess);
  const exact = offsetAt(Date.parse(`${local}:00${first}`)); // once more: the first guess may lie across a change of the clocks
  return `${local}:00${exact}`;
}
