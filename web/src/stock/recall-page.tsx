// A lot was called back: whom it reached, what they have of it, what to say to them. On the screen it is worked off, on paper as well.
import type { JSX } from 'preact';
import { useDocument } from '../document';
import type { RecallPage as Recall, RecallPerson, Rich } from '../model';
import { Notices } from '../parts/notice';
import { OutcomeDialog, Receipt } from '../parts/outcome';
import { RecordButton } from '../parts/record-button';
import { Shown } from '../parts/states';
import { LevelMark, Words } from '../parts/text';
import { useTitle } from '../parts/title';
import { useRecorder, type Recorder } from '../recorder';
import { Said, say } from '../words';
import { PhoneLink } from '../parts/phone-link';

function Reached({ one, recorder }: { one: RecallPerson; recorder: Recorder }): JSX.Element {
  return (
    <li class="reached">
      <div class="reached-who">
        {one.level ? <LevelMark level={one.level} word={one.level_word ?? one.level} /> : <span />}
        <h3>
          <a href={`/people/${one.id}/supplies`}>{one.name}</a>
        </h3>
        <p>
          <Said
            of="page.born_number_phone"
            born={<b class="nb">{one.born_text}</b>}
            number={<b class="nb">{one.number}</b>}
            phone={<PhoneLink phone={one.phone} phone_text={one.phone_text} />}
          />
        </p>
        <p class="reached-state">
          <b>{one.state}</b>
        </p>
      </div>
      <ul class="said">
        {one.rows.map((row) => (
          <li>
            <Words text={row} />
          </li>
        ))}
      </ul>
      {one.calls.length > 0 && (
        <ul class="dated">
          {one.calls.map((call) => (
            <li>
              <span class="when">{call.when_text}</span>
              <p>{call.text}</p>
            </li>
          ))}
        </ul>
      )}
      {one.actions.length > 0 && (
        <p class="btns scr">
          {one.actions.map((action) => (
            <RecordButton key={action.label} action={action} recorder={recorder} kind="act slim" />
          ))}
          <a class="act plain slim" href={`/people/${one.id}/supplies/hand-out`}>
            {say('supply.issue')}
            <span class="vh">: {one.name}</span>
          </a>
        </p>
      )}
      <p class="ticks paper-only">
        <span>{say('recall.not_reached')}</span>
        <span>{say('recall.reached')}</span>
        <span>{say('recall.replaced')}</span>
        <span class="line-out">{say('recall.who_when')}</span>
      </p>
    </li>
  );
}

function People({ people, more, recorder }: { people: RecallPerson[]; more: string; recorder: Recorder }): JSX.Element {
  return (
    <>
      <ul class="reached-all">
        {people.map((one) => (
          <Reached key={one.id} one={one} recorder={recorder} />
        ))}
      </ul>
      {more && <p class="more">{more}</p>}
    </>
  );
}

const OnShelf = ({ said }: { said: Rich[] }): JSX.Element => (
  <section class="sec">
    <header>
      <h2>{say('recall.stock')}</h2>
    </header>
    <ul class="said">
      {said.map((text) => (
        <li>
          <Words text={text} />
        </li>
      ))}
    </ul>
  </section>
);

function Sheet({ recall, recorder }: { recall: Recall; recorder: Recorder }): JSX.Element {
  const { unknown } = recall;
  return (
    <div class="recall">
      <p class="first-line">
        <Words text={recall.first} />
      </p>
      <div class="page-head">
        <h1 class="headline" tabIndex={-1}>
          {recall.title}
        </h1>
        <p class="btns scr">
          {recall.open && <RecordButton action={recall.open} recorder={recorder} kind="act first" />}
          <button type="button" class="act" onClick={() => print()}>
            {say('recall.print')}
          </button>
        </p>
      </div>
      <p class="lead">
        <Words text={recall.lead} />
        {recall.opened && (
          <>
            {' '}
            <Words text={recall.opened.text} />
          </>
        )}
      </p>
      <section class="sec">
        <header>
          <h2>{say('page.what_to_say')}</h2>
        </header>
        <ol class="to-say-all">
          {recall.say.map((text) => (
            <li>
              <Words text={text} />
            </li>
          ))}
        </ol>
      </section>
      <Notices notices={recall.cautions} />
      {recall.people.length > 0 && (
        <section class="sec">
          <header>
            <h2>{say('recall.received')}</h2>
          </header>
          <People people={recall.people} more={recall.more} recorder={recorder} />
        </section>
      )}
      <section class="sec">
        <header>
          <h2>{say('recall.lot_unknown')}</h2>
        </header>
        <p>
          <Words text={unknown.lead} />
        </p>
        {unknown.people.length > 0 && <People people={unknown.people} more={unknown.more} recorder={recorder} />}
      </section>
      {recall.shelf.length > 0 && <OnShelf said={recall.shelf} />}
      <p class="printed small soft">{recall.printed_text}</p>
    </div>
  );
}

/** A stroke within a lot would end the call's path, and for the comparison of lots it is as good as a dash. */
const inPath = (lot: string): string => lot.replace(/%2f/gi, '-');

export function RecallPage({ lot, zone }: { lot: string; zone: string }): JSX.Element {
  const doc = useDocument<Recall>(`/api/recalls/${inPath(lot)}`);
  const recall = doc.doc;
  const recorder = useRecorder(recall ? { path: '/api/clinic/facts', version: recall.version, zone, reload: doc.reload } : null);
  useTitle(recall?.title ?? say('recall.title'), recall !== null);
  return (
    <>
      <Shown of={doc}>{(loaded) => <Sheet recall={loaded} recorder={recorder} />}</Shown>
      <OutcomeDialog recorder={recorder} />
      <Receipt recorder={recorder} />
    </>
  );
}
