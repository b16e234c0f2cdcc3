import { afterEach, expect, test } from 'vitest';
import { fill } from '../../machines/script';
import { readCommon, readModule, readTeaching } from '../../phrasebanks/read';
import type { VisitEvent, VisitFact, VisitStart } from '../../src/records/types';
import { finding, otherId, startOf, tried, visitId } from '../records/fixtures';
import { type Kiosk, openKiosk } from './chromium';
import { putVisits } from './filed';
import { isOver, look, press, touch, until } from './visit';
import { en } from './words';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

const module = readModule('inhaler-spacer');
const step = 'after';
const concept = 'inhaler-spacer.after.rinse';
const teaching = readTeaching(module.id, 'en');
const { prompts } = readCommon('en');
const say = (key: string) => fill(prompts[key]!, { device: teaching.device });
const button = (name: string) => kiosk.page.getByRole('button', { name, exact: true });

const start = (changes: Partial<VisitStart>): VisitFact => ({
  type: 'visit-started',
  start: startOf({
    module: module.id,
    moduleVersion: module.version,
    steps: [step],
    answers: 'touch',
    audioOnly: false,
    ...changes,
  }),
});
const missed: VisitFact[] = [
  { type: 'step-started', step },
  ...tried(step, 1, [concept], 'no idea', [finding(concept, 'missed')]),
  { type: 'handed-over', step, concepts: [concept] },
  { type: 'step-finished', step },
];
/** Three days ago. */
const at = new Date(Date.now() - 3 * 86_400_000).toISOString();
const logOf = (visit: string, facts: VisitFact[]): VisitEvent[] =>
  facts.map((fact, seq) => ({ visit, seq, at, fact }));

test('what was missed three days ago is due, asked first without teaching, and told then and now', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  const { page } = kiosk;
  await button(en.visits).waitFor();
  await putVisits(page, [logOf(visitId, [start({}), ...missed, { type: 'finished', how: 'completed' }])]);
  await button(en.visits).click();
  await page.getByText(/re-check due since/).waitFor();
  await button('Open').click();
  await button('Check the missed points again').click();
  await page.getByLabel('Your name').fill('Q. Fenn');
  await button('Start the re-check').click();

  const screens = new Set<string>();
  const said = new Set<string>();
  await touch(page, isOver, 60_000, ({ screen, captions }) => {
    screens.add(screen);
    said.add(captions);
  });
  const all = [...said].join(' ');
  expect(all).toContain(say('recheckIntro'));
  expect(all).toContain(teaching.concepts[concept]!.ask);
  expect(screens).toContain('cards');
  // Neither taught, nor watched.
  expect(screens).not.toContain('explain');
  expect(screens).not.toContain('show-me');
  await button(en.clinicianView).click();
  await page.getByRole('heading', { name: /^Re-check of the visit of/ }).waitFor();
  const rows = await page.getByRole('row').allTextContents();
  expect(rows.some((row) => row.endsWith('needs a personsaid at once'))).toBe(true);
  await button('Back').click();
  await page.getByRole('heading', { name: 'Visits' }).waitFor();
  expect(await page.getByText(/re-check due since/).count()).toBe(0);
  expect(kiosk.errors).toEqual([]);
});

test('a parked lesson is gone on with, and the next one follows it by the big button', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  const { page } = kiosk;
  await button(en.visits).waitFor();
  const sitting = {
    id: otherId,
    index: 0,
    follows: false,
    toCome: [{ module: module.id, steps: [step], particulars: startOf().particulars }],
  };
  const watched = module.showMe.map((point): VisitFact => ({ type: 'show-me', point, shown: true }));
  await putVisits(page, [logOf(otherId, [start({ visit: otherId, sitting }), ...missed, ...watched])]);
  await button(en.visits).click();
  await page.getByText(`still to come: ${teaching.title}`).waitFor();
  await button('Go on with it').click();
  await touch(page, isOver, 60_000);
  expect(await page.locator('[data-main]').textContent()).toBe(en.nextLesson);
  await button(en.nextLesson).click();
  await until(page, 'the bridge', ({ captions }) => captions.includes(say('sittingNow')));
  await press(page, en.no);
  await until(page, 'the first part', ({ screen }) => screen === 'explain');
  expect((await look(page)).step).toBe(step);
  expect(kiosk.errors).toEqual([]);
});
