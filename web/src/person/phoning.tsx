// Beside a dose without a number: whom to phone about it, and where the call is recorded. Neither brings the number back.
import type { JSX } from 'preact';
import type { Phoning } from '../model';
import { PhoneLink } from '../parts/phone-link';

/** Under the numbers that the record has; none is made up where it has none. */
export const Phones = ({ of }: { of: Phoning['phones'] }): JSX.Element => (
  <>
    {of.map(({ who, phone }) => (
      <span class="phone-of">
        {who}, <PhoneLink phone={phone} phone_text={phone} />
      </span>
    ))}
  </>
);

export const RecordCall = ({ of, plain = false }: { of: Phoning; plain?: boolean }): JSX.Element => (
  <a class={plain ? 'act plain' : 'act'} href={of.call.href}>
    {of.call.label}
  </a>
);
