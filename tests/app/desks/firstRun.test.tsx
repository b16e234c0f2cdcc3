// @vitest-environment happy-dom
import { act, cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { FirstRunDesk, rememberLedThrough, wasLedThrough } from '../../../src/app/desks/firstRun';
import type { Room } from '../../../src/app/desks/staffRoom';
import { readSite } from '../../../src/app/site';
import { FirstRun, type FirstRunParts } from '../../../src/app/staff/first/FirstRun';
import { SoundStep } from '../../../src/app/staff/first/SoundStep';
import { settingsOf } from '../../../src/app/staff/first/settings';
import { MicrophoneError } from '../../../src/hearing/audio/microphone';
import type { VisitHeader, VisitStore } from '../../../src/records/types';

afterEach(cleanup);

const press = (name: string | RegExp) => userEvent.click(screen.getByRole('button', { name }));

function show(change: Partial<FirstRunParts> = {}) {
  const { site, given, problems } = readSite('{"ward": "Quay 2"}');
  const parts: FirstRunParts = {
    site,
    given,
    problems,
    studio: { stop: async () => {} } as never,
    languages: ['en', 'es'],
    ears: async (language) => `Hears ${language}.`,
    sentence: 'A sentence to be heard.',
    secret: 'open',
    room: { setUp: async () => '7K3MZ-0QW2E' },
    onRestore: vi.fn(),
    onPractice: vi.fn(),
    onStart: vi.fn(),
    onLeave: vi.fn(),
    ...change,
  };
  render(<FirstRun {...parts} />);
  return parts;
}

describe('the set-up of a new kiosk', () => {
  it('goes through five steps, each of which can be passed by, with the focus at the new one', async () => {
    const parts = show();
    const seen: (string | null | undefined)[] = [];
    for (let step = 0; step < 4; step++) {
      await press('Next');
      seen.push(document.activeElement?.textContent);
    }
    expect(seen).toEqual(['2. Microphone and sound', '3. Languages', '4. Staff secret', '5. Practice visit']);
    await press('Back');
    expect(screen.getByRole('heading', { level: 2 }).textContent).toBe('4. Staff secret');
    await press('5. Practice visit');
    await press('Done');
    expect(parts.onLeave).toHaveBeenCalledWith('done');
  });

  it('never stands in the way: one press starts a visit, at any step', async () => {
    const parts = show();
    for (let step = 0; step < 5; step++) {
      await press('Start a visit');
      if (step < 4) await press('Next');
    }
    expect(parts.onStart).toHaveBeenCalledTimes(5);
  });

  it('can be put off from the first step on', async () => {
    const parts = show();
    await press('Not now');
    expect(parts.onLeave).toHaveBeenCalledWith('later');
  });

  it('says what each language is heard by', async () => {
    show();
    await press('3. Languages');
    const row = (await screen.findByText('Hears es.')).closest('tr');
    expect(within(row!).getByRole('rowheader').textContent).toBe('Español');
  });

  it('sets the staff secret and goes on where it was', async () => {
    show();
    await press('4. Staff secret');
    await press('Set a staff secret');
    await userEvent.type(screen.getByLabelText('Your name'), 'R. Quillon');
    await userEvent.type(screen.getByLabelText(/short id/), 'rue');
    await userEvent.type(screen.getByLabelText('Secret'), 'brass lantern here');
    await userEvent.type(screen.getByLabelText('The same again'), 'brass lantern here');
    await press('Seal the records');
    await screen.findByText('7K3MZ-0QW2E');
    await press('It is written down');
    expect(screen.getByText('A staff secret is set. What is stored here is sealed.')).toBeTruthy();
    expect(document.activeElement?.textContent).toBe('4. Staff secret');
  });

  it('says on a device that stores nothing that notes have to be printed', async () => {
    show({ secret: 'none' });
    await press('4. Staff secret');
    expect(screen.getByText(/print or copy the note at the end/)).toBeTruthy();
    expect(screen.queryByRole('button', { name: 'Set a staff secret' })).toBe(null);
  });

  it('ends in a practice visit', async () => {
    const parts = show();
    await press('5. Practice visit');
    await press('Start the practice visit');
    expect(parts.onPractice).toHaveBeenCalledTimes(1);
  });
});

describe('what the kiosk knows of its house', () => {
  const from = (text: string) => {
    const { site, given } = readSite(text);
    return Object.fromEntries(settingsOf(site, given).map(({ name, value, from }) => [name, [value, from]]));
  };

  it('is told with where it is from, and invented examples are called so', () => {
    const told = from('{"ward": "Quay 2", "callNumber": "555-0142", "keepDays": 30}');
    expect(told.Ward).toEqual(['Quay 2', 'site.json']);
    // As delivered: a number that nobody has.
    expect(told['Number to call with questions']).toEqual(['555-0142', 'example']);
    expect(told['Emergency number']).toEqual(['911', 'default']);
    expect(told['Visits are kept']).toEqual(['30 days after they end', 'site.json']);
  });

  it('works with nothing configured, and a bad entry is none', () => {
    expect(from('{').Ward).toEqual(['Harbor 4', 'example']);
    expect(from('{"keepDays": 0}')['Visits are kept']).toEqual(['until staff erase them', 'default']);
    expect(readSite('{"keepDays": 0}').problems).toHaveLength(1);
  });
});

describe('the try of microphone and loudspeaker', () => {
  const studio = () => ({
    record: vi.fn(async ({ onLevel }: { onLevel?: (dbfs: number) => void }) => {
      onLevel?.(-20);
      return { verdict: 'fine' as const, sound: { sampleRate: 24_000, samples: new Float32Array(9) } };
    }),
    stop: vi.fn(async () => {}),
    say: vi.fn(async () => {}),
    playTake: vi.fn(async () => {}),
  });
  const open = (one: ReturnType<typeof studio>) =>
    render(<SoundStep studio={one as never} language="fr" sentence="Bonjour." />);

  it('tells how well a voice was heard and plays it back', async () => {
    const one = studio();
    open(one);
    await press('Try the microphone');
    await screen.findByText('Heard well.');
    await press('Play it back');
    expect(one.playTake).toHaveBeenCalledTimes(1);
  });

  it('says a sentence in the language of the site', async () => {
    const one = studio();
    open(one);
    await press('Play a sentence');
    expect(one.say).toHaveBeenCalledWith('fr', 'Bonjour.', expect.anything());
  });

  it('says why there was nothing to hear, and lets the microphone go when it is left', async () => {
    const one = studio();
    one.record.mockRejectedValue(new MicrophoneError('denied', 'The microphone is blocked.'));
    const { unmount } = open(one);
    await press('Try the microphone');
    expect((await screen.findByRole('alert')).textContent).toBe('The microphone is blocked.');
    one.stop.mockClear();
    unmount();
    expect(one.stop).toHaveBeenCalledTimes(1);
  });

  it('takes one try at a time', async () => {
    const one = studio();
    let end = (_: unknown) => {};
    one.record.mockImplementation(() => new Promise((done) => (end = done)) as never);
    open(one);
    await press('Try the microphone');
    await press('Try the microphone');
    await press('Play a sentence');
    expect(one.record).toHaveBeenCalledTimes(1);
    expect(one.say).not.toHaveBeenCalled();
    await act(async () => end({ verdict: 'empty', sound: { sampleRate: 1, samples: new Float32Array(0) } }));
    await screen.findByText(/No voice was heard/);
    expect(screen.queryByRole('button', { name: 'Play it back' })).toBe(null);
  });
});

describe('what is remembered of it', () => {
  const shelf = new Map<string, string>();
  const storage = () =>
    ({
      getItem: (name: string) => shelf.get(name) ?? null,
      setItem: (name: string, value: string) => shelf.set(name, value),
    }) as unknown as Storage;
  beforeEach(() => shelf.clear());

  it('is that staff were led through it, or did not want to be', () => {
    expect(wasLedThrough(storage)).toBe(false);
    rememberLedThrough('later', storage);
    expect(wasLedThrough(storage)).toBe(true);
  });

  it('is nothing where the browser keeps nothing, and that breaks nothing', () => {
    const refused = () => {
      throw new DOMException('denied', 'SecurityError');
    };
    rememberLedThrough('done', refused);
    expect(wasLedThrough(refused)).toBe(false);
  });
});

describe('it is offered', () => {
  beforeEach(() => localStorage.clear());
  const header = (practice: boolean) => ({ practice }) as VisitHeader;
  async function offered(change: Partial<Pick<VisitStore, 'mode' | 'sealed' | 'list'>> = {}) {
    const changes: boolean[] = [];
    const troubles: string[] = [];
    const desk = new FirstRunDesk({
      store: () => ({ mode: 'disk', sealed: false, list: async () => [], ...change }),
      site: () => readSite('{}').site,
      sealing: () => 'open',
      room: async () => ({}) as Room,
      turn: () => {},
      attempt: (work) => work().catch((error: Error) => void troubles.push(error.message)),
      leave: () => {},
      onChange: (isNew) => changes.push(isNew),
    });
    await desk.offer();
    return { desk, changes, troubles };
  }

  it('on a device on which nothing is set up, where nothing is stored too, and after practice', async () => {
    expect((await offered()).changes).toEqual([true]);
    expect((await offered({ mode: 'memory' })).changes).toEqual([true]);
    expect((await offered({ list: async () => [header(true)] })).changes).toEqual([true]);
  });

  it('not where visits were held or records are sealed, nor in a window that only reads', async () => {
    expect((await offered({ list: async () => [header(true), header(false)] })).changes).toEqual([false]);
    expect((await offered({ sealed: true })).changes).toEqual([]);
    expect((await offered({ mode: 'read-only' })).changes).toEqual([]);
  });

  it('never again once staff were led through it or did not want to be', async () => {
    const { desk, changes } = await offered();
    desk.leave('later');
    expect(changes).toEqual([true, false]);
    expect((await offered()).changes).toEqual([]);
  });

  it('not where visits cannot be listed, which is told', async () => {
    const { changes, troubles } = await offered({ list: async () => Promise.reject(new Error('no disk')) });
    expect(changes).toEqual([]);
    expect(troubles).toEqual(['no disk']);
  });
});
