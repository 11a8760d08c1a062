// The one place that talks to the server. Every answer is a value: what came back, or why nothing did.
import type { AskBack, Conflict, Refusal } from './model';
import { say } from './words';

export type Refused = Refusal['refused'];
export type Reply<T> =
  | { kind: 'ok'; value: T; tag: string }
  | { kind: 'refused'; refused: Refused; status: number }
  | { kind: 'conflict'; refused: Refused; changed: NonNullable<Conflict['changed']> }
  | { kind: 'ask'; ask: AskBack['ask'] }
  | { kind: 'unreached' };

const unreadable: Refused = {
  code: 'web.unreadable',
  what: say('page.unreadable'),
  do_this: say('page.unreadable_do'),
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
  if (answer.ok) return { kind: 'ok', value: body as T, tag: answer.headers.get('etag') ?? '' };
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

/** The same for what is here already, with its tag: 'same' while nothing in it has changed. */
export async function getAgain<T>(path: string, tag: string): Promise<Reply<T> | { kind: 'same' }> {
  try {
    const headers = { accept: 'application/json', 'if-none-match': tag };
    const answer = await fetch(path, { headers, cache: 'no-store', credentials: 'same-origin' });
    return answer.status === 304 ? { kind: 'same' } : await read<T>(answer);
  } catch {
    return { kind: 'unreached' };
  }
}

export const post = <T>(path: string, body: unknown): Promise<Reply<T>> =>
  call(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json', accept: 'application/json' },
    body: JSON.stringify(body),
  });

/** All that is said stands in the address. */
export const erase = <T>(path: string): Promise<Reply<T>> => call(path, { method: 'DELETE', headers: { accept: 'application/json' } });

export const postText = <T>(path: string, text: string | Blob, type: string): Promise<Reply<T>> =>
  call(path, { method: 'POST', headers: { 'content-type': type, accept: 'application/json' }, body: text });
