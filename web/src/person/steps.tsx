// The large-print sheet: one injection, one day, one page. No sheet while a question is open (H37, H48).
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { Sheet } from '../model';
import { PrintButton } from '../parts/print-button';
import { Shown } from '../parts/states';
import { isEmpty, Mark, Picture, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { printedFor } from '../print';
import { WindowTable } from './next';
import { Said, say } from '../words';

function Step({ step }: { step: Sheet['steps'][number] }): JSX.Element {
  return (
    <li class={`${step.dose ? 'dose' : ''} ${step.picture ? 'haspic' : ''}`}>
      <span class="num">{step.n}</span>
      <p>
        <b>{step.title}</b>{' '}
        <span class="more">
          <Words text={step.text} />
        </span>
      </p>
      <Picture svg={step.picture} class="pic" />
    </li>
  );
}

const room_mm = 276; // A4 less the margins of the sheet (look/print.css)
const closest = 6; // how often it may be set closer; the steps stay at 17 points, what explains them at 15

/** Sets the sheet closer, step by step, until it fits one page: "1 2" is twice as close. What still does not fit takes two pages and says so. */
export function fit(article: HTMLElement, room = room_mm): string {
  const probe = article.cloneNode(true) as HTMLElement;
  probe.classList.add('probe');
  probe.setAttribute('aria-hidden', 'true');
  document.body.append(probe);
  const most = (room / 25.4) * 96;
  const tight: number[] = [];
  for (let next = 1; next <= closest; ++next) {
    probe.dataset['tight'] = tight.join(' ');
    if (probe.offsetHeight <= most) break;
    tight.push(next);
  }
  probe.remove();
  return tight.join(' ');
}

function Page({ sheet }: { sheet: Sheet }): JSX.Element {
  const article = useRef<HTMLElement>(null);
  const [tight, setTight] = useState('');
  useEffect(() => {
    void document.fonts.ready.then(() => {
      if (article.current) setTight(fit(article.current));
    });
  }, [sheet]);
  return (
    <article class="leaf-a4" ref={article} data-tight={tight}>
      <p class="headline-who">
        <span>
          <Said of="page.who" name={sheet.who.name} born={sheet.who.born_text} number={sheet.who.number} />
        </span>
      </p>
      <h1 tabIndex={-1}>{sheet.title}</h1>
      <div class="what">
        <p class="hour">{sheet.hour}</p>
        <p>
          <Mark svg={sheet.mark} />
          <b>{sheet.purpose}</b>
          <br />
          {sheet.insulin}: <b class="nb">{sheet.dose_text}</b>
        </p>
        <p class="ord">
          {sheet.order_text} {sheet.clinic}
        </p>
      </div>
      <ol>
        {sheet.steps.map((step) => (
          <Step step={step} />
        ))}
      </ol>
      {sheet.window_table && <WindowTable table={sheet.window_table} />}
      <section class="low">
        <h2>{sheet.low.title}</h2>
        <p>
          <Words text={sheet.low.text} />
        </p>
      </section>
      {!isEmpty(sheet.last) && (
        <p class="line">
          <Words text={sheet.last} />
        </p>
      )}
      <p class="printed">{sheet.printed_text}</p>
    </article>
  );
}

export function StepsPage({ id, query }: { id: string; query: URLSearchParams }): JSX.Element {
  const doc = useDocument<Sheet>(`/api/people/${id}/steps?${query.toString()}`, { everyMinute: true });
  const sheet = doc.doc;
  useTitle(sheet ? say('steps.of', { name: sheet.who.name, time: sheet.hour }) : say('steps.title'), sheet !== null);
  useEffect(() => printedFor(sheet?.who ?? null, sheet?.printed_text ?? ''), [sheet]);
  useEffect(() => {
    document.body.classList.add('steps-sheet');
    return () => document.body.classList.remove('steps-sheet');
  }, []);
  return (
    <>
      <p class="sheet-acts scr">
        <a class="act" href={`/people/${id}`}>
          {say('steps.back')}
        </a>
        {sheet && <PrintButton of={doc} />}
      </p>
      <Shown of={doc}>{(loaded) => <Page sheet={loaded} />}</Shown>
    </>
  );
}
