// The forms of facts that people write or correct by hand (GET /api/forms), made by the program from its own lists (src/core/facts) and
// its catalogue. What is on no form is carried through a correction as it was.
import { useDocument, type Doc } from '../document';
import type { Choice } from '../parts/fields';

export type FieldKind = 'units' | 'number' | 'text' | 'long' | 'date' | 'time' | 'choice' | 'flag';
/** Where the choices come from that only the person's own page knows. */
export type Source = 'cartridges' | 'pens' | 'lines' | 'needles';

export interface FieldSpec {
  name: string;
  label: string;
  kind: FieldKind;
  /** Else it may stay empty: then the field is left out. */
  needed: boolean;
  unit: string;
  hint: string;
  start: string;
  choices?: Choice[];
  from?: Source;
}

export interface KindSpec {
  address: string; // "/people/{id}/record/{address}"
  what: string;
  title: string;
  lead: string;
  button: string;
  fields: FieldSpec[];
  /** On the record page, in this order; the others are only corrected. */
  offered: boolean;
}

export interface FactForms {
  forms: KindSpec[];
}

export const useForms = (): Doc<FactForms> => useDocument<FactForms>('/api/forms');
