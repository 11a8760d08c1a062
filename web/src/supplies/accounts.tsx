// Three accounts of the same insulin, laid side by side. Chances and ranges are the nurse's and stay on the screen; the question is for
// the person.
import type { JSX } from 'preact';
import type { Accounts, SuppliesPage } from '../model';
import { useAnchor } from '../parts/anchor';
import { RecordButton } from '../parts/record-button';
import { isEmpty, LevelMark, Mark, Picture, Words } from '../parts/text';
import type { Recorder } from '../recorder';
import { say } from '../words';

function ForTheNurse({ of }: { of: Accounts }): JSX.Element | null {
  if (of.mechanisms.length === 0) return null;
  return (
    <div class="for-nurse scr">
      <h4>{say('supply.nurse')}</h4>
      <div class="table-wrap" tabIndex={0} role="region" aria-label={say('supply.reasons', { insulin: of.insulin })}>
        <table class="tab">
          <thead>
            <tr>
              <th scope="col">{say('supply.reason')}</th>
              <th scope="col">{say('supply.likelihood')}</th>
              <th scope="col">{say('supply.how_much')}</th>
            </tr>
          </thead>
          <tbody>
            {of.mechanisms.map((one) => (
              <tr>
                <th scope="row">{one.text}</th>
                <td class="val">{one.chance_text}</td>
                <td>{one.range_text}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </div>
  );
}

function ToSay({ of }: { of: Accounts }): JSX.Element | null {
  if (isEmpty(of.question)) return null;
  return (
    <div class="to-say">
      <h4>{say('page.what_to_say')}</h4>
      <p class="lead">
        <Words text={of.question} />
      </p>
    </div>
  );
}

function One({ of, recorder }: { of: Accounts; recorder: Recorder }): JSX.Element {
  return (
    <article class="account">
      <h3>
        <Mark svg={of.mark} />
        {of.insulin} <span class="quiet">{of.period_text}</span>
      </h3>
      <p class="verdict">
        {of.level && <LevelMark level={of.level} word={of.level_word ?? of.level} />}
        <span class="lead">
          <Words text={of.lead} />
        </span>
      </p>
      <div class={of.picture === '' ? 'account-in bare' : 'account-in'}>
        <Picture svg={of.picture} class="drawing" />
        <dl class="lines">
          {of.rows.map(({ label, value }) => (
            <div>
              <dt>{label}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
      </div>
      <ForTheNurse of={of} />
      <ToSay of={of} />
      {of.unknown.length > 0 && (
        <ul class="said not-known" aria-label={say('supply.unknown')}>
          {of.unknown.map((text) => (
            <li>
              <Words text={text} />
            </li>
          ))}
        </ul>
      )}
      {of.caution && <p class="small soft">{of.caution}</p>}
      {of.record && (
        <p class="btns scr">
          <RecordButton action={of.record} recorder={recorder} />
        </p>
      )}
    </article>
  );
}

export function AccountsSection({ page, recorder }: { page: SuppliesPage; recorder: Recorder }): JSX.Element {
  return (
    <section class="sec accounts" {...useAnchor('accounts')}>
      <header>
        <h2>{say('supply.counts')}</h2>
        <p>{say('supply.counts_note')}</p>
      </header>
      {page.accounts.length === 0 && <p>{say('supply.counts_none')}</p>}
      {page.accounts.map((of) => (
        <One key={of.insulin} of={of} recorder={recorder} />
      ))}
      {page.accounts.length > 0 && page.accounts.every(({ record }) => !record) && (
        <p class="btns scr">
          <a class="act" href={`/people/${page.id}/supplies/talk`}>
            {say('supply.talk_record')}
          </a>
        </p>
      )}
    </section>
  );
}
