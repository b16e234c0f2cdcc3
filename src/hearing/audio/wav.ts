/** Sound as numbers: one channel, -1..1. */
export interface Sound {
  sampleRate: number;
  samples: Float32Array;
}

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;

/**
 * Reads a RIFF/WAVE file (PCM 8, 16, 24 or 32 bit, or 32/64-bit float; any rate; channels are averaged).
 * Chunk layout after "Multimedia Programming Interface and Data Specifications 1.0" (IBM/Microsoft 1991)
 * and the WAVEFORMATEXTENSIBLE notes. Throws an Error that says what is wrong with the file.
 */
export function readWav(bytes: Uint8Array): Sound {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const tag = (at: number) => String.fromCharCode(...bytes.subarray(at, at + 4));
  if (bytes.length < 12) throw new Error(`not a WAV file: ${bytes.length} bytes, a header needs 12`);
  if (tag(0) !== 'RIFF' || tag(8) !== 'WAVE')
    throw new Error('not a WAV file: it does not begin with RIFF/WAVE');

  let format: { code: number; channels: number; rate: number; bits: number; block: number } | undefined;
  let at = 12;
  while (at + 8 <= bytes.length) {
    const id = tag(at);
    const size = view.getUint32(at + 4, true);
    const body = at + 8;
    if (id === 'fmt ') {
      if (size < 16 || body + 16 > bytes.length) throw new Error('WAV: the "fmt " chunk is too short');
      let code = view.getUint16(body, true);
      if (code === EXTENSIBLE) {
        if (size < 40 || body + 40 > bytes.length)
          throw new Error('WAV: the extensible "fmt " chunk is too short');
        code = view.getUint16(body + 24, true); // first two bytes of the sub-format GUID
      }
      format = {
        code,
        channels: view.getUint16(body + 2, true),
        rate: view.getUint32(body + 4, true),
        block: view.getUint16(body + 12, true),
        bits: view.getUint16(body + 14, true),
      };
    } else if (id === 'data') {
      if (!format) throw new Error('WAV: the "data" chunk comes before the "fmt " chunk');
      // Recorders that stream write 0 or 0xffffffff and never come back to fill in the length.
      const open = size === 0xffffffff || (size === 0 && body < bytes.length);
      if (!open && body + size > bytes.length)
        throw new Error(`WAV: cut short, ${size} bytes of sound announced and ${bytes.length - body} there`);
      return decode(view, body, open ? bytes.length - body : size, format);
    }
    at = body + size + (size % 2);
  }
  throw new Error(format ? 'WAV: no "data" chunk' : 'WAV: no "fmt " chunk');
}

function decode(
  view: DataView,
  start: number,
  size: number,
  format: { code: number; channels: number; rate: number; bits: number; block: number },
): Sound {
  const { code, channels, rate, bits, block } = format;
  const read = reader(view, code, bits);
  if (!read)
    throw new Error(
      code === PCM || code === FLOAT
        ? `WAV: ${bits} bits a sample is not supported`
        : `WAV: format ${code} is compressed; only PCM and float are supported`,
    );
  if (channels < 1) throw new Error('WAV: no channels');
  if (rate < 1000 || rate > 768_000) throw new Error(`WAV: a sample rate of ${rate} Hz makes no sense`);
  const width = bits / 8;
  if (block !== width * channels)
    throw new Error(`WAV: block size ${block} does not fit ${channels} channels of ${bits} bits`);

  const frames = Math.floor(size / block);
  const samples = new Float32Array(frames);
  for (let frame = 0; frame < frames; frame++) {
    let sum = 0;
    for (let channel = 0; channel < channels; channel++) sum += read(start + frame * block + channel * width);
    const value = sum / channels;
    samples[frame] = Number.isFinite(value) ? value : 0;
  }
  return { sampleRate: rate, samples };
}

function reader(view: DataView, code: number, bits: number): ((at: number) => number) | undefined {
  if (code === FLOAT && bits === 32) return (at) => view.getFloat32(at, true);
  if (code === FLOAT && bits === 64) return (at) => view.getFloat64(at, true);
  if (code !== PCM) return undefined;
  // 8-bit WAV is unsigned, the wider ones are two's complement.
  if (bits === 8) return (at) => (view.getUint8(at) - 128) / 128;
  if (bits === 16) return (at) => view.getInt16(at, true) / 32768;
  if (bits === 24) return (at) => ((view.getInt8(at + 2) << 16) | view.getUint16(at, true)) / 8388608;
  if (bits === 32) return (at) => view.getInt32(at, true) / 2147483648;
  return undefined;
}

/** Sound as a WAV file of 16-bit PCM, one channel; what is louder than full scale is cut off. */
export function writeWav({ sampleRate, samples }: Sound): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(44 + samples.length * 2);
  const view = new DataView(bytes.buffer);
  const tag = (at: number, name: string) => bytes.set(new TextEncoder().encode(name), at);
  tag(0, 'RIFF');
  view.setUint32(4, bytes.length - 8, true);
  tag(8, 'WAVE');
  tag(12, 'fmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, PCM, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, sampleRate, true);
  view.setUint32(28, sampleRate * 2, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  tag(36, 'data');
  view.setUint32(40, samples.length * 2, true);
  samples.forEach((sample, index) => {
    const step = Math.round(sample * 32768);
    view.setInt16(44 + index * 2, Math.max(-32768, Math.min(32767, step)), true);
  });
  return bytes;
}
