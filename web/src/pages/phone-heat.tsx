// Heat and frost, asked on the phone: what the label says comes first and is what is said; the estimate stands apart, for the nurse, and never on
// paper (H49). Nobody's record is read or written.
import type { JSX } from 'preact';
import { amount, optional } from '../facts/amount';
import { useDocument } from '../document';
import type { Clinic, WarmthAnswer } from '../model';
import { CheckField, TextField } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { Waiting } from '../parts/states';
import { LevelMark } from '../parts/text';
import { useTitle } from '../parts/title';
import { PhoneTabs } from './phone-tabs';
import { useAnswer } from './use-answer';

/** The numbers stand where somebody is told to phone. */
function Numbers(): JSX.Element | null {
  const { doc: value } = useDocument<Clinic>('/api/clinic');
  if (!value || (value.phone === '' && value.emergency === '')) return null;
  return (
    <p class="numbers">
      {value.phone !== '' && <>Clinic: {value.phone}. </>}
      {value.emergency !== '' && <>Emergency: {value.emergency}.</>}
    </p>
  );
}

function Heat({ answer }: { answer: WarmthAnswer }): JSX.Element {
  return (
    <div class="heat">
      <p class="verdict">
        {answer.limit_broken && <LevelMark level="stop" word="Stop" />}
        <b>{answer.do_first}</b>
      </p>
      <p>{answer.why}</p>
      {answer.limit_broken && <Numbers />}
      <ul class="said">
        {answer.cautions.map(({ code, text }) => (
          <li key={code}>{text}</li>
        ))}
      </ul>
      <p class="small soft">{answer.defer}</p>
      <section class="for-nurse scr">
        <h2>For the nurse only</h2>
        <p>{answer.for_nurse}</p>
        {answer.lost_percent !== null && <p class="small soft">{answer.source}.</p>}
      </section>
    </div>
  );
}

function Label({ typed, wrong }: { typed: Typed<Values>; wrong: (field: string) => string | undefined }): JSX.Element {
  return (
    <Group title="What its label says">
      <TextField {...typed.field('in_use_days', 'In use it serves')} decimal unit="days" needed wrong={wrong('in_use_days')} />
      <TextField
        {...typed.field('in_use_most_celsius', 'In use not above')}
        decimal
        unit="°C"
        needed={false}
        wrong={wrong('in_use_most_celsius')}
        hint="Empty: what the shelf has for this insulin, or else the strictest label."
      />
      <TextField
        {...typed.field('insulin', 'Insulin')}
        needed={false}
        wrong={wrong('insulin')}
        hint="Generic name: its limit for heat is looked up."
      />
    </Group>
  );
}

export function PhoneHeatPage(): JSX.Element {
  const typed = useTyped<Values>({ frozen: 'false', celsius: '', hours: '', in_use_days: '28', in_use_most_celsius: '', insulin: '' });
  const desk = useAnswer<WarmthAnswer>('/api/warmth', typed.values);
  useTitle('Phone desk, heat');
  const { values } = typed;
  const frozen = values['frozen'] === 'true';
  const submit = async (): Promise<void> => {
    const spell = { celsius: amount(values['celsius'] ?? ''), hours: amount(values['hours'] ?? '') };
    await desk.ask({
      in_use_days: amount(values['in_use_days'] ?? ''),
      ...(frozen ? { frozen } : { spells: [spell] }),
      ...optional('in_use_most_celsius', values['in_use_most_celsius'] ?? '', amount),
      ...optional('insulin', values['insulin'] ?? '', (text) => text.trim()),
    });
    typed.settled();
  };
  return (
    <>
      <h1 class="headline" tabIndex={-1}>
        Phone desk <span>heat and frost</span>
      </h1>
      <PhoneTabs current="Heat" />
      <div class="phone-cols">
        <Form submit={() => void submit()} button="Work it out" busy={desk.busy} refused={desk.refused}>
          <Group title="What happened to it">
            <CheckField
              label="It was frozen, or lay against ice"
              name="frozen"
              value={frozen}
              set={(on) => typed.change({ frozen: String(on) })}
            />
            {!frozen && <TextField {...typed.field('celsius', 'How warm it was')} decimal unit="°C" needed wrong={desk.wrong('celsius')} />}
            {!frozen && (
              <TextField
                {...typed.field('hours', 'For how long')}
                decimal
                unit="hours"
                needed
                wrong={desk.wrong('hours')}
                hint="All of it that is known; an afternoon is 5."
              />
            )}
          </Group>
          <Label typed={typed} wrong={desk.wrong} />
        </Form>
        <div class="answer-side" aria-live="polite">
          {desk.busy && <Waiting />}
          {desk.answer && <Heat answer={desk.answer} />}
          {!desk.answer && !desk.busy && (
            <p class="soft">The answer stands here: use it or replace it, by the label. What may be lost stands apart, for you alone.</p>
          )}
        </div>
      </div>
    </>
  );
}
