// A tally by body area, a plate to work on, and what is recorded with it: where an injection really went, or an area that nobody injects into.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { newId, optional } from '../facts/amount';
import { useFactForm } from '../facts/use-fact-form';
import type { FactDraft, PlacesPage } from '../model';
import { RadioField, SelectField, TextField } from '../parts/fields';
import { Form, useTyped, type Typed, type Values } from '../parts/form';
import { Picture, plain } from '../parts/text';
import type { Recorder } from '../recorder';
import { saidOf } from './fields';
import { millimetres, placedOf, placeFields, saidPlace, spotOf } from './lengths';
import { PlaceFields } from './place-fields';
import { WorkPlate, type PlateWork } from './work-plate';
import { say } from '../words';

const noted = say('skin.actual');
const blocked = say('skin.blocked');

export const partOf = (zone: string): string => zone.split(' ')[0] ?? '';

const emptyPlace = { ...placeFields(), radius: '' };

/** The newest injection, while nobody has said where it went; otherwise somebody chooses. */
const startInjection = (page: PlacesPage): string => {
  const newest = page.injections[0];
  return newest && newest.x_mm === '' ? newest.id : '';
};

/** By body area, as strokes: what the four weeks come to. */
function Tallies({ page }: { page: PlacesPage }): JSX.Element | null {
  if (page.places.tallies.length === 0) return null;
  return (
    <div class="tallies">
      <h3>{say('skin.tally')}</h3>
      <ul>
        {page.places.tallies.map(({ zone, count, picture }) => (
          <li key={zone}>
            <span>
              {zone} <b>{count}</b>
            </span>
            <Picture svg={picture} class="drawing" />
          </li>
        ))}
      </ul>
    </div>
  );
}

export function PlateSwitch({ page, part, set }: { page: PlacesPage; part: string; set: (part: string) => void }): JSX.Element | null {
  if (page.places.plates.length < 2) return null;
  return (
    <div class="switch scr" role="group" aria-label={say('skin.part')}>
      {page.places.plates.map((plate) => (
        <button key={plate.part} type="button" class="act slim" aria-pressed={plate.part === part} onClick={() => set(plate.part)}>
          {plate.title}
        </button>
      ))}
    </div>
  );
}

function NoteFields({ page, typed, wrong }: { page: PlacesPage; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  const chosen = page.injections.find(({ id }) => id === typed.values['injection']);
  return (
    <>
      <SelectField
        {...typed.field('injection', say('skin.which'))}
        empty={say('form.choose')}
        needed
        wrong={wrong['injection']}
        choices={page.injections.map(({ id, when_text, place_text }) => ({ value: id, label: `${when_text}: ${place_text}` }))}
      />
      {chosen && <p class="small soft picked-text">{plain(chosen.text)}</p>}
      <PlaceFields typed={typed} zones={page.forms.zones} needed={false} wrong={wrong} />
      <p class="hint">{say('skin.point_hint')}</p>
      <TextField {...typed.field('told_by', say('form.reported_by'))} needed={false} hint={say('form.reported_by_hint')} />
    </>
  );
}

function BlockFields({ page, typed, wrong }: { page: PlacesPage; typed: Typed<Values>; wrong: Record<string, string> }): JSX.Element {
  return (
    <>
      <SelectField
        {...typed.field('tissue', say('skin.finding'))}
        choices={page.forms.tissues}
        empty={say('form.choose')}
        needed
        wrong={wrong['tissue']}
      />
      <PlaceFields typed={typed} zones={page.forms.zones} wrong={wrong} />
      <TextField {...typed.field('radius', say('skin.radius'))} decimal unit={say('unit.cm')} needed wrong={wrong['radius_mm']} />
      <p class="hint">{say('skin.radius_hint')}</p>
      <TextField {...typed.field('text', say('form.in_words'))} needed={false} wrong={wrong['text']} />
    </>
  );
}

const jobs = [
  { value: 'note', label: say('skin.actual') },
  { value: 'block', label: say('skin.blocked') },
];

function useBenchForm(page: PlacesPage, recorder: Recorder) {
  const typed = useTyped<Values>({ job: 'note', injection: startInjection(page), tissue: '', text: '', told_by: '', ...emptyPlace });
  const area = useRef(newId());
  const form = useFactForm(
    recorder,
    typed,
    () => {
      area.current = newId();
      typed.change({ injection: '', tissue: '', text: '', told_by: '', ...emptyPlace });
      typed.settled();
    },
    [noted, blocked],
  );
  const { values } = typed;
  const placed = placedOf(values);
  const note = (): void => {
    const { injection = '', zone = '' } = values;
    const half = !placed && (values['across'] !== '' || values['along'] !== '');
    if (half) return form.complain({ 'spot/x_mm': say('skin.both_cm') });
    const draft: FactDraft = {
      what: 'place noted',
      injection,
      zone,
      ...(placed ? { spot: spotOf(placed) } : {}),
      ...optional('told_by', values['told_by'] ?? '', (text) => text.trim()),
    };
    const which = page.injections.find(({ id }) => id === injection);
    void form.send(
      noted,
      [draft],
      [
        [say('skin.injection'), which?.when_text ?? ''],
        [say('skin.site'), placed ? saidPlace(placed, page.forms.zones) : saidOf(page.forms.zones, zone)],
      ],
    );
  };
  const block = (): void => {
    if (!placed) return form.complain({ zone: say('skin.middle_needed') });
    const draft: FactDraft = {
      what: 'area blocked',
      area: area.current,
      tissue: values['tissue'],
      zone: placed.zone,
      centre: spotOf(placed),
      radius_mm: millimetres(values['radius'] ?? ''),
      ...optional('text', values['text'] ?? '', (text) => text.trim()),
    };
    void form.send(
      blocked,
      [draft],
      [
        [say('skin.finding'), saidOf(page.forms.tissues, values['tissue'] ?? '')],
        [say('skin.site'), saidPlace(placed, page.forms.zones)],
        [say('skin.radius'), say('unit.cm_of', { value: values['radius'] ?? '' })],
      ],
    );
  };
  return { typed, form, placed, submit: values['job'] === 'block' ? block : note };
}

export function SkinBench({
  page,
  recorder,
  asked,
}: {
  page: PlacesPage;
  recorder: Recorder;
  asked: { injection: string; turn: number };
}): JSX.Element {
  const { typed, form, placed, submit } = useBenchForm(page, recorder);
  const [part, setPart] = useState(page.places.plates[0]?.part ?? '');
  const panel = useRef<HTMLDivElement>(null);
  const plate = page.places.plates.find((one) => one.part === part) ?? page.places.plates[0];
  const { values } = typed;
  const block = values['job'] === 'block';
  const show = (wanted: string): void => {
    if (page.places.plates.some((one) => one.part === wanted)) setPart(wanted);
  };
  const choose = (injection: string): void => {
    if (injection !== '') typed.change({ job: 'note', injection });
  };
  useEffect(() => show(partOf(values['zone'] ?? '')), [values['zone']]);
  useEffect(() => {
    if (asked.turn === 0) return;
    choose(asked.injection);
    show(partOf(page.injections.find(({ id }) => id === asked.injection)?.zone ?? ''));
    panel.current?.querySelector<HTMLElement>('select[name=injection]')?.focus();
  }, [asked.turn]);
  const work: PlateWork = {
    draw: block ? 'circle' : 'spot',
    zones: page.forms.zones,
    placed,
    radius_cm: values['radius'] ?? '',
    place: ({ zone, x_cm, y_cm }, radius) => typed.change({ ...placeFields({ zone, x_cm, y_cm }), ...(block ? { radius } : {}) }),
    mark: (injection) => {
      if (values['injection'] !== '') return false;
      choose(injection);
      return true;
    },
    leave: () => panel.current?.querySelector<HTMLElement>('input, select, button')?.focus(),
  };
  return (
    <div class={plate ? 'skin-bench' : 'skin-bench no-plate'}>
      <Tallies page={page} />
      {plate && (
        <div class="plates">
          <PlateSwitch page={page} part={plate.part} set={setPart} />
          <WorkPlate title={plate.title} picture={plate.picture} work={work} />
        </div>
      )}
      <div class="panel scr" ref={panel}>
        <Form
          submit={submit}
          button={block ? say('skin.block_record') : say('skin.note')}
          busy={recorder.busy}
          refused={form.refused}
          first={false}
        >
          <RadioField {...typed.field('job', say('skin.job'))} stacked choices={jobs} />
          {block ? (
            <BlockFields page={page} typed={typed} wrong={form.wrong} />
          ) : (
            <NoteFields page={page} typed={typed} wrong={form.wrong} />
          )}
        </Form>
      </div>
    </div>
  );
}
