// "Skin and places": the body, what lies on it, what was seen and felt there over time, and where injections went.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
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
import { PlaceKey, PlacesWords } from './sections';

type Inside = InFrame & { page: PlacesPage };

const shown_first = 12; // the last three days of four injections a day

function Skin({ page, recorder, asked }: Inside & { asked: { injection: string; turn: number } }): JSX.Element {
  const { places } = page;
  return (
    <section class="sec places on-skin">
      <header>
        <h2>Where injections go</h2>
        <p>{places.note}</p>
      </header>
      {!isEmpty(places.lead) && (
        <p class="lead">
          <Words text={places.lead} />
        </p>
      )}
      {places.empty && <EmptyState empty={places.empty} />}
      {(places.map !== '' || places.plates.length > 0 || page.injections.length > 0) && (
        <SkinBench page={page} recorder={recorder} asked={asked} />
      )}
      <PlaceKey of={places.key} />
      <PlacesWords places={places} />
      {places.spots_text && <p class="soft spots">{places.spots_text}</p>}
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
            Look and feel again<span class="vh">: {area.title}</span>
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
        <h2>Areas that are watched</h2>
        <p>Nothing opens again by time; only an examination opens it.</p>
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
          Look and feel
        </a>
      </p>
    </section>
  );
}

function Examinations({ page }: { page: PlacesPage }): JSX.Element {
  return (
    <section class="sec examinations">
      <header>
        <h2>Examinations</h2>
      </header>
      {page.examinations.length === 0 && <p>No examination is recorded yet.</p>}
      <ol>
        {page.examinations.map((one) => (
          <li class={one.photo ? 'with-photo' : undefined}>
            <p class="when">
              <b>{one.when_text}</b>
              <br />
              <span class="soft">{one.by_text}</span>
            </p>
            <p>
              <Words text={one.sentence} />
            </p>
            {one.photo && (
              <a class="photo" href={one.photo.href} target="_blank" rel="noopener">
                <img src={one.photo.href} alt={one.photo.alt} loading="lazy" />
              </a>
            )}
          </li>
        ))}
      </ol>
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
        <h2>The last four weeks</h2>
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
        <p>No injection is recorded in these weeks.</p>
      ) : (
        <div class="table-wrap" tabIndex={0} role="region" aria-label="Injections of the last four weeks">
          <table class="tab went">
            <thead>
              <tr>
                <th scope="col">When</th>
                <th scope="col">Injection</th>
                <th scope="col">Where it went</th>
                <th scope="col" class="scr">
                  <span class="vh">What can be done</span>
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
                      {one.x_mm === '' ? 'Note the place' : 'It went elsewhere'}
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
            Show all {injections.length}
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
  const cm = (text: string): string => (text === '' ? '' : `${text} cm`);
  const zones = Array.isArray(rules['zones']) ? rules['zones'].map((zone) => saidOf(forms.zones, String(zone))).join('; ') : '';
  const items: [string, string][] = [
    ['Sex', known(saidOf(forms.sexes, textOf(body, 'sex')))],
    ['Height', cm(textOf(body, 'height_cm'))],
    ['Waist', cm(textOf(body, 'waist_cm'))],
    ['Needle', textOf(rules, 'needle_mm') === '' ? '' : `${textOf(rules, 'needle_mm')} mm`],
    ['Angle', `${textOf(rules, 'angle_deg')} degrees`],
    ['A fold is lifted', known(saidOf(forms.yes_no, textOf(rules, 'fold')))],
    ['Each spot rests', `${textOf(rules, 'rest_days')} days`],
    ['Spots are apart', cm(centimetres(rules['spacing_mm']))],
    ['Clear of the navel', cm(centimetres(rules['navel_clear_mm']))],
  ];
  return (
    <section class="sec basis">
      <header>
        <h2>What the plan rests on</h2>
      </header>
      <dl class="facts">
        {items.map(([label, value]) => (
          <div class={value === '' ? 'unknown' : undefined}>
            <dt>{label}</dt>
            <dd>{value === '' ? 'not known' : value}</dd>
          </div>
        ))}
        <div class={zones === '' ? 'unknown wide' : 'wide'}>
          <dt>Zones that are allowed</dt>
          <dd>{zones === '' ? 'none yet' : zones}</dd>
        </div>
      </dl>
      <p class="btns scr">
        <a class="act" id="body" href={`/people/${page.id}/skin/body`}>
          Measure the body
        </a>
        <a class="act" href={`/people/${page.id}/skin/depth`}>
          An ultrasound
        </a>
        <a class="act" id="rules" href={`/people/${page.id}/skin/rules`}>
          Rules for places
        </a>
      </p>
    </section>
  );
}

function SkinDocument(inside: Inside): JSX.Element {
  const { page } = inside;
  const [asked, setAsked] = useState({ injection: '', turn: 0 });
  return (
    <>
      <Lows {...inside} />
      <Skin {...inside} asked={asked} />
      <Areas page={page} />
      <Rotation page={page} ask={(injection) => setAsked({ injection, turn: asked.turn + 1 })} />
      <Examinations page={page} />
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
      <ShownIn of={doc} title="Skin and places">
        {(page) => <SkinDocument {...inside} page={page} />}
      </ShownIn>
    </>
  );
}

export function SkinPage({ id }: { id: string }): JSX.Element {
  const doc = useDocument<PlacesPage>(`/api/people/${id}/places`);
  return (
    <PersonFrame
      id={id}
      tab="Skin and places"
      title="skin and places"
      everyMinute
      acts={() => (
        <>
          {doc.doc?.places.plan && (
            <a class="act" href={doc.doc.places.plan.href}>
              {doc.doc.places.plan.label}
            </a>
          )}
          <a class="act" href={`/people/${id}/skin/examine`}>
            Look and feel
          </a>
        </>
      )}
    >
      {(inside) => <Loaded inside={inside} doc={doc} />}
    </PersonFrame>
  );
}
