import { describe, expect, test, vi } from 'vitest';
import { Ears, type Engines } from '../../src/app/ears';
import type { Availability, EngineId, Hearing } from '../../src/hearing/types';
import type { VisitFact } from '../../src/records/types';

const missing = (detail: string): Availability => ({ ok: false, reason: 'language-missing', detail });

function engine(id: EngineId, available: Availability): Hearing & { there: Availability } {
  const self = {
    id,
    there: available,
    available: async () => self.there,
    prepare: async () => self.there,
    listen: () => {
      throw new Error('not asked to listen');
    },
  };
  return self;
}

/** A kiosk of which no ear on the device knows the language, unless said otherwise. */
function ears({
  bySite = true,
  embedded = missing('No model.') as Availability,
  local = missing('No pack.') as Availability,
  hasCloud = true,
} = {}) {
  const cloud = engine('browser-cloud', { ok: true });
  const made = vi.fn<Engines['cloud']>(() => cloud);
  const onDevice = engine('embedded', embedded);
  const browser = Object.assign(engine('browser-local', local), {
    installable: async () => true,
    install: async (): Promise<Availability> => ({ ok: true }),
  });
  const it = new Ears(onDevice, { browser, embedded: onDevice, cloud: made, hasCloud: () => hasCloud });
  it.allowCloud(bySite);
  it.begin([]);
  return { it, made, cloud, browser, onDevice };
}

const answer = (agreed: boolean): VisitFact => ({ type: 'cloud-asked', engine: 'browser-cloud', agreed });

describe('the ear over the network', () => {
  test('is asked for only when the site allows it and no ear on the device serves the language', async () => {
    expect(await ears().it.asksCloud('fi')).toBe(true);
    expect(await ears({ bySite: false }).it.asksCloud('fi')).toBe(false);
    expect(await ears({ embedded: { ok: true } }).it.asksCloud('en')).toBe(false);
    expect(await ears({ local: { ok: true } }).it.asksCloud('fi')).toBe(false);
    expect(await ears({ hasCloud: false }).it.asksCloud('fi')).toBe(false);
  });

  test('is made and used only after a yes that stands in the log', async () => {
    const { it, made, cloud } = ears();
    expect(await it.choose('fi')).toEqual({
      hearing: null,
      why: 'browser-local: No pack. embedded: No model.',
      reason: 'language-missing',
    });
    it.take([answer(false)]);
    expect((await it.choose('fi')).hearing).toBeNull();
    expect(made).not.toHaveBeenCalled();
    it.take([answer(true)]);
    const ear = await it.choose('fi');
    expect(ear.hearing).toBe(cloud);
    expect(ear.why).toContain('the learner agreed');
    expect(made).toHaveBeenCalledExactlyOnceWith({ bySite: true, byLearner: true });
  });

  test('a yes is worth nothing where the site does not allow it', async () => {
    const { it, made } = ears({ bySite: false });
    it.take([answer(true)]);
    expect((await it.choose('fi')).hearing).toBeNull();
    expect(made).not.toHaveBeenCalled();
  });

  test('a yes holds for its visit, also after an interruption, and for no other', async () => {
    const { it, cloud } = ears();
    it.begin([answer(true)]);
    expect((await it.choose('fi')).hearing).toBe(cloud);
    it.begin([]);
    expect((await it.choose('fi')).hearing).toBeNull();
  });

  test('never hears in place of an ear on the device, even one that failed', async () => {
    const { it, onDevice } = ears({ embedded: { ok: true } });
    it.take([answer(true)]);
    expect((await it.choose('en')).hearing).toBe(onDevice);
    it.failed(onDevice);
    expect((await it.choose('en')).hearing).toBe(onDevice);
  });
});

describe('ears on the device', () => {
  test('one that failed is left out while there is another, and told of', async () => {
    const { it, browser, onDevice } = ears({ embedded: { ok: true }, local: { ok: true } });
    expect((await it.choose('en')).hearing).toBe(browser);
    it.failed(browser);
    expect(await it.choose('en')).toEqual({
      hearing: onDevice,
      why: 'browser-local: It failed earlier in this visit.',
    });
  });

  test('the only one gets another chance after it failed', async () => {
    const { it, onDevice } = ears({ embedded: { ok: true } });
    it.failed(onDevice);
    expect((await it.choose('en')).hearing).toBe(onDevice);
  });
});

test('the start form is told in a sentence, the question to the learner included', async () => {
  expect(await ears({ embedded: { ok: true } }).it.tell('en')).toBe('Hears by the built-in recogniser.');
  expect(await ears({ embedded: { ok: true } }).it.tell('fr-CA')).toContain(
    'French has been tried on artificial voices only',
  );
  expect(await ears({ bySite: false }).it.tell('fi')).toBe(
    'Cannot hear this language here (browser-local: No pack. embedded: No model.); answers are given by touch.',
  );
  expect(await ears().it.tell('fi')).toContain('The learner is asked first');
});

test('what came of an installation is said in a sentence', async () => {
  const { it, browser } = ears();
  expect(await it.packOffered('fi')).toBe(true);
  expect(await it.installPack('fi')).toContain('is installed');
  browser.install = async () => missing('The browser refused.');
  expect(await it.installPack('fi')).toBe('The browser refused.');
});
