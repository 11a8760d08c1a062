// Places and Reach: the two sections of the plan, side by side; Reach stands on the phone desk as well.
import type { JSX } from 'preact';
import { useFresh, type Doc } from '../document';
import type { Places, PlacesPage, ReachSection } from '../model';
import { Notices } from '../parts/notice';
import { EmptyState, RefusedIn, ShownIn } from '../parts/states';
import { isEmpty, LevelMark, Picture, Words } from '../parts/text';
import { say } from '../words';

export function PlaceKey({ of }: { of: Places['key'] }): JSX.Element | null {
  if (of.length === 0) return null;
  return (
    <ul class="key wide">
      {of.map(({ picture, text }) => (
        <li>
          <Picture svg={picture} as="span" class="kp" />
          {text}
        </li>
      ))}
    </ul>
  );
}

/** What stands under the drawings: the key, the place in the person's own measure, what to do first. */
export function PlacesWords({ places }: { places: Places }): JSX.Element {
  return (
    <>
      {!isEmpty(places.told) && (
        <p class="told">
          <Words text={places.told} />
        </p>
      )}
      {places.refusal && <RefusedIn what={places.refusal.what} doThis={places.refusal.do_this} word={say('skin.no_plan')} />}
      <Notices notices={places.notices} />
    </>
  );
}

function PlacesSection({ page }: { page: PlacesPage }): JSX.Element {
  const { places } = page;
  const plates = places.plates.slice(0, 1);
  return (
    <section class="sec places">
      <header>
        <h2>{say('skin.sites')}</h2>
        <p>{places.note}</p>
      </header>
      {!isEmpty(places.lead) && (
        <p class="lead">
          <Words text={places.lead} />
        </p>
      )}
      {places.empty && <EmptyState empty={places.empty} />}
      {(places.map !== '' || plates.length > 0) && (
        <div class={places.map !== '' && plates.length > 0 ? 'pg' : 'pg one-up'}>
          <Picture svg={places.map} class="drawing figs" />
          {plates.map(({ part, picture }) => (
            <Picture key={part} svg={picture} class="drawing plate" />
          ))}
        </div>
      )}
      <PlaceKey of={places.key} />
      <PlacesWords places={places} />
      <p class="btns scr">
        <a class="act" href={`/people/${page.id}/skin`}>
          {say('tab.sites')}
        </a>
        {places.plan && (
          <a class="act" href={places.plan.href}>
            {places.plan.label}
          </a>
        )}
      </p>
    </section>
  );
}

function ReachRows({ reach }: { reach: ReachSection }): JSX.Element | null {
  if (reach.rows.length === 0) return null;
  return (
    <div class="table-wrap" tabIndex={0} role="region" aria-label={say('skin.depth_table')}>
      <table class="tab reach-rows">
        <thead>
          <tr>
            {reach.row_heads.map((head) => (
              <th scope="col">{head}</th>
            ))}
          </tr>
        </thead>
        <tbody>
          {reach.rows.map((row) => (
            <tr key={row.part}>
              <th scope="row">
                {row.level && <LevelMark level={row.level} word={row.level_word ?? row.level} />}
                {row.part}
              </th>
              <td>{row.muscle_text}</td>
              <td>{row.skin_text}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

export function ReachView({ reach, title = say('skin.depth') }: { reach: ReachSection; title?: string }): JSX.Element {
  return (
    <section class="sec reach">
      <header>
        <h2>{title}</h2>
        <p>{reach.note}</p>
      </header>
      {!isEmpty(reach.lead) && (
        <p class="lead">
          <Words text={reach.lead} />
        </p>
      )}
      {reach.empty && <EmptyState empty={reach.empty} />}
      {reach.refusal && <RefusedIn what={reach.refusal.what} doThis={reach.refusal.do_this} word={say('skin.no_depth')} />}
      {reach.picture !== '' && <Picture svg={reach.picture} class="drawing cut" />}
      {reach.dots.length > 0 && (
        <div class="dp">
          {reach.dots.map((one) => (
            <div key={one.title}>
              <h3>{one.title}</h3>
              <Picture svg={one.picture} />
              <p>{one.text}</p>
            </div>
          ))}
        </div>
      )}
      <div class="reach-more">
        <ReachRows reach={reach} />
        <Notices notices={reach.notices} />
        {reach.source && <p class="small soft source">{reach.source}</p>}
        {reach.defer && <p class="small soft">{reach.defer}</p>}
      </div>
    </section>
  );
}

/** Both, as the plan shows them; loaded beside the person, and again whenever the journal has moved on. */
export function PlacesAndReach({ doc, version }: { doc: Doc<PlacesPage>; version: number }): JSX.Element {
  useFresh(doc, version);
  return (
    <ShownIn of={doc} title={say('skin.sites_and_depth')}>
      {(page) => (
        <div class="row2">
          <PlacesSection page={page} />
          <ReachView reach={page.reach} />
        </div>
      )}
    </ShownIn>
  );
}
