// Cover: how long everything in the house lasts, a cell a day, and by which day to ask. The head of "Supplies".
import type { JSX } from 'preact';
import type { CoverSection } from '../model';
import { Notices } from '../parts/notice';
import { RecordButton } from '../parts/record-button';
import { EmptyState } from '../parts/states';
import { isEmpty, Picture, plain, Words } from '../parts/text';
import type { Recorder } from '../recorder';
import { say } from '../words';

/** The wide drawing or the narrow one: the other is not on the page at all for whoever listens (look/supplies.css). */
function Pictures({ cover }: { cover: CoverSection }): JSX.Element | null {
  if (cover.picture === '') return null;
  return (
    <>
      <Picture svg={cover.picture} class={`drawing days ${cover.picture_narrow === '' ? '' : 'wide-only'}`} />
      <Picture svg={cover.picture_narrow} class="drawing days narrow-only" />
    </>
  );
}

/** What the drawing says, in words: read aloud always, seen where there is no room for the wide drawing. */
function Rows({ cover }: { cover: CoverSection }): JSX.Element | null {
  if (cover.rows.length === 0) return null;
  const said = new Set(cover.lead.map(plain));
  return (
    <ul class={cover.picture === '' ? 'cover-rows' : 'cover-rows ear'}>
      {cover.rows.map(({ name, stock_text: stock, text }) => (
        <li key={name}>
          <b>{name}</b> <span class="soft">{stock}</span>
          {!isEmpty(text) && !said.has(plain(text)) && (
            <p>
              <Words text={text} />
            </p>
          )}
        </li>
      ))}
    </ul>
  );
}

export function CoverView({ cover, recorder }: { cover: CoverSection; recorder: Recorder }): JSX.Element {
  return (
    <section class="sec cover">
      <header>
        <h2>{say('supply.cover')}</h2>
        {!isEmpty(cover.note) && (
          <p>
            <Words text={cover.note} />
          </p>
        )}
      </header>
      {cover.lead.map((text) => (
        <p class="lead">
          <Words text={text} />
        </p>
      ))}
      {cover.empty && <EmptyState empty={cover.empty} />}
      <div class="cover-in">
        <Pictures cover={cover} />
        <Rows cover={cover} />
      </div>
      <Notices notices={cover.notices} />
      {cover.asks.length > 0 && (
        <p class="btns scr">
          {cover.asks.map((action) => (
            <RecordButton key={action.label} action={action} recorder={recorder} />
          ))}
        </p>
      )}
      {cover.defer && <p class="small soft">{cover.defer}</p>}
    </section>
  );
}
