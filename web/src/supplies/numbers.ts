// Numbers as they are read off or said, and as a fact holds them: milligrams and units, percent and thousandths. Whole numbers inside, so
// that no binary fraction comes between what was typed and what is recorded.
const milligrams = /^(0|[1-9]\d{0,5})(\.\d{1,3})?$/;

/** Thousandths of a plain decimal: "98.7" is 98700; null for anything else. */
function thousandths(text: string): number | null {
  const found = milligrams.exec(text.trim());
  if (!found) return null;
  return Number(found[1]) * 1000 + Number((found[2] ?? '').slice(1).padEnd(3, '0'));
}

/** Hundredths as text, without trailing zeros: 987 is "9.87", 1000 is "10". */
const fromHundredths = (n: number): string => `${Math.floor(n / 100)}.${String(n % 100).padStart(2, '0')}`.replace(/\.?0+$/, '');

/**
 * Units in a weighed delivery, to the nearest hundredth, halves up: ours, from the density of water. A millilitre weighs 1000 mg and holds
 * `unitsPerMl`, so that a unit of 100 units/mL weighs 10 mg. '' where the text is no plain number of up to 3 decimals, or nothing is
 * known about the strength.
 */
export function unitsOfMilligrams(mg: string, unitsPerMl: number): string {
  const micrograms = thousandths(mg);
  if (micrograms === null || !(unitsPerMl > 0)) return '';
  return fromHundredths(Math.floor((micrograms * unitsPerMl + 5000) / 10_000));
}

const percent = /^(0|[1-9]\d{0,2})(?:\.(\d))?$/;

/** A thousandth is a tenth of a percent: 990 is "99.0". */
export function percentOf(thousand: unknown): string {
  return typeof thousand === 'number' && Number.isInteger(thousand) ? `${Math.floor(thousand / 10)}.${thousand % 10}` : '';
}

/** "95", "99.5" as thousandths; what is no percentage with at most one decimal goes as typed, and the server refuses it by name. */
export function thousandOf(text: string): number | string {
  const found = percent.exec(text.trim());
  return found ? Number(found[1]) * 10 + Number(found[2] ?? '0') : text.trim();
}
