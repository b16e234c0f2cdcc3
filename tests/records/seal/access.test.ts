import { IDBFactory } from 'fake-indexeddb';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { Access } from '../../../src/records/seal/access';
import { otherId, started, visitId, wholeVisit } from '../fixtures';
import { accessOf, allThatLies, anotherWard, device, meddle, odo, rue } from './kiosk';

beforeEach(() => {
  globalThis.indexedDB = new IDBFactory();
});

afterEach(() => {
  vi.restoreAllMocks();
});

async function setUp() {
  const one = device();
  const store = await one.open();
  const access = await accessOf(store);
  const code = await access.setUp(rue);
  return { ...one, store, access, code };
}

const deeds = async (access: Access) =>
  (await access.trail()).entries.map(({ who, what }) => `${who} ${what}`);

/** Fails to open so many times, waiting as long as is asked for. */
async function fail(one: { access: Access; pass: (minutes: number) => void }, times: number, id = rue.id) {
  for (let index = 0; index < times; index += 1) {
    await expect(one.access.open(id, 'not the secret at all')).rejects.toThrow(/did not open/);
    one.pass(20);
  }
}

test('the first secret opens, another one does not, and it lies nowhere', async () => {
  const { access, store, code } = await setUp();
  expect(access.session).toEqual({ id: 'rue', name: 'R. Quillon' });
  await store.append(visitId, wholeVisit);
  store.putDown();
  await access.close('by hand');
  expect(access.session).toBe(null);
  await expect(access.open('rue', `${rue.secret}.`)).rejects.toThrow(/did not open/);
  await expect(access.open('nobody', rue.secret)).rejects.toThrow(/did not open/);
  await expect(store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
  await access.open(' Rue ', rue.secret);
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length);
  const lies = await allThatLies();
  expect(lies).toContain('R. Quillon');
  expect(lies).not.toContain(rue.secret);
  expect(lies).not.toContain(code);
  expect(lies).not.toContain(code.replaceAll('-', ''));
});

test.each([
  ['brass lantern', /at least 15/],
  ['aaaaaaaaaaaaaaaaaaaa', /more different/],
  ['rue has a brass lantern', /without your id/],
])('the secret "%s" is refused, and nothing is set up', async (secret, why) => {
  const store = await device().open();
  const access = await accessOf(store);
  await expect(access.setUp({ ...rue, secret })).rejects.toThrow(why);
  expect(store.sealed).toBe(false);
  expect((await access.trail()).entries).toEqual([]);
});

test('a secret typed with letters put together in another way opens as well', async () => {
  const store = await device().open();
  const access = await accessOf(store);
  await access.setUp({ ...rue, secret: 'caf\u00e9 lantern over a quiet harbor' });
  await access.close('by hand');
  await access.open(rue.id, 'cafe\u0301 lantern over a quiet harbor');
});

describe('tries that fail', () => {
  test('are free up to the fifth, then cost time, and the tenth locks; also after a restart', async () => {
    const one = await setUp();
    await one.access.close('by hand');
    await fail({ ...one, pass: () => {} }, 5);
    await expect(one.access.open(rue.id, rue.secret)).rejects.toThrow(/Wait 30 seconds/);
    one.store.close();
    const again = await one.open();
    const access = await accessOf(again);
    await expect(access.open(rue.id, rue.secret)).rejects.toThrow(/Wait 30 seconds/);
    one.pass(20);
    await fail({ access, pass: one.pass }, 4);
    await expect(access.open(rue.id, 'the tenth try it is')).rejects.toThrow(/locked now/);
    one.pass(24 * 60);
    await expect(access.open(rue.id, rue.secret)).rejects.toThrow(/is locked/);
    again.close();
    const third = await accessOf(await one.open());
    await expect(third.open(rue.id, rue.secret)).rejects.toThrow(/is locked/);
    expect((await deeds(third)).filter((deed) => deed === 'rue failed')).toHaveLength(9);
    expect(await deeds(third)).toContain('rue locked');
  });

  test('are forgotten once it opens', async () => {
    const one = await setUp();
    await one.access.close('by hand');
    await fail(one, 9);
    await one.access.open(rue.id, rue.secret);
    await one.access.close('by hand');
    await fail({ ...one, pass: () => {} }, 4);
    await one.access.open(rue.id, rue.secret);
  });

  test('are counted before they are made: who pulls the plug wins nothing', async () => {
    const one = await setUp();
    await one.access.close('by hand');
    // The plug is pulled while the secret is tried.
    vi.spyOn(crypto.subtle, 'decrypt').mockImplementationOnce(async () => {
      one.store.close();
      throw new Error('no more power');
    });
    await expect(one.access.open(rue.id, 'not the secret at all')).rejects.toThrow();
    const again = await one.open();
    const row = (await meddle((db) => db.get('staff', rue.id))) as { failures: { count: number } };
    expect(row.failures.count).toBe(1);
    expect(await deeds(await accessOf(again))).toEqual(['rue set-up', 'rue opened', 'rue closed']);
  });

  test('by ids that nobody has cost time too, and lock nobody out', async () => {
    const one = await setUp();
    await one.access.close('by hand');
    for (const id of ['ann', 'ben', 'cid', 'dot', 'eve'])
      await expect(one.access.open(id, rue.secret)).rejects.toThrow(/did not open/);
    await expect(one.access.open('fay', rue.secret)).rejects.toThrow(/Wait/);
    await one.access.open(rue.id, rue.secret);
    expect(await deeds(one.access)).toContain('? failed');
  });
});

test('an entry of staff that cannot be read is told with what to do, and can be made anew', async () => {
  const { access } = await setUp();
  await access.add(rue.secret, odo);
  await meddle((db) => db.put('staff', { id: 'odo', name: 7 } as never, 'odo'));
  await meddle((db) => db.put('staff', 'torn' as never, '!'));
  const amiss = async () => (await access.people()).flatMap(({ id, unreadable }) => (unreadable ? [id] : []));
  expect((await access.people()).map(({ id, unreadable }) => `${id} ${unreadable}`)).toEqual([
    '! cannot be read: renew the code in the envelope',
    'odo cannot be read: remove it, then add it anew',
    'rue null',
  ]);
  await access.remove('odo');
  await access.add(rue.secret, odo);
  const code = await access.renewCode(rue.secret);
  expect(await amiss()).toEqual([]);
  await access.close('by hand');
  await access.open(odo.id, odo.secret);
  await access.close('by hand');
  await access.openInEmergency('N. Ashby', 'fire drill', code);
});

test('the code in the envelope opens for whoever says who and why, and a locked id is let in again', async () => {
  const one = await setUp();
  await one.access.close('by hand');
  await fail(one, 9);
  await expect(one.access.open(rue.id, 'the tenth try it is')).rejects.toThrow(/locked now/);
  await expect(one.access.openInEmergency('', '', one.code)).rejects.toThrow(/who you are and why/);
  await expect(one.access.openInEmergency('N. Ashby', 'fire drill', 'AAAAA-BBBBB')).rejects.toThrow(
    /did not open/,
  );
  await one.access.openInEmergency('N. Ashby', 'fire drill', one.code.toLowerCase().replaceAll('-', ' '));
  expect((await one.access.people()).map(({ id, locked }) => ({ id, locked }))).toEqual([
    { id: 'rue', locked: true },
  ]);
  await one.access.letIn(rue.id);
  await one.access.close('by hand');
  await one.access.open(rue.id, rue.secret);
  const { entries } = await one.access.trail();
  expect(entries.find(({ what }) => what === 'emergency-opened')?.detail).toBe('N. Ashby: fire drill');
  expect(await deeds(one.access)).toContain('! staff-let-in');
});

test('others are let in by who has opened, each with a secret of their own', async () => {
  const { access, store } = await setUp();
  await store.append(visitId, wholeVisit);
  store.putDown();
  await expect(access.add('not my secret at all', odo)).rejects.toThrow(/did not open/);
  await access.add(rue.secret, odo);
  await expect(access.add(rue.secret, odo)).rejects.toThrow(/“odo” already/);
  await expect(access.remove('rue')).rejects.toThrow(/their own/);
  await access.close('by hand');
  await expect(access.add(rue.secret, odo)).rejects.toThrow(/closed/);
  await access.open(odo.id, odo.secret);
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length);
  await access.remove('rue');
  await access.close('by hand');
  await expect(access.open(rue.id, rue.secret)).rejects.toThrow(/did not open/);
});

test('a changed secret and a renewed code open, the ones before do not', async () => {
  const { access, code } = await setUp();
  const fresh = 'paper boats drift under bridges';
  await access.changeSecret(rue.secret, fresh);
  const next = await access.renewCode(fresh);
  await access.close('by hand');
  await expect(access.open(rue.id, rue.secret)).rejects.toThrow(/did not open/);
  await access.open(rue.id, fresh);
  await access.close('by hand');
  await expect(access.openInEmergency('N. Ashby', 'drill', code)).rejects.toThrow(/did not open/);
  await access.openInEmergency('N. Ashby', 'drill', next);
});

test('what lies under the secret of one opens nothing under the id of another', async () => {
  const { access } = await setUp();
  await access.add(rue.secret, odo);
  await access.close('by hand');
  await meddle(async (db) => {
    const row = (await db.get('staff', 'odo')) as object;
    await db.put('staff', { ...row, id: 'rue', name: 'R. Quillon' }, 'rue');
  });
  await expect(access.open('rue', odo.secret)).rejects.toThrow(/did not open/);
});

test('with another key of the ward all visits are still read, and what opened before opens nothing new', async () => {
  const { access, store, code, ...one } = await setUp();
  await store.append(visitId, wholeVisit);
  store.putDown();
  await access.add(rue.secret, odo);
  const stolen = await meddle((db) => db.get('staff', 'odo'));
  await expect(access.exchangeKey('not my secret at all')).rejects.toThrow(/did not open/);
  const keys = () => meddle((db) => db.getAll('keys'));
  const before = await keys();
  anotherWard();
  const next = await access.exchangeKey(rue.secret);
  expect(await keys()).not.toEqual(before);
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length);
  await store.append(otherId, [started({ visit: otherId }), { type: 'finished', how: 'stopped' }]);
  store.putDown();
  await access.close('by hand');
  expect((await access.people()).map(({ id }) => id)).toEqual(['rue']);
  await expect(access.openInEmergency('N. Ashby', 'drill', code)).rejects.toThrow(/did not open/);
  store.close();
  const again = await one.open();
  const reopened = await accessOf(again);
  await reopened.open(rue.id, rue.secret);
  expect(await again.events(visitId)).toHaveLength(wholeVisit.length);
  expect(await again.events(otherId)).toHaveLength(2);
  await reopened.close('by hand');
  await reopened.openInEmergency('N. Ashby', 'drill', next);
  expect(await deeds(reopened)).toContain('rue key-exchanged');
  await reopened.close('by hand');
  // Even put back, the key under the secret of before opens no visit.
  await meddle((db) => db.put('staff', stolen, 'odo'));
  await reopened.open(odo.id, odo.secret);
  await expect(again.events(visitId)).rejects.toMatchObject({ code: 'broken-seal' });
});

test('a key of the ward that cannot be stored changes nothing', async () => {
  const { access, store } = await setUp();
  await store.append(visitId, wholeVisit);
  store.putDown();
  anotherWard();
  vi.spyOn(IDBObjectStore.prototype, 'clear').mockImplementationOnce(() => {
    throw new DOMException('no room', 'QuotaExceededError');
  });
  await expect(access.exchangeKey(rue.secret)).rejects.toMatchObject({ code: 'full' });
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length);
  await access.close('by hand');
  await access.open(rue.id, rue.secret);
  expect(await store.events(visitId)).toHaveLength(wholeVisit.length);
});

describe('the trail', () => {
  test('tells who did what, and holds', async () => {
    const { access, store } = await setUp();
    await access.note('read', visitId);
    await access.close('nobody there for 2 minutes');
    await expect(access.note('read', visitId)).rejects.toThrow(/closed/);
    expect(await deeds(access)).toEqual(['rue set-up', 'rue opened', 'rue read', 'rue closed']);
    expect((await access.trail()).broken).toBe(null);
    store.close();
  });

  test.each<[string, (db: Parameters<Parameters<typeof meddle>[0]>[0]) => Promise<unknown>, RegExp]>([
    [
      'changed',
      async (db) => db.put('trail', { ...((await db.get('trail', 1)) as object), who: 'odo' }, 1),
      /entry 1 was changed/,
    ],
    ['taken out', (db) => db.delete('trail', 1), /entry 1 is missing/],
    ['cut off at the end', (db) => db.delete('trail', 2), /newest entries are missing/],
    ['made unreadable', (db) => db.put('trail', { who: 5 }, 1), /entry 1 cannot be read/],
  ])('says so when an entry was %s', async (_how, change, says) => {
    const { access } = await setUp();
    await access.note('read', visitId);
    await meddle(change);
    expect((await access.trail()).broken).toMatch(says);
  });

  test('goes on after a restart', async () => {
    const one = await setUp();
    await one.access.note('read', visitId);
    one.store.close();
    const access = await accessOf(await one.open());
    await access.open(rue.id, rue.secret);
    const { entries, broken } = await access.trail();
    expect(broken).toBe(null);
    expect(entries.map(({ seq }) => seq)).toEqual([0, 1, 2, 3]);
  });

  test('that cannot be written keeps the records closed', async () => {
    const { access, store } = await setUp();
    await store.append(visitId, wholeVisit);
    await store.append(otherId, [started({ visit: otherId })]);
    await access.close('by hand');
    await meddle((db) => db.put('trail', {}, 3));
    await expect(access.open(rue.id, rue.secret)).rejects.toMatchObject({ name: 'StoreError' });
    expect(access.session).toBe(null);
    await expect(store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
  });
});

test('a second window opens nothing: it could not write who did', async () => {
  const one = await setUp();
  const second = await one.open();
  expect(second.mode).toBe('read-only');
  expect(await second.access()).toBe(null);
});

test('who may open is asked again after it could not be read', async () => {
  const store = await device().open();
  vi.spyOn(Access, 'load').mockRejectedValueOnce(new Error('a piece of the app did not arrive'));
  await expect(store.access()).rejects.toThrow('did not arrive');
  await expect((await accessOf(store)).setUp(rue)).resolves.toMatch(/\w/);
});

test('the code in the envelope is no secret of an id: it opens only for whoever says who and why', async () => {
  const { access, code } = await setUp();
  await access.close('by hand');
  await expect(access.open('!', code.replaceAll('-', ''))).rejects.toThrow(/did not open/);
  expect(access.session).toBe(null);
  expect(await deeds(access)).toContain('? failed');
  await access.openInEmergency('N. Ashby', 'fire drill', code);
});

test('the envelope is not taken away as if it were an id, nor is one that nobody has', async () => {
  const { access, code } = await setUp();
  await expect(access.remove('!')).rejects.toThrow('There is no “!”.');
  await expect(access.remove('odo')).rejects.toThrow('There is no “odo”.');
  await access.close('by hand');
  await access.openInEmergency('N. Ashby', 'fire drill', code);
  expect(await deeds(access)).not.toContain('rue staff-removed');
});

describe('records that are closed', () => {
  /** Closes when the private key of the ward is taken in for this time. */
  const closeAt = (access: Access, time: number) => {
    const { importKey } = crypto.subtle;
    vi.spyOn(crypto.subtle, 'importKey').mockImplementation((async (...how: Parameters<typeof importKey>) => {
      if ((how[0] as string) === 'pkcs8' && --time === 0) void access.close('left');
      return importKey.apply(crypto.subtle, how);
    }) as typeof importKey);
  };

  test('while a secret is tried stay closed, and the try is forgotten', async () => {
    const { access, store } = await setUp();
    await store.append(visitId, wholeVisit);
    store.putDown();
    await access.close('by hand');
    const opening = access.open(rue.id, rue.secret);
    await access.close('left').catch(() => {});
    await expect(opening).rejects.toThrow(/closed meanwhile/);
    expect(access.session).toBe(null);
    await expect(store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
    expect(await deeds(access)).toEqual(['rue set-up', 'rue opened', 'rue closed']);
    expect(await meddle((db) => db.get('staff', 'rue'))).toMatchObject({ failures: { count: 0 } });
  });

  test('at the last moment stay closed as well, and the trail says both', async () => {
    const { access, store } = await setUp();
    await store.append(visitId, wholeVisit);
    store.putDown();
    await access.close('by hand');
    closeAt(access, 1);
    await expect(access.open(rue.id, rue.secret)).rejects.toThrow(/closed meanwhile/);
    expect(access.session).toBe(null);
    await expect(store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
    expect((await deeds(access)).slice(-2)).toEqual(['rue opened', 'rue closed']);
  });

  test('while the key of the ward is exchanged stay closed', async () => {
    const { access, store } = await setUp();
    await store.append(visitId, wholeVisit);
    store.putDown();
    anotherWard();
    closeAt(access, 2);
    await access.exchangeKey(rue.secret);
    expect(access.session).toBe(null);
    await expect(store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
  });
});
