// What each tested pen delivered, against the limits: the verdict first, then the drawing.
import type { JSX } from 'preact';
import type { PenTest, SuppliesPage } from '../model';
import { isEmpty, LevelMark, Picture, Words } from '../parts/text';
import { say } from '../words';

/** On the page and on the printed sheet alike. */
export function TestBody({ test }: { test: PenTest }): JSX.Element {
  return (
    <>
      {!isEmpty(test.verdict) && (
        <p class="verdict">
          {test.level && <LevelMark level={test.level} word={test.level_word ?? test.level} />}
          <span>
            <Words text={test.verdict} />
          </span>
        </p>
      )}
      <Picture svg={test.picture} class="drawing delivered" />
      <Picture svg={test.drift} class="drawing drift" />
      {test.detail.length > 0 && (
        <ul class="said small">
          {test.detail.map((text) => (
            <li>
              <Words text={text} />
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

export function PenTests({ page }: { page: SuppliesPage }): JSX.Element {
  return (
    <section class="sec pen-tests">
      <header>
        <h2>{say('pentest.title')}</h2>
      </header>
      {page.tests.length === 0 && <p>{say('pentest.none')}</p>}
      <div class="tests">
        {page.tests.map((test) => (
          <article key={test.id}>
            <h3>
              {test.title} <span class="quiet">{test.when_text}</span>
            </h3>
            <TestBody test={test} />
            <p class="scr">
              <a class="act slim" href={test.href}>
                {say('pentest.sheet')}
                <span class="vh">
                  : {test.title}, {test.when_text}
                </span>
              </a>
            </p>
          </article>
        ))}
      </div>
      <p class="btns scr">
        <a class="act" href={`/people/${page.id}/supplies/test`}>
          {say('pentest.record_one')}
        </a>
      </p>
    </section>
  );
}
