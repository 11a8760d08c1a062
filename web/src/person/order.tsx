import type { JSX } from 'preact';
import type { Order, OrderLine } from '../model';
import { RecordButton } from '../parts/record-button';
import { EmptyState } from '../parts/states';
import { Mark, Words } from '../parts/text';
import type { Recorder } from '../recorder';
import { PersonFrame } from './frame';
import { say } from '../words';

const past = (line: OrderLine): boolean => line.state === 'ended' || line.state === 'replaced';

// A new order is copied above all where the one before it is in question (H37).
const mayChange = ({ state }: OrderLine): boolean => state === 'current' || state === 'in question' || state === 'not yet';

function Line({ person, line, recorder }: { person: string; line: OrderLine; recorder: Recorder }): JSX.Element {
  return (
    <li class={past(line) ? 'past' : undefined}>
      <Mark svg={line.mark} />
      <div>
        <p>
          <b>{line.purpose}</b>, {line.insulin} {line.strength_text}{' '}
          {line.state_text && <span class={`flag ${line.level ?? 'note'}`}>{line.state_text}</span>}
        </p>
        <p>
          <Words text={line.doses} />
        </p>
        <p class="small soft">{[line.dates, line.prescriber, line.copied, line.checked].filter((text) => text !== '').join('; ')}</p>
        {(line.actions.length > 0 || line.to_check || mayChange(line)) && (
          <div class="btns scr">
            {line.to_check && (
              <a class="act slim" href={`/people/${person}/order/check?line=${line.id}`}>
                {say('order.check')}
              </a>
            )}
            {mayChange(line) && (
              <a class="act slim" href={`/people/${person}/order/new?replaces=${line.id}`}>
                {say('order.change')}
              </a>
            )}
            {line.actions.map((action) => (
              <RecordButton
                key={action.label}
                action={action}
                recorder={recorder}
                kind={line.state === 'current' ? 'act plain slim' : 'act slim'}
              />
            ))}
          </div>
        )}
      </div>
    </li>
  );
}

function OrderSection({ id, order, recorder }: { id: string; order: Order; recorder: Recorder }): JSX.Element {
  const lines = order.lines.filter((line) => !past(line));
  const gone = order.lines.filter(past);
  return (
    <section class="sec order">
      <header>
        <h2>{say('order.title')}</h2>
        <p>
          {order.version_text}{' '}
          {!(order.empty && lines.length === 0) && (
            <a class="act slim scr" href={`/people/${id}/order/new`}>
              {say('order.copy')}
            </a>
          )}
        </p>
      </header>
      {order.empty && lines.length === 0 && <EmptyState empty={order.empty} />}
      {lines.length > 0 && (
        <ul class={lines.length > 1 ? 'two-up' : undefined}>
          {lines.map((line) => (
            <Line key={line.id} person={id} line={line} recorder={recorder} />
          ))}
        </ul>
      )}
      {gone.length > 0 && (
        <details class="scr">
          <summary>{say('order.past')}</summary>
          <ul>
            {gone.map((line) => (
              <Line key={line.id} person={id} line={line} recorder={recorder} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

export const OrderTabPage = ({ id }: { id: string }): JSX.Element => (
  <PersonFrame id={id} tab="tab.order" title={say('tab.order')} everyMinute>
    {({ person, recorder }) => <OrderSection id={id} order={person.order} recorder={recorder} />}
  </PersonFrame>
);
