// What the forms about supplies share.
import type { FactForm } from '../facts/use-fact-form';
import type { SuppliesPage } from '../model';
import { fieldOf } from '../parts/form';
import type { InFrame } from '../person/frame';

export type InForm = InFrame & { page: SuppliesPage; query: URLSearchParams; zones: string[] };

export const when = { when: 'now', happened_local: '', told_by: '' };
export const trimmed = (text: string): string => text.trim();
export const backTo = (id: string): string => `/people/${id}/supplies`;

/** What is wrong in the nth of several facts that are sent together: fields of one name stand in more than one. */
export function wrongAt(form: FactForm, at: number): Record<string, string> {
  const of = /^\/facts\/(\d+)\//.exec(form.refused?.at ?? '')?.[1];
  return of === undefined || Number(of) === at ? form.wrong : {};
}

/** The field of a refusal, below a list's own place: "delivered_units/3". */
export const refusedField = (form: FactForm): string => fieldOf(form.refused);
