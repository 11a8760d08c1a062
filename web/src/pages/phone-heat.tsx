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
import { say } from '../words';

/** The numbers stand where somebody is told to phone. */
function Numbers(): JSX.Element | null {
  const { doc: value } = useDocument<Clinic>('/api/clinic');
  if (!value || (value.phone === '' && value.emergency === '')) return null;
  return (
    <p class="numbers">
      {value.phone !== '' && <>{say('phone.clinic', { number: value.phone })} </>}
      {value.emergency !== '' && say('phone.emergency', { number: value.emergency })}
    </p>
  );
}

function Heat({ answer }: { answer: WarmthAnswer }): JSX.Element {
  return (
    <div class="heat">
      <p class="verdict">
        {answer.limit_broken && <LevelMark level="stop" word={say('page.stop')} />}
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
        <h2>{say('phone.nurse_only')}</h2>
        <p>{answer.for_nurse}</p>
        {answer.lost_percent !== null && <p class="small soft">{answer.source}.</p>}
      </section>
    </div>
  );
}

function Label({ typed, wrong }: { typed: Typed<Values>; wrong: (field: string) => string | undefined }): JSX.Element {
  return (
    <Group title={say('phone.label')}>
      <TextField
        {...typed.field('in_use_days', say('products.in_use'))}
        decimal
        unit={say('unit.days')}
        needed
        wrong={wrong('in_use_days')}
      />
      <TextField
        {...typed.field('in_use_most_celsius', say('phone.in_use_most'))}
        decimal
        unit={say('unit.celsius')}
        needed={false}
        wrong={wrong('in_use_most_celsius')}
        hint={say('phone.in_use_most_hint')}
      />
      <TextField
        {...typed.field('insulin', say('products.insulin'))}
        needed={false}
        wrong={wrong('insulin')}
        hint={say('phone.insulin_hint')}
      />
    </Group>
  );
}

export function PhoneHeatPage(): JSX.Element {
  const typed = useTyped<Values>({ frozen: 'false', celsius: '', hours: '', in_use_days: '28', in_use_most_celsius: '', insulin: '' });
  const desk = useAnswer<WarmthAnswer>('/api/warmth', typed.values);
  useTitle(say('phone.heat_title'));
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
        {say('nav.phone')} <span>{say('phone.heat_about')}</span>
      </h1>
      <PhoneTabs current="phone.heat" />
      <div class="phone-cols">
        <Form submit={() => void submit()} button={say('phone.work_out')} busy={desk.busy} refused={desk.refused}>
          <Group title={say('phone.happened')}>
            <CheckField label={say('phone.frozen')} name="frozen" value={frozen} set={(on) => typed.change({ frozen: String(on) })} />
            {!frozen && (
              <TextField
                {...typed.field('celsius', say('phone.celsius'))}
                decimal
                unit={say('unit.celsius')}
                needed
                wrong={desk.wrong('celsius')}
              />
            )}
            {!frozen && (
              <TextField
                {...typed.field('hours', say('phone.hours'))}
                decimal
                unit={say('unit.hours')}
                needed
                wrong={desk.wrong('hours')}
                hint={say('phone.hours_hint', { hours: 5 })}
              />
            )}
          </Group>
          <Label typed={typed} wrong={desk.wrong} />
        </Form>
        <div class="answer-side" aria-live="polite">
          {desk.busy && <Waiting />}
          {desk.answer && <Heat answer={desk.answer} />}
          {!desk.answer && !desk.busy && <p class="soft">{say('phone.heat_answer')}</p>}
        </div>
      </div>
    </>
  );
}
