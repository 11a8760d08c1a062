// Closing a visit: the note as it was recorded, her own words, the next contact, and who has what is still open.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { localNow, zoned } from '../clock';
import { useDocument, useFresh, type Doc } from '../document';
import { timeOf } from '../facts/time';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft, NextCard, Person, Visit } from '../model';
import { LongField, RadioField, TextField, TimeField } from '../parts/fields';
import { Form, useTyped } from '../parts/form';
import { ShownIn } from '../parts/states';
import { LevelMark, Words } from '../parts/text';
import { PersonFrame, type InFrame } from './frame';
import { say } from '../words';

function Note({ visit }: { visit: Visit }): JSX.Element {
  return (
    <>
      <header>
        <h2>{say('close.note')}</h2>
        <p>{visit.note_text}</p>
      </header>
      {visit.note.length === 0 && <p class="soft">{say('close.nothing')}</p>}
      <ol>
        {visit.note.map(({ label, text, source }) => (
          <li>
            <p class="k1">{label}</p>
            <p>
              <Words text={text} />
            </p>
            <p class="src">{source}</p>
          </li>
        ))}
      </ol>
    </>
  );
}

/** The next injection, where a rest of it is owed: on the visit its card says so, beside the list. While it is on hold, a row says that. */
const openNext = ({ next }: Person): NextCard[] => (next?.state === 'dial' && next.part_text !== '' ? [next] : []);

function LeftOpen({ person }: Pick<InFrame, 'person'>): JSX.Element {
  return (
    <ul class="left">
      {person.notices.map((thing) => (
        <li>
          <LevelMark level={thing.level} word={thing.level_word} />
          <p>
            <Words text={thing.text} />
          </p>
        </li>
      ))}
      {person.asks.map((card) => (
        <li>
          <LevelMark level="caution" word={say('page.caution')} />
          <p>
            <b>{card.purpose}</b>: {card.title}
          </p>
        </li>
      ))}
      {openNext(person).map(({ purpose, part_text }) => (
        <li>
          <LevelMark level="caution" word={say('page.caution')} />
          <p>
            <b>{purpose}</b>: {part_text}
          </p>
        </li>
      ))}
    </ul>
  );
}

/** What was typed, as the facts of one closed visit: the visit first, that they came, and the next contact. */
function drafts(visit: Visit, values: Record<string, string>, day: string, zone: string): FactDraft[] {
  const [closed, ...came] = visit.close as [FactDraft, ...FactDraft[]];
  const said = (name: string, text = ''): Record<string, string> => (text.trim() === '' ? {} : { [name]: text.trim() });
  const full = {
    ...closed,
    ...said('text', values['text']),
    ...said('left_open_with', values['with']),
    ...said('left_open_by', zoned(values['until'] ?? '', zone)),
  };
  if (day === '') return [...came, full];
  const next = {
    what: 'appointment made',
    why: visit.next.why,
    meeting: values['meeting'] ?? '',
    at: zoned(`${day}T${timeOf(values['time'] ?? '') ?? ''}`, zone),
    ...said('with', values['next_with']),
  };
  return [...came, next, full];
}

function DayRule({ visit, day, choose }: { visit: Visit; day: string; choose: (day: string) => void }): JSX.Element {
  return (
    <fieldset class="dayrule">
      <legend>{say('close.day')}</legend>
      <div class="days">
        {visit.next.days.map(({ value, label, closed, agreed }) => (
          <label class={`option ${closed ? 'closed' : ''}`}>
            <input type="radio" name="day" value={value} checked={day === value} onChange={() => choose(value)} />
            <span>
              {label}
              {closed && <small>{say('close.closed')}</small>}
              {agreed !== '' && <small>{agreed}</small>}
            </span>
          </label>
        ))}
        <label class="option">
          <input type="radio" name="day" value="" checked={day === ''} onChange={() => choose('')} />
          <span>{say('close.none')}</span>
        </label>
      </div>
    </fieldset>
  );
}

function CloseForm({ person, recorder, visit }: Pick<InFrame, 'person' | 'recorder'> & { visit: Visit }): JSX.Element {
  const agreed = visit.next.days.some((day) => day.agreed !== '');
  const [day, setDay] = useState(agreed ? '' : visit.next.day);
  const typed = useTyped({ text: '', meeting: visit.next.meeting, time: '09:30', next_with: '', with: '', until: '' });
  const form = useFactForm(recorder, typed, `/people/${person.id}`);
  const open = person.notices.length + person.asks.length + openNext(person).length > 0;
  const submit = (): void => {
    if (open && typed.values.with.trim() === '') form.complain({ with: say('form.required') });
    else void form.send(say('visit.close'), drafts(visit, typed.values, day, person.forms.zone), []);
  };
  return (
    <Form submit={submit} button={say('visit.close')} busy={recorder.busy} refused={form.refused} cancel={`/people/${person.id}`}>
      <div class="cgrid">
        <div>
          <section class="vnote">
            <Note visit={visit} />
            <LongField {...typed.field('text', say('close.added'))} />
            <p class="hint2">{say('close.correct')}</p>
          </section>
          {open && (
            <section class="sec">
              <header>
                <h2>{say('close.open')}</h2>
              </header>
              <LeftOpen person={person} />
              <div class="fields">
                <TextField {...typed.field('with', say('close.whose'))} wrong={form.wrong['with']} needed />
                <TextField
                  {...typed.field('until', say('close.until'))}
                  type="datetime-local"
                  now={localNow(person.forms.zone)}
                  sense="lies ahead"
                  short
                  wrong={form.wrong['left_open_by']}
                />
              </div>
            </section>
          )}
        </div>
        <div class="cside">
          <section class="sec">
            <header>
              <h2>{say('close.next')}</h2>
            </header>
            <DayRule visit={visit} day={day} choose={setDay} />
            {day === visit.next.day && <p class="then">{visit.next.why_text}</p>}
            {day !== '' && (
              <div class="fields">
                <RadioField {...typed.field('meeting', say('close.how'))} choices={visit.next.meetings} needed />
                <TimeField {...typed.field('time', say('close.time'))} needed wrong={form.wrong['at']} />
                <TextField {...typed.field('next_with', say('close.with'))} />
              </div>
            )}
          </section>
        </div>
      </div>
    </Form>
  );
}

function Page({ person, recorder, visit }: InFrame & { visit: Doc<Visit> }): JSX.Element {
  useFresh(visit, person.version);
  return (
    <ShownIn of={visit} title={say('visit.close')}>
      {(loaded) => <CloseForm person={person} recorder={recorder} visit={loaded} />}
    </ShownIn>
  );
}

export function ClosePage({ id }: { id: string }): JSX.Element {
  const visit = useDocument<Visit>(`/api/people/${id}/visit`);
  return (
    <PersonFrame
      id={id}
      tab="tab.visit"
      title={say('visit.close')}
      acts={() => (
        <>
          <a class="act" href={`/people/${id}/visit-sheet`}>
            {say('visit.sheet')}
          </a>
          <a class="act" href={`/people/${id}`}>
            {say('close.back')}
          </a>
        </>
      )}
    >
      {(inside) => <Page {...inside} visit={visit} />}
    </PersonFrame>
  );
}
