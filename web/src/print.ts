// Who it is about, when it was printed and page x of y, at the head of every printed page (H19, H28). The rule is put in through the
// object model, so that no style text stands in the page.
import type { Who } from './model';

const sheet = new CSSStyleSheet();
document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];

let about = '';
let printedAt = '';
let large = false;

const quoted = (text: string): string => `"${text.replace(/[\\"]/g, '\\$&').replace(/[\n\r]/g, ' ')}"`;

function write(): void {
  const pages = `"page " counter(page) " of " counter(pages)`;
  const face = 'font-family: "Penstock Figures", "Atkinson Hyperlegible", sans-serif;';
  sheet.replaceSync(
    large
      ? `@page sheet { @top-left { ${face} font-size: 14pt; font-weight: 700; white-space: nowrap; content: ${quoted(about)} } @top-right { ${face} font-size: 14pt; font-weight: 700; white-space: nowrap; content: ${pages} } }`
      : `@page { @top-left { ${face} font-size: 9.5pt; content: ${quoted(about)} } @top-right { ${face} font-size: 9.5pt; content: ${quoted(`printed ${printedAt}, `)} ${pages} } }`,
  );
}

export function printedFor(who: Who | null, sheetOfSteps = false): void {
  about = who ? `${who.name}, born ${who.born_text}, number ${who.number}` : '';
  large = sheetOfSteps;
  write();
}

/** For pages about no one person: the clinic. */
export function printedBy(clinic: string): void {
  about = clinic;
  large = false;
  write();
}

export function printedNow(nowText: string): void {
  printedAt = nowText;
  write();
}
