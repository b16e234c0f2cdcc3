import { setImmediate as macrotask } from 'node:timers/promises';
import { afterEach, beforeAll, expect, it, vi } from 'vitest';
import { type FullLesson, loadLesson } from '../../src/app/lessons';
import { practiceStart } from '../../src/app/practice';
import { RunningVisit } from '../../src/app/runningVisit';
import { readSite } from '../../src/app/site';
import { StoreError } from '../../src/records/errors';
import { MemoryStore } from '../../src/records/memory';
import type { VisitFact, VisitStart } from '../../src/records/types';
import type { Speaking } from '../../src/speaking/types';

vi.mock('../../src/app/services/earcon', () => ({ playCall: () => () => {}, playEarcon: () => {} }));

const { site } = readSite('{}');
let lesson: FullLesson;
beforeAll(async () => {
  lesson = await loadLesson('inhaler-spacer', 'en');
});

const settle = async () => {
  for (let turn = 0; turn < 5; turn++) await macrotask();
};

/** What is waited for until it is let go. */
function gate() {
  let open = () => {};
  const opened = new Promise<void>((resolve) => {
    open = resolve;
  });
  return { opened, open };
}

class World {
  store = new MemoryStore();
  /** In which leave was looked for. */
  taken: VisitFact[] = [];
  asksCloud = () => Promise.resolve(false);
  said: string[] = [];
  /** Of each time that something was said. */
  signals: AbortSignal[] = [];
  begun = 0;
  /** What staff are told of what could not be written. */
  lost: string[] = [];
  /** Whatever is said takes for ever. */
  speaksOn = true;
  voice: Speaking = {
    id: 'embedded',
    available: async () => true,
    speak: async ({ sentences, onSentence }, signal) => {
      this.said.push(...sentences);
      this.signals.push(signal);
      onSentence?.(0);
      if (this.speaksOn) await new Promise(() => {});
      return { voice: 'embedded', reason: 'finished' };
    },
  };
  visit = new RunningVisit({
    store: () => this.store,
    site: () => site,
    lessons: { load: async () => lesson },
    ears: {
      begin: () => {},
      take: (facts) => void this.taken.push(...facts),
      choose: async () => ({ hearing: null, why: 'none' }),
      failed: () => {},
      asksCloud: () => this.asksCloud(),
    },
    voice: this.voice,
    prepare: () => {},
    freeMicrophone: async () => {},
    clear: () => {},
    next: async () => null,
    onBegun: () => this.begun++,
    onFinished: () => {},
    onLost: (sentence) => this.lost.push(sentence),
  });
  start = (): VisitStart => practiceStart(site, lesson);

  constructor() {
    worlds.push(this);
    this.visit.open(site.timings);
  }

  /** The starts in each log, by whose log it is. */
  async starts(): Promise<Record<string, string[]>> {
    const headers = await this.store.list();
    const logs = await Promise.all(headers.map(({ visit }) => this.store.events(visit)));
    return Object.fromEntries(
      logs.map((log) => [
        log[0]!.visit,
        log.flatMap(({ fact }) => (fact.type === 'visit-started' ? [fact.start.visit] : [])),
      ]),
    );
  }
}

const worlds: World[] = [];
afterEach(() => {
  for (const { visit } of worlds.splice(0)) visit.actor.stop();
});

it('begins one visit when its button is pressed twice, and each fact goes into its own log', async () => {
  const world = new World();
  const presses = [world.start(), world.start()];
  await Promise.all(presses.map((start) => world.visit.begin(() => start)));
  await settle();
  const first = presses[0]!.visit;
  expect(await world.starts()).toEqual({ [first]: [first] });
  expect(world.begun).toBe(1);
});

it('goes on once with a visit when help is called twice before it is there', async () => {
  const world = new World();
  const start = world.start();
  await world.visit.begin(() => start);
  await settle();
  world.visit.close();
  await Promise.all([world.visit.goOn(start.visit), world.visit.goOn(start.visit)]);
  expect(world.begun).toBe(2);
  expect(world.visit.running).toBe(true);
});

it('begins another one after the last could not begin', async () => {
  const world = new World();
  await expect(world.visit.goOn('never-there')).rejects.toThrow('could not be read');
  await world.visit.begin(world.start);
  expect(world.visit.running).toBe(true);
});

it('what the visit on the screen still writes while the next one begins goes into its own log', async () => {
  const world = new World();
  const [one, two] = [world.start(), world.start()];
  await world.visit.begin(() => one);
  await settle();
  const asking = gate();
  world.asksCloud = () => asking.opened.then(() => false);
  const next = world.visit.begin(() => two);
  await settle();
  world.visit.person({ type: 'HELP' });
  await settle();
  asking.open();
  await next;
  await settle();
  const types = (await world.store.events(one.visit)).map(({ fact }) => fact.type);
  expect(types).toContain('help-called');
  expect(await world.starts()).toEqual({ [one.visit]: [one.visit], [two.visit]: [two.visit] });
});

it('leave that was given in one visit is none for the next, however late it is stored', async () => {
  const world = new World();
  const [one, two] = [world.start(), world.start()];
  const slow = gate();
  const { append } = world.store;
  world.store.append = async (visit, facts) => {
    if (visit === one.visit) await slow.opened;
    return append.call(world.store, visit, facts);
  };
  await world.visit.begin(() => one);
  await settle();
  await world.visit.begin(() => two);
  slow.open();
  await settle();
  const whose = world.taken.flatMap((fact) => (fact.type === 'visit-started' ? [fact.start.visit] : []));
  expect(whose).toEqual([two.visit]);
  // Stored it is all the same.
  expect(Object.keys(await world.starts()).sort()).toEqual([one.visit, two.visit].sort());
});

it('leaves the screen when it was erased, and does not for another one', async () => {
  const world = new World();
  const start = world.start();
  await world.visit.begin(() => start);
  expect(world.visit.erased('another')).toBe(false);
  expect(world.visit.running).toBe(true);
  expect(world.visit.erased(start.visit)).toBe(true);
  expect(world.visit.idle).toBe(true);
  expect(world.visit.lesson).toBeNull();
});

it('says what a thing is called only while nothing else is said, and stops when the visit speaks', async () => {
  const world = new World();
  await world.visit.begin(world.start);
  await settle();
  const { length } = world.said;
  expect(length).toBeGreaterThan(0);
  await world.visit.name('Slower');
  expect(world.said).toHaveLength(length);

  const quiet = new World();
  quiet.speaksOn = false;
  await quiet.visit.begin(quiet.start);
  await settle();
  quiet.speaksOn = true;
  void quiet.visit.name('Slower');
  expect(quiet.said.at(-1)).toBe('Slower');
  const naming = quiet.signals.at(-1)!;
  expect(naming.aborted).toBe(false);
  quiet.visit.person({ type: 'AGAIN' });
  await settle();
  expect(naming.aborted).toBe(true);
});

it('what a visit has still to write when it leaves the screen is written, and the next one waits for nothing', async () => {
  const world = new World();
  const slow = gate();
  const append = world.store.append.bind(world.store);
  world.store.append = (...given) => slow.opened.then(() => append(...given));
  const [one, two] = [world.start(), world.start()];
  await world.visit.begin(() => one);
  await settle();
  world.visit.person({ type: 'HELP' });
  await settle();
  world.visit.close();
  await world.visit.begin(() => two);
  slow.open();
  await settle();
  const types = (await world.store.events(one.visit)).map(({ fact }) => fact.type);
  expect(types[0]).toBe('visit-started');
  expect(types).toContain('help-called');
  expect((await world.starts())[two.visit]).toEqual([two.visit]);
  expect(world.lost).toEqual([]);
});

it('what could not be written is tried once more as the visit leaves the screen, and told if it is lost', async () => {
  const world = new World();
  const append = world.store.append.bind(world.store);
  const fails = (...which: string[]) => {
    world.store.append = async (visit, facts) => {
      if (facts.some(({ type }) => which.includes(type))) throw new Error('The disk is gone.');
      return append(visit, facts);
    };
  };
  const [one, two] = [world.start(), world.start()];
  await world.visit.begin(() => one);
  await settle();
  fails('help-called');
  world.visit.person({ type: 'HELP' });
  await settle();
  fails();
  world.visit.close();
  await settle();
  expect((await world.store.events(one.visit)).map(({ fact }) => fact.type)).toContain('help-called');
  expect(world.lost).toEqual([]);

  await world.visit.begin(() => two);
  await settle();
  fails('help-called');
  world.visit.person({ type: 'HELP' });
  await settle();
  world.visit.close();
  await settle();
  expect(world.lost).toEqual([expect.stringContaining('The disk is gone.')]);
});

it('of a visit that was erased nothing is written any more', async () => {
  const world = new World();
  const slow = gate();
  const append = world.store.append.bind(world.store);
  const start = world.start();
  await world.visit.begin(() => start);
  await settle();
  world.store.append = (...given) => slow.opened.then(() => append(...given));
  world.visit.person({ type: 'HELP' });
  await settle();
  await world.store.erase(start.visit);
  world.visit.erased(start.visit);
  slow.open();
  await settle();
  expect(await world.store.list()).toEqual([]);
  expect(world.lost).toEqual([]);
});

/** A call for help whose words are none, which no log takes. */
const misfit = { type: 'DISTRESS', phrase: 7 } as never;

/** Stands between the visit and its store; `batches`: each batch that was asked for. */
async function besetStore(world: World, meanwhile: () => Promise<unknown> = async () => {}) {
  const start = world.start();
  await world.visit.begin(() => start);
  await settle();
  const append = world.store.append.bind(world.store);
  const batches: string[][] = [];
  world.store.append = async (visit, facts) => {
    batches.push(facts.map(({ type }) => type));
    await meanwhile();
    return append(visit, facts);
  };
  const stored = async () => (await world.store.events(start.visit)).map(({ fact }) => fact.type);
  const queue = (): string[] =>
    world.visit.actor.getSnapshot().context.inner?.context.queue.map(({ type }: VisitFact) => type);
  return { append, batches, stored, queue };
}

it('an entry that does not fit the log is told, and keeps none of the others out of it', async () => {
  const world = new World();
  const slow = gate();
  const { batches, stored, queue } = await besetStore(world, () => slow.opened);
  world.visit.person({ type: 'PAUSE' });
  world.visit.person(misfit);
  world.visit.person({ type: 'HELP_OVER' });
  world.visit.person({ type: 'PAUSE' });
  slow.open();
  await settle();
  expect(batches).toEqual([['paused'], ['help-called', 'paused'], ['paused']]);
  const types = await stored();
  expect(types.filter((type) => type === 'paused')).toHaveLength(2);
  expect(types).not.toContain('help-called');
  expect(queue()).toEqual([]);
  expect(world.lost).toEqual([expect.stringMatching(/help-called.*text/)]);
});

it('what fits beside an entry that does not is tried again when it cannot be stored now', async () => {
  const world = new World();
  const slow = gate();
  const { append, batches, stored, queue } = await besetStore(world, () => slow.opened);
  world.visit.person({ type: 'PAUSE' });
  world.visit.person(misfit);
  world.visit.person({ type: 'HELP_OVER' });
  world.visit.person({ type: 'PAUSE' });
  const beset = world.store.append;
  world.store.append = async (visit, facts) => {
    if (facts.length === 1) throw new StoreError('sealed');
    return beset(visit, facts);
  };
  slow.open();
  await settle();
  expect(batches.at(-1)).toEqual(['help-called', 'paused']);
  expect(queue()).toEqual(['help-called', 'paused']);
  expect(world.lost.filter((sentence) => !sentence.includes('help-called'))).toEqual([]);
  world.store.append = append;
  world.visit.close();
  await settle();
  expect((await stored()).filter((type) => type === 'paused')).toHaveLength(2);
});

it('what the log does not take although each entry fits is kept to be tried again', async () => {
  const world = new World();
  const { queue } = await besetStore(world, async () => {
    throw new StoreError('invalid', 'a visit begins with visit-started');
  });
  world.visit.person({ type: 'PAUSE' });
  await settle();
  expect(queue()).toEqual(['paused']);
  expect(world.lost).toEqual([]);
});

it('a visit whose beginning does not fit the log goes on unsaved, and says so', async () => {
  const world = new World();
  world.store.append = async () => {
    throw new StoreError('invalid', 'start.bed');
  };
  await world.visit.begin(world.start);
  await settle();
  const inner = world.visit.actor.getSnapshot().context.inner?.context;
  expect(inner?.storeTrouble).toBe(true);
  expect(inner?.queue.length).toBeGreaterThan(0);
});

it('whoever reads a visit waits for what is on its way to the store, and not for what cannot be stored', async () => {
  const world = new World();
  const start = world.start();
  await world.visit.begin(() => start);
  await settle();
  const { opened, open } = gate();
  const append = world.store.append.bind(world.store);
  world.store.append = async (visit, facts) => {
    await opened;
    return append(visit, facts);
  };
  let settled = false;
  world.visit.person({ type: 'HELP' });
  const waiting = world.visit.settled(start.visit).then(() => {
    settled = true;
  });
  // Of another visit nothing is on its way.
  await world.visit.settled('00000000-0000-4000-8000-000000000000');
  await settle();
  expect(settled).toBe(false);
  open();
  await waiting;
  const stored = await world.store.events(start.visit);
  expect(stored.map(({ fact }) => fact.type)).toContain('help-called');

  world.store.append = async () => Promise.reject(new StoreError('full'));
  world.visit.person({ type: 'HELP_OVER' });
  await world.visit.settled(start.visit);
  expect(await world.store.events(start.visit)).toHaveLength(stored.length);
});
