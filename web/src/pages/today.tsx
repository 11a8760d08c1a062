// Today: who needs something and why, ranked; what comes before the next injection first.
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { useDocument } from '../document';
import type { Need, Today } from '../model';
import { Dialog } from '../parts/dialog';
import { TextField } from '../parts/fields';
import { Form, useTyped, type Values } from '../parts/form';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { Pager } from '../parts/pager';
import { EmptyState, Shown } from '../parts/states';
import { isEmpty, LevelMark, Picture, plain, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { useRecorder } from '../recorder';
import { say } from '../words';

type Dismissable = Need & { dismiss: NonNullable<Need['dismiss']> };

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
      <Receipt outcome={outcome} close={recorder.close} />
    </Dialog>
  );
}

function Row({ need, dismiss }: { need: Need; dismiss: () => void }): JSX.Element {
  return (
    <li class={`need ${need.level}`}>
      <LevelMark level={need.level} word={need.level_word} />
      <p class="by">{need.by}</p>
      <div>
        <p class="s">
          <Words text={need.sentence} />{' '}
          {need.dismiss && (
            <button type="button" class="aside scr" onClick={dismiss}>
              {say('today.dismiss')}
              <span class="vh">: {plain(need.sentence)}</span>
            </button>
          )}
        </p>
        {!isEmpty(need.also) && (
          <p class="also">
            <Words text={need.also} />
          </p>
        )}
      </div>
      <Picture svg={need.picture} class="gl" />
      <div class="do scr">
        <a class={need.action.first ? 'act first' : 'act'} href={need.action.href}>
          {need.action.label}
        </a>
      </div>
    </li>
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

export function TodayPage({ zone, query }: { zone: string; query: URLSearchParams }): JSX.Element {
  const page = query.get('page');
  const doc = useDocument<Today>(page ? `/api/today?${new URLSearchParams({ page })}` : '/api/today', { everyMinute: true });
  const [aside, setAside] = useState<Need | null>(null);
  useTitle(say('nav.today'), doc.doc !== null);
  return (
    <>
      <Shown of={doc}>
        {(today) => (
          <div class="today">
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
            {today.empty && <EmptyState empty={today.empty} />}
            {today.groups.map((group) => (
              <section key={group.title}>
                <h2 class="grp">{group.title}</h2>
                <ol>
                  {group.needs.map((need) => (
                    <Row need={need} dismiss={() => setAside(need)} />
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
              href={(on) => (on === 1 ? '/' : `/?page=${on}`)}
            />
            {today.groups.length > 0 && <Key today={today} />}
          </div>
        )}
      </Shown>
      {aside?.dismiss && <DismissDialog need={aside as Dismissable} zone={zone} reload={doc.reload} close={() => setAside(null)} />}
    </>
  );
}
