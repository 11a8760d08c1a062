// What is at home, counted in one go. The account is not shown here: whoever sees it counts towards it. Afterwards both stand beside
// each other, and neither overwrites the other (H41).
import type { JSX } from 'preact';
import { amount } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft } from '../model';
import { TextField } from '../parts/fields';
import { Form, useTyped, type Values } from '../parts/form';
import { backTo, when, wrongAt, type InForm } from './fields';
import { say } from '../words';

export function CountForm({ person, recorder, page }: InForm): JSX.Element {
  const { insulins } = page.forms;
  const typed = useTyped<Values>({ ...Object.fromEntries(insulins.map((_, at) => [`sealed:${at}`, ''])), needles: '', ...when });
  const back = backTo(person.id);
  const form = useFactForm(recorder, typed, back);
  const { values } = typed;
  const typedAt = insulins.map((_, at) => at).filter((at) => (values[`sealed:${at}`] ?? '').trim() !== '');
  const withNeedles = (values['needles'] ?? '').trim() !== '';
  const submit = (): void => {
    const sealed = typedAt.flatMap((at): FactDraft[] => {
      const of = insulins[at];
      return of
        ? [
            {
              what: 'supplies counted',
              insulin: of.insulin,
              strength_units_per_ml: of.strength_units_per_ml,
              each_units: of.each_units,
              cartridges: amount(values[`sealed:${at}`] ?? ''),
            },
          ]
        : [];
    });
    const needles: FactDraft[] = withNeedles ? [{ what: 'supplies counted', needles: amount(values['needles'] ?? '') }] : [];
    const drafts = [...sealed, ...needles].map((draft) => ({ ...draft, ...whenDraft(values) }));
    if (drafts.length === 0) return form.complain({ needles: say('supply.count_nothing', { none: 0 }) });
    const wanted = typedAt.map((at): [string, string] => [
      insulins[at]?.label ?? '',
      say('supply.unopened_of', { count: values[`sealed:${at}`] ?? '' }),
    ]);
    void form.send(say('supply.count'), drafts, [...wanted, [say('supply.needles'), values['needles'] ?? '']]);
  };
  const wrongSealed = (at: number): string | undefined =>
    typedAt.includes(at) ? wrongAt(form, typedAt.indexOf(at))['cartridges'] : undefined;
  return (
    <section class="sec">
      <header>
        <h2>{say('supply.count')}</h2>
      </header>
      <p class="lead">{say('supply.count_lead', { none: 0 })}</p>
      <Form submit={submit} button={say('supply.count_record')} busy={recorder.busy} refused={form.refused} cancel={back}>
        <div class="fields">
          {insulins.map(({ label }, at) => (
            <TextField
              key={label}
              {...typed.field(`sealed:${at}`, label)}
              decimal
              unit={say('supply.unopened')}
              needed={false}
              wrong={wrongSealed(at)}
            />
          ))}
          <TextField
            {...typed.field('needles', say('supply.needles_all'))}
            decimal
            unit={say('unit.needles')}
            needed={false}
            wrong={wrongAt(form, typedAt.length)['needles']}
          />
        </div>
        <WhenFields typed={typed} zone={person.forms.zone} />
      </Form>
    </section>
  );
}
