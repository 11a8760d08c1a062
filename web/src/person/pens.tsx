import type { JSX } from 'preact';
import type { PenCard } from '../model';
import { Notices } from '../parts/notice';
import { RecordButton } from '../parts/record-button';
import { EmptyState } from '../parts/states';
import { isEmpty, Mark, Picture, Words } from '../parts/text';
import type { Recorder } from '../recorder';
import { PersonFrame } from './frame';
import { Said, say } from '../words';

function Cartridge({ of }: { of: NonNullable<PenCard['cartridge']> }): JSX.Element {
  return (
    <>
      <Picture svg={of.barrel} class="barrel" />
      <div class="pf">
        <Picture svg={of.pips} />
        <p>
          <Words text={of.in_use} />
        </p>
      </div>
      <div class="pf2">
        <p>
          <Words text={of.sums} />
        </p>
        {!isEmpty(of.after) && (
          <p>
            <Words text={of.after} />
          </p>
        )}
      </div>
      {of.lot_text && <p class="lot">{of.lot_text}</p>}
    </>
  );
}

function Pen({ pen, recorder }: { pen: PenCard; recorder: Recorder }): JSX.Element {
  return (
    <article class="pen">
      <div class="ph">
        <Mark svg={pen.mark} />
        <h3>
          {pen.insulin} <span class="quiet">{pen.strength_text}</span>
        </h3>
        {pen.cartridge && (
          <p class="big">
            <b>{pen.cartridge.left_text}</b> {pen.cartridge.left_unit}
          </p>
        )}
      </div>
      <p class="pn">{[pen.pen_name, pen.window_text].filter((text) => text !== '').join('; ')}</p>
      {pen.cartridge ? <Cartridge of={pen.cartridge} /> : pen.empty && <EmptyState empty={pen.empty} />}
      {(pen.sealed.text !== '' || pen.sealed.pictures.length > 0) && (
        <div class="sealed">
          <p>{pen.sealed.text}</p>
          {pen.sealed.pictures.map((picture) => (
            <Picture svg={picture} />
          ))}
        </div>
      )}
      <Notices notices={pen.notices} />
      {pen.actions.length > 0 && (
        <div class="btns scr">
          {pen.actions.map((action) => (
            <RecordButton key={action.label} action={action} recorder={recorder} kind="act plain slim" />
          ))}
        </div>
      )}
    </article>
  );
}

function PensSection({ id, pens, recorder }: { id: string; pens: PenCard[]; recorder: Recorder }): JSX.Element {
  return (
    <section class="sec pens">
      <header>
        <h2>{say('pens.title')}</h2>
        {pens.length > 0 && (
          <ul class="key">
            <li>
              <i class="k solid" />
              {say('pens.left')}
            </li>
            <li>
              <i class="k hatch" />
              {say('pens.primed')}
            </li>
            <li>
              <i class="k ghost" />
              {say('pens.injected')}
            </li>
            <li>
              <i class="k notch" />
              {say('pens.after')}
            </li>
            <li>
              <i class="k notch open" />
              {say('pens.after_if')}
            </li>
          </ul>
        )}
      </header>
      {pens.length === 0 && (
        <p>
          <Said of="pens.none" />
        </p>
      )}
      <div class={pens.length > 1 ? 'pair' : 'alone'}>
        {pens.map((pen) => (
          <Pen key={pen.id} pen={pen} recorder={recorder} />
        ))}
      </div>
      {pens.some((pen) => pen.cartridge) && <p class="hint">{say('pens.cells')}</p>}
      <p class="btns scr">
        {pens.length > 0 && (
          <a class="act" href={`/people/${id}/load`}>
            {say('load.title')}
          </a>
        )}
        <a class="act" href={`/people/${id}/pens/new`}>
          {say('pens.give')}
        </a>
        <a class="act" href={`/people/${id}/supplies/give`}>
          {say('supply.give')}
        </a>
      </p>
    </section>
  );
}

export const PensPage = ({ id }: { id: string }): JSX.Element => (
  <PersonFrame id={id} tab="tab.pens" title={say('tab.pens')} everyMinute>
    {({ person, recorder }) => <PensSection id={id} pens={person.pens} recorder={recorder} />}
  </PersonFrame>
);
