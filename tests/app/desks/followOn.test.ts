import { describe, expect, it, vi } from 'vitest';
import { daysBack, FollowOn } from '../../../src/app/desks/followOn';
import type { FullLesson } from '../../../src/app/lessons';
import type { Page, StoredVisit } from '../../../src/app/state';
import { derive } from '../../../src/records/derive';
import type { VisitFact, VisitHeader, VisitStart } from '../../../src/records/types';
import { logOf, otherId, started, startOf, texts, visitId, wholeVisit } from '../../records/fixtures';

vi.mock('../../../src/app/services/sound', () => ({ wakeSound: () => {} }));

const lesson = { ...texts, judging: {} } as unknown as FullLesson;
const sitting = {
  id: visitId,
  index: 0,
  follows: false,
  toCome: [{ module: 'lamp', steps: ['care'], particulars: startOf().particulars }],
};
const voice = { rate: 0.75, volume: 1 };

/** A kiosk with these visits in its store. */
function house(visits: Record<string, VisitFact[]>) {
  const stored = (visit: string): StoredVisit | null =>
    visits[visit] ? { record: derive(logOf(visits[visit], visit), texts), lesson } : null;
  const told: string[] = [];
  const all = {
    read: vi.fn(async (visit: string) => stored(visit)),
    load: vi.fn(async () => lesson),
    run: vi.fn<(start: VisitStart, voice?: unknown) => Promise<void>>(async () => {}),
    voice: () => voice,
    page: (): Page => page,
    turn: vi.fn((next: Page) => {
      page = next;
    }),
    review: vi.fn(),
    opened: async (_: () => void, work: () => Promise<void>) =>
      work().catch((error: Error) => void told.push(error.message)),
    room: () => null,
    attempt: async (work: () => Promise<void>) =>
      work().catch((error: Error) => void told.push(error.message)),
  };
  let page: Page = { at: 'kiosk' };
  return { ...all, told, stored, followOn: new FollowOn(all) };
}

const header = (visit: string, lastAt = new Date().toISOString(), next = 9): VisitHeader => ({
  visit,
  practice: false,
  startedAt: lastAt,
  lastAt,
  finished: 'completed',
  next,
});

const opens = (visits: VisitHeader[]): Page => ({
  at: 'visits',
  visits,
  sealing: { state: 'open' },
  followUps: null,
  keptAside: 0,
});

describe('what comes after a visit', () => {
  it('is told in the list, with the title of the lesson to come', async () => {
    const { followOn, turn, page } = house({ [visitId]: [started({ sitting }), ...wholeVisit.slice(1)] });
    const visits = [header(visitId)];
    turn(opens(visits));
    await followOn.look(visits);
    const shown = page();
    expect(shown.at === 'visits' && shown.followUps?.get(visitId)).toEqual({
      recheck: { at: '2026-03-04T14:26:00.000Z', due: true },
      toCome: { module: 'lamp', language: 'en' },
      title: 'Inhaler practice',
    });
  });

  it('is not told on a page that has changed meanwhile', async () => {
    const { followOn, turn, page } = house({ [visitId]: wholeVisit });
    turn({ at: 'kiosk' });
    await followOn.look([header(visitId)]);
    expect(page()).toEqual({ at: 'kiosk' });
  });

  it('is read once, anew when its log has grown, and no more after the records were closed', async () => {
    const { followOn, read, turn } = house({ [visitId]: wholeVisit });
    const look = (visits: VisitHeader[]) => {
      turn(opens(visits));
      return followOn.look(visits);
    };
    await look([header(visitId)]);
    await look([header(visitId)]);
    expect(read).toHaveBeenCalledTimes(1);
    await look([header(visitId, new Date().toISOString(), 10)]);
    expect(read).toHaveBeenCalledTimes(2);
    followOn.forget();
    await look([header(visitId, new Date().toISOString(), 10)]);
    expect(read).toHaveBeenCalledTimes(3);
  });

  it('is looked for in visits of the last days only', async () => {
    const { followOn, read, turn } = house({ [visitId]: wholeVisit });
    const long = new Date(Date.now() - daysBack * 86_400_000 - 60_000).toISOString();
    const visits = [header(visitId, long), header(otherId)];
    turn(opens(visits));
    await followOn.look(visits);
    expect(read.mock.calls).toEqual([[otherId]]);
  });

  it('is told of all the others when one visit cannot be read', async () => {
    const { followOn, read, turn, page, told } = house({ [visitId]: wholeVisit });
    read.mockRejectedValueOnce(new Error('Its seal is broken.'));
    const visits = [header(otherId), header(visitId)];
    turn(opens(visits));
    await followOn.look(visits);
    const shown = page();
    expect(shown.at === 'visits' && [...(shown.followUps?.keys() ?? [])]).toEqual([visitId]);
    expect(told).toEqual([]);
  });

  it('is looked for no longer, and nothing of it kept, when the list has been left', async () => {
    const { followOn, read, turn, told } = house({ [visitId]: wholeVisit });
    const visits = [header(visitId), header(otherId)];
    turn(opens(visits));
    const looking = followOn.look(visits);
    turn({ at: 'kiosk' });
    followOn.forget();
    await looking;
    expect(read).toHaveBeenCalledTimes(1);
    expect(told).toEqual([]);
    const again = opens([visits[0]!]);
    turn(again);
    await followOn.look(again.at === 'visits' ? again.visits : []);
    expect(read).toHaveBeenCalledTimes(2);
  });
});

describe('the next lesson', () => {
  it('begins once, as the one before ended, and follows it', async () => {
    const { followOn, run } = house({
      [visitId]: [started({ sitting }), { type: 'finished', how: 'completed' }],
    });
    await Promise.all([followOn.next(visitId), followOn.next(visitId)]);
    expect(run).toHaveBeenCalledOnce();
    expect(run.mock.calls[0]![0]).toMatchObject({
      module: 'lamp',
      steps: ['care'],
      sitting: { index: 1, follows: true, toCome: [] },
    });
    expect(run.mock.calls[0]![1]).toEqual(voice);
  });

  it('is greeted like any visit when staff begin it later', async () => {
    const { followOn, run } = house({ [visitId]: [started({ sitting })] });
    await followOn.nextFromList(visitId);
    expect(run.mock.calls[0]![0].sitting).toMatchObject({ index: 1, follows: false });
    expect(run.mock.calls[0]![1]).toBeUndefined();
  });

  it('can be tried again when it did not begin, and staff are told why', async () => {
    const { followOn, run, told } = house({ [visitId]: [started({ sitting })] });
    run.mockRejectedValueOnce(new Error('The disk is full.'));
    await followOn.next(visitId);
    expect(told).toEqual(['The disk is full.']);
    await followOn.next(visitId);
    expect(run).toHaveBeenCalledTimes(2);
  });

  it('is refused in a sentence where none is to come', async () => {
    const { followOn, told } = house({ [visitId]: wholeVisit });
    await followOn.next(visitId);
    expect(told).toEqual(['No lesson is to come after this visit.']);
  });

  it('is named in the words of a sentence', async () => {
    const { followOn } = house({});
    expect(await followOn.device(startOf({ sitting }))).toBe('your inhaler');
    expect(await followOn.device(startOf())).toBeNull();
  });
});

it('a re-check is begun with what was entered, or refused in a sentence', async () => {
  const { followOn, run, stored, told } = house({ [visitId]: wholeVisit });
  const entry = { visit: otherId, bed: '4', staff: 'Q. Fenn', concepts: ['lamp.light.shake'] };
  await followOn.recheck(stored(visitId)!, entry);
  expect(run.mock.calls[0]![0]).toMatchObject({ visit: otherId, recheck: { of: visitId } });
  await followOn.recheck(stored(visitId)!, { ...entry, concepts: [] });
  expect(told[0]).toMatch(/^Choose at least one point/);
});
