// What belongs to the drawings of sites, and how deep a needle reaches there: on the page of sites, and at the phone desk.
import type { JSX } from 'preact';
import type { Places, ReachSection } from '../model';
import { Notices } from '../parts/notice';
import { EmptyState, RefusedIn } from '../parts/states';
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
