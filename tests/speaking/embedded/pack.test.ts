import { describe, expect, it } from 'vitest';
import { pack, readIndex, unpack, wanted } from '../../../src/speaking/embedded/pack';

const script =
  'x loadPackage({files:[{filename:"/d/af_dict",start:0,end:3},{filename:"/d/en_dict",start:3,end:5},{filename:"/d/voices/mb/mb-af1",start:5,end:6},{filename:"/d/phondata",start:6,end:8}]})';
const data = Uint8Array.from([1, 2, 3, 4, 5, 6, 7, 8]);

describe('the pack of voice data', () => {
  it('keeps our languages and what all of them need', () => {
    expect(
      readIndex(script)
        .filter((file) => wanted(file))
        .map((file) => file.name),
    ).toEqual(['/d/en_dict', '/d/phondata']);
  });

  it('unpacks to the same bytes at the same places', () => {
    const packed = pack(
      data,
      readIndex(script).filter((file) => wanted(file)),
    );
    expect([...new Uint8Array(unpack(packed.buffer))]).toEqual([0, 0, 0, 4, 5, 0, 7, 8]);
  });

  it('says when the package no longer has an index', () => {
    expect(() => readIndex('nothing here')).toThrow('no file index found');
  });

  it('says when the data ends before the index does', () => {
    expect(() => pack(data.subarray(0, 7), readIndex(script))).toThrow('ends at 7, before /d/phondata at 8');
  });

  it('takes neither half a pack nor an error page', () => {
    const packed = pack(data, readIndex(script));
    expect(() => unpack(packed.slice(0, -1).buffer)).toThrow('in place of');
    expect(() => unpack(new TextEncoder().encode('<!doctype html>\n').buffer)).toThrow('not a pack');
    expect(() => unpack(new ArrayBuffer(0))).toThrow('not a pack');
  });
});
