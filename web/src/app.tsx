// The bench: masthead, the page that the path names, the foot.
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { setClinicZone, setServerNow } from './clock';
import { useDocument } from './document';
import type { Clinic } from './model';
import { BringInPage } from './pages/bring-in';
import { LostPage } from './pages/lost';
import { MonthPage } from './pages/month';
import { PeoplePage } from './pages/people';
import { PhonePage } from './pages/phone';
import { PhoneHeatPage } from './pages/phone-heat';
import { PhoneReachPage } from './pages/phone-reach';
import { RegisterPage } from './pages/register';
import { ShelfPage } from './pages/shelf';
import { StartPage } from './pages/start';
import { TodayPage } from './pages/today';
import { CarriedReceipt } from './parts/outcome';
import { Shown } from './parts/states';
import { Picture } from './parts/text';
import { BackgroundPage } from './person/background-page';
import { ImportPage } from './person/import-page';
import { JournalPage } from './person/journal';
import { CheckPage } from './person/check-page';
import { OrderPage } from './person/order-form';
import { OrderTabPage } from './person/order';
import { LoadPage, PenPage } from './person/pen-forms';
import { PensPage } from './person/pens';
import { ClosePage } from './person/close';
import { RecordPage } from './person/record';
import { DialCardPage, LogSheetPage, VisitSheetPage } from './person/papers';
import { StepsPage } from './person/steps';
import { VisitPage } from './person/visit';
import { WatchPage } from './person/watch';
import { printedBy, printedNow } from './print';
import { match, usePlace } from './router';
import { PlacePlanPage } from './skin/place-plan';
import { SkinFormPage } from './skin/skin-forms';
import { SkinPage } from './skin/skin-page';
import { PenTestPage } from './supplies/pen-test-sheet';
import { SuppliesPage } from './supplies/supplies-page';
import { RecallPage } from './stock/recall-page';
import { StockFormPage } from './stock/stock-forms';
import { StockPage } from './stock/stock-page';
import { SupplyFormPage } from './supplies/supply-forms';
import { TripPage } from './supplies/trip-sheet';
import { say, type Key } from './words';

interface Here {
  clinic: Clinic;
  query: URLSearchParams;
  reload: () => Promise<void>;
}
type Page = (id: string, here: Here, part: string) => JSX.Element;

/** Every path, and the page that it names; the first that fits. */
const pages: [string, Page][] = [
  ['/', (_, { clinic, query }) => <TodayPage zone={clinic.zone} query={query} />],
  ['/people', (_, { query }) => <PeoplePage query={query} />],
  ['/people/new', (_, { clinic }) => <RegisterPage clinic={clinic} />],
  ['/people/bring-in', () => <BringInPage />],
  ['/people/:id', (id) => <VisitPage id={id} />],
  ['/people/:id/watch', (id) => <WatchPage id={id} />],
  ['/people/:id/close', (id) => <ClosePage id={id} />],
  ['/people/:id/order', (id) => <OrderTabPage id={id} />],
  ['/people/:id/pens', (id) => <PensPage id={id} />],
  ['/people/:id/journal', (id, { query }) => <JournalPage id={id} query={query} />],
  ['/people/:id/background', (id) => <BackgroundPage id={id} />],
  ['/people/:id/import', (id) => <ImportPage id={id} />],
  ['/people/:id/order/check', (id, { query }) => <CheckPage id={id} line={query.get('line') ?? ''} />],
  ['/people/:id/order/new', (id, { query, clinic }) => <OrderPage id={id} query={query} user={clinic.user} />],
  ['/people/:id/pens/new', (id, { query }) => <PenPage id={id} query={query} />],
  ['/people/:id/load', (id, { query }) => <LoadPage id={id} query={query} />],
  ['/people/:id/supplies', (id) => <SuppliesPage id={id} />],
  [
    '/people/:id/supplies/:part',
    (id, { query, clinic }, part) => <SupplyFormPage id={id} part={part} query={query} zones={clinic.zones} />,
  ],
  ['/people/:id/trips/:part', (id, { clinic }, part) => <TripPage id={id} fact={part} zone={clinic.zone} />],
  ['/people/:id/pen-tests/:part', (id, _, part) => <PenTestPage id={id} fact={part} />],
  ['/people/:id/record', (id) => <RecordPage id={id} slug="" query={new URLSearchParams()} />],
  ['/people/:id/record/:part', (id, { query }, part) => <RecordPage id={id} slug={part} query={query} />],
  ['/people/:id/dial-card', (id, { query }) => <DialCardPage id={id} query={query} />],
  ['/people/:id/visit-sheet', (id) => <VisitSheetPage id={id} />],
  ['/people/:id/log-sheet', (id) => <LogSheetPage id={id} />],
  ['/people/:id/steps', (id, { query }) => <StepsPage id={id} query={query} />],
  ['/people/:id/skin', (id) => <SkinPage id={id} />],
  ['/people/:id/skin/:part', (id, { query }, part) => <SkinFormPage id={id} part={part} query={query} />],
  ['/people/:id/place-plan', (id, { query, clinic }) => <PlacePlanPage id={id} query={query} zone={clinic.zone} />],
  ['/month', () => <MonthPage />],
  ['/stock', () => <StockPage />],
  ['/stock/:part', (_, { query }, part) => <StockFormPage part={part} query={query} />],
  ['/recall/:part', (_, { clinic }, part) => <RecallPage lot={part} zone={clinic.zone} />],
  ['/shelf', (_, { clinic }) => <ShelfPage zone={clinic.zone} />],
  [
    '/phone',
    (_, { query }) =>
      query.get('about') === 'reach' ? <PhoneReachPage /> : query.get('about') === 'heat' ? <PhoneHeatPage /> : <PhonePage />,
  ],
  ['/start', (_, { clinic, reload }) => <StartPage clinic={clinic} reload={reload} />],
];

const nav: [Key, string][] = [
  ['nav.today', '/'],
  ['nav.people', '/people'],
  ['nav.month', '/month'],
  ['nav.stock', '/stock'],
  ['nav.phone', '/phone'],
  ['nav.products', '/shelf'],
];

/** A recall belongs to the stock, though a lot has an address of its own. */
const isWithin = (path: string, href: string): boolean =>
  href === '/' ? path === '/' : path === href || path.startsWith(`${href}/`) || (href === '/stock' && path.startsWith('/recall/'));

function Masthead({ clinic, path }: { clinic: Clinic | null; path: string }): JSX.Element {
  return (
    <header class="mast">
      <div class="page in">
        <a class="mark" href="/">
          {clinic && <Picture svg={clinic.emblem} as="span" class="emblem" />}
          {say('page.name')}
        </a>
        <nav aria-label={say('nav.main')}>
          {clinic?.named && (
            <ul>
              {nav.map(([name, href]) => (
                <li>
                  <a href={href} aria-current={isWithin(path, href) ? 'page' : undefined}>
                    {say(name)}
                  </a>
                </li>
              ))}
            </ul>
          )}
        </nav>
        <p class="where">
          {clinic && (
            <>
              <b>{clinic.now_text}</b> <span>{[clinic.clinic, clinic.user].filter((text) => text !== '').join(', ')}</span>
            </>
          )}
        </p>
      </div>
      <div class="edge" aria-hidden="true" />
    </header>
  );
}

function PageOf({ path, here }: { path: string; here: Here }): JSX.Element {
  if (!here.clinic.named) return <StartPage clinic={here.clinic} reload={here.reload} />;
  for (const [pattern, page] of pages) {
    const found = match(pattern, path);
    if (found) return page(found['id'] ?? '', here, found['part'] ?? '');
  }
  return <LostPage />;
}

export function App(): JSX.Element {
  const place = usePlace();
  const doc = useDocument<Clinic>('/api/clinic', { everyMinute: true });
  const clinic = doc.doc;
  useEffect(() => {
    if (!clinic) return;
    setServerNow(clinic.now);
    setClinicZone(clinic.zone);
    printedNow(clinic.now_text);
  }, [clinic]);
  useEffect(() => {
    if (clinic && !/^\/people\/[^/]+/.test(place.path))
      printedBy([clinic.clinic, say('page.name')].filter((text) => text !== '').join(', '));
  }, [clinic?.clinic, place.path]);
  return (
    <>
      <a class="skip" href="#main">
        {say('page.skip')}
      </a>
      {clinic && <Picture svg={clinic.patterns} class="patterns" />}
      <Masthead clinic={clinic} path={place.path} />
      <main class="page" id="main" tabIndex={-1}>
        <Shown of={doc} quiet>
          {(loaded) => <PageOf key={place.visit} path={place.path} here={{ clinic: loaded, query: place.query, reload: doc.reload }} />}
        </Shown>
        {clinic && (
          <p class="defer">
            {clinic.defer} <span class="program">{clinic.program}</span>
          </p>
        )}
      </main>
      <CarriedReceipt />
    </>
  );
}
