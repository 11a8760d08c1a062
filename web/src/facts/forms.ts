// The forms of facts that people write or correct by hand (GET /api/forms), made by the program from its own lists (src/core/facts) and
// its catalogue. What is on no form is carried through a correction as it was. They stay the same until another program is started.
import { useDocument, type Doc } from '../document';
import type { FactForms } from '../model';

export const useForms = (): Doc<FactForms> => useDocument<FactForms>('/api/forms', { once: true });
