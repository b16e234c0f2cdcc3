// @vitest-environment happy-dom
import { setImmediate as macrotask } from 'node:timers/promises';
import { act, cleanup, fireEvent, render, screen, waitFor, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { makeStudio } from '../../src/app/desks/studio';
import { type FullLesson, loadLesson } from '../../src/app/lessons';
import { Recorder } from '../../src/app/recorder';
import { readSite } from '../../src/app/site';
import { Recordings } from '../../src/app/staff/Recordings';
import { inParts } from '../../src/app/staff/recordings/choice';
import { MicrophoneError } from '../../src/hearing/audio/microphone';
import type { RecordRequest } from '../../src/hearing/audio/record';
import { readWav, type Sound } from '../../src/hearing/audio/wav';
import { StoreError } from '../../src/records/errors';
import { MemoryStore } from '../../src/records/memory';
import type { Speaking } from '../../src/speaking/types';

// The list calls it each time it is drawn.
vi.mock('../../src/app/staff/recordings/choice', async (original) => {
  const choice = await original<typeof import('../../src/app/staff/recordings/choice')>();
  return { ...choice, inParts: vi.fn(choice.inParts) };
});

afterEach(cleanup);

const { site } = readSite('{}');
let lesson: FullLesson;
beforeAll(async () => {
  const whole = await loadLesson('inhaler-spacer', 'en');
  // A few sentences of each kind: a long list is slow to search here.
  const { welcome, soundCheck, cloudQuestion, stepLead } = whole.common.prompts;
  lesson = {
    ...whole,
    common: {
      ...whole.common,
      prompts: { welcome, soundCheck, cloudQuestion, stepLead } as Record<string, string>,
    },
    module: { ...whole.module, steps: whole.module.steps.slice(0, 1), showMe: [] },
    teaching: { ...whole.teaching, answers: [] },
  };
});

/** Two seconds: half of it a tone like a voice, at a level. */
const said = (amplitude: number): Sound => ({
  sampleRate: 8000,
  samples: Float32Array.from({ length: 16_000 }, (_, i) =>
    i > 4000 && i < 12_000 ? amplitude * Math.sin(i * 0.9) : 0.0002 * Math.sin(i),
  ),
});

/** Recorded when the sentence at this place was another one. */
const old = (place: string) => ({
  key: 'a'.repeat(64),
  language: 'en',
  text: 'Hello there.',
  place,
  recordedAt: '2026-03-04T05:06:07.000Z',
  seconds: 2,
  wav: new Uint8Array(4),
});

class World {
  store = new MemoryStore();
  sound = said(0.2);
  refuses: MicrophoneError | null = null;
  open = 0;
  spoken: string[] = [];
  played: Blob[] = [];
  unplayable: Error | null = null;
  mayRecord = true;
  left = 0;
  level = (_: number) => {};

  recorder = new Recorder(
    () => this.mayRecord,
    async ({ done, onLevel }: RecordRequest, signal) => {
      if (this.refuses) throw this.refuses;
      this.open++;
      onLevel?.(-30);
      this.level = (dbfs) => onLevel?.(dbfs);
      await new Promise<void>((resolve) => {
        done.addEventListener('abort', () => resolve());
        signal.addEventListener('abort', () => resolve());
      });
      this.open--;
      if (signal.aborted) throw new MicrophoneError('aborted', 'stopped');
      return this.sound;
    },
  );
  voice: Speaking = {
    id: 'embedded',
    available: async () => true,
    speak: async ({ sentences }) => {
      this.spoken.push(...sentences);
      return { voice: 'embedded', reason: 'finished' };
    },
  };
  studio = makeStudio({
    store: () => this.store,
    recorder: this.recorder,
    voice: this.voice,
    play: async (clip) => {
      if (this.unplayable) throw this.unplayable;
      this.played.push(clip);
      return 'finished';
    },
  });
}

async function opens(world = new World()) {
  const view = render(
    <Recordings
      site={site}
      lessons={[lesson]}
      studio={world.studio}
      notices={[]}
      onBack={() => world.left++}
    />,
  );
  await screen.findByRole('button', { name: 'Record' });
  return { world, view };
}

const press = (name: string) => userEvent.click(screen.getByRole('button', { name }));
const status = () => screen.getByRole('status').textContent;
const welcome = () => lesson.common.prompts.welcome!;
const item = (text: string) =>
  screen.getByRole('radio', { name: new RegExp(`^${text.replace(/[?.]/g, '\\$&')}`) });

describe('the screen of recordings', () => {
  it('records, keeps and shows a sentence as recorded, by one button', async () => {
    const { world } = await opens();
    await press('Record');
    await waitFor(() => expect(status()).toContain('Read the sentence aloud'));
    // One thing at a time.
    expect((item(welcome()) as HTMLInputElement).matches(':disabled, fieldset:disabled *')).toBe(true);
    await userEvent.keyboard('{Enter}');
    await waitFor(() => expect(status()).toContain('Good'));
    expect(world.open).toBe(0);
    await userEvent.keyboard('{Enter}');
    await waitFor(() => expect(status()).toContain('Kept'));
    const [clip] = await world.store.clips();
    expect(clip).toMatchObject({ language: 'en', text: welcome(), place: 'common/welcome' });
    await waitFor(() => within(item(welcome()).closest('label')!).getByText('recorded'));
    const stored = await world.store.clip(clip!.key);
    // Half of the two seconds was silence.
    expect(readWav(stored!.wav).samples.length / 24_000).toBeCloseTo(clip!.seconds);
    expect(clip!.seconds).toBeLessThan(1.5);
    // And on to the next.
    await userEvent.keyboard('{Enter}');
    expect((item(lesson.common.prompts.cloudQuestion!) as HTMLInputElement).checked).toBe(true);
  });

  it.each([
    [0.001, /No voice was heard/],
    [0.003, /Very quiet/],
    [1.4, /cut off/],
  ])('says what is the matter with a recording of loudness %f', async (amplitude, message) => {
    const world = new World();
    world.sound = {
      ...said(amplitude),
      samples: said(amplitude).samples.map((x) => Math.max(-1, Math.min(1, x))),
    };
    await opens(world);
    await press('Record');
    await press('Stop');
    await waitFor(() => expect(status()).toMatch(message));
    expect(screen.getByRole('button', { name: 'Record again' })).toBeTruthy();
  });

  it('keeps nothing that is empty', async () => {
    const world = new World();
    world.sound = said(0);
    await opens(world);
    await press('Record');
    await press('Stop');
    await waitFor(() => expect(status()).toMatch(/No voice/));
    expect(screen.queryByRole('button', { name: 'Keep' })).toBeNull();
  });

  it('throws a recording away when asked', async () => {
    const { world } = await opens();
    await press('Record');
    await press('Stop');
    await waitFor(() => expect(status()).toContain('Good'));
    await press('Throw away');
    expect(await world.store.clips()).toEqual([]);
    await press('Record');
    await press('Throw away');
    await waitFor(() => expect(world.open).toBe(0));
    expect(screen.getByRole('button', { name: 'Record' })).toBeTruthy();
  });

  it('lets the microphone go when it is left', async () => {
    const { world, view } = await opens();
    await press('Record');
    expect(world.open).toBe(1);
    view.unmount();
    await waitFor(() => expect(world.open).toBe(0));
  });

  it('says why there is no microphone, and why a visit comes first', async () => {
    const world = new World();
    world.refuses = new MicrophoneError('denied', 'The browser was not given leave to use the microphone.');
    await opens(world);
    await press('Record');
    await waitFor(() => expect(status()).toContain('not given leave'));
    world.refuses = null;
    world.mayRecord = false;
    await press('Record');
    await waitFor(() => expect(status()).toContain('A visit has the microphone'));
    expect(world.open).toBe(0);
  });

  it('keeps the recording in hand when the store does not take it', async () => {
    const { world } = await opens();
    await press('Record');
    await press('Stop');
    await waitFor(() => expect(status()).toContain('Good'));
    const { saveClip } = world.store;
    world.store.saveClip = () => Promise.reject(new StoreError('full'));
    await press('Keep');
    await waitFor(() => expect(status()).toContain('no room left'));
    world.store.saveClip = saveClip;
    await press('Keep');
    await waitFor(() => expect(status()).toContain('Kept'));
  });

  it('plays a recording, says when it cannot, and deletes it after a second press', async () => {
    const { world } = await opens();
    await press('Hear the computer voice');
    expect(world.spoken).toEqual([welcome()]);
    await press('Record');
    await press('Stop');
    await waitFor(() => expect(status()).toContain('Good'));
    await press('Listen');
    await waitFor(() => expect(world.played).toHaveLength(1));
    await press('Keep');
    await waitFor(() => expect(status()).toContain('Kept'));
    world.unplayable = new Error('no such format');
    await press('Listen');
    await waitFor(() => expect(status()).toBe('no such format'));
    await press('Delete');
    await press('Do not delete');
    expect(await world.store.clips()).toHaveLength(1);
    await press('Delete');
    await press('Delete this recording');
    await waitFor(() => expect(status()).toBe('Deleted.'));
    expect(await world.store.clips()).toEqual([]);
  });

  it('says that a recording is kept when the list shows it', async () => {
    await opens();
    await press('Record');
    await press('Stop');
    await waitFor(() => expect(status()).toContain('Good'));
    const { digest } = crypto.subtle;
    const slow = vi.spyOn(crypto.subtle, 'digest').mockImplementation(async (...how) => {
      for (let turn = 0; turn < 100; turn += 1) await macrotask();
      return digest.apply(crypto.subtle, how);
    });
    await press('Keep');
    await waitFor(() => expect(status()).toContain('Kept'), { interval: 1 });
    slow.mockRestore();
    expect(screen.queryByRole('button', { name: 'Listen' })).toBeTruthy();
  });

  it('keeps the focus on the button that goes on, also where nothing else changes', async () => {
    await opens();
    const next = screen.getByRole('button', { name: 'Next one to record' });
    next.focus();
    await userEvent.keyboard('{Enter}');
    expect(document.activeElement?.textContent).toBe('Record');
  });

  it('does not draw the list again with each level of the microphone', async () => {
    const { world } = await opens();
    await press('Record');
    const drawn = vi.mocked(inParts).mock.calls.length;
    expect(drawn).toBeGreaterThan(0);
    await act(() => world.level(-20));
    await act(() => world.level(-25));
    expect(vi.mocked(inParts).mock.calls.length).toBe(drawn);
  });

  it('says no more of a recording that could not be played when the next one plays', async () => {
    const { world } = await opens();
    await press('Record');
    await press('Stop');
    await waitFor(() => expect(status()).toContain('Good'));
    world.unplayable = new Error('no such format');
    await press('Listen');
    await waitFor(() => expect(status()).toBe('no such format'));
    world.unplayable = null;
    await press('Listen');
    await waitFor(() => expect(world.played).toHaveLength(1));
    await waitFor(() => expect(status()).toContain('Good'));
  });

  it('never shows a sentence of one lesson as of another', async () => {
    const other = {
      ...lesson,
      module: { ...lesson.module, id: 'other' },
      common: { ...lesson.common, prompts: { welcome: 'Another welcome.' } },
    };
    render(
      <Recordings
        site={site}
        lessons={[lesson, other as FullLesson]}
        studio={new World().studio}
        notices={[]}
        onBack={() => {}}
      />,
    );
    await screen.findByRole('button', { name: 'Record' });
    fireEvent.change(screen.getAllByRole('combobox')[0]!, { target: { value: '1' } });
    expect(screen.queryAllByText(welcome())).toEqual([]);
    await waitFor(() => expect(screen.getAllByText('Another welcome.')).toHaveLength(2));
  });

  it('plays what is not said any more, which can be stopped, and deletes it after a second press', async () => {
    const world = new World();
    await world.store.saveClip(old('module/gone'));
    await opens(world);
    await userEvent.selectOptions(screen.getAllByRole('combobox')[2]!, 'Recorded');
    expect(screen.queryAllByRole('radio')).toEqual([]);
    let stopped = false;
    world.studio.play = (_key, signal) =>
      new Promise((resolve) =>
        signal.addEventListener('abort', () => {
          stopped = true;
          resolve();
        }),
      );
    await press('Listen: Hello there.');
    await press('Stop');
    expect(stopped).toBe(true);
    // Nothing is left to be done: whoever goes by keys is at the top.
    expect(document.activeElement?.textContent).toBe('Recorded sentences');
    await press('Delete: Hello there.');
    expect(document.activeElement?.textContent).toBe('Do not delete');
    expect(status()).toBe('Delete the recording of “Hello there.”? The kiosk no longer says this sentence.');
    await press('Do not delete');
    expect(await world.store.clips()).toHaveLength(1);
    await press('Delete: Hello there.');
    await press('Delete this recording');
    await waitFor(() => expect(status()).toBe('Deleted.'));
    expect(await world.store.clips()).toEqual([]);
    expect(document.activeElement?.textContent).toBe('Recorded sentences');
  });

  it('shows what an outdated recording says, and a new one takes its place', async () => {
    const world = new World();
    await world.store.saveClip(old('common/welcome'));
    render(
      <Recordings site={site} lessons={[lesson]} studio={world.studio} notices={[]} onBack={() => {}} />,
    );
    await screen.findByText('Hello there.');
    await press('Record again');
    await press('Stop');
    await waitFor(() => expect(status()).toContain('Good'));
    await press('Keep');
    await waitFor(() => expect(status()).toContain('Kept'));
    expect((await world.store.clips()).map(({ text }) => text)).toEqual([welcome()]);
  });

  it('shows one part alone, or only what has no recording', async () => {
    await opens();
    const [, part, show] = screen.getAllByRole('combobox');
    await userEvent.selectOptions(part!, 'When to call');
    const shown = screen.getAllByRole('radio');
    expect(shown.length).toBeLessThanOrEqual(lesson.teaching.handout.whenToCall.length);
    await userEvent.selectOptions(show!, 'Recorded');
    expect(screen.queryAllByRole('radio')).toEqual([]);
    expect(status()).toContain('No such sentence');
  });
});
