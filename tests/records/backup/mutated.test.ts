import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { BackupError } from '../../../src/records/backup/errors';
import type { BackupRecord, Head } from '../../../src/records/backup/format';
import { fileKey } from '../../../src/records/backup/key';
import { recordsOf } from '../../../src/records/backup/read';
import { writeBackup } from '../../../src/records/backup/write';
import { openWith } from '../../../src/records/seal/secret';
import { otherId, started, visitId, wholeVisit } from '../fixtures';
import { rue } from '../seal/kiosk';
import { clip, fill, kiosk, restored, saved, sealedKiosk } from './kiosks';

/*
 * Files that were changed in every way: by accident, by somebody without a secret who sets the hashes right again, and
 * by somebody with one. MUTATED_FILES says how many; all 10,000 take half a minute.
 */

const count = Number(process.env.MUTATED_FILES ?? 2_000);
const by = { id: rue.id, secret: rue.secret };

afterEach(() => vi.restoreAllMocks());

async function goodFile() {
  const one = await sealedKiosk();
  await fill(one.store, [
    [visitId, wholeVisit],
    [otherId, [started({ visit: otherId, recordNumber: 'A-19' }), { type: 'finished', how: 'stopped' }]],
  ]);
  await one.store.saveClip(clip);
  await one.meddle((db) => db.put('events', { nonsense: 1 }, [visitId, 500]));
  await one.access.note('read', visitId);
  const file = await saved(one);
  const { head } = await (await one.access.archive()).check(file);
  return { one, file, head, bytes: new Uint8Array(await file.arrayBuffer()) };
}
const good = await goodFile();

/** One clear sentence of what and where, and one of what to do. */
const clear = /^[A-Z][^\n]{15,400}[.)] [A-Z][^\n]+\. Nothing was changed here\.$/;

/** Every write to any disk. */
function watchWrites() {
  const { transaction } = IDBDatabase.prototype;
  let writes = 0;
  vi.spyOn(IDBDatabase.prototype, 'transaction').mockImplementation(function (this: IDBDatabase, ...given) {
    if (given[1] === 'readwrite') writes++;
    return transaction.apply(this, given);
  });
  return () => writes;
}

async function refused(target: Parameters<typeof restored>[0], bytes: Uint8Array<ArrayBuffer>) {
  const error = await restored(target, new Blob([bytes]), by).then(
    () => null,
    (cause: unknown) => cause,
  );
  expect(error).toBeInstanceOf(BackupError);
  expect((error as Error).message).toMatch(clear);
  return (error as BackupError).code;
}

const size = good.bytes.length;
const place = fc.nat(size - 1);
const change = fc.oneof(
  fc.record({ kind: fc.constant('byte' as const), at: place, value: fc.integer({ min: 1, max: 255 }) }),
  // Lengths and the form stand near the beginning.
  fc.record({
    kind: fc.constant('byte' as const),
    at: fc.nat(40),
    value: fc.integer({ min: 1, max: 255 }),
  }),
  fc.record({ kind: fc.constant('cut' as const), at: place }),
  fc.record({ kind: fc.constant('out' as const), at: place, length: fc.integer({ min: 1, max: 400 }) }),
  fc.record({ kind: fc.constant('in' as const), at: fc.nat(size), bytes: fc.uint8Array({ minLength: 1 }) }),
  fc.record({ kind: fc.constant('twice' as const), at: place, length: fc.integer({ min: 1, max: 400 }) }),
  fc.record({ kind: fc.constant('swap' as const), at: place, with: place }),
);

/** On bytes, not on an array of numbers: a file has many, and thousands of them are changed. */
function changed(bytes: Uint8Array, by: (typeof change extends fc.Arbitrary<infer C> ? C : never)[]) {
  let all = new Uint8Array(bytes);
  /** With these in place of so many; behind the end: at the end. */
  const splice = (at: number, length: number, ...instead: Uint8Array[]) => {
    all = new Uint8Array(Buffer.concat([all.subarray(0, at), ...instead, all.subarray(at + length)]));
  };
  /** What was cut off before is zero again up to there. */
  const reach = (at: number) => {
    if (at >= all.length) splice(all.length, 0, new Uint8Array(at + 1 - all.length));
  };
  for (const one of by) {
    if (one.kind === 'byte') {
      reach(one.at);
      all[one.at]! ^= one.value;
    }
    if (one.kind === 'cut') all = all.slice(0, one.at);
    if (one.kind === 'out') splice(one.at, one.length);
    if (one.kind === 'in') splice(one.at, 0, one.bytes);
    if (one.kind === 'twice') splice(one.at, 0, all.slice(one.at, one.at + one.length));
    if (one.kind === 'swap') {
      reach(Math.max(one.at, one.with));
      [all[one.at], all[one.with]] = [all[one.with]!, all[one.at]!];
    }
  }
  return all;
}
const isSame = (bytes: Uint8Array) => Buffer.from(bytes).equals(Buffer.from(good.bytes));

/** The parts of the good file, and a whole file of such parts with all lengths and hashes set right. */
function taken(bytes: Uint8Array) {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  let at = 24 + view.getUint32(20);
  const head = bytes.slice(24, at);
  const parts: Uint8Array[] = [];
  for (let length = view.getUint32(at); length > 0; length = view.getUint32(at)) {
    parts.push(bytes.slice(at + 36, at + 36 + length));
    at += 36 + length;
  }
  return { head, parts };
}
const sha = (...all: Uint8Array[]) => {
  const hash = createHash('sha256');
  for (const one of all) hash.update(one);
  return hash.digest();
};
const four = (n: number) => {
  const bytes = Buffer.alloc(4);
  bytes.writeUInt32BE(n);
  return bytes;
};
function putTogether(head: Uint8Array, parts: Uint8Array[]) {
  const opening = Buffer.concat([Buffer.from('ownwords-backup\n'), four(1), four(head.length), head]);
  const full = parts.filter(({ length }) => length > 0);
  const framed = full.flatMap((part) => [four(part.length), sha(part), part]);
  const end = [four(0), sha(opening, ...full.map((part) => sha(part)))];
  return new Uint8Array(Buffer.concat([opening, ...framed, ...end]));
}

test('put together as it is, the good file is restored', async () => {
  const { head, parts } = taken(good.bytes);
  expect(isSame(putTogether(head, parts))).toBe(true);
  expect(await restored(await kiosk(), good.file, by)).toMatchObject({ added: 2, clips: 1 });
});

test('a file that was changed by accident is refused with what and where, and nothing is written', async () => {
  const fresh = await kiosk();
  const writes = watchWrites();
  const codes = new Set<string>();
  await fc.assert(
    fc.asyncProperty(fc.array(change, { minLength: 1, maxLength: 3 }), async (by) => {
      const bytes = changed(good.bytes, by);
      if (!isSame(bytes)) codes.add(await refused(fresh, bytes));
    }),
    { numRuns: count * 0.6 },
  );
  expect(writes()).toBe(0);
  expect([...codes].sort()).toEqual(expect.arrayContaining(['altered', 'foreign', 'too-new', 'truncated']));
});

test('a file whose hashes somebody without a secret set right again is refused too', async () => {
  const fresh = await kiosk();
  const writes = watchWrites();
  const { head, parts } = taken(good.bytes);
  const within = (bytes: Uint8Array, by: Parameters<typeof changed>[1]) =>
    changed(
      bytes,
      by.map((one) => ({ ...one, at: one.at % bytes.length })),
    );
  const codes = new Set<string>();
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom('head', 'part', 'parts'),
      fc.array(change, { minLength: 1, maxLength: 2 }),
      async (where, by) => {
        const bytes =
          where === 'head'
            ? putTogether(within(head, by), parts)
            : where === 'part'
              ? putTogether(head, [within(parts[0]!, by), ...parts.slice(1)])
              : putTogether(head, [...parts, ...parts.slice(0, by.length)]);
        if (!isSame(bytes)) codes.add(await refused(fresh, bytes));
      },
    ),
    { numRuns: count * 0.3 },
  );
  expect(writes()).toBe(0);
  expect([...codes].sort()).toEqual(expect.arrayContaining(['altered', 'closed', 'misfit']));
});

describe('a file of somebody with a secret of the ward', async () => {
  const { head, bytes } = good;
  const privateKey = await openWith(rue.secret, head.people.find(({ id }) => id === 'rue')!.locked, 'rue');
  const key = await fileKey(privateKey!, head.salt);
  const records: unknown[] = [];
  for await (const record of recordsOf(await (await good.one.access.archive()).check(new Blob([bytes])), key))
    records.push(record);
  const made = async (all: unknown[], change: Partial<Head> = {}) => {
    const each = async function* () {
      yield* all as BackupRecord[];
    };
    const { file } = await writeBackup({ ...head, ...change }, key, each());
    return new Uint8Array(await file.arrayBuffer());
  };
  const visit = records.find((one) => (one as BackupRecord).kind === 'visit') as Record<string, unknown>;

  test.each<[string, unknown[], RegExp]>([
    ['a record of no known kind', [{ kind: 'gift' }], /part 1, record 1: kind/],
    ['a visit twice', [visit, visit], /in it twice/],
    ['an entry of another visit', [{ ...visit, visit: otherId }], /belongs elsewhere/],
    [
      'two entries in one place',
      [{ ...visit, events: [0, 0].map((at) => (visit.events as unknown[])[at]) }],
      /two entries/,
    ],
    ['an entry behind its end', [{ ...visit, next: 3 }], /belongs elsewhere/],
    ['an entry that lies open', [{ ...visit, events: [{ visit: visitId, seq: 0 }] }], /record 1: events\.0/],
    ['a sound that is none', [{ kind: 'clip', clip: { ...clip, wav: 'ring' } }], /record 1: clip\.wav/],
  ])('with %s is refused', async (_what, all, why) => {
    const fresh = await kiosk();
    const writes = watchWrites();
    expect(await refused(fresh, await made(all))).toBe('misfit');
    await expect(restored(fresh, new Blob([await made(all)]), by)).rejects.toThrow(why);
    expect(writes()).toBe(0);
  });

  test('of a newer Ownwords is refused', async () => {
    expect(await refused(await kiosk(), await made(records, { schema: head.schema + 1 }))).toBe('too-new');
  });

  test('changes no entry that lies here, whatever is in it', async () => {
    const one = await sealedKiosk();
    await restored(one, good.file, by);
    const before = await one.meddle(async (db) => [await db.getAllKeys('events'), await db.getAll('events')]);
    const outcomes = { restored: 0, refused: 0 };
    const odd = fc.oneof(
      fc.anything(),
      fc.constantFrom(0, -1, '', visitId, otherId, '__proto__', new Uint8Array(3)),
    );
    await fc.assert(
      fc.asyncProperty(fc.nat(), fc.nat(), fc.nat(), odd, async (which, key, inner, value) => {
        const all = structuredClone(records);
        const record = all[which % all.length] as Record<string, unknown>;
        const names = Object.keys(record);
        const name = names[key % names.length]!;
        const deep = record[name];
        if (typeof deep === 'object' && deep !== null && !(deep instanceof Uint8Array) && inner % 4 > 0) {
          const keys = Object.keys(deep);
          const at = keys[inner % keys.length]!;
          const row = (deep as Record<string, unknown>)[at];
          if (typeof row === 'object' && row !== null && Object.keys(row).length > 0 && inner % 4 > 1)
            (row as Record<string, unknown>)[Object.keys(row)[inner % Object.keys(row).length]!] = value;
          else (deep as Record<string, unknown>)[at] = value;
        } else record[name] = value;
        const bytes = await made(all).catch(() => null);
        if (!bytes) return; // it cannot even be written
        const error = await restored(one, new Blob([bytes]), by).then(
          () => null,
          (cause: unknown) => cause,
        );
        if (error === null) outcomes.restored++;
        else {
          outcomes.refused++;
          expect(error).toBeInstanceOf(BackupError);
          expect((error as Error).message).toMatch(clear);
        }
      }),
      { numRuns: count * 0.1 },
    );
    const after = await one.meddle((db) =>
      Promise.all(before[0]!.map((at) => db.get('events', at as never))),
    );
    expect(after).toEqual(before[1]);
    expect(outcomes.restored).toBeGreaterThan(0);
    expect(outcomes.refused).toBeGreaterThan(outcomes.restored);
  });
});
