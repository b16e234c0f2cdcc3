import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readWav, writeWav } from '../../../src/hearing/audio/wav';

interface Shape {
  code?: number;
  channels?: number;
  rate?: number;
  bits: number;
  data: Uint8Array;
  extensible?: boolean;
  before?: [id: string, body: Uint8Array][];
  dataSize?: number;
}

/** Built by the layout of the RIFF specification, apart from the reader. */
function wav({ code = 1, channels = 1, rate = 16000, bits, data, extensible, before = [], dataSize }: Shape) {
  const bytes: number[] = [];
  const text = (value: string) => bytes.push(...[...value].map((char) => char.charCodeAt(0)));
  const u16 = (value: number) => bytes.push(value & 255, (value >> 8) & 255);
  const u32 = (value: number) => {
    u16(value & 0xffff);
    u16(value >>> 16);
  };
  text('RIFF');
  u32(0);
  text('WAVE');
  for (const [id, body] of before) {
    text(id);
    u32(body.length);
    bytes.push(...body, ...(body.length % 2 ? [0] : []));
  }
  text('fmt ');
  u32(extensible ? 40 : 16);
  u16(extensible ? 0xfffe : code);
  u16(channels);
  u32(rate);
  u32((rate * channels * bits) / 8);
  u16((channels * bits) / 8);
  u16(bits);
  if (extensible) {
    u16(22);
    u16(bits);
    u32(0);
    u16(code);
    bytes.push(0, 0, 0, 0, 16, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71);
  }
  text('data');
  u32(dataSize ?? data.length);
  bytes.push(...data);
  return Uint8Array.from(bytes);
}

const buffer = (length: number, fill: (view: DataView) => void) => {
  const view = new DataView(new ArrayBuffer(length));
  fill(view);
  return new Uint8Array(view.buffer);
};

describe('every width of sample', () => {
  test.each<[string, Shape]>([
    ['8 bit, unsigned', { bits: 8, data: Uint8Array.of(128, 192, 64, 0) }],
    [
      '16 bit',
      {
        bits: 16,
        data: buffer(8, (v) => [0, 16384, -16384, -32768].forEach((x, i) => void v.setInt16(2 * i, x, true))),
      },
    ],
    ['24 bit', { bits: 24, data: Uint8Array.of(0, 0, 0, 0, 0, 0x40, 0, 0, 0xc0, 0, 0, 0x80) }],
    [
      '32 bit',
      {
        bits: 32,
        data: buffer(16, (v) =>
          [0, 2 ** 30, -(2 ** 30), -(2 ** 31)].forEach((x, i) => void v.setInt32(4 * i, x, true)),
        ),
      },
    ],
    [
      'float',
      {
        code: 3,
        bits: 32,
        data: buffer(16, (v) => [0, 0.5, -0.5, -1].forEach((x, i) => void v.setFloat32(4 * i, x, true))),
      },
    ],
    [
      'double',
      {
        code: 3,
        bits: 64,
        data: buffer(32, (v) => [0, 0.5, -0.5, -1].forEach((x, i) => void v.setFloat64(8 * i, x, true))),
      },
    ],
  ])('%s', (_, shape) => {
    expect([...readWav(wav(shape)).samples]).toEqual([0, 0.5, -0.5, -1]);
    expect([...readWav(wav({ ...shape, extensible: true })).samples]).toEqual([0, 0.5, -0.5, -1]);
  });
});

const two = buffer(4, (v) => {
  v.setInt16(0, 16384, true);
  v.setInt16(2, -8192, true);
});

test('channels are averaged', () => {
  expect([...readWav(wav({ bits: 16, channels: 2, data: two })).samples]).toEqual([0.125]);
});

test('unknown chunks of odd length are stepped over', () => {
  const sound = readWav(
    wav({ bits: 16, data: two, before: [['LIST', Uint8Array.of(1, 2, 3)]], rate: 44100 }),
  );
  expect(sound.sampleRate).toBe(44100);
  expect([...sound.samples]).toEqual([0.5, -0.25]);
});

test('a stream that never learned its length is read to the end', () => {
  expect(readWav(wav({ bits: 16, data: two, dataSize: 0xffffffff })).samples).toHaveLength(2);
  expect(readWav(wav({ bits: 16, data: two, dataSize: 0 })).samples).toHaveLength(2);
});

test('a file says what is wrong with it', () => {
  expect(() => readWav(new Uint8Array(3))).toThrow('3 bytes');
  expect(() => readWav(new TextEncoder().encode('this is a text and no sound'))).toThrow('RIFF/WAVE');
  expect(() => readWav(wav({ bits: 16, data: two, dataSize: 100 }))).toThrow('cut short, 100 bytes');
  expect(() => readWav(wav({ code: 2, bits: 4, data: two }))).toThrow('compressed');
  expect(() => readWav(wav({ bits: 12, data: two }))).toThrow('12 bits');
  expect(() => readWav(wav({ bits: 16, data: two, rate: 3 }))).toThrow('3 Hz');
  expect(() => readWav(wav({ bits: 16, data: two }).subarray(0, 36))).toThrow('no "data" chunk');
});

test('whatever bytes come, the answer is a sound or an Error with a message', () => {
  const good = wav({ bits: 16, data: two });
  fc.assert(
    fc.property(fc.nat(good.length - 1), fc.nat(255), fc.nat(good.length), (at, value, length) => {
      const bytes = good.slice(0, length);
      if (at < bytes.length) bytes[at] = value;
      try {
        expect(readWav(bytes).samples).toBeInstanceOf(Float32Array);
      } catch (error) {
        expect((error as Error).message).toMatch(/WAV/);
      }
    }),
  );
});

test('what is written is read again, to the last step of 16 bits', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: -32768, max: 32767 }), { maxLength: 200 }),
      fc.constantFrom(8000, 24_000, 48_000),
      (steps, sampleRate) => {
        const samples = Float32Array.from(steps, (step) => step / 32768);
        expect(readWav(writeWav({ sampleRate, samples }))).toEqual({ sampleRate, samples });
      },
    ),
  );
});

test('what is louder than full scale is cut off, not turned over', () => {
  const { samples } = readWav(writeWav({ sampleRate: 8000, samples: Float32Array.of(1.5, -1.5, 1) }));
  expect([...samples]).toEqual([32767 / 32768, -1, 32767 / 32768]);
});
