import { FilingProblem, problemOf } from './problem';

export interface Answer {
  status: number;
  /** The JSON of the answer; null: none. */
  body: unknown;
  /** `Type/id` of what was written, where the server says so. */
  location: string | null;
}

export interface Request {
  method: 'GET' | 'POST' | 'PUT';
  /** Below the address; '' is the address itself. */
  path: string;
  body?: object;
  /** Query of If-None-Exist. */
  unless?: string;
}

export interface ClientOptions {
  /** Of our own origin: the site's gateway adds what the server wants to know. `/fhir` */
  address: string;
  fetch: typeof fetch;
  now: () => number;
  /** For an answer, ms. */
  patience?: number;
}

const json = 'application/fhir+json';

/** One request to the record server. Rejects with a FilingProblem. */
export class Client {
  constructor(private readonly options: ClientOptions) {}

  async ask({ method, path, body, unless }: Request): Promise<Answer> {
    const { address, now, patience = 30_000 } = this.options;
    const what = `${method} ${path.split('?')[0] || 'bundle'}`;
    let answer: Response;
    let text: string;
    try {
      answer = await this.options.fetch(path ? `${address}/${path}` : address, {
        method,
        headers: {
          Accept: json,
          ...(body ? { 'Content-Type': json, Prefer: 'return=representation' } : {}),
          ...(unless ? { 'If-None-Exist': unless } : {}),
        },
        ...(body ? { body: JSON.stringify(body) } : {}),
        cache: 'no-store',
        // A way to a page for signing in is no answer.
        redirect: 'error',
        signal: AbortSignal.timeout(patience),
      });
      text = await answer.text();
    } catch {
      throw new FilingProblem(
        'server',
        `The record server cannot be reached or did not answer to the end; the kiosk tries again by itself. If this stays, ask IT to check the network and the gateway. (${what}.)`,
      );
    }
    let read: unknown = null;
    try {
      read = text ? JSON.parse(text) : null;
    } catch {
      if (answer.ok) {
        throw new FilingProblem(
          'server',
          `What answers is no record server. Ask IT to check the address in site.json and the gateway. (${answer.status}, ${what}.)`,
          { status: answer.status },
        );
      }
    }
    if (!answer.ok) throw problemOf(answer.status, what, read, answer.headers.get('Retry-After'), now());
    return { status: answer.status, body: read, location: placeOf(answer.headers.get('Location')) };
  }
}

/** `Type/id` out of an address like https://host/fhir/Type/id/_history/3. */
export function placeOf(location: string | null | undefined): string | null {
  return (
    /(?:^|\/)([A-Z][A-Za-z]+\/[A-Za-z0-9\-.]{1,64})(?:\/_history\/[^/]+)?$/.exec(location ?? '')?.[1] ?? null
  );
}
