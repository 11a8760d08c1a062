// Today: who needs something and why, ranked; what comes before the next injection first.
import type { JSX } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { Also, Dismissal, Need, OpenReason, Rich, Today } from '../model';
import { useAnchor } from '../parts/anchor';
import { Dialog } from '../parts/dialog';
import { TextField } from '../parts/fields';
import { Form, useTyped, type Values } from '../parts/form';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { Pager } from '../parts/pager';
import { EmptyState, Shown } from '../parts/states';
import { isEmpty, LevelMark, Picture, plain, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { useRecorder } from '../recorder';
import { withThen } from '../router';
import { say } from '../words';

interface Dismissable {
  sentence: Rich;
  dismiss: Dismissal;
}

/** Dismissing needs a reason, is signed, and ends when its facts change (H32). */
function DismissDialog({
  need,
  zone,
  reload,
  close,
}: {
  need: Dismissable;
  zone: string;
  reload: () => Promise<void>;
  close: () => void;
}): JSX.Element {
  const { journal, seen_version, reminder, basis } = need.dismiss;
  const recorder = useRecorder({ path: `/api/people/${journal}/facts`, version: seen_version, zone, reload });
  const typed = useTyped<Values>({ reason: '' });
  const { outcome } = recorder;
  const leave = (): void => {
    typed.settled();
    close();
  };
  const submit = async (): Promise<void> => {
    const fact = { what: 'reminder dismissed', reminder, basis, reason: (typed.values['reason'] ?? '').trim() };
    const end = await recorder.record(say('today.dismissed'), [fact], { wanted: [[say('page.reason'), typed.values['reason'] ?? '']] });
    if (end.kind === 'recorded') leave();
  };
  return (
    <Dialog title={say('today.dismiss_title')} close={leave}>
      <p class="after">
        <Words text={need.sentence} />
      </p>
      <Form
        submit={() => void submit()}
        button={say('today.dismiss_button')}
        busy={recorder.busy}
        first={false}
        cancel={leave}
        refused={outcome.kind === 'refused' ? outcome.refused : null}
      >
        <TextField {...typed.field('reason', say('page.reason'))} needed hint={say('today.dismiss_hint')} />
      </Form>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </Dialog>
  );
}

/** A row by whom or what its button is about: "/people/ID/...", "/recall/LOT". */
const rowOf = (href: string): string => `row-${href.split(/[/?#]/)[2] ?? ''}`;

/** A form that is opened from a row leads back to it. `here`: the address of this page of Today. */
const backTo = (here: string, href: string): string =>
  /^\/people\/[^/]+\/record\//.test(href) ? withThen(href, `${here}#${rowOf(href)}`) : href;

/** What else is open about the same person: where it is done, and how it is dismissed. */
function Others({ need, here, dismiss }: { need: Need; here: string; dismiss: (it: Dismissable) => void }): JSX.Element | null {
  const about = (one: Also): Rich => [`${need.name}: `, ...one.text];
  if (need.also.length === 0) return null;
  return (
    <ul class="also">
      {need.also.map((one) => (
        <li class={one.level}>
          <LevelMark level={one.level} word={one.level_word} />
          <p>
            <a href={backTo(here, one.href)}>
              <Words text={one.text} />
            </a>
            {one.dismiss && (
              <Aside text={about(one)} press={() => one.dismiss && dismiss({ sentence: about(one), dismiss: one.dismiss })} />
            )}
          </p>
        </li>
      ))}
    </ul>
  );
}

const Aside = ({ text, press }: { text: Rich; press: () => void }): JSX.Element => (
  <>
    {' '}
    <button type="button" class="aside scr" onClick={press}>
      {say('today.dismiss')}
      <span class="vh">: {plain(text)}</span>
    </button>
  </>
);

/** What nobody follows up is taken with one press; what came of it is said where the button stood. */
function Take({ need, zone, reload }: { need: Need; zone: string; reload: () => Promise<void> }): JSX.Element {
  const asked = useRef(need.take); // taken, it is asked for no more, and the answer is still to be said
  if (need.take) asked.current = need.take;
  const { journal = '', seen_version = 0 } = asked.current ?? {};
  const recorder = useRecorder({ path: `/api/people/${journal}/facts`, version: seen_version, zone, reload });
  const { take } = need;
  return (
    <>
      {take && (
        <button
          type="button"
          class="aside scr"
          aria-disabled={recorder.busy}
          onClick={() => void recorder.record(say('today.take'), [take.fact])}
        >
          {say('today.take')}
          <span class="vh">: {need.name}</span>
        </button>
      )}
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </>
  );
}

/** How somebody is reached: the number, the last call, whose they are; nothing of a lot. */
function Reached({ need, crowd, take }: { need: Need; crowd: boolean; take: JSX.Element }): JSX.Element | null {
  if (need.name === '') return null;
  return (
    <dl class="how">
      <div class="tel">
        <dt class="vh">{say('today.phone')}</dt>
        <dd>
          <Words text={need.phone} />
        </dd>
      </div>
      {!crowd && <LastAndWhose need={need} crowd={crowd} take={take} />}
    </dl>
  );
}

const LastAndWhose = ({ need, crowd, take }: { need: Need; crowd: boolean; take: JSX.Element }): JSX.Element => (
  <>
    <div class="lc">
      <dt class="vh">{say('today.last')}</dt>
      <dd>
        <Words text={need.last} />
      </dd>
    </div>
    <div class="wh">
      <dt class={crowd ? 'vh' : undefined}>{say('today.whose')}</dt>
      <dd>
        {need.whose} {take}
        {need.others && <span class="others">{need.others}</span>}
      </dd>
    </div>
  </>
);

function Row({
  need,
  crowd,
  here,
  dismiss,
  take,
}: {
  need: Need;
  crowd: boolean;
  here: string;
  dismiss: (it: Dismissable) => void;
  take: JSX.Element;
}): JSX.Element {
  const anchor = useAnchor<HTMLLIElement>(rowOf(need.action.href));
  return (
    <li {...anchor} class={`need ${need.level}`}>
      <LevelMark level={need.level} word={need.level_word} />
      <p class="by">{need.by}</p>
      <div class="txt">
        <p class="s">
          <Words text={need.sentence} />
          {need.dismiss && (
            <Aside text={need.sentence} press={() => need.dismiss && dismiss({ sentence: need.sentence, dismiss: need.dismiss })} />
          )}
        </p>
        <Reached need={need} crowd={crowd} take={take} />
        {!isEmpty(need.instead) && (
          <p class="instead">
            <Words text={need.instead} />
          </p>
        )}
        <Others need={need} here={here} dismiss={dismiss} />
      </div>
      {crowd ? (
        <dl class="cols">{need.name !== '' && <LastAndWhose need={need} crowd={crowd} take={take} />}</dl>
      ) : (
        <Picture svg={need.picture} class="gl" />
      )}
      <div class="do scr">
        <a class={need.action.first ? 'act first' : 'act'} href={backTo(here, need.action.href)}>
          {need.action.label}
        </a>
        {need.beside && (
          <a class="beside" href={backTo(here, need.beside.href)}>
            {need.beside.label}
            <span class="vh">: {need.name}</span>
          </a>
        )}
      </div>
    </li>
  );
}

/** All that is open in a crowd, by reason. */
function Open({ title, open }: { title: Rich; open: OpenReason[] }): JSX.Element {
  return (
    <section class="sec open">
      <header>
        <h2>
          <Words text={title} />
        </h2>
      </header>
      <table>
        <thead>
          <tr>
            <th scope="col">{say('today.reason')}</th>
            <th scope="col" class="num">
              {say('today.things')}
            </th>
            <th scope="col" class="num">
              {say('today.passed')}
            </th>
            <th scope="col">{say('today.oldest')}</th>
            <th scope="col">{say('today.whose')}</th>
          </tr>
        </thead>
        <tbody>
          {open.map((one) => (
            <tr>
              <th scope="row">
                <a href={one.href}>{one.reason}</a>
              </th>
              <td class="num">{one.things}</td>
              <td class="num">{one.passed}</td>
              <td>{one.oldest}</td>
              <td>{one.whose}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Key({ today }: { today: Today }): JSX.Element {
  return (
    <p class="lvkey">
      {today.key.map(({ level, word }) => (
        <span>
          <span class={`lv ${level}`} aria-hidden="true" />
          {word}
        </span>
      ))}
      <span class="rule">{today.rule}</span>
    </p>
  );
}

/** Mine or everybody's, with how many people each is. */
const Whose = ({ of }: { of: Today['whose'] }): JSX.Element => (
  <p class="whose scr">
    {of.map(({ label, href, chosen }) => (
      <a href={href} aria-current={chosen ? 'true' : undefined}>
        {label}
      </a>
    ))}
  </p>
);

function pageHref({ reason, whose }: Today, page: number): string {
  const mine = whose.some(({ href, chosen }) => chosen && href !== '/');
  const query = new URLSearchParams({ ...(reason && { reason }), ...(mine && { whose: 'me' }), ...(page > 1 && { page: String(page) }) });
  return query.size > 0 ? `/?${query}` : '/';
}

export function TodayPage({ zone, query }: { zone: string; query: URLSearchParams }): JSX.Element {
  const asked = new URLSearchParams([...query].filter(([name]) => ['page', 'reason', 'whose'].includes(name)));
  const doc = useDocument<Today>(asked.size > 0 ? `/api/today?${asked}` : '/api/today', { everyMinute: true });
  const [aside, setAside] = useState<Dismissable | null>(null);
  useTitle(say('nav.today'), doc.doc !== null);
  return (
    <>
      <Shown of={doc}>
        {(today) => (
          <div class={today.crowd ? 'today crowd' : 'today'}>
            {today.reason !== '' && (
              <p class="all">
                <a href="/">{say('today.all')}</a>
              </p>
            )}
            <h1 class="headline" tabIndex={-1}>
              <Words text={today.headline} />
              {!isEmpty(today.sub) && (
                <>
                  {' '}
                  <span>
                    <Words text={today.sub} />
                  </span>
                </>
              )}
            </h1>
            {today.whose.length > 0 && <Whose of={today.whose} />}
            {today.empty && <EmptyState empty={today.empty} />}
            {today.crowd && today.groups.length > 0 && (
              <p class="heads" aria-hidden="true">
                <span>{say('today.last')}</span>
                <span>{say('today.whose')}</span>
              </p>
            )}
            {today.groups.map((group) => (
              <section key={group.title}>
                <h2 class="grp">{group.title}</h2>
                <ol>
                  {group.needs.map((need) => (
                    <Row
                      key={rowOf(need.action.href)}
                      need={need}
                      crowd={today.crowd}
                      here={pageHref(today, today.page)}
                      dismiss={setAside}
                      take={<Take need={need} zone={zone} reload={doc.reload} />}
                    />
                  ))}
                </ol>
              </section>
            ))}
            {today.more && <p class="more">{today.more}</p>}
            <Pager
              said
              back={say('page.back')}
              on={say('today.more')}
              page={today.page}
              pages={today.pages}
              href={(on) => pageHref(today, on)}
            />
            {today.groups.length > 0 && <Key today={today} />}
            {today.open.length > 0 && <Open title={today.open_title} open={today.open} />}
          </div>
        )}
      </Shown>
      {aside && <DismissDialog need={aside} zone={zone} reload={doc.reload} close={() => setAside(null)} />}
    </>
  );
}
