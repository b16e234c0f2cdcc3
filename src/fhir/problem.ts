import type { PatientAsked } from './whose';

/**
 * Why a visit was not filed. The message is for staff: what went wrong and what to do. It names nobody, unlike what a
 * server may have `said`, which is shown and not stored.
 * - 'server': nothing can be filed now; all wait. - 'visit': this one waits. - 'person': somebody has to act first.
 */
export class FilingProblem extends Error {
  override readonly name = 'FilingProblem';
  constructor(
    readonly holds: 'server' | 'visit' | 'person',
    message: string,
    readonly about: { status?: number; retryAfter?: number; said?: string; asks?: PatientAsked } = {},
  ) {
    super(message);
  }
}

/** For how long a server may silence us, ms. */
const longestSilence = 6 * 60 * 60_000;

/** An answer that is no success, as what it means for us (RFC 9110, section 15; RFC 6585 for 429). */
export function problemOf(
  status: number,
  what: string,
  body: unknown,
  retryAfter: string | null,
  now: number,
): FilingProblem {
  const said = outcomeText(body);
  const about = { status, ...silence(retryAfter, now), ...(said ? { said } : {}) };
  const problem = (holds: FilingProblem['holds'], message: string) =>
    new FilingProblem(holds, `${message} (${status}, ${what}.)`, about);
  if (status === 429)
    return problem(
      'server',
      'The record server asks for fewer requests; the kiosk waits and goes on by itself.',
    );
  if (status === 401 || status === 403) {
    return problem(
      'server',
      'The record server does not let this kiosk in. Ask IT to check the gateway; the kiosk goes on trying.',
    );
  }
  if (status === 409 || status === 412) {
    return problem(
      'visit',
      'The record server could not decide between entries of this visit. The kiosk tries again; if this stays, ask IT whether the visit is there more than once.',
    );
  }
  if (status === 408 || status === 425 || status >= 500) {
    return problem('server', 'The record server is busy or out of order; the kiosk tries again by itself.');
  }
  return problem(
    'person',
    'The record server does not take this visit. Show this line to IT, and press “Try again” once it is mended; until then the note can be copied into the chart by hand.',
  );
}

/** Retry-After (RFC 9110, 10.2.3): seconds or a date. */
function silence(retryAfter: string | null, now: number): { retryAfter?: number } {
  if (!retryAfter) return {};
  const wait = /^\d+$/.test(retryAfter.trim()) ? Number(retryAfter) * 1000 : Date.parse(retryAfter) - now;
  return Number.isFinite(wait) ? { retryAfter: Math.min(longestSilence, Math.max(0, wait)) } : {};
}

/** The first sentence of an OperationOutcome, short. */
function outcomeText(body: unknown): string {
  const issue = (body as { issue?: { details?: { text?: unknown }; diagnostics?: unknown }[] } | null)?.issue;
  if (!Array.isArray(issue)) return '';
  const said = issue[0]?.details?.text ?? issue[0]?.diagnostics;
  return typeof said === 'string' ? said.replace(/\s+/g, ' ').trim().slice(0, 160) : '';
}
