import { beforeEach, expect, test, vi } from 'vitest';

/** A browser's, which does what it is told in the order it was told, later. */
class FakeContext {
  static made: FakeContext[] = [];
  state: AudioContextState = 'suspended';
  told: string[] = [];
  constructor() {
    FakeContext.made.push(this);
  }
  async suspend() {
    this.told.push('suspend');
  }
  async resume() {
    this.told.push('resume');
  }
}

const fresh = () => import('../../src/app/services/sound');
beforeEach(() => {
  vi.resetModules();
  FakeContext.made = [];
  vi.stubGlobal('AudioContext', FakeContext);
});

test('what was made beforehand rests until it is needed, and is woken then', async () => {
  const { prepareSound, sound } = await fresh();
  prepareSound();
  const [made] = FakeContext.made;
  expect(made!.told).toEqual(['suspend']);
  // The browser has not come to it yet: it still says that it runs.
  made!.state = 'running';
  expect(sound()).toBe(made);
  expect(made!.told).toEqual(['suspend', 'resume']);
  sound();
  expect(made!.told).toHaveLength(2);
  expect(FakeContext.made).toHaveLength(1);
});

test('one that is in use is not put to rest', async () => {
  const { prepareSound, wakeSound } = await fresh();
  wakeSound();
  prepareSound();
  expect(FakeContext.made).toHaveLength(1);
  expect(FakeContext.made[0]!.told).toEqual(['resume']);
});

test('a page that had to stay silent tries again at each press', async () => {
  const { wakeSound } = await fresh();
  wakeSound();
  wakeSound();
  expect(FakeContext.made[0]!.told).toEqual(['resume', 'resume']);
});
