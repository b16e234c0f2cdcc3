import { createDecipheriv, createHash, hkdfSync } from 'node:crypto';
import { describe, expect, test, vi } from 'vitest';
import { freshRow } from '../../../src/records/rows';
import type { VisitFact } from '../../../src/records/types';
import { otherId, started, visitId, wholeVisit } from '../fixtures';
import { noRoom } from '../noRoom';
import { anotherWard, odo, rue } from '../seal/kiosk';
import { clip, fill, type Kiosk, kiosk, restored, saved, sealedKiosk } from './kiosks';

const thirdId = '0b6f2c1d-7f6e-4a55-9f0e-2f3d4c5b6a33';
const openVisit: VisitFact[] = [
  started({ visit: otherId, recordNumber: 'A-19' }),
  { type: 'question', text: 'Where is the cat?', answer: null },
];
const third: VisitFact[] = [started({ visit: thirdId }), { type: 'finished', how: 'stopped' }];
const facts = async ({ store }: Kiosk, visit: string) => (await store.events(visit)).map(({ fact }) => fact);
const deeds = async ({ access }: Kiosk) =>
  (await access.trail()).entries.map(({ who, what }) => `${who} ${what}`);
const nothing = { added: 0, longer: 0, same: 0, differ: 0, clips: 0 };

/** Two visits, one of them to be filed, somebody else who may open, a recording, and something set aside. */
async function busyKiosk() {
  const one = await sealedKiosk();
  await fill(one.store, [
    [visitId, wholeVisit],
    [otherId, openVisit],
  ]);
  await one.store.saveClip(clip);
  await one.access.add(rue.secret, odo);
  await one.meddle((db) => db.put('events', { nonsense: 'of Ines Marlow' }, [visitId, 500]));
  await one.store.events(visitId);
  return one;
}

describe('in an empty kiosk', () => {
  test('all is there again: visits, recordings, what was set aside, staff and trail', async () => {
    const old = await busyKiosk();
    const trail = await deeds(old);
    const file = await saved(old);
    const fresh = await kiosk();
    expect(await restored(fresh, file, { id: 'odo', secret: odo.secret })).toEqual({
      ...nothing,
      added: 2,
      clips: 1,
    });
    expect(fresh.access.session).toEqual({ id: 'odo', name: odo.name });
    expect(await facts(fresh, visitId)).toEqual(wholeVisit);
    expect(await facts(fresh, otherId)).toEqual(openVisit);
    expect(await fresh.store.list()).toEqual(await old.store.list());
    expect(await fresh.store.setAside()).toEqual(await old.store.setAside());
    expect(await fresh.store.clip(clip.key)).toEqual(clip);
    // Filed or not since: whoever sends it looks first.
    expect(await fresh.store.outbox()).toEqual([{ ...freshRow(otherId), doubtful: true }]);
    expect(await deeds(fresh)).toEqual([...trail, 'odo restored', 'odo opened']);
    expect((await fresh.access.trail()).broken).toBe(null);
    await fresh.access.close('by hand');
    await expect(fresh.store.events(visitId)).rejects.toMatchObject({ code: 'sealed' });
    await fresh.access.open('rue', rue.secret);
    // And it goes on as any kiosk does, also after a restart.
    await fresh.store.append(thirdId, third);
    fresh.store.putDown();
    fresh.store.close();
    const again = await fresh.open();
    expect((await again.list()).map(({ visit }) => visit).sort()).toEqual([visitId, otherId, thirdId].sort());
  });

  test('it opens with the code from the envelope, for whoever says who and why', async () => {
    const old = await busyKiosk();
    const file = await saved(old);
    const fresh = await kiosk();
    const by = { id: '!', secret: old.code.toLowerCase() };
    await expect(restored(fresh, file, by)).rejects.toThrow(/who you are and why/);
    await restored(fresh, file, { ...by, reason: 'N. Ashby: the old kiosk fell' });
    expect(await facts(fresh, visitId)).toEqual(wholeVisit);
    const { entries } = await fresh.access.trail();
    expect(entries.at(-2)).toMatchObject({ who: '!', what: 'restored' });
    expect(entries.at(-2)?.detail).toMatch(/^N. Ashby: the old kiosk fell: 2 visits added/);
    expect(entries.at(-1)).toMatchObject({ who: '!', what: 'emergency-opened' });
  });

  test('without a secret of its staff nothing opens and nothing is changed', async () => {
    const file = await saved(await busyKiosk());
    const fresh = await kiosk();
    const before = await fresh.rows();
    for (const by of [
      { id: 'rue', secret: odo.secret },
      { id: 'ann', secret: rue.secret },
      { id: '!', secret: 'AAAAA-BBBBB', reason: 'N. Ashby: tries' },
    ])
      await expect(restored(fresh, file, by)).rejects.toThrow(/did not open the file/);
    expect(await fresh.rows()).toEqual(before);
    expect(fresh.store.sealed).toBe(false);
  });

  test('visits that lie open there stay, and are sealed with the key that came', async () => {
    const old = await busyKiosk();
    const file = await saved(old);
    const fresh = await kiosk();
    await fill(fresh.store, [
      [thirdId, third],
      // One of them went on here, the other stopped before.
      [visitId, wholeVisit.slice(0, 7)],
      [otherId, [...openVisit, { type: 'resumed' }]],
    ]);
    const at = '2026-03-02T14:00:00.000Z';
    expect((await fresh.store.events(visitId))[0]?.at).toBe(at);
    expect(await restored(fresh, file)).toMatchObject({ added: 0, longer: 1, same: 1, differ: 0 });
    expect(await facts(fresh, visitId)).toEqual(wholeVisit);
    expect(await facts(fresh, otherId)).toEqual([...openVisit, { type: 'resumed' }]);
    await fresh.access.close('by hand');
    // The one that is not finished can be gone on with, as ever.
    for (const visit of [visitId, thirdId])
      await expect(fresh.store.events(visit)).rejects.toMatchObject({ code: 'sealed' });
    expect(JSON.stringify(await fresh.rows())).not.toContain('Ines Marlow');
  });
});

describe('in a kiosk of the same ward', () => {
  test('what is missing is added, what is there stays, and a second time changes nothing', async () => {
    const one = await busyKiosk();
    const file = await saved(one);
    await one.store.append(thirdId, third);
    one.store.putDown();
    await one.store.erase(visitId);
    await one.store.eraseClip(clip.key);
    const kept = await one.store.events(thirdId);
    expect(await restored(one, file)).toEqual({ ...nothing, added: 1, same: 1, clips: 1 });
    expect(await facts(one, visitId)).toEqual(wholeVisit);
    expect(await one.store.events(thirdId)).toEqual(kept);
    expect((await deeds(one)).at(-1)).toBe('rue restored');
    expect((await one.access.trail()).broken).toBe(null);
    const before = await one.rows();
    expect(await restored(one, file)).toEqual({ ...nothing, same: 2 });
    const after = await one.rows();
    // But for the entry about it.
    const others = (rows: typeof before) => rows.filter(([name]) => name !== 'trail' && name !== 'desk');
    expect(others(after)).toEqual(others(before));
  });

  test('a visit of which the file has more goes on from there, one of which it has less stays', async () => {
    const one = await sealedKiosk();
    await fill(one.store, [
      [visitId, wholeVisit],
      [otherId, openVisit],
    ]);
    const file = await saved(one);
    await one.store.append(otherId, [{ type: 'resumed' }]);
    await one.meddle(async (db) => {
      for (let seq = 9; seq < wholeVisit.length; seq++) await db.delete('events', [visitId, seq]);
      // A hole, as an entry leaves that was set aside.
      await db.delete('events', [visitId, 3]);
      const header = (await db.get('visits', visitId)) as object;
      await db.put('visits', { ...header, finished: null, next: 9 }, visitId);
    });
    expect(await restored(one, file)).toEqual({ ...nothing, longer: 1, same: 1 });
    expect(await facts(one, visitId)).toEqual(wholeVisit);
    expect(await facts(one, otherId)).toEqual([...openVisit, { type: 'resumed' }]);
    const [header] = (await one.store.list()).filter(({ visit }) => visit === visitId);
    expect(header).toMatchObject({ finished: 'completed', next: wholeVisit.length });
    expect((await one.store.append(visitId, [{ type: 'record-number', number: '7' }]))[0]?.seq).toBe(
      wholeVisit.length,
    );
  });

  test('a visit that went on in two ways stays as it is here, and the other way is set aside, once', async () => {
    const one = await sealedKiosk();
    await fill(one.store, [[otherId, openVisit]]);
    const first = await saved(one);
    const twin = await kiosk();
    await restored(twin, first);
    await twin.store.append(otherId, [{ type: 'paused', why: 'tea' }, { type: 'resumed' }]);
    twin.store.putDown();
    const file = await saved(twin);
    await one.store.append(otherId, [{ type: 'question', text: 'And the dog?', answer: null }]);
    one.store.putDown();
    const here = await one.store.events(otherId);
    expect(await restored(one, file)).toEqual({ ...nothing, differ: 1 });
    expect(await one.store.events(otherId)).toEqual(here);
    expect((await one.store.setAside()).map(({ where }) => where)).toEqual(['event 2', 'event 3']);
    await restored(one, file);
    expect(await one.store.setAside()).toHaveLength(2);
  });

  test('the present secret of whoever has opened is as good as that of the file', async () => {
    const one = await busyKiosk();
    const file = await saved(one);
    const fresh = 'paper boats drift under bridges';
    await one.access.changeSecret(rue.secret, fresh);
    expect(await restored(one, file, { id: 'rue', secret: fresh })).toMatchObject({ same: 2 });
    expect(await restored(one, file)).toMatchObject({ same: 2 });
    await expect(restored(one, file, { id: 'odo', secret: fresh })).rejects.toThrow(/did not open/);
  });

  test('nobody restores while the records are closed', async () => {
    const one = await busyKiosk();
    const file = await saved(one);
    await one.access.close('by hand');
    await expect(restored(one, file)).rejects.toThrow(/closed/);
    await expect(saved(one)).rejects.toThrow(/closed/);
  });
});

describe('in a kiosk of another ward', () => {
  async function otherWard() {
    anotherWard();
    const one = await kiosk();
    await one.access.setUp({ ...odo, secret: 'velvet anchors sleep all winter' });
    return one;
  }

  test('its visits are wrapped to the key here, and its staff open nothing', async () => {
    const old = await busyKiosk();
    const file = await saved(old);
    const one = await otherWard();
    await one.store.append(thirdId, third);
    one.store.putDown();
    expect(await restored(one, file)).toEqual({ ...nothing, added: 2, clips: 1 });
    expect(await facts(one, visitId)).toEqual(wholeVisit);
    expect((await one.access.people()).map(({ id }) => id)).toEqual(['odo']);
    expect(await deeds(one)).toEqual(['odo set-up', 'odo opened', 'odo restored']);
    await one.access.close('by hand');
    await expect(one.access.open('rue', rue.secret)).rejects.toThrow(/did not open/);
    await expect(one.access.open('odo', odo.secret)).rejects.toThrow(/did not open/);
    await one.access.open('odo', 'velvet anchors sleep all winter');
    expect(await facts(one, otherId)).toEqual(openVisit);
    // The same once more: the keys are wrapped anew each time, and are still known.
    expect(await restored(one, file)).toEqual({ ...nothing, same: 2 });
  });

  test('a visit of both, sealed there with another key, is compared by what it says', async () => {
    const old = await sealedKiosk();
    await fill(old.store, [
      [visitId, wholeVisit],
      [otherId, openVisit],
    ]);
    const file = await saved(old);
    const one = await otherWard();
    await fill(one.store, [
      [visitId, wholeVisit.slice(0, 5)],
      [otherId, [...openVisit.slice(0, 1), { type: 'resumed' }]],
    ]);
    expect(await restored(one, file)).toEqual({ ...nothing, longer: 1, differ: 1 });
    expect(await facts(one, visitId)).toEqual(wholeVisit);
    expect(await facts(one, otherId)).toEqual([...openVisit.slice(0, 1), { type: 'resumed' }]);
    expect((await one.store.setAside()).map(({ where }) => where)).toEqual(['event 1']);
  });
});

test('a disk that fills up while it is restored leaves all as it was', async () => {
  const file = await saved(await busyKiosk());
  const fresh = await kiosk();
  await fresh.store.append(thirdId, third);
  const before = await fresh.rows();
  let added = 0;
  noRoom((_, calls) => {
    added = calls;
    return calls === 20;
  });
  await expect(restored(fresh, file)).rejects.toMatchObject({ code: 'full' });
  vi.restoreAllMocks();
  expect(added).toBeGreaterThanOrEqual(20);
  expect(await fresh.rows()).toEqual(before);
  expect(fresh.store.sealed).toBe(false);
  // And then there is room.
  expect(await restored(fresh, file)).toMatchObject({ added: 2 });
});

test('a visit that goes on while a file is read is not written over', async () => {
  const one = await sealedKiosk();
  await fill(one.store, [[visitId, wholeVisit.slice(0, 9)]]);
  const twin = await kiosk();
  await restored(twin, await saved(one));
  await twin.store.append(visitId, wholeVisit.slice(9));
  twin.store.putDown();
  const file = await saved(twin);
  const archive = await one.access.archive();
  let appended: Promise<unknown> = Promise.resolve();
  const going = archive.restore(await archive.check(file), rue, () => {
    appended = one.store.append(visitId, [{ type: 'resumed' }]);
  });
  await expect(going).rejects.toThrow(/meanwhile/);
  await appended;
  expect(await facts(one, visitId)).toEqual([...wholeVisit.slice(0, 9), { type: 'resumed' }]);
});

test('without a ward key there is no backup', async () => {
  const one = await kiosk();
  await expect(saved(one)).rejects.toThrow(/Set a staff secret first/);
});

test('a file tells nothing of a visit, nor names of staff, and is read by other means only with a secret', async () => {
  const one = await busyKiosk();
  const file = await saved(one);
  const all = Buffer.from(await file.arrayBuffer());
  const text = all.toString('latin1');
  for (const word of ['Ines Marlow', 'R. Quillon', visitId, otherId, clip.text, 'emergency', rue.secret])
    expect(text).not.toContain(word);
  expect(text).toContain('rue');

  // Read after the description in format.ts, by Node's own crypto.
  expect(all.subarray(0, 16).toString()).toBe('ownwords-backup\n');
  const headEnd = 24 + all.readUInt32BE(20);
  const whole = createHash('sha256').update(all.subarray(0, headEnd));
  const bound = createHash('sha256').update(all.subarray(0, headEnd)).digest('hex');
  const jsonEnd = 28 + all.readUInt32BE(24);
  const head = JSON.parse(all.subarray(28, jsonEnd).toString());
  const [from, length] = head.salt.$bytes;
  const salt = all.subarray(jsonEnd + from, jsonEnd + from + length);
  const archive = await one.access.archive();
  const { privateKey } = await privateKeyIn(archive, file);
  const key = hkdfSync('sha256', privateKey, salt, 'ownwords backup 1', 32);
  let at = headEnd;
  let index = 0;
  const plain: string[] = [];
  for (let size = all.readUInt32BE(at); size > 0; size = all.readUInt32BE(at), index++) {
    const part = all.subarray(at + 36, at + 36 + size);
    const hash = createHash('sha256').update(part).digest();
    expect(hash.equals(all.subarray(at + 4, at + 36))).toBe(true);
    whole.update(hash);
    at += 36 + size;
    const last = all.readUInt32BE(at) === 0;
    const opened = createDecipheriv('aes-256-gcm', Buffer.from(key), part.subarray(0, 12));
    opened.setAAD(Buffer.from(JSON.stringify(['backup', 1, bound, index, last])));
    opened.setAuthTag(part.subarray(-16));
    plain.push(opened.update(part.subarray(12, -16)).toString('latin1') + opened.final('latin1'));
  }
  expect(plain.length).toBeGreaterThan(0);
  expect(plain.join('')).toContain('R. Quillon');
  expect(plain.join('')).toContain(visitId);
  expect(all.subarray(at + 4).equals(whole.digest())).toBe(true);
});

/** As the staff's secret opens it. */
async function privateKeyIn(archive: Awaited<ReturnType<Kiosk['access']['archive']>>, file: Blob) {
  const { openWith } = await import('../../../src/records/seal/secret');
  const { head } = await archive.check(file);
  const privateKey = await openWith(rue.secret, head.people.find(({ id }) => id === 'rue')!.locked, 'rue');
  return { privateKey: privateKey! };
}
