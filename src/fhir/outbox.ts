import type { OutboxRow } from '../records/types';
import { FilingProblem } from './problem';
import type { PatientAsked } from './whose';

/*
 * What becomes of a visit in the outbox. Pure: time and chance come in.
 */

/** First wait after a try in vain, and the longest one, ms. */
const firstWait = 5_000;
const longestWait = 15 * 60_000;

/**
 * How long to wait after so many tries in vain, ms: doubled each time, and somewhere between half and all of it, so
 * that the kiosks of a house do not come back all at once (common practice: exponential back-off with jitter).
 * @param chance 0..1
 */
export function waitAfter(tries: number, chance: number): number {
  const most = Math.min(longestWait, firstWait * 2 ** Math.min(tries - 1, 20));
  return Math.round(most * (0.5 + chance / 2));
}

/** Which to try now, those with the fewest tries first: one that fails must not keep the others from their turn. */
export function dueRows(rows: readonly OutboxRow[], now: number): OutboxRow[] {
  return rows
    .filter(({ state, notBefore }) => state === 'waiting' && (!notBefore || Date.parse(notBefore) <= now))
    .sort((a, b) => a.tries - b.tries);
}

/** Without what it asked when it was last tried. */
const answered = ({ asks: _, ...row }: OutboxRow): OutboxRow => row;

export function afterFiling(row: OutboxRow, now: number): OutboxRow {
  return {
    ...answered(row),
    state: 'filed',
    tries: 0,
    notBefore: null,
    problem: '',
    filedAt: new Date(now).toISOString(),
    doubtful: false,
  };
}

/** Staff have put it into the chart themselves, and say so. */
export const byHand = (row: OutboxRow, now: number): OutboxRow => ({
  ...afterFiling(row, now),
  problem: 'Staff put it into the chart by hand; the kiosk has not filed it as it stands.',
});

export function afterProblem(row: OutboxRow, problem: FilingProblem, now: number, chance: number): OutboxRow {
  const tries = row.tries + 1;
  const { status, retryAfter = 0 } = problem.about;
  // Told no, or told to come later: then nothing was written. Anything else leaves it open.
  const refused = status !== undefined && (status < 500 || status === 503);
  const held = problem.holds === 'person';
  const wait = Math.max(waitAfter(tries, chance), retryAfter);
  return {
    ...answered(row),
    state: held ? 'held' : 'waiting',
    tries,
    notBefore: held ? null : new Date(now + wait).toISOString(),
    problem: problem.message,
    doubtful: row.doubtful && !refused,
    ...(problem.about.asks ? { asks: 'patient' } : {}),
  };
}

/** Somebody has looked at it and wants it tried. What was filed stays so. */
export function again(row: OutboxRow): OutboxRow {
  if (row.state === 'filed') return row;
  return { ...afresh(row), doubtful: false };
}

/** To be tried now, though nobody has looked into the chart. */
export const afresh = (row: OutboxRow): OutboxRow => ({
  ...answered(row),
  state: 'waiting',
  tries: 0,
  notBefore: null,
});

/** For staff. */
export interface OutboxView {
  waiting: number;
  /** Somebody has to do something about these. */
  held: number;
  /** Of those that wait: sealed, so that they can be filed only while staff have opened the records. */
  sealed: number;
  /** The last problem among them; empty: none. */
  problem: string;
  rows: ReadonlyMap<string, OutboxRow>;
  /** By visit: whom the record server found by its number, and nobody has yet said whether it is the right one. */
  asked: ReadonlyMap<string, PatientAsked>;
}

/**
 * @param rows of visits that are over
 * @param sealed visits that cannot be read now
 */
export function viewOf(
  rows: readonly OutboxRow[],
  sealed: ReadonlySet<string>,
  asked: ReadonlyMap<string, PatientAsked> = new Map(),
): OutboxView {
  const open = rows.filter(({ state }) => state !== 'filed');
  const held = open.filter(({ state }) => state === 'held');
  const latest = [...open].filter(({ problem }) => problem).sort((a, b) => order(b) - order(a))[0];
  return {
    waiting: open.length - held.length,
    held: held.length,
    sealed: open.filter(({ visit, state }) => state === 'waiting' && sealed.has(visit)).length,
    problem: latest?.problem ?? '',
    rows: new Map(rows.map((row) => [row.visit, row])),
    asked: new Map([...asked].filter(([visit]) => open.some((row) => row.visit === visit && row.asks))),
  };
}

/** What waits for the server says more about all than what is held for its own reasons. */
const order = ({ notBefore }: OutboxRow) => (notBefore ? Date.parse(notBefore) : 0);

export interface GatheringOptions {
  /** Rows of visits that are over. */
  rows: () => Promise<OutboxRow[]>;
  save: (row: OutboxRow) => Promise<void>;
  /**
   * Files one visit; `beforeUnsafe` comes before a step that must not be done twice unseen.
   * 'later': it cannot be read now, which is nobody's fault, and `rows` leaves it out until it can.
   */
  file: (row: OutboxRow, beforeUnsafe: () => Promise<void>) => Promise<'filed' | 'later'>;
  /** Told before the row is saved; what the problem is about may name people. */
  failed: (visit: string, problem: FilingProblem) => void;
  now: () => number;
  /** 0..1 */
  chance: () => number;
}

/**
 * Goes through the outbox: each visit that is due is filed, one after the other. The first sign that the server is
 * the trouble ends the round; the rest waits until the server may be asked again.
 * @returns times in ms: when there is something to do again (null: not before something changes), and until when the
 * server is to be left alone
 */
export async function gather(options: GatheringOptions): Promise<{ next: number | null; quiet: number }> {
  const { now, chance, save, file } = options;
  let quiet = 0;
  for (const row of dueRows(await options.rows(), now())) {
    let current = row;
    try {
      const done = await file(row, async () => {
        current = { ...row, doubtful: true };
        await save(current);
      });
      if (done === 'filed') await save(afterFiling(current, now()));
    } catch (error) {
      const problem = error instanceof FilingProblem ? error : unforeseen(error);
      const next = afterProblem(current, problem, now(), chance());
      options.failed(row.visit, problem);
      await save(next);
      if (problem.holds === 'server') {
        quiet = next.notBefore ? Date.parse(next.notBefore) : 0;
        break;
      }
    }
  }
  const waiting = (await options.rows()).filter(({ state }) => state === 'waiting');
  const next = Math.min(...waiting.map(({ notBefore }) => (notBefore ? Date.parse(notBefore) : 0)));
  return { next: waiting.length > 0 ? Math.max(next, quiet) : null, quiet };
}

/** Such as a store that is closed, or a lesson that is not there any more. */
function unforeseen(error: unknown): FilingProblem {
  return new FilingProblem(
    'visit',
    `This visit cannot be read for filing now; the kiosk tries again. ${(error as Error).message}`,
  );
}
