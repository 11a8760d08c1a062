// Look and feel: how it was examined, where, what each known area is like now, and what is new. An area opens again only here.
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import type { Refused } from '../api';
import { amount, newId, optional } from '../facts/amount';
import { WhenFields, whenDraft } from '../facts/fact-fields';
import { useFactForm } from '../facts/use-fact-form';
import type { AreaRow, PlacesPage } from '../model';
import { CheckField, LongField, RadioField, SelectField, TextField } from '../parts/fields';
import { Form, Group, useTyped, type Typed, type Values } from '../parts/form';
import { Words } from '../parts/text';
import { partOf, PlateSwitch } from './bench';
import { CheckGroup, orUnknown, saidOf, scoped, ticked } from './fields';
import { centimetres, millimetres, placedOf, placeFields, spotOf, type Placed } from './lengths';
import { PhotoField, sendPhoto } from './photo';
import { PlaceFields } from './place-fields';
import type { InForm } from './skin-forms';
import { WorkPlate, type PlateWork } from './work-plate';
import { say } from '../words';

/** One place that is described: an area that is watched, or a new one. `key` is its prefix in the form's values. */
interface Finding {
  key: string;
  id: string;
  area: AreaRow | null;
}

const label = say('skin.check');
const findingStart = { looked: 'true', tissue: '', length: '', width: '', seen: 'false', felt: 'false', verdict: '', ...placeFields() };

const prefixed = (key: string, values: Values): Values =>
  Object.fromEntries(Object.entries(values).map(([name, value]) => [key + name, value]));

const startOf = ({ key, area }: Finding): Values =>
  prefixed(
    key,
    area === null
      ? findingStart
      : {
          ...findingStart,
          looked: String(area.kept_off),
          tissue: area.tissue,
          ...placeFields({ zone: area.zone, x_cm: centimetres(area.x_mm), y_cm: centimetres(area.y_mm) }),
        },
  );

const signedNumber = (mm: string): number | string => (/^-/.test(mm) ? signed(amount(mm.slice(1)), mm) : amount(mm));
const signed = (plain: number | string, typed: string): number | string => (typeof plain === 'number' ? -plain : typed);

/** The fact's finding. A known area's middle goes back as it came, unless it was placed anew. */
function findingDraft({ id, area }: Finding, values: Values): Record<string, unknown> {
  const placed = placedOf(values);
  const moved =
    area === null ||
    placed === null ||
    centimetres(area.x_mm) !== placed.x_cm ||
    centimetres(area.y_mm) !== placed.y_cm ||
    area.zone !== placed.zone;
  return {
    area: id,
    tissue: values['tissue'],
    zone: values['zone'],
    centre: moved && placed ? spotOf(placed) : { x_mm: signedNumber(area?.x_mm ?? ''), y_mm: signedNumber(area?.y_mm ?? '') },
    length_mm: millimetres(values['length'] ?? ''),
    width_mm: millimetres(values['width'] ?? ''),
    seen: values['seen'] === 'true',
    felt: values['felt'] === 'true',
    verdict: values['verdict'],
  };
}

function FollowUp({
  finding,
  typed,
  page,
  wrong,
}: {
  finding: Finding;
  typed: Typed<Values>;
  page: PlacesPage;
  wrong: Record<string, string>;
}): JSX.Element {
  const last = finding.area;
  const hint = last
    ? say('skin.last_size', { length: centimetres(last.length_mm), width: centimetres(last.width_mm) })
    : say('skin.size_hint');
  return (
    <>
      <div class="size">
        <TextField
          {...typed.field('length', say('skin.length'))}
          decimal
          unit={say('unit.cm')}
          needed
          wrong={wrong['length_mm']}
          hint={hint}
        />
        <TextField {...typed.field('width', say('skin.width'))} decimal unit={say('unit.cm')} needed wrong={wrong['width_mm']} />
      </div>
      <div class="senses">
        <CheckField
          label={say('skin.seen')}
          name={`${finding.key}seen`}
          value={typed.values['seen'] === 'true'}
          set={(on) => typed.change({ seen: String(on) })}
        />
        <CheckField
          label={say('skin.felt')}
          name={`${finding.key}felt`}
          value={typed.values['felt'] === 'true'}
          set={(on) => typed.change({ felt: String(on) })}
        />
      </div>
      <RadioField
        {...typed.field('verdict', say('skin.from_now'))}
        name={`${finding.key}verdict`}
        choices={page.forms.verdicts}
        needed
        wrong={wrong['verdict']}
      />
    </>
  );
}

/** An area that is watched: looked at today, or not this time. */
function Known({
  finding,
  area,
  typed,
  page,
  wrong,
}: {
  finding: Finding;
  area: AreaRow;
  typed: Typed<Values>;
  page: PlacesPage;
  wrong: Record<string, string>;
}): JSX.Element {
  const looked = typed.values['looked'] === 'true';
  return (
    <fieldset class="finding">
      <legend>{area.title}</legend>
      <p class="small soft">
        <Words text={area.sentence} />
      </p>
      <CheckField
        label={say('skin.looked_today')}
        name={`${finding.key}looked`}
        value={looked}
        set={(on) => typed.change({ looked: String(on) })}
      />
      {looked && <FollowUp finding={finding} typed={typed} page={page} wrong={wrong} />}
    </fieldset>
  );
}

function Fresh({
  finding,
  typed,
  page,
  wrong,
  inHand,
  take,
  drop,
}: {
  finding: Finding;
  typed: Typed<Values>;
  page: PlacesPage;
  wrong: Record<string, string>;
  inHand: boolean;
  take: () => void;
  drop: () => void;
}): JSX.Element {
  return (
    <fieldset class={inHand ? 'finding in-hand' : 'finding'} onFocusIn={take}>
      <legend>{say('skin.new')}</legend>
      {page.places.plates.length > 0 && (
        <p class="hint">
          {inHand ? (
            say('skin.draw_hint')
          ) : (
            <button type="button" class="act slim" onClick={take}>
              {say('skin.draw')}
            </button>
          )}
        </p>
      )}
      <SelectField
        {...typed.field('tissue', say('skin.finding'))}
        choices={page.forms.tissues}
        empty={say('form.choose')}
        needed
        wrong={wrong['tissue']}
      />
      <PlaceFields typed={typed} zones={page.forms.zones} wrong={wrong} />
      <FollowUp finding={finding} typed={typed} page={page} wrong={wrong} />
      <p>
        <button type="button" class="act plain slim" onClick={drop}>
          {say('skin.take_out')}
        </button>
      </p>
    </fieldset>
  );
}

function How({ typed, page, wrong }: { typed: Typed<Values>; page: PlacesPage; wrong: Record<string, string> }): JSX.Element {
  return (
    <Group title={say('skin.how_checked')}>
      <RadioField {...typed.field('light', say('skin.light'))} choices={orUnknown(page.forms.lights)} stacked wrong={wrong['light']} />
      <RadioField
        {...typed.field('posture', say('skin.position'))}
        choices={orUnknown(page.forms.postures)}
        stacked
        wrong={wrong['posture']}
      />
      <CheckGroup
        legend={say('skin.looked')}
        name="zone"
        choices={page.forms.zones}
        typed={typed}
        wrong={wrong['zones']}
        hint={say('skin.looked_hint')}
      />
    </Group>
  );
}

/** A refusal's place in one finding: "findings/1/length_mm" is its "length_mm". */
const wrongOf = (wrong: Record<string, string>, at: number): Record<string, string> =>
  Object.fromEntries(
    Object.entries(wrong)
      .filter(([name]) => name.startsWith(`findings/${at}/`))
      .map(([name, what]) => [name.slice(`findings/${at}/`.length), what]),
  );

function useFindings(page: PlacesPage, query: URLSearchParams) {
  const [known] = useState(() => page.areas.map((area, at): Finding => ({ key: `k${at}/`, id: area.id, area })));
  const [fresh, setFresh] = useState<Finding[]>([]);
  const count = useRef(0);
  const asked = page.areas.find(({ id }) => id === query.get('area'));
  const zones = asked ? [asked.zone] : page.areas.filter(({ kept_off }) => kept_off).map(({ zone }) => zone);
  const start: Values = {
    light: 'unknown',
    posture: 'unknown',
    text: '',
    when: 'now',
    happened_local: '',
    told_by: '',
    ...Object.fromEntries(zones.map((zone) => [`zone:${zone}`, 'true'])),
  };
  for (const finding of known)
    Object.assign(start, startOf(finding), asked ? { [`${finding.key}looked`]: String(finding.id === asked.id) } : {});
  const add = (): Finding => {
    const finding: Finding = { key: `n${++count.current}/`, id: newId(), area: null };
    setFresh([...fresh, finding]);
    return finding;
  };
  const drop = (key: string): void => setFresh(fresh.filter((one) => one.key !== key));
  return { known, fresh, start, add, drop };
}

function ExaminePlate({
  page,
  typed,
  inHand,
  add,
}: {
  page: PlacesPage;
  typed: Typed<Values>;
  inHand: Finding | null;
  add: () => Finding;
}): JSX.Element | null {
  const [part, setPart] = useState(page.places.plates[0]?.part ?? '');
  const plate = page.places.plates.find((one) => one.part === part) ?? page.places.plates[0];
  if (!plate) return null;
  const values = inHand ? scoped(typed, inHand.key).values : {};
  const half = Number(values['length']) / 2;
  const place = (placed: Placed, radius: string): void => {
    const finding = inHand ?? add();
    const across = radius === '' ? {} : { length: String(Number(radius) * 2), width: String(Number(radius) * 2) };
    typed.change(prefixed(finding.key, { ...(inHand ? {} : findingStart), ...placeFields(placed), ...across }));
    typed.change({ [`zone:${placed.zone}`]: 'true' });
  };
  const work: PlateWork = {
    draw: 'circle',
    zones: page.forms.zones,
    placed: inHand ? placedOf(values) : null,
    radius_cm: half > 0 ? String(half) : '',
    place,
    mark: () => false,
    leave: () => document.querySelector<HTMLElement>('.in-hand input, .in-hand select, .exam-form input')?.focus(),
  };
  return (
    <div class="plates">
      <PlateSwitch page={page} part={plate.part} set={setPart} />
      <WorkPlate title={say('skin.draw_new', { part: plate.title })} picture={plate.picture} work={work} />
      {partOf(values['zone'] ?? '') !== '' && partOf(values['zone'] ?? '') !== plate.part && <p class="hint">{say('skin.elsewhere')}</p>}
    </div>
  );
}

/** The picture goes first; pressed again after a refusal of the form, it is not sent twice. Null: it was refused. */
function usePhoto(person: string) {
  const [photo, setPhoto] = useState<{ file: File | null; consent: boolean }>({ file: null, consent: false });
  const [unsent, setUnsent] = useState<Refused | null>(null);
  const kept = useRef<{ file: File; photo: string } | null>(null);
  const send = async (): Promise<Record<string, unknown> | null> => {
    const { file } = photo;
    setUnsent(null);
    if (!file) return {};
    if (kept.current?.file !== file) {
      const sent = await sendPhoto(person, file);
      if (!('photo' in sent)) {
        setUnsent(sent);
        return null;
      }
      kept.current = { file, photo: sent.photo };
    }
    return { photo: kept.current.photo, photo_consent: true };
  };
  return { photo, setPhoto, unsent, send };
}

/** All that the form holds and does; its parts below only place it. */
function useExamination({ person, recorder, page, query }: InForm) {
  const findings = useFindings(page, query);
  const typed = useTyped<Values>(findings.start);
  const [hand, setHand] = useState('');
  const [sending, setSending] = useState(false);
  const picture = usePhoto(person.id);
  const form = useFactForm(recorder, typed, `/people/${person.id}/skin`, [label]);
  const { values } = typed;
  const taken = [...findings.known.filter(({ key }) => values[`${key}looked`] === 'true'), ...findings.fresh];
  const addNew = (): Finding => {
    const finding = findings.add();
    typed.change(startOf(finding));
    setHand(finding.key);
    return finding;
  };
  const record = async (zones: string[]): Promise<void> => {
    const shown = await picture.send();
    if (!shown) return;
    const said = taken.map((finding) => findingDraft(finding, scoped(typed, finding.key).values));
    const draft = {
      what: 'skin examined',
      light: values['light'],
      posture: values['posture'],
      zones,
      findings: said,
      ...shown,
      ...optional('text', values['text'] ?? '', (text) => text.trim()),
      ...whenDraft(values),
    };
    await form.send(
      label,
      [draft],
      [
        [say('skin.looked'), zones.map((zone) => saidOf(page.forms.zones, zone)).join(', ')],
        [say('skin.findings'), String(said.length)],
      ],
    );
  };
  const submit = async (): Promise<void> => {
    if (sending) return;
    if (picture.photo.file && !picture.photo.consent) return form.complain({ photo: say('skin.consent_needed') });
    const zones = ticked(values, 'zone', page.forms.zones);
    if (zones.length === 0) return form.complain({ zones: say('skin.looked_needed') });
    setSending(true);
    await record(zones);
    setSending(false);
  };
  const wrongAt = (finding: Finding): Record<string, string> => wrongOf(form.wrong, taken.indexOf(finding));
  const inHand = findings.fresh.find(({ key }) => key === hand) ?? null;
  return { ...findings, typed, form, picture, busy: recorder.busy || sending, addNew, submit, wrongAt, inHand, setHand };
}

type Examination = ReturnType<typeof useExamination>;

function Found({ exam, page }: { exam: Examination; page: PlacesPage }): JSX.Element {
  const { known, fresh, drop, typed, addNew, wrongAt, inHand, setHand } = exam;
  return (
    <Group title={say('skin.found')}>
      {known.map(
        (finding) =>
          finding.area && (
            <Known
              key={finding.key}
              finding={finding}
              area={finding.area}
              typed={scoped(typed, finding.key)}
              page={page}
              wrong={wrongAt(finding)}
            />
          ),
      )}
      {fresh.map((finding) => (
        <Fresh
          key={finding.key}
          finding={finding}
          typed={scoped(typed, finding.key)}
          page={page}
          wrong={wrongAt(finding)}
          inHand={finding === inHand}
          take={() => setHand(finding.key)}
          drop={() => drop(finding.key)}
        />
      ))}
      <p class="long">
        <button type="button" class="act" onClick={() => void addNew()}>
          {say('skin.add')}
        </button>
      </p>
    </Group>
  );
}

export function ExamineForm(inside: InForm): JSX.Element {
  const { person, page } = inside;
  const exam = useExamination(inside);
  const { typed, form, picture, busy, addNew, submit, inHand } = exam;
  const { photo, setPhoto, unsent } = picture;
  const pictured = (now: typeof photo): void => {
    form.complain({});
    setPhoto(now);
  };
  return (
    <section class="sec examine">
      <header>
        <h2>{say('skin.check')}</h2>
      </header>
      <p class="lead">{say('skin.check_lead')}</p>
      <div class={page.places.plates.length > 0 ? 'skin-bench exam' : 'skin-bench exam no-plate'}>
        <ExaminePlate page={page} typed={typed} inHand={inHand} add={addNew} />
        <div class="exam-form">
          <Form
            submit={() => void submit()}
            button={say('skin.check_record')}
            busy={busy}
            refused={unsent ?? form.refused}
            cancel={`/people/${person.id}/skin`}
          >
            <How typed={typed} page={page} wrong={form.wrong} />
            <Found exam={exam} page={page} />
            <Group title={say('skin.picture_group')}>
              <PhotoField
                file={photo.file}
                set={(file) => pictured({ file, consent: false })}
                consent={photo.consent}
                allow={(consent) => pictured({ ...photo, consent })}
                wrong={form.wrong['photo']}
              />
              <LongField {...typed.field('text', say('form.in_words'))} needed={false} wrong={form.wrong['text']} />
            </Group>
            <WhenFields typed={typed} zone={person.forms.zone} />
          </Form>
        </div>
      </div>
    </section>
  );
}
