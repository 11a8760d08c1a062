// A mistake is corrected by a later fact that names it: voided, or replaced as a whole, with a reason.
import type { JSX } from 'preact';
import { localNow, zoned } from '../clock';
import { factToValues, localOf, missing, replacementOf, wantedOf } from '../facts/draft';
import { FactFields } from '../facts/fact-fields';
import { useForms } from '../facts/forms';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft, JournalRow, KindSpec } from '../model';
import { Dialog } from '../parts/dialog';
import { RadioField, TextField } from '../parts/fields';
import { Form, useTyped, type Typed, type Values } from '../parts/form';
import { Shown } from '../parts/states';
import { Words } from '../parts/text';
import type { InFrame } from './frame';
import { say } from '../words';

const unwanted = ['id', 'journal', 'happened', 'sequence', 'recorded', 'author', 'source', 'told_by', 'version'];

/** Only what the kind itself says: the envelope belongs to the correction. */
function payloadOf(fact: FactDraft): FactDraft {
  const payload: FactDraft = { ...fact };
  for (const name of unwanted) delete payload[name];
  return payload;
}

/** The time as it stands, unless another one was typed. */
function whenOf(row: JournalRow, typed: string, zone: string): Record<string, unknown> {
  const before = row.fact['happened'];
  return { happened: typed === '' || typed === localOf(String(before)) ? before : zoned(typed, zone) };
}

interface Correcting {
  row: JournalRow;
  inside: InFrame;
  close: () => void;
}

export function Correction(correcting: Correcting): JSX.Element {
  const forms = useForms();
  return (
    <Shown of={forms}>
      {(loaded) => <Corrected {...correcting} kind={loaded.forms.find(({ what }) => what === correcting.row.fact.what)} />}
    </Shown>
  );
}

const HappenedField = ({ typed, zone }: { typed: Typed<Values>; zone: string }): JSX.Element => (
  <TextField
    {...typed.field('correct_happened', say('form.date_time'))}
    type="datetime-local"
    now={localNow(zone)}
    sense="happened"
    needed
  />
);

function Corrected({ row, inside, close, kind }: Correcting & { kind: KindSpec | undefined }): JSX.Element {
  const { person, recorder } = inside;
  const typed = useTyped<Values>({
    how: kind ? '' : 'void',
    reason: '',
    correct_happened: localOf(String(row.fact['happened'])),
    ...(kind ? factToValues(kind, row.fact) : {}),
  });
  const form = useFactForm(recorder, typed, close);
  const leave = (): void => {
    typed.settled();
    close();
  };
  const replaces = typed.values['how'] === 'replace' && kind !== undefined;
  const submit = (): void => {
    const empty = replaces ? missing(kind, typed.values) : [];
    if (empty.length > 0) return form.complain(Object.fromEntries(empty.map((name) => [name, say('form.required')])));
    const replacement = replaces
      ? {
          replacement: {
            ...whenOf(row, typed.values['correct_happened'] ?? '', person.forms.zone),
            ...replacementOf(kind, payloadOf(row.fact), typed.values, person.forms.zone),
          },
        }
      : {};
    const draft: FactDraft = { what: 'correction', target: row.id, reason: (typed.values['reason'] ?? '').trim(), ...replacement };
    const wanted: [string, string][] = [
      [say('page.reason'), typed.values['reason'] ?? ''],
      ...(replaces ? wantedOf(kind, typed.values, person) : []),
    ];
    void form.send(say(replaces ? 'correct.replaced' : 'correct.voided'), [draft], wanted);
  };
  return (
    <Dialog title={say('correct.title')} close={leave} wide>
      <p class="after">
        <b>{row.when_text}</b> <Words text={row.sentence} />
      </p>
      <p class="soft small">{say('correct.kept')}</p>
      <Form
        submit={submit}
        button={say(replaces ? 'correct.replace' : 'correct.void')}
        busy={recorder.busy}
        refused={form.refused}
        first={false}
        cancel={leave}
      >
        {kind && (
          <RadioField
            {...typed.field('how', say('correct.what'))}
            needed
            choices={[
              { value: 'replace', label: say('correct.how_replace') },
              { value: 'void', label: say('correct.how_void') },
            ]}
            stacked
          />
        )}
        {replaces && (
          <>
            <FactFields kind={kind} person={person} typed={typed} wrong={form.wrong} />
            <HappenedField typed={typed} zone={person.forms.zone} />
          </>
        )}
        <TextField {...typed.field('reason', say('correct.reason'))} needed />
      </Form>
    </Dialog>
  );
}
