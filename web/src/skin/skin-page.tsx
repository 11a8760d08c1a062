// "Skin and places": the body, what lies on it, what was seen and felt there over time, and where injections went.
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { useDocument, useFresh, type Doc } from '../document';
import type { AreaRow, PlacesPage } from '../model';
import { Notices } from '../parts/notice';
import { RecordButton } from '../parts/record-button';
import { EmptyState, ShownIn } from '../parts/states';
import { isEmpty, LevelMark, Picture, Words } from '../parts/text';
import { LowBox } from '../person/low';
import { PersonFrame, type InFrame } from '../person/frame';
import { SkinBench } from './bench';
import { saidOf, textOf } from './fields';
import { centimetres } from './lengths';
import { ErasePhoto, type Examination } from './photo';
import { PlaceKey, PlacesWords, ReachView } from './sections';
import { say } from '../words';

type Inside = InFrame & { page: PlacesPage };

const shown_first = 12; // the last three days of four injections a day

/** The plan first: the coming places by their numbers, on the skin and in words. */
function SitePlan({ page }: Inside): JSX.Element {
  const { places } = page;
  const { pictures, rows } = places.coming;
  return (
    <section class="sec places site-plan">
      <header>
        <h2>{say('skin.site_plan')}</h2>
        {rows.length > 0 && <p>{say('skin.site_plan_note')}</p>}
      </header>
      {places.empty && <EmptyState empty={places.empty} />}
      {rows.length > 0 && (
        <div class="coming">
          <div class="coming-pics">
            {pictures.map(({ title, picture }) => (
              <figure key={title}>
                <Picture svg={picture} class="drawing" />
              </figure>
            ))}
          </div>
          <ol>
            {rows.map((row) => (
              <li key={row.number}>
                <b class="nr">{row.number}</b>
                <span>
                  <span class="soft">{row.when}</span> {row.place}
                </span>
              </li>
            ))}
          </ol>
        </div>
      )}
      <PlacesWords places={places} />
      {places.spots_text && <p class="soft spots">{places.spots_text}</p>}
    </section>
  );
}

function SiteLedger({ page, recorder, asked }: Inside & { asked: { injection: string; turn: number } }): JSX.Element | null {
  const { places } = page;
  if (places.plates.length === 0 && page.injections.length === 0) return null;
  return (
    <section class="sec places on-skin">
      <header>
        <h2>{say('skin.went')}</h2>
        <p>{places.note}</p>
      </header>
      {!isEmpty(places.lead) && (
        <p class="lead">
          <Words text={places.lead} />
        </p>
      )}
      <SkinBench page={page} recorder={recorder} asked={asked} />
      <PlaceKey of={places.key} />
    </section>
  );
}

function Lows({ page, recorder }: Inside): JSX.Element | null {
  const { lows } = page;
  if (!lows) return null;
  return (
    <section class="sec lows" id="lows">
      <header>
        <h2>{lows.title}</h2>
      </header>
      <p>
        <Words text={lows.text} />
      </p>
      <div class="btns scr">
        {lows.records.map((action) => (
          <RecordButton key={action.label} action={action} recorder={recorder} />
        ))}
      </div>
    </section>
  );
}

function Looks({ area }: { area: AreaRow }): JSX.Element | null {
  if (area.looks.length === 0) return null;
  return (
    <ol class="looks">
      {area.looks.map((look) => (
        <li>
          <span class="nb">{look.when_text}</span> <b class="nb">{look.size_text}</b> <span>{look.text}</span>
        </li>
      ))}
    </ol>
  );
}

function Area({ area, id }: { area: AreaRow; id: string }): JSX.Element {
  return (
    <li class="area">
      <div class="lvl-mark">{area.level && <LevelMark level={area.level} word={area.level_word ?? area.level} />}</div>
      <div class="say-area">
        <h3>{area.title}</h3>
        <p>
          <Words text={area.sentence} />
        </p>
        <Looks area={area} />
        <p class="scr">
          <a class="act slim" href={`/people/${id}/skin/examine?area=${encodeURIComponent(area.id)}`}>
            {say('skin.check_again')}
            <span class="vh">: {area.title}</span>
          </a>
        </p>
      </div>
      <Picture svg={area.picture} class="drawing sizes" />
    </li>
  );
}

function Areas({ page }: { page: PlacesPage }): JSX.Element {
  return (
    <section class="sec areas">
      <header>
        <h2>{say('skin.watched')}</h2>
        <p>{say('skin.watched_note')}</p>
      </header>
      {page.areas.length === 0 ? (
        <p>{page.areas_empty}</p>
      ) : (
        <ul>
          {page.areas.map((area) => (
            <Area key={area.id} area={area} id={page.id} />
          ))}
        </ul>
      )}
      <p class="btns scr">
        <a class="act" href={`/people/${page.id}/skin/examine`}>
          {say('skin.check')}
        </a>
      </p>
    </section>
  );
}

function Photo({ of, ask }: { of: Examination; ask: () => void }): JSX.Element | null {
  if (!of.photo) return null;
  return (
    <div class="photo">
      <a href={of.photo.href} target="_blank" rel="noopener">
        <img src={of.photo.href} alt={of.photo.alt} loading="lazy" />
      </a>
      <button type="button" class="act plain slim" onClick={ask}>
        {say('skin.photo_erase')}
        <span aria-hidden="true">…</span>
        <span class="vh">: {of.when_text}</span>
      </button>
    </div>
  );
}

function Examinations({ page, reload }: { page: PlacesPage; reload: () => Promise<void> }): JSX.Element {
  const [asked, ask] = useState<Examination | null>(null);
  const [erased, setErased] = useState('');
  const gone = useRef<HTMLParagraphElement>(null);
  const isSaid = page.examinations.some(({ id, photo_text }) => id === erased && photo_text !== '');
  // The button is gone with the picture: where it was, is said what became of it, as soon as the page that says so is drawn.
  useEffect(() => gone.current?.focus(), [erased, isSaid]);
  return (
    <section class="sec examinations">
      <header>
        <h2>{say('skin.checks')}</h2>
      </header>
      {page.examinations.length === 0 && <p>{say('skin.checks_none')}</p>}
      <ol>
        {page.examinations.map((one) => (
          <li key={one.id} class={one.photo ? 'with-photo' : undefined}>
            <p class="when">
              <b>{one.when_text}</b>
              <br />
              <span class="soft">{one.by_text}</span>
            </p>
            <div>
              <p>
                <Words text={one.sentence} />
              </p>
              {one.photo_text !== '' && (
                <p class="soft" tabIndex={-1} ref={one.id === erased ? gone : null}>
                  {one.photo_text}
                </p>
              )}
            </div>
            <Photo of={one} ask={() => ask(one)} />
          </li>
        ))}
      </ol>
      {asked?.photo && (
        <ErasePhoto
          person={page.id}
          of={asked}
          photo={asked.photo}
          erased={async () => {
            await reload();
            setErased(asked.id);
            ask(null);
          }}
          close={() => ask(null)}
        />
      )}
    </section>
  );
}

function Rotation({ page, ask }: { page: PlacesPage; ask: (injection: string) => void }): JSX.Element {
  const [all, setAll] = useState(false);
  const { injections } = page;
  const rows = all ? injections : injections.slice(0, shown_first);
  return (
    <section class="sec rotation">
      <header>
        <h2>{say('skin.four_weeks')}</h2>
      </header>
      {page.places.rotation.length > 0 && (
        <ul class="said">
          {page.places.rotation.map((text) => (
            <li>
              <Words text={text} />
            </li>
          ))}
        </ul>
      )}
      {injections.length === 0 ? (
        <p>{say('skin.four_weeks_none')}</p>
      ) : (
        <div class="table-wrap" tabIndex={0} role="region" aria-label={say('skin.four_weeks_table')}>
          <table class="tab went">
            <thead>
              <tr>
                <th scope="col">{say('form.when')}</th>
                <th scope="col">{say('skin.injection')}</th>
                <th scope="col">{say('skin.site')}</th>
                <th scope="col" class="scr">
                  <span class="vh">{say('skin.to_do')}</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {rows.map((one) => (
                <tr key={one.id}>
                  <th scope="row">{one.when_text}</th>
                  <td>
                    <Words text={one.text} />
                  </td>
                  <td>{one.zone === '' ? <span class="flag note">{one.place_text}</span> : one.place_text}</td>
                  <td class="scr">
                    <button type="button" class="act plain slim" onClick={() => ask(one.id)}>
                      {one.x_mm === '' ? say('skin.note') : say('skin.other')}
                      <span class="vh">: {one.when_text}</span>
                    </button>
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      {!all && injections.length > rows.length && (
        <p class="btns scr">
          <button type="button" class="act slim" onClick={() => setAll(true)}>
            {say('skin.show_all', { count: injections.length })}
          </button>
        </p>
      )}
    </section>
  );
}

/** The facts that the drawings and the plan rest on, as they were last recorded. */
function Basis({ page }: { page: PlacesPage }): JSX.Element {
  const { forms } = page;
  const { body, rules } = forms;
  const known = (text: string): string => (text === 'unknown' ? '' : text);
  const cm = (text: string): string => (text === '' ? '' : say('unit.cm_of', { value: text }));
  const zones = Array.isArray(rules['zones']) ? rules['zones'].map((zone) => saidOf(forms.zones, String(zone))).join('; ') : '';
  const items: [string, string][] = [
    [say('skin.sex'), known(saidOf(forms.sexes, textOf(body, 'sex')))],
    [say('skin.height'), cm(textOf(body, 'height_cm'))],
    [say('skin.waist'), cm(textOf(body, 'waist_cm'))],
    [say('skin.needle'), textOf(rules, 'needle_mm') === '' ? '' : say('unit.mm_of', { value: textOf(rules, 'needle_mm') })],
    [say('skin.angle'), say('unit.degrees_of', { value: textOf(rules, 'angle_deg') })],
    [say('skin.fold'), known(saidOf(forms.yes_no, textOf(rules, 'fold')))],
    [say('skin.rest_days'), say('unit.days_of', { days: textOf(rules, 'rest_days') })],
    [say('skin.spacing'), cm(centimetres(rules['spacing_mm']))],
    [say('skin.navel'), cm(centimetres(rules['navel_clear_mm']))],
  ];
  return (
    <section class="sec basis">
      <header>
        <h2>{say('skin.basis')}</h2>
      </header>
      <dl class="facts">
        {items.map(([label, value]) => (
          <div class={value === '' ? 'unknown' : undefined}>
            <dt>{label}</dt>
            <dd>{value === '' ? say('form.not_known') : value}</dd>
          </div>
        ))}
        <div class={zones === '' ? 'unknown wide' : 'wide'}>
          <dt>{say('skin.areas')}</dt>
          <dd>{zones === '' ? say('skin.none_yet') : zones}</dd>
        </div>
      </dl>
      <p class="btns scr">
        <a class="act" id="body" href={`/people/${page.id}/skin/body`}>
          {say('skin.measure')}
        </a>
        <a class="act" href={`/people/${page.id}/skin/depth`}>
          {say('skin.ultrasound')}
        </a>
        <a class="act" id="rules" href={`/people/${page.id}/skin/rules`}>
          {say('skin.rules')}
        </a>
      </p>
    </section>
  );
}

function SkinDocument(inside: Inside & { places: Doc<PlacesPage> }): JSX.Element {
  const { page, places, doc } = inside;
  const [asked, setAsked] = useState({ injection: '', turn: 0 });
  return (
    <>
      <Lows {...inside} />
      <SitePlan {...inside} />
      <SiteLedger {...inside} asked={asked} />
      <ReachView reach={page.reach} />
      <Areas page={page} />
      <Rotation page={page} ask={(injection) => setAsked({ injection, turn: asked.turn + 1 })} />
      <Examinations
        page={page}
        reload={async () => {
          await places.reload();
          void doc.reload(); // the record has one entry more
        }}
      />
      <Basis page={page} />
      <div class="low-apart">
        <LowBox low={page.low} />
      </div>
    </>
  );
}

function Loaded({ inside, doc }: { inside: InFrame; doc: Doc<PlacesPage> }): JSX.Element {
  useFresh(doc, inside.person.version);
  return (
    <>
      <Notices notices={inside.person.notices.filter(({ level }) => level === 'stop')} class="notices top" />
      <ShownIn of={doc} title={say('tab.sites')}>
        {(page) => <SkinDocument {...inside} page={page} places={doc} />}
      </ShownIn>
    </>
  );
}

export function SkinPage({ id }: { id: string }): JSX.Element {
  const doc = useDocument<PlacesPage>(`/api/people/${id}/places`);
  return (
    <PersonFrame
      id={id}
      tab="tab.sites"
      title={say('tab.sites')}
      everyMinute
      acts={() => (
        <>
          {doc.doc?.places.plan && (
            <a class="act" href={doc.doc.places.plan.href}>
              {doc.doc.places.plan.label}
            </a>
          )}
          <a class="act" href={`/people/${id}/skin/examine`}>
            {say('skin.check')}
          </a>
        </>
      )}
    >
      {(inside) => <Loaded inside={inside} doc={doc} />}
    </PersonFrame>
  );
}
