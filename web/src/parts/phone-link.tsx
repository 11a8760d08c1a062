// A phone number that a telephone dials at a press; without one it is said that there is none.
import type { JSX } from 'preact';

export const PhoneLink = ({ phone, phone_text }: { phone: string; phone_text: string }): JSX.Element =>
  phone === '' ? (
    <b class="nb">{phone_text}</b>
  ) : (
    <a class="nb" href={`tel:${phone.replace(/[^+\d]/g, '')}`}>
      {phone_text}
    </a>
  );
