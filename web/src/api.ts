// The one place that talks to the server. Every answer is a value: what came back, or why nothing did.
import type { AskBack, Conflict, Refusal } from './model';

export type Refused = Refusal['refused'];
export type Reply<T> =
  | { kind: 'ok'; value: T }
  | { kind: 'refused'; refused: Refused; status: number }
  | { kind: 'conflict'; refused: Refused; changed: NonNullable<Conflict['changed']> }
  | { kind: 'ask'; ask: AskBack['ask'] }
  | { kind: 'unreached' };

const unreadable: Refused = {
  code: 'web.unreadable',
  what: 'The answer could not be read.',
  do_this: 'Load the page again. If it stays so, restart Penstock.',
  at: '',
};

type Body = Partial<Conflict> & Partial<AskBack>;

async function read<T>(answer: Response): Promise<Reply<T>> {
  let body: unknown;
  try {
    body = await answer.json();
  } catch {
    return { kind: 'refused', refused: unreadable, status: answer.status };
  }
  if (answer.ok) return { kind: 'ok', value: body as T };
  const { refused, ask, changed } = body as Body;
  if (answer.status === 422 && ask) return { kind: 'ask', ask };
  if (answer.status === 409 && refused) return { kind: 'conflict', refused, changed: changed ?? [] };
  return { kind: 'refused', refused: refused ?? unreadable, status: answer.status };
}

async function call<T>(path: string, init: RequestInit): Promise<Reply<T>> {
  try {
    return await read<T>(await fetch(path, { ...init, cache: 'no-store', credentials: 'same-origin' }));
  } catch {
    return { kind: 'unreached' };
  }
}

export const get = <T>(path: string): Promise<Reply<T>> => call(path, { headers: { accept: 'application/json' } });

export const post = <T>(path: string, body: unknown): Promise<Reply<T>> =>
  call(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json', accept: 'application/json' },
    body: JSON.stringify(body),
  });

export const postText = <T>(path: string, text: string | Blob, type: string): Promise<Reply<T>> =>
  call(path, { method: 'POST', headers: { 'content-type': type, accept: 'application/json' }, body: text });
