// What goes home on paper: the standing dial card, a log sheet of four weeks, and what was done at a visit.
import type { ComponentChildren, JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { useDocument, type Doc } from '../document';
import type { DialCard, LogSheet, OrderOnPaper, Rich, VisitSheet, WithPhones } from '../model';
import { PrintButton } from '../parts/print-button';
import { Shown } from '../parts/states';
import { capital, Mark, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { printedFor } from '../print';
import { WindowTable } from './next';
import { fit } from './steps';
import { Said, say } from '../words';

const room_mm = 270; // A4 less the margins of a sheet, and a line of grace: what fills a page to its edge opens an empty one

/** The frame of each: the way back, the button, who it is about, when it was printed. */
function Paper<T extends OrderOnPaper>({
  id,
  doc,
  name,
  back = [say('papers.back'), '/background'],
  children,
}: {
  id: string;
  doc: Doc<T>;
  name: string;
  /** The way back, below the person's address. */
  back?: [label: string, end: string];
  children: (sheet: T) => ComponentChildren;
}): JSX.Element {
  const sheet = doc.doc;
  const article = useRef<HTMLElement>(null);
  const [tight, setTight] = useState('');
  useEffect(() => {
    void document.fonts.ready.then(() => {
      if (article.current) setTight(fit(article.current, room_mm));
    });
  }, [sheet]);
  useTitle(sheet ? `${name}, ${sheet.who.name}` : name, sheet !== null);
  useEffect(() => printedFor(sheet?.who ?? null, sheet ? `${sheet.order_text} ${capital(sheet.printed_text)}` : ''), [sheet]);
  useEffect(() => {
    document.body.classList.add('steps-sheet');
    return () => document.body.classList.remove('steps-sheet');
  }, []);
  return (
    <>
      <p class="sheet-acts scr">
        <a class="act" href={`/people/${id}${back[1]}`}>
          {back[0]}
        </a>
        {sheet && <PrintButton of={doc} />}
      </p>
      <Shown of={doc}>
        {(of) => (
          <article class="leaf-a4" ref={article} data-tight={tight}>
            <p class="headline-who">
              <Said of="page.who" name={of.who.name} born={of.who.born_text} number={of.who.number} />
            </p>
            <h1 tabIndex={-1}>{of.title}</h1>
            {children(of)}
            <p class="printed">
              {of.order_text} {of.clinic}, {of.printed_text}
            </p>
          </article>
        )}
      </Shown>
    </>
  );
}

function Line({ line }: { line: DialCard['lines'][number] }): JSX.Element {
  return (
    <section class="card-line">
      <h2>
        <Mark svg={line.mark} /> {line.purpose}
      </h2>
      <p>
        {line.insulin}. {line.pen}.
      </p>
      <ul class="card-doses">
        {line.doses.map((dose) => [
          <li>
            <span class="hour">{dose.hour}</span>
            <span class="card-dose">
              <b>{dose.dose_text}</b> {dose.divided}
            </span>
            <span>
              {dose.when}, <span class="nb">{dose.window_text}</span>
              {dose.in_already !== '' && <b>; {dose.in_already}</b>}
            </span>
          </li>,
          dose.tables.length > 0 && (
            <li class="card-tables">
              {dose.tables.map((table) => (
                <WindowTable table={table} />
              ))}
            </li>
          ),
        ])}
      </ul>
      <ul class="card-notes">
        {line.notes.map((note) => (
          <li>
            <Words text={note} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Card({ card }: { card: DialCard }): JSX.Element {
  return (
    <>
      <p class="line">
        <Words text={card.valid_text} />
      </p>
      {card.lines.map((line) => (
        <Line line={line} />
      ))}
      {card.every.length > 0 && (
        <section class="card-line">
          <h2>{say('card.every')}</h2>
          <ul class="card-notes">
            {card.every.map((note) => (
              <li>
                <Words text={note} />
              </li>
            ))}
          </ul>
        </section>
      )}
      {card.sections.map(({ title, text }) => (
        <section class="card-say">
          <h2>{title}</h2>
          <p>
            <Words text={text} />
          </p>
        </section>
      ))}
      <LowAndPhones of={card} />
    </>
  );
}

/** What ends each of them: a hypo, whom to phone, what comes first. */
const LowAndPhones = ({ of }: { of: WithPhones }): JSX.Element => (
  <>
    <section class="low">
      <h2>{of.low.title}</h2>
      <p>
        <Words text={of.low.text} />
      </p>
    </section>
    <section class="card-say">
      <h2>{say('card.phone')}</h2>
      <ul class="card-phones">
        {of.phones.map(({ who, phone }) => (
          <li>
            {who}: <b class="nb">{phone}</b>
          </li>
        ))}
      </ul>
      <p>{say('card.leaflets')}</p>
    </section>
  </>
);

export function DialCardPage({ id, query }: { id: string; query: URLSearchParams }): JSX.Element {
  const from = query.get('from');
  const doc = useDocument<DialCard>(`/api/people/${id}/dial-card${from === null ? '' : `?from=${encodeURIComponent(from)}`}`, {
    everyMinute: true,
  });
  return (
    <Paper id={id} doc={doc} name={say('card.page')}>
      {(card) => <Card card={card} />}
    </Paper>
  );
}

const SheetList = ({ title, rows }: { title: string; rows: Rich[] }): JSX.Element | null =>
  rows.length === 0 ? null : (
    <section class="card-say">
      <h2>{title}</h2>
      <ul class="sheet-list">
        {rows.map((row) => (
          <li>
            <Words text={row} />
          </li>
        ))}
      </ul>
    </section>
  );

function VisitOnPaper({ sheet }: { sheet: VisitSheet }): JSX.Element {
  return (
    <>
      <p class="line">
        <Words text={sheet.valid_text} />
      </p>
      <SheetList title={say('visit.sheet_done')} rows={sheet.done} />
      <SheetList title={say('visit.sheet_new')} rows={sheet.news} />
      <section class={sheet.ask_first ? 'card-say ask-first' : 'card-say'}>
        <h2>{say('visit.sheet_dose')}</h2>
        <p>
          <Words text={sheet.dose} />
        </p>
      </section>
      <section class="card-say">
        <h2>{sheet.forgot.title}</h2>
        <p>
          <Words text={sheet.forgot.text} />
        </p>
      </section>
      <SheetList title={say('visit.sheet_next')} rows={sheet.next} />
      <LowAndPhones of={sheet} />
    </>
  );
}

export function VisitSheetPage({ id }: { id: string }): JSX.Element {
  const doc = useDocument<VisitSheet>(`/api/people/${id}/visit-sheet`, { everyMinute: true });
  return (
    <Paper id={id} doc={doc} name={say('visit.sheet')} back={[say('papers.visit_back'), '']}>
      {(sheet) => <VisitOnPaper sheet={sheet} />}
    </Paper>
  );
}

function Log({ log }: { log: LogSheet }): JSX.Element {
  const blanks = ['log.dose', 'log.glucose', 'log.site'] as const;
  return (
    <>
      <p class="log-lead">{log.lead}</p>
      <table class="log">
        <thead>
          <tr>
            <th scope="col" rowSpan={2}>
              {say('log.day')}
            </th>
            {log.columns.map(({ hour, insulin }) => (
              <th scope="colgroup" colSpan={blanks.length}>
                <b>{hour}</b> {insulin}
              </th>
            ))}
          </tr>
          <tr>{log.columns.map(() => blanks.map((blank) => <th scope="col">{say(blank)}</th>))}</tr>
        </thead>
        <tbody>
          {log.days.map(({ day, due }) => (
            <tr key={day}>
              <th scope="row">{day}</th>
              {due.map((here) => blanks.map(() => <td class={here ? undefined : 'off'}>{here ? '' : say('log.no_dose')}</td>))}
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

export function LogSheetPage({ id }: { id: string }): JSX.Element {
  const doc = useDocument<LogSheet>(`/api/people/${id}/log-sheet`, { everyMinute: true });
  return (
    <Paper id={id} doc={doc} name={say('log.page')}>
      {(log) => <Log log={log} />}
    </Paper>
  );
}
