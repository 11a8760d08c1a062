// Who it is about, when it was printed and page x of y, at the head of every printed page (H19, H28). The rule is put in through the
// object model, so that no style text stands in the page.
import type { Who } from './model';
import { say } from './words';

const sheet = new CSSStyleSheet();
document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];

let about = '';
let printedAt = '';
/** Sheets that go home have pages of their own (look/print.css, look/places.css): who it is about is set larger there, and the foot says when. */
type SheetPage = 'sheet' | 'plan';
const headSize: Record<SheetPage, [string, string]> = {
  sheet: ['14pt; font-weight: 700', '11pt'],
  plan: ['11pt; font-weight: 700', '9pt'],
};

let sheetFoot: string | null = null;
let sheetPage: SheetPage = 'sheet';

/** Beside the page's number there is room for so many letters; what tells two people apart comes first (H19). */
const name_letters_most = 40;
const shortened = (name: string): string => (name.length > name_letters_most ? `${name.slice(0, name_letters_most - 1)}…` : name);

// tidy-allow(page-words): names of faces
const faces = '"Penstock Figures", "Atkinson Hyperlegible", sans-serif';
const quoted = (text: string): string => `"${text.replace(/[\\"]/g, '\\$&').replace(/[\n\r]/g, ' ')}"`;

function write(): void {
  const pages = `"${say('print.pages', { page: '" counter(page) "', pages: '" counter(pages) "' })}"`;
  const face = `font-family: ${faces};`;
  const at = (box: string, size: string, content: string, more = 'white-space: nowrap;'): string =>
    `@${box} { ${face} font-size: ${size}; ${more} content: ${content} }`;
  const whole_width = 'width: 100%; line-height: 1.1;'; // two versions of an order take two lines
  const [head, foot] = headSize[sheetPage];
  sheet.replaceSync(
    sheetFoot === null
      ? `@page { ${at('top-left', '9.5pt', quoted(about))} ${at('top-right', '9.5pt', `${quoted(say('print.when', { when: printedAt }))} ${pages}`)} }`
      : `@page ${sheetPage} { ${at('top-left', head, quoted(about))} ${at('top-right', head, pages)} ${at('bottom-left', foot, quoted(sheetFoot), whole_width)} }`,
  );
}

export function printedFor(who: Who | null, foot: string | null = null, page: SheetPage = 'sheet'): void {
  about = who ? say('page.who', { name: shortened(who.name), born: who.born_text, number: who.number }) : '';
  sheetFoot = foot;
  sheetPage = page;
  write();
  // What no line on the screen shows in bold would be asked for while the page is printed, and stay blank.
  void document.fonts.load(`700 1em ${faces}`, about);
}

/** For pages about no one person: the clinic. */
export function printedBy(clinic: string): void {
  about = clinic;
  sheetFoot = null;
  write();
}

export function printedNow(nowText: string): void {
  printedAt = nowText;
  write();
}
