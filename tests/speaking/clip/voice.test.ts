import { expect, test } from 'vitest';
import { UnplayableClip } from '../../../src/speaking/clip/play';
import { type Clips, withClips } from '../../../src/speaking/clip/voice';
import type { SpeakEnd, Speaking, SpeakRequest } from '../../../src/speaking/types';

/** All that sounds, in order: recordings as "clip:...", the voice as "voice:...". */
class Stage {
  sounded: string[] = [];
  shown: number[] = [];
  told: string[] = [];
  howPlayed: { rate: number; volume: number }[] = [];
  runs: SpeakRequest[] = [];
  recorded = new Map<string, string>();
  /** Recordings that do not play, and why. */
  broken = new Map<string, Error>();
  voiceEnds: SpeakEnd = { voice: 'embedded', reason: 'finished' };
  stop = new AbortController();
  /** Aborts as this sentence begins. */
  abortAt: string | null = null;

  clips: Clips = {
    find: async (language, sentence) => {
      const said = this.recorded.get(`${language} ${sentence}`);
      if (said === 'unreadable') throw new Error('the store is gone');
      return said === undefined ? null : new Blob([sentence]);
    },
    unplayable: (_language, sentence, why) => this.told.push(`${sentence} ${why}`),
  };

  voice: Speaking = {
    id: 'system',
    available: async (language) => language === 'en',
    speak: async (request, signal) => {
      this.runs.push(request);
      for (const [index, sentence] of request.sentences.entries()) {
        this.begin(`voice:${sentence}`);
        request.onSentence?.(index);
        if (signal.aborted) return { voice: 'embedded', reason: 'aborted' };
      }
      return this.voiceEnds;
    },
  };

  begin(what: string) {
    this.sounded.push(what);
    if (what.endsWith(`:${this.abortAt}`)) this.stop.abort();
  }

  speak(sentences: string[], more: Partial<SpeakRequest> = {}) {
    return withClips(
      this.clips,
      async (clip, how, begun, signal) => {
        const sentence = await clip.text();
        const wrong = this.broken.get(sentence);
        if (wrong) throw wrong;
        this.howPlayed.push(how);
        begun();
        this.begin(`clip:${sentence}`);
        return signal.aborted ? 'aborted' : 'finished';
      },
      this.voice,
    ).speak(
      {
        language: 'en',
        sentences,
        rate: 4,
        volume: 0.6,
        onSentence: (index) => this.shown.push(index),
        ...more,
      },
      this.stop.signal,
    );
  }

  records(...sentences: string[]) {
    for (const sentence of sentences) this.recorded.set(`en ${sentence}`, 'well');
    return this;
  }
}

test('recordings and the voice follow each other in the order of the sentences', async () => {
  const stage = new Stage().records('two', 'five');
  const end = await stage.speak(['one', 'two', 'three', 'four', 'five']);
  expect(stage.sounded).toEqual(['voice:one', 'clip:two', 'voice:three', 'voice:four', 'clip:five']);
  expect(stage.shown).toEqual([0, 1, 2, 3, 4]);
  // What has no recording between two is one run, so that the voice can make it ahead.
  expect(stage.runs.map(({ sentences }) => sentences)).toEqual([['one'], ['three', 'four']]);
  expect(end).toEqual({ voice: 'clip', reason: 'finished', detail: 'the other sentences: embedded' });
});

test('without recordings the voice says all of it and is named', async () => {
  const stage = new Stage();
  expect(await stage.speak(['one', 'two'])).toEqual({ voice: 'embedded', reason: 'finished' });
  expect(stage.runs).toHaveLength(1);
});

test('with all of it recorded the voice says nothing', async () => {
  const stage = new Stage().records('one', 'two');
  expect(await stage.speak(['one', 'two'])).toEqual({ voice: 'clip', reason: 'finished' });
  expect(stage.runs).toEqual([]);
});

test('speed and loudness are the same for both', async () => {
  const stage = new Stage().records('one');
  await stage.speak(['one', 'two'], { rate: 3, volume: 0.4 });
  expect(stage.howPlayed).toEqual([{ rate: 3, volume: 0.4 }]);
  expect(stage.runs[0]).toMatchObject({ rate: 3, volume: 0.4 });
});

test('a recording in another language is not played', async () => {
  const stage = new Stage().records('one');
  await stage.speak(['one'], { language: 'es' });
  expect(stage.sounded).toEqual(['voice:one']);
});

test('a recording that cannot be decoded is said by the voice, and staff are told', async () => {
  const stage = new Stage().records('one', 'two');
  stage.broken.set('two', new UnplayableClip('no such format'));
  const end = await stage.speak(['one', 'two', 'three']);
  expect(stage.sounded).toEqual(['clip:one', 'voice:two', 'voice:three']);
  expect(stage.told).toEqual(['two no such format']);
  expect(end.detail).toBe('clip: no such format; the other sentences: embedded');
});

test('an output that stands still is not the fault of the recording', async () => {
  const stage = new Stage().records('one');
  stage.broken.set('one', new Error('the audio output stands still'));
  expect(await stage.speak(['one'])).toMatchObject({
    voice: 'embedded',
    detail: 'clip: the audio output stands still',
  });
  expect(stage.told).toEqual([]);
});

test('a store that cannot be read leaves the voice', async () => {
  const stage = new Stage();
  stage.recorded.set('en one', 'unreadable');
  expect(await stage.speak(['one'])).toMatchObject({ voice: 'embedded', reason: 'finished' });
});

test.each(['two', 'three'])('nothing sounds after the stop in "%s"', async (sentence) => {
  const stage = new Stage().records('two');
  stage.abortAt = sentence;
  expect(await stage.speak(['one', 'two', 'three', 'four'])).toMatchObject({ reason: 'aborted' });
  expect(stage.sounded.at(-1)).toMatch(new RegExp(`:${sentence}$`));
});

test('a voice that fails says so, whatever was played before', async () => {
  const stage = new Stage().records('one');
  stage.voiceEnds = { voice: 'none', reason: 'failed', detail: 'no voice' };
  expect(await stage.speak(['one', 'two', 'three'])).toEqual(stage.voiceEnds);
});
