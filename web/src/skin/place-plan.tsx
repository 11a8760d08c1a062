// The place plan on paper: four weeks, numbers on the drawing and in the table beside it, readable in one black. One page where it can
// be one, two at the most; none while a question about the skin is open (H36).
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { useDocument, type Doc } from '../document';
import type { PlacePlanSheet } from '../model';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { PrintButton } from '../parts/print-button';
import { RecordButton } from '../parts/record-button';
import { Shown } from '../parts/states';
import { isEmpty, Picture, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { printedFor } from '../print';
import { useRecorder } from '../recorder';
import { Said, say } from '../words';

const room_mm = 270; // A4 less the margins of the plan's pages (look/places.css)
const closest = 2; // how often it may be set closer; nothing goes under nine points
const points = 96 / 25.4;

/** One page if the four weeks go onto it, two beside each other; otherwise two weeks to a page, below each other. */
function fit(article: HTMLElement): { pages: 1 | 2; tight: string } {
  const probe = article.cloneNode(true) as HTMLElement;
  probe.classList.add('probe');
  probe.setAttribute('aria-hidden', 'true');
  document.body.append(probe);
  const room = room_mm * points;
  /** How tall each page would be: the second begins with the third week. */
  const heights = (pages: 1 | 2): number[] => {
    const third = probe.querySelectorAll('.week')[2];
    const top = probe.getBoundingClientRect().top;
    if (pages === 1 || !third) return [probe.offsetHeight];
    const split = third.getBoundingClientRect().top - top;
    return [split, probe.offsetHeight - split];
  };
  const overflows = (): boolean =>
    [...probe.querySelectorAll<HTMLElement>('.week')].some((week) => week.scrollWidth > week.clientWidth + 1);
  const attempt = (pages: 1 | 2, tight: number): boolean => {
    probe.dataset['pages'] = String(pages);
    probe.dataset['tight'] = String(tight);
    return heights(pages).every((height) => height <= room) && !overflows();
  };
  let found: { pages: 1 | 2; tight: string } = { pages: 2, tight: String(closest) };
  search: for (const pages of [1, 2] as const) {
    for (let tight = 0; tight <= closest; ++tight) {
      if (!attempt(pages, tight)) continue;
      found = { pages, tight: String(tight) };
      break search;
    }
  }
  probe.remove();
  return found;
}

function Week({ week }: { week: PlacePlanSheet['weeks'][number] }): JSX.Element {
  return (
    <section class="week">
      <h2>{week.title}</h2>
      <div class="week-in">
        <div class="week-pics">
          {week.pictures.map(({ title, picture }) => (
            <figure key={title}>
              <Picture svg={picture} />
              <figcaption>{title}</figcaption>
            </figure>
          ))}
        </div>
        <table>
          <thead>
            <tr>
              {week.heads.map((head) => (
                <th scope="col">{head}</th>
              ))}
            </tr>
          </thead>
          <tbody>
            {week.rows.map((row) => (
              <tr key={row.day}>
                <th scope="row">{row.day}</th>
                {row.cells.map((cell, at) => (
                  <td>
                    <p class="cell" data-head={week.heads[at + 1] ?? ''}>
                      <b>{cell.number}</b> <span>{cell.text}</span>
                    </p>
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function Page({ sheet }: { sheet: PlacePlanSheet }): JSX.Element {
  const article = useRef<HTMLElement>(null);
  const [set, setSet] = useState<{ pages: 1 | 2; tight: string }>({ pages: 2, tight: '0' });
  useEffect(() => {
    void document.fonts.ready.then(() => {
      if (article.current) setSet(fit(article.current));
    });
  }, [sheet]);
  const who = (
    <p class="headline-who">
      <Said of="page.who" name={sheet.who.name} born={sheet.who.born_text} number={sheet.who.number} />
    </p>
  );
  return (
    <article class="plan-a4" ref={article} data-pages={set.pages} data-tight={set.tight}>
      {who}
      <h1 tabIndex={-1}>{sheet.title}</h1>
      <div class="plan-head">
        <div>
          {sheet.before && (
            <p class="plan-before">
              <Words text={sheet.before} />
            </p>
          )}
          <p>
            <Words text={sheet.lead} />
          </p>
          <p class="ord">
            {sheet.order_text} {sheet.clinic}
          </p>
        </div>
        <Picture svg={sheet.map} class="drawing plan-map" />
      </div>
      <div class="weeks">
        {sheet.weeks.map((week) => (
          <Week key={week.title} week={week} />
        ))}
      </div>
      <div class="plan-foot">
        {sheet.rules.length > 0 && (
          <ul class="plan-rules">
            {sheet.rules.map((rule) => (
              <li>
                <Words text={rule} />
              </li>
            ))}
          </ul>
        )}
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
      </div>
    </article>
  );
}

/** Giving it is recorded by its own button: what was only looked at binds no later plan. */
function Acts({ id, doc, zone }: { id: string; doc: Doc<PlacePlanSheet>; zone: string }): JSX.Element {
  const sheet = doc.doc;
  const recorder = useRecorder(sheet ? { path: `/api/people/${id}/facts`, version: sheet.seen_version, zone, reload: doc.reload } : null);
  return (
    <>
      <div class="sheet-acts scr">
        <a class="act" href={`/people/${id}/skin`}>
          {say('skin.back')}
        </a>
        {sheet && <PrintButton of={doc} label={say('skin.plan_print')} />}
        {sheet && <RecordButton action={{ ...sheet.give, label: sheet.give.label || say('skin.plan_give') }} recorder={recorder} />}
      </div>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </>
  );
}

export function PlacePlanPage({ id, query, zone }: { id: string; query: URLSearchParams; zone: string }): JSX.Element {
  const from = query.get('from');
  const doc = useDocument<PlacePlanSheet>(`/api/people/${id}/place-plan${from === null ? '' : `?from=${encodeURIComponent(from)}`}`, {
    everyMinute: true,
  });
  const sheet = doc.doc;
  useTitle(sheet ? say('skin.plan_of', { name: sheet.who.name }) : say('skin.plan'), sheet !== null);
  useEffect(() => printedFor(sheet?.who ?? null, sheet?.printed_text ?? '', 'plan'), [sheet]);
  useEffect(() => {
    document.body.classList.add('steps-sheet', 'plan-sheet');
    return () => document.body.classList.remove('steps-sheet', 'plan-sheet');
  }, []);
  return (
    <>
      <Acts id={id} doc={doc} zone={zone} />
      <Shown of={doc}>{(loaded) => <Page sheet={loaded} />}</Shown>
    </>
  );
}
