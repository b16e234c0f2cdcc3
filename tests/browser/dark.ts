import type { Page } from 'playwright-core';
import { betweenSentences } from '../../src/speaking/pause';
import type { Kiosk } from './chromium';
import type { Played } from './microphone';

declare global {
  interface Window {
    /** What was sent to the voice since it was last asked for. */
    voiceText?: string[];
    /** Level of what goes to the loudspeaker now, dBFS. */
    loudness?: () => number;
    /** Where the voice is hurried: what its worker and the ear's have been asked to load or to make, and have not yet. */
    unready?: Map<unknown, Worker>;
  }
}

/**
 * Runs in the page before its own script: catches the text on its way to the voice, and listens to the loudspeaker.
 * `hurry`: what sounds, and the quiet between two sentences, last so many times less. The microphone keeps its time, and
 * so do the workers: at the pace of people they are done while the sentence before still sounds.
 */
function tapVoice({ hurry, between }: { hurry: number; between: number }): void {
  window.voiceText = [];
  window.loudness = () => -120;
  window.unready = new Map();
  const unready = hurry > 1 ? window.unready : new Map<unknown, Worker>();
  const post = Worker.prototype.postMessage as (this: Worker, ...given: unknown[]) => void;
  Worker.prototype.postMessage = function (this: Worker, ...given: unknown[]) {
    const message = given[0] as { id?: number; do?: string; type?: string; text?: string } | undefined;
    if (message?.do === 'synthesize') window.voiceText!.push(message.text ?? '');
    if (message?.do || message?.type === 'open') {
      unready.set(message, this);
      this.addEventListener('message', ({ data }: MessageEvent<{ id?: number; type?: string }>) => {
        if (message.do ? data.id === message.id : data.type === 'opened' || data.type === 'failed')
          unready.delete(message);
      });
    }
    return post.apply(this, given);
  };
  const { terminate } = Worker.prototype;
  Worker.prototype.terminate = function (this: Worker) {
    for (const [message, worker] of unready) if (worker === this) unready.delete(message);
    terminate.call(this);
  };
  const connect = AudioNode.prototype.connect as (this: AudioNode, ...given: unknown[]) => AudioNode;
  let meter: AnalyserNode | undefined;
  Object.assign(AudioNode.prototype, {
    connect(this: AudioNode, ...given: unknown[]) {
      if (given[0] instanceof AudioDestinationNode) {
        meter ??= new AnalyserNode(this.context, { fftSize: 8192 });
        if (meter.context === this.context) connect.call(this, meter);
      }
      return connect.apply(this, given);
    },
  });
  window.loudness = () => {
    if (!meter) return -120;
    const samples = new Float32Array(meter.fftSize);
    meter.getFloatTimeDomainData(samples);
    const power = samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length;
    return 10 * Math.log10(power + 1e-12);
  };
  if (hurry === 1) return;
  // What a test says into the microphone is no source of the page's own making.
  const source = BaseAudioContext.prototype.createBufferSource;
  BaseAudioContext.prototype.createBufferSource = function () {
    const made = source.call(this);
    made.playbackRate.value = hurry;
    return made;
  };
  const later = window.setTimeout.bind(window);
  Object.assign(window, {
    setTimeout: (work: () => void, ms?: number, ...rest: unknown[]) =>
      later(work, ms === between ? between / hurry : ms, ...rest),
  });
}

/** Starts to listen to the voice; the page is loaded anew. */
export async function listenIn({ page }: Kiosk, hurry = 1): Promise<void> {
  await page.addInitScript(tapVoice, { hurry, between: betweenSentences });
  await page.reload();
}

/** Sound in, sound out and one key: all there is to who cannot see the screen. */
export interface Dark {
  /** What was said since the last time, how loud it is now, dBFS, and whether a hurried voice is about to go on. */
  overheard(): Promise<{ said: string[]; level: number; goesOn: boolean }>;
  say(text: string): Promise<Played>;
  /** The one key. */
  press(): Promise<void>;
  waits(ms: number): Promise<void>;
  /** Takes the cover off. Throws when the screen showed anything through it. */
  lift(): Promise<Page>;
}

/** Stands in for the page: whatever is asked of it is refused. */
const unseen = new Proxy({} as Page, {
  get(_, asked) {
    throw new Error(`the screen is covered: nobody can ask the page for "${String(asked)}"`);
  },
});

/**
 * Covers the screen, and takes the page away from the kiosk: from here on nothing of it can be read but by `Dark`,
 * which reads the sound alone. The one place where that is enforced.
 */
export async function darken(kiosk: Kiosk): Promise<Dark> {
  const { page } = kiosk;
  await page.evaluate(() => {
    const cover = document.createElement('div');
    cover.id = 'cover';
    Object.assign(cover.style, { position: 'fixed', inset: '0', zIndex: '2147483647', background: '#000' });
    document.documentElement.append(cover);
  });
  const dark = await page.screenshot();
  kiosk.page = unseen;
  return {
    overheard: () =>
      page.evaluate(() => ({
        said: window.voiceText!.splice(0),
        level: window.loudness!(),
        goesOn: window.unready!.size > 0,
      })),
    async say(text) {
      kiosk.page = page;
      const said = kiosk.say(text);
      kiosk.page = unseen;
      return said;
    },
    press: () => page.keyboard.press('Space'),
    waits: (ms) => page.waitForTimeout(ms),
    async lift() {
      const still = await page.screenshot();
      kiosk.page = page;
      await page.evaluate(() => document.getElementById('cover')?.remove());
      if (!still.equals(dark)) throw new Error('the screen showed something through its cover');
      return page;
    },
  };
}
