// What a meter shows where it can measure no number, as people write it, read in this one place.

/** "LO", "low", "Hi": the word that a fact has for it; null: it is none. */
export function meterWord(typed: string): 'LO' | 'HI' | null {
  const word = typed.trim().split(' ')[0] ?? ''; // a unit may have been chosen beside it
  if (/^low?$/i.test(word)) return 'LO';
  return /^hi(gh)?$/i.test(word) ? 'HI' : null;
}
