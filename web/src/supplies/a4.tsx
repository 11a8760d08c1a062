// One A4 page of the supplies: who it is about, what it says, when it was printed; set closer until it fits one page.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { OnPaper } from '../model';
import { useTitle } from '../parts/title';
import { printedFor } from '../print';
import { Said } from '../words';

const room_mm = 268; // A4 less the margins of the plan's pages (look/places.css), and a line of grace
const closest = 3; // how often it may be set closer; nothing goes under nine points
const points = 96 / 25.4;

function fit(article: HTMLElement): string {
  const probe = article.cloneNode(true) as HTMLElement;
  probe.classList.add('probe');
  probe.setAttribute('aria-hidden', 'true');
  document.body.append(probe);
  let tight = 0;
  for (; tight < closest; ++tight) {
    probe.dataset['tight'] = String(tight);
    if (probe.offsetHeight <= room_mm * points) break;
  }
  probe.remove();
  return String(tight);
}

/** While a sheet is shown: its own page of paper, without what only a screen needs. */
export function useSheet(title: string, sheet: OnPaper | null): void {
  useTitle(sheet ? `${title}, ${sheet.who.name}` : title, sheet !== null);
  useEffect(() => printedFor(sheet?.who ?? null, sheet?.printed_text ?? '', 'plan'), [sheet]);
  useEffect(() => {
    document.body.classList.add('steps-sheet', 'plan-sheet');
    return () => document.body.classList.remove('steps-sheet', 'plan-sheet');
  }, []);
}

/** `small`: the line under the title. */
export function A4({ of, small, children }: { of: OnPaper; small: string; children: ComponentChildren }): JSX.Element {
  const article = useRef<HTMLElement>(null);
  const [tight, setTight] = useState('0');
  useEffect(() => {
    void document.fonts.ready.then(() => {
      if (article.current) setTight(fit(article.current));
    });
  }, [of]);
  return (
    <article class="plan-a4 supply-a4" ref={article} data-tight={tight}>
      <p class="headline-who">
        <Said of="page.who" name={of.who.name} born={of.who.born_text} number={of.who.number} />
      </p>
      <h1 tabIndex={-1}>{of.title}</h1>
      <p class="ord">{small}</p>
      {children}
      <p class="printed">{of.printed_text}</p>
    </article>
  );
}
