import { describe, expect, it, vi } from 'vitest';
import { RecordsDesk } from '../../../src/app/desks/records';
import type { Page } from '../../../src/app/state';
import type { VisitHeader } from '../../../src/records/types';
import { visitId } from '../../records/fixtures';

const at = '2026-03-02T14:00:00.000Z';
const header = (signed?: VisitHeader['signed']): VisitHeader => ({
  ...{ visit: visitId, practice: false, startedAt: at, lastAt: at, finished: 'completed', next: 9, signed },
});

/** A kiosk whose records lie open, with this visit; `look` reads what it may of the logs. */
function house(
  signed: VisitHeader['signed'],
  look: (turn: (page: Page) => void) => void,
  setAside: () => Promise<unknown[]> = async () => [],
) {
  let page: Page = { at: 'kiosk' };
  const turn = (next: Page) => {
    page = next;
  };
  const stored = { signed };
  const list = vi.fn(async () => [header(stored.signed)]);
  const desk = new RecordsDesk({
    store: () => ({ list, sealed: false, mode: 'disk', persist: async () => null, setAside }) as never,
    filing: { opened: () => {} } as never,
    followOn: { look: async () => look(turn) } as never,
    page: () => page,
    turn,
    set: () => {},
    attempt: (work) => work(),
    site: () => null as never,
    read: async () => null,
    quietly: (work, otherwise) => work.catch(() => otherwise),
  });
  return {
    desk,
    list,
    stored,
    page: () => page,
    shown: () => (page.at === 'visits' ? page.visits[0]?.signed : page.at),
  };
}

describe('the list of visits', () => {
  it('tells how far a visit is signed as soon as reading its log has shown it', async () => {
    const { desk, stored, shown } = house(undefined, () => {
      stored.signed = 'yes';
    });
    await desk.list();
    await vi.waitFor(() => expect(shown()).toBe('yes'));
  });

  it('is not asked for again where all of that is known', async () => {
    const { desk, list, shown } = house('no', () => {});
    await desk.list();
    await new Promise(setImmediate);
    expect(list).toHaveBeenCalledTimes(1);
    expect(shown()).toBe('no');
  });

  it('does not take the place of what staff look at meanwhile', async () => {
    const newer: Page = {
      at: 'visits',
      visits: [header('no')],
      sealing: { state: 'open' },
      followUps: null,
      keptAside: 0,
    };
    const { desk, list, shown } = house(undefined, (turn) => turn(newer));
    await desk.list();
    await vi.waitFor(() => expect(list).toHaveBeenCalledTimes(2));
    await new Promise(setImmediate);
    expect(shown()).toBe('no');
  });

  it('knows how much is kept aside that could not be read, whenever that was found', async () => {
    const { desk, page } = house(
      'yes',
      () => {},
      async () => [{}, {}],
    );
    await desk.list();
    expect(page()).toMatchObject({ at: 'visits', keptAside: 2 });
  });

  it('is shown all the same where that cannot be told', async () => {
    const { desk, page } = house(
      'yes',
      () => {},
      () => Promise.reject(new Error('The disk is gone.')),
    );
    await desk.list();
    expect(page()).toMatchObject({ at: 'visits', keptAside: 0 });
  });
});
