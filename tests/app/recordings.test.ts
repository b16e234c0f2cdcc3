import { beforeAll, expect, test } from 'vitest';
import { type FullLesson, loadLesson } from '../../src/app/lessons';
import { listRecordings } from '../../src/app/recordings';
import { readSite } from '../../src/app/site';
import type { ClipInfo } from '../../src/records/types';
import { clipKey } from '../../src/speaking/clip/key';

const { site } = readSite('{}');
let spacer: FullLesson;
let nebulizer: FullLesson;
let french: FullLesson;
beforeAll(async () => {
  spacer = await loadLesson('inhaler-spacer', 'en');
  nebulizer = await loadLesson('nebulizer', 'en');
  french = await loadLesson('inhaler-spacer', 'fr');
});

const lessons = () => [spacer, nebulizer, french];

const clip = async (text: string, place: string, changes: Partial<ClipInfo> = {}): Promise<ClipInfo> => ({
  key: await clipKey(changes.language ?? 'en', text),
  language: 'en',
  text,
  place,
  recordedAt: '2026-03-04T05:06:07.000Z',
  seconds: 2,
  ...changes,
});

const list = (clips: ClipInfo[], lesson = spacer, settings = site) =>
  listRecordings(lesson, lessons(), clips, settings);
const at = async (place: string, clips: ClipInfo[]) =>
  (await list(clips)).sentences.find((one) => one.place === place);

test('without recordings the computer voice says all of it', async () => {
  const { sentences, unused } = await list([]);
  expect(sentences.length).toBeGreaterThan(100);
  expect(new Set(sentences.map(({ state }) => state))).toEqual(new Set(['voice']));
  expect(unused).toEqual([]);
});

test('a sentence whose text is that of a recording is recorded', async () => {
  const welcome = await clip(spacer.common.prompts.welcome!, 'common/welcome');
  expect(await at('common/welcome', [welcome])).toMatchObject({ state: 'recorded', clip: welcome });
});

test('after the text was changed its recording is out of date', async () => {
  const old = await clip('Hello there.', 'common/welcome');
  expect(await at('common/welcome', [old])).toMatchObject({ state: 'outdated', clip: old });
  expect((await list([old])).unused).toEqual([]);
  expect((await list([old], nebulizer)).unused).toEqual([]);
});

test('of two outdated ones the newer one is shown, and the other one is not lost', async () => {
  const older = await clip('Hello there.', 'common/welcome');
  const newer = await clip('Hello you.', 'common/welcome', { recordedAt: '2026-05-04T05:06:07.000Z' });
  expect(await at('common/welcome', [newer, older])).toMatchObject({ clip: newer });
  expect((await list([newer, older])).unused).toEqual([older]);
});

test('what no lesson says any more is named apart; what another lesson says is not', async () => {
  const gone = await clip('We closed that part.', 'inhaler-spacer/gone/teach/1');
  const other = (await list([], nebulizer)).sentences.at(-1)!;
  const elsewhere = await clip(other.text, 'inhaler-spacer/whatever');
  expect((await list([gone, elsewhere])).unused).toEqual([gone]);
});

test('another language has its own recordings', async () => {
  const { welcome } = spacer.common.prompts;
  const inFrench = await clip(welcome!, 'common/welcome', { language: 'fr' });
  expect(await at('common/welcome', [inFrench])).toMatchObject({ state: 'voice', clip: null });
});

test("the site's own words count: another number to call puts a recording out of date", async () => {
  const says = (await list([])).sentences.find(({ slots }) => slots.includes('callNumber'))!;
  const recorded = await clip(says.text, says.place);
  const moved = await list([recorded], spacer, { ...site, callNumber: '555-0199' });
  expect(moved.sentences.find(({ place }) => place === says.place)).toMatchObject({
    state: 'outdated',
    clip: recorded,
  });
});
