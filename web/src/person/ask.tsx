// Ask first: a question to the prescriber, or what became of a dose. No window, no bold number, no steps (H37); its frame is broken.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import type { AskCard, Phoning } from '../model';
import { useAnchor } from '../parts/anchor';
import { Dialog } from '../parts/dialog';
import { FillForm } from '../parts/record-button';
import { Mark, Words } from '../parts/text';
import type { Recorder } from '../recorder';
import { Phones, RecordCall } from './phoning';
import { say } from '../words';

/** `done`: it was sent; what is asked back, or could not be saved, is said over the page, and stays. */
function AnswerDialog({
  card,
  recorder,
  done,
  close,
}: {
  card: AskCard;
  recorder: Recorder;
  done: () => void;
  close: () => void;
}): JSX.Element {
  const [chosen, choose] = useState<number | null>(card.answer.length === 1 ? 0 : null);
  const action = chosen === null ? undefined : card.answer[chosen];
  return (
    <Dialog title={card.answer_title} close={close}>
      <p class="soft">
        <Words text={card.text} />
      </p>
      <fieldset class="field radios stacked">
        <legend>{card.answer_legend}</legend>
        <div class="options">
          {card.answer.map((answer, at) => (
            <label key={answer.label} class="option">
              <input type="radio" name="answer" checked={chosen === at} onChange={() => choose(at)} />
              <span>{answer.label}</span>
            </label>
          ))}
        </div>
      </fieldset>
      {action && <FillForm key={chosen} action={action} recorder={recorder} done={done} />}
      <p class="btns">
        <button type="button" class="act plain" onClick={close}>
          {say('form.cancel')}
        </button>
      </p>
    </Dialog>
  );
}

export function AskFirst({ card, phoning, recorder }: { card: AskCard; phoning: Phoning; recorder: Recorder }): JSX.Element {
  const [open, setOpen] = useState(false);
  const anchor = useAnchor('ask');
  return (
    <section class="ask" {...(card.first ? anchor : {})} aria-label={`${card.purpose}: ${card.title}`}>
      <p class="at">
        <Mark svg={card.mark} />
        <b>{card.time_text}</b>
        <br />
        <span class="soft">{card.purpose}</span>
      </p>
      <div class="body">
        <h2>{card.title}</h2>
        <p>
          <Words text={card.text} />
        </p>
        {card.by_text && <p>{card.by_text}</p>}
        {card.phone_text && <p>{card.phone_text}</p>}
        {phoning.phones.length > 0 && (
          <p>
            {say('next.phone')}: <Phones of={phoning.phones} />
          </p>
        )}
      </div>
      <p class="do scr">
        {card.answer.length > 0 && (
          <button type="button" class={card.first ? 'act first' : 'act'} onClick={() => setOpen(true)}>
            {card.answer_button}
          </button>
        )}
        <RecordCall of={phoning} plain />
      </p>
      {open && (
        <AnswerDialog
          card={card}
          recorder={recorder}
          done={() => setOpen(false)}
          close={() => {
            recorder.close();
            setOpen(false);
          }}
        />
      )}
    </section>
  );
}
