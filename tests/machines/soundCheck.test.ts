import { describe, expect, test } from 'vitest';
import type { Sound, SoundVerdict } from '../../src/hearing/types';
import { type VisitOptions, visit } from './harness';
import { timings } from './lesson';

const sound = (verdict: SoundVerdict, speech: number | null = -30): Sound => ({
  verdict,
  speech,
  noise: -35,
});

/** A visit whose microphone does so in the sound check. */
const withSound = (first: Sound, options?: VisitOptions) => {
  const v = visit(options);
  v.world.sound = first;
  return v.starts();
};

const checks = (facts: { type: string }[]) => facts.filter(({ type }) => type === 'sound-checked');

describe('the sound check says what to change', () => {
  test.each([
    ['too-quiet', 'soundTooQuiet'],
    ['too-loud', 'soundTooLoud'],
    ['too-noisy', 'soundTooNoisy'],
  ] as const)(
    '%s: says and shows it, hears again, and is content when it is fine',
    async (verdict, advice) => {
      const v = withSound(sound(verdict));
      const seen = await v.hears('yes').untilListening();
      expect(seen.world.said).toContain(advice);
      expect(seen.view).toMatchObject({ screen: 'sound-check', captions: [advice], expects: 'yes-no' });
      expect(checks(seen.facts)).toEqual([]);
      v.world.sound = sound('fine', -24);
      const after = await v.hears('yes').waits(300);
      expect(after.world.said).toContain('soundCheckFine');
      expect(after.world.said).not.toContain('soundCheckGoOn');
      expect(checks(after.facts)).toEqual([
        {
          type: 'sound-checked',
          ok: true,
          detail: 'yes; volume 0.5, rate 1; speech -24 dBFS, room -35 dBFS',
        },
      ]);
    },
  );

  test('words that are neither yes nor no are weighed as well', async () => {
    const v = await withSound(sound('too-noisy')).hears('good morning').untilListening();
    expect(v.world.said).toContain('soundTooNoisy');
    expect(v.world.said).not.toContain('yesOrNo');
  });

  test('a room that is never silent ends the turn all the same, and is told of', async () => {
    const harness = withSound(sound('too-noisy'));
    const v = await harness
      .begins('the the a')
      .waits(timings.nothingHeard + 500)
      .untilListening();
    expect(v.world.said).toContain('soundTooNoisy');
    expect(v.world.requests).toHaveLength(2);
  });

  test('gives up after two pieces of advice, however it was answered', async () => {
    const v = withSound(sound('too-noisy'));
    for (let i = 0; i < 6; i++) await v.hears('good morning').waits(2000);
    expect(v.world.said.filter((said) => said === 'soundTooNoisy')).toHaveLength(2);
    expect(checks(v.facts)).toHaveLength(1);
  });

  test('two rounds at most; then it goes on, claims nothing, and the record says so', async () => {
    const v = await withSound(sound('too-noisy'))
      .hears('yes')
      .untilListening()
      .hears('yes')
      .untilListening()
      .hears('yes')
      .untilListening();
    expect(v.world.said.filter((said) => said === 'soundTooNoisy')).toHaveLength(2);
    expect(v.world.said).toContain('soundCheckGoOn');
    expect(v.world.said).not.toContain('soundCheckFine');
    expect(v.world.said.at(-1)).toBe('questionsFirst');
    expect(checks(v.facts)).toEqual([
      { type: 'sound-checked', ok: false, detail: 'went on: too-noisy; speech -30 dBFS, room -35 dBFS' },
    ]);
    expect(v.world.broken).toEqual([]);
  });

  test('a voice too faint to be found is told to come closer in place of "once more"', async () => {
    const v = await withSound(sound('too-quiet', null)).untilListening().waits(13_000).untilListening();
    expect(v.world.said).toContain('soundTooQuiet');
    expect(v.world.said).not.toContain('soundCheckAgain');
  });

  test('silence, and an engine without levels, bring no advice', async () => {
    const silent = await withSound(sound('fine', null)).untilListening().waits(13_000).untilListening();
    expect(silent.world.said).toContain('soundCheckAgain');
    const none = await visit().starts().hears('yes').untilListening();
    expect(none.world.said).toContain('soundCheckFine');
    expect(none.world.said.join()).not.toMatch(/soundToo/);
  });

  test('a button says nothing about the sound', async () => {
    const v = await withSound(sound('too-quiet', null))
      .untilListening()
      .waits(13_000)
      .untilListening()
      .presses('YES')
      .untilListening();
    expect(v.world.said.at(-1)).toBe('questionsFirst');
    expect(v.world.said.filter((said) => said === 'soundTooQuiet')).toHaveLength(1);
  });

  test('who does not hear us is helped first, by more loudness', async () => {
    const v = await withSound(sound('too-quiet')).hears('no').untilListening();
    expect(v.world.said).toContain('soundCheckLouder');
    expect(v.world.said).not.toContain('soundTooQuiet');
  });

  test('the sound of later turns changes nothing', async () => {
    const v = visit().starts().hears('yes');
    v.world.sound = null;
    const later = await v
      .does(() => {
        v.world.sound = sound('too-noisy');
      })
      .hears('no')
      .reaches('explain');
    expect(later.world.said.join()).not.toMatch(/soundToo/);
  });
});
