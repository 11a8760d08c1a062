// What was typed, as it goes into a fact. Nothing is rounded or guessed: text that is no plain decimal goes as typed, and the server
// refuses it by name (H05, H25).

/** "4.5" becomes the number 4.5, "-6" the number -6, and "4,5" as much of Europe writes it; anything else stays text. "1,500" might be either. */
export function amount(text: string): number | string {
  const typed = text.trim().replace(/^(-?\d+),(\d{1,2})$/, '$1.$2');
  return /^-?(0|[1-9]\d{0,8})(\.\d{1,6})?$/.test(typed) ? Number(typed) : typed;
}

/** Leaves a field out where nothing was typed: unknown is not zero. */
export const optional = <K extends string, V>(name: K, text: string, make: (typed: string) => V): { [P in K]?: V } =>
  text.trim() === '' ? {} : ({ [name]: make(text) } as { [P in K]?: V });

export const newId = (): string => crypto.randomUUID();
