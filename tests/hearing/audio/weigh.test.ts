import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { weighSound } from '../../../src/hearing/audio/weigh';
import { type HearEvent, soundVerdicts } from '../../../src/hearing/types';

const levels = (count: number, dbfs: number, peak = dbfs + 12): HearEvent[] =>
  Array.from({ length: count }, () => ({ type: 'level', dbfs, peak }));

/** A turn as the embedded engine tells it: it notices a start and an end of speech some 0.3 s late. */
const turn = (room: number, speech: number, peak?: number): HearEvent[] => [
  { type: 'ready' },
  ...levels(10, room),
  ...levels(3, speech, peak),
  { type: 'speech-start' },
  ...levels(5, speech, peak),
  ...levels(3, room),
  { type: 'speech-end' },
  ...levels(20, room),
];

describe('the sound of a turn', () => {
  test.each([
    ['a usual voice in a quiet room', turn(-60, -24), 'fine'],
    ['a soft voice in a very quiet room', turn(-75, -38), 'fine'],
    ['a voice in a room that hums a little', turn(-48, -25), 'fine'],
    ['a faint voice', turn(-75, -52), 'too-quiet'],
    ['a voice that hardly stands above a quiet room', turn(-54, -46), 'too-quiet'],
    ['a voice that hardly stands above a television', turn(-33, -25), 'too-noisy'],
    ['a voice cut off at full scale', turn(-50, -6, 0), 'too-loud'],
    ['a voice cut off in noise', turn(-14, -6, 0), 'too-loud'],
  ] as const)('%s', (_, events, verdict) => {
    expect(weighSound(events)?.verdict).toBe(verdict);
  });

  test('is told in figures: the active level of speech, and the room without the words', () => {
    expect(weighSound(turn(-60, -24))).toEqual({ verdict: 'fine', speech: expect.closeTo(-24), noise: -60 });
  });

  test('pauses inside an answer do not make it quiet', () => {
    const events = [
      ...turn(-60, -24).slice(0, -20),
      ...levels(30, -60),
      { type: 'speech-start' } as const,
      ...levels(6, -24),
    ];
    expect(weighSound(events)?.speech).toBeCloseTo(-24, 0);
  });

  test('one knock at full scale is not a voice that is too loud', () => {
    const events = turn(-60, -24);
    events.splice(16, 1, { type: 'level', dbfs: -12, peak: 0 });
    expect(weighSound(events)?.verdict).toBe('fine');
  });

  test('the tone that opens the ear is not the noise of the room', () => {
    expect(weighSound([...levels(3, -20), ...turn(-60, -24)])?.noise).toBe(-60);
  });

  test('a faint voice that was not found is too quiet, silence is not', () => {
    const faint = [...levels(10, -70), ...levels(4, -60), ...levels(10, -70)];
    expect(weighSound(faint)).toEqual({ verdict: 'too-quiet', speech: null, noise: -70 });
    expect(weighSound(levels(30, -70))?.verdict).toBe('fine');
    expect(weighSound(levels(30, -100))?.verdict).toBe('fine');
  });

  test('a room so loud that no voice was found is too noisy', () => {
    expect(weighSound(levels(30, -25))?.verdict).toBe('too-noisy');
  });

  test('a room that was taken for speech from beginning to end is too noisy', () => {
    const all = [...levels(3, -35), { type: 'speech-start' } as const, ...levels(40, -33)];
    expect(weighSound(all)).toMatchObject({ verdict: 'too-noisy', noise: expect.closeTo(-33, 0) });
    // A short answer that begins at once and is ended by the button tells nothing about the room.
    const short = [...levels(3, -24), { type: 'speech-start' } as const, ...levels(6, -24)];
    expect(weighSound(short)).toMatchObject({ verdict: 'fine', noise: null });
  });

  test('without levels there is nothing to weigh', () => {
    expect(weighSound([])).toBeNull();
    expect(
      weighSound([
        { type: 'ready' },
        { type: 'speech-start' },
        { type: 'speech-end' },
        { type: 'end', reason: 'finished' },
      ]),
    ).toBeNull();
    expect(weighSound(levels(2, -60))).toBeNull();
  });

  test('without peaks nobody is called too loud', () => {
    const events = turn(-50, -6).map(
      (event): HearEvent => (event.type === 'level' ? { type: 'level', dbfs: event.dbfs } : event),
    );
    expect(weighSound(events)?.verdict).toBe('fine');
  });

  test('any events give a verdict with finite figures, or none', () => {
    const event: fc.Arbitrary<HearEvent> = fc.oneof(
      fc.record({
        type: fc.constant('level' as const),
        dbfs: fc.double({ min: -100, max: 0, noNaN: true }),
        peak: fc.double({ min: -100, max: 0, noNaN: true }),
      }),
      fc.constantFrom<HearEvent>({ type: 'speech-start' }, { type: 'speech-end' }, { type: 'ready' }),
    );
    fc.assert(
      fc.property(fc.array(event, { maxLength: 80 }), (events) => {
        const sound = weighSound(events);
        if (sound === null) return;
        expect(soundVerdicts).toContain(sound.verdict);
        for (const level of [sound.speech, sound.noise])
          expect(level === null || (Number.isFinite(level) && level >= -100 && level <= 0.001)).toBe(true);
      }),
    );
  });
});
